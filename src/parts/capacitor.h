/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CAPACITOR_H
#define PRESOLDER_CAPACITOR_H

#include "laws.h"
#include "fault.h"

/* What the files of the capacitor share, and what others may ask of one. */

enum capacitor_condition {
    CAPACITOR_GOOD,
    CAPACITOR_OPEN,
    CAPACITOR_DRIED_OUT,
    CAPACITOR_LEAKY,
    CAPACITOR_SHORTED,
    CAPACITOR_BREAKS_DOWN,
    CAPACITOR_SHORTS_WHEN_HOT,
    CAPACITOR_SHORTS_AT_A_TIME,
    CAPACITOR_REVERSED
};

enum capacitor_make { MAKE_MODERN, MAKE_DRY, MAKE_WET, MAKE_FILM, MAKE_PAPER };
extern const char *const capacitor_makes[];

/* Least farads of a filter capacitor, 1 uF less what rounding takes; smaller ones are bypasses.
 * Common practice, no source. */
#define CAPACITOR_FILTER 0.999e-6

enum { CAN_SECTIONS = DEVICE_PORTS / 2 }; /* most sections in one can */

/* The can of one capacitor or of several sections. */
struct capacitor_can {
    const char *name;  /* subject of its temperature */
    int device, state; /* in the circuit; -1: not stamped yet */
    struct can_law law;
};

/* A straight-line way beside the plates: conducts above `volts` from the first point to the second.
 */
struct capacitor_knee {
    const char *role;
    double volts, ohms;
};

struct capacitor {
    int from, to; /* as in `across`: plus, minus; a reversed one has its plus at `to` */
    enum capacitor_make make;
    enum capacitor_condition condition;
    bool make_given;
    double farads;
    double nominal;      /* as printed [F] */
    double series;       /* [ohm] */
    double leakage;      /* at room temperature [ohm]; inf: none */
    bool leak_assumed;   /* the leakage was not told by the scenario */
    double growth;       /* of the leakage [1/K] */
    double bridge;       /* ohms of the short */
    double shorts_at;    /* [s]; inf: never */
    double shorts_above; /* [K]; inf: at no temperature */
    struct capacitor_knee knee[CAN_KNEES];
    int knees;
    double rated;              /* [V]; 0: not known */
    double surge;              /* [V]; 0: not known */
    double ripple;             /* [A RMS]; 0: not known */
    double initial;            /* [V] */
    bool warms;                /* its losses matter to its can */
    const char *can_name;      /* its own name unless it shares a can */
    double thermal_resistance; /* of the can [K/W]; 0: not given */
    double heat;               /* of the can [J/K]; 0: not given */
    struct capacitor_can *can; /* shared by its sections; NULL: its warmth is not followed */
};

/* --- asked by others; each takes a part of the kind `capacitor` ----------------------------- */

/* Whether what it leaks is a guess or a maker's limit: nothing to empty it by. */
bool capacitor_leak_assumed(const struct part *part);

/* Direct amperes through its leakage and whatever conducts beside it, at volts from its first point
 * to its second, the can at `kelvin`. A short that came about during the run is not counted. */
double capacitor_leaks(const struct part *part, double volts, double kelvin);

/* Its present series resistance [ohm] and capacitance [F]; of an open one inf and 0. */
double capacitor_series(const struct part *part);
double capacitor_farads(const struct part *part);

/* Whether the scenario says that it is of a make that hardly ages: modern or film. */
bool capacitor_lasts(const struct part *part);

/* Subject of its `temperature` in the figures; NULL: its can is not followed. */
const char *capacitor_can(const struct part *part);

/* The most its leakage may be at room temperature, as amperes at `volts` that stay across it,
 * before no temperature balances and it runs away; inf: it cannot. Its sections' mates in a shared
 * can count as cold. */
double capacitor_leak_most(const struct part *part, double volts);

/* From the room to a can of the size usual for its make and `charge`, its farads times its rated
 * volts [C], in [K/W]. */
double capacitor_thermal_resistance(enum capacitor_make make, double charge);

/* --- among the files of the capacitor -------------------------------------------------------- */

/* A sound part: series resistance and leakage that were not given, like the nearest of its make. */
void capacitor_assume_series(struct set *set, const struct part *part, struct capacitor *c);
void capacitor_assume_leakage(struct set *set, const struct part *part, struct capacitor *c);

/* Amperes a modern electrolytic may leak after five minutes at its rated volts: Lelon RGA data
 * sheet.
 */
double capacitor_modern_leakage(double farads, double volts);

/* Amperes a sound part of its make may leak at `volts`, and who says so. */
double capacitor_leak_limit(const struct capacitor *c, double volts, const char **basis);

/* The value of assumed.key, at least `least`; where it is not given *value stands, told as
 * `assumed`, of which unit, range, basis, measure and guess are filled. */
void capacitor_take(struct set *set, const struct part *part, double least, double *value,
                    struct assumption assumed);

extern const struct part_fault capacitor_faults[];

/* What ails it: the word first; then its keys, once make, value and losses are known. */
void capacitor_read_condition(struct set *set, const struct part *part, struct capacitor *c);
void capacitor_read_failure(struct set *set, const struct part *part, struct capacitor *c);

/* The hottest its can may be [K], and who says so. */
double capacitor_warmth_limit(const struct capacitor *c, const char **basis);

/* The can: its keys; then, once all parts are read, who shares it, and its size. */
void capacitor_read_can(struct set *set, const struct part *part, struct capacitor *c);
void capacitor_link_can(struct set *set, const struct part *part, struct capacitor *c);

void capacitor_stamp(struct set *set, struct part *part);

static inline bool capacitor_electrolytic(const struct capacitor *c)
{
    return c->make == MAKE_MODERN || c->make == MAKE_DRY || c->make == MAKE_WET;
}

#endif
