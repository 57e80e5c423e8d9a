/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Events of one step: crossings of zero from below to above. The event functions are sampled at
 * the four Gauss-Lobatto nodes of the step, which the caller may want to look at too; between two
 * of them a function that turns toward zero is asked at its turning point too. A function counts
 * only once it has been seen below zero, so one that starts at or above zero sleeps by itself, and
 * one that starts below, be it by a rounding, fires at the first instant it is seen above. Each
 * crossing is enclosed by the ITP method (Oliveira & Takahashi, ACM Trans. Math. Softw. 47:5,
 * 2021): superlinear, and never slower than bisection. The upper end of the enclosure is the event:
 * there the function is not below zero. */
#include "rosenbrock_impl.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "lobatto.h"
#include "numbers.h"

/* One function at both ends of a stretch of time. */
struct bracket {
    double a, b;       /* [s] */
    double at_a, at_b; /* the function there; it crosses when at_a < 0 <= at_b */
};

static int ask(struct rosenbrock *s, double t, double *g)
{
    rosenbrock_interpolate(s->trial, s->ode->n, t, s->argument);
    int code = s->ode->event(s->ode->context, t, s->argument, g);
    if (code) return code;
    for (int i = 0; i < s->ode->events; i++)
        if (!isfinite(g[i])) return 1;
    return 0;
}

static double sample_time(const struct piece *p, int k)
{
    return k == EVENT_SAMPLES - 1 ? p->end : p->start + p->length * lobatto_node[k];
}

static int take_samples(struct rosenbrock *s)
{
    for (int k = s->event_known ? 1 : 0; k < EVENT_SAMPLES; k++) {
        int code = ask(s, sample_time(s->trial, k), s->sample[k]);
        if (code) return code;
        s->event_known = true;
    }
    return 0;
}

/* Slope of function i by the place in the step at sample k, of the cubic through all samples. */
static double slope(const struct rosenbrock *s, int i, int k)
{
    double sum = 0;
    for (int m = 0; m < EVENT_SAMPLES; m++) sum += lobatto_slope[k][m] * s->sample[m][i];
    return sum;
}

/* Function i between samples k and k+1. A hump that may reach zero from below, or a hollow that may
 * reach it from above, is asked at its turning point and narrows the bracket if it does reach. */
static int bracket_function(struct rosenbrock *s, int i, int k, struct bracket *r)
{
    double a = sample_time(s->trial, k), b = sample_time(s->trial, k + 1);
    *r = (struct bracket){a, b, s->sample[k][i], s->sample[k + 1][i]};
    if ((r->at_a < 0) != (r->at_b < 0)) return 0;
    double from = slope(s, i, k), to = slope(s, i, k + 1);
    bool hump = r->at_a < 0;
    if (hump ? !(from > 0 && to < 0) : !(from < 0 && to > 0)) return 0;

    double turn = a + (b - a) * (from / (from - to));
    if (!(turn > a && turn < b)) return 0;
    int code = ask(s, turn, s->probe);
    if (code || (s->probe[i] < 0) == hump) return code;
    if (hump) r->b = turn, r->at_b = s->probe[i];
    else r->a = turn, r->at_a = s->probe[i];
    return 0;
}

/* Where ITP asks next: the secant's root, moved toward the middle and kept within `reach` of it. */
static double next_guess(const struct bracket *r, double widest, double reach)
{
    double width = r->b - r->a, middle = r->a + width / 2;
    double secant = r->a + width * (r->at_a / (r->at_a - r->at_b));
    double shift = 0.2 * width * width / widest, side = middle >= secant ? 1 : -1;
    double guess = shift <= fabs(middle - secant) ? secant + side * shift : middle;
    double radius = reach - width / 2;
    if (fabs(guess - middle) > radius) guess = middle - side * radius;
    return guess > r->a && guess < r->b ? guess : middle;
}

static int enclose(struct rosenbrock *s, int i, struct bracket *r, double tolerance)
{
    double widest = r->b - r->a, reach = tolerance;
    while (reach < widest) reach *= 2;
    while (r->b - r->a > tolerance) {
        double t = next_guess(r, widest, reach);
        if (!(t > r->a && t < r->b)) break;
        int code = ask(s, t, s->probe);
        if (code) return code;
        if (s->probe[i] < 0) r->a = t, r->at_a = s->probe[i];
        else r->b = t, r->at_b = s->probe[i];
        reach /= 2;
    }
    return 0;
}

/* The earliest crossing between samples k and k+1; s->since and s->first belong to it. */
static int search(struct rosenbrock *s, int k, double tolerance, bool *found, double *when)
{
    *found = false;
    for (int i = 0; i < s->ode->events; i++) {
        struct bracket r;
        int code = bracket_function(s, i, k, &r);
        if (code) return code;
        s->since[i] = r.at_a < 0 ? r.a : (double)INFINITY;
        if (*found && r.b > *when) r.b = *when, r.at_b = s->first[i];
        if (!(s->since[i] < r.b) || r.at_b < 0) continue;

        code = enclose(s, i, &r, tolerance);
        if (code == 0) code = ask(s, r.b, s->first);
        if (code) return code;
        *found = true;
        *when = r.b;
    }
    return 0;
}

/* Functions that cross within rounding of the event belong to it: the event moves to the last of
 * them. */
static int gather(struct rosenbrock *s, double tolerance, double *when)
{
    int events = s->ode->events;
    double late = smaller(*when + 2 * tolerance, s->trial->end);
    bool more = false;
    int code = late > *when ? ask(s, late, s->probe) : 0;
    if (code) return code;
    for (int i = 0; i < events; i++) {
        bool below = s->since[i] < *when;
        s->fired[i] = below && s->first[i] >= 0;
        if (late > *when && below && !s->fired[i] && s->probe[i] >= 0) s->fired[i] = more = true;
    }
    if (more) {
        memcpy(s->first, s->probe, (size_t)events * sizeof *s->first);
        *when = late;
    }
    for (int i = 0; i < events; i++)
        if (s->fired[i]) s->first[i] = larger(s->first[i], 0);
    return 0;
}

int rosenbrock_find_event(struct rosenbrock *s, bool *found, double *when)
{
    *found = false;
    if (s->ode->events == 0) return 0;
    const struct piece *p = s->trial;
    double tolerance =
        larger(4 * DBL_EPSILON * larger(fabs(p->start), fabs(p->end)), 1e-14 * p->length);
    int code = take_samples(s);
    for (int k = 0; k + 1 < EVENT_SAMPLES && code == 0; k++) {
        code = search(s, k, tolerance, found, when);
        if (code == 0 && *found) return gather(s, tolerance, when);
    }
    return code;
}
