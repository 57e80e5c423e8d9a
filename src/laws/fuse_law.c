/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two bodies. A surge shorter than the element's own cooling melts it by its I2t alone; a current
 * that it carries for ever warms both. Melted metal is not followed: a switch opens the circuit. */
#include "fuse_law.h"

#include <math.h>
#include <stddef.h>

#include "numbers.h"

struct fuse_law fuse_law_of(const struct fuse_rating *r, double ambient)
{
    double rise = r->melts - LAWS_ROOM, hot = 1 + r->coefficient * rise,
           watts = sq(r->amperes) * r->cold * hot; /* at rated current, melting */
    double element = rise / (watts * sq(r->opens_at_once)),
           whole = rise / (watts * sq(r->opens_ever)), body = whole - element; /* [K/W] */
    return (struct fuse_law){.cold = r->cold,
                             .coefficient = r->coefficient,
                             .melts = r->melts,
                             .heat = r->i2t * r->cold * r->coefficient / log(hot),
                             .body_heat = r->body_time / body,
                             .to_body = 1 / element,
                             .to_room = 1 / body,
                             .ambient = ambient};
}

void fuse_settled(const struct fuse_law *l, double amperes, double *element, double *body)
{
    double whole = 1 / l->to_body + 1 / l->to_room, watts = sq(amperes) * l->cold,
           at_room = watts * (1 + l->coefficient * (l->ambient - LAWS_ROOM));
    double rise = at_room * whole / (1 - l->coefficient * watts * whole);
    *element = l->ambient + rise;
    *body = l->ambient + rise / (whole * l->to_room);
}

static double conductance(const struct fuse_law *l, double kelvin, double *slope)
{
    double factor = 1 + l->coefficient * (smaller(kelvin, l->melts) - LAWS_ROOM),
           g = 1 / (l->cold * larger(factor, 0.05));
    *slope = factor > 0.05 && kelvin < l->melts ? -l->coefficient * g / factor : 0;
    return g;
}

static void prepare(const void *par, const double *s, const double *x, double *c)
{
    const struct fuse_law *l = par;
    double slope;
    (void)x;
    c[1] = conductance(l, s[0], &slope);
    c[0] = c[1] - conductance(l, l->melts, &slope);
}

static void rates(const void *par, const double *v, const double *s, const double *c, double *ds)
{
    const struct fuse_law *l = par;
    double passed = l->to_body * (s[0] - s[1]);
    ds[0] = (sq(v[0]) * c[1] - passed) / l->heat;
    ds[1] = (passed - l->to_room * (s[1] - l->ambient)) / l->body_heat;
}

static void slopes(const void *par, const double *v, const double *s, const double *x,
                   const double *c, struct device_slopes *d)
{
    const struct fuse_law *l = par;
    double dg;
    (void)x;
    conductance(l, s[0], &dg);
    d->i_s[0][0] = dg * v[0];
    d->ds_v[0][0] = 2 * v[0] * c[1] / l->heat;
    d->ds_s[0][0] = (sq(v[0]) * dg - l->to_body) / l->heat;
    d->ds_s[0][1] = l->to_body / l->heat;
    d->ds_s[1][0] = l->to_body / l->body_heat;
    d->ds_s[1][1] = -(l->to_body + l->to_room) / l->body_heat;
}

static unsigned slow(const void *par)
{
    (void)par;
    return 3;
}

const struct device_law law_fuse = {"fuse", true, prepare, law_line, rates, slopes, NULL, slow};
