/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The Jacobian is made of what the cycle tried carries along (flow.h) and of the slopes of the heat
 * balances; how both work on each other is learnt from one cycle to the next (C. G. Broyden, "A
 * class of methods for solving nonlinear simultaneous equations", Math. Comp. 19, 1965; from
 * memory). Corrections that would grow are halved (natural monotonicity: P. Deuflhard, Newton
 * Methods for Nonlinear Problems, 2004, 3.3). */
#include "steady_search.h"

#include <math.h>
#include <string.h>

#include "balance.h"
#include "cycle_map.h"
#include "flow.h"
#include "hold.h"
#include "lu.h"
#include "meter.h"
#include "moments.h"
#include "numbers.h"

enum {
    ROUNDS = 40,  /* of Newton's method */
    HALVINGS = 6, /* of a correction */
    ASKED = 24,   /* cycles simulated before anybody is asked again */
};
#define COARSE 1e-4 /* tolerance of the integrator while corrections are greater than ... */
#define FAR 3e-3    /* of a state's range */
#define NEAR 1e-6   /* of a state's range: what may be left of the way */
#define LAST 1e-3   /* a correction may be so great and the last */
#define NOISE 5e-6  /* no smaller correction may be found: what integration leaves undecided */
#define WORST 0.5   /* each correction to the one before it, at most, for that guess */

struct search_room {
    double tolerance;             /* of the run */
    double *to, *rate;            /* [ny+ns] state tried; [n] what is to vanish */
    double *blocks, *next_blocks; /* [n*n] the Jacobian without what is coupled */
    double *now, *found;          /* [n] rates where we are, where we looked */
    double *correction, *other;   /* [n] */
    double *lu, *map;             /* [n*n], [(ny+ns)^2] */
    int *pivot, *column;          /* [n]; [ny+ns] place of an entry of z among those that move */
    struct balance *balance;
};

/* Bodies that take long: those of a thermal network, and those that a hot start leaves as cold as
 * the room. */
static bool takes_long(const struct state *st)
{
    return st->is_temperature && (st->body || st->hot == st->cold);
}

struct steady_search *steady_search_new(struct session *s, bool bodies_stay)
{
    struct arena *arena = s->arena;
    struct steady_search *d = ARENA_NEW(arena, struct steady_search);
    struct search_room *room = d->room = ARENA_NEW(arena, struct search_room);
    d->ny = s->network->capacitors + s->network->inductors;
    d->ns = s->eq->ns;
    d->gates = s->network->circuit->gates;
    const int all = d->ny + d->ns;
    hold_release(s);
    d->held = ARENA_ARRAY(arena, bool, d->ns);
    hold_choose(s, d->held);
    d->at = ARENA_ARRAY(arena, int, all);
    room->column = ARENA_ARRAY(arena, int, all);
    for (int k = 0, moving = 0; k < all; k++) {
        bool state = k >= d->ny, held = state && d->held[k - d->ny];
        room->column[k] = held ? -1 : moving++;
        if (state && bodies_stay && takes_long(&s->network->circuit->states.at[k - d->ny]))
            continue;
        d->at[d->n++] = k;
    }
    const size_t n = (size_t)d->n, square = n * n;
    double **wide[] = {&d->z, &d->size, &room->to};
    double **rows[] = {&room->rate, &room->now, &room->found, &room->correction, &room->other};
    double **squares[] = {&d->coupled, &room->blocks, &room->next_blocks, &room->lu};
    for (size_t k = 0; k < sizeof wide / sizeof *wide; k++)
        *wide[k] = ARENA_ARRAY(arena, double, all);
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        *rows[k] = ARENA_ARRAY(arena, double, n);
    for (size_t k = 0; k < sizeof squares / sizeof *squares; k++)
        *squares[k] = ARENA_ARRAY(arena, double, square);
    room->map = ARENA_ARRAY(arena, double, (size_t)all *(size_t)all);
    room->pivot = ARENA_ARRAY(arena, int, n);
    room->balance = balance_new(s);
    s->flow = flow_new(s);
    room->tolerance = s->options.tolerance;
    session_read(s, d->z);
    d->was = session_moving_new(s);
    session_keep(s, d->was);
    d->range = session_row(s, d->was, s->range);
    d->lit = session_row(s, d->was, s->eq->lit);
    d->pattern = s->now.r->pattern;
    return d;
}

static bool put(struct steady_search *d, struct session *s, const double *z, bool held)
{
    session_take_back(s, d->was);
    session_next_corner(s);
    session_write(s, z);
    hold_still(s, held ? d->held : NULL);
    if (!session_settle(s, d->pattern, session_stored(s)) || meter_instant(s->meter)) return false;
    flow_start(s);
    session_begin(s);
    return true;
}

/* How finely the cycles are made while the correction in hand is `now`. */
static void set_tolerance(struct steady_search *d, struct session *s, double now)
{
    s->options.tolerance = now > FAR ? larger(COARSE, d->room->tolerance) : d->room->tolerance;
}

bool steady_search_put(struct steady_search *d, struct session *s, bool held)
{
    s->flow = NULL;
    set_tolerance(d, s, 0);
    return put(d, s, d->z, held);
}

/* One cycle from room->to; leaves `rate` and, when asked for, `blocks`. */
static bool try_out(struct steady_search *d, struct session *s, double *rate, double *blocks)
{
    struct search_room *room = d->room;
    struct stops next = {d->was->t + 1.5 * s->period, HUGE_VAL, HUGE_VAL, HUGE_VAL};
    d->cycles++;
    if (!put(d, s, room->to, true)) return false;
    next.corner = session_next_corner(s);
    const int moving = d->ny + s->eq->moving;
    if (!session_cycle(s, &next) || s->now.tripped.n > d->was->tripped.n || s->now.opening)
        return false;
    session_charges(s);
    moments_settle(s->moments);
    balance_read(room->balance, s, d->held, s->period);
    if (blocks && !flow_read(s, room->map)) return false;
    d->pattern = s->now.r->pattern;
    for (int g = 0; g < d->gates; g++) d->lit[g] = s->eq->lit[g] - s->period;
    for (int i = 0; i < d->n; i++) {
        const int k = d->at[i], state = k - d->ny;
        const bool held = room->column[k] < 0;
        if (held) rate[i] = room->balance->rate[state] * s->period;
        else rate[i] = (state < 0 ? s->full[k] : s->states[state]) - room->to[k];
        for (int j = 0; blocks && j < d->n; j++) {
            const int l = d->at[j];
            if (held != (room->column[l] < 0)) blocks[i * d->n + j] = 0;
            else if (held)
                blocks[i * d->n + j] = room->balance->slope[state * d->ns + l - d->ny] * s->period;
            else
                blocks[i * d->n + j] =
                    room->map[room->column[k] * moving + room->column[l]] - (i == j);
        }
    }
    return true;
}

bool steady_search_warm(struct steady_search *d, struct session *s, int cycles)
{
    struct search_room *room = d->room;
    struct flow *flow = s->flow;
    bool good = true;
    set_tolerance(d, s, HUGE_VAL);
    s->flow = NULL;
    for (int c = 0; c < cycles && good; c++) {
        if (c % ASKED == ASKED - 1 && s->options.progress && session_ask(s)) s->cut = true;
        memcpy(room->to, d->z, (size_t)(d->ny + d->ns) * sizeof *d->z);
        good = !s->cut && try_out(d, s, room->rate, NULL);
        for (int k = 0; k < d->ny + d->ns; k++)
            if (room->column[k] >= 0) d->z[k] = k < d->ny ? s->full[k] : s->states[k - d->ny];
        memcpy(d->range, s->range, (size_t)d->ny * sizeof *s->range);
        d->was->amps_scale = s->now.amps_scale;
    }
    s->flow = flow;
    return good;
}

void steady_search_cool(struct steady_search *d, const struct session *s)
{
    for (int k = 0; k < d->ns; k++) {
        const struct state *st = &s->network->circuit->states.at[k];
        if (st->is_temperature && !takes_long(st)) d->z[d->ny + k] = st->cold;
    }
}

bool steady_search_frozen(const struct steady_search *d, const struct session *s)
{
    for (int k = 0; k < d->ns; k++) {
        const struct state *st = &s->network->circuit->states.at[k];
        if (st->is_temperature && d->z[d->ny + k] < st->cold - 1) return true;
    }
    return false;
}

static bool factor(struct steady_search *d)
{
    struct search_room *room = d->room;
    for (int k = 0; k < d->n * d->n; k++) room->lu[k] = room->blocks[k] + d->coupled[k];
    return lu_factor(d->n, room->lu, room->pivot);
}

/* The correction that the factors in hand give for a rate; its greatest share of a range. */
static double correct(const struct steady_search *d, const double *rate, double *correction)
{
    double most = 0;
    for (int i = 0; i < d->n; i++) correction[i] = -rate[i];
    lu_solve(d->n, d->room->lu, d->room->pivot, correction);
    for (int i = 0; i < d->n; i++) {
        double share = fabs(correction[i]) / d->size[d->at[i]];
        most = share <= most ? most : share; /* a NaN stays */
    }
    return most;
}

static void set_off(struct steady_search *d, double share)
{
    struct search_room *room = d->room;
    memcpy(room->to, d->z, (size_t)(d->ny + d->ns) * sizeof *d->z);
    for (int i = 0; i < d->n; i++) room->to[d->at[i]] += share * room->correction[i];
}

/* Goes on to the state tried; what is coupled is turned so that it would have told the rate
 * there. */
static void go_on(struct steady_search *d)
{
    struct search_room *room = d->room;
    double *step = room->other, way = 0, *swap = room->blocks;
    const int n = d->n;
    for (int i = 0; i < n; i++) {
        step[i] = room->to[d->at[i]] - d->z[d->at[i]];
        way += sq(step[i] / d->size[d->at[i]]);
    }
    for (int i = 0; i < n && way > 0; i++) {
        double off = room->found[i] - room->now[i];
        for (int j = 0; j < n; j++)
            off -= ((room->blocks[i * n + j] + room->next_blocks[i * n + j]) / 2 +
                    d->coupled[i * n + j]) *
                   step[j];
        for (int j = 0; j < n; j++)
            d->coupled[i * n + j] += off / way * step[j] / sq(d->size[d->at[j]]);
    }
    room->blocks = room->next_blocks;
    room->next_blocks = swap;
    memcpy(room->now, room->found, (size_t)n * sizeof *room->now);
    memcpy(d->z, room->to, (size_t)(d->ny + d->ns) * sizeof *d->z);
}

bool steady_search_find(struct steady_search *d, struct session *s)
{
    struct search_room *room = d->room;
    const struct state *states = s->network->circuit->states.at;
    double ratio = 1;
    for (int k = 0; k < d->ny + d->ns; k++)
        d->size[k] = k < d->ny ? d->range[k] : states[k - d->ny].range;
    memcpy(room->to, d->z, (size_t)(d->ny + d->ns) * sizeof *d->z);
    if (!try_out(d, s, room->now, room->blocks)) return false;
    for (int round = 0; round < ROUNDS; round++) {
        double share = 1, next = HUGE_VAL;
        if (!factor(d)) return false;
        double now = correct(d, room->now, room->correction);
        if (!isfinite(now)) return false;
        set_tolerance(d, s, now);
        if (now <= NEAR || (now <= LAST && ratio <= WORST && ratio * now <= NEAR)) {
            set_off(d, 1);
            memcpy(d->z, room->to, (size_t)(d->ny + d->ns) * sizeof *d->z);
            return true;
        }
        for (int k = 0; k < HALVINGS && !(next < now); k++, share /= 2) {
            set_off(d, share);
            next = try_out(d, s, room->found, room->next_blocks)
                       ? correct(d, room->found, room->other)
                       : HUGE_VAL;
        }
        if (!(next < now)) return now <= NOISE;
        ratio = next / now;
        go_on(d);
    }
    return false;
}

bool steady_search_jump(struct session *s, const struct stops *next)
{
    const double window = (WAVE_WINDOW + 0.5) * s->period; /* of the figures */
    if (!cycle_map_exists(s) || s->now.opening || isfinite(s->now.arc_end) ||
        isfinite(next->close) || s->now.t + window > next->end)
        return true;
    hold_release(s);
    session_charges(s);
    struct steady_search *d = steady_search_new(s, true);
    const int all = d->ny + d->ns;
    double *charge = ARENA_ARRAY(s->arena, double, d->ny), stored = session_stored(s),
           *first = ARENA_ARRAY(s->arena, double, all);
    memcpy(charge, s->charge, (size_t)d->ny * sizeof *charge);
    memcpy(first, d->z, (size_t)all * sizeof *first);
    s->meter->asleep = true;
    bool found = steady_search_find(d, s);
    if (!found) memcpy(d->z, first, (size_t)all * sizeof *first);
    s->meter->asleep = !found;
    bool back = steady_search_put(d, s, found);
    s->meter->asleep = false;
    if (!back) return session_fail(s, TROUBLE_BACK);
    if (found) meter_moved(s->meter, charge, stored);
    s->result->statistics.steady |= found;
    return true;
}

bool steady_search_begin_at(struct steady_search *d, const struct steady_search *from)
{
    const size_t all = (size_t)(d->ny + d->ns), n = (size_t)d->n;
    if (from->ny != d->ny || from->ns != d->ns || from->n != d->n || from->gates != d->gates ||
        memcmp(from->at, d->at, n * sizeof *d->at) != 0)
        return false;
    memcpy(d->z, from->z, all * sizeof *d->z);
    memcpy(d->range, from->range, (size_t)d->ny * sizeof *d->range);
    memcpy(d->coupled, from->coupled, n * n * sizeof *d->coupled);
    memcpy(d->lit, from->lit, (size_t)d->gates * sizeof *d->lit);
    d->pattern = from->pattern;
    return true;
}
