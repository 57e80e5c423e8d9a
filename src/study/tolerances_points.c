/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tolerances_points.h"

#include <assert.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_rng.h>
#include <math.h>

struct tolerances_points {
    int dimensions, even; /* in all, those of the sequence */
    gsl_qrng *sequence;
    gsl_rng *random;
    double *shift; /* [dimensions] */
};

static void give_back(void *what)
{
    struct tolerances_points *p = what;
    if (p->sequence) gsl_qrng_free(p->sequence);
    if (p->random) gsl_rng_free(p->random);
}

struct tolerances_points *tolerances_points_new(struct arena *arena, int dimensions,
                                                unsigned long seed)
{
    struct tolerances_points *p = ARENA_NEW(arena, struct tolerances_points);
    arena_at_free(arena, give_back, p);
    p->dimensions = dimensions;
    p->even = dimensions < TOLERANCES_POINTS_SOBOL ? dimensions : TOLERANCES_POINTS_SOBOL;
    p->sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)p->even);
    p->random = gsl_rng_alloc(gsl_rng_mt19937);
    if (!p->sequence || !p->random) return NULL;
    gsl_rng_set(p->random, seed);
    p->shift = ARENA_ARRAY(arena, double, p->even);
    for (int i = 0; i < p->even; i++) p->shift[i] = gsl_rng_uniform(p->random);
    return p;
}

void tolerances_points_next(struct tolerances_points *p, double *u)
{
    gsl_qrng_get(p->sequence, u);
    for (int i = 0; i < p->even; i++) u[i] = fmod(u[i] + p->shift[i], 1);
    for (int i = p->even; i < p->dimensions; i++) u[i] = gsl_rng_uniform(p->random);
}

unsigned long tolerances_points_pick(struct tolerances_points *p, unsigned long n)
{
    assert(n > 0);
    return gsl_rng_uniform_int(p->random, n);
}
