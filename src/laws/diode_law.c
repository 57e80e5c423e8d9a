/* SPDX-License-Identifier: GPL-3.0-or-later */
/* v sqrt(v), never pow; the knee by square roots only. */
#include <math.h>
#include <stddef.h>

#include "emission.h"
#include "laws.h"
#include "numbers.h"

/* Coefficients of the one port: perveance now, saturation now. */
static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct diode_law *d = par;
    (void)s;
    c[0] = d->perveance;
    c[1] = HUGE_VAL;
    if (!d->heated) return;
    c[0] *= emission_perveance(x[0], NULL);
    c[1] = larger(d->emission * emission_saturation(x[0], NULL), 1e-15);
}

static double current(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port;
    if (v <= 0) {
        *g = 0;
        return 0;
    }
    double root = sqrt(v), j = c[0] * v * root, ratio = j / c[1], r4 = sq(sq(ratio));
    double knee = 1 / sqrt(sqrt(1 + r4));
    *g = 1.5 * c[0] * root * knee / (1 + r4);
    return j * knee;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct diode_law *law = par;
    (void)s;
    if (!law->heated || v[0] <= 0) return;
    double dp, ds;
    emission_perveance(x[0], &dp);
    double saturation = emission_saturation(x[0], &ds);
    double j = c[0] * v[0] * sqrt(v[0]), ratio = j / c[1], r4 = sq(sq(ratio));
    double bent = 1 / sqrt(sqrt(1 + r4)) / (1 + r4); /* (1 + r^4)^(-5/4) */
    d->i_x[0][0] = bent * law->perveance * dp * v[0] * sqrt(v[0]);
    if (law->emission * saturation > 1e-15) d->i_x[0][0] += ratio * r4 * bent * law->emission * ds;
}

const struct device_law law_diode = {"vacuum diode", false,  prepare, current,
                                     NULL,           slopes, NULL,    NULL};
