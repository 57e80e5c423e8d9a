/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_NUMBERS_H
#define PRESOLDER_NUMBERS_H

#define PI 3.14159265358979323846

static inline double sq(double x)
{
    return x * x;
}
static inline double larger(double a, double b)
{
    return a > b ? a : b;
}
static inline double smaller(double a, double b)
{
    return a < b ? a : b;
}
static inline double clamp(double x, double low, double high)
{
    return smaller(larger(x, low), high);
}

#endif
