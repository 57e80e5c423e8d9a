/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_RECTIFIER_H
#define PRESOLDER_RECTIFIER_H

#include "heater.h"
#include "fault.h"

/* What is known of a rectifier between reading and writing; only for its own files. */

enum rectifier_law { VACUUM, GAS, MERCURY, SILICON, SELENIUM, IDEAL };

enum rectifier_condition {
    RECTIFIER_GOOD,
    RECTIFIER_WEAK,
    ONE_PLATE_DEAD,
    RECTIFIER_OPEN,
    RECTIFIER_SHORTED,
    RECTIFIER_SOFT, /* gas in a vacuum tube */
    HEATER_SHORTED  /* to the cathode */
};

struct rectifier {
    struct part
        view; /* the part with the values of its type, also where the kind knows the type itself */
    enum rectifier_law law;
    enum rectifier_condition condition;
    int sections;             /* 1 or 2 */
    int plate[2], cathode[2]; /* points */
    bool separate;            /* a cathode for each plate */
    int in_series;
    double perveance;               /* vacuum [A/V^1.5] */
    double emission;                /* vacuum, at rated temperature [A] */
    double drop_amperes;            /* at which its drop is known [A] */
    double plate_watts;             /* its plates may shed [W]; 0: not known */
    bool rated_heat;                /* they follow from its ratings, else from its drop alone */
    double threshold, slope, start; /* straight-line laws, all in series [V, ohm, V] */
    bool heated, always_hot;        /* needs a heater; counts as hot */
    struct heater_kind heating;
    double heater_volts, heater_amperes; /* rated; 0: not known */
    int failed;                          /* section that is dead or shorted, 0 or 1 */
    double bridge;                       /* of a short [ohm] */
    const char *short_to;                /* heater pin that touches the cathode; NULL: the first */
    double arc, fires_back;              /* soft tube [V]; inverse volts, HUGE_VAL: never */
};

/* Name in figures of a section (0 or 1): `V6.1`, or the part's name where there is but one. */
const char *rectifier_subject(const struct set *set, const struct part *part, int section);

extern const struct part_fault rectifier_faults[];

/* Reads what belongs to its condition, once all else is read: complains of conditions that its kind
 * of rectifier cannot have. */
void rectifier_fault(struct set *set, const struct part *part, struct rectifier *r);

/* Writes the rectifier into the circuit. */
void rectifier_stamp(struct set *set, struct part *part);

/* What its plates may shed, once its law is read and before its condition is. */
void rectifier_read_heat(struct set *set, struct rectifier *r);
void rectifier_rate_heat(struct set *set, const struct part *part);

/* Complains of ratings that are not understood. */
void rectifier_check(struct set *set, const struct part *part);

/* Its ratings, and the figures known before any run. Ask after all windings, resistors and
 * capacitors are stamped. */
void rectifier_rate(struct set *set, const struct part *part);

#endif
