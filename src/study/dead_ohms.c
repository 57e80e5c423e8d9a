/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points joined by wire are one node; the nodes that something joins to the minus lead make one
 * nodal matrix with that lead as its ground. */
#include "dead_ohms.h"

#include <math.h>

#include "lu.h"
#include "numbers.h"

struct dead {
    const struct circuit *c;
    /* [points] leads to a point it is joined to by wire; itself: it stands for its node */
    int *wire;
    int *near; /* the same for whatever conducts */
};

static int root(const int *joined, int at)
{
    while (joined[at] != at) at = joined[at];
    return at;
}

static void join(int *joined, int a, int b)
{
    joined[root(joined, a)] = root(joined, b);
}

/* Also the copper around iron: the port of a coil or a core, which stores what it takes. */
static bool is_wire(const struct circuit *c, const struct element *e)
{
    switch (e->kind) {
    case ELEMENT_PORT: return c->devices.at[e->group].law->stored;
    case ELEMENT_RESISTOR: return e->value == 0;
    case ELEMENT_INDUCTOR:
    case ELEMENT_WINDING: return true;
    case ELEMENT_SWITCH: return e->starts_closed;
    default: return false;
    }
}

/* The slope of a cold device's port at no volts [S]. */
static double port_siemens(const struct circuit *c, const struct element *e)
{
    const struct device *d = &c->devices.at[e->group];
    double s[DEVICE_STATES] = {0}, x[DEVICE_FOREIGN] = {0};
    double k[DEVICE_PORTS * PORT_COEFFICIENTS] = {0}, g = 0;
    for (int i = 0; i < d->states; i++) s[i] = c->states.at[d->state0 + i].cold;
    for (int i = 0; i < d->foreign; i++) x[i] = c->states.at[d->foreign_state[i]].cold;
    d->law->prepare(d->par, s, x, k);
    d->law->current(d->par, e->port, k + (size_t)e->port * PORT_COEFFICIENTS, 0, &g);
    return g;
}

static double siemens(const struct circuit *c, const struct element *e)
{
    if (e->kind == ELEMENT_RESISTOR) return 1 / e->value;
    return e->kind == ELEMENT_PORT ? port_siemens(c, e) : 0;
}

static void join_all(struct dead *d)
{
    for (int i = 0; i < d->c->points.n; i++) d->wire[i] = d->near[i] = i;
    for (int i = 0; i < d->c->elements.n; i++) {
        const struct element *e = &d->c->elements.at[i];
        bool wire = is_wire(d->c, e);
        if (wire) join(d->wire, e->from, e->to);
        if (wire || siemens(d->c, e) != 0) join(d->near, e->from, e->to);
    }
}

static double volts_at(const double *v, const int *at, int node)
{
    return at[node] < 0 ? 0 : v[at[node]];
}

double dead_ohms(struct arena *arena, const struct circuit *c, const char *plus, const char *minus,
                 struct dead_shares *shares)
{
    struct dead_shares unused;
    if (!shares) shares = &unused;
    *shares = (struct dead_shares){0, 0};
    const int n = c->points.n, a = circuit_find_point(c, plus), b = circuit_find_point(c, minus);
    if (a < 0 || b < 0) return (double)NAN;
    struct dead d = {c, ARENA_ARRAY(arena, int, n), ARENA_ARRAY(arena, int, n)};
    join_all(&d);
    if (root(d.wire, a) == root(d.wire, b)) return 0;
    if (root(d.near, a) != root(d.near, b)) return HUGE_VAL;
    int *at = ARENA_ARRAY(arena, int, n),
        nodes = 0; /* row of a node; -1: the ground, or elsewhere */
    const int ground = root(d.wire, b);
    for (int i = 0; i < n; i++) {
        bool counts = d.wire[i] == i && i != ground && root(d.near, i) == root(d.near, b);
        at[i] = counts ? nodes++ : -1;
    }
    double *g = ARENA_ARRAY(arena, double, (size_t)nodes *(size_t)nodes);
    double *v = ARENA_ARRAY(arena, double, nodes);
    int *pivot = ARENA_ARRAY(arena, int, nodes);
    for (int i = 0; i < c->elements.n; i++) {
        const struct element *e = &c->elements.at[i];
        int from = at[root(d.wire, e->from)], to = at[root(d.wire, e->to)];
        double y = is_wire(c, e) ? 0 : siemens(c, e);
        if (from == to || y == 0) continue;
        if (from >= 0) g[from * nodes + from] += y;
        if (to >= 0) g[to * nodes + to] += y;
        if (from >= 0 && to >= 0) g[from * nodes + to] -= y, g[to * nodes + from] -= y;
    }
    v[at[root(d.wire, a)]] = 1;
    if (!lu_factor(nodes, g, pivot)) return (double)NAN;
    lu_solve(nodes, g, pivot, v);
    const double ohms = v[at[root(d.wire, a)]];
    for (int i = 0; i < c->elements.n; i++) {
        const struct element *e = &c->elements.at[i];
        double across =
            volts_at(v, at, root(d.wire, e->from)) - volts_at(v, at, root(d.wire, e->to));
        double share = is_wire(c, e) ? 0 : siemens(c, e) * sq(across) / ohms; /* one ampere in */
        if (e->assumed) shares->leakages += share;
        if (e->kind == ELEMENT_PORT) shares->filaments += share;
    }
    return ohms;
}
