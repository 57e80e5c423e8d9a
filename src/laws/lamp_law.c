/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heat balance of a tungsten filament: electric watts against radiation and what the filling
 * carries off. No function of time stands for warming. */
#include <math.h>
#include <stddef.h>

#include "lamp_law.h"
#include "numbers.h"
#include "tungsten.h"

#define COIL 0.65

struct lamp_law lamp_law_of(const struct lamp_rating *rating, double ambient)
{
    double slope, ohms = rating->volts / rating->amperes, watts = rating->volts * rating->amperes;
    double rho = tungsten_resistivity(rating->kelvin, &slope);
    double area =
        watts * (1 - rating->gas_loss) /
        (tungsten_radiance(rating->kelvin, &slope) - tungsten_radiance(LAWS_ROOM, &slope));
    /* area = COIL pi d l and ohms = rho 4 l/(pi d^2) */
    double thick = cbrt(4 * rho * area / (COIL * sq(PI) * ohms)),
           length = area / (COIL * PI * thick);
    return (struct lamp_law){.resistance = ohms,
                             .resistivity = rho,
                             .area = area,
                             .gas = watts * rating->gas_loss / (rating->kelvin - LAWS_ROOM),
                             .mass = TUNGSTEN_DENSITY * PI / 4 * sq(thick) * length,
                             .ambient = ambient};
}

static double conductance(const struct lamp_law *l, double kelvin, double *slope)
{
    double rho = tungsten_resistivity(kelvin, slope), g = l->resistivity / (l->resistance * rho);
    *slope *= -g / rho;
    return g;
}

/* Watts given off, and their slope. */
static double given(const struct lamp_law *l, double kelvin, double *slope)
{
    double unused, out = tungsten_radiance(kelvin, slope) - tungsten_radiance(l->ambient, &unused);
    *slope = l->area * *slope + l->gas;
    return l->area * out + l->gas * (kelvin - l->ambient);
}

double lamp_settled_kelvin(const struct lamp_law *law, double volts)
{
    double low = law->ambient, high = 6000, slope;
    for (int k = 0; k < 60; k++) {
        double middle = (low + high) / 2, taken = sq(volts) * conductance(law, middle, &slope);
        *(taken > given(law, middle, &slope) ? &low : &high) = middle;
    }
    return (low + high) / 2;
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct lamp_law *l = par;
    double slope;
    (void)x;
    c[1] = conductance(l, s[0], &slope);
    c[0] = c[1] - 1 / l->resistance;
}

static void rates(const void *par, const double *v, const double *s, const double *c, double *ds)
{
    const struct lamp_law *l = par;
    double slope;
    ds[0] = (sq(v[0]) * c[1] - given(l, s[0], &slope)) / (l->mass * tungsten_heat(s[0], &slope));
}

double lamp_cooled_kelvin(const struct lamp_law *law, double kelvin, double seconds)
{
    enum { STEPS = 2000 };
    const double none = 0, h = seconds / STEPS;
    for (int k = 0; k < STEPS; k++) {
        double half = kelvin, c[PORT_COEFFICIENTS] = {0}, rate;
        rates(law, &none, &half, c, &rate);
        half += h / 2 * rate;
        rates(law, &none, &half, c, &rate);
        kelvin += h * rate;
    }
    return kelvin;
}

enum lamp_glow lamp_glow(double kelvin)
{
    return kelvin < 798    ? LAMP_DARK
           : kelvin < 1200 ? LAMP_DULL_RED
           : kelvin < 1800 ? LAMP_ORANGE
           : kelvin < 2400 ? LAMP_DIM_YELLOW
                           : LAMP_BRIGHT;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct lamp_law *l = par;
    double dg, dout, dheat, heat = tungsten_heat(s[0], &dheat), rate;
    (void)x;
    conductance(l, s[0], &dg);
    rate = (sq(v[0]) * c[1] - given(l, s[0], &dout)) / (l->mass * heat);
    d->i_s[0][0] = dg * v[0];
    d->ds_v[0][0] = 2 * v[0] * c[1] / (l->mass * heat);
    d->ds_s[0][0] = (sq(v[0]) * dg - dout) / (l->mass * heat) - rate * dheat / heat;
}

/* Not slow: a filament goes far within a cycle when a surge comes. */
const struct device_law law_lamp = {"tungsten lamp", true,   prepare, law_line,
                                    rates,           slopes, NULL,    NULL};
