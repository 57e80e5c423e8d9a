/* SPDX-License-Identifier: GPL-3.0-or-later */
/* With every rectifier and switch open and every port without current the network is linear and
 * without sources. Its state at doubling times comes from repeated squaring of exp(A h); the
 * crossing is then refined by halving. Batteries are taken as disconnected. */
#include "bleed.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

#include "numbers.h"

struct decay {
    const struct reduced *r;
    gsl_matrix *a;     /* A */
    gsl_vector *start; /* w at the cut */
    const double *q;   /* row of the capacitor in Q */
};

/* Volts of the capacitor t seconds after the cut. */
static double volts_at(const struct decay *d, double t)
{
    const size_t n = d->a->size1;
    gsl_matrix *at = gsl_matrix_alloc(n, n), *e = gsl_matrix_alloc(n, n);
    gsl_matrix_memcpy(at, d->a);
    gsl_matrix_scale(at, t);
    gsl_linalg_exponential_ss(at, e, GSL_PREC_DOUBLE);
    double sum = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            sum += d->q[i] * gsl_matrix_get(e, i, j) * gsl_vector_get(d->start, j);
    gsl_matrix_free(at);
    gsl_matrix_free(e);
    return fabs(sum);
}

static double last_crossing(const struct decay *d, double volts)
{
    double above = -1, t = 1e-3;
    if (volts_at(d, 0) > volts) above = 0;
    for (; t < BLEED_LONGEST; t *= 1.5)
        if (volts_at(d, t) > volts) above = t;
    if (above < 0) return 0;
    double below = above > 0 ? above * 1.5 : 1e-3;
    if (below >= BLEED_LONGEST) return HUGE_VAL;
    for (int k = 0; k < 60 && below - above > 1e-6 * below; k++) {
        double middle = (above + below) / 2;
        *(volts_at(d, middle) > volts ? &above : &below) = middle;
    }
    return below;
}

double bleed_down(const struct session *s, int element, double volts)
{
    int y = 0;
    const int ny = s->network->capacitors;
    while (y < ny && s->network->y_element[y] != element) y++;
    if (y == ny || fabs(s->full[y]) <= volts) return 0;
    const struct reduced *r = reductions_get(s->reductions, 0);
    if (r->fault || r->nw == 0) return HUGE_VAL;
    struct decay d = {.r = r, .q = &r->q[y * r->nw]};
    d.a = gsl_matrix_alloc((size_t)r->nw, (size_t)r->nw);
    d.start = gsl_vector_alloc((size_t)r->nw);
    for (int i = 0; i < r->nw; i++) {
        double w = 0;
        for (int k = 0; k < r->ny; k++) w += r->take[i * r->ny + k] * s->charge[k];
        gsl_vector_set(d.start, (size_t)i, w);
        for (int j = 0; j < r->nw; j++)
            gsl_matrix_set(d.a, (size_t)i, (size_t)j, r->a[i * r->nw + j]);
    }
    double t = last_crossing(&d, volts);
    gsl_matrix_free(d.a);
    gsl_vector_free(d.start);
    return t;
}
