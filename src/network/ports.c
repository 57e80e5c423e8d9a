/* SPDX-License-Identifier: GPL-3.0-or-later */
/* v = a + Z i(v), a = Cv w + D u + D1 u'. Ports with straight laws (heaters, cores, warm
 * resistances) are eliminated first; Newton's method works on the few others, starting from their
 * last volts. Z is negative semidefinite and the laws rise, so both systems are well conditioned.
 * At the end i is taken from the linearised law, so that v and Z i agree to rounding even where Z
 * is 1e9 ohm. */
#include "ports.h"

#include <math.h>

#include "lu.h"
#include "numbers.h"

enum { NEWTON_MOST = 120, NEWTON_FEW = 12 };
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
    const struct port_use *use = &eq->use[slot];
    return use->current(use->par, use->port, &eq->c[slot * PORT_COEFFICIENTS], eq->v[slot],
                        &eq->g[slot]);
}

void ports_matrix(const struct equations *eq, double *m)
{
    const int n = eq->r->np;
    for (int a = 0; a < n; a++)
        for (int b = 0; b < n; b++) m[a * n + b] = (a == b) - eq->r->z[a * n + b] * eq->g[b];
}

/* Of all ports, from w, u, u' in eq->column. */
static void open_volts(const struct equations *eq, double *a)
{
    const struct reduced *r = eq->r;
    const int n = r->nw + 2 * r->nu;
    for (int k = 0; k < r->np; k++) {
        const double *row = equations_row(eq, r, OUTPUT_VOLTS, r->port_element[k]);
        double sum = 0;
        for (int j = 0; j < n; j++) sum += row[j] * eq->column[j];
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
    bool all_open = true; /* currents that do not hang on the volts, as a core's */
    for (int a = 0; a < m; a++) all_open &= eq->g[eq->straight[a]] == 0;
    for (int a = 0; a < m; a++) {
        const double *row = &z[eq->straight[a] * np];
        for (int b = 0; b < m && !all_open; b++)
            s->lu[a * m + b] = (a == b) - row[eq->straight[b]] * eq->g[eq->straight[b]];
        s->x[a * wide] = s->a[eq->straight[a]];
        for (int b = 0; b < n; b++) s->x[a * wide + 1 + b] = row[eq->bent[b]];
    }
    if (!all_open) {
        if (!lu_factor(m, s->lu, eq->pivot)) return false;
        lu_solve_many(m, s->lu, eq->pivot, wide, s->x);
    }
    for (int a = 0; a < n; a++) {
        const double *row = &z[eq->bent[a] * np];
        s->open[a] = s->a[eq->bent[a]];
        for (int b = 0; b < n; b++) s->z[a * n + b] = row[eq->bent[b]];
        for (int k = 0; k < m; k++) {
            double f = row[eq->straight[k]] * eq->g[eq->straight[k]];
            if (f == 0) continue;
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
 * `to`. One and two ports, the most there usually are, are solved in a few operations. */
static double correction(struct equations *eq, const struct scratch *s, double *to)
{
    const int n = eq->bents;
    const double *m = s->lu, *r = s->rest;
    if (n == 1) {
        to[0] = r[0] * m[0];
        return fabs(to[0]);
    }
    if (n == 2) {
        to[0] = r[0] * m[3] - r[1] * m[1];
        to[1] = r[1] * m[0] - r[0] * m[2];
        return larger(fabs(to[0]), fabs(to[1]));
    }
    double most = 0;
    for (int k = 0; k < n; k++) to[k] = r[k];
    lu_solve(n, m, eq->pivot, to);
    for (int k = 0; k < n; k++) most = fabs(to[k]) > most ? fabs(to[k]) : most;
    return most;
}

/* I - Z g factored; of two ports divided by its determinant, of one its reciprocal. */
static bool factors(struct equations *eq, const struct scratch *s)
{
    const int n = eq->bents;
    double *m = s->lu;
    for (int a = 0; a < n; a++)
        for (int b = 0; b < n; b++) m[a * n + b] = (a == b) - s->z[a * n + b] * eq->g[eq->bent[b]];
    if (n > 2) return lu_factor(n, m, eq->pivot);
    double by = n == 1 ? 1 / sq(m[0]) : 1 / (m[0] * m[3] - m[1] * m[2]);
    for (int k = 0; k < n * n; k++) m[k] *= by;
    return isfinite(by);
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

/* The same for one and for two ports, as nearly all sets have, without the detours of the general
 * case: false, with everything left to that, when a correction grows. */
static bool newton_one(struct equations *eq, const struct scratch *s)
{
    const int slot = eq->bent[0];
    const struct port_use use = eq->use[slot];
    const double *c = &eq->c[slot * PORT_COEFFICIENTS], z = s->z[0], open = s->open[0];
    double v = eq->v[slot], g, last = HUGE_VAL;
    for (int step = 0; step < NEWTON_FEW; step++) {
        double i = use.current(use.par, use.port, c, v, &g), dv = (open + z * i - v) / (1 - z * g);
        eq->newton++;
        if (!(fabs(dv) < last)) return false;
        last = fabs(dv);
        if (last <= NEWTON_NEAR * (fabs(v) + 1e-2) + 1e-15 * fabs(open)) {
            eq->i[slot] = i + g * dv;
            eq->g[slot] = g;
            eq->v[slot] = v + dv;
            return true;
        }
        v += dv;
    }
    return false;
}

static bool newton_two(struct equations *eq, const struct scratch *s)
{
    const int p = eq->bent[0], q = eq->bent[1];
    const struct port_use of_p = eq->use[p], of_q = eq->use[q];
    const double *cp = &eq->c[p * PORT_COEFFICIENTS], *cq = &eq->c[q * PORT_COEFFICIENTS],
                 *z = s->z;
    const double rounding = 1e-15 * larger(fabs(s->open[0]), fabs(s->open[1]));
    double v = eq->v[p], w = eq->v[q], g, h, last = HUGE_VAL;
    for (int step = 0; step < NEWTON_FEW; step++) {
        double i = of_p.current(of_p.par, of_p.port, cp, v, &g),
               j = of_q.current(of_q.par, of_q.port, cq, w, &h);
        double r0 = s->open[0] + z[0] * i + z[1] * j - v, r1 = s->open[1] + z[2] * i + z[3] * j - w;
        double a = 1 - z[0] * g, b = -z[1] * h, c = -z[2] * g, d = 1 - z[3] * h,
               by = 1 / (a * d - b * c), dv = (r0 * d - r1 * b) * by, dw = (r1 * a - r0 * c) * by;
        double size = larger(fabs(dv), fabs(dw));
        eq->newton++;
        if (!(size < last)) return false;
        last = size;
        if (fabs(dv) <= NEWTON_NEAR * (fabs(v) + 1e-2) + rounding &&
            fabs(dw) <= NEWTON_NEAR * (fabs(w) + 1e-2) + rounding) {
            eq->i[p] = i + g * dv;
            eq->i[q] = j + h * dw;
            eq->g[p] = g;
            eq->g[q] = h;
            eq->v[p] = v + dv;
            eq->v[q] = w + dw;
            return true;
        }
        v += dv;
        w += dw;
    }
    return false;
}

static bool solve_bent(struct equations *eq, const struct scratch *s)
{
    switch (eq->bents) {
    case 0: return true;
    case 1: return newton_one(eq, s) || newton(eq, s);
    case 2: return newton_two(eq, s) || newton(eq, s);
    default: return newton(eq, s);
    }
}

/* Along the tangent of the last Jacobian; a gated port is not guessed to block. */
static void guess(struct equations *eq, const double *y)
{
    const int size = equations_size(eq);
    for (int k = 0; k < eq->bents; k++) {
        const int slot = eq->bent[k];
        const double *row = &eq->tangent.dv[slot * (size + 1)];
        double v = eq->tangent.v[slot] + row[size] * (eq->t - eq->tangent.t);
        for (int j = 0; j < size; j++) v += row[j] * (y[j] - eq->tangent.y[j]);
        if (v > 0 || eq->v[slot] <= 0) eq->v[slot] = v;
    }
}

int ports_solve(struct equations *eq, const double *y)
{
    struct scratch s = scratch(eq);
    const int wide = 1 + eq->bents;
    open_volts(eq, s.a);
    if (eq->tangent.good) guess(eq, y);
    if (!eliminate(eq, &s)) return 1;
    if (!solve_bent(eq, &s)) return 1;
    for (int k = 0; k < eq->straights; k++) {
        int slot = eq->straight[k];
        double v = s.x[k * wide];
        for (int b = 0; b < eq->bents; b++) v += s.x[k * wide + 1 + b] * eq->i[eq->bent[b]];
        eq->v[slot] = v;
        eq->i[slot] += eq->g[slot] * v;
    }
    return 0;
}
