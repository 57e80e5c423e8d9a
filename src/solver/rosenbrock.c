/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The step loop: predict, solve, test, event, accept. There are two pieces of dense output, the
 * last accepted one and the one on trial, which change places when a step is accepted; so nothing
 * of the last step is lost by a failure. Step control for an error estimate that goes with the
 * fifth power of the step, with Gustafsson's prediction: where errors rise from step to step the
 * next step follows the trend (Hairer & Wanner, Solving Ordinary Differential Equations II, IV.8),
 * while a decaying transient lets the steps grow freely. Where the same stretch has been gone through
 * before (rosenbrock_follow), the steps found there are proposed instead: few are then rejected. */
#include "rosenbrock_impl.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <string.h>

#include "numbers.h"

static const double bolder = 1.04; /* than `safety`, where the stretch before is known */
static const double trust = 2;     /* in what is known of it: of the step proposed, at most */
static const double safety = 0.9;  /* of the step that should just meet the tolerance */
static const double fastest = 12;  /* growth of a step at most */
static const double slowest = 0.2; /* and at least */
static const double least_error =
    1e-4;                          /* remembered at least: one lucky step must not brake the next */
static const double shrink = 0.25; /* when a callback asks for it */
static const double stretch = 1.1; /* of the step to reach `stop`, at most */
/* A step that goes far over an event is made again in two, the second to end just past it: the
 * derivative may bend there, and the dense output would carry what lies beyond back to the event.
 * Two, since a current that dies as the 3/2 power of time is no polynomial near its end: what one
 * step makes wrong there has the same sign in every cycle, and charge would drift away. */
static const double nearly = 0.9;   /* of the step: an event behind it is near enough to the end */
static const double most_way = 0.7; /* to the event: the end of the first step */
static const double past = 1.02;    /* of the rest: the end of the second */
static const double smallest_two = 1e-6; /* of the longest step: a way worth two steps */
static const double slack = 1e-9;        /* of the longest step, for sums of steps that round */

static void new_piece(struct arena *arena, struct piece *p, int states)
{
    p->from = ARENA_ARRAY(arena, double, states);
    p->to = ARENA_ARRAY(arena, double, states);
    for (int m = 0; m < RODAS_BENDS; m++) p->bend[m] = ARENA_ARRAY(arena, double, states);
}

struct rosenbrock *rosenbrock_new(struct arena *arena, int states, int events)
{
    assert(states >= 0 && events >= 0);
    struct rosenbrock *s = ARENA_NEW(arena, struct rosenbrock);
    size_t square = (size_t)states * (size_t)states;
    s->states = states;
    s->events = events;
    s->y = ARENA_ARRAY(arena, double, states);
    s->derivative = ARENA_ARRAY(arena, double, states);
    s->dfdy = ARENA_ARRAY(arena, double, square);
    s->dfdt = ARENA_ARRAY(arena, double, states);
    s->matrix = ARENA_ARRAY(arena, double, square);
    s->pivot = ARENA_ARRAY(arena, int, states);
    s->stage = ARENA_ARRAY(arena, double, (size_t)states *RODAS_STAGES);
    s->argument = ARENA_ARRAY(arena, double, states);
    s->past = ARENA_ARRAY(arena, double, states);
    for (int k = 0; k < EVENT_SAMPLES; k++) s->sample[k] = ARENA_ARRAY(arena, double, events);
    s->probe = ARENA_ARRAY(arena, double, events);
    s->first = ARENA_ARRAY(arena, double, events);
    s->since = ARENA_ARRAY(arena, double, events);
    s->fired = ARENA_ARRAY(arena, unsigned char, events);
    for (int k = 0; k < 2; k++) new_piece(arena, &s->pieces[k], states);
    s->trial = &s->pieces[0];
    s->done = &s->pieces[1];
    return s;
}

void rosenbrock_accuracy(struct rosenbrock *s, double tolerance, const double *scale,
                         double longest)
{
    assert(tolerance > 0 && longest > 0);
    s->tolerance = tolerance;
    s->scale = scale;
    s->longest = longest;
}

void rosenbrock_begin(struct rosenbrock *s, const struct ode *ode, double t, const double *y,
                      double first)
{
    assert(ode->n >= 0 && ode->n <= s->states && ode->events >= 0 && ode->events <= s->events);
    assert((ode->events == 0 || ode->event) && isfinite(t) && first >= 0);
    size_t bytes = (size_t)ode->n * sizeof *y;
    s->ode = ode;
    s->time = t;
    s->next = first;
    s->last_error = 0;
    s->behind = 0;
    s->track = NULL;
    s->singular = s->derivative_known = s->jacobian_known = s->event_known = false;
    if (bytes) { /* y may be NULL when there is nothing of it */
        memmove(s->y, y, bytes);
        memcpy(s->done->from, s->y, bytes);
        memcpy(s->done->to, s->y, bytes);
    }
    s->done->start = s->done->end = t;
    s->done->length = 0;
    memset(s->fired, 0, (size_t)s->events);
}

void rosenbrock_refresh(struct rosenbrock *s, const double *y)
{
    memmove(s->y, y, (size_t)s->ode->n * sizeof *y);
    s->derivative_known = s->jacobian_known = s->event_known = false;
}

void rosenbrock_move(struct rosenbrock *s, double t)
{
    s->origin += t - s->time;
    s->time = s->done->start = s->done->end = t;
    s->done->length = 0;
}

/* The smallest step that still means something at this time. */
static double smallest_step(const struct rosenbrock *s, double stop)
{
    return 4 * DBL_EPSILON * larger(fabs(s->time), smaller(s->longest, stop - s->time));
}

/* Sets the end of the step on trial: what the control proposes, or did well in the stretch before, or
 * all or half of what is left until `stop`. True when that cut it. */
static bool predict(struct rosenbrock *s, double stop, bool retried)
{
    struct piece *p = s->trial;
    double left = stop - s->time;
    double did = retried || s->behind > 0 ? HUGE_VAL : rosenbrock_track_step(s);
    double likely = isfinite(did) ? smaller(bolder * did, trust * s->next) : s->next;
    double wanted = smaller(larger(likely, smallest_step(s, stop)), s->longest), h = wanted;
    p->start = s->time;
    if (left <= smaller(stretch * wanted, (1 + slack) * s->longest)) {
        h = left;
        p->end = stop;
    } else {
        if (left < 2 * wanted) h = left / 2;
        p->end = s->time + h;
    }
    p->length = p->end - p->start;
    return h < wanted;
}

/* The factor by which a step of error s->error should have been longer. */
static double on_tolerance(const struct rosenbrock *s)
{
    return s->error > 0 ? clamp(safety * pow(s->error, -0.2), slowest, fastest) : fastest;
}

/* The factor for the step after one of error s->error. */
static double growth(const struct rosenbrock *s)
{
    if (!(s->error > 0)) return fastest;
    double factor = safety * pow(s->error, -0.2);
    if (s->error <= 1 && s->last_error > 0) {
        double trend = s->trial->length / s->last_length * pow(s->last_error / s->error, 0.2);
        factor = smaller(factor, factor * trend);
    }
    return clamp(factor, slowest, fastest);
}

/* Takes the trial step up to `when` over. */
static void accept(struct rosenbrock *s, bool cut, bool retried, bool event, double when)
{
    struct piece *p = s->trial;
    double factor = growth(s);
    if (retried) factor = smaller(factor, 1);
    double next = p->length * factor;
    /* A step cut far down tells little of what the longer one would have done. */
    s->next = smaller(cut && factor >= fastest ? larger(next, s->next) : next, s->longest);
    s->last_error = larger(s->error, least_error);
    s->last_length = p->length;
    rosenbrock_track_note(s, p->start,
                          p->length * (retried ? smaller(on_tolerance(s), 1) : on_tolerance(s)));

    s->trial = s->done;
    s->done = p;
    s->time = when;
    rosenbrock_interpolate(p, s->ode->n, when, s->y);
    s->derivative_known = s->jacobian_known = false;
    s->event_known = true;
    const double *g = event ? s->first : s->sample[EVENT_SAMPLES - 1];
    memcpy(s->sample[0], g, (size_t)s->ode->events * sizeof *g);

    s->stats.steps++;
    if (event) s->stats.located++;
    if (!cut && !event && (s->stats.smallest == 0 || p->length < s->stats.smallest))
        s->stats.smallest = p->length;
}

/* A shorter step after a failure; false when there is none. */
static bool shorten(struct rosenbrock *s, bool asked, double stop)
{
    double factor = shrink;
    if (asked) s->stats.shrunk++;
    else {
        s->stats.rejected++;
        if (isfinite(s->error)) factor = smaller(growth(s), safety);
    }
    /* Something was not finite, and may be what is known at the start. */
    if (s->singular || (!asked && !isfinite(s->error)))
        s->derivative_known = s->jacobian_known = false;
    s->next = s->trial->length * factor;
    return s->next >= smallest_step(s, stop);
}

static bool shorten_to(struct piece *p, double end)
{
    p->end = end;
    p->length = end - p->start;
    return true;
}

/* The way to an event in one step, or in two: the end of the first, and the length of the second. */
static void split(const struct rosenbrock *s, double way, bool two, double *end, double *rest)
{
    *end = s->time + (two ? most_way : past) * way;
    *rest = two ? past * (1 - most_way) * way : HUGE_VAL;
}

enum rosenbrock_result rosenbrock_step(struct rosenbrock *s, double stop)
{
    assert(s->ode && s->scale && stop > s->time && isfinite(stop));
    memset(s->fired, 0, (size_t)s->events);
    double span = smaller(s->longest, stop - s->time);
    if (s->next == 0 && rosenbrock_start(s, span, &s->next) < 0) return ROSENBROCK_STOPPED;

    bool retried = false, remade = false;
    double end = HUGE_VAL, rest = HUGE_VAL, likely = rosenbrock_track_event(s) - s->time;
    for (;;) {
        bool cut = predict(s, stop, retried);
        if (!remade && s->behind == 0 && likely > smallest_two * s->longest &&
            likely < s->trial->length)
            split(s, likely, !s->ode->smooth, &end, &rest);
        if (end < s->trial->end) cut = shorten_to(s->trial, end);
        int code = rosenbrock_solve(s);
        bool good = code == 0 && s->error <= 1;
        if (good) {
            bool event;
            double when = s->trial->end;
            code = rosenbrock_find_event(s, &event, &when);
            double way = when - s->time;
            bool two = !s->ode->smooth && s->behind == 0 && way > smallest_two * s->longest;
            /* A way too short to be made again is taken: the shorter step might not see the event. */
            bool again = code == 0 && event && way >= smallest_step(s, stop) &&
                         (two || way < nearly * s->trial->length);
            if (again && !remade) {
                split(s, way, two, &end, &rest);
                remade = true;
                continue;
            }
            if (code == 0) {
                accept(s, cut, retried, event, when);
                if (event)
                    rosenbrock_track_end(s), s->next = larger(s->next, s->behind), s->behind = 0;
                else if (rest < s->next) s->behind = s->next, s->next = rest;
                return event ? ROSENBROCK_EVENT : ROSENBROCK_STEP;
            }
        }
        if (code < 0) return ROSENBROCK_STOPPED;
        if (!shorten(s, code > 0, stop)) return s->singular ? ROSENBROCK_SINGULAR : ROSENBROCK_TINY;
        retried = true;
    }
}

double rosenbrock_time(const struct rosenbrock *s)
{
    return s->time;
}

double rosenbrock_previous(const struct rosenbrock *s)
{
    return s->done->start;
}

const double *rosenbrock_state(const struct rosenbrock *s)
{
    return s->y;
}

void rosenbrock_dense(const struct rosenbrock *s, double t, double *y)
{
    assert(t >= s->done->start && t <= s->time);
    rosenbrock_interpolate(s->done, s->ode->n, t, y);
}

const unsigned char *rosenbrock_fired(const struct rosenbrock *s)
{
    return s->fired;
}

double rosenbrock_next(const struct rosenbrock *s)
{
    return s->next;
}

const struct rosenbrock_stats *rosenbrock_statistics(const struct rosenbrock *s)
{
    return &s->stats;
}
