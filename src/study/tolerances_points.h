/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_POINTS_H
#define PRESOLDER_TOLERANCES_POINTS_H

#include "arena.h"

/* Points that fill the unit cube evenly: Sobol's sequence (GSL) moved by one random vector and
 * wrapped round (R. Cranley, T. N. L. Patterson, SIAM J. Numer. Anal. 13, 1976; from memory). GSL's
 * sequence has 40 dimensions; those beyond are random. A Halton sequence would reach further, but a
 * thousand of its points fill a hundredth dimension worse than random ones. */

enum { TOLERANCES_POINTS_SOBOL = 40 };

struct tolerances_points;

/* The same seed gives the same points. Lives in `arena`. */
struct tolerances_points *tolerances_points_new(struct arena *arena, int dimensions,
                                                unsigned long seed);

/* The next point: u[dimensions], each 0 <= u < 1. */
void tolerances_points_next(struct tolerances_points *points, double *u);

/* A whole number from 0 to n - 1, all alike; of the same generator as the vector. */
unsigned long tolerances_points_pick(struct tolerances_points *points, unsigned long n);

#endif
