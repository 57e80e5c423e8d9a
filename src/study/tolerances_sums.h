/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_SUMS_H
#define PRESOLDER_TOLERANCES_SUMS_H

#include <stdbool.h>

#include "arena.h"

/* What is kept of many samples of many figures, in memory that does not grow with the samples.
 *
 * Quantiles are of the values themselves, up to SUMS_KEPT samples; beyond, of as many drawn from
 * all with equal chance (J. S. Vitter, "Random sampling with a reservoir", ACM TOMS 11, 1985,
 * algorithm R; from memory), which moves a 5 % quantile by about 0.003 in its share.
 *
 * The share of a group is its first-order Sobol index: the part of the variance that goes when the
 * group is known, all others left to vary. Every figure is fitted by a sum of orthonormal Legendre
 * polynomials of each group's u (B. Sudret, "Global sensitivity analysis using polynomial chaos
 * expansions", Reliab. Eng. Syst. Saf. 93, 2008; from memory): of a group's coefficients the
 * squares add up to its share, less what scatter alone would give. Standard errors are those of the
 * regression: whatever the fit leaves, interactions too, counts as scatter. */

enum { SUMS_KEPT = 4096, SUMS_DEGREE = 3 };

struct tolerances_sums;

/* Sums over samples of `groups` numbers. */
struct tolerances_sums *tolerances_sums_new(struct arena *arena, int groups);

/* A new sample with u[groups]; then the values of its figures, by number from 0 in any order, each
 * at most once; numbers not met before are new figures. `pick` is a whole number, equally likely
 * from 0 to the number of samples before this one, and decides which of the kept values goes. */
void tolerances_sums_begin(struct tolerances_sums *s, const double *u, unsigned long pick);
void tolerances_sums_add(struct tolerances_sums *s, int figure, double value);

long tolerances_sums_samples(const struct tolerances_sums *s);

struct tolerances_spread {
    long n; /* samples that have the figure */
    double least, p05, p50, p95, most;
    double mean, deviation; /* of the finite ones */
};
struct tolerances_spread tolerances_sums_spread(const struct tolerances_sums *s, int figure);

/* Share and standard error for each group, share[groups] and error[groups]; *explained: the part of
 * the variance that the fit explains, the sum of all shares but for scatter. False: too few samples
 * (fewer than twice the terms of the first degree), a figure that some samples lack or that is not
 * finite in all, or that does not vary. */
bool tolerances_sums_shares(struct tolerances_sums *s, int figure, double *share, double *error,
                            double *explained);

/* Samples needed for shares of so many groups. */
long tolerances_sums_needed(int groups);

#endif
