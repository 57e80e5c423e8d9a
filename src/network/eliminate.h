/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ELIMINATE_H
#define PRESOLDER_ELIMINATE_H

#include "arena.h"
#include "network.h"

/* Gaussian elimination of rectangular systems whose rank is to be found, with complete pivoting (the
 * largest entry left; Golub & Van Loan, Matrix Computations, 4th ed. 2013, 3.4.8). Zeros cost
 * nothing, and networks give little else. Numbers without unit. Internal to the layer. */
struct eliminated {
    int rank;
    int *row, *column;  /* [rank] pivots in their order */
    int spare, *spares; /* rows without a pivot: zero now in the columns eliminated */
    double least, most; /* pivots */
    bool left_off;      /* somebody wanted an end: nothing else is true */
};

/* a[rows*wide], row-major: the first `columns` of each row are eliminated, what stands beside them
 * goes along. A pivot of `least` times the first one or less counts as zero. `asked` may be NULL. */
struct eliminated eliminate(struct arena *arena, int rows, int columns, int wide, double *a,
                            double least, const struct network_asked *asked);

/* After that, of full rank: the solutions of all columns beside, x[columns*(wide-columns)]. */
void eliminate_solve(const struct eliminated *e, int columns, int wide, const double *a, double *x);

#endif
