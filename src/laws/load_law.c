/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One curve i = share * f(v); the share comes from the cathodes of the tubes. */
#include <math.h>
#include <stddef.h>

#include "emission.h"
#include "laws.h"
#include "numbers.h"

static double curve(const struct load_law *l, double v, double *g)
{
    double low = 0.01 * l->volts, i0 = l->amperes;
    if (l->kind == LOAD_RESISTANCE) {
        *g = i0 / l->volts;
        return *g * v;
    }
    if (v <= 0) {
        *g = 0;
        return 0;
    }
    if (l->kind == LOAD_CURRENT) {
        double v1 = larger(low, 1), s = smaller(v / v1, 1);
        *g = i0 * 2 * (1 - s) / v1;
        return i0 * s * (2 - s);
    }
    double x = v / l->volts, k = 0.01;
    if (x >= k) {
        *g = 1.5 * i0 * sqrt(x) / l->volts;
        return i0 * x * sqrt(x);
    }
    /* cubic with the value and slope of the 3/2 law at x = k and both zero at 0 */
    double s = x / k, unit = i0 * k * sqrt(k);
    *g = unit * (3 * s - 1.5 * s * s) / (k * l->volts);
    return unit * s * s * (1.5 - 0.5 * s);
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct load_law *l = par;
    (void)s;
    c[0] = l->tubes ? 0 : 1;
    for (int k = 0; k < l->tubes; k++) c[0] += l->weight[k] * emission_share(x[k], NULL);
}

static double current(const void *par, int port, const double *c, double v, double *g)
{
    (void)port;
    double i = curve(par, v, g);
    *g *= c[0];
    return c[0] * i;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct load_law *l = par;
    double g, i = curve(l, v[0], &g);
    (void)s, (void)c;
    for (int k = 0; k < l->tubes; k++) {
        double share;
        emission_share(x[k], &share);
        d->i_x[0][k] = l->weight[k] * share * i;
    }
}

const struct device_law law_load = {"load", false, prepare, current, NULL, slopes, NULL, NULL};
