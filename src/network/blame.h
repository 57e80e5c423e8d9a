/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BLAME_H
#define PRESOLDER_BLAME_H

#include "assemble.h"

/* Which parts and points equations are of that cannot be solved, as names: `C1, R2, B+`. Texts live in
 * `arena`. Internal to the layer. */

/* The parts and points a vector over the algebraic unknowns [na] is largest for: where the equations
 * contradict one another, or leave something open. NULL where it is zero. */
const char *blame_unknowns(struct arena *arena, const struct network *network,
                           const struct assembly *m, const double *vector);

/* Makes `fault` that of `r`, at the states and algebraic unknowns marked[nw + na] (NULL: at all
 * states). Always false. */
bool blame_marked(struct arena *arena, const struct network *network, const struct assembly *m,
                  struct reduced *r, const bool *marked, enum network_fault fault);

#endif
