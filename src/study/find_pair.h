/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIND_PAIR_H
#define PRESOLDER_FIND_PAIR_H

#include "find.h"

/* The values of two keys for which two figures become what is wanted. */

/* One run of the search. */
struct pair_point {
    double value[2];           /* of the keys [SI] */
    double load;               /* the loads are scaled by; 1: as they are */
    double figure[2];          /* of the wishes; NaN: not there */
    const struct trial *trial; /* lives in the finding's arena */
};

enum { PAIR_GRID = 7, PAIR_NEAR = 8 };

struct pair_finding {
    enum find_outcome outcome; /* FIND_ANY: both wishes hold at every pair looked at */
    enum status status;        /* not OK: a run failed or was interrupted; `message` says why */
    const char *message;
    struct pair_point
        grid[PAIR_GRID * PAIR_GRID]; /* the first key in rising order, in it the second */
    double least[2], most[2];        /* of each figure on the grid */
    /* Of the second figure where the first meets its wish, between points of the grid; NaN:
     * nowhere. */
    double least_beside, most_beside;
    int both; /* a point of the grid that meets both wishes, which are limits; -1: none */
    struct pair_point exact;
    int iterations;                      /* runs to close in */
    struct pair_point near[PAIR_NEAR];   /* preferred neighbours of both in E24, then in E12 */
    int nears, best;                     /* best: the one that suits most; -1: none does */
    struct pair_point loads[FIND_LOADS]; /* with the best: -50, -25, +25, +50 % */
    int load_count;                      /* 0: no part is a load */
};

/* Finds them: a grid of PAIR_GRID by PAIR_GRID pairs, evenly spaced in the logarithm, shows the
 * cells in which both figures cross their wishes; from there, the cell nearest to the present
 * values first, Powell's hybrid method (GSL, hybridsj) closes in to both at once, on runs of one
 * fixed length, inside the bounds. Wishes with < or > are solved for their borders. Preferred
 * neighbours and changed loads are then run. The same whatever `jobs`. Lives in `arena`. */
const struct pair_finding *find_pair(struct arena *arena, struct diags *diags,
                                     const struct scenario *s, const char *variant,
                                     const struct changed changed[2], const struct wish wishes[2],
                                     const struct find_options *options);

#endif
