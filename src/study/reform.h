/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_REFORM_H
#define PRESOLDER_REFORM_H

#include "capacitor.h"
#include "status.h"

/* Re-forming an old electrolytic through a series resistor: the current that falls as its oxide
 * heals, for several resistors.
 *
 * Leakage i = C v (a1 e1 + a2 e2 + a3) e^(b (T - Tr)): two kinds of weak spots and what never
 * heals. e1 and e2 begin at 1 and heal as de/dt = -e (v/vr)/tau, so in proportion to the volts on
 * the part, counted in vr = 350/450 of its rated volts. Everything is in proportion to C v, as
 * makers' leakage limits are. The constants are one specimen's: an 80-year-old part of 20 uF 450 V
 * at 350 V took 4.5 mA at 20 s, 1 mA at 15 min, 0.12 mA at 1 h, 0.05 mA at 3 h (a restorer's
 * account; fitted here within 15 % on the assumption that the whole 350 V stood on it). Five
 * constants and four readings: no law is proven by them. That healing goes with the volts is an
 * estimate without a source. */

struct reform_law {
    double a1, a2, a3; /* [A/(F V)] */
    double tau1, tau2; /* at vr [s] */
    double vr;         /* share of the rated volts */
};
extern const struct reform_law reform_specimen;

struct reform_task {
    const char *name, *make;                  /* as in capacitor_makes */
    double farads, rated, at;                 /* at: volts of the supply */
    double growth;                            /* of the leakage [1/K] */
    double thermal_resistance, heat, ambient; /* of its can [K/W], [J/K], [K] */
    double warmest;                           /* its can may be [K] */
    const char *warmest_basis;
    double limit; /* leakage of a good part [A] */
};

enum { REFORM_RESISTORS = 6, REFORM_TIMES = 8 };
extern const double reform_resistors[REFORM_RESISTORS]; /* [ohm] */
extern const double reform_times[REFORM_TIMES];         /* [s] */

struct reform_point {
    double amperes; /* through resistor and part, as a meter in series reads */
    double volts;   /* on the part */
    double resistor_watts, part_watts;
    double kelvin; /* of the can */
};

struct reform_course {
    double ohms;
    struct reform_point at[REFORM_TIMES];
    double resistor_most, part_most; /* [W]; the resistor's at the very start */
    double hottest;                  /* [K] */
    double
        accepted; /* seconds until the leakage at full volts would be `limit`; inf: not in time */
};

/* The limit of JAN-C-62 (second hand) for an electrolytic [A]: k C + 0.3 mA, C in uF, k by its
 * rated volts 0.01 (to 100 V), 0.02 (to 250 V), 0.025 (to 350 V), 0.04 above. */
double reform_limit(double farads, double rated);

/* Fills heat and limits of a task from the catalogue's usual parts; name, make, farads, rated and
 * at are given. False with errors. */
bool reform_prepare(struct arena *arena, struct diags *diags, const struct catalogue *catalogue,
                    struct reform_task *task);

/* The course with one resistor. False when the equations could not be solved. */
bool reform_run(struct arena *arena, const struct reform_task *task, const struct reform_law *law,
                double ohms, struct reform_course *course);

#endif
