/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CHASSIS_H
#define PRESOLDER_CHASSIS_H

#include "failure.h"
#include "run.h"

/* What stands between a touchable point of a set and the earth of the wall, both ways round of the
 * plug, switched on and off. Each case is a run of the set with a test network from the point to
 * earth, which the mains join to their neutral side. */

/* The networks. */
enum touch_network {
    TOUCH_OPEN,  /* a meter of 10 Mohm: volts */
    TOUCH_SHORT, /* 1 ohm: amperes */
    TOUCH_UL,    /* 1500 ohm with 0.15 uF across, as in service leaflets and UL leakage tests: volts
                  * over 1500 ohm, from memory */
    TOUCH_IEC,   /* body of IEC 60990: 1500 ohm with 0.22 uF across, then 500 ohm; unweighted: volts
                  * on the 500 ohm over 500 ohm, from memory */
    TOUCH_NETWORKS
};

#define TOUCH_OHMS 1500.0 /* of a person, with TOUCH_FARADS across [ohm]; see TOUCH_UL */
#define TOUCH_FARADS 0.15e-6
#define TOUCH_LIMIT 0.5e-3 /* RMS through exposed metal [A]; from memory, customary in leaflets */
/* Through the IEC body, IEC 60065 and IEC 60990 as printed in service manuals, second hand: */
#define TOUCH_PEAK 0.7e-3   /* alternating, peak [A] */
#define TOUCH_DIRECT 2.0e-3 /* direct [A] */
#define TOUCH_FELT 1e-3     /* barely felt [A]; NIOSH, second hand */

/* How the set stands. */
struct touch_state {
    bool reversed, on;
    const char *opened; /* off: the switch part, or the point whose leg is taken to be open */
    bool assumed;       /* that the switch is in this leg */
};

struct touch {
    const char *point;
    struct touch_state state;
    double rms[TOUCH_NETWORKS]; /* [V] or [A]; NaN: that run failed */
    double direct;              /* mean of the open volts [V] */
    double body_direct;         /* mean through the IEC body [A] */
};

/* Whether what flows through a person is over one of the limits: TOUCH_LIMIT, or through the IEC
 * body TOUCH_PEAK (its alternating part taken as a sine) or TOUCH_DIRECT. */
bool chassis_over(const struct touch *t);
bool chassis_body_over(const struct touch *t);

struct chassis {
    const struct setup *setup;
    ARRAY(struct touch) rows;
    const char *line[2]; /* the plug's points as drawn */
    const char *touch;   /* the names of the parts and points put in begin so */
    int unbalanced;      /* runs whose audit failed */
    enum status status;
    struct failure failure; /* why not STATUS_OK */
};

/* Tests `points` (n of them). `jobs` threads (0: as many as there are processors); the same
 * whatever their number. `stop` (may be NULL) is asked now and then, from several threads; true
 * interrupts. Without mains, or with errors of the scenario, status is STATUS_SCENARIO. */
const struct chassis *chassis_study(struct arena *arena, struct diags *diags,
                                    const struct scenario *s, const char *variant,
                                    const char *const *points, int n, int jobs, bool (*stop)(void));

/* The points of a set that hands may touch, as far as names tell: the reference, and what is called
 * chassis, cabinet, case or frame; without `earth`. At most `most`. */
int chassis_points(const struct setup *setup, const char **points, int most);

#endif
