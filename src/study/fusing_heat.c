/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The runs are short and their transformers still cold; from the watts of each body where it is
 * heated in them, its temperature after hours follows, and from there the time to its limit. */
#include <math.h>
#include <string.h>

#include "fusing.h"
#include "numbers.h"
#include "thermal.h"

#define COPPER_ZERO 38.65 /* [K], where copper's ohms would end (IEC 60028) */

void fusing_heat_observe(void *context, double t, const struct equations *eq, const double *y)
{
    struct fusing_heat *h = context;
    const struct circuit *c = eq->network->circuit;
    if (h->circuit != c) {
        for (int i = 0; i < 2; i++) h->kelvin[i] = ARENA_ARRAY(h->arena, double, c->states.n + 1);
        h->time[0] = h->time[1] = t;
        for (int k = 0; k < c->states.n; k++) h->kelvin[1][k] = y[eq->r->nw + k];
    }
    h->circuit = c;
    double *old = h->kelvin[0];
    h->kelvin[0] = h->kelvin[1];
    h->kelvin[1] = old;
    h->time[0] = h->time[1];
    h->time[1] = t;
    for (int k = 0; k < c->states.n; k++) h->kelvin[1][k] = y[eq->r->nw + k];
}

/* Temperatures in the middle of the last stretch, and the watts of it. False: there was none. */
static bool heated(const struct fusing_heat *h, double *kelvin, double *watts)
{
    const double span = h->time[1] - h->time[0];
    if (!h->circuit || !(span > 0)) return false;
    const int n = h->circuit->states.n;
    for (int k = 0; k < n; k++) kelvin[k] = (h->kelvin[0][k] + h->kelvin[1][k]) / 2;
    for (int k = 0; k < n; k++)
        watts[k] = thermal_watts(h->circuit, k, kelvin, (h->kelvin[1][k] - h->kelvin[0][k]) / span);
    return true;
}

static int match(const struct circuit *c, const struct state *state)
{
    for (int k = 0; k < c->states.n; k++)
        if (strcmp(c->states.at[k].part, state->part) == 0 &&
            strcmp(c->states.at[k].role, state->role) == 0)
            return k;
    return -1;
}

double fusing_heat_limit(const struct fusing_heat *warm, const struct fusing_heat *fault,
                         const char **part)
{
    double first = (double)NAN;
    if (!warm->circuit || !fault->circuit) return first;
    const struct circuit *c = fault->circuit;
    struct arena *arena = fault->arena;
    double *before = ARENA_ARRAY(arena, double, warm->circuit->states.n + 1),
           *running = ARENA_ARRAY(arena, double, warm->circuit->states.n + 1),
           *kelvin = ARENA_ARRAY(arena, double, c->states.n + 1),
           *watts = ARENA_ARRAY(arena, double, c->states.n + 1);
    if (!heated(warm, before, running) || !heated(fault, kelvin, watts)) return first;
    thermal_settled(warm->circuit, before, running);
    for (int k = 0; k < c->states.n; k++) {
        const struct thermal_body *body = c->states.at[k].body;
        int same = match(warm->circuit, &c->states.at[k]);
        if (!body || same < 0) continue;
        if (body->copper) watts[k] *= (before[same] - COPPER_ZERO) / (kelvin[k] - COPPER_ZERO);
        kelvin[k] = before[same];
    }
    for (int k = 0; k < c->states.n; k++) {
        if (!c->states.at[k].body || !(c->states.at[k].limit > 0)) continue;
        double t = thermal_time_to_limit(c, kelvin, watts, k);
        if (!isnan(first) && !(t < first)) continue;
        first = t;
        *part = c->states.at[k].part;
    }
    return first;
}
