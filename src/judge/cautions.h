/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CAUTIONS_H
#define PRESOLDER_CAUTIONS_H

#include "run.h"

/* The customary cautions, all in one place, each with a rule for when it applies. */

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

struct caution {
    const char *name;   /* one or two words: the heading */
    const char *text;   /* full sentences */
    const char *source; /* published, or "common practice, no source" */
    bool (*applies)(const struct hazards *h);
};

/* The whole list, in the order in which cautions are told. */
int cautions_count(void);
const struct caution *caution_at(int i);

/* The first that applies behind the `after`th (-1: from the start): its index; -1: none left. */
int caution_next(const struct hazards *h, int after);

#endif
