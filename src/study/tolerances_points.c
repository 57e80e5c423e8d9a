/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tolerances_points.h"

#include <assert.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_rng.h>
#include <math.h>

enum { SOBOL_MOST = 40 }; /* dimensions of gsl_qrng_sobol */

struct tolerances_points {
    int dimensions;
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
    p->sequence = gsl_qrng_alloc(dimensions <= SOBOL_MOST ? gsl_qrng_sobol : gsl_qrng_reversehalton,
                                 (unsigned)dimensions);
    p->random = gsl_rng_alloc(gsl_rng_mt19937);
    if (!p->sequence || !p->random) return NULL;
    gsl_rng_set(p->random, seed);
    p->shift = ARENA_ARRAY(arena, double, dimensions);
    for (int i = 0; i < dimensions; i++) p->shift[i] = gsl_rng_uniform(p->random);
    return p;
}

void tolerances_points_next(struct tolerances_points *p, double *u)
{
    gsl_qrng_get(p->sequence, u);
    for (int i = 0; i < p->dimensions; i++) u[i] = fmod(u[i] + p->shift[i], 1);
}

const char *tolerances_points_name(int dimensions)
{
    return dimensions <= SOBOL_MOST ? "Sobol" : "Halton";
}

unsigned long tolerances_points_pick(struct tolerances_points *p, unsigned long n)
{
    assert(n > 0);
    return gsl_rng_uniform_int(p->random, n);
}
