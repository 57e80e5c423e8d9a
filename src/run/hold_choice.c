/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What may be held: slow states far from their gates, whose ripple and whose changes from cycle to
 * cycle are small. */
#include <math.h>
#include <string.h>

#include "hold_impl.h"
#include "numbers.h"

#define HOLD_STIFF 0.05 /* a held state's own decay in a cycle, at most: the midpoint is explicit */
#define HOLD_AGAIN 0.7  /* of the bounds: what moves is held below */
/* Cycles in a row with a rate; more where a state changes by more than so much of its range in one: a
 * surge into cold wires is over by then. */
#define HOLD_KNOWN 2
#define HOLD_SURGE 8
#define SURGE 2e-3
/* What the change and the ripple of a state count more where an emission looks at it, 2 % of which
 * go with a kelvin. Only a bare filament has ripple of its own. */
#define EMITS 4
#define EMITS_RIPPLE 20
/* Wires that share a current share its ripple: of their volts it tells nothing as long as all swing or
 * none. So none is held while one moves whose ripple is above this share of its range. */
#define HOLD_SWINGS 5e-4
#define GATE_AHEAD 4 /* cycles before a gate that looks at a state may turn over */

/* Where a gate that looks at the state could turn over before long. */
static bool near_gate(const struct slow *of, double state, double period)
{
    double reach = GATE_AHEAD * period * larger(fabs(of->net), of->gross);
    return of->gated && (fabs(state - of->gate[0]) < reach || fabs(state - of->gate[1]) < reach);
}

/* Whether it is slow and its ripple small, in a hot set too. */
static bool may_stay(const struct session *s, int k, double share)
{
    const struct slow *of = &s->hold->of[k];
    const double ripple = (of->emits ? EMITS_RIPPLE : 1) * s->period;
    return of->slow && of->decay * s->period <= HOLD_STIFF &&
           ripple * of->gross / 2 <= share * HOLD_RIPPLE * s->network->circuit->states.at[k].range;
}

static bool may_hold(const struct session *s, int k)
{
    const struct hold *h = s->hold;
    const struct slow *of = &h->of[k];
    const double range = s->network->circuit->states.at[k].range,
                 share =
                     (s->options.hold > 0 ? s->options.hold : 1) * (h->held[k] ? 1 : HOLD_AGAIN),
                 error = fabs(of->net - (h->held[k] ? h->slope[k] : of->before)),
                 weight = hold_weight(s, k) * s->period;
    const int known = s->period * fabs(of->net) > SURGE * range ? HOLD_SURGE : HOLD_KNOWN;
    return of->known >= known && !near_gate(of, s->states[k], s->period) && may_stay(s, k, share) &&
           weight * fabs(of->net) <= share * HOLD_SHARE * range &&
           weight * error <= share * HOLD_ERROR * range;
}

static bool swings(const struct session *s, int k)
{
    const struct slow *of = &s->hold->of[k];
    return of->slow && of->wire && !of->emits &&
           of->gross * s->period / 2 > HOLD_SWINGS * s->network->circuit->states.at[k].range;
}

/* Of wires that swing all or none. */
static void keep_together(const struct session *s, bool *held)
{
    bool moves = false;
    for (int k = 0; k < s->hold->ns; k++) moves |= !held[k] && swings(s, k);
    for (int k = 0; k < s->hold->ns && moves; k++) held[k] &= !swings(s, k);
}

void hold_next(const struct session *s)
{
    for (int k = 0; k < s->hold->ns; k++) s->hold->next[k] = may_hold(s, k);
    keep_together(s, s->hold->next);
}

void hold_choose(const struct session *s, bool *held)
{
    const struct circuit *c = s->network->circuit;
    const double none[DEVICE_PORTS] = {0};
    double x[DEVICE_FOREIGN], of[DEVICE_PORTS * PORT_COEFFICIENTS] = {0}, ds[DEVICE_STATES];
    for (int k = 0; k < c->states.n; k++) held[k] = false;
    if (!s->hold) return;
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        const double *state = s->states + d->state0;
        struct device_slopes slopes;
        if (!d->law->slow) continue;
        memset(&slopes, 0, sizeof slopes);
        hold_foreign(d, s->states, x);
        d->law->prepare(d->par, state, x, of);
        d->law->rates(d->par, none, state, of, ds);
        d->law->slopes(d->par, none, state, x, of, &slopes);
        for (int j = 0; j < d->states; j++) {
            struct slow *slow = &s->hold->of[d->state0 + j];
            slow->gross = fabs(ds[j]); /* in the end it is heated as it cools */
            slow->decay = fabs(slopes.ds_s[j][j]);
            held[d->state0 + j] = may_stay(s, d->state0 + j, 1);
        }
    }
    keep_together(s, held);
}

double hold_weight(const struct session *s, int state)
{
    return s->hold && s->hold->of[state].emits ? EMITS : 1;
}
