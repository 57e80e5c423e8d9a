/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Single-valued magnetising curve with a smooth knee; what the core loses is a resistance beside
 * it. Also the warm coil. */
#include <math.h>
#include <stddef.h>

#include "laws.h"
#include "numbers.h"

#define KNEE                                                                                       \
    0.04 /* width of the knee over the saturation flux: wider would magnetise below saturation (no \
            source) */

static double bend(double a, double b, double *slope)
{
    double h = sqrt(a * a + b * b);
    *slope = (1 + a / h) / 2;
    return a > 0 ? (a + h) / 2 : b * b / (h - a) / 2;
}

static double magnetise(const struct core_law *k, double x, double *slope)
{
    double b = KNEE * k->saturation, up, down;
    double i = x / k->magnetising +
               (bend(x - k->saturation, b, &up) - bend(-x - k->saturation, b, &down)) / k->air;
    *slope = 1 / k->magnetising + (up + down) / k->air;
    return i;
}

static void core_prepare(const void *par, const double *s, const double *x, double *c)
{
    double slope;
    (void)x;
    c[0] = magnetise(par, s[0], &slope);
}

static double core_current(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port, (void)v;
    *g = 0;
    return c[0];
}

static void core_rates(const void *par, const double *v, const double *s, const double *c,
                       double *ds)
{
    (void)par, (void)s, (void)c;
    ds[0] = v[0];
}

static void core_slopes(const void *par, const double *v, const double *s, const double *x,
                        const double *c, struct device_slopes *d)
{
    (void)v, (void)x, (void)c;
    magnetise(par, s[0], &d->i_s[0][0]);
    d->ds_v[0][0] = 1;
}

/* Integral of bend from -infinity is not finite; from 0: (a^2 + a h + b^2 asinh(a/b))/4. */
static double bend_integral(double a, double b)
{
    return (a * a + a * sqrt(a * a + b * b) + b * b * asinh(a / b)) / 4;
}

static double core_stored(const void *par, const double *s)
{
    const struct core_law *k = par;
    double b = KNEE * k->saturation, x = s[0], xs = k->saturation;
    return x * x / (2 * k->magnetising) +
           (bend_integral(x - xs, b) + bend_integral(-x - xs, b) - 2 * bend_integral(-xs, b)) /
               k->air;
}

const struct device_law law_core = {"core",     true,        core_prepare, core_current,
                                    core_rates, core_slopes, core_stored};

static double warm_conductance(const struct warm_law *w, double t, double *slope)
{
    double factor = larger(1 + w->coefficient * (t - w->reference), 0.05),
           g = 1 / (w->resistance * factor);
    *slope = factor > 0.05 ? -w->coefficient * g / factor : 0;
    return g;
}

static void warm_prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct warm_law *w = par;
    double slope;
    (void)x;
    c[1] = warm_conductance(w, s[0], &slope);
    c[0] = c[1] - 1 / w->resistance;
}

double law_line(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port;
    *g = c[0];
    return c[0] * v;
}

static void warm_rates(const void *par, const double *v, const double *s, const double *c,
                       double *ds)
{
    const struct warm_law *w = par;
    ds[0] = (sq(v[0]) * c[1] - (s[0] - w->ambient) / w->thermal_resistance) / w->heat;
}

static void warm_slopes(const void *par, const double *v, const double *s, const double *x,
                        const double *c, struct device_slopes *d)
{
    const struct warm_law *w = par;
    double slope;
    (void)x;
    warm_conductance(w, s[0], &slope);
    d->i_s[0][0] = slope * v[0];
    d->ds_v[0][0] = 2 * v[0] * c[1] / w->heat;
    d->ds_s[0][0] = (sq(v[0]) * slope - 1 / w->thermal_resistance) / w->heat;
}

const struct device_law law_warm = {"warm resistance", true,        warm_prepare, law_line,
                                    warm_rates,        warm_slopes, NULL};

const struct device_law *const laws_all[] = {
    &law_heater, &law_diode, &law_load, &law_output,     &law_warm,
    &law_core,   &law_can,   &law_lamp, &law_thermistor, &law_fuse,
};
const int laws_count = sizeof laws_all / sizeof laws_all[0];
