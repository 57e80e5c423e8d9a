/* SPDX-License-Identifier: GPL-3.0-or-later */
/* z are all capacitor volts, coil currents and device states, d what a cycle changes of them. From one
 * cycle to the next d' = M d + g: M is the slope of the cycle's map, and g what is no part of it, since M
 * changes from cycle to cycle and does not tell what z and held states do to each other. */
#include "skip.h"

#include <math.h>
#include <string.h>

#include "cycle_map.h"
#include "flow.h"
#include "hold.h"
#include "lu.h"
#include "meter.h"
#include "numbers.h"
#include "power_sums.h"

enum {
    PAIR = 2,       /* cycles measured between two leaps: M is of the second, d of both */
    LONG = 48,      /* after so long a leap g is taken from all of its cycles */
    FIRST = 2,      /* cycles of the first leap, and the fewest worth one */
    CALM = 24,      /* cycles after the begin of a stage, */
    MARGIN = 36,    /* before an instant waited for, */
    WAIT_LEAST = 9, /* and after a leap that was not good enough: twice as many after the next */
    WAIT_MOST = 48,
    LEAPS_PER_RUN = 48, /* at least, so that trace and pictures show the way */
};
#define SLOW 5e-3 /* of a state's range in one cycle: more is no slow drift */
#define FAR 1e-2  /* of it in one leap, at most: what runs away is followed */
#define STAYS 6   /* volts that stay off by so much are settled figures, and count more */
/* Of the way to a gate that looks at a state, at most: it may come nearer ever faster. No leap at all
 * begins nearer than so many cycles' ways. */
#define GATE_SHARE 0.3
#define GATE_NEAR 16

struct skip {
    int ny, n;         /* volts and currents; all of z */
    long since;        /* cycles since the last leap, or the begin of the stage */
    long wait;         /* so many before the next leap */
    double reach;      /* cycles of the next one, */
    double longest;    /* and of any at most */
    bool leapt;        /* in this stage */
    bool held;         /* no more leaps */
    struct flow *flow; /* follows M along a cycle */
    int known; /* cycles in a row whose begins and ends are known, and in which the same moved */
    int moving, *moves;   /* that is this */
    double *z;            /* where the last cycle ended */
    double *d[3];         /* of the last cycles, the latest first */
    double *m, *square;   /* M, scratch [n*n] */
    double *size;         /* of z: its range */
    double *g, *trend;    /* of the last leap, and how g was taken to change with each cycle */
    double *from, *start; /* where it began, and d of the cycle before it */
    int gap, back;        /* cycles of the last leap; since the one before it, or 1 */
    bool trended;         /* the last leap was of the same z */
    double *wanted;       /* d as it was to be in the first cycle behind it */
    double *off;          /* what it made wrong of z */
    double *to, *last[2]; /* where a leap ends, d of its last cycles, the latest last */
    double *x, *charge;   /* scratch, as the rest */
    struct power_sums sums;
    int *pivot;
};

struct skip *skip_new(struct session *s)
{
    if (s->options.every_cycle || !(s->options.duration > SKIP_RUN) || !cycle_map_exists(s))
        return NULL;
    return ARENA_NEW(s->arena, struct skip);
}

void skip_stage(struct session *s)
{
    struct skip *k = s->skip;
    if (!k) return;
    const int ny = s->network->capacitors + s->network->inductors, n = ny + s->eq->ns;
    *k = (struct skip){.ny = ny,
                       .n = n,
                       .reach = FIRST,
                       .longest = s->options.duration / s->period / LEAPS_PER_RUN,
                       .wait = CALM,
                       .held = k->held};
    double **rows[] = {&k->z,     &k->d[0],   &k->d[1],  &k->d[2], &k->size,    &k->g,
                       &k->trend, &k->wanted, &k->off,   &k->to,   &k->last[0], &k->last[1],
                       &k->x,     &k->charge, &k->start, &k->from};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        *rows[i] = ARENA_ARRAY(s->arena, double, n);
    k->moves = ARENA_ARRAY(s->arena, int, s->eq->ns);
    k->m = ARENA_ARRAY(s->arena, double, (size_t)n *(size_t)n);
    k->square = ARENA_ARRAY(s->arena, double, (size_t)n *(size_t)n);
    k->sums = power_sums_new(s->arena, s->eq->ns);
    k->pivot = ARENA_ARRAY(s->arena, int, n);
    k->flow = flow_new(s);
}

bool skip_recent(const struct skip *k)
{
    return k && k->leapt && k->since < WAVE_WINDOW;
}

void skip_hold(struct skip *k)
{
    if (k) k->held = true;
}

/* --- what a cycle tells --- */

/* As in the steps' error control a coil may err more the less energy it holds. */
static void note_sizes(const struct session *s, double *size)
{
    const double *holds = s->network->stored_by;
    const int ny = s->skip->ny;
    double most = 0;
    for (int i = 0; i < ny; i++) most = larger(most, holds[i] * sq(s->range[i]));
    for (int i = 0; i < ny; i++) {
        size[i] = s->range[i];
        if (i >= s->network->capacitors)
            size[i] *= clamp(most / (holds[i] * sq(s->range[i])), 1, SESSION_LOOSER);
    }
    for (int i = 0; i < s->eq->ns; i++)
        size[ny + i] = s->network->circuit->states.at[i].range / hold_weight(s, i);
}

static void take_end(struct session *s)
{
    struct skip *k = s->skip;
    double *d = k->d[2];
    k->d[2] = k->d[1];
    k->d[1] = k->d[0];
    k->d[0] = d;
    session_read(s, k->x);
    for (int i = 0; i < k->n; i++) d[i] = k->x[i] - k->z[i];
    memcpy(k->z, k->x, (size_t)k->n * sizeof *k->z);
    if (k->moving != s->eq->moving ||
        memcmp(k->moves, s->eq->moves, (size_t)k->moving * sizeof *k->moves) != 0)
        k->known = -1, k->trended = false;
    k->known++;
    k->moving = s->eq->moving;
    memcpy(k->moves, s->eq->moves, (size_t)k->moving * sizeof *k->moves);
    note_sizes(s, k->size);
}

/* Rows of the held states: e^(slopes * period), to the second order. */
static void take_slopes(struct session *s, const double *slope)
{
    const struct skip *k = s->skip;
    const int ns = s->eq->ns;
    const double h = s->period;
    for (int i = 0; i < ns; i++)
        for (int j = 0; j < ns; j++) {
            double sum = 0;
            for (int l = 0; l < ns; l++) sum += slope[i * ns + l] * slope[l * ns + j];
            k->m[(k->ny + i) * k->n + k->ny + j] = (i == j) + h * (slope[i * ns + j] + h / 2 * sum);
        }
}

/* M of the cycle that was followed. */
static bool take_map(struct session *s)
{
    const struct skip *k = s->skip;
    const int width = k->ny + k->moving;
    const double *slope = hold_slopes(s);
    if (!s->flow || k->known < (k->trended ? PAIR : PAIR + 1) || !flow_read(s, k->square))
        return false;
    memset(k->m, 0, (size_t)(k->n * k->n) * sizeof *k->m);
    if (slope) take_slopes(s, slope);
    for (int i = 0; i < width; i++) {
        double *row = &k->m[(i < k->ny ? i : k->ny + k->moves[i - k->ny]) * k->n];
        memset(row, 0, (size_t)k->n * sizeof *row);
        for (int j = 0; j < width; j++)
            row[j < k->ny ? j : k->ny + k->moves[j - k->ny]] = k->square[i * width + j];
    }
    return true;
}

/* to = M x */
static void apply(const struct skip *k, const double *x, double *to)
{
    for (int i = 0; i < k->n; i++) {
        double sum = 0;
        for (int j = 0; j < k->n; j++) sum += k->m[i * k->n + j] * x[j];
        to[i] = sum;
    }
}

/* In ranges, what the errors of states that move will have made of volts and currents by the time these
 * have followed: x = M x + M off. A hot cathode does next to nothing, a dull one 5 % a kelvin. */
static double followed(struct skip *k)
{
    double most = 0, *rest = k->square;
    for (int i = 0; i < k->ny; i++) {
        k->x[i] = 0;
        for (int j = k->ny; j < k->n; j++) k->x[i] += k->m[i * k->n + j] * k->off[j];
        for (int j = 0; j < k->ny; j++) rest[i * k->ny + j] = (i == j) - k->m[i * k->n + j];
    }
    if (!lu_factor(k->ny, rest, k->pivot)) return 0;
    lu_solve(k->ny, rest, k->pivot, k->x);
    for (int i = 0; i < k->ny; i++) most = larger(most, fabs(k->x[i]) / k->size[i]);
    return most;
}

/* What the last leap made wrong, in ranges: its first cycle changes z by something else than was wanted,
 * and what makes the difference came in as the square of the way. */
static double missed(struct skip *k)
{
    double most = 0;
    memset(k->off, 0, (size_t)k->n * sizeof *k->off);
    for (int j = 1; j <= k->gap; j++) {
        apply(k, k->off, k->x);
        for (int i = 0; i < k->n; i++)
            k->off[i] = k->x[i] + sq((double)j / k->gap) * (k->d[0][i] - k->wanted[i]);
    }
    for (int i = 0; i < k->n; i++) most = larger(most, fabs(k->off[i]) / k->size[i]);
    return larger(most, STAYS * followed(k));
}

/* After the first cycle behind a leap: how long the next may be, and when it may come. */
static void judge(struct session *s)
{
    struct skip *k = s->skip;
    const double error = missed(k);
    s->result->statistics.leap_error = larger(s->result->statistics.leap_error, error);
    k->reach = k->gap * clamp(0.9 * cbrt(SKIP_TOLERANCE / error), 0.3, 1.5);
    if (k->reach >= FIRST) {
        k->wait = PAIR;
    } else {
        k->wait = (long)clamp(2 * (double)k->wait, WAIT_LEAST, WAIT_MOST);
        k->trended = false;
    }
    k->reach = larger(k->reach, FIRST);
}

/* Cycles that a state may be leapt over before a gate that turns over at a value of it. */
static double before_gate(const struct skip *k, int state, double value)
{
    const int i = k->ny + state;
    const double cycles = state < 0 ? HUGE_VAL : fabs(k->z[i] - value) / fabs(k->d[0][i]);
    return cycles < GATE_NEAR ? 0 : GATE_SHARE * cycles;
}

static double before_gates(const struct session *s)
{
    const struct circuit *c = s->network->circuit;
    double least = HUGE_VAL;
    for (int g = 0; g < c->gates; g++) {
        const struct element *e = &c->elements.at[s->network->gate_element[g]];
        if (e->kind == ELEMENT_SWITCH && e->trips)
            least = smaller(least, before_gate(s->skip, e->trip_state, e->trip_value));
        if (e->kind == ELEMENT_RECTIFIER)
            least = smaller(least, before_gate(s->skip, e->ready_state, e->ready_value));
    }
    return least;
}

/* The fastest drift, in ranges a cycle. */
static double fastest(const struct skip *k)
{
    double most = 0;
    for (int i = 0; i < k->n; i++) most = larger(most, fabs(k->d[0][i]) / k->size[i]);
    return most;
}

/* --- one leap --- */

/* What the last leap made wrong is made good: it has gone along since. */
static void mend(struct skip *k)
{
    for (long j = 0; j < k->since; j++) {
        memcpy(k->x, k->off, (size_t)k->n * sizeof *k->x);
        apply(k, k->x, k->off);
    }
    for (int i = 0; i < k->n; i++) {
        k->z[i] += k->off[i];
        k->d[0][i] += k->off[i] - k->x[i];
    }
}

/* g of the last cycle, and its trend: since the last leap, or else since the cycle before. */
static void find_trend(struct skip *k, bool goes_on)
{
    double *x = k->x, *then = k->to;
    apply(k, k->d[1], x);
    apply(k, k->d[2], then);
    for (int i = 0; i < k->n; i++) {
        const double g = k->d[0][i] - x[i];
        k->trend[i] =
            goes_on ? (g - k->g[i]) / (double)(k->gap + k->since) : g - (k->d[1][i] - then[i]);
        k->g[i] = g;
    }
}

/* The mean of d over all cycles since the last leap began but the last one. */
static double mean_drift(const struct skip *k, int i)
{
    return (k->z[i] - k->from[i] + k->start[i] - k->d[0][i]) / (k->gap + (double)k->since);
}

/* That of the held states instead from all cycles q since the last leap began, since behind a leap z
 * swings, and they with it: d now = E^q d then + (1 + E + ... + E^(q-1)) (g + what M has of the states
 * that move), E their rows of M. */
static bool find_drive(const struct session *s)
{
    struct skip *k = s->skip;
    const int ns = s->eq->ns;
    double *x = k->x, *rest = k->square;
    for (int i = 0; i < ns; i++)
        for (int j = 0; j < ns; j++)
            rest[i * ns + j] = s->eq->place[i] < 0 && s->eq->place[j] < 0
                                   ? k->m[(k->ny + i) * k->n + k->ny + j]
                                   : i == j;
    power_sums_reach(&k->sums, rest, k->gap + (int)k->since);
    for (int i = 0; i < ns; i++) {
        x[i] = k->d[0][k->ny + i];
        for (int j = 0; j < ns; j++) x[i] -= k->sums.power[i * ns + j] * k->start[k->ny + j];
    }
    memcpy(rest, k->sums.sum[0], (size_t)(ns * ns) * sizeof *rest);
    if (!lu_factor(ns, rest, k->pivot)) return false;
    lu_solve(ns, rest, k->pivot, x);
    for (int i = 0; i < ns; i++) {
        if (s->eq->place[i] >= 0) continue;
        for (int j = 0; j < k->moving; j++) {
            const int at = k->ny + k->moves[j];
            x[i] -= k->m[(k->ny + i) * k->n + at] * mean_drift(k, at);
        }
        k->g[k->ny + i] = x[i];
        k->trend[k->ny + i] = 0;
    }
    return true;
}

/* g of all cycles q since the last leap began, and its trend since the one before: by the sum of
 * d' = M d + g over them. What has settled behind a long leap moved so little in one of them that g of
 * that is noise, and goes along a whole leap. Half the trend: all of it swings from leap to leap. */
static void find_mean(struct skip *k)
{
    const double q = k->gap + (double)k->since;
    double *mean = k->to;
    for (int i = 0; i < k->n; i++) mean[i] = mean_drift(k, i);
    apply(k, mean, k->x);
    for (int i = 0; i < k->n; i++) {
        const double g = (k->z[i] - k->from[i]) / q - k->x[i];
        k->trend[i] = (g - k->g[i]) / q / 2;
        k->g[i] = g;
    }
}

/* Goes so many cycles ahead. */
static void go(struct skip *k, int cycles)
{
    const size_t bytes = (size_t)k->n * sizeof(double);
    memcpy(k->to, k->z, bytes);
    memcpy(k->wanted, k->d[0], bytes);
    for (int j = 1; j <= cycles + 1; j++) {
        memcpy(k->last[0], k->last[1], bytes);
        memcpy(k->last[1], k->wanted, bytes);
        apply(k, k->last[1], k->wanted);
        for (int i = 0; i < k->n; i++) {
            k->wanted[i] += k->g[i] + j * k->trend[i];
            if (j <= cycles) k->to[i] += k->wanted[i];
        }
    }
}

/* What would be left out [of the unit of a state] of a way that begins with drift f and ends with g: the
 * top of the parabola, over the higher of both ends. */
static double hump(double cycles, double f, double g)
{
    return f * g < 0 ? cycles / 2 * sq(smaller(fabs(f), fabs(g))) / (fabs(f) + fabs(g)) : 0;
}

/* A leap of at most so many cycles that leaves out no extreme and goes nowhere far; its length. */
static int lay_out(const struct session *s, int cycles)
{
    struct skip *k = s->skip;
    for (;; cycles /= 2) {
        bool good = true;
        go(k, cycles);
        for (int i = 0; i < k->n; i++)
            good &= hump(cycles, k->d[0][i], k->wanted[i]) <= SKIP_HUMP * k->size[i] &&
                    fabs(k->to[i] - k->z[i]) <=
                        FAR * k->size[i] * (i < k->ny ? 1 : hold_weight(s, i - k->ny));
        if (good || cycles < 2 * FIRST) return cycles;
    }
}

/* Puts in force what was laid out. The books go on from there. */
static bool land(struct session *s, struct stops *next, int cycles)
{
    struct skip *k = s->skip;
    const double ahead = cycles * s->period, stored = session_stored(s);
    memcpy(k->charge, s->charge, (size_t)k->ny * sizeof *k->charge);
    session_write(s, k->to);
    wave_leap(s->meter->wave, cycles, k->back);
    s->now.t = wave_period_start(s->meter->wave);
    s->eq->between += ahead;
    next->corner += ahead;
    for (int g = 0; g < s->network->circuit->gates; g++) s->eq->lit[g] += ahead;
    session_take_charges(s);
    meter_moved(s->meter, k->charge, stored);
    rosenbrock_move(s->solver, s->now.t);
    hold_leap(s, k->last[1] + k->ny, k->last[0] + k->ny);
    hold_land(s);
    for (int i = 0; i < k->ny; i++) s->swing[i] = (struct swing){s->full[i], s->full[i]};
    if (meter_instant(s->meter)) return session_fail(s, TROUBLE_EQUATIONS);
    return session_catch_up(s);
}

static bool leap(struct session *s, struct stops *next, int most)
{
    struct skip *k = s->skip;
    const bool goes_on = k->trended && k->since == k->wait;
    k->back = goes_on ? k->gap + (int)k->since : 1;
    if (goes_on && k->gap >= LONG) {
        mend(k);
        find_mean(k);
    } else {
        find_trend(k, goes_on);
        if (goes_on && !find_drive(s)) return true;
        if (goes_on) mend(k);
    }
    memcpy(k->from, k->z, (size_t)k->n * sizeof(double));
    memcpy(k->start, k->d[0], (size_t)k->n * sizeof(double));
    k->gap = lay_out(s, most);
    s->result->statistics.leaps++;
    s->result->statistics.leapt += k->gap;
    bool good = land(s, next, k->gap);
    memcpy(k->z, k->to, (size_t)k->n * sizeof *k->to);
    k->trended = k->leapt = true;
    k->since = k->known = 0;
    return good;
}

/* --- when --- */

/* Cycles until the next instant waited for. */
static double cycles_left(const struct session *s, const struct stops *next)
{
    double until = smaller(smaller(next->end, next->observe), session_next_trip(s));
    return (until - s->now.t) / s->period - MARGIN;
}

bool skip_ahead(struct session *s, struct stops *next)
{
    struct skip *k = s->skip;
    if (!k) return true;
    const bool mapped = (k->since++, take_end(s), take_map(s));
    s->flow = NULL;
    if (k->leapt && k->since == 1 && k->trended) judge(s);
    const double least = smaller(cycles_left(s, next), before_gates(s)),
                 most = smaller(least, k->longest);
    if (s->options.until_settled && s->now.t < SKIP_AFTER) return true;
    const bool window = s->options.until_settled && k->wait < WAVE_WINDOW; /* one is asked for */
    const long wait = window ? WAVE_WINDOW : k->wait;
    if (k->held || most < FIRST || s->now.opening || isfinite(s->now.arc_end) ||
        isfinite(next->close))
        return true;
    if (mapped && k->since >= wait && fastest(k) <= SLOW)
        return leap(s, next, (int)smaller(k->reach, most));
    if (k->since + 1 < wait || k->known + 1 < PAIR) return true;
    s->flow = k->flow;
    flow_start(s);
    flow_begin(s);
    return true;
}
