/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DEAD_OHMS_H
#define PRESOLDER_DEAD_OHMS_H

#include "circuit.h"

/* What an ohmmeter reads in a set that is dead: plug pulled, batteries out, tubes and lamps cold,
 * once the capacitors have charged. Its volts are too few to open a rectifier or to make a cold
 * tube draw; coils and windings are their copper. */

/* Shares of the watts that go into what is not known well, and so what a per cent of that moves the
 * ohms by [per cent]: leakages that nobody has told, filaments, heaters and lamps as cold as the
 * room. */
struct dead_shares {
    double leakages, filaments;
};

/* Ohms between two points of the circuit; inf: nothing joins them, 0: a piece of wire does. NaN
 * when a point is not there. `shares` may be NULL. */
double dead_ohms(struct arena *arena, const struct circuit *c, const char *plus, const char *minus,
                 struct dead_shares *shares);

#endif
