/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_POWER_SUMS_H
#define PRESOLDER_POWER_SUMS_H

#include "arena.h"

/* What m applications of z -> M z + j^p x, j = 0 .. m-1, make of z = 0: the sums
 * sum over j of j^p M^(m-1-j) x, p = 0 .. 3. The discrete counterpart of the phi
 * functions of exponential integrators. */
enum { POWER_SUMS = 4 };

struct power_sums {
    int n;
    double m;                /* as a number */
    double *power;           /* [n*n] M^m, row-major */
    double *sum[POWER_SUMS]; /* [n*n] */
    double *scratch[2];      /* [n*n] */
};

struct power_sums power_sums_new(struct arena *arena, int n);

/* For any m > 0, `map` being M [n*n], row-major: by doubling and adding one. */
void power_sums_reach(struct power_sums *s, const double *map, int m);

/* out[n] += factor * sum_p x. */
void power_sums_add(const struct power_sums *s, int p, double factor, const double *x, double *out);

#endif
