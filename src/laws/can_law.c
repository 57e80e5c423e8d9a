/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heat balance of a capacitor's can. What warms it is read off the volts at its ports: those that
 * watch carry no current and leave the network as it is. */
#include <math.h>
#include <stddef.h>

#include "laws.h"
#include "numbers.h"

#define EXPONENT_MOST 6.0

double can_growth(double growth, double rise)
{
    return exp(smaller(growth * rise, EXPONENT_MOST));
}

static double conductance(const struct can_law *can, int port, double t, double *slope)
{
    const struct can_port *p = &can->port[port];
    double rise = t - can->reference, g = p->siemens * can_growth(p->growth, rise);
    *slope = p->growth * rise > EXPONENT_MOST ? 0 : p->growth * g;
    return g;
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct can_law *can = par;
    double slope;
    (void)x;
    for (int k = 0; k < can->ports; k++) {
        double g = conductance(can, k, s[0], &slope);
        c[k * PORT_COEFFICIENTS] = g - can->port[k].siemens;
        c[k * PORT_COEFFICIENTS + 1] = g;
    }
}

static double current(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port;
    *g = c[0];
    return c[0] * v;
}

/* Watts at a port and their derivative by its volts. */
static double watts(const struct can_port *p, double g, double v, double *slope)
{
    double sum = sq(v) * g;
    *slope = 2 * v * g;
    for (int k = 0; k < p->knees; k++) {
        double over = v - p->knee[k].volts;
        if (over <= 0) continue;
        sum += v * over / p->knee[k].ohms;
        *slope += (v + over) / p->knee[k].ohms;
    }
    return sum;
}

static void rates(const void *par, const double *v, const double *s, const double *c, double *ds)
{
    const struct can_law *can = par;
    double sum = -(s[0] - can->ambient) / can->thermal_resistance, slope;
    for (int k = 0; k < can->ports; k++)
        sum += watts(&can->port[k], c[k * PORT_COEFFICIENTS + 1], v[k], &slope);
    ds[0] = sum / can->heat;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct can_law *can = par;
    double by_kelvin = -1 / can->thermal_resistance;
    (void)x;
    for (int k = 0; k < can->ports; k++) {
        double grows, by_volts;
        conductance(can, k, s[0], &grows);
        watts(&can->port[k], c[k * PORT_COEFFICIENTS + 1], v[k], &by_volts);
        d->i_s[k][0] = grows * v[k];
        d->ds_v[0][k] = by_volts / can->heat;
        by_kelvin += sq(v[k]) * grows;
    }
    d->ds_s[0][0] = by_kelvin / can->heat;
}

/* What conducts above a knee only looks at more than the square. */
static unsigned slow(const void *par)
{
    const struct can_law *can = par;
    for (int k = 0; k < can->ports; k++)
        if (can->port[k].knees) return 0;
    return 1;
}

const struct device_law law_can = {"can", true, prepare, current, rates, slopes, NULL, slow};

double can_critical_leakage(const struct can_law *can, double growth, double volts)
{
    if (growth <= 0 || volts == 0) return HUGE_VAL;
    return exp(-1 - growth * (can->ambient - can->reference)) /
           (growth * can->thermal_resistance * sq(volts));
}
