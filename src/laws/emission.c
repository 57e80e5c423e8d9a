/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The knee between space charge and saturation has exponent 4: sharp enough to leave the 3/2 law
 * alone (0.04 % at a fifth of saturation), smooth enough to integrate. */
#include "emission.h"

#include <math.h>

#include "numbers.h"

double emission_saturation(double kelvin, double *slope)
{
    const double work = 11604.5, t0 = EMISSION_RATED_KELVIN;
    double t = larger(kelvin, 200), r = sq(t / t0) * exp(-work * (1 / t - 1 / t0));
    if (slope) *slope = kelvin > 200 ? r * (2 / t + work / (t * t)) : 0;
    return r;
}

double emission_perveance(double kelvin, double *slope)
{
    if (slope) *slope = 1 / EMISSION_RATED_KELVIN;
    return kelvin / EMISSION_RATED_KELVIN;
}

double emission_share(double kelvin, double *slope)
{
    double ds, dp, s = emission_saturation(kelvin, &ds), p = emission_perveance(kelvin, &dp);
    double r = 1 / (EMISSION_EXCESS * larger(s, 1e-12)), r4 = sq(sq(r));
    double knee = 1 / sqrt(sqrt(1 + r4));
    /* d knee / d s = r^5 (1 + r^4)^(-5/4) * excess */
    double dknee = r * sq(sq(r)) * knee / (1 + r4) * EMISSION_EXCESS * ds;
    if (slope) *slope = dp * knee + p * dknee;
    return p * knee;
}
