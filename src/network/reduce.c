/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Elimination of the algebraic unknowns from
 *
 *     E y' + G11 y + G12 z = b1 u + P1 i,
 *            G21 y + G22 z = b2 u + P2 i.
 *
 * 1. Left null vectors N of G22 give constraints C y = c u, C = N' G21: loops of capacitors and
 *    sources, cutsets of inductors. N' P2 must vanish.
 * 2. Row reduction of C with complete pivoting chooses the dependent y; the others are the states w:
 *
 *        y = Q w + yu u.
 *
 *    A constraint binds either capacitors or inductors, so Q never mixes volts with amperes.
 * 3. One consistent system gives w' and z together:
 *
 *        [E Q  G12] [w']     [G11]                     [E yu]
 *        [0    G22] [z ] = - [G21] (Q w + yu u) + b u - [0   ] u' + P i
 *
 *    (differentiating the constraints once is contained in its first rows).
 *
 * All in the scaled units of assemble.h, turned into SI at the end. */
#include <math.h>
#include <string.h>

#include "assemble.h"
#include "blame.h"
#include "eliminate.h"
#include "lu.h"
#include "modes.h"
#include "network.h"
#include "numbers.h"
#include "quiet.h"

/* Relative size below which a pivot counts as zero: coefficients lie between 1e-6 (1 Gohm) and 1. */
#define RANK_TOLERANCE 1e-11
#define SINGULAR 1e-13 /* the same of the system of step 3, with columns of length 1 */
/* What its redundant rows may leave, of the largest entry of a right side. */
#define CONTRADICTS 1e-9
/* Entries of the constraints below this are rounding. */
#define CLEAN 1e-10

struct reduction {
    struct arena *arena, *work; /* for the result; for passing work */
    const struct network *network;
    const struct network_asked *asked;
    struct assembly m;
    struct reduced *r;
    double *c, *cu; /* constraints [k*ny], [k*nu], row-reduced */
    int *pivot;     /* [k] y index determined by constraint k */
    int k;
};

static size_t ix(int row, int columns, int column)
{
    return (size_t)row * (size_t)columns + (size_t)column;
}

static double *doubles(struct reduction *d, int rows, int columns)
{
    return ARENA_ARRAY(d->arena, double, (size_t)rows *(size_t)columns);
}

static double *scratch(struct reduction *d, int rows, int columns)
{
    return ARENA_ARRAY(d->work, double, (size_t)rows *(size_t)columns);
}

static bool fail(struct reduction *d, const double *left, enum network_fault fault)
{
    d->r->fault = fault;
    if (left) d->r->at_fault = blame_unknowns(d->arena, d->network, &d->m, left);
    return false;
}

static bool left_off(struct reduction *d, double work)
{
    bool off = network_wants_end(d->asked, work);
    if (off) fail(d, NULL, NETWORK_LEFT_OFF);
    return off;
}

/* Left null vectors of G22, one a row of `null`: what an elimination made of the unit matrix beside
 * it where it left nothing. -1: left off. */
static int left_null(struct reduction *d, double **null)
{
    const int na = d->m.na, n = d->m.n, ny = d->m.ny, wide = 2 * na;
    double *a = scratch(d, na, wide);
    for (int i = 0; i < na; i++) {
        memcpy(&a[ix(i, wide, 0)], &d->m.g[ix(ny + i, n, ny)], (size_t)na * sizeof *a);
        a[ix(i, wide, na + i)] = 1;
    }
    struct eliminated e = eliminate(d->work, na, na, wide, a, RANK_TOLERANCE, d->asked);
    if (e.left_off) return -1;
    *null = scratch(d, e.spare, na);
    for (int k = 0; k < e.spare; k++)
        memcpy(*null + ix(k, na, 0), &a[ix(e.spares[k], wide, na)], (size_t)na * sizeof *a);
    return e.spare;
}

static void swap_rows(double *m, int columns, int a, int b)
{
    for (int j = 0; j < columns && a != b; j++) {
        double t = m[ix(a, columns, j)];
        m[ix(a, columns, j)] = m[ix(b, columns, j)];
        m[ix(b, columns, j)] = t;
    }
}

static void add_row(double *m, int columns, int to, int from, double factor)
{
    for (int j = 0; j < columns; j++) m[ix(to, columns, j)] -= factor * m[ix(from, columns, j)];
}

static void tidy(double *m, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        double whole = round(m[i]);
        if (fabs(m[i] - whole) < CLEAN) m[i] = whole;
    }
}

/* Row-reduces [C | c] with complete pivoting; false when the rows contradict or say nothing. */
static bool row_reduce(struct reduction *d, double *null)
{
    const int ny = d->m.ny, nu = d->m.nu, na = d->m.na;
    for (int r = 0; r < d->k; r++) {
        int pr = r, pc = -1;
        double best = CLEAN;
        for (int i = r; i < d->k; i++)
            for (int j = 0; j < ny; j++)
                if (fabs(d->c[ix(i, ny, j)]) > best * (1 + 1e-9)) {
                    best = fabs(d->c[ix(i, ny, j)]);
                    pr = i;
                    pc = j;
                }
        if (pc < 0) {
            double rest = 0;
            for (int j = 0; j < nu; j++) rest = larger(rest, fabs(d->cu[ix(r, nu, j)]));
            return fail(d, &null[ix(r, na, 0)], rest > CLEAN ? NETWORK_SOURCES : NETWORK_OPEN);
        }
        swap_rows(d->c, ny, r, pr);
        swap_rows(d->cu, nu, r, pr);
        swap_rows(null, na, r, pr);
        double p = 1 / d->c[ix(r, ny, pc)];
        for (int j = 0; j < ny; j++) d->c[ix(r, ny, j)] *= p;
        for (int j = 0; j < nu; j++) d->cu[ix(r, nu, j)] *= p;
        for (int j = 0; j < na; j++) null[ix(r, na, j)] *= p;
        for (int i = 0; i < d->k; i++) {
            double f = d->c[ix(i, ny, pc)];
            if (i == r || f == 0) continue;
            add_row(d->c, ny, i, r, f);
            add_row(d->cu, nu, i, r, f);
            add_row(null, na, i, r, f);
        }
        d->pivot[r] = pc;
    }
    tidy(d->c, (size_t)d->k * (size_t)ny);
    tidy(d->cu, (size_t)d->k * (size_t)nu);
    return true;
}

static bool find_constraints(struct reduction *d)
{
    const int na = d->m.na, ny = d->m.ny, nu = d->m.nu, np = d->m.np, n = d->m.n;
    double *null;
    d->k = left_null(d, &null);
    if (d->k < 0) return fail(d, NULL, NETWORK_LEFT_OFF);
    d->c = scratch(d, d->k, ny);
    d->cu = doubles(d, d->k, nu);
    d->pivot = ARENA_ARRAY(d->arena, int, d->k);
    for (int r = 0; r < d->k; r++) {
        const double *left = &null[ix(r, na, 0)];
        for (int i = 0; i < na; i++) {
            if (left[i] == 0) continue;
            for (int j = 0; j < ny; j++) d->c[ix(r, ny, j)] += left[i] * d->m.g[ix(ny + i, n, j)];
            for (int j = 0; j < nu; j++) d->cu[ix(r, nu, j)] += left[i] * d->m.b[ix(ny + i, nu, j)];
        }
        for (int j = 0; j < np; j++) {
            double p = 0;
            for (int i = 0; i < na; i++) p += left[i] * d->m.p[ix(ny + i, np, j)];
            if (fabs(p) > 1e-6 * ASSEMBLE_IMPEDANCE) return fail(d, left, NETWORK_NO_WAY);
        }
    }
    return row_reduce(d, null);
}

/* y = Q w + yu u, and the projection that conserves charge and flux. */
static bool choose_states(struct reduction *d)
{
    struct reduced *r = d->r;
    const int ny = d->m.ny, nu = d->m.nu;
    int *w_of = ARENA_ARRAY(d->arena, int, ny);
    int *slot = ARENA_ARRAY(d->arena, int, ny);
    for (int i = 0; i < d->k; i++) slot[d->pivot[i]] = -1;
    for (int j = 0; j < ny; j++)
        if (slot[j] == 0) {
            slot[j] = r->nw + 1;
            w_of[r->nw++] = j;
        }
    const int nw = r->nw;
    double *q = doubles(d, ny, nw), *yu = doubles(d, ny, nu), *take = doubles(d, nw, ny);
    for (int i = 0; i < nw; i++) q[ix(w_of[i], nw, i)] = 1;
    for (int i = 0; i < d->k; i++) {
        for (int j = 0; j < nw; j++) q[ix(d->pivot[i], nw, j)] = -d->c[ix(i, ny, w_of[j])];
        for (int j = 0; j < nu; j++) yu[ix(d->pivot[i], nu, j)] = d->cu[ix(i, nu, j)];
    }
    r->w_of = w_of;
    r->q = q;
    r->yu = yu;
    r->take = take;
    r->constraints = d->k;
    r->pivot = d->pivot;
    r->loop_u = d->cu;
    if (nw == 0) return true;
    /* take = (Q' E Q)^-1 Q', scaled to a unit diagonal before it is factored */
    double *h = scratch(d, nw, nw), *scale = scratch(d, 1, nw);
    int *order = ARENA_ARRAY(d->work, int, nw);
    for (int l = 0; l < ny; l++)
        for (int i = 0; i < nw; i++) {
            const double by = d->m.e[l] * q[ix(l, nw, i)];
            for (int j = 0; by != 0 && j < nw; j++) h[ix(i, nw, j)] += by * q[ix(l, nw, j)];
        }
    for (int i = 0; i < nw; i++) scale[i] = 1 / sqrt(h[ix(i, nw, i)]);
    for (int i = 0; i < nw; i++) {
        for (int j = 0; j < nw; j++) h[ix(i, nw, j)] *= scale[i] * scale[j];
        for (int l = 0; l < ny; l++) take[ix(i, ny, l)] = scale[i] * q[ix(l, nw, i)];
    }
    /* positive definite, but for values so far apart that the small ones are lost */
    if (!lu_factor(nw, h, order))
        return blame_marked(d->arena, d->network, &d->m, r, NULL, NETWORK_UNDETERMINED);
    lu_solve_many(nw, h, order, ny, take);
    for (int i = 0; i < nw; i++)
        for (int l = 0; l < ny; l++) take[ix(i, ny, l)] *= scale[i];
    return true;
}

/* to += by * row */
static void add(int n, double by, const double *row, double *to)
{
    for (int j = 0; by != 0 && j < n; j++) to[j] += by * row[j];
}

/* Row i of the right sides of step 3 for all columns [w, u, u', i]. */
static void right_sides(const struct reduction *d, int i, double *x)
{
    const struct reduced *r = d->r;
    const int n = d->m.n, ny = d->m.ny, nw = r->nw, nu = r->nu, np = r->np;
    for (int l = 0; l < ny; l++) {
        const double g = d->m.g[ix(i, n, l)];
        add(nw, -g, &r->q[ix(l, nw, 0)], x);
        add(nu, -g, &r->yu[ix(l, nu, 0)], x + nw);
    }
    add(nu, 1, &d->m.b[ix(i, nu, 0)], x + nw);
    if (i < ny) add(nu, -d->m.e[i], &r->yu[ix(i, nu, 0)], x + nw + nu);
    add(np, 1, &d->m.p[ix(i, np, 0)], x + nw + 2 * nu);
}

/* Rows that say nothing new must leave nothing of any right side either. */
static bool consistent(struct reduction *d, const struct eliminated *e, int columns, int wide,
                       const double *a, const double *size)
{
    bool *wrong = ARENA_ARRAY(d->work, bool, columns), any = false;
    int dependent = -1; /* a charge or flux that is no state: given by others */
    for (int k = 0; k < e->spare; k++) {
        bool here = false;
        const int row = e->spares[k];
        for (int j = columns; j < wide; j++)
            here |= fabs(a[ix(row, wide, j)]) > CONTRADICTS * (size[j - columns] + 1e-30);
        any |= here;
        for (int i = 0; here && i < d->r->nw; i++) wrong[i] = wrong[i] || row == d->r->w_of[i];
        if (here && row >= d->m.ny) wrong[d->r->nw + row - d->m.ny] = true;
        else if (here) dependent = row;
    }
    if (any) blame_marked(d->arena, d->network, &d->m, d->r, wrong, NETWORK_CONTRADICTION);
    if (any && !d->r->at_fault && dependent >= 0)
        d->r->at_fault = d->network->circuit->elements.at[d->network->y_element[dependent]].subject;
    return !any;
}

/* Names the parts and points whose currents and potentials no equation settles. */
static bool fail_rank(struct reduction *d, const struct eliminated *e, int columns)
{
    bool *open = ARENA_ARRAY(d->work, bool, columns);
    memset(open, true, (size_t)columns * sizeof *open);
    for (int k = 0; k < e->rank; k++) open[e->column[k]] = false;
    return blame_marked(d->arena, d->network, &d->m, d->r, open, NETWORK_UNDETERMINED);
}

/* Solves step 3: solution[(nw + na) * columns]. */
static bool solve(struct reduction *d, double *solution)
{
    const struct reduced *r = d->r;
    const int n = d->m.n, ny = d->m.ny, na = d->m.na, nw = r->nw, cols = nw + na,
              wide = cols + r->columns;
    double *a = scratch(d, n, wide), *scale = scratch(d, 1, cols), *size = scratch(d, 1, wide);
    for (int i = 0; i < n; i++) {
        double *row = &a[ix(i, wide, 0)];
        if (i < ny) add(nw, d->m.e[i], &r->q[ix(i, nw, 0)], row);
        memcpy(row + nw, &d->m.g[ix(i, n, ny)], (size_t)na * sizeof *row);
        right_sides(d, i, row + cols);
        for (int j = 0; j < cols; j++) scale[j] += sq(row[j]);
        for (int j = cols; j < wide; j++) size[j - cols] = larger(size[j - cols], fabs(row[j]));
    }
    for (int j = 0; j < cols; j++) scale[j] = scale[j] > 0 ? 1 / sqrt(scale[j]) : 1;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < cols; j++) a[ix(i, wide, j)] *= scale[j];
    struct eliminated e = eliminate(d->work, n, cols, wide, a, SINGULAR, d->asked);
    if (e.left_off) return fail(d, NULL, NETWORK_LEFT_OFF);
    if (e.rank < cols) return fail_rank(d, &e, cols);
    if (!consistent(d, &e, cols, wide, a, size)) return false;
    eliminate_solve(&e, cols, wide, a, solution);
    for (int i = 0; i < cols; i++)
        for (int j = 0; j < r->columns; j++) solution[ix(i, r->columns, j)] *= scale[i];
    return true;
}

static bool is_inductor(const struct reduction *d, int y)
{
    return y >= d->network->capacitors;
}

/* Units of column j: what one SI unit of that quantity is in scaled units (inductor currents are
 * scaled). */
static double column_unit(const struct reduction *d, int j)
{
    return j < d->r->nw && is_inductor(d, d->r->w_of[j]) ? ASSEMBLE_IMPEDANCE : 1;
}

/* Rows of a, b, b1, e side by side. */
static double *side_by_side(struct reduction *d)
{
    const struct reduced *r = d->r;
    double *rate = doubles(d, r->nw, r->columns);
    for (int i = 0; i < r->nw; i++) {
        double *row = &rate[ix(i, r->columns, 0)];
        memcpy(row, &r->a[ix(i, r->nw, 0)], (size_t)r->nw * sizeof *row);
        memcpy(row + r->nw, &r->b[ix(i, r->nu, 0)], (size_t)r->nu * sizeof *row);
        memcpy(row + r->nw + r->nu, &r->b1[ix(i, r->nu, 0)], (size_t)r->nu * sizeof *row);
        memcpy(row + r->nw + 2 * r->nu, &r->e[ix(i, r->np, 0)], (size_t)r->np * sizeof *row);
    }
    return rate;
}

static void split_derivatives(struct reduction *d, const double *s)
{
    struct reduced *r = d->r;
    const int nw = r->nw, nu = r->nu, np = r->np, columns = r->columns;
    double *a = doubles(d, nw, nw), *b = doubles(d, nw, nu), *b1 = doubles(d, nw, nu),
           *e = doubles(d, nw, np);
    for (int i = 0; i < nw; i++) {
        double unit = is_inductor(d, r->w_of[i]) ? 1 / ASSEMBLE_IMPEDANCE : 1;
        const double *row = &s[ix(i, columns, 0)];
        for (int j = 0; j < nw; j++) a[ix(i, nw, j)] = unit * row[j] * column_unit(d, j);
        for (int j = 0; j < nu; j++) b[ix(i, nu, j)] = unit * row[nw + j];
        for (int j = 0; j < nu; j++) b1[ix(i, nu, j)] = unit * row[nw + nu + j];
        for (int j = 0; j < np; j++) e[ix(i, np, j)] = unit * row[nw + 2 * nu + j];
    }
    r->a = a;
    r->b = b;
    r->b1 = b1;
    r->e = e;
}

/* The row of one potential (absolute point) in SI columns. */
static void potential(const struct reduction *d, const double *s, int point, double *out)
{
    const int columns = d->r->columns;
    const double *row = &s[ix(d->r->nw + point, columns, 0)];
    for (int j = 0; j < columns; j++) out[j] = row[j] * column_unit(d, j);
}

static void element_current(const struct reduction *d, const double *s, int k, const double *volts,
                            double *out)
{
    const struct reduced *r = d->r;
    const struct element *e = &d->network->circuit->elements.at[k];
    const int columns = r->columns, ny = d->m.ny, nw = r->nw;
    int own = d->m.current[k];
    if (!assemble_present(e, r->pattern)) return;
    if (e->kind == ELEMENT_PORT) {
        if (e->value > 0)
            for (int j = 0; j < columns; j++) out[j] = volts[j] / e->value;
        out[nw + 2 * r->nu + d->m.port_slot[k]] += 1;
    } else if (e->kind == ELEMENT_INDUCTOR) {
        for (int j = 0; j < nw; j++)
            out[j] = r->q[ix(own, nw, j)] * column_unit(d, j) / ASSEMBLE_IMPEDANCE;
        for (int j = 0; j < r->nu; j++) out[nw + j] = r->yu[ix(own, r->nu, j)] / ASSEMBLE_IMPEDANCE;
    } else if (own < 0) {
        for (int j = 0; j < columns; j++) out[j] = volts[j] / e->value;
    } else {
        const double *row = &s[ix(nw + own - ny, columns, 0)];
        for (int j = 0; j < columns; j++) out[j] = row[j] * column_unit(d, j) / ASSEMBLE_IMPEDANCE;
    }
}

static void split_outputs(struct reduction *d, const double *s)
{
    struct reduced *r = d->r;
    const struct circuit *c = d->network->circuit;
    const int columns = r->columns, elements = c->elements.n, points = c->points.n;
    double *out = doubles(d, 2 * elements + points, columns);
    double *cv = doubles(d, r->np, r->nw), *dv = doubles(d, r->np, r->nu),
           *d1 = doubles(d, r->np, r->nu);
    double *z = doubles(d, r->np, r->np);
    for (int p = 0; p < points; p++) potential(d, s, p, &out[ix(2 * elements + p, columns, 0)]);
    for (int k = 0; k < elements; k++) {
        const struct element *e = &c->elements.at[k];
        double *volts = &out[ix(k, columns, 0)];
        const double *from = &out[ix(2 * elements + e->from, columns, 0)];
        const double *to = &out[ix(2 * elements + e->to, columns, 0)];
        for (int j = 0; j < columns; j++) volts[j] = from[j] - to[j];
        element_current(d, s, k, volts, &out[ix(elements + k, columns, 0)]);
        int slot = d->m.port_slot[k];
        if (slot < 0) continue;
        memcpy(&cv[ix(slot, r->nw, 0)], volts, (size_t)r->nw * sizeof *cv);
        memcpy(&dv[ix(slot, r->nu, 0)], volts + r->nw, (size_t)r->nu * sizeof *dv);
        memcpy(&d1[ix(slot, r->nu, 0)], volts + r->nw + r->nu, (size_t)r->nu * sizeof *d1);
        memcpy(&z[ix(slot, r->np, 0)], volts + r->nw + 2 * r->nu, (size_t)r->np * sizeof *z);
    }
    r->out = out;
    r->cv = cv;
    r->d = dv;
    r->d1 = d1;
    r->z = z;
    quiet_find(d->arena, d->network, r);
}

/* Turns Q, yu and take from scaled inductor currents into amperes. */
static void to_si(struct reduction *d)
{
    struct reduced *r = d->r;
    const double z = ASSEMBLE_IMPEDANCE;
    double *q = r->q, *yu = r->yu, *take = r->take;
    for (int y = 0; y < r->ny; y++) {
        double unit = is_inductor(d, y) ? 1 / z : 1; /* scaled to SI */
        for (int j = 0; j < r->nw; j++) q[ix(y, r->nw, j)] *= unit * column_unit(d, j);
        for (int j = 0; j < r->nu; j++) yu[ix(y, r->nu, j)] *= unit;
    }
    /* take: SI charge = F V (scaled: z F V); SI flux = H A (scaled: (H/z)(z A) = the same) */
    for (int i = 0; i < r->nw; i++) {
        double unit = is_inductor(d, r->w_of[i]) ? 1 / z : 1;
        for (int y = 0; y < r->ny; y++) take[ix(i, r->ny, y)] *= unit * (is_inductor(d, y) ? 1 : z);
    }
}

static int *copy(struct arena *arena, int n, const int *from)
{
    return memcpy(ARENA_ARRAY(arena, int, n), from, (size_t)n * sizeof *from);
}

static void reduce(struct reduction *d)
{
    struct reduced *r = d->r;
    d->m = assemble(d->work, d->network, r->pattern, ASSEMBLE_IMPEDANCE);
    r->ny = d->m.ny;
    r->nu = d->m.nu;
    r->np = d->m.np;
    r->port_element = copy(d->arena, r->np, d->m.port_element);
    r->port_slot = copy(d->arena, d->network->circuit->elements.n, d->m.port_slot);
    if (!find_constraints(d) || !choose_states(d)) return;
    const double n = r->nw;
    if (left_off(d, 2 * n * n * n)) return;
    r->columns = r->nw + 2 * r->nu + r->np;
    double *solution = scratch(d, r->nw + d->m.na, r->columns);
    if (!solve(d, solution)) return;
    split_derivatives(d, solution);
    split_outputs(d, solution);
    to_si(d);
    if (!modes_take(d->work, d->network, r, d->asked)) {
        fail(d, NULL, NETWORK_LEFT_OFF);
        return;
    }
    r->rate = side_by_side(d);
}

const struct reduced *network_reduce(struct arena *arena, const struct network *network,
                                     pattern_t pattern, const struct network_asked *asked)
{
    struct reduced *r = ARENA_NEW(arena, struct reduced);
    struct reduction d = {
        .arena = arena, .work = arena_scratch(arena), .network = network, .asked = asked, .r = r};
    r->pattern = pattern;
    reduce(&d);
    arena_clear(d.work);
    return r;
}
