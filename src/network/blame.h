/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BLAME_H
#define PRESOLDER_BLAME_H

#include "assemble.h"

/* What equations that cannot be solved are of, in words: `what: C1, R2, point B+`. Texts live in
 * `arena`. Internal to the layer. */

/* The parts and points a vector over the algebraic unknowns [na] is largest for: where the equations
 * contradict one another, or leave something open. `what` itself where it is zero. */
const char *blame_unknowns(struct arena *arena, const struct network *network,
                           const struct assembly *m, const double *vector, const char *what);

/* Makes it the fault of `r` what the equations do to the states and algebraic unknowns
 * marked[nw + na] (NULL: to all states), and what to look at. Always false. */
bool blame_marked(struct arena *arena, const struct network *network, const struct assembly *m,
                  struct reduced *r, const bool *marked, const char *do_what);

#endif
