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

enum { NEWTON_MOST = 120, NEWTON_FEW = 12, FEW = 3 };
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
    const double *x = eq->column;
    for (int k = 0; k < r->np; k++) {
        const double *row = &r->out[(size_t)r->port_element[k] * (size_t)r->columns];
        double sum = 0;
        for (int j = 0; j < n; j++) sum += row[j] * x[j];
        a[k] = sum;
    }
}

/* a x = x of n unknowns, x [n*wide], n a constant where this is called. No row need be exchanged:
 * scaled by the roots of the slopes from both sides I - Z g is symmetric and positive definite.
 * False when singular. */
static inline bool solve_few(const int n, double *restrict a, const int wide, double *restrict x)
{
    for (int k = 0; k < n; k++) {
        const double by = 1 / a[k * n + k];
        if (!isfinite(by)) return false;
        a[k * n + k] = by;
        for (int i = k + 1; i < n; i++) {
            const double f = a[i * n + k] * by;
            for (int j = k + 1; j < n; j++) a[i * n + j] -= f * a[k * n + j];
            for (int j = 0; j < wide; j++) x[i * wide + j] -= f * x[k * wide + j];
        }
    }
    for (int k = n - 1; k >= 0; k--)
        for (int j = 0; j < wide; j++) {
            double sum = x[k * wide + j];
            for (int i = k + 1; i < n; i++) sum -= a[k * n + i] * x[i * wide + j];
            x[k * wide + j] = sum * a[k * n + k];
        }
    return true;
}

static bool solve_straight(struct equations *eq, const struct scratch *s)
{
    const int m = eq->straights, wide = 1 + eq->bents;
    switch (m) {
    case 1: return solve_few(1, s->lu, wide, s->x);
    case 2: return solve_few(2, s->lu, wide, s->x);
    default: break;
    }
    if (!lu_factor(m, s->lu, eq->pivot)) return false;
    lu_solve_many(m, s->lu, eq->pivot, wide, s->x);
    return true;
}

/* Straight ports: i = i0 + g v. Leaves x, z, open. False when singular. */
static bool eliminate(struct equations *eq, const struct scratch *s)
{
    const int n = eq->bents, m = eq->straights, np = eq->r->np, wide = 1 + n;
    const int *straight = eq->straight, *bent = eq->bent;
    const double *z = eq->r->z;
    double *g = eq->g;
    bool all_open = true; /* currents that do not hang on the volts, as a core's */
    for (int k = 0; k < m; k++) {
        const int slot = straight[k];
        const struct port_use *use = &eq->use[slot];
        const double i =
            use->current(use->par, use->port, &eq->c[slot * PORT_COEFFICIENTS], 0, &g[slot]);
        eq->i[slot] = i;
        all_open &= g[slot] == 0;
        if (i == 0) continue;
        for (int j = 0; j < np; j++) s->a[j] += z[j * np + slot] * i;
    }
    for (int a = 0; a < m; a++) {
        const double *row = &z[straight[a] * np];
        for (int b = 0; b < m && !all_open; b++)
            s->lu[a * m + b] = (a == b) - row[straight[b]] * g[straight[b]];
        s->x[a * wide] = s->a[straight[a]];
        for (int b = 0; b < n; b++) s->x[a * wide + 1 + b] = row[bent[b]];
    }
    if (!all_open && !solve_straight(eq, s)) return false;
    for (int a = 0; a < n; a++) {
        const double *row = &z[bent[a] * np];
        s->open[a] = s->a[bent[a]];
        for (int b = 0; b < n; b++) s->z[a * n + b] = row[bent[b]];
        for (int k = 0; k < m && !all_open; k++) {
            const double f = row[straight[k]] * g[straight[k]], *x = &s->x[k * wide];
            if (f == 0) continue;
            s->open[a] += f * x[0];
            for (int b = 0; b < n; b++) s->z[a * n + b] += f * x[1 + b];
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

/* The same for few ports, as nearly all sets have, without the detours of the general case: false,
 * with everything left to that, when a correction grows. n is a constant where this is called. */
static inline bool newton_few(struct equations *eq, const struct scratch *s, const int n)
{
    double v[FEW], i[FEW], g[FEW], dv[FEW], m[FEW * FEW], last = HUGE_VAL, rounding = 0;
    const double *z = s->z, *open = s->open;
    for (int a = 0; a < n; a++) {
        v[a] = eq->v[eq->bent[a]];
        rounding = larger(rounding, 1e-15 * fabs(open[a]));
    }
    for (int step = 0; step < NEWTON_FEW; step++) {
        for (int a = 0; a < n; a++) {
            const struct port_use *use = &eq->use[eq->bent[a]];
            i[a] = use->current(use->par, use->port, &eq->c[eq->bent[a] * PORT_COEFFICIENTS], v[a],
                                &g[a]);
        }
        for (int a = 0; a < n; a++) {
            dv[a] = open[a] - v[a];
            for (int b = 0; b < n; b++) {
                dv[a] += z[a * n + b] * i[b];
                m[a * n + b] = (a == b) - z[a * n + b] * g[b];
            }
        }
        eq->newton++;
        if (!solve_few(n, m, 1, dv)) return false;
        double most = 0;
        bool near = true;
        for (int a = 0; a < n; a++) {
            most = larger(most, fabs(dv[a]));
            near &= fabs(dv[a]) <= NEWTON_NEAR * (fabs(v[a]) + 1e-2) + rounding;
        }
        if (!(most < last)) return false;
        last = most;
        for (int a = 0; near && a < n; a++) {
            eq->i[eq->bent[a]] = i[a] + g[a] * dv[a];
            eq->g[eq->bent[a]] = g[a];
            eq->v[eq->bent[a]] = v[a] + dv[a];
        }
        if (near) return true;
        for (int a = 0; a < n; a++) v[a] += dv[a];
    }
    return false;
}

static bool solve_bent(struct equations *eq, const struct scratch *s)
{
    switch (eq->bents) {
    case 0: return true;
    case 1: return newton_few(eq, s, 1) || newton(eq, s);
    case 2: return newton_few(eq, s, 2) || newton(eq, s);
    case 3: return newton_few(eq, s, 3) || newton(eq, s);
    default: return newton(eq, s);
    }
}

/* From the instant last solved along the tangent of the last Jacobian; a gated port is not guessed to
 * block. */
static void guess(struct equations *eq, const double *y)
{
    const int size = equations_size(eq);
    for (int k = 0; k < eq->bents; k++) {
        const int slot = eq->bent[k];
        const double *row = &eq->tangent.dv[slot * (size + 1)];
        double v = eq->solved.v[slot] + row[size] * (eq->t - eq->solved.t);
        for (int j = 0; j < size; j++) v += row[j] * (y[j] - eq->solved.y[j]);
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
