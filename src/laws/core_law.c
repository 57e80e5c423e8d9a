/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Single-valued magnetising curve with a smooth knee; what the core loses is a resistance beside
 * it, whose watts warm the core. */
#include <math.h>
#include <stddef.h>

#include "laws.h"
#include "numbers.h"
#include "thermal.h"

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
    const struct core_law *k = par;
    double slope;
    c[0] = magnetise(k, s[0], &slope);
    c[1] = k->body.heat > 0 ? thermal_flow(&k->body, s[1], x) : 0;
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
    const struct core_law *k = par;
    (void)s;
    ds[0] = v[0];
    if (k->body.heat > 0) ds[1] = (sq(v[0]) * k->loss - c[1]) / k->body.heat;
}

static void core_slopes(const void *par, const double *v, const double *s, const double *x,
                        const double *c, struct device_slopes *d)
{
    const struct core_law *k = par;
    (void)x, (void)c;
    magnetise(k, s[0], &d->i_s[0][0]);
    d->ds_v[0][0] = 1;
    if (!(k->body.heat > 0)) return;
    d->ds_v[1][0] = 2 * v[0] * k->loss / k->body.heat;
    d->ds_s[1][1] = thermal_slopes(&k->body, d->ds_x[1]);
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

/* Its temperature, never its flux. */
static unsigned core_slow(const void *par)
{
    return ((const struct core_law *)par)->body.heat > 0 ? 2 : 0;
}

const struct device_law law_core = {"core",     true,        core_prepare, core_current,
                                    core_rates, core_slopes, core_stored,  core_slow};

unsigned law_slow_first(const void *par)
{
    (void)par;
    return 1;
}

double law_line(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port;
    *g = c[0];
    return c[0] * v;
}

const struct device_law *const laws_all[] = {
    &law_heater, &law_diode, &law_load, &law_output,     &law_warm, &law_core,
    &law_coil,   &law_can,   &law_lamp, &law_thermistor, &law_fuse,
};
const int laws_count = sizeof laws_all / sizeof laws_all[0];
