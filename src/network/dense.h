/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DENSE_H
#define PRESOLDER_DENSE_H

#include <gsl/gsl_matrix.h>

#include "arena.h"

/* GSL's matrices and vectors, zeroed, in memory of an arena: nobody has to give them back, and
 * where memory runs out the arena jumps. At least 1 by 1. */
gsl_matrix *dense_matrix(struct arena *arena, int rows, int columns);
gsl_vector *dense_vector(struct arena *arena, int n);

/* out = exp(a), both n by n, by Taylor's series of a / 2^k, at most 1/2 in its row sums, squared k
 * times (Moler & Van Loan, SIAM Review 45, 2003, method 3). As gsl_linalg_exponential_ss, which
 * does not look whether it got its memory. `scratch` is left with what was needed. */
void dense_exponential(struct arena *scratch, const gsl_matrix *a, gsl_matrix *out);

#endif
