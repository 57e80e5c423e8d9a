/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value of the series is its mantissa times a power of ten, written as a quotient or product of
 * whole numbers so that it is the double nearest to its decimal text. */
#include "preferred.h"

#include <math.h>

static const double e24[] = {1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0,
                             3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1};
static const double e12[] = {1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2};

#define CLOSE 1e-9

const double *preferred_decade(enum preferred_series series)
{
    return series == PREFERRED_E12 ? e12 : e24;
}

/* The k-th value of the series counted from 1.0. */
static double value_at(enum preferred_series series, int k)
{
    int n = (int)series, decade = (int)floor((double)k / n);
    double tenths = round(10 * preferred_decade(series)[k - decade * n]);
    int power = decade - 1;
    return power >= 0 ? tenths * pow(10, power) : tenths / pow(10, -power);
}

/* The greatest k whose value is not above. */
static int index_below(enum preferred_series series, double value)
{
    int k = (int)series * (int)floor(log10(value)) - 1;
    while (value_at(series, k + 1) <= value * (1 + CLOSE)) k++;
    return k;
}

double preferred_below(enum preferred_series series, double value)
{
    return value_at(series, index_below(series, value));
}

double preferred_above(enum preferred_series series, double value)
{
    int k = index_below(series, value);
    double below = value_at(series, k);
    return fabs(below - value) <= CLOSE * value ? below : value_at(series, k + 1);
}

bool preferred_is(enum preferred_series series, double value)
{
    return fabs(preferred_below(series, value) - value) <= CLOSE * value;
}

double preferred_watts(double watts)
{
    static const double sizes[] = {0.25, 0.5, 1, 2, 3, 5, 7, 10, 15, 20, 25, 50, 100};
    for (unsigned i = 0; i < sizeof sizes / sizeof sizes[0]; i++)
        if (watts <= sizes[i]) return sizes[i];
    return (double)INFINITY;
}
