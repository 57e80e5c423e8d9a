/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What moves and what is held, and what the pattern in force asks for. */
#include "equations_impl.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* --- making --- */

struct equations *equations_new(struct arena *arena, const struct network *network)
{
    struct equations *eq = ARENA_NEW(arena, struct equations);
    const struct circuit *c = network->circuit;
    int ports = 0, nu = network->inputs, ny = network->capacitors + network->inductors;
    for (int k = 0; k < c->devices.n; k++) ports += c->devices.at[k].ports;
    eq->network = network;
    eq->circuit = c;
    eq->ns = c->states.n;
    const int wide = ny + eq->ns + 1;
    const int each = ports * PORT_COEFFICIENTS;
    const struct {
        double **row;
        int length;
    } rows[] = {{&eq->state, eq->ns},
                {&eq->from, eq->ns},
                {&eq->slope, eq->ns},
                {&eq->solved.y, wide},
                {&eq->solved.v, ports},
                {&eq->u, nu},
                {&eq->u1, nu},
                {&eq->u2, nu},
                {&eq->lit, c->gates},
                {&eq->was, c->elements.n},
                {&eq->v, ports},
                {&eq->i, ports},
                {&eq->g, ports},
                {&eq->c, each},
                {&eq->line[0], each},
                {&eq->line[1], each},
                {&eq->device_line[0], c->devices.n * EQUATIONS_PORT_ROW},
                {&eq->device_line[1], c->devices.n * EQUATIONS_PORT_ROW},
                {&eq->tangent.g, ports},
                {&eq->tangent.dv, ports * wide},
                {&eq->column, ny + 2 * nu + ports}};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        *rows[k].row = ARENA_ARRAY(arena, double, rows[k].length);
    for (int k = 0; k < c->gates; k++) eq->lit[k] = -HUGE_VAL;
    eq->moves = ARENA_ARRAY(arena, int, eq->ns);
    eq->sees = ARENA_ARRAY(arena, int, eq->ns);
    eq->place = ARENA_ARRAY(arena, int, eq->ns);
    eq->work = ARENA_ARRAY(arena, double, ports *(3 * ports + 6 + 3 * wide));
    eq->pivot = ARENA_ARRAY(arena, int, ports);
    eq->border =
        equations_border_new(arena, network->capacitors, ports + network->inductors + eq->ns);
    eq->straight = ARENA_ARRAY(arena, int, ports);
    eq->bent = ARENA_ARRAY(arena, int, ports);
    eq->use = ARENA_ARRAY(arena, struct port_use, ports);
    eq->lined_slot = ARENA_ARRAY(arena, int, ports);
    eq->active_device = ARENA_ARRAY(arena, int, c->devices.n);
    eq->rated_device = ARENA_ARRAY(arena, int, c->devices.n);
    equations_hold(eq, 0, 1, NULL, NULL, NULL);
    return eq;
}

/* --- what moves --- */

/* Whether all that the coefficients of a device look at is held. */
static bool at_rest(const struct equations *eq, const struct device *d)
{
    for (int k = 0; k < d->states; k++)
        if (eq->place[d->state0 + k] >= 0) return false;
    for (int k = 0; k < d->foreign; k++)
        if (eq->place[d->foreign_state[k]] >= 0) return false;
    return true;
}

/* Coefficients of the devices at rest at the begin of the span, and their slopes over it. */
static void lay_lines(struct equations *eq, double span)
{
    double x[DEVICE_FOREIGN];
    for (int k = 0; k < eq->circuit->devices.n; k++) {
        const struct device *d = &eq->circuit->devices.at[k];
        double *c0 = &eq->device_line[0][k * EQUATIONS_PORT_ROW],
               *c1 = &eq->device_line[1][k * EQUATIONS_PORT_ROW];
        if (!at_rest(eq, d)) continue;
        equations_foreign(d, eq->from, x);
        d->law->prepare(d->par, eq->from + d->state0, x, c0);
        memset(c1, 0, EQUATIONS_PORT_ROW * sizeof *c1);
        if (d->states + d->foreign == 0) continue;
        for (int j = 0; j < eq->ns; j++) eq->state[j] = eq->from[j] + eq->slope[j] * span;
        equations_foreign(d, eq->state, x);
        d->law->prepare(d->par, eq->state + d->state0, x, c1);
        for (int j = 0; j < d->ports * PORT_COEFFICIENTS; j++)
            c1[j] = c1[j] == c0[j] ? 0 : (c1[j] - c0[j]) / span;
    }
}

static void see_state(struct equations *eq, int k)
{
    for (int j = 0; j < eq->seen; j++)
        if (eq->sees[j] == k) return;
    if (k >= 0 && eq->place[k] < 0) eq->sees[eq->seen++] = k;
}

/* Held states that the instant's laws and gates look at. */
static void see_states(struct equations *eq)
{
    const struct circuit *c = eq->circuit;
    eq->seen = 0;
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        if (d->states + d->foreign == 0 || (d->law->straight && at_rest(eq, d))) continue;
        for (int j = 0; j < d->states; j++) see_state(eq, d->state0 + j);
        for (int j = 0; j < d->foreign; j++) see_state(eq, d->foreign_state[j]);
    }
    for (int g = 0; g < c->gates; g++) {
        const struct element *e = &c->elements.at[eq->network->gate_element[g]];
        if (e->kind == ELEMENT_SWITCH && e->trips) see_state(eq, e->trip_state);
        if (e->kind == ELEMENT_RECTIFIER) see_state(eq, e->ready_state);
    }
}

/* Ports that stay keep their volts as the first guess. */
static void remember_volts(struct equations *eq)
{
    for (int k = 0; eq->r && k < eq->circuit->elements.n; k++) eq->was[k] = 0;
    for (int k = 0; eq->r && k < eq->r->np; k++) eq->was[eq->r->port_element[k]] = eq->v[k];
}

void equations_hold(struct equations *eq, double t, double span, const bool *held,
                    const double *state, const double *slope)
{
    remember_volts(eq);
    eq->moving = 0;
    eq->origin = t;
    eq->r = NULL;
    eq->solved.good = eq->tangent.good = false;
    for (int k = 0; k < eq->ns; k++) {
        eq->place[k] = -1;
        if (held && held[k]) {
            eq->from[k] = state[k];
            eq->slope[k] = slope[k];
            continue;
        }
        eq->from[k] = eq->slope[k] = 0;
        eq->place[k] = eq->moving;
        eq->moves[eq->moving++] = k;
    }
    lay_lines(eq, span);
    see_states(eq);
}

void equations_states(const struct equations *eq, double t, const double *y, double *state)
{
    const double *s = y + eq->r->nw, since = t - eq->origin;
    for (int k = 0; k < eq->ns; k++)
        state[k] = eq->place[k] < 0 ? eq->from[k] + eq->slope[k] * since : s[eq->place[k]];
}

static void sort_devices(struct equations *eq)
{
    eq->active = eq->rated = eq->lined = 0;
    for (int k = 0; k < eq->circuit->devices.n; k++) {
        const struct device *d = &eq->circuit->devices.at[k];
        bool here = false, rest = at_rest(eq, d), moves = false;
        for (int p = 0; p < d->ports; p++) {
            int slot = eq->r->port_slot[d->element[p]];
            if (slot < 0) continue;
            here = true;
            if (!rest) continue;
            for (int j = 0; j < 2; j++)
                memcpy(&eq->line[j][slot * PORT_COEFFICIENTS],
                       &eq->device_line[j][k * EQUATIONS_PORT_ROW + p * PORT_COEFFICIENTS],
                       PORT_COEFFICIENTS * sizeof *eq->c);
            eq->lined_slot[eq->lined++] = slot;
        }
        for (int j = 0; j < d->states; j++) moves |= eq->place[d->state0 + j] >= 0;
        if (here && !rest) eq->active_device[eq->active++] = k;
        if (moves) eq->rated_device[eq->rated++] = k;
    }
}

void equations_pattern(struct equations *eq, const struct reduced *r)
{
    assert(!r->fault);
    remember_volts(eq);
    eq->r = r;
    eq->solved.good = eq->tangent.good = false;
    eq->straights = eq->bents = 0;
    for (int k = 0; k < r->np; k++) {
        eq->v[k] = eq->was[r->port_element[k]];
        eq->i[k] = 0;
        const struct element *e = &eq->circuit->elements.at[r->port_element[k]];
        const struct device *d = &eq->circuit->devices.at[e->group];
        eq->use[k] = (struct port_use){d->law->current, d->par, e->port};
        /* without volts no current, but for what a field stores */
        if (r->quiet[k] && d->law->straight && !d->law->stored) eq->v[k] = eq->g[k] = 0;
        else if (d->law->straight) eq->straight[eq->straights++] = k;
        else eq->bent[eq->bents++] = k;
    }
    sort_devices(eq);
}
