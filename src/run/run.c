/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run: its stages one after the other, cycle by cycle; made again where its audit fails. */
#include "run.h"

#include <math.h>
#include <string.h>

#include "hold.h"
#include "meter.h"
#include "numbers.h"
#include "session.h"
#include "skip.h"
#include "steady_search.h"

#define DEFAULT_TOLERANCE 1e-6 /* of a capacitor's range: what the audit of 1e-6 asks for */
#define STEADY_AFTER 24        /* cycles before the first search for the steady state; */
#define STEADY_LAST 384        /* and before the last: those between at four times the one before */
#define TIGHTER 0.1            /* tolerance of a run that is made again, its audit having failed, */
#define REPEATS 2              /* so often at most */
#define SHORT_RUN 12           /* periods: nothing is held in a shorter run */

struct run_options run_defaults(void)
{
    return (struct run_options){.angle = (double)NAN};
}

/* Once leaps are made the work goes with the logarithm of the time, about: as counted in half a minute
 * and in a quarter of an hour. */
#define LEAPING_FROM 2.0 /* [s] */
#define LEAPING_WORK 3.0 /* [s] of simulated time for e times the time gone */

static double work_until(const struct run_options *o, double t)
{
    if (o->every_cycle || !(o->duration > SKIP_RUN) || t <= LEAPING_FROM) return t;
    return LEAPING_FROM + LEAPING_WORK * log(t / LEAPING_FROM);
}

double run_done(const struct run_options *options, double t)
{
    return smaller(work_until(options, t) / work_until(options, options->duration), 1);
}

/* Shortly after a leap nothing is interrupted: the window of the figures must be one stretch. */
static bool interrupted(struct session *s)
{
    const struct run_options *o = &s->options;
    if (!o->progress || s->now.t >= o->duration) return false;
    s->halted = s->halted || session_ask(s);
    if (s->halted) skip_hold(s->skip);
    return s->halted && !skip_recent(s->skip) && session_interrupted(s);
}

/* In the last stage, at the end of a window that nothing has disturbed. */
static bool may_settle(const struct session *s, long periods)
{
    return s->options.until_settled && periods % WAVE_WINDOW == 0 && !skip_recent(s->skip) &&
           s->stage == &s->setup->stages.at[s->setup->stages.n - 1] && isinf(session_next_trip(s));
}

static bool cross(struct session *s, struct stops next)
{
    long periods = 0; /* since this stage began, those leapt over not counted */
    long search = s->options.steady && s->options.hot ? STEADY_AFTER : 0; /* 0: no more */
    while (s->now.t < next.end) {
        if (!session_cycle(s, &next)) return false;
        if (may_settle(s, ++periods)) {
            if (!search && meter_settled(s->meter)) return true;
            if (search && periods >= search) {
                if (!steady_search_jump(s, &next)) return false;
                search = s->result->statistics.steady || search >= STEADY_LAST ? 0 : 4 * search;
            }
        }
        if (s->now.t < next.end && (interrupted(s) || !skip_ahead(s, &next))) return false;
    }
    return true;
}

/* The mains of stage k go on after having been off: stay open until the source stands at the angle
 * asked for. */
static double closing_time(struct session *s, int k)
{
    const struct stage *now = s->stage;
    bool was_off = k > 0 && !s->setup->stages.at[k - 1].mains_on;
    if (now->mains_switch < 0 || !now->mains_on || !was_off) return HUGE_VAL;
    double angle = now->closes_given && !now->closes_worst ? now->closes_at : PI / 2;
    return session_next_angle(s, angle, s->now.t);
}

static bool run_stage(struct session *s, int k)
{
    double end = s->options.duration;
    if (k + 1 < s->setup->stages.n) end = smaller(end, s->setup->stages.at[k + 1].time);
    if (s->now.t >= end) return true;
    if (!session_stage(s, k)) return session_fail(s, TROUBLE_NONE);
    struct stops next = {.end = end, .close = closing_time(s, k), .observe = HUGE_VAL};
    next.corner = session_next_corner(s);
    if (s->options.observe) next.observe = (double)s->observed * s->options.observe_every;
    if (k > 0 && s->meter->trace) trace_mark(s->meter->trace, s->now.t, 8);
    if (isfinite(next.close)) {
        pattern_t bit = (pattern_t)1
                        << s->network->circuit->elements.at[s->stage->mains_switch].gate;
        if (s->now.r->pattern & bit && !session_switch(s, s->now.r->pattern ^ bit))
            return session_fail(s, TROUBLE_NONE);
    }
    if (meter_instant(s->meter)) return session_fail(s, TROUBLE_EQUATIONS);
    skip_stage(s);
    hold_begin(s);
    session_begin(s);
    if (!session_open_idle(s)) return session_fail(s, TROUBLE_NONE);
    if (next.observe <= s->now.t && !session_at_stop(s, &next)) return false;
    return cross(s, next);
}

static void count(struct session *s)
{
    struct statistics *st = &s->result->statistics;
    const struct rosenbrock_stats *of = rosenbrock_statistics(s->solver);
    st->steps += of->steps;
    st->rejected += of->rejected;
    st->shrunk += of->shrunk;
    st->derivatives += of->derivatives;
    st->jacobians += of->jacobians;
    st->events += of->located;
    st->smallest_step =
        st->smallest_step > 0 ? smaller(st->smallest_step, of->smallest) : of->smallest;
}

static double default_angle(struct arena *arena, const struct setup *setup,
                            const struct run_options *o)
{
    const struct stage *first = &setup->stages.at[0];
    if (!isnan(o->angle)) return o->angle;
    if (first->mains_source < 0) return 0;
    return first->closes_worst ? run_worst_angle(arena, setup, o) : first->closes_at;
}

struct session *session_new(struct arena *arena, const struct setup *setup,
                            const struct run_options *options)
{
    struct session *s = ARENA_NEW(arena, struct session);
    s->result = ARENA_NEW(arena, struct result);
    s->arena = arena;
    s->setup = setup;
    s->options = *options;
    if (!(s->options.tolerance > 0)) s->options.tolerance = DEFAULT_TOLERANCE;
    s->result->setup = setup;
    s->period = 1 / setup->frequency;
    s->result->closing_angle = s->options.angle;
    s->first_shift = s->result->closing_angle / (2 * PI) * s->period;
    s->now.arc_end = HUGE_VAL;
    s->meter = meter_new(arena, s);
    s->skip = skip_new(s);
    return s;
}

/* `network` and `all`: of the first stage, where they are known from a run before; else NULL. */
static struct result *simulate(struct arena *arena, const struct setup *setup,
                               const struct run_options *options, const struct network *network,
                               struct reductions *all)
{
    struct session *s = session_new(arena, setup, options);
    if (s->options.duration < SHORT_RUN * s->period && !isinf(s->options.hold))
        s->options.hold = -1;
    s->network = network;
    s->reductions = all;
    for (int k = 0; k < setup->stages.n; k++) {
        bool good = run_stage(s, k);
        if (s->solver) count(s);
        if (!good) break;
    }
    s->result->end = s->now.t;
    s->result->status = s->now.status;
    s->result->trouble = s->now.trouble;
    s->result->statistics.tolerance = s->options.tolerance;
    s->result->statistics.cycles = (long)(s->now.t / s->period + 0.5);
    s->result->statistics.newton = s->newton + (s->eq ? s->eq->newton : 0);
    s->result->statistics.patterns =
        s->patterns + (s->reductions ? reductions_count(s->reductions) : 0);
    if (s->solver) meter_report(s->meter);
    return s->result;
}

struct result *run_simulate(struct arena *arena, const struct setup *setup,
                            const struct run_options *options)
{
    struct run_options o = *options;
    if (!(o.duration > 0)) o.duration = setup->duration;
    /* what is watched cannot be made again */
    if (!(o.tolerance > 0)) o.tolerance = DEFAULT_TOLERANCE * (o.observe ? sq(TIGHTER) : 1);
    o.hot |= setup->hot;
    o.angle = default_angle(arena, setup, options);
    struct result *result = simulate(arena, setup, &o, NULL, NULL);
    for (int k = 0; k < REPEATS && options->tolerance == 0 && !o.observe; k++) {
        if (result->status != STATUS_OK || !result->statistics.audit_failed) break;
        o.tolerance *= TIGHTER;
        result = simulate(arena, setup, &o, NULL, NULL);
        result->statistics.repeated = k + 1;
    }
    return result;
}

/* An angle's run is nothing of what the caller waits for. */
static int ask(void *options, double done)
{
    const struct run_options *o = options;
    (void)done;
    return o->progress(o->progress_context, 0);
}

double run_worst_angle(struct arena *arena, const struct setup *setup,
                       const struct run_options *options)
{
    struct arena *scratch = arena_scratch(arena);
    const struct network *network = network_new(arena, setup->stages.at[0].circuit);
    struct reductions *all = reductions_new(arena, network);
    double worst = PI / 2, most = 0;
    for (int k = 0; k < 24; k++) {
        struct run_options o = run_defaults();
        o.hot = 1;
        o.angle = k * PI / 12;
        o.duration = 2 / setup->frequency;
        o.tolerance = 1e-5; /* only the order of the angles is wanted */
        o.hold = HUGE_VAL;
        o.pulses_only = o.no_bleed = true;
        o.progress = options && options->progress ? ask : NULL;
        o.progress_context = (void *)options;
        const struct result *r = simulate(scratch, setup, &o, network, all);
        double peak = 0;
        if (r->status == STATUS_INTERRUPTED) break;
        for (int j = 0; j < r->figures.n; j++)
            if (r->figures.at[j].measure == MEASURE_INRUSH_PEAK_CURRENT)
                peak = larger(peak, r->figures.at[j].value);
        if (peak > most * (1 + 1e-6)) {
            most = peak;
            worst = o.angle;
        }
        arena_clear(scratch);
    }
    return worst;
}
