/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One equation in u, rising and convex, so that Newton's method from above comes down to its root
 * without a fail; its derivatives give those of the current by the rule for implicit functions. */
#include <math.h>
#include <stddef.h>

#include "emission.h"
#include "laws.h"
#include "numbers.h"

#define GRID_SOFT 0.05 /* [V] */

/* x^2 (x + soft)^(-1/2), nothing below zero; *slope its derivative. */
static double power(double x, double soft, double *slope)
{
    *slope = 0;
    if (x <= 0) return 0;
    double root = sqrt(x + soft);
    *slope = x * (1.5 * x + 2 * soft) / ((x + soft) * root);
    return x * x / root;
}

double output_current(double perveance, double u, double soft)
{
    double slope;
    return perveance * power(u, soft, &slope);
}

/* Where the tube works: powers of u and of the grid's volts, their slopes, and dF/du. */
struct working {
    double u, u_power, u_slope;
    double g_power, g_slope;
    double rise;
};

/* G = share * perveance. False when it is cut off. */
static bool solve(const struct output_law *l, double share, double v, struct working *w)
{
    const double k = share * l->perveance, back = l->cathode * (1 - l->leak) * k;
    const double drive = l->bias + l->leak * v, plate = v / l->factor;
    w->u = plate + drive; /* with neither grid current nor bias resistor */
    if (w->u <= 0) return false;
    for (int step = 0; step < 60; step++) {
        w->u_power = power(w->u, l->soft, &w->u_slope);
        w->g_power = power(w->u - plate, GRID_SOFT, &w->g_slope);
        w->rise = 1 + l->grid * k * w->g_slope + back * w->u_slope;
        double over = (w->u - plate - drive) + l->grid * k * w->g_power + back * w->u_power;
        double next = w->u - over / w->rise;
        if (!(next < w->u) || w->u - next <= 1e-15 * w->u) break;
        w->u = next;
    }
    return true;
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct output_law *l = par;
    (void)s;
    c[0] = l->tubes ? 0 : 1;
    for (int k = 0; k < l->tubes; k++) c[0] += l->weight[k] * emission_share(x[k], NULL);
    c[PORT_COEFFICIENTS] = c[0];
}

static double current(const void *par, int port, const double *c, double v, double *g)
{
    const struct output_law *l = par;
    const double most = c[0] * l->perveance * l->share[port];
    struct working w;
    *g = 0;
    if (!solve(l, c[0], v, &w)) return 0;
    double grid = 1 + l->grid * c[0] * l->perveance * w.g_slope;
    *g = most * w.u_slope * (grid / l->factor + l->leak) / w.rise;
    return most * w.u_power;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct output_law *l = par;
    (void)s;
    for (int port = 0; port < (l->share[1] > 0 ? 2 : 1); port++) {
        struct working w;
        if (!solve(l, c[0], v[port], &w)) continue;
        double falls =
            l->perveance * (l->grid * w.g_power + l->cathode * (1 - l->leak) * w.u_power) / w.rise;
        double i_share = l->share[port] * l->perveance * (w.u_power - c[0] * w.u_slope * falls);
        for (int k = 0; k < l->tubes; k++) {
            double slope;
            emission_share(x[k], &slope);
            d->i_x[port][k] = i_share * l->weight[k] * slope;
        }
    }
}

const struct device_law law_output = {"output stage", false,  prepare, current,
                                      NULL,           slopes, NULL,    NULL};
