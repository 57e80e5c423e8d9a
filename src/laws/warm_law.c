/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Copper that warms: the network holds its cold ohms, the ports carry what the warming changes. The
 * coefficient that port 0 leaves free keeps what the body passes on. */
#include <stddef.h>

#include "laws.h"
#include "numbers.h"
#include "thermal.h"

#define LEAST 0.05 /* of the cold ohms: far below any real temperature the line ends */

/* Conductance over that at the reference. */
static double relative(const struct warm_law *w, double t, double *slope)
{
    double factor = larger(1 + w->coefficient * (t - w->reference), LEAST);
    *slope = factor > LEAST ? -w->coefficient / sq(factor) : 0;
    return 1 / factor;
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct warm_law *w = par;
    double slope, share = relative(w, s[0], &slope);
    for (int k = 0; k < w->ports; k++) c[k * PORT_COEFFICIENTS] = (share - 1) / w->resistance[k];
    c[1] = thermal_flow(&w->body, s[0], x);
}

static double current(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port;
    *g = c[0];
    return c[0] * v;
}

/* Watts over the relative conductance: sum of v^2/R0. */
static double cold_watts(const struct warm_law *w, const double *v)
{
    double sum = 0;
    for (int k = 0; k < w->ports; k++) sum += sq(v[k]) / w->resistance[k];
    return sum;
}

static void rates(const void *par, const double *v, const double *s, const double *c, double *ds)
{
    const struct warm_law *w = par;
    double slope;
    ds[0] = (cold_watts(w, v) * relative(w, s[0], &slope) - c[1]) / w->body.heat;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct warm_law *w = par;
    double slope, share = relative(w, s[0], &slope);
    (void)x, (void)c;
    for (int k = 0; k < w->ports; k++) {
        d->i_s[k][0] = slope * v[k] / w->resistance[k];
        d->ds_v[0][k] = 2 * v[k] * share / w->resistance[k] / w->body.heat;
    }
    d->ds_s[0][0] = cold_watts(w, v) * slope / w->body.heat + thermal_slopes(&w->body, d->ds_x[0]);
}

const struct device_law law_warm = {"warm resistance", true, prepare, current, rates, slopes, NULL,
                                    law_slow_first};
