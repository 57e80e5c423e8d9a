/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A trial cycle that goes wrong calls the leap off. With e = z - z0, z0 at the start: e' = M e +
 * F(z0) + g, M = 1 + dF/dz, and g = a j^2 + b j^3 after j cycles. */
#include "skip.h"

#include <math.h>
#include <string.h>

#include "cycle_map.h"
#include "meter.h"
#include "numbers.h"
#include "power_sums.h"

enum {
    LEAST = 64,         /* cycles worth a leap */
    MARGIN = 60,        /* ordinary ones before an instant waited for */
    CALM = 2,           /* ordinary ones between two leaps: what is fast calms down */
    WAIT_MOST = 960,    /* between attempts */
    LEAPS_PER_RUN = 16, /* at least, so that trace and pictures show the way */
};
#define SETTLED 1e-3 /* of a state's range in one cycle: more is no slow drift */

struct skip {
    int n;                     /* states: capacitor volts, coil currents, device states */
    long since;                /* cycles since the last leap, or the begin of the stage */
    long wait;                 /* so many before the next attempt */
    bool leapt;                /* in this stage */
    bool held;                 /* no more leaps */
    double half;               /* cycles to the middle of the next leap */
    double last;               /* cycles to the middle of the last leap */
    bool turn;                 /* M is known, of the last leap */
    struct cycle_map *cycle;   /* z0, F(z0), M */
    double *middle, *end;      /* [n] g there */
    double *rate[2];           /* [n] F there */
    double *a, *b, *z[2];      /* [n]; z: results at the middle and the end */
    struct power_sums sums[2]; /* to the middle, to the end */
    double *books[4];
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
    const int books = meter_books_count(s->meter);
    *k = (struct skip){.wait = MARGIN, .half = LEAST, .held = k->held};
    k->cycle = cycle_map_new(s);
    const int n = k->n = k->cycle->n;
    double **rows[] = {&k->middle, &k->end,  &k->a,       &k->b,
                       &k->z[0],   &k->z[1], &k->rate[0], &k->rate[1]};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        *rows[i] = ARENA_ARRAY(s->arena, double, n);
    for (int i = 0; i < 4; i++) k->books[i] = ARENA_ARRAY(s->arena, double, books);
    for (int i = 0; i < 2; i++) k->sums[i] = power_sums_new(s->arena, n);
}

bool skip_recent(const struct skip *k)
{
    return k && k->leapt && k->since < WAVE_WINDOW;
}

bool skip_begun(const struct skip *k, double t)
{
    return k && !k->held && t >= SKIP_AFTER && k->since + CALM >= k->wait;
}

void skip_hold(struct skip *k)
{
    if (k) k->held = true;
}

/* Turns M toward the slope that the last leap found at its end, where the state goes now: g through
 * 0, the middle and the end has the slope (3 end - 4 middle) / 2 h there (C. G. Broyden, "A class
 * of methods for solving nonlinear simultaneous equations", Math. Comp. 19, 1965, with the tangent
 * for the secant; from memory). */
static void turn_map(struct skip *k)
{
    struct cycle_map *m = k->cycle;
    double way = 0;
    for (int i = 0; i < k->n; i++) way += sq(m->drift[i] / m->size[i]);
    if (!(way > 0)) return;
    for (int i = 0; i < k->n; i++) {
        double slope = (3 * k->end[i] - 4 * k->middle[i]) / (2 * k->last);
        for (int j = 0; j < k->n; j++)
            m->map[i * k->n + j] += slope * m->drift[j] / sq(m->size[j]) / way;
    }
}

/* F and g where the last trial went. */
static void take_trial(const struct skip *k, double *rate, double *g)
{
    const struct cycle_map *m = k->cycle;
    for (int i = 0; i < k->n; i++) {
        double straight = m->drift[i];
        for (int j = 0; j < k->n; j++) straight += m->map[i * k->n + j] * (m->to[j] - m->start[j]);
        g[i] = m->after[i] - m->start[i] - straight;
        rate[i] = m->after[i] - m->to[i];
    }
}

/* --- one leap --- */

/* What a leap would leave out [of the unit of a state] that goes from drift f to drift g in it: the
 * top of the parabola, over the higher of both ends. */
static double hump(double h, double f, double g)
{
    return f * g < 0 ? h * sq(smaller(fabs(f), fabs(g))) / (fabs(f) + fabs(g)) : 0;
}

/* z[0] and z[1] with the g found at the middle and the end. */
static void go_through(struct skip *k, double h)
{
    const struct cycle_map *m = k->cycle;
    for (int i = 0; i < k->n; i++) {
        k->a[i] = (8 * k->middle[i] - k->end[i]) / (4 * h * h);
        k->b[i] = (k->end[i] - 4 * k->middle[i]) / (4 * h * h * h);
    }
    for (int at = 0; at < 2; at++) {
        memcpy(k->z[at], m->start, (size_t)k->n * sizeof(double));
        power_sums_add(&k->sums[at], 0, 1, m->drift, k->z[at]);
        power_sums_add(&k->sums[at], 2, 1, k->a, k->z[at]);
        power_sums_add(&k->sums[at], 3, 1, k->b, k->z[at]);
    }
}

/* Again with g where the leap goes through: near the middle first guessed fast states were off what
 * slow ones ask of them, and the cycle booked for the middle would tell of their return. */
static bool refine(struct session *s, double half)
{
    struct skip *k = s->skip;
    for (int at = 0; at < 2; at++) {
        memcpy(k->cycle->to, k->z[at], (size_t)k->n * sizeof(double));
        if (!cycle_map_trial(k->cycle, s, k->cycle->to)) return false;
        take_trial(k, k->rate[at], at ? k->end : k->middle);
    }
    go_through(k, half);
    return true;
}

/* Lays out a leap of 2 * half cycles: z[0], z[1]. *error in ranges; inf when a trial went wrong. */
static void lay_out(struct session *s, int half, double *error)
{
    struct skip *k = s->skip;
    struct cycle_map *m = k->cycle;
    const struct power_sums *to = &k->sums[0], *all = &k->sums[1];
    const size_t bytes = (size_t)k->n * sizeof(double);
    const double h = half, h2 = h * h;
    *error = HUGE_VAL;
    power_sums_reach(&k->sums[0], m->map, half);
    power_sums_reach(&k->sums[1], m->map, 2 * half);
    memcpy(m->to, m->start, bytes);
    power_sums_add(to, 0, 1, m->drift, m->to);
    if (!cycle_map_trial(m, s, m->to)) return;
    take_trial(k, k->rate[0], k->middle);
    memcpy(m->to, m->start, bytes);
    power_sums_add(all, 0, 1, m->drift, m->to);
    power_sums_add(all, 2, 1 / h2, k->middle, m->to);
    if (!cycle_map_trial(m, s, m->to)) return;
    take_trial(k, k->rate[1], k->end);
    go_through(k, half);
    *error = 0;
    for (int i = 0; i < k->n; i++) {
        *error = larger(*error, fabs(k->z[1][i] - m->to[i]) / m->size[i]);
        double out = hump(h, m->drift[i], k->rate[1][i]) / m->size[i];
        *error = larger(*error, SKIP_TOLERANCE * out / SKIP_HUMP);
        if (isnan(*error)) *error = HUGE_VAL;
    }
}

/* One cycle into the books, what it adds to them into `into`. */
static bool booked_cycle(struct session *s, struct stops *next, double *into)
{
    struct skip *k = s->skip;
    meter_books(s->meter, k->books[3]);
    if (!session_cycle(s, next)) return false;
    meter_books(s->meter, into);
    for (int i = 0; i < meter_books_count(s->meter); i++) into[i] -= k->books[3][i];
    return true;
}

static bool jump(struct session *s, struct stops *next, int cycles, const double *z)
{
    double ahead = cycles * s->period;
    wave_leap(s->meter->wave, cycles);
    s->now.t = wave_period_start(s->meter->wave);
    s->eq->between += ahead;
    next->corner += ahead;
    if (!cycle_map_put(s->skip->cycle, s, z)) return session_fail(s, TROUBLE_LEAP);
    return true;
}

static bool leap(struct session *s, struct stops *next, int half, double error)
{
    struct skip *k = s->skip;
    struct statistics *st = &s->result->statistics;
    double outer, middle;
    if (!booked_cycle(s, next, k->books[0])) return false;
    for (int at = 0; at < 2; at++)
        if (!jump(s, next, half - 1, k->z[at]) || !booked_cycle(s, next, k->books[at + 1]))
            return false;
    wave_leap_weights(half - 1, &outer, &middle);
    for (int i = 0; i < meter_books_count(s->meter); i++)
        k->books[3][i] = outer * (k->books[0][i] + k->books[2][i]) + middle * k->books[1][i];
    meter_books_add(s->meter, k->books[3]);
    st->leaps++;
    st->leapt += 2 * (half - 1);
    st->leap_error += error;
    k->since = 1;
    k->leapt = true;
    return true;
}

/* --- when --- */

/* Cycles until the next instant waited for. */
static double cycles_left(const struct session *s, const struct stops *next)
{
    double until = smaller(smaller(next->end, next->observe), session_next_trip(s));
    return (until - s->now.t) / s->period - MARGIN;
}

static bool quiet(const struct session *s, const struct stops *next)
{
    const struct skip *k = s->skip;
    return s->now.t >= SKIP_AFTER && k->since >= k->wait && !s->now.opening &&
           isinf(s->now.arc_end) && isinf(next->close);
}

static bool slow(const struct skip *k)
{
    for (int i = 0; i < k->n; i++)
        if (!(fabs(k->cycle->drift[i]) <= SETTLED * k->cycle->size[i])) return false;
    return true;
}

/* The length that would just have met the tolerance: the estimate goes with its fourth power. */
static double fitting(double half, double error)
{
    return half * clamp(0.9 * sqrt(sqrt(SKIP_TOLERANCE / error)), 0.3, 2);
}

/* Finds a leap of at most `most` cycles that is good enough. */
static bool find_leap(struct session *s, double most, int *half, double *error)
{
    struct skip *k = s->skip;
    if (!cycle_map_drift(k->cycle, s, !k->turn) || !slow(k)) return false;
    if (k->turn) turn_map(k);
    for (;;) {
        *half = (int)smaller(k->half, most / 2);
        lay_out(s, *half, error);
        double fits = fitting(*half, *error);
        bool good = *error <= SKIP_TOLERANCE;
        k->half = larger(fits, LEAST / 2);
        if (good) break;
        if (*half <= LEAST / 2) return false;
    }
    k->last = *half;
    return refine(s, *half);
}

bool skip_ahead(struct session *s, struct stops *next)
{
    struct skip *k = s->skip;
    if (!k) return true;
    k->since++;
    double most = smaller(cycles_left(s, next), s->options.duration / s->period / LEAPS_PER_RUN);
    if (k->held || !quiet(s, next) || most < LEAST) return true;
    double error = 0;
    int half = 0;
    cycle_map_keep(k->cycle, s, next);
    s->meter->asleep = true;
    bool found = find_leap(s, most, &half, &error);
    bool back = cycle_map_back(k->cycle, s);
    s->meter->asleep = false;
    if (!back) return session_fail(s, TROUBLE_BACK);
    k->since = 0;
    k->turn = found;
    if (found) {
        k->wait = s->options.until_settled ? WAVE_WINDOW : CALM;
        return leap(s, next, half, error);
    }
    k->wait = (long)clamp(1.25 * (double)k->wait, MARGIN, WAIT_MOST);
    return true;
}
