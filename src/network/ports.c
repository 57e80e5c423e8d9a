/* SPDX-License-Identifier: GPL-3.0-or-later */
/* v = a + Z i(v), a = Cv w + D u + D1 u'. Ports with straight laws (heaters, cores, warm resistances) are eliminated first; Newton's method
 * works on the few others, starting from their last volts. Z is negative semidefinite and the laws rise, so both systems are
 * well conditioned. At the end i is taken from the linearised law, so that v and Z i agree to rounding even where Z is 1e9 ohm. */
#include "ports.h"

#include <math.h>

#include "lu.h"

enum { NEWTON_MOST = 60, NEWTON_PATIENCE = 12 };

/* Pieces of eq->work. n = bents, m = straights. */
struct scratch {
    double *a;      /* [np] open-circuit volts */
    double *lu;     /* [m*m], later [n*n] */
    double *x;      /* [m*(1+n)] straight volts = x0 + X i_bent */
    double *z;      /* [n*n] Z of the bent ports with the straight ones connected */
    double *open;   /* [n] their open-circuit volts */
    double *dv;     /* [n] */
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
    return s;
}

static double current(struct equations *eq, int slot)
{
    const struct element *e = &eq->circuit->elements.at[eq->r->port_element[slot]];
    const struct device *d = &eq->circuit->devices.at[e->group];
    return d->law->current(d->par, e->port, &eq->c[slot * PORT_COEFFICIENTS], eq->v[slot], &eq->g[slot]);
}

void ports_matrix(const struct equations *eq, double *m)
{
    const int n = eq->r->np;
    for (int a = 0; a < n; a++)
        for (int b = 0; b < n; b++) m[a * n + b] = (a == b) - eq->r->z[a * n + b] * eq->g[b];
}

static void open_volts(struct equations *eq, const double *w, double *a)
{
    const struct reduced *r = eq->r;
    for (int k = 0; k < r->np; k++) {
        double sum = 0;
        for (int j = 0; j < r->nw; j++) sum += r->cv[k * r->nw + j] * w[j];
        for (int j = 0; j < r->nu; j++) sum += r->d[k * r->nu + j] * eq->u[j] + r->d1[k * r->nu + j] * eq->u1[j];
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
        for (int b = 0; b < m; b++) s->lu[a * m + b] = (a == b) - row[eq->straight[b]] * eq->g[eq->straight[b]];
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

/* One Newton step of the bent ports; the greatest correction relative to its volts, or -1 when it cannot be made. */
static double correct(struct equations *eq, const struct scratch *s, double damp)
{
    const int n = eq->bents;
    double worst = 0;
    for (int k = 0; k < n; k++) eq->i[eq->bent[k]] = current(eq, eq->bent[k]);
    for (int a = 0; a < n; a++) {
        double rest = s->open[a] - eq->v[eq->bent[a]];
        for (int b = 0; b < n; b++) {
            rest += s->z[a * n + b] * eq->i[eq->bent[b]];
            s->lu[a * n + b] = (a == b) - s->z[a * n + b] * eq->g[eq->bent[b]];
        }
        s->dv[a] = rest;
    }
    if (!lu_factor(n, s->lu, eq->pivot)) return -1;
    lu_solve(n, s->lu, eq->pivot, s->dv);
    for (int k = 0; k < n; k++) {
        int slot = eq->bent[k];
        double size = fabs(s->dv[k]) / (fabs(eq->v[slot]) + 1e-2);
        if (size > worst) worst = size;
        eq->v[slot] += damp * s->dv[k];
        eq->i[slot] += damp * eq->g[slot] * s->dv[k];
        if (!isfinite(eq->v[slot])) {
            eq->v[slot] = 0;
            return -1;
        }
    }
    return worst;
}

static bool newton(struct equations *eq, const struct scratch *s)
{
    for (int step = 0; step < NEWTON_MOST; step++) {
        /* the next correction would be of the order of the square of this one */
        double worst = correct(eq, s, step < NEWTON_PATIENCE ? 1 : 0.5);
        eq->newton++;
        if (worst < 0) return false;
        if (worst <= (step < NEWTON_PATIENCE ? 1e-8 : 1e-12)) return true;
    }
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
