/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LU_H
#define PRESOLDER_LU_H

#include <stdbool.h>

/* Small dense systems, A x = b; n about 10 to 40. Numbers without unit. */

/* Factors a[n*n] (row-major: a[i*n+j]) in place, P A = L U with partial pivoting. Afterwards a
 * holds L below the diagonal (its own diagonal is 1), U above it and the reciprocals of U's
 * diagonal on it; pivot[n] holds the row exchanged with each row. False when a pivot is zero or not
 * finite: the matrix is singular (or holds such a number) and what is in `a` is of no use. */
bool lu_factor(int n, double *restrict a, int *restrict pivot);

/* Replaces b[n] by the solution x, with what lu_factor left in a and pivot. */
void lu_solve(int n, const double *restrict a, const int *restrict pivot, double *restrict b);

/* The same for m right sides at once, x[n*m] row-major: x[i*m+j] is entry i of right side j. */
void lu_solve_many(int n, const double *restrict a, const int *restrict pivot, int m,
                   double *restrict x);

#endif
