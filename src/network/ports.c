/* SPDX-License-Identifier: GPL-3.0-or-later */
/* v = a + Z i(v), a = Cv w + D u + D1 u'. Ports with straight laws (heaters, cores, warm
 * resistances) are eliminated first; Newton's method works on the few others, starting from their
 * last volts. Z is negative semidefinite and the laws rise, so both systems are well conditioned.
 * At the end i is taken from the linearised law, so that v and Z i agree to rounding even where Z
 * is 1e9 ohm. */
#include "ports.h"

#include <math.h>

#include "lu.h"

enum { NEWTON_MOST = 120 };
/* For the 3/2 law the next relative correction is at most a quarter of the square of this one. */
#define NEWTON_NEAR 1e-5

/* Pieces of eq->work. n = bents, m = straights. */
struct scratch {
    double *a;                /* [np] open-circuit volts */
    double *lu;               /* [m*m], later [n*n] */
    double *x;                /* [m*(1+n)] straight volts = x0 + X i_bent */
    double *z;                /* [n*n] Z of the bent ports with the straight ones connected */
    double *open;             /* [n] their open-circuit volts */
    double *dv, *rest, *next; /* [n] each */
};

static struct scratch scratch(const struct equations *eq)
{
    const int np = eq->r->np, n = eq->bents, m = eq->straights;
    struct scratch s = {.a = eq->work};
    s.lu = s.a + np;
    s.x = s.lu + (m > n ? m * m : n * n);
    s.z = s.x + m * (1 + n);
    s.open = s.z + n * n;
    s.dv = s.open + n;
    s.rest = s.dv + n;
    s.next = s.rest + n;
    return s;
}

static double current(struct equations *eq, int slot)
{
    const struct element *e = &eq->circuit->elements.at[eq->r->port_element[slot]];
    const struct device *d = &eq->circuit->devices.at[e->group];
    return d->law->current(d->par, e->port, &eq->c[slot * PORT_COEFFICIENTS], eq->v[slot],
                           &eq->g[slot]);
}

void ports_matrix(const struct equations *eq, double *m)
{
    const int n = eq->r->np;
    for (int a = 0; a < n; a++)
        for (int b = 0; b < n; b++) m[a * n + b] = (a == b) - eq->r->z[a * n + b] * eq->g[b];
}

static void open_volts(const struct equations *eq, const double *w, double *a)
{
    const struct reduced *r = eq->r;
    for (int k = 0; k < r->np; k++) {
        double sum = 0;
        for (int j = 0; j < r->nw; j++) sum += r->cv[k * r->nw + j] * w[j];
        for (int j = 0; j < r->nu; j++)
            sum += r->d[k * r->nu + j] * eq->u[j] + r->d1[k * r->nu + j] * eq->u1[j];
        a[k] = sum;
    }
}

/* Straight ports: i = i0 + g v. Leaves x, z, open. False when singular. */
static bool eliminate(struct equations *eq, const struct scratch *s)
{
    const int n = eq->bents, m = eq->straights, np = eq->r->np, wide = 1 + n;
    const double *z = eq->r->z;
    for (int k = 0; k < m; k++) {
        int slot = eq->straight[k];
        double keep = eq->v[slot];
        eq->v[slot] = 0;
        eq->i[slot] = current(eq, slot);
        eq->v[slot] = keep;
        if (eq->i[slot] == 0) continue;
        for (int j = 0; j < np; j++) s->a[j] += z[j * np + slot] * eq->i[slot];
    }
    for (int a = 0; a < m; a++) {
        const double *row = &z[eq->straight[a] * np];
        for (int b = 0; b < m; b++)
            s->lu[a * m + b] = (a == b) - row[eq->straight[b]] * eq->g[eq->straight[b]];
        s->x[a * wide] = s->a[eq->straight[a]];
        for (int b = 0; b < n; b++) s->x[a * wide + 1 + b] = row[eq->bent[b]];
    }
    if (!lu_factor(m, s->lu, eq->pivot)) return false;
    lu_solve_many(m, s->lu, eq->pivot, wide, s->x);
    for (int a = 0; a < n; a++) {
        const double *row = &z[eq->bent[a] * np];
        s->open[a] = s->a[eq->bent[a]];
        for (int b = 0; b < n; b++) s->z[a * n + b] = row[eq->bent[b]];
        for (int k = 0; k < m; k++) {
            double f = row[eq->straight[k]] * eq->g[eq->straight[k]];
            s->open[a] += f * s->x[k * wide];
            for (int b = 0; b < n; b++) s->z[a * n + b] += f * s->x[k * wide + 1 + b];
        }
    }
    return true;
}

/* s->rest = open + Z i(v) - v of the bent ports. */
static void residual(struct equations *eq, const struct scratch *s)
{
    const int n = eq->bents;
    for (int k = 0; k < n; k++) eq->i[eq->bent[k]] = current(eq, eq->bent[k]);
    for (int a = 0; a < n; a++) {
        s->rest[a] = s->open[a] - eq->v[eq->bent[a]];
        for (int b = 0; b < n; b++) s->rest[a] += s->z[a * n + b] * eq->i[eq->bent[b]];
    }
}

static void move(struct equations *eq, const struct scratch *s, double share)
{
    for (int k = 0; k < eq->bents; k++) eq->v[eq->bent[k]] += share * s->dv[k];
}

/* Greatest correction in volts that the present factors give for the present residual; left in
 * `to`. */
static double correction(struct equations *eq, const struct scratch *s, double *to)
{
    double most = 0;
    for (int k = 0; k < eq->bents; k++) to[k] = s->rest[k];
    lu_solve(eq->bents, s->lu, eq->pivot, to);
    for (int k = 0; k < eq->bents; k++) most = fabs(to[k]) > most ? fabs(to[k]) : most;
    return most;
}

static bool factors(struct equations *eq, const struct scratch *s)
{
    const int n = eq->bents;
    for (int a = 0; a < n; a++)
        for (int b = 0; b < n; b++)
            s->lu[a * n + b] = (a == b) - s->z[a * n + b] * eq->g[eq->bent[b]];
    return lu_factor(n, s->lu, eq->pivot);
}

/* Near enough that the correction in hand is the last: its successor would be nothing, or lost in
 * the rounding of the open-circuit volts (1e8 V where 1e9 ohm stands before a coil's current). */
static bool near(const struct equations *eq, const struct scratch *s)
{
    double rounding = 0;
    for (int k = 0; k < eq->bents; k++) rounding = fmax(rounding, 1e-15 * fabs(s->open[k]));
    for (int k = 0; k < eq->bents; k++)
        if (!(fabs(s->dv[k]) <= NEWTON_NEAR * (fabs(eq->v[eq->bent[k]]) + 1e-2) + rounding))
            return false;
    return true;
}

/* Where a saturated tube stands in series with a coil the full correction may jump to and fro: it
 * is halved until the correction that would follow with the same factors is smaller (natural
 * monotonicity: P. Deuflhard, Newton Methods for Nonlinear Problems, 2004, 3.3), a test that the
 * 1e9 ohm in Z cannot mislead. */
static bool newton(struct equations *eq, const struct scratch *s)
{
    residual(eq, s);
    for (int step = 0; step < NEWTON_MOST; step++) {
        eq->newton++;
        if (!factors(eq, s)) break;
        double most = correction(eq, s, s->dv), share = 1;
        if (!isfinite(most)) break;
        if (near(eq, s)) {
            for (int k = 0; k < eq->bents; k++) eq->i[eq->bent[k]] += eq->g[eq->bent[k]] * s->dv[k];
            move(eq, s, 1);
            return true;
        }
        move(eq, s, 1);
        for (residual(eq, s); !(correction(eq, s, s->next) < most) && share > 1e-12;
             residual(eq, s)) {
            share /= 2;
            move(eq, s, -share);
        }
    }
    for (int k = 0; k < eq->bents; k++) eq->v[eq->bent[k]] = 0;
    return false;
}

int ports_solve(struct equations *eq, const double *w)
{
    struct scratch s = scratch(eq);
    const int wide = 1 + eq->bents;
    open_volts(eq, w, s.a);
    if (!eliminate(eq, &s)) return 1;
    if (eq->bents && !newton(eq, &s)) return 1;
    for (int k = 0; k < eq->straights; k++) {
        int slot = eq->straight[k];
        double v = s.x[k * wide];
        for (int b = 0; b < eq->bents; b++) v += s.x[k * wide + 1 + b] * eq->i[eq->bent[b]];
        eq->v[slot] = v;
        eq->i[slot] += eq->g[slot] * v;
    }
    return 0;
}
