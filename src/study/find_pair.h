/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIND_PAIR_H
#define PRESOLDER_FIND_PAIR_H

#include "find.h"

/* The values of two keys for which two figures become what is wanted. */

enum { PAIR_GRID = 7 };

/* Finds them: a grid of PAIR_GRID by PAIR_GRID pairs, evenly spaced in the logarithm, shows the
 * cells in which both figures cross their wishes; from there, the cell nearest to the present
 * values first, Powell's hybrid method (GSL, hybridsj) closes in to both at once, on runs of one
 * fixed length, inside the bounds. Wishes with < or > are solved for their borders. Preferred
 * neighbours and changed loads are then run. The same whatever `jobs`. Lives in `arena`. */
const struct finding *find_pair(struct arena *arena, struct diags *diags, const struct scenario *s,
                                const char *variant, const struct changed changed[2],
                                const struct wish wishes[2], const struct find_options *options);

#endif
