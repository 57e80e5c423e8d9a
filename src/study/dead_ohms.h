/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DEAD_OHMS_H
#define PRESOLDER_DEAD_OHMS_H

#include "circuit.h"

/* What an ohmmeter reads in a set that is dead: plug pulled, batteries out, tubes and lamps cold,
 * once the capacitors have charged. Its volts are too few to open a rectifier or to make a cold
 * tube draw; coils and windings are their copper. */

/* Ohms between two points of the circuit; inf: nothing joins them, 0: a piece of wire does. NaN
 * when a point is not there. `*assumed` (may be NULL) becomes the share of the watts that leakages
 * take that nobody has told, and so what a per cent of them moves the ohms by [per cent]. */
double dead_ohms(struct arena *arena, const struct circuit *c, const char *plus, const char *minus,
                 double *assumed);

#endif
