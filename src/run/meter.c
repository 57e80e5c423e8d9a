/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every step is sampled at its four Gauss-Lobatto nodes from the dense output; energies and charges
 * are integrated with the same rule, so the audit compares a quadrature of v*i with the stored
 * energies of the states: two roads to one number. */
#include "meter.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "contact.h"
#include "heat.h"
#include "numbers.h"
#include "watch.h"

#define TRACE_BYTES 9000000 /* a trace file stays under 10 MB whatever its columns */
#define TRACE_CELL 13       /* bytes of a number and its comma in it, about */

static bool same_probe(const struct probe *a, const struct probe *b)
{
    return a->kind == b->kind && strcmp(a->subject, b->subject) == 0 && a->flags == b->flags;
}

static void add_probes(struct meter *m, const struct circuit *c)
{
    for (int k = 0; k < c->probes.n; k++) {
        bool known = false;
        for (int j = 0; j < m->channels.n && !known; j++)
            known =
                !m->channels.at[j].part && same_probe(&m->channels.at[j].probe, &c->probes.at[k]);
        if (!known) array_push(m->arena, &m->channels, (struct channel){.probe = c->probes.at[k]});
    }
}

static int power_channel(const struct meter *m, const char *part)
{
    for (int j = 0; j < m->channels.n; j++)
        if (m->channels.at[j].part && strcmp(m->channels.at[j].part, part) == 0) return j;
    return -1;
}

/* Whether an element turns its v*i into heat. */
static bool heats(const struct circuit *c, const struct element *e)
{
    if (e->kind == ELEMENT_PORT) return !c->devices.at[e->group].law->stored;
    return e->kind == ELEMENT_RESISTOR || e->kind == ELEMENT_RECTIFIER;
}

static void add_powers(struct meter *m, const struct circuit *c)
{
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        if (heats(c, e) && power_channel(m, e->part) < 0)
            array_push(m->arena, &m->channels, (struct channel){.part = e->part});
    }
}

static void add_temperatures(struct meter *m, const struct circuit *c)
{
    for (int k = 0; k < c->states.n; k++) {
        const struct state *st = &c->states.at[k];
        bool known = !st->is_temperature;
        for (int j = 0; j < m->temperatures.n && !known; j++)
            known = strcmp(m->temperatures.at[j].part, st->part) == 0 &&
                    strcmp(m->temperatures.at[j].role, st->role) == 0;
        if (!known)
            array_push(m->arena, &m->temperatures,
                       (struct temperature){.part = st->part,
                                            .role = st->role,
                                            .highest = -HUGE_VAL,
                                            .now = st->cold,
                                            .passed = (double)NAN});
    }
}

static void make_wave(struct meter *m)
{
    const int n = m->channels.n;
    double *floors = ARENA_ARRAY(m->arena, double, n);
    unsigned *flags = ARENA_ARRAY(m->arena, unsigned, n);
    for (int k = 0; k < n; k++) {
        const struct channel *ch = &m->channels.at[k];
        floors[k] = ch->part || ch->mains_power       ? 1e-3
                    : ch->probe.kind == PROBE_VOLTAGE ? 1e-3
                                                      : 1e-6;
        bool plate = !ch->part && !ch->mains_power && ch->probe.kind == PROBE_CURRENT &&
                     (ch->probe.flags & PROBE_RECTIFIER);
        flags[k] = plate ? WAVE_PULSES : 0;
    }
    m->wave = wave_new(m->arena, n, m->session->period, floors, flags);
    wave_start(m->wave, 0);
    wave_closing(m->wave, 0);
}

static void make_trace(struct meter *m, double stop)
{
    for (int k = 0; k < m->channels.n; k++) {
        const struct channel *ch = &m->channels.at[k];
        if (ch->part || ch->mains_power || !(ch->probe.flags & PROBE_WATCHED)) continue;
        array_push(m->arena, &m->traced, k);
        const char *unit = ch->probe.kind == PROBE_VOLTAGE ? "V" : "A";
        const char *title = arena_printf(m->arena, "%s [%s]", ch->probe.subject, unit);
        array_push(m->arena, &m->session->result->columns, title);
    }
    m->row = ARENA_ARRAY(m->arena, double, m->traced.n);
    int rows = TRACE_BYTES / (TRACE_CELL * (m->traced.n + 1));
    m->trace = trace_new(m->arena, m->traced.n, 0, stop, m->session->period,
                         rows < TRACE_ROWS ? rows : TRACE_ROWS);
}

struct meter *meter_new(struct arena *arena, struct session *s)
{
    struct meter *m = ARENA_NEW(arena, struct meter);
    const struct setup *setup = s->setup;
    int elements = 0, points = 0, states = 0;
    m->arena = arena;
    m->session = s;
    for (int k = 0; k < setup->stages.n; k++) {
        const struct circuit *c = setup->stages.at[k].circuit;
        add_probes(m, c);
        elements = elements > c->elements.n ? elements : c->elements.n;
        points = points > c->points.n ? points : c->points.n;
        states = states > c->states.n ? states : c->states.n;
    }
    for (int k = 0; k < setup->stages.n; k++) {
        add_powers(m, setup->stages.at[k].circuit);
        add_temperatures(m, setup->stages.at[k].circuit);
    }
    array_push(arena, &m->channels, (struct channel){.mains_power = true});
    m->samples = ARENA_ARRAY(arena, double, WAVE_NODES * m->channels.n);
    m->out = ARENA_ARRAY(arena, double, 2 * elements + points);
    m->here = ARENA_ARRAY(arena, const struct probe *, m->channels.n);
    m->part_of = ARENA_ARRAY(arena, int, elements);
    m->temperature_of = ARENA_ARRAY(arena, int, states);
    m->mark[0] = ARENA_ARRAY(arena, double, states);
    m->mark[1] = ARENA_ARRAY(arena, double, states);
    m->gained = ARENA_ARRAY(arena, double, elements);
    m->passed = ARENA_ARRAY(arena, double, elements);
    m->came = ARENA_ARRAY(arena, double, elements);
    m->charge_first = ARENA_ARRAY(arena, double, elements);
    m->rates = ARENA_ARRAY(arena, double, WAVE_NODES *elements);
    m->charge_point = "";
    make_wave(m);
    m->watch = watch_new(arena, m);
    m->contact = contact_new(arena, m);
    if (s->options.trace) {
        make_trace(m, s->options.duration);
        m->heat_record = heat_new(arena, m, s->options.duration);
    }
    return m;
}

void meter_stage(struct meter *m)
{
    const struct circuit *c = m->session->network->circuit;
    for (int j = 0; j < m->channels.n; j++) {
        m->here[j] = NULL;
        if (m->channels.at[j].part || m->channels.at[j].mains_power) continue;
        for (int k = 0; k < c->probes.n && !m->here[j]; k++)
            if (same_probe(&m->channels.at[j].probe, &c->probes.at[k]))
                m->here[j] = &c->probes.at[k];
    }
    for (int k = 0; k < c->elements.n; k++)
        m->part_of[k] =
            heats(c, &c->elements.at[k]) ? power_channel(m, c->elements.at[k].part) : -1;
    for (int k = 0; k < c->states.n; k++) {
        m->temperature_of[k] = -1;
        for (int j = 0; j < m->temperatures.n; j++)
            if (c->states.at[k].is_temperature &&
                strcmp(m->temperatures.at[j].part, c->states.at[k].part) == 0 &&
                strcmp(m->temperatures.at[j].role, c->states.at[k].role) == 0)
                m->temperature_of[k] = j;
    }
    m->mark_time[0] = m->mark_time[1] = (double)NAN;
    const int ny = m->session->network->capacitors;
    for (int k = 0; k < ny; k++) {
        m->gained[k] = m->passed[k] = m->came[k] = 0;
        m->charge_first[k] = m->session->charge[k];
    }
}

void meter_stage_end(struct meter *m)
{
    const struct session *s = m->session;
    for (int k = 0; k < s->network->capacitors; k++) {
        double off = fabs(s->charge[k] - m->charge_first[k] - m->came[k] - m->gained[k]);
        /* beside what passed, what the part would hold at the source's crest: while a rectifier is
         * cold next to nothing passes, and the tolerance is a share of that crest */
        double passed = m->passed[k] + fabs(m->gained[k]) + fabs(m->charge_first[k]) +
                        s->network->stored_by[k] * s->volts_scale;
        double share = passed > 0 ? off / passed : 0;
        if (share <= m->charge_worst) continue;
        m->charge_worst = share;
        m->charge_point = s->network->circuit->elements.at[s->network->y_element[k]].part;
    }
}

static double probe_value(const struct meter *m, const struct probe *p, int elements)
{
    if (p->kind == PROBE_VOLTAGE) {
        double to = p->to >= 0 ? m->out[2 * elements + p->to] : 0;
        return m->out[2 * elements + p->from] - to;
    }
    double sum = 0;
    for (int k = 0; k < p->count; k++) sum += p->signs[k] * m->out[elements + p->elements[k]];
    return sum;
}

/* Values of all channels at one node; the equations have been solved there. */
static void take(struct meter *m, int node)
{
    struct session *s = m->session;
    const struct circuit *c = s->network->circuit;
    const int elements = c->elements.n, n = m->channels.n;
    double *sample = &m->samples[node * n], heat = 0, drawn = 0, volts = 0, amperes = 0;
    for (int k = 0; k < 2 * elements + c->points.n; k++) m->out[k] = equations_output(s->eq, OUTPUT_VOLTS, k);
    for (int j = 0; j < n; j++) {
        sample[j] = m->here[j] ? probe_value(m, m->here[j], elements) : 0;
        if (!m->here[j] || !(m->here[j]->flags & PROBE_LINE)) continue;
        *(m->here[j]->kind == PROBE_VOLTAGE ? &volts : &amperes) = sample[j];
    }
    for (int k = 0; k < elements; k++) {
        double watts = m->out[k] * m->out[elements + k];
        if (c->elements.at[k].kind == ELEMENT_SOURCE) drawn -= watts;
        if (m->part_of[k] < 0) continue;
        heat += watts;
        sample[m->part_of[k]] += watts;
    }
    sample[n - 1] = volts * amperes;
    m->node_heat[node] = heat;
    m->node_drawn[node] = drawn;
    for (int k = 0; k < s->network->capacitors; k++)
        m->rates[k * WAVE_NODES + node] = m->out[elements + s->network->y_element[k]];
}

static void trace(struct meter *m, int node, double t)
{
    if (!m->trace) return;
    for (int k = 0; k < m->traced.n; k++)
        m->row[k] = m->samples[node * m->channels.n + m->traced.at[k]];
    trace_row(m->trace, t, m->row);
}

static void integrate(struct meter *m, double h)
{
    const int ny = m->session->network->capacitors;
    for (int node = 0; node < WAVE_NODES; node++) {
        m->heat += h * wave_weight[node] * m->node_heat[node];
        m->drawn += h * wave_weight[node] * m->node_drawn[node];
        m->moved += h * wave_weight[node] * fabs(m->node_drawn[node]);
    }
    for (int k = 0; k < ny; k++)
        for (int node = 0; node < WAVE_NODES; node++) {
            double part = h * wave_weight[node] * m->rates[k * WAVE_NODES + node];
            m->came[k] += part;
            m->passed[k] += fabs(part);
        }
}

static void temperatures(struct meter *m)
{
    const struct session *s = m->session;
    const double *states = s->states;
    for (int k = 0; k < s->eq->ns; k++) {
        int j = m->temperature_of[k];
        struct temperature *t = j < 0 ? NULL : &m->temperatures.at[j];
        if (!t) continue;
        t->now = states[k];
        if (t->now <= t->highest) continue;
        t->highest = states[k];
        t->time = s->t;
        double limit = s->network->circuit->states.at[k].limit;
        if (limit > 0 && states[k] > limit && isnan(t->passed)) t->passed = s->t;
    }
    if (m->mark_time[1] > s->t - METER_WATTS * s->period) return;
    double *old = m->mark[0];
    m->mark[0] = m->mark[1];
    m->mark_time[0] = m->mark_time[1];
    m->mark[1] = old;
    m->mark_time[1] = s->t;
    memcpy(old, states, (size_t)s->eq->ns * sizeof *old);
}

int meter_step(struct meter *m)
{
    struct session *s = m->session;
    const int n = m->channels.n;
    double t0 = rosenbrock_previous(s->solver), t1 = rosenbrock_time(s->solver);
    if (m->asleep) return equations_solve(s->eq, t1, s->y);
    if (m->fresh) {
        memcpy(m->samples, m->samples + 3 * n, (size_t)n * sizeof *m->samples);
        m->node_heat[0] = m->node_heat[3];
        m->node_drawn[0] = m->node_drawn[3];
        for (int k = 0; k < s->network->capacitors; k++)
            m->rates[k * WAVE_NODES] = m->rates[k * WAVE_NODES + 3];
    }
    for (int node = m->fresh ? 1 : 0; node < WAVE_NODES; node++) {
        double t = node == 3 ? t1 : t0 + wave_node[node] * (t1 - t0);
        rosenbrock_dense(s->solver, t, s->trial);
        const double *y = node == 3 ? rosenbrock_state(s->solver) : s->trial;
        if (equations_solve(s->eq, t, y)) return 1;
        take(m, node);
        if (node > 0 || !m->fresh) trace(m, node, t);
    }
    m->fresh = true;
    integrate(m, t1 - t0);
    wave_step(m->wave, t0, t1, m->samples);
    if (m->contact) contact_step(m->contact, m, t0);
    temperatures(m);
    return 0;
}

void meter_jump(struct meter *m, double work, double loss, const double *before,
                const double *after)
{
    if (m->asleep) return;
    m->worked += work;
    m->booked += loss;
    m->fresh = false;
    for (int k = 0; k < m->session->network->capacitors; k++) m->gained[k] += after[k] - before[k];
}

void meter_moved(struct meter *m, const double *charge, double stored)
{
    const struct session *s = m->session;
    m->stored_first += session_stored(s) - stored;
    for (int k = 0; k < s->network->capacitors; k++) m->charge_first[k] += s->charge[k] - charge[k];
    m->mark_time[0] = m->mark_time[1] = (double)NAN;
}

void meter_cycle(struct meter *m)
{
    if (m->asleep) return;
    watch_cycle(m->watch, m, m->session->t);
    if (m->heat_record) heat_cycle(m->heat_record, m, m->session->t);
}

int meter_instant(struct meter *m)
{
    struct session *s = m->session;
    if (equations_solve(s->eq, s->t, s->y)) return 1;
    if (m->asleep) return 0;
    take(m, 3);
    trace(m, 3, s->t);
    wave_instant(m->wave, s->t, m->samples + 3 * m->channels.n);
    temperatures(m);
    m->fresh = true;
    return 0;
}

enum { BOOKS_PLAIN = 5, BOOKS_POINT = 3 };

int meter_books_count(const struct meter *m)
{
    return BOOKS_PLAIN + BOOKS_POINT * m->session->network->capacitors;
}

void meter_books(const struct meter *m, double *books)
{
    const int ny = m->session->network->capacitors;
    const double plain[BOOKS_PLAIN] = {m->drawn, m->heat, m->booked, m->worked, m->moved};
    memcpy(books, plain, sizeof plain);
    for (int k = 0; k < ny; k++) {
        double *of = books + BOOKS_PLAIN + BOOKS_POINT * k;
        of[0] = m->gained[k];
        of[1] = m->passed[k];
        of[2] = m->came[k];
    }
}

void meter_books_add(struct meter *m, const double *books)
{
    const int ny = m->session->network->capacitors;
    double *plain[BOOKS_PLAIN] = {&m->drawn, &m->heat, &m->booked, &m->worked, &m->moved};
    for (int k = 0; k < BOOKS_PLAIN; k++) *plain[k] += books[k];
    for (int k = 0; k < ny; k++) {
        const double *of = books + BOOKS_PLAIN + BOOKS_POINT * k;
        m->gained[k] += of[0];
        m->passed[k] += of[1];
        m->came[k] += of[2];
    }
}
