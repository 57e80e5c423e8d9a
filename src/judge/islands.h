/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ISLANDS_H
#define PRESOLDER_ISLANDS_H

#include "circuit.h"

/* Which points hang together. Windings join only their own two ends; rectifiers and switches join
 * theirs, conducting or not. */

/* For each point of the circuit the lowest number of a point it is joined to (itself when alone).
 * `capacitors`: they join too; without them only what direct current can pass does. */
const int *islands_of(struct arena *arena, const struct circuit *c, bool capacitors);

#endif
