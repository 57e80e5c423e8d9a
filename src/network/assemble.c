/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Modified nodal equations in the form the reduction wants: capacitor voltages and inductor
 * currents are unknowns of their own, so the matrix in front of the derivatives is diagonal
 * whatever hangs on whatever (C. W. Ho, A. E. Ruehli, P. A. Brennan, "The modified nodal approach
 * to network analysis", IEEE Trans. CAS 22, 1975, p. 504). An island of points without the
 * reference gets one balancing current, zero by the current law, and one equation for its
 * potential: its equal reverse leakages through the open rectifiers sum to zero; without such, its
 * first point is its zero. */
#include "assemble.h"

#include <assert.h>
#include <math.h>

#include "numbers.h"

bool assemble_present(const struct element *e, pattern_t pattern)
{
    return e->gate < 0 || (pattern >> e->gate & 1u);
}

static int root(int *parent, int i)
{
    while (parent[i] != i) i = parent[i] = parent[parent[i]];
    return i;
}

int assemble_islands(const struct network *network, pattern_t pattern, int *island)
{
    const struct circuit *c = network->circuit;
    int n = 0;
    for (int i = 0; i < c->points.n; i++) island[i] = i;
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        if (!assemble_present(e, pattern)) continue;
        int a = root(island, e->from), b = root(island, e->to);
        if (a != b) island[a > b ? a : b] = a < b ? a : b;
    }
    /* roots are the smallest members, so numbering in order of points is stable */
    for (int i = 0; i < c->points.n; i++) island[i] = root(island, i);
    for (int i = 0; i < c->points.n; i++) island[i] = island[i] == i ? -1 - n++ : island[island[i]];
    for (int i = 0; i < c->points.n; i++) island[i] = -1 - island[i];
    return n;
}

/* Elements that leak when open: they tell where a floating island stands. */
static bool leaks_open(const struct element *e, pattern_t pattern)
{
    return (e->kind == ELEMENT_RECTIFIER || e->kind == ELEMENT_PORT) &&
           !assemble_present(e, pattern);
}

/* held[island]: its potential is fixed by a point set to zero, not by leakages. One island of every
 * group joined by open rectifiers is held: the reference's own, else the first. */
static void hold_islands(const struct network *network, pattern_t pattern, const int *island, int n,
                         bool *held, int *group)
{
    const struct circuit *c = network->circuit;
    int reference = circuit_find_point(c, c->reference);
    for (int i = 0; i < n; i++) group[i] = i;
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        if (!leaks_open(e, pattern)) continue;
        int a = root(group, island[e->from]), b = root(group, island[e->to]);
        if (a != b) group[a > b ? a : b] = a < b ? a : b;
    }
    int home = reference >= 0 ? root(group, island[reference]) : -1;
    for (int i = 0; i < n; i++) held[i] = root(group, i) == i && i != home;
    if (reference >= 0) held[island[reference]] = true;
}

static bool has_current(const struct element *e, double impedance)
{
    switch (e->kind) {
    case ELEMENT_RESISTOR: return e->value < impedance;
    case ELEMENT_CAPACITOR:
    case ELEMENT_SOURCE:
    case ELEMENT_WINDING:
    case ELEMENT_RECTIFIER:
    case ELEMENT_SWITCH: return true;
    case ELEMENT_INDUCTOR:
    case ELEMENT_PORT: return false;
    }
    return false;
}

struct work {
    struct assembly *m;
    const struct circuit *c;
    double impedance;
    int row; /* next free algebraic row */
};

static double *at(const struct work *w, int row, int column)
{
    return &w->m->g[(size_t)row * (size_t)w->m->n + (size_t)column];
}

/* Adds `sign` times the potential difference of an element to a row. */
static void volts(const struct work *w, int row, const struct element *e, double sign)
{
    *at(w, row, w->m->points + e->from) += sign;
    *at(w, row, w->m->points + e->to) -= sign;
}

/* Current unknown in column `column` leaves point from and enters point to. The current law of
 * point k is row points + k. */
static void flows(const struct work *w, int column, const struct element *e)
{
    *at(w, w->m->points + e->from, column) += 1;
    *at(w, w->m->points + e->to, column) -= 1;
}

static void conductance(const struct work *w, const struct element *e, double g)
{
    volts(w, w->m->points + e->from, e, g);
    volts(w, w->m->points + e->to, e, -g);
}

static void put_port(const struct work *w, int k, const struct element *e)
{
    int slot = w->m->port_slot[k];
    size_t np = (size_t)w->m->np;
    w->m->p[(size_t)(w->m->points + e->from) * np + (size_t)slot] -= w->impedance;
    w->m->p[(size_t)(w->m->points + e->to) * np + (size_t)slot] += w->impedance;
    if (e->value > 0) conductance(w, e, w->impedance / e->value);
}

static void put_element(struct work *w, int k, int *y, const int *core)
{
    const struct element *e = &w->c->elements.at[k];
    int own = w->m->current[k];
    double *b = w->m->b;
    size_t nu = (size_t)w->m->nu;
    if (e->kind == ELEMENT_PORT) {
        put_port(w, k, e);
        return;
    }
    if (e->kind == ELEMENT_INDUCTOR) {
        w->m->e[*y] = e->value / w->impedance;
        volts(w, *y, e, -1);
        flows(w, *y, e);
        ++*y;
        return;
    }
    if (own < 0) {
        conductance(w, e, w->impedance / e->value);
        return;
    }
    flows(w, own, e);
    int row = w->row++;
    volts(w, row, e, 1);
    switch (e->kind) {
    case ELEMENT_CAPACITOR:
        w->m->e[*y] = e->value * w->impedance;
        *at(w, *y, own) = -1;
        *at(w, row, *y) = -1;
        ++*y;
        break;
    case ELEMENT_RESISTOR: *at(w, row, own) = -e->value / w->impedance; break;
    case ELEMENT_RECTIFIER:
        *at(w, row, own) = -e->slope / w->impedance;
        b[(size_t)row * nu + nu - 1] = e->threshold;
        break;
    case ELEMENT_SOURCE: b[(size_t)row * nu + (size_t)e->group] = 1; break;
    case ELEMENT_WINDING:
        *at(w, row, core[e->group]) = -e->value;
        *at(w, core[e->group], own) +=
            e->value; /* the row of the core's ampere turns stands where its volts stand */
        break;
    case ELEMENT_SWITCH:
    case ELEMENT_INDUCTOR:
    case ELEMENT_PORT: break;
    }
}

static void put_islands(struct work *w, const struct network *network, pattern_t pattern,
                        struct arena *arena, const int *island, int islands)
{
    bool *held = ARENA_ARRAY(arena, bool, islands);
    int *group = ARENA_ARRAY(arena, int, islands);
    hold_islands(network, pattern, island, islands, held, group);
    int reference = circuit_find_point(w->c, w->c->reference);
    for (int i = 0; i < islands; i++) {
        int first = 0;
        while (island[first] != i) first++;
        if (reference >= 0 && island[reference] == i) first = reference;
        int row = w->row++;
        *at(w, w->m->points + first, row) = 1; /* the balancing current, column = its row */
        if (held[i]) {
            *at(w, row, w->m->points + first) = 1;
            continue;
        }
        for (int k = 0; k < w->c->elements.n; k++) {
            const struct element *e = &w->c->elements.at[k];
            if (!leaks_open(e, pattern) || island[e->from] == island[e->to]) continue;
            if (island[e->from] == i) volts(w, row, e, 1);
            if (island[e->to] == i) volts(w, row, e, -1);
        }
    }
}

struct assembly assemble(struct arena *arena, const struct network *network, pattern_t pattern,
                         double impedance)
{
    const struct circuit *c = network->circuit;
    struct assembly m = {.ny = network->capacitors + network->inductors, .nu = network->inputs};
    int *island = ARENA_ARRAY(arena, int, c->points.n);
    int *core = ARENA_ARRAY(arena, int, c->transformers);
    m.current = ARENA_ARRAY(arena, int, c->elements.n);
    m.port_slot = ARENA_ARRAY(arena, int, c->elements.n);
    m.port_element = ARENA_ARRAY(arena, int, c->elements.n);
    m.points = m.ny;
    int islands = assemble_islands(network, pattern, island);
    int next = m.points + c->points.n;
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        bool here = assemble_present(e, pattern);
        m.current[k] = here && has_current(e, impedance) ? next++ : -1;
        m.port_slot[k] = here && e->kind == ELEMENT_PORT ? m.np : -1;
        if (m.port_slot[k] >= 0) m.port_element[m.np++] = k;
    }
    m.cores = next;
    for (int k = 0; k < c->transformers; k++) core[k] = next++;
    m.n = next + islands;
    m.na = m.n - m.ny;
    m.e = ARENA_ARRAY(arena, double, m.ny);
    m.g = ARENA_ARRAY(arena, double, (size_t)m.n *(size_t)m.n);
    m.b = ARENA_ARRAY(arena, double, (size_t)m.n *(size_t)m.nu);
    m.p = ARENA_ARRAY(arena, double, (size_t)m.n *(size_t)m.np);

    struct work w = {.m = &m, .c = c, .impedance = impedance, .row = m.points + c->points.n};
    int y = 0;
    for (int pass = 0; pass < 2; pass++)
        for (int k = 0; k < c->elements.n; k++) {
            const struct element *e = &c->elements.at[k];
            bool inductor = e->kind == ELEMENT_INDUCTOR;
            if (inductor == (pass == 1) && assemble_present(e, pattern))
                put_element(&w, k, &y, core);
            if (pass == 1 && inductor) m.current[k] = y - 1;
        }
    assert(y == m.ny);
    assert(w.row + c->transformers == next);
    w.row = next;
    put_islands(&w, network, pattern, arena, island, islands);
    return m;
}
