/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CAUTIONS_H
#define PRESOLDER_CAUTIONS_H

#include "run.h"

/* When each of the customary cautions applies. */

/* What the user is about to do; a sum of these. */
enum occasion {
    OCCASION_POWER = 1,     /* the set goes on the line */
    OCCASION_DISCHARGE = 2, /* emptying its capacitors */
    OCCASION_REFORM = 4,    /* re-forming an electrolytic */
    OCCASION_CHASSIS = 8,   /* measuring what the chassis carries */
    OCCASION_REPLACE = 16   /* fitting other parts */
};

/* What the set holds that can shock, burn or poison. */
struct hazards {
    unsigned occasion;   /* sum of enum occasion */
    bool mains;          /* it is fed from the line */
    bool lethal;         /* more than 50 V somewhere, or not known */
    bool keeps_charge;   /* a capacitor of 1 uF or more, or of unknown size */
    bool hot_chassis;    /* line and reference may be joined: no power transformer, or a way for
                          * direct current from one to the other */
    bool tube_rectifier; /* fed by a power transformer */
    bool two_plates;     /* of a rectifier on a power transformer */
    bool field_coil;
    bool insulated_can; /* an electrolytic whose minus is not the reference */
    bool selenium;
    bool mercury;
    bool oil_capacitor;  /* paper of 1 uF or more, or named so */
    bool line_cord;      /* a resistance cord or ballast, by name or type */
    bool line_capacitor; /* one end on the line */
    bool bare_series;    /* capacitors in series without equalisers */
    bool vibrator;       /* a square source */
};

/* Looks at all stages of a setup. `result` gives the highest volts reached; NULL: lethal is taken
 * for granted. Uses `arena` for scratch. */
struct hazards hazards_of(struct arena *arena, const struct setup *setup,
                          const struct result *result, unsigned occasion);

/* In the order in which they are told. */
enum caution {
    CAUTION_RULES,
    CAUTION_UNPLUGGED,
    CAUTION_DISCHARGE,
    CAUTION_FIRST_POWER,
    CAUTION_FIRE,
    CAUTION_NO_ISOLATION,
    CAUTION_LIVE_CHASSIS,
    CAUTION_RECTIFIER_SOCKET,
    CAUTION_PLATE_TO_PLATE,
    CAUTION_SPEAKER_PLUG,
    CAUTION_INSULATED_CANS,
    CAUTION_SELENIUM,
    CAUTION_MERCURY,
    CAUTION_OIL_CAPACITORS,
    CAUTION_RESISTANCE_CORD,
    CAUTION_LINE_CAPACITORS,
    CAUTION_CAPACITORS_IN_SERIES,
    CAUTION_VIBRATOR,
    CAUTION_RE_FORMING,
    CAUTION_CHASSIS_TEST,
    CAUTIONS
};

/* Whether a caution is to be told of such a set; whether any is. */
bool cautions_apply(enum caution caution, const struct hazards *h);
bool cautions_any(const struct hazards *h);

#endif
