/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heat balances of wire and cathode. No function of time stands for warming: the watts are those of
 * the instant. */
#include <math.h>
#include <stddef.h>

#include "emission.h"
#include "laws.h"
#include "numbers.h"

static double fourth(double t)
{
    return sq(sq(t));
}

/* Conductance of a section at wire temperature t [S] and its derivative. */
static double conductance(const struct heater_law *h, int k, double t, double *slope)
{
    double g = pow(larger(t, 50) / h->wire_kelvin, -1.2) / h->resistance[k];
    *slope = -1.2 * g / larger(t, 50);
    return g;
}

/* Watts from the wire of section k to its surroundings at rated difference of fourth powers. */
static double radiated(const struct heater_law *h, int k, double wire, double other)
{
    double other_rated = h->has_cathode ? h->cathode_kelvin : h->ambient;
    return h->watts[k] * (fourth(wire) - fourth(other)) /
           (fourth(h->wire_kelvin) - fourth(other_rated));
}

static double total_watts(const struct heater_law *h)
{
    return h->watts[0] + (h->sections > 1 ? h->watts[1] : 0);
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct heater_law *h = par;
    (void)x;
    for (int k = 0; k < h->sections; k++) {
        double slope, g = conductance(h, k, s[k], &slope);
        c[k * PORT_COEFFICIENTS] = h->parallel * (g - 1 / h->resistance[k]);
        c[k * PORT_COEFFICIENTS + 1] = g;
    }
}

static double current(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port;
    *g = c[0];
    return c[0] * v;
}

static void rates(const void *par, const double *v, const double *s, const double *c, double *ds)
{
    const struct heater_law *h = par;
    double received = 0, other = h->has_cathode ? s[h->sections] : h->ambient;
    for (int k = 0; k < h->sections; k++) {
        double out = radiated(h, k, s[k], other);
        ds[k] = (sq(v[k]) * c[k * PORT_COEFFICIENTS + 1] - out) / h->wire_heat[k];
        received += out;
    }
    if (!h->has_cathode) return;
    double lost = total_watts(h) * (fourth(other) - fourth(h->ambient)) /
                  (fourth(h->cathode_kelvin) - fourth(h->ambient));
    ds[h->sections] = (received - lost) / h->cathode_heat;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct heater_law *h = par;
    const int cathode = h->sections;
    double other_rated = h->has_cathode ? h->cathode_kelvin : h->ambient, give = 0;
    double span = fourth(h->wire_kelvin) - fourth(other_rated);
    (void)x;
    for (int k = 0; k < h->sections; k++) {
        double dg, to_wire = 4 * h->watts[k] * s[k] * sq(s[k]) / span;
        conductance(h, k, s[k], &dg);
        d->i_s[k][k] = h->parallel * dg * v[k];
        d->ds_v[k][k] = 2 * v[k] * c[k * PORT_COEFFICIENTS + 1] / h->wire_heat[k];
        d->ds_s[k][k] = (sq(v[k]) * dg - to_wire) / h->wire_heat[k];
        if (!h->has_cathode) continue;
        double to_cathode = 4 * h->watts[k] * s[cathode] * sq(s[cathode]) / span;
        d->ds_s[k][cathode] = to_cathode / h->wire_heat[k];
        d->ds_s[cathode][k] = to_wire / h->cathode_heat;
        give += to_cathode;
    }
    if (!h->has_cathode) return;
    double lost = 4 * total_watts(h) * s[cathode] * sq(s[cathode]) /
                  (fourth(h->cathode_kelvin) - fourth(h->ambient));
    d->ds_s[cathode][cathode] = -(give + lost) / h->cathode_heat;
}

static unsigned slow(const void *par)
{
    const struct heater_law *h = par;
    return (1u << (h->sections + h->has_cathode)) - 1;
}

const struct device_law law_heater = {"heater", true, prepare, current, rates, slopes, NULL, slow};
