/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables in even steps, joined by cubics whose slopes at the knots are those of the chord over both
 * neighbours: the functions and their slopes are continuous, and nothing is kept between calls. */
#include "tungsten.h"

#include "numbers.h"

enum { KNOTS = 34, FIRST = 300, STEP = 100 };

/* [microhm cm] */
static const double resistivity[KNOTS] = {
    5.65,  8.06,  10.56, 13.23, 16.09, 19.00, 21.94, 24.93, 27.94, 30.98, 34.08, 37.19,
    40.36, 43.55, 46.78, 50.05, 53.35, 56.67, 60.06, 63.48, 66.91, 70.39, 73.91, 77.49,
    81.04, 84.70, 88.33, 92.04, 95.76, 99.54, 103.3, 107.2, 111.1, 115.0};

/* [J/(kg K)] */
static const double heat[KNOTS] = {132.3, 135.4, 138.0, 140.4, 142.7, 145.1, 147.5, 149.9, 152.3,
                                   154.8, 157.4, 159.9, 162.5, 165.0, 167.6, 170.2, 172.5, 175.6,
                                   178.3, 180.6, 183.0, 185.6, 188.8, 192.8, 198.0, 204.5, 212.6,
                                   222.5, 234.6, 249.1, 266.1, 286.0, 309.0, 335.3};

static double knot_slope(const double *y, int k)
{
    if (k == 0) return y[1] - y[0];
    return k == KNOTS - 1 ? y[k] - y[k - 1] : (y[k + 1] - y[k - 1]) / 2;
}

/* Cubic of Hermite between the knots; `least` bounds what lies far below the table. */
static double table(const double *y, double kelvin, double least, double *slope)
{
    double at = (kelvin - FIRST) / STEP, last = KNOTS - 1;
    int k = at <= 0 ? 0 : at >= last ? KNOTS - 2 : (int)at;
    double u = clamp(at - k, 0, 1), beyond = at - k - u, a = y[k], b = y[k + 1],
           da = knot_slope(y, k), db = knot_slope(y, k + 1), rise = b - a;
    double c2 = 3 * rise - 2 * da - db, c3 = da + db - 2 * rise;
    double value = a + u * (da + u * (c2 + u * c3)), d = da + u * (2 * c2 + 3 * u * c3);
    value += beyond * d;
    *slope = value > least ? d / STEP : 0;
    return larger(value, least);
}

double tungsten_resistivity(double kelvin, double *slope)
{
    double value = table(resistivity, kelvin, 0.5, slope);
    *slope *= 1e-8;
    return value * 1e-8;
}

double tungsten_heat(double kelvin, double *slope)
{
    return table(heat, kelvin, 10, slope);
}

double tungsten_radiance(double kelvin, double *slope)
{
    const double sigma = 5.670374419e-8, e0 = -0.0266, e1 = 1.8197e-4, e2 = -2.1946e-8;
    /* it rises until long after the filament has melted, and stays: falling it would let the heat
     * run away */
    double t = kelvin, cube = t * sq(t), at = smaller(t, -e1 / (2 * e2)),
           emissivity = e0 + at * (e1 + at * e2);
    *slope = sigma * cube * (4 * emissivity + t * (e1 + 2 * at * e2));
    return sigma * cube * t * emissivity;
}

double tungsten_kelvin(double ratio, double cold)
{
    double low = FIRST, high = FIRST + STEP * (KNOTS - 1), slope,
           wanted = ratio * tungsten_resistivity(cold, &slope);
    for (int k = 0; k < 60; k++) {
        double middle = (low + high) / 2;
        *(tungsten_resistivity(middle, &slope) < wanted ? &low : &high) = middle;
    }
    return (low + high) / 2;
}
