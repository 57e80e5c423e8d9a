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
#include "cubic.h"
#include "envelope.h"
#include "heat.h"
#include "hold.h"
#include "moments.h"
#include "numbers.h"
#include "watch.h"

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
    for (int k = 0; k < m->panels.n; k++) m->panels.at[k].stale = !m->panels.at[k].r->modal;
    m->fresh = m->joined = false;
}

static double *entry(const struct panel *pa, int row, int column)
{
    return &pa->blocks[(row / METER_BLOCK * pa->r->columns + column) * METER_BLOCK +
                       row % METER_BLOCK];
}

/* Adds `sign` times a row of the pattern's outputs to row `to` of a panel. */
static void add_row(const struct meter *m, struct panel *pa, int to, double sign, enum output what,
                    int index)
{
    const double *row = equations_row(m->session->eq, pa->r, what, index);
    for (int j = 0; j < pa->r->columns; j++) *entry(pa, to, j) += sign * row[j];
}

static bool alike(const struct panel *pa, int a, int b)
{
    for (int j = 0; j < pa->r->columns; j++)
        if (*entry(pa, a, j) != *entry(pa, b, j)) return false;
    return true;
}

/* A capacitor to the chassis has the volts of its point, and its resistance its current: each row is
 * kept once. */
static void keep_once(const struct meter *m, struct panel *pa)
{
    if (!pa->same) return;
    pa->rows = 0;
    for (int k = 0; k < m->rows; k++) {
        int at = 0;
        while (at < pa->rows && !alike(pa, at, k)) at++;
        pa->same[k] = at;
        if (at < pa->rows) continue;
        for (int j = 0; j < pa->r->columns; j++) *entry(pa, at, j) = *entry(pa, k, j);
        pa->rows++;
    }
}

static void fill_rows(const struct meter *m, struct panel *pa)
{
    const struct network *n = m->session->network;
    pa->stale = false;
    memset(pa->blocks, 0, (size_t)m->stride * (size_t)pa->r->columns * sizeof *pa->blocks);
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
    if (m->session->options.pulses_only) return;
    for (int k = 0; k < m->sources.n; k++) {
        add_row(m, pa, to++, 1, OUTPUT_VOLTS, m->sources.at[k]);
        add_row(m, pa, to++, 1, OUTPUT_CURRENT, m->sources.at[k]);
    }
    for (int k = 0; k < n->capacitors; k++)
        add_row(m, pa, to++, 1, OUTPUT_CURRENT, n->y_element[k]);
}

static void fill_panel(const struct meter *m, struct panel *pa)
{
    pa->rows = m->rows;
    fill_rows(m, pa);
    keep_once(m, pa);
}

static const struct panel *panel_of(struct meter *m, const struct reduced *r)
{
    struct panel *pa = NULL;
    for (int k = 0; k < m->panels.n && !pa; k++)
        if (m->panels.at[k].r == r) pa = &m->panels.at[k];
    if (!pa) {
        array_push(m->arena, &m->panels, (struct panel){.r = r, .stale = true});
        pa = &m->panels.at[m->panels.n - 1];
        pa->blocks = ARENA_ARRAY(m->arena, double, (size_t)m->stride *(size_t)m->width);
        if (r->modal) pa->same = ARENA_ARRAY(m->arena, int, m->rows);
    }
    if (pa->stale) fill_panel(m, pa);
    return pa;
}

/* --- steps --- */

/* Two rows side by side: compilers find no good order for sums over rows and nodes by themselves. */
typedef double row_pair __attribute__((vector_size(2 * sizeof(double))));

/* Values of all rows at `nodes` nodes from `first` on, from the columns there: a block of rows at a
 * time, so that their sums stay in registers and what is read of the panel serves all nodes. */
static inline void look_at(struct meter *m, int first, const int nodes)
{
    const struct reduced *r = m->session->now.r;
    const struct panel *pa = panel_of(m, r);
    const int rows = pa->rows, columns = r->columns, width = m->width;
    const double *x = m->x + first * width;
    for (int at = 0; at < rows; at += METER_BLOCK) {
        const double *column = entry(pa, at, 0);
        row_pair sum[WAVE_NODES][METER_BLOCK / 2] = {{{0}}};
        for (int j = 0; j < columns; j++, column += METER_BLOCK)
            for (int k = 0; k < METER_BLOCK / 2; k++) {
                const row_pair of = {column[2 * k], column[2 * k + 1]};
                for (int node = 0; node < nodes; node++) sum[node][k] += of * x[node * width + j];
            }
        for (int node = 0; node < nodes; node++)
            for (int k = 0; k < METER_BLOCK && at + k < rows; k++)
                m->values[(first + node) * m->rows + at + k] = sum[node][k / 2][k % 2];
    }
    for (int node = first; pa->same && node < first + nodes; node++) {
        double *value = m->values + node * m->rows;
        memcpy(m->looked, value, (size_t)rows * sizeof *value);
        for (int k = 0; k < m->rows; k++) value[k] = m->looked[pa->same[k]];
    }
}

static void look(struct meter *m, int first)
{
    switch (first) { /* loops of constant length */
    case 0: look_at(m, 0, WAVE_NODES); return;
    case 1: look_at(m, 1, WAVE_NODES - 1); return;
    default: look_at(m, WAVE_NODES - 1, 1); return;
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
    if (m->session->options.pulses_only) return;
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
    const int one = of->r->nw + of->r->nu - 1, plain = pa->same ? pa->rows : m->sampled;
    for (int at = 0; at < plain; at += METER_BLOCK) {
        double sum[METER_BLOCK][WAVE_SUMS] = {{0}};
        const double *restrict column = entry(pa, at, 0), *restrict x = of->linear;
        for (int j = 0; j < of->r->columns; j++, column += METER_BLOCK, x += WAVE_SUMS)
            for (int k = 0; k < METER_BLOCK; k++)
                for (int s = 0; s < WAVE_SUMS; s++) sum[k][s] += column[k] * x[s];
        for (int k = 0; k < METER_BLOCK && at + k < plain; k++)
            memcpy(&m->means[(at + k) * WAVE_SUMS], sum[k], sizeof sum[k]);
    }
    for (int k = 0; k < m->sampled; k++)
        wave_give(m->wave, k, &m->means[(pa->same ? pa->same[k] : k) * WAVE_SUMS],
                  &of->linear[one * WAVE_SUMS]);
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
    if (m->asleep || moments->taken || m->session->options.pulses_only) return;
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

/* The states that move, at the nodes of a step that began at t0. */
static void sample_states(const struct meter *m, double t0)
{
    const struct session *s = m->session;
    const int ns = s->eq->ns, nw = s->now.r->nw;
    for (int node = 0; node < WAVE_NODES - 1; node++) {
        rosenbrock_dense(s->solver, t0 + lobatto_node[node] * (s->now.t - t0), s->trial);
        for (int j = 0; j < s->eq->moving; j++)
            m->samples[node * ns + s->eq->moves[j]] = s->trial[nw + j];
    }
    memcpy(&m->samples[(WAVE_NODES - 1) * ns], s->states, (size_t)ns * sizeof(double));
}

/* The highest on the cubic through the samples of a state. */
static double crest(const struct meter *m, int state)
{
    const int ns = m->session->eq->ns;
    double v[WAVE_NODES];
    for (int node = 0; node < WAVE_NODES; node++) v[node] = m->samples[node * ns + state];
    const struct cubic p = cubic_through(v);
    return cubic_highest(&p, -1, 1);
}

/* Whether one that moves may have been higher in the last step than ever. */
static bool may_crest(const struct meter *m)
{
    const struct session *s = m->session;
    for (int j = 0; j < s->eq->moving; j++) {
        const int k = s->eq->moves[j], at = m->temperature_of[k];
        if (at < 0) continue;
        const struct temperature *t = &m->temperatures.at[at];
        if (larger(s->states[k], t->now) + fabs(s->states[k] - t->now) > t->highest) return true;
    }
    return false;
}

/* Behind a step that began at t0, or at an instant t0. */
static void temperatures(struct meter *m, double t0)
{
    const struct session *s = m->session;
    const double *states = s->states;
    const bool sampled = t0 < s->now.t && may_crest(m);
    if (m->temperatures.n == 0) return;
    if (sampled) sample_states(m, t0);
    for (int k = 0; k < s->eq->ns; k++) {
        int j = m->temperature_of[k];
        struct temperature *t = j < 0 ? NULL : &m->temperatures.at[j];
        if (!t) continue;
        double top;
        t->now = hold_now(s->hold, k, states[k], s->period, &top);
        if (sampled && s->eq->place[k] >= 0) top = crest(m, k);
        if (top <= t->highest) continue;
        t->highest = top;
        t->time = s->now.t;
        double limit = s->network->circuit->states.at[k].limit;
        if (limit > 0 && top > limit && isnan(t->passed)) t->passed = s->now.t;
    }
    if (m->mark_time[1] > s->now.t - METER_WATTS * s->period) return;
    double *old = m->mark[0];
    m->mark[0] = m->mark[1];
    m->mark_time[0] = m->mark_time[1];
    m->mark[1] = old;
    m->mark_time[1] = s->now.t;
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
    memcpy(m->x + node * m->width, x, (size_t)s->now.r->columns * sizeof *x);
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
        moments_step(s->moments, s->now.r, t1 - t0, m->x, m->width, NULL, m->joined);
        m->fresh = m->joined = true;
        return 0;
    }
    wave_weights k;
    if (!s->options.pulses_only) {
        wave_weigh(m->wave, t0, t1, k);
        moments_step(s->moments, s->now.r, t1 - t0, m->x, m->width, k, m->joined);
    }
    look(m, m->fresh ? 1 : 0);
    for (int node = m->fresh ? 1 : 0; node < WAVE_NODES; node++)
        trace(m, node, node == last ? t1 : t0 + lobatto_node[node] * (t1 - t0));
    m->fresh = m->joined = true;
    integrate(m, t1 - t0);
    if (wave_ends(m->wave, t1)) meter_flush(m);
    wave_step(m->wave, t0, t1, m->values, m->rows);
    if (m->contact) contact_step(m->contact, m, t0);
    temperatures(m, t0);
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

void meter_begin(struct meter *m)
{
    const struct session *s = m->session;
    m->stored_first = session_stored(s);
    for (int k = 0; k < s->network->capacitors; k++) m->charge_first[k] = s->charge[k];
}

void meter_cycle(struct meter *m)
{
    if (m->asleep) return;
    watch_cycle(m->watch, m, m->session->now.t);
    if (!m->trace) return;
    heat_cycle(m->heat_record, m, m->session->now.t);
    if (m->envelope) envelope_cycle(m->envelope, m, m->session->now.t);
}

int meter_instant(struct meter *m)
{
    struct session *s = m->session;
    const int last = WAVE_NODES - 1;
    if (equations_solve(s->eq, s->now.t, s->y)) return 1;
    memcpy(m->x + last * m->width, s->eq->column, (size_t)s->now.r->columns * sizeof *m->x);
    m->fresh = true;
    m->joined = false;
    if (m->asleep) return 0;
    look(m, last);
    trace(m, last, s->now.t);
    wave_instant(m->wave, s->now.t, m->values + last * m->rows);
    temperatures(m, s->now.t);
    return 0;
}
