/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every step is sampled at its four Gauss-Lobatto nodes from the dense output; energies and charges
 * are integrated with the same rule, so the audit compares a quadrature of v*i with the stored
 * energies of the states: two roads to one number. What has extremes is looked at at every node;
 * means and watts come from the moments of a whole cycle. */
#include "meter.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "contact.h"
#include "heat.h"
#include "hold.h"
#include "moments.h"
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
    for (int k = 0; k < setup->stages.n; k++) {
        add_powers(m, setup->stages.at[k].circuit);
        add_temperatures(m, setup->stages.at[k].circuit);
    }
    array_push(arena, &m->channels, (struct channel){.mains_power = true});
    m->values = ARENA_ARRAY(arena, double, WAVE_NODES *(m->sampled + extras));
    m->means = ARENA_ARRAY(arena, double, WAVE_SUMS *(m->sampled + extras));
    m->x = ARENA_ARRAY(arena, double, WAVE_NODES * m->width);
    m->watts = ARENA_ARRAY(arena, double, m->channels.n);
    m->here = ARENA_ARRAY(arena, const struct probe *, m->sampled);
    m->part_of = ARENA_ARRAY(arena, int, elements);
    m->temperature_of = ARENA_ARRAY(arena, int, states);
    m->mark[0] = ARENA_ARRAY(arena, double, states);
    m->mark[1] = ARENA_ARRAY(arena, double, states);
    m->gained = ARENA_ARRAY(arena, double, elements);
    m->passed = ARENA_ARRAY(arena, double, elements);
    m->came = ARENA_ARRAY(arena, double, elements);
    m->charge_first = ARENA_ARRAY(arena, double, elements);
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
    for (int k = 0; k < c->elements.n; k++)
        if (c->elements.at[k].kind == ELEMENT_SOURCE) array_push(m->arena, &m->sources, k);
    m->rows = m->sampled + 2 * m->sources.n + m->session->network->capacitors;
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

void meter_stage_end(struct meter *m)
{
    const struct session *s = m->session;
    meter_flush(m);
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

/* --- what is looked at --- */

void meter_refold(struct meter *m)
{
    for (int k = 0; k < m->panels.n; k++) m->panels.at[k].stale = true;
    m->fresh = m->joined = false;
}

/* Adds `sign` times a row of the pattern's outputs to row `to` of a panel. */
static void add_row(const struct meter *m, struct panel *pa, int to, double sign, enum output what,
                    int index)
{
    const double *row = equations_row(m->session->eq, pa->r, what, index);
    for (int j = 0; j < pa->r->columns; j++) pa->by_column[j * m->rows + to] += sign * row[j];
}

static void fill_panel(const struct meter *m, struct panel *pa)
{
    const struct network *n = m->session->network;
    pa->stale = false;
    memset(pa->by_column, 0, (size_t)m->rows * (size_t)pa->r->columns * sizeof *pa->by_column);
    for (int k = 0; k < m->sampled; k++) {
        const struct probe *p = m->here[k];
        if (p && p->kind == PROBE_VOLTAGE) {
            add_row(m, pa, k, 1, OUTPUT_POTENTIAL, p->from);
            if (p->to >= 0) add_row(m, pa, k, -1, OUTPUT_POTENTIAL, p->to);
        } else if (p) {
            for (int j = 0; j < p->count; j++)
                add_row(m, pa, k, p->signs[j], OUTPUT_CURRENT, p->elements[j]);
        }
    }
    int to = m->sampled;
    for (int k = 0; k < m->sources.n; k++) {
        add_row(m, pa, to++, 1, OUTPUT_VOLTS, m->sources.at[k]);
        add_row(m, pa, to++, 1, OUTPUT_CURRENT, m->sources.at[k]);
    }
    for (int k = 0; k < n->capacitors; k++)
        add_row(m, pa, to++, 1, OUTPUT_CURRENT, n->y_element[k]);
}

static const struct panel *panel_of(struct meter *m, const struct reduced *r)
{
    struct panel *pa = NULL;
    for (int k = 0; k < m->panels.n && !pa; k++)
        if (m->panels.at[k].r == r) pa = &m->panels.at[k];
    if (!pa) {
        array_push(m->arena, &m->panels, (struct panel){.r = r, .stale = true});
        pa = &m->panels.at[m->panels.n - 1];
        pa->by_column = ARENA_ARRAY(m->arena, double, (size_t)m->rows *(size_t)m->width);
    }
    if (pa->stale) fill_panel(m, pa);
    return pa;
}

/* --- steps --- */

/* Values of all rows at nodes first .. 3 from the columns there. */
static void look(struct meter *m, int first)
{
    const struct reduced *r = m->session->r;
    const struct panel *pa = panel_of(m, r);
    const int rows = m->rows;
    memset(m->values + first * rows, 0, (size_t)((WAVE_NODES - first) * rows) * sizeof *m->values);
    for (int j = 0; j < r->columns; j++) {
        const double *restrict column = &pa->by_column[j * rows];
        for (int node = first; node < WAVE_NODES; node++) {
            double *restrict value = m->values + node * rows;
            const double x = m->x[node * m->width + j];
            for (int k = 0; k < rows; k++) value[k] += column[k] * x;
        }
    }
}

static void trace(struct meter *m, int node, double t)
{
    if (!m->trace) return;
    for (int k = 0; k < m->traced.n; k++) m->row[k] = m->values[node * m->rows + m->traced.at[k]];
    trace_row(m->trace, t, m->row);
}

/* The books that need a look at every node: what sources give, and charges. */
static void integrate(struct meter *m, double h)
{
    const int ny = m->session->network->capacitors, sources = m->sources.n;
    for (int node = 0; node < WAVE_NODES; node++) {
        const double *value = m->values + node * m->rows, *given = value + m->sampled,
                     *current = given + 2 * sources, weight = h * lobatto_weight[node];
        double drawn = 0;
        for (int k = 0; k < sources; k++) drawn -= given[2 * k] * given[2 * k + 1];
        m->drawn += weight * drawn;
        m->moved += weight * fabs(drawn);
        if (m->line_volts >= 0 && m->line_amperes >= 0)
            m->mains += weight * value[m->line_volts] * value[m->line_amperes];
        for (int k = 0; k < ny; k++) {
            m->came[k] += weight * current[k];
            m->passed[k] += weight * fabs(current[k]);
        }
    }
}

/* Linear sums of all channels from the columns' sums in one pattern. */
static void give_linear(struct meter *m, const struct moments_of *of)
{
    const struct panel *pa = panel_of(m, of->r);
    const int rows = m->rows, one = of->r->nw + of->r->nu - 1;
    memset(m->means, 0, (size_t)(WAVE_SUMS * rows) * sizeof *m->means);
    for (int j = 0; j < of->r->columns; j++)
        for (int s = 0; s < WAVE_SUMS; s++) {
            const double x = of->linear[j * WAVE_SUMS + s];
            const double *restrict column = &pa->by_column[j * rows];
            double *restrict sum = m->means + s * rows;
            for (int k = 0; k < m->sampled; k++) sum[k] += column[k] * x;
        }
    for (int k = 0; k < m->sampled; k++) {
        double sums[WAVE_SUMS];
        for (int s = 0; s < WAVE_SUMS; s++) sums[s] = m->means[s * rows + k];
        wave_give(m->wave, k, sums, &of->linear[one * WAVE_SUMS]);
    }
}

static void add_watts(struct meter *m, const struct moments_of *of)
{
    const struct session *s = m->session;
    for (int k = 0; k < s->network->circuit->elements.n; k++) {
        if (m->part_of[k] < 0) continue;
        double joules = moments_product(of, equations_row(s->eq, of->r, OUTPUT_VOLTS, k),
                                        equations_row(s->eq, of->r, OUTPUT_CURRENT, k));
        m->heat += joules;
        m->watts[m->part_of[k]] += joules;
    }
}

void meter_flush(struct meter *m)
{
    struct moments *moments = m->session->moments;
    if (m->asleep || moments->taken) return;
    moments_settle(moments);
    moments->taken = true;
    for (int k = m->sampled; k < m->channels.n; k++) m->watts[k] = 0;
    double ones[WAVE_SUMS] = {0};
    for (int k = 0; k < moments->of.n; k++) {
        const struct moments_of *of = &moments->of.at[k];
        if (!(of->seconds > 0)) continue;
        give_linear(m, of);
        add_watts(m, of);
        ones[WAVE_PLAIN] += of->seconds;
    }
    m->watts[m->channels.n - 1] = m->mains;
    m->mains = 0;
    for (int k = m->sampled; k < m->channels.n; k++)
        wave_give(m->wave, k, (double[WAVE_SUMS]){[WAVE_PLAIN] = m->watts[k]}, ones);
}

static void temperatures(struct meter *m)
{
    const struct session *s = m->session;
    const double *states = s->states;
    for (int k = 0; k < s->eq->ns; k++) {
        int j = m->temperature_of[k];
        struct temperature *t = j < 0 ? NULL : &m->temperatures.at[j];
        if (!t) continue;
        double top;
        t->now = hold_now(s->hold, k, states[k], s->period, &top);
        if (top <= t->highest) continue;
        t->highest = top;
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

/* The columns at one node of the last step. */
static bool take(struct meter *m, int node, double t0, double t1)
{
    struct session *s = m->session;
    double t = node == WAVE_NODES - 1 ? t1 : t0 + lobatto_node[node] * (t1 - t0);
    const double *y = s->y, *x = session_seen(s, t);
    if (!x) {
        if (node < WAVE_NODES - 1) {
            rosenbrock_dense(s->solver, t, s->trial);
            y = s->trial;
        }
        if (equations_solve(s->eq, t, y)) return false;
        x = s->eq->column;
    }
    memcpy(m->x + node * m->width, x, (size_t)s->r->columns * sizeof *x);
    return true;
}

int meter_step(struct meter *m)
{
    struct session *s = m->session;
    const int last = WAVE_NODES - 1;
    double t0 = rosenbrock_previous(s->solver), t1 = rosenbrock_time(s->solver);
    if (m->asleep && !hold_holds(s->hold)) return equations_solve(s->eq, t1, s->y);
    if (m->fresh) {
        memcpy(m->values, m->values + last * m->rows, (size_t)m->rows * sizeof *m->values);
        memcpy(m->x, m->x + last * m->width, (size_t)m->width * sizeof *m->x);
    }
    for (int node = m->fresh ? 1 : 0; node < WAVE_NODES; node++)
        if (!take(m, node, t0, t1)) return 1;
    /* the end of the step is the instant in hand for who asks next */
    if (equations_solve(s->eq, t1, s->y)) return 1;
    if (m->asleep) {
        moments_step(s->moments, s->r, t1 - t0, m->x, m->width, NULL, m->joined);
        m->fresh = m->joined = true;
        return 0;
    }
    wave_weights k;
    wave_weigh(m->wave, t0, t1, k);
    moments_step(s->moments, s->r, t1 - t0, m->x, m->width, k, m->joined);
    look(m, m->fresh ? 1 : 0);
    for (int node = m->fresh ? 1 : 0; node < WAVE_NODES; node++)
        trace(m, node, node == last ? t1 : t0 + lobatto_node[node] * (t1 - t0));
    m->fresh = m->joined = true;
    integrate(m, t1 - t0);
    if (wave_ends(m->wave, t1)) meter_flush(m);
    wave_step(m->wave, t0, t1, m->values, m->rows);
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
    m->fresh = m->joined = false;
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
    const int last = WAVE_NODES - 1;
    if (equations_solve(s->eq, s->t, s->y)) return 1;
    memcpy(m->x + last * m->width, s->eq->column, (size_t)s->r->columns * sizeof *m->x);
    m->fresh = true;
    m->joined = false;
    if (m->asleep) return 0;
    look(m, last);
    trace(m, last, s->t);
    wave_instant(m->wave, s->t, m->values + last * m->rows);
    temperatures(m);
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
