/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Resistance against its own temperature, and a heat balance for that. */
#include <math.h>
#include <stddef.h>

#include "laws.h"
#include "numbers.h"

double thermistor_cooling(struct thermistor_law *law, double watts, double over, double less,
                          double under, double seconds)
{
    double power = log(watts / less) / log(over / under), held = clamp(power, 1, 2), e = held - 1;
    /* cooling by this law from `over` to 1/e of it takes heat over/watts (exp(e) - 1)/e */
    double longer = e > 1e-6 ? expm1(e) / e : 1;
    law->loss = watts / pow(over, held);
    law->power = held;
    law->heat = seconds * watts / over / longer;
    return power;
}

static double conductance(const struct thermistor_law *l, double kelvin, double *slope)
{
    double t = larger(kelvin, 50), g = exp(-l->b * (1 / t - 1 / LAWS_ROOM)) / l->resistance;
    g *= pow(t / LAWS_ROOM, -l->rise);
    *slope = g * l->b / sq(t) - g * l->rise / t;
    return g;
}

/* Watts given off, and their slope. */
static double given(const struct thermistor_law *l, double kelvin, double *slope)
{
    double over = kelvin - l->ambient, part = l->loss * pow(fabs(over), l->power - 1);
    *slope = l->power * part;
    return part * over;
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct thermistor_law *l = par;
    double slope;
    (void)x;
    c[1] = conductance(l, s[0], &slope);
    c[0] = c[1] - 1 / l->resistance;
}

static void rates(const void *par, const double *v, const double *s, const double *c, double *ds)
{
    const struct thermistor_law *l = par;
    double slope;
    ds[0] = (sq(v[0]) * c[1] - given(l, s[0], &slope)) / l->heat;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct thermistor_law *l = par;
    double dg, dout;
    (void)x;
    conductance(l, s[0], &dg);
    given(l, s[0], &dout);
    d->i_s[0][0] = dg * v[0];
    d->ds_v[0][0] = 2 * v[0] * c[1] / l->heat;
    d->ds_s[0][0] = (sq(v[0]) * dg - dout) / l->heat;
}

const struct device_law law_thermistor = {"thermistor", true,   prepare, law_line,
                                          rates,        slopes, NULL,    law_slow_first};
