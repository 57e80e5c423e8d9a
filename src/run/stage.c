/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beginning a stretch between timed changes: charges, fluxes and device states are carried over by
 * part and role. */
#include <math.h>
#include <string.h>

#include "hold.h"
#include "meter.h"
#include "moments.h"
#include "numbers.h"
#include "session.h"

#define STATE_LOOSER 10

static bool same_place(const char *part_a, const char *role_a, const char *part_b,
                       const char *role_b)
{
    return strcmp(part_a, part_b) == 0 && strcmp(role_a, role_b) == 0;
}

/* What is carried over. */
struct carried {
    const struct network *network; /* NULL at the very start */
    const double *charge;
    const double *states;
    pattern_t pattern;
};

static void carry_charges(struct session *s, const struct carried *old)
{
    const struct circuit *c = s->network->circuit;
    const int ny = s->network->capacitors + s->network->inductors;
    for (int k = 0; k < ny; k++) {
        const struct element *e = &c->elements.at[s->network->y_element[k]];
        s->charge[k] = e->initial * s->network->stored_by[k];
        const int count = old->network ? old->network->capacitors + old->network->inductors : 0;
        for (int j = 0; j < count; j++) {
            const struct element *o =
                &old->network->circuit->elements.at[old->network->y_element[j]];
            if (o->kind == e->kind && same_place(o->part, o->role, e->part, e->role))
                s->charge[k] = old->charge[j];
        }
        s->full[k] = s->charge[k] / s->network->stored_by[k];
    }
}

static void carry_states(struct session *s, const struct carried *old)
{
    const struct circuit *c = s->network->circuit;
    for (int k = 0; k < c->states.n; k++) {
        const struct state *st = &c->states.at[k];
        s->states[k] = s->options.hot ? st->hot : st->cold;
        for (int j = 0; old->network && j < old->network->circuit->states.n; j++) {
            const struct state *o = &old->network->circuit->states.at[j];
            if (same_place(o->part, o->role, st->part, st->role)) s->states[k] = old->states[j];
        }
    }
}

/* Whether gate g of the new stage conducted when the old one ended; *known: it was there. */
static bool conducted(const struct carried *old, const struct element *e, bool *known)
{
    *known = false;
    for (int h = 0; old->network && h < old->network->circuit->gates; h++) {
        const struct element *o =
            &old->network->circuit->elements.at[old->network->gate_element[h]];
        if (!same_place(o->part, o->role, e->part, e->role)) continue;
        *known = o->trips == e->trips;
        return old->pattern >> h & 1u;
    }
    return false;
}

/* Gates that conducted, as far as they are still there; switches as the new stage has them, but
 * what has tripped stays so, and the mains open at a zero of their current. */
static pattern_t carry_pattern(struct session *s, const struct carried *old)
{
    const struct circuit *c = s->network->circuit;
    pattern_t now = 0;
    for (int g = 0; g < c->gates; g++) {
        const int k = s->network->gate_element[g];
        const struct element *e = &c->elements.at[k];
        bool known, on = conducted(old, e, &known);
        if (e->kind == ELEMENT_SWITCH && !(e->trips && known)) {
            if (on && !e->starts_closed && k == s->stage->mains_switch) {
                s->now.opening |= (pattern_t)1 << g;
                s->now.sign[g] = 0;
            } else {
                on = e->starts_closed;
            }
        }
        if (s->only_steady && e->trips && e->trip_state < 0) on = !e->starts_closed; /* long ago */
        if (s->only_steady && k == s->stage->mains_switch && s->stage->gap_open)
            on &= session_contact_closed(s);
        if (on) now |= (pattern_t)1 << g;
    }
    return now;
}

/* All rows that move lie in one. */
static void make_rows(struct session *s, int n)
{
    const struct {
        double **row;
        int n;
    } rows[] = {{&s->y, n},     {&s->states, s->eq->ns},
                {&s->full, n},  {&s->charge, n},
                {&s->range, n}, {&s->eq->lit, s->network->circuit->gates}};
    s->room = 0;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) s->room += (size_t)rows[k].n;
    double *at = s->now.rows = ARENA_ARRAY(s->arena, double, s->room);
    memcpy(at + s->room - s->network->circuit->gates, s->eq->lit,
           (size_t)s->network->circuit->gates * sizeof *at);
    for (size_t k = 0; k < sizeof rows / sizeof *rows; at += rows[k++].n) *rows[k].row = at;
}

struct moving *session_moving_new(const struct session *s)
{
    struct moving *m = ARENA_NEW(s->arena, struct moving);
    m->rows = ARENA_ARRAY(s->arena, double, s->room);
    return m;
}

static void copy(const struct session *s, struct moving *to, const struct moving *from)
{
    double *rows = memcpy(to->rows, from->rows, s->room * sizeof *rows);
    *to = *from;
    to->rows = rows;
}

void session_keep(const struct session *s, struct moving *to)
{
    copy(s, to, &s->now);
    to->between = s->eq->between;
}

void session_take_back(struct session *s, const struct moving *from)
{
    copy(s, &s->now, from);
    s->eq->between = from->between;
}

double *session_row(const struct session *s, const struct moving *of, const double *row)
{
    return of->rows + (row - s->now.rows);
}

static void make_room(struct session *s)
{
    const struct circuit *c = s->network->circuit;
    const int ny = s->network->capacitors + s->network->inductors, n = ny + c->states.n + 1;
    make_rows(s, n);
    s->looser = ARENA_ARRAY(s->arena, double, c->states.n);
    for (int k = 0; k < c->devices.n;
         k++) /* a field gives back what it holds: it is in the books */
        for (int j = 0; j < c->devices.at[k].states; j++)
            s->looser[c->devices.at[k].state0 + j] =
                c->devices.at[k].law->stored ? 1 : STATE_LOOSER;
    s->scale = ARENA_ARRAY(s->arena, double, n);
    s->volts = ARENA_ARRAY(s->arena, double, n);
    s->swing = ARENA_ARRAY(s->arena, struct swing, n);
    s->swing_before = ARENA_ARRAY(s->arena, struct swing, n);
    s->trial = ARENA_ARRAY(s->arena, double, n);
    s->rate = ARENA_ARRAY(s->arena, double, n);
    s->base = ARENA_ARRAY(s->arena, double, n);
    s->later = ARENA_ARRAY(s->arena, double, n);
    s->solver = rosenbrock_new(s->arena, n, c->gates);
    s->moments = moments_new(s->arena, s->meter->width);
    for (int k = 0; k < SESSION_SEEN; k++)
        s->seen[k].column = ARENA_ARRAY(s->arena, double, s->meter->width);
}

static void scales(struct session *s)
{
    const struct circuit *c = s->network->circuit;
    s->volts_scale = 1e-3;
    for (int k = 0; k < c->waveforms.n; k++)
        s->volts_scale = larger(s->volts_scale, fabs(c->waveforms.at[k].peak));
    const int ny = s->network->capacitors + s->network->inductors;
    for (int k = 0; k < ny; k++)
        s->volts_scale = larger(s->volts_scale, k < s->network->capacitors ? fabs(s->full[k]) : 0);
    s->now.amps_scale = larger(s->now.amps_scale, s->volts_scale / 1e5);
    /* the floor of a range: a hundredth of the source's volts, or what they drive through the coil
     * at mains frequency */
    for (int k = 0; k < ny; k++) {
        double floor = 0.01 * s->volts_scale;
        if (k >= s->network->capacitors) floor /= 2 * PI / s->period * s->network->stored_by[k];
        s->range[k] = larger(floor, fabs(s->full[k]));
        s->swing[k] = s->swing_before[k] = (struct swing){s->full[k], s->full[k]};
    }
}

bool session_stage(struct session *s, int k)
{
    static const struct reduced nothing = {0};
    struct carried old = {0};
    double before = 0;
    const bool goes_on = s->eq != NULL;
    if (goes_on) {
        hold_release(s);
        session_charges(s);
        before = session_stored(s);
        meter_stage_end(s->meter);
        old = (struct carried){s->network, s->charge, s->states, s->now.r->pattern};
        s->newton += s->eq->newton;
        s->patterns += reductions_count(s->reductions);
    }
    double shift = goes_on ? s->eq->shift : s->first_shift;
    s->stage = &s->setup->stages.at[k];
    if (goes_on || !s->network) {
        s->network = network_new(s->arena, s->stage->circuit);
        s->reductions = reductions_new(s->arena, s->network);
    }
    reductions_ask(s->reductions, (struct network_asked){session_wants_end, s});
    reductions_fold(s->reductions, NULL);
    s->eq = equations_new(s->arena, s->network);
    s->eq->shift = shift;
    s->eq->between = s->now.t + 1e-6 * s->period;
    s->now.opening = 0;
    s->now.arc_end = HUGE_VAL;
    s->first.n = 0;
    make_room(s);
    s->now.r = &nothing;
    carry_charges(s, &old);
    carry_states(s, &old);
    scales(s);
    s->hold = hold_new(s);
    if (!goes_on) {
        before = session_stored(s);
        s->meter->stored_first = before;
    }
    meter_stage(s->meter);
    return session_settle(s, carry_pattern(s, &old), before);
}
