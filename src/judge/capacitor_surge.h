/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CAPACITOR_SURGE_H
#define PRESOLDER_CAPACITOR_SURGE_H

#include "run.h"

/* Capacitors beyond what they stand for good, for a time only. */

#define CAPACITOR_SURGE_TEST 30.0 /* [s]; a charge of the surge test of IEC 60384-4, from memory */

/* One above its working voltage for a time. */
struct capacitor_surge {
    const char *name;
    double working;          /* least limit of its volts [V] */
    double allowed;          /* its surge voltage [V]; NaN: none above the highest volts */
    double highest, settled; /* [V] */
    double time;             /* of the highest volts [s] */
    double lasts;            /* above the working voltage, as judged cycle by cycle [s]; 0: too
                              * short for a cycle's mean to tell */
    bool warming;            /* nothing but warming tubes can have brought it down again */
};

/* False: it is not above its working voltage, or is so at the end. */
bool capacitor_surge_find(const struct setup *setup, const struct result *run,
                          const char *capacitor, struct capacitor_surge *surge);

/* For how long it was below `limit` [V], cycle by cycle [s]; 0 also when it is so at the end. */
double capacitor_surge_below(const struct result *run, const char *capacitor, double limit);

#endif
