/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A coil on iron with a gap: its inductance falls as its current rises. */
#include <math.h>
#include <stddef.h>

#include "laws.h"
#include "numbers.h"

/* |x/xs|^(n-1): n - 1 is even. */
static double bend(const struct coil_law *l, double x)
{
    return pow(fabs(x / l->knee), l->power - 1);
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct coil_law *l = par;
    (void)x;
    c[0] = s[0] / l->inductance * (1 + bend(l, s[0]));
}

static double current(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port, (void)v;
    *g = 0;
    return c[0];
}

static void rates(const void *par, const double *v, const double *s, const double *c, double *ds)
{
    (void)par, (void)s, (void)c;
    ds[0] = v[0];
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct coil_law *l = par;
    (void)v, (void)x, (void)c;
    d->i_s[0][0] = (1 + l->power * bend(l, s[0])) / l->inductance;
    d->ds_v[0][0] = 1;
}

static double stored(const void *par, const double *s)
{
    const struct coil_law *l = par;
    return sq(s[0]) / l->inductance * (0.5 + bend(l, s[0]) / (l->power + 1));
}

const struct device_law law_coil = {"coil", true, prepare, current, rates, slopes, stored, NULL};

/* --- from what is known of a coil ----------------------------------------------------------- */

double coil_flux(const struct coil_law *l, double amperes)
{
    double least = 0, most = l->inductance * fabs(amperes), c[PORT_COEFFICIENTS];
    for (int k = 0; k < 200 && most - least > 1e-15 * most; k++) {
        double middle = (least + most) / 2;
        prepare(l, &middle, NULL, c);
        *(c[0] < fabs(amperes) ? &least : &most) = middle;
    }
    return copysign(most, amperes);
}

/* The bend at which L = henries, and the flux there. */
static double bend_at(const struct coil_law *l, double henries)
{
    return (l->inductance / henries - 1) / l->power;
}

static double flux_at(const struct coil_law *l, double henries, double amperes)
{
    return l->inductance * amperes / (1 + bend_at(l, henries));
}

void coil_fit_one(struct coil_law *l, double henries, double amperes)
{
    l->knee = flux_at(l, henries, amperes) * pow(bend_at(l, henries), -1 / (l->power - 1));
}

/* ln of the knee that the second point asks for, over that of the first. */
static double disagreement(struct coil_law *l, const double henries[2], const double amperes[2])
{
    double knee[2];
    for (int k = 0; k < 2; k++) {
        coil_fit_one(l, henries[k], amperes[k]);
        knee[k] = l->knee;
    }
    return log(knee[1] / knee[0]);
}

bool coil_fit_two(struct coil_law *l, const double henries[2], const double amperes[2])
{
    for (l->power = COIL_POWER; l->power <= COIL_STEEPEST; l->power += 2) {
        double least = 1, most = 10; /* inductance without current over that of the first point */
        if (amperes[0] <= 0) {
            l->inductance = henries[0];
            coil_fit_one(l, henries[1], amperes[1]);
            return true;
        }
        l->inductance = most * henries[0];
        if (disagreement(l, henries, amperes) < 0) continue;
        for (int k = 0; k < 100; k++) {
            double middle = (least + most) / 2;
            l->inductance = middle * henries[0];
            *(disagreement(l, henries, amperes) < 0 ? &least : &most) = middle;
        }
        coil_fit_one(l, henries[1], amperes[1]);
        return true;
    }
    return false;
}
