/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Newton's method for F(z) = 0 with the Jacobian kept and turned by every cycle tried (C. G.
 * Broyden, "A class of methods for solving nonlinear simultaneous equations", Math. Comp. 19, 1965;
 * from memory), measured again when it serves no longer. Corrections that would grow are halved
 * (natural monotonicity: P. Deuflhard, Newton Methods for Nonlinear Problems, 2004, 3.3). */
#include "steady.h"

#include <math.h>
#include <string.h>

#include "cycle_map.h"
#include "lu.h"
#include "meter.h"
#include "numbers.h"

enum {
    ROUNDS = 60,  /* of Newton's method */
    MEASURED = 6, /* Jacobians */
    HALVINGS = 4, /* of a correction */
};
#define NEAR 1e-6  /* of a state's range: the correction in hand is the last */
#define SLOWER 0.5 /* of a correction to the one before: else a new Jacobian is due */

struct steady {
    struct cycle_map *m;
    int n;                     /* states sought */
    int *at;                   /* [n] their places in the map */
    int *pivot;                /* [n] */
    double *lu;                /* [n*n] */
    double *first;             /* [m->n] where the search began */
    double *rate;              /* [n] F at the trial */
    double *correction, *next; /* [n] */
};

/* Bodies that take long stand where a hot start has them: those of a thermal network, and those
 * that it leaves as cold as the room. */
static bool stands(const struct state *st)
{
    return st->is_temperature && (st->body || st->hot == st->cold);
}

static struct steady steady_new(struct session *s)
{
    struct steady d = {.m = cycle_map_new(s)};
    const int ny = s->network->capacitors + s->network->inductors, n = d.m->n;
    d.at = ARENA_ARRAY(s->arena, int, n);
    for (int k = 0; k < n; k++)
        if (k < ny || !stands(&s->network->circuit->states.at[k - ny])) d.at[d.n++] = k;
    d.pivot = ARENA_ARRAY(s->arena, int, n);
    d.lu = ARENA_ARRAY(s->arena, double, (size_t)n *(size_t)n);
    d.first = ARENA_ARRAY(s->arena, double, n);
    d.rate = ARENA_ARRAY(s->arena, double, n);
    d.correction = ARENA_ARRAY(s->arena, double, n);
    d.next = ARENA_ARRAY(s->arena, double, n);
    return d;
}

static bool factor(struct steady *d)
{
    for (int i = 0; i < d->n; i++)
        for (int j = 0; j < d->n; j++)
            d->lu[i * d->n + j] = d->m->map[d->at[i] * d->m->n + d->at[j]] - (i == j);
    return lu_factor(d->n, d->lu, d->pivot);
}

/* The correction that the factors in hand give for a rate; its greatest share of a range. */
static double correct(const struct steady *d, const double *rate, double *correction)
{
    double most = 0;
    for (int i = 0; i < d->n; i++) correction[i] = -rate[i];
    lu_solve(d->n, d->lu, d->pivot, correction);
    for (int i = 0; i < d->n; i++) {
        double share = fabs(correction[i]) / d->m->size[d->at[i]];
        most = share <= most ? most : share; /* a NaN stays */
    }
    return most;
}

/* One cycle from z0 + share * correction. */
static bool try_out(struct steady *d, struct session *s, double share)
{
    struct cycle_map *m = d->m;
    memcpy(m->to, m->start, (size_t)m->n * sizeof *m->to);
    for (int i = 0; i < d->n; i++) m->to[d->at[i]] += share * d->correction[i];
    if (!cycle_map_trial(m, s, m->to)) return false;
    for (int i = 0; i < d->n; i++) d->rate[i] = m->after[d->at[i]] - m->to[d->at[i]];
    return true;
}

/* Goes on to the state tried; the Jacobian is turned so that it would have told the rate there. */
static void go_on(struct steady *d)
{
    struct cycle_map *m = d->m;
    double *step = d->next, way = 0;
    for (int i = 0; i < d->n; i++) {
        step[i] = m->to[d->at[i]] - m->start[d->at[i]];
        way += sq(step[i] / m->size[d->at[i]]);
    }
    for (int i = 0; i < d->n && way > 0; i++) {
        double *row = &m->map[d->at[i] * m->n], off = d->rate[i] - m->drift[d->at[i]] + step[i];
        for (int j = 0; j < d->n; j++) off -= row[d->at[j]] * step[j];
        for (int j = 0; j < d->n; j++) row[d->at[j]] += off / way * step[j] / sq(m->size[d->at[j]]);
    }
    for (int i = 0; i < m->n; i++) m->drift[i] = m->after[i] - m->to[i];
    memcpy(m->start, m->to, (size_t)m->n * sizeof *m->to);
}

/* Leaves the steady state in m->start. */
static bool find(struct steady *d, struct session *s)
{
    struct cycle_map *m = d->m;
    int measured = 1;
    bool fresh = true;
    if (!cycle_map_drift(m, s)) return false;
    cycle_map_measure(m, s);
    for (int round = 0; round < ROUNDS; round++) {
        double share = 1, next = HUGE_VAL;
        if (!factor(d)) return false;
        for (int i = 0; i < d->n; i++) d->rate[i] = m->drift[d->at[i]];
        double now = correct(d, d->rate, d->correction);
        if (!isfinite(now)) return false;
        for (int k = 0; k < HALVINGS && !(next < now || next <= NEAR); k++, share /= 2)
            next = try_out(d, s, share) ? correct(d, d->rate, d->next) : HUGE_VAL;
        bool good = next < now || next <= NEAR;
        if (good) go_on(d);
        if (next <= NEAR) return true;
        if (good && next < SLOWER * now) {
            fresh = false;
            continue;
        }
        if ((fresh && !good) || measured++ == MEASURED) return false;
        cycle_map_measure(m, s);
        fresh = true;
    }
    return false;
}

bool steady_jump(struct session *s, const struct stops *next)
{
    const double window = (WAVE_WINDOW + 0.5) * s->period; /* of the figures */
    if (!cycle_map_exists(s) || s->opening || isfinite(s->arc_end) || isfinite(next->close) ||
        s->t + window > next->end)
        return true;
    struct steady d = steady_new(s);
    const int ny = s->r->ny;
    double *charge = ARENA_ARRAY(s->arena, double, ny), stored = session_stored(s);
    cycle_map_keep(d.m, s, next);
    memcpy(charge, s->charge, (size_t)ny * sizeof *charge);
    memcpy(d.first, d.m->start, (size_t)d.m->n * sizeof *d.first);
    s->meter->asleep = true;
    bool found = find(&d, s);
    if (!found) memcpy(d.m->start, d.first, (size_t)d.m->n * sizeof *d.first);
    s->meter->asleep = !found;
    bool back = cycle_map_back(d.m, s);
    s->meter->asleep = false;
    if (!back) return session_fail(s, "the state before a search could not be found again");
    if (found) meter_moved(s->meter, charge, stored);
    s->result->statistics.steady |= found;
    return true;
}
