/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "balance.h"
#include "coils.h"
#include "hold_impl.h"
#include "meter.h"
#include "moments.h"
#include "numbers.h"

static void note_gates(const struct session *s, struct hold *h)
{
    const struct circuit *c = s->network->circuit;
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        int state = e->kind == ELEMENT_SWITCH && e->trips ? e->trip_state
                    : e->kind == ELEMENT_RECTIFIER        ? e->ready_state
                                                          : -1;
        if (state < 0) continue;
        struct slow *of = &h->of[state];
        double value = e->kind == ELEMENT_SWITCH ? e->trip_value : e->ready_value;
        if (!of->gated) of->gate[0] = value;
        of->gate[1] = value;
        of->gated = true;
    }
}

/* A stretch begins. */
static void begin(struct hold *h, const struct session *s)
{
    h->begun = s->now.t;
    for (int k = 0; k < h->ns; k++) {
        h->start[k] = s->states[k];
        ripple_begin(&h->of[k].ripple);
    }
}

struct hold *hold_new(struct session *s)
{
    const struct circuit *c = s->network->circuit;
    struct hold *h = ARENA_NEW(s->arena, struct hold);
    if (s->options.hold < 0) return NULL;
    h->ns = c->states.n;
    h->held = ARENA_ARRAY(s->arena, bool, h->ns);
    h->next = ARENA_ARRAY(s->arena, bool, h->ns);
    h->start = ARENA_ARRAY(s->arena, double, h->ns);
    h->slope = ARENA_ARRAY(s->arena, double, h->ns);
    h->middle = ARENA_ARRAY(s->arena, double, h->ns);
    h->siemens = ARENA_ARRAY(s->arena, double, c->elements.n);
    h->of = ARENA_ARRAY(s->arena, struct slow, h->ns);
    h->coils = coils_new(s);
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        unsigned slow = d->law->slow ? d->law->slow(d->par) : 0;
        for (int j = 0; j < d->states; j++) {
            h->of[d->state0 + j].slow = slow >> j & 1u;
            h->of[d->state0 + j].wire = d->law->straight && !d->law->stored;
        }
        for (int j = 0; j < d->foreign; j++)
            if (!d->law->straight) h->of[d->foreign_state[j]].emits = true;
    }
    if (s->skip) h->balance = balance_new(s);
    note_gates(s, h);
    begin(h, s);
    return h;
}

double hold_now(const struct hold *h, int state, double line, double period, double *top)
{
    *top = line;
    if (!h || !h->held[state]) return line;
    const struct slow *of = &h->of[state];
    double now = line - ripple_at_end(&of->ripple, of->gross, period);
    *top = larger(now, line + ripple_top(&of->ripple, of->gross, of->net, period));
    return now;
}

bool hold_holds(const struct hold *h)
{
    return h && h->held_count > 0;
}

/* The rates of one device's slow states over the stretch. */
static void find_rates(struct session *s, const struct device *d, double span)
{
    struct hold *h = s->hold;
    double v[DEVICE_PORTS], none[DEVICE_PORTS] = {0}, x[DEVICE_FOREIGN],
                            c[DEVICE_PORTS * PORT_COEFFICIENTS] = {0}, ds[DEVICE_STATES],
                            cooling[DEVICE_STATES];
    struct device_slopes slopes;
    const double *state = h->middle + d->state0;
    balance_volts(s, d, span, v);
    hold_foreign(d, h->middle, x);
    d->law->prepare(d->par, state, x, c);
    d->law->rates(d->par, v, state, c, ds);
    d->law->rates(d->par, none, state, c, cooling);
    memset(&slopes, 0, sizeof slopes);
    d->law->slopes(d->par, v, state, x, c, &slopes);
    for (int j = 0; j < d->states; j++) {
        const int k = d->state0 + j;
        struct slow *of = &h->of[k];
        if (!of->slow) continue;
        of->decay = fabs(slopes.ds_s[j][j]);
        if (h->held[k]) {
            of->before = of->net;
            of->net = ds[j];
            of->known++;
        }
        of->gross = fabs(ds[j] - cooling[j]);
        if (!h->held[k] || of->listens) of->ripple.heard = of->gross;
    }
}

/* The mean of a state over a stretch that begins at `start` and goes `way`, bent by as much as its
 * rate changed from the last cycle to the one before: of a parabola. */
static double mean_of(const struct slow *of, double start, double way, double span)
{
    double bend = of->known > 1 ? (of->net - of->before) * span : 0;
    return start + way / 2 - bend / 12;
}

static void advance(struct session *s, double span)
{
    struct hold *h = s->hold;
    const struct circuit *c = s->network->circuit;
    for (int k = 0; k < h->ns; k++) {
        struct slow *of = &h->of[k];
        double way = h->held[k] ? h->slope[k] * span : s->states[k] - h->start[k];
        if (!h->held[k]) {
            of->before = of->net;
            of->net = way / span;
            of->known++;
        }
        /* what is heard is heard of states that stay where they are: it is not bent */
        if (of->listens) ripple_end(&of->ripple, of->ripple.way / 2, span);
        if (!h->held[k]) ripple_end(&of->ripple, mean_of(of, 0, way, span), span);
        h->middle[k] = mean_of(of, h->start[k], way, span);
        if (!h->held[k]) h->middle[k] += of->ripple.offset;
    }
    for (int k = 0; k < c->devices.n; k++)
        if (c->devices.at[k].law->slow) find_rates(s, &c->devices.at[k], span);
    for (int k = 0; k < h->ns; k++)
        if (h->held[k]) s->states[k] = h->start[k] + h->of[k].net * span;
}

/* The rates that states which listen would have at this instant, that of the equations. */
static void hear(struct session *s, double step)
{
    struct hold *h = s->hold;
    const struct circuit *c = s->network->circuit;
    double v[DEVICE_PORTS], x[DEVICE_FOREIGN], of[DEVICE_PORTS * PORT_COEFFICIENTS] = {0},
                                                                 ds[DEVICE_STATES];
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        const double *state = h->middle + d->state0;
        bool any = false;
        for (int j = 0; j < d->states; j++) any |= h->of[d->state0 + j].listens;
        if (!any) continue;
        for (int p = 0; p < d->ports; p++)
            v[p] = equations_output(s->eq, OUTPUT_VOLTS, d->element[p]);
        hold_foreign(d, h->middle, x);
        d->law->prepare(d->par, state, x, of);
        d->law->rates(d->par, v, state, of, ds);
        for (int j = 0; j < d->states; j++) {
            struct slow *slow = &h->of[d->state0 + j];
            struct ripple *r = &slow->ripple;
            if (!slow->listens) continue;
            ripple_step(r, step, r->way + step * (r->rate + ds[j]) / 2, slow->net);
            r->rate = ds[j];
        }
    }
}

/* Which states listen in the coming cycle; the equations are at its begin. */
static void listen(struct session *s)
{
    struct hold *h = s->hold;
    h->listening = false;
    for (int k = 0; k < h->ns; k++) {
        struct slow *of = &h->of[k];
        of->listens = h->held[k] && ripple_stale(&of->ripple, of->gross);
        h->listening |= of->listens;
    }
    if (h->listening) hear(s, 0);
}

static void stop_listening(struct hold *h)
{
    h->listening = false;
    for (int k = 0; k < h->ns; k++) h->of[k].listens = false;
}

void hold_step(struct session *s, double step)
{
    struct hold *h = s->hold;
    if (!h || h->still) return;
    for (int k = 0; k < h->ns; k++)
        if (!h->held[k])
            ripple_step(&h->of[k].ripple, step, s->states[k] - h->start[k], h->of[k].net);
    if (h->listening) hear(s, step);
}

/* Conductances of the ports of straight laws whose states are all held, at the middle of the coming
 * cycle. */
static void conductances(struct session *s)
{
    struct hold *h = s->hold;
    const struct circuit *c = s->network->circuit;
    double x[DEVICE_FOREIGN], of[DEVICE_PORTS * PORT_COEFFICIENTS];
    for (int k = 0; k < c->elements.n; k++) h->siemens[k] = (double)NAN;
    for (int k = 0; k < h->ns; k++)
        h->middle[k] = h->held[k]
                           ? mean_of(&h->of[k], s->states[k], h->slope[k] * s->period, s->period)
                           : s->states[k];
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        bool all = d->states > 0;
        for (int j = 0; j < d->states; j++)
            all &= h->held[d->state0 + j] && h->of[d->state0 + j].wire;
        if (!all) continue;
        hold_foreign(d, h->middle, x);
        d->law->prepare(d->par, h->middle + d->state0, x, of);
        for (int p = 0; p < d->ports; p++) {
            double g;
            d->law->current(d->par, p, &of[p * PORT_COEFFICIENTS], 0, &g);
            h->siemens[d->element[p]] = g;
        }
    }
}

/* Puts the choice in force. `settle`: in place of lines that the currents of coils have followed. */
static void put(struct session *s, bool changed, bool settle)
{
    struct hold *h = s->hold;
    const pattern_t pattern = s->now.r->pattern;
    bool known = settle && coils_note(h->coils, s);
    equations_hold(s->eq, s->now.t, s->period, h->held, s->states, h->slope);
    reductions_fold(s->reductions, h->held_count ? h->siemens : NULL);
    s->now.r = reductions_get(s->reductions, pattern);
    equations_pattern(s->eq, s->now.r);
    session_put_states(s);
    if (known) coils_follow(h->coils, s);
    meter_refold(s->meter);
    moments_clear(s->moments);
    begin(h, s);
    session_go_on(s, changed);
}

void hold_begin(struct session *s)
{
    struct hold *h = s->hold;
    if (!h || !isinf(s->options.hold)) return;
    h->still = true;
    h->held_count = 0;
    for (int k = 0; k < h->ns; k++) {
        h->held[k] = h->of[k].slow && !h->of[k].gated;
        h->held_count += h->held[k];
        h->slope[k] = 0;
    }
    if (!h->held_count) return;
    conductances(s);
    put(s, true, true);
}

void hold_still(struct session *s, const bool *held)
{
    struct hold *h = s->hold;
    if (!h) {
        moments_clear(s->moments);
        return;
    }
    h->still = held != NULL;
    h->held_count = 0;
    stop_listening(h);
    for (int k = 0; k < h->ns; k++) {
        h->held[k] = held && held[k];
        h->held_count += h->held[k];
        h->slope[k] = h->of[k].net = h->of[k].before = 0;
        h->of[k].known = 0;
    }
    conductances(s);
    equations_hold(s->eq, s->now.t, s->period, h->held, s->states, h->slope);
    reductions_fold(s->reductions, h->held_count ? h->siemens : NULL);
    meter_refold(s->meter);
    moments_clear(s->moments);
    begin(h, s);
}

void hold_cycle(struct session *s)
{
    struct hold *h = s->hold;
    if (!h || h->still) {
        moments_clear(s->moments);
        return;
    }
    const double span = s->now.t - h->begun;
    bool changed = false;
    if (span < 0.99 * s->period) { /* a part of a period: too short to tell of rates */
        hold_release(s);
        return;
    }
    advance(s, span);
    if (s->flow && h->balance) balance_read(h->balance, s, h->held, span);
    hold_next(s);
    h->held_count = 0;
    for (int k = 0; k < h->ns; k++) {
        if (h->next[k] != h->held[k]) {
            s->states[k] +=
                ripple_at_end(&h->of[k].ripple, h->of[k].gross, s->period) * (h->next[k] ? 1 : -1);
            changed = true;
        }
        h->held[k] = h->next[k];
        h->held_count += h->held[k];
        h->slope[k] = h->held[k] ? 2 * h->of[k].net - h->of[k].before : 0;
    }
    if (h->held_count) conductances(s);
    listen(s);
    if (h->held_count || changed) {
        put(s, changed, true);
        return;
    }
    moments_clear(s->moments);
    begin(h, s);
}

void hold_release(struct session *s)
{
    struct hold *h = s->hold;
    if (!h || h->still) return;
    const double span = s->now.t - h->begun;
    stop_listening(h); /* a part of a cycle tells nothing */
    meter_flush(s->meter);
    if (h->held_count) {
        moments_settle(s->moments);
        if (span > 0) advance(s, span);
        for (int k = 0; k < h->ns; k++)
            if (h->held[k])
                s->states[k] -= ripple_at_end(&h->of[k].ripple, h->of[k].gross, s->period);
        memset(h->held, 0, (size_t)h->ns * sizeof *h->held);
        h->held_count = 0;
        put(s, true, true);
    } else {
        moments_clear(s->moments);
        begin(h, s);
    }
    for (int k = 0; k < h->ns; k++) h->of[k].known = 0;
}

const double *hold_slopes(const struct session *s)
{
    return hold_holds(s->hold) ? s->hold->balance->slope : NULL;
}

void hold_leap(struct session *s, const double *last, const double *before)
{
    struct hold *h = s->hold;
    for (int k = 0; h && k < h->ns; k++) {
        struct slow *of = &h->of[k];
        if (!h->held[k]) continue;
        of->net = last[k] / s->period;
        of->before = before[k] / s->period;
        h->slope[k] = 2 * of->net - of->before;
    }
}

void hold_land(struct session *s)
{
    struct hold *h = s->hold;
    if (hold_holds(h)) {
        conductances(s);
        put(s, false, false);
        return;
    }
    equations_pattern(s->eq, s->now.r);
    session_put_states(s);
    meter_refold(s->meter);
    moments_clear(s->moments);
    if (h) begin(h, s);
    session_go_on(s, false);
}
