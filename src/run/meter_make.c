/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is measured: channels of probes and of parts' watts, temperatures, columns of the trace; and
 * where a stage has them. */
#include "meter.h"

#include <math.h>
#include <string.h>

#include "contact.h"
#include "envelope.h"
#include "heat.h"
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
        const struct probe *p = &c->probes.at[k];
        bool known = m->session->options.pulses_only &&
                     !(p->kind == PROBE_CURRENT && p->flags & PROBE_RECTIFIER);
        for (int j = 0; j < m->channels.n && !known; j++)
            known = !m->channels.at[j].part && same_probe(&m->channels.at[j].probe, p);
        if (!known) array_push(m->arena, &m->channels, (struct channel){.probe = *p});
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
        bool direct = ch->probe.kind == PROBE_VOLTAGE && !(ch->probe.flags & PROBE_RECTIFIER) &&
                      ch->probe.flags & (PROBE_POINT | PROBE_CAPACITOR);
        floors[k] = ch->part || ch->mains_power       ? 1e-3
                    : ch->probe.kind == PROBE_VOLTAGE ? 1e-3
                                                      : 1e-6;
        bool plate = !ch->part && !ch->mains_power && ch->probe.kind == PROBE_CURRENT &&
                     (ch->probe.flags & PROBE_RECTIFIER);
        flags[k] = ch->part || ch->mains_power ? WAVE_MEAN | WAVE_GIVEN | WAVE_SWING : WAVE_GIVEN;
        if (plate) flags[k] |= WAVE_PULSES;
        if (!direct) flags[k] |= WAVE_SWING;
    }
    m->wave = wave_new(m->arena, n, m->session->period, floors, flags);
    wave_start(m->wave, 0);
    wave_closing(m->wave, 0);
}

static void trace_probes(struct meter *m, unsigned flags)
{
    for (int k = 0; k < m->channels.n; k++) {
        const struct channel *ch = &m->channels.at[k];
        if (ch->part || ch->mains_power || (ch->probe.flags & flags) != flags) continue;
        array_push(m->arena, &m->traced, k);
        const char *unit = ch->probe.kind == PROBE_VOLTAGE ? "V" : "A";
        const char *title = arena_printf(m->arena, "%s [%s]", ch->probe.subject, unit);
        array_push(m->arena, &m->session->result->columns, title);
    }
}

static void make_trace(struct meter *m, double stop)
{
    trace_probes(m, PROBE_WATCHED);
    if (m->traced.n == 0) trace_probes(m, 0); /* a set without capacitor, rectifier and mains */
    m->row = ARENA_ARRAY(m->arena, double, m->traced.n);
    int rows = TRACE_BYTES / (TRACE_CELL * (m->traced.n + 1));
    m->trace = trace_new(m->arena, m->traced.n, 0, stop, m->session->period,
                         rows < TRACE_ROWS ? rows : TRACE_ROWS);
}

struct meter *meter_new(struct arena *arena, struct session *s)
{
    struct meter *m = ARENA_NEW(arena, struct meter);
    const struct setup *setup = s->setup;
    int elements = 0, extras = 0, states = 0;
    m->arena = arena;
    m->session = s;
    for (int k = 0; k < setup->stages.n; k++) {
        const struct circuit *c = setup->stages.at[k].circuit;
        add_probes(m, c);
        int extra = 0, columns = 2 * (c->waveforms.n + 1);
        for (int j = 0; j < c->elements.n; j++) {
            const struct element *e = &c->elements.at[j];
            extra += 2 * (e->kind == ELEMENT_SOURCE) + (e->kind == ELEMENT_CAPACITOR);
            columns += e->kind == ELEMENT_CAPACITOR || e->kind == ELEMENT_INDUCTOR ||
                       e->kind == ELEMENT_PORT;
        }
        extras = extras > extra ? extras : extra;
        m->width = m->width > columns ? m->width : columns;
        elements = elements > c->elements.n ? elements : c->elements.n;
        states = states > c->states.n ? states : c->states.n;
    }
    m->sampled = m->channels.n;
    for (int k = 0; k < setup->stages.n && !s->options.pulses_only; k++) {
        add_powers(m, setup->stages.at[k].circuit);
        add_temperatures(m, setup->stages.at[k].circuit);
    }
    array_push(arena, &m->channels, (struct channel){.mains_power = true});
    m->values = ARENA_ARRAY(arena, double, WAVE_NODES *(m->sampled + extras));
    m->means = ARENA_ARRAY(arena, double, WAVE_SUMS *(m->sampled + extras));
    m->looked = ARENA_ARRAY(arena, double, m->sampled + extras);
    m->x = ARENA_ARRAY(arena, double, WAVE_NODES * m->width);
    m->watts = ARENA_ARRAY(arena, double, m->channels.n);
    m->here = ARENA_ARRAY(arena, const struct probe *, m->sampled);
    m->part_of = ARENA_ARRAY(arena, int, elements);
    m->temperature_of = ARENA_ARRAY(arena, int, states);
    m->samples = ARENA_ARRAY(arena, double, WAVE_NODES *states);
    m->mark[0] = ARENA_ARRAY(arena, double, states);
    m->mark[1] = ARENA_ARRAY(arena, double, states);
    m->gained = ARENA_ARRAY(arena, double, elements);
    m->passed = ARENA_ARRAY(arena, double, elements);
    m->came = ARENA_ARRAY(arena, double, elements);
    m->charge_first = ARENA_ARRAY(arena, double, elements);
    m->charge_point = "";
    make_wave(m);
    m->watch = watch_new(arena, m);
    m->contact = s->options.pulses_only ? NULL : contact_new(arena, m);
    if (s->options.trace) {
        make_trace(m, s->options.duration);
        m->heat_record = heat_new(arena, m, s->options.duration);
        m->envelope = envelope_new(arena, m, s->options.duration);
    }
    return m;
}

void meter_stage(struct meter *m)
{
    const struct circuit *c = m->session->network->circuit;
    m->line_volts = m->line_amperes = -1;
    for (int j = 0; j < m->sampled; j++) {
        m->here[j] = NULL;
        for (int k = 0; k < c->probes.n && !m->here[j]; k++)
            if (same_probe(&m->channels.at[j].probe, &c->probes.at[k]))
                m->here[j] = &c->probes.at[k];
        if (!m->here[j] || !(m->here[j]->flags & PROBE_LINE)) continue;
        *(m->here[j]->kind == PROBE_VOLTAGE ? &m->line_volts : &m->line_amperes) = j;
    }
    m->panels.n = m->sources.n = 0;
    const bool books = !m->session->options.pulses_only;
    for (int k = 0; k < c->elements.n && books; k++)
        if (c->elements.at[k].kind == ELEMENT_SOURCE) array_push(m->arena, &m->sources, k);
    m->rows = m->sampled + (books ? 2 * m->sources.n + m->session->network->capacitors : 0);
    m->stride = (m->rows + METER_BLOCK - 1) / METER_BLOCK * METER_BLOCK;
    m->fresh = m->joined = false;
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
