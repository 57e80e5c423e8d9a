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

/* The inner product of many numbers, in four sums: one addition need not wait for the last. */
static inline double dot_wide(int n, const double *a, const double *b)
{
    double s[4] = {0};
    int i = 0;
    for (; i + 4 <= n; i += 4)
        for (int k = 0; k < 4; k++) s[k] += a[i + k] * b[i + k];
    for (; i < n; i++) s[0] += a[i] * b[i];
    return (s[0] + s[1]) + (s[2] + s[3]);
}

#endif
