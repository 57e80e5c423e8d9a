/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The store of reductions, and folding: ports that are conductances for a while are eliminated from
 * a pattern's matrices. With their volts v = V x + Z_ho i_o + Z_hh G v, x = w, u, u':
 *
 *     v = (I - Z_hh G)^-1 [V, Z_ho] [x; i_o],   i_h = G v,
 *
 * and every row that holds coefficients of i_h gets these times the rows of i_h. A run visits two to
 * a few dozen patterns, so a list is enough. */
#include <math.h>
#include <string.h>

#include "lu.h"
#include "network.h"

/* A pattern, and what is folded of it: the same arrays each time. */
struct kept {
    const struct reduced *whole;
    struct reduced folded;
    long made;                /* in which fold */
    int *kept, *gone;         /* slots of the whole one */
    double *g, *lu, *amperes; /* [gone], [gone*gone], [gone*columns] rows of i_h */
    double *row;              /* [columns], scratch */
    int *pivot;
};

struct reductions {
    struct arena *arena;
    const struct network *network;
    struct network_asked asked;
    const double *siemens; /* [elements]; NULL: nothing is folded */
    long fold;             /* counts the calls of reductions_fold */
    int *element;          /* of _response */
    double *ohms;
    ARRAY(struct kept *) made;
};

struct reductions *reductions_new(struct arena *arena, const struct network *network)
{
    struct reductions *all = ARENA_NEW(arena, struct reductions);
    all->arena = arena;
    all->network = network;
    return all;
}

void reductions_ask(struct reductions *all, struct network_asked asked)
{
    all->asked = asked;
}

int reductions_count(const struct reductions *all)
{
    return all->made.n;
}

void reductions_fold(struct reductions *all, const double *siemens)
{
    all->siemens = siemens;
    all->fold++;
}

/* --- room for a fold --- */

static double *doubles(struct arena *arena, int rows, int columns)
{
    return ARENA_ARRAY(arena, double, (size_t)rows *(size_t)columns);
}

static void make_room(struct arena *arena, const struct circuit *c, struct kept *k)
{
    const struct reduced *w = k->whole;
    struct reduced *r = &k->folded;
    *r = *w;
    r->a = doubles(arena, w->nw, w->nw);
    r->b = doubles(arena, w->nw, w->nu);
    r->b1 = doubles(arena, w->nw, w->nu);
    r->e = doubles(arena, w->nw, w->np);
    r->rate = doubles(arena, w->nw, w->columns);
    r->cv = doubles(arena, w->np, w->nw);
    r->d = doubles(arena, w->np, w->nu);
    r->d1 = doubles(arena, w->np, w->nu);
    r->z = doubles(arena, w->np, w->np);
    r->out = doubles(arena, 2 * c->elements.n + c->points.n, w->columns);
    r->port_element = ARENA_ARRAY(arena, int, w->np);
    r->port_slot = ARENA_ARRAY(arena, int, c->elements.n);
    r->quiet = ARENA_ARRAY(arena, bool, w->np);
    k->kept = ARENA_ARRAY(arena, int, w->np);
    k->gone = ARENA_ARRAY(arena, int, w->np);
    k->g = doubles(arena, 1, w->np);
    k->lu = doubles(arena, w->np, w->np);
    k->row = doubles(arena, 1, w->columns);
    k->amperes = doubles(arena, w->np, w->columns);
    k->pivot = ARENA_ARRAY(arena, int, w->np);
}

/* --- folding --- */

/* Rows of i_h by the kept columns, into k->amperes. False when no such currents exist. */
static bool solve_amperes(struct kept *k, int kept, int gone, const double *siemens)
{
    const struct reduced *w = k->whole;
    const int before = w->nw + 2 * w->nu, columns = before + kept;
    double *g = k->g;
    for (int a = 0; a < gone; a++) {
        int slot = k->gone[a];
        g[a] = w->quiet[slot] ? 0 : siemens[w->port_element[slot]];
    }
    for (int a = 0; a < gone; a++) {
        const int slot = k->gone[a];
        double *row = &k->amperes[a * columns];
        const double *z = &w->z[slot * w->np];
        memcpy(row, &w->cv[slot * w->nw], (size_t)w->nw * sizeof *row);
        memcpy(row + w->nw, &w->d[slot * w->nu], (size_t)w->nu * sizeof *row);
        memcpy(row + w->nw + w->nu, &w->d1[slot * w->nu], (size_t)w->nu * sizeof *row);
        for (int b = 0; b < kept; b++) row[before + b] = z[k->kept[b]];
        for (int b = 0; b < gone; b++) k->lu[a * gone + b] = (a == b) - z[k->gone[b]] * g[b];
    }
    if (!lu_factor(gone, k->lu, k->pivot)) return false;
    lu_solve_many(gone, k->lu, k->pivot, columns, k->amperes);
    for (int a = 0; a < gone; a++)
        for (int j = 0; j < columns; j++) k->amperes[a * columns + j] *= g[a];
    return true;
}

/* One row over [w, u, u', i] of the whole pattern, whose last part is `by_ports`, into that of the
 * folded one. */
static void fold_row(const struct kept *k, int gone, const double *row, const double *by_ports,
                     double *into)
{
    const int before = k->whole->nw + 2 * k->whole->nu, columns = k->folded.columns;
    if (into != row) memcpy(into, row, (size_t)before * sizeof *into);
    for (int b = 0; b < columns - before; b++) into[before + b] = by_ports[k->kept[b]];
    for (int a = 0; a < gone; a++) {
        const double f = by_ports[k->gone[a]], *restrict amperes = &k->amperes[a * columns];
        if (f == 0) continue;
        for (int j = 0; j < columns; j++) into[j] += f * amperes[j];
    }
}

static void split_row(const struct reduced *r, const double *row, int k, double *by_w, double *by_u,
                      double *by_u1, double *by_i)
{
    memcpy(&by_w[k * r->nw], row, (size_t)r->nw * sizeof *row);
    memcpy(&by_u[k * r->nu], row + r->nw, (size_t)r->nu * sizeof *row);
    memcpy(&by_u1[k * r->nu], row + r->nw + r->nu, (size_t)r->nu * sizeof *row);
    memcpy(&by_i[k * r->np], row + r->nw + 2 * r->nu, (size_t)r->np * sizeof *row);
}

static bool fold(struct reductions *all, struct kept *k)
{
    const struct circuit *c = all->network->circuit;
    const struct reduced *w = k->whole;
    struct reduced *r = &k->folded;
    int kept = 0, gone = 0;
    if (!r->out) make_room(all->arena, c, k);
    int *element = r->port_element, *slot = r->port_slot;
    bool *quiet = r->quiet;
    for (int e = 0; e < c->elements.n; e++) slot[e] = -1;
    for (int p = 0; p < w->np; p++) {
        if (!isnan(all->siemens[w->port_element[p]])) {
            k->gone[gone++] = p;
            continue;
        }
        element[kept] = w->port_element[p];
        quiet[kept] = w->quiet[p];
        slot[element[kept]] = kept;
        k->kept[kept++] = p;
    }
    if (gone == 0) return false;
    r->np = kept;
    r->columns = w->nw + 2 * w->nu + kept;
    if (!solve_amperes(k, kept, gone, all->siemens)) return false;
    if (w->modal) return true; /* conductances would tie the modes together */
    const int before = w->nw + 2 * w->nu, rows = 2 * c->elements.n + c->points.n;
    double *out = r->out, *rate = r->rate;
    for (int i = 0; i < w->nw; i++) {
        double *row = &rate[i * r->columns];
        fold_row(k, gone, &w->rate[i * w->columns], &w->e[i * w->np], row);
        split_row(r, row, i, r->a, r->b, r->b1, r->e);
    }
    for (int p = 0; p < kept; p++) {
        double *row = k->row;
        const int from = k->kept[p];
        memcpy(row, &w->cv[from * w->nw], (size_t)w->nw * sizeof *row);
        memcpy(row + w->nw, &w->d[from * w->nu], (size_t)w->nu * sizeof *row);
        memcpy(row + w->nw + w->nu, &w->d1[from * w->nu], (size_t)w->nu * sizeof *row);
        fold_row(k, gone, row, &w->z[from * w->np], row);
        split_row(r, row, p, r->cv, r->d, r->d1, r->z);
    }
    for (int i = 0; i < rows; i++) {
        const double *row = &w->out[(size_t)i * (size_t)w->columns];
        fold_row(k, gone, row, row + before, &out[(size_t)i * (size_t)r->columns]);
    }
    return true;
}

int reductions_response(struct reductions *all, pattern_t pattern, const int **element,
                        const double **ohms)
{
    const struct circuit *c = all->network->circuit;
    const struct kept *k = NULL;
    int ports = 0;
    for (int i = 0; i < all->made.n && !k; i++)
        if (all->made.at[i]->whole->pattern == pattern && all->made.at[i]->made == all->fold)
            k = all->made.at[i];
    if (!k || !all->siemens) return 0;
    for (int d = 0; d < c->devices.n && !all->ohms; d++) ports += c->devices.at[d].ports;
    if (!all->ohms) {
        all->element = ARENA_ARRAY(all->arena, int, ports);
        all->ohms = doubles(all->arena, ports, ports);
    }
    const struct reduced *w = k->whole;
    const int gone = w->np - k->folded.np;
    for (int a = 0; a < gone; a++) {
        all->element[a] = w->port_element[k->gone[a]];
        for (int b = 0; b < gone; b++)
            all->ohms[a * gone + b] = w->z[k->gone[a] * w->np + k->gone[b]];
    }
    lu_solve_many(gone, k->lu, k->pivot, gone, all->ohms);
    *element = all->element;
    *ohms = all->ohms;
    return gone;
}

const struct reduced *reductions_get(struct reductions *all, pattern_t pattern)
{
    struct kept *k = NULL;
    for (int i = 0; i < all->made.n && !k; i++)
        if (all->made.at[i]->whole->pattern == pattern) k = all->made.at[i];
    if (!k) {
        const struct reduced *whole =
            network_reduce(all->arena, all->network, pattern, &all->asked);
        if (whole->fault == NETWORK_LEFT_OFF) return whole;
        k = ARENA_NEW(all->arena, struct kept);
        k->whole = whole;
        k->made = -1;
        array_push(all->arena, &all->made, k);
    }
    if (!all->siemens || k->whole->fault) return k->whole;
    if (k->made != all->fold) {
        k->made = fold(all, k) ? all->fold : -1;
        if (k->made < 0) return k->whole;
    }
    return k->whole->modal ? k->whole : &k->folded;
}
