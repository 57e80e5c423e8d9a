/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A foreign integrator on the same reduced equations. The library knows no events and no dense
 * output: a step that ends with a gate function above zero is taken back, the crossing is enclosed
 * by the Illinois form of false position (Dowell & Jarratt, BIT 11, 1971), each trial being an
 * integration of its own from the step's start, and the run goes on in the new pattern. */
#include "independent.h"

#include <math.h>
#include <string.h>
#include <time.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

#include "equations.h"
#include "numbers.h"

#define SLACK                                                                                      \
    1e-6 /* a gate that is less above zero stays: rounding must not make it flutter [V]  \
                    */

enum { STEPS_PER_PERIOD = 16, TRIALS_MOST = 60 };

struct foreign {
    struct independent *job;
    struct arena *arena;
    const struct network *network;
    struct equations *eq;
    struct reductions *reductions;
    const gsl_odeiv2_step_type *type;
    gsl_odeiv2_system system;
    gsl_odeiv2_driver *driver;
    double *y, *before, *after, *scale; /* [room] */
    double *full, *values;
    double t, period;
    size_t bytes; /* of one state */
};

int independent_count(const struct circuit *c)
{
    int n = 0;
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        n += e->kind == ELEMENT_CAPACITOR || e->kind == ELEMENT_INDUCTOR ||
             (e->kind == ELEMENT_PORT && e->gate >= 0);
    }
    return n;
}

static int derivative(double t, const double *y, double *f, void *context)
{
    struct foreign *x = context;
    x->job->calls++;
    return equations_derivative(x->eq, t, y, f) ? GSL_EBADFUNC : GSL_SUCCESS;
}

static int jacobian(double t, const double *y, double *dfdy, double *dfdt, void *context)
{
    struct foreign *x = context;
    return equations_jacobian(x->eq, t, y, dfdy, dfdt) ? GSL_EBADFUNC : GSL_SUCCESS;
}

/* All capacitor volts and inductor amperes from the states; sources are at x->t. */
static void unfold(const struct foreign *x, const double *y)
{
    const struct reduced *r = x->eq->r;
    for (int k = 0; k < r->ny; k++) {
        x->full[k] = 0;
        for (int j = 0; j < r->nw; j++) x->full[k] += r->q[k * r->nw + j] * y[j];
        for (int j = 0; j < r->nu; j++) x->full[k] += r->yu[k * r->nu + j] * x->eq->u[j];
    }
}

/* States of pattern r that hold the same charges and fluxes; device states move behind them. */
static void fold(struct foreign *x, const struct reduced *r)
{
    memmove(x->y + r->nw, x->y + x->eq->r->nw, (size_t)x->eq->ns * sizeof *x->y);
    for (int i = 0; i < r->nw; i++) {
        x->y[i] = 0;
        for (int k = 0; k < r->ny; k++) {
            double bound = 0;
            for (int j = 0; j < r->nu; j++) bound += r->yu[k * r->nu + j] * x->eq->u[j];
            x->y[i] += r->take[i * r->ny + k] * x->network->stored_by[k] * (x->full[k] - bound);
        }
    }
}

/* y follows pattern r from here on. */
static void put_in_force(struct foreign *x, const struct reduced *r)
{
    equations_pattern(x->eq, r);
    for (int i = 0; i < r->nw; i++) x->scale[i] = r->w_of[i] < x->network->capacitors ? 300 : 0.1;
    for (int k = 0; k < x->eq->ns; k++)
        x->scale[r->nw + k] = x->network->circuit->states.at[k].range;
    if (x->driver) gsl_odeiv2_driver_free(x->driver);
    x->system = (gsl_odeiv2_system){derivative, jacobian, (size_t)equations_size(x->eq), x};
    x->driver = gsl_odeiv2_driver_alloc_scaled_new(&x->system, x->type, x->period * 1e-4,
                                                   x->job->tolerance, 0, 1, 0, x->scale);
    gsl_odeiv2_driver_set_hmax(x->driver, x->period / STEPS_PER_PERIOD);
}

static void flip(struct foreign *x, pattern_t flips)
{
    const struct reduced *r = reductions_get(x->reductions, x->eq->r->pattern ^ flips);
    equations_sources(x->eq, x->t);
    unfold(x, x->y);
    fold(x, r);
    put_in_force(x, r);
}

/* The highest gate function at x->t [V], and which of them want to change. */
static double gates(struct foreign *x, pattern_t *want)
{
    double highest = -HUGE_VAL;
    *want = 0;
    equations_solve(x->eq, x->t, x->y);
    for (int k = 0; k < x->network->circuit->gates; k++) {
        double g = equations_gate(x->eq, k) - SLACK;
        highest = larger(highest, g);
        if (g > 0) *want |= (pattern_t)1 << k;
    }
    return highest;
}

/* One step of the library's own choice, at most to `to`. */
static bool one_step(struct foreign *x, double to)
{
    gsl_odeiv2_driver *d = x->driver;
    d->h = smaller(d->h, x->period / STEPS_PER_PERIOD);
    return gsl_odeiv2_evolve_apply(d->e, d->c, d->s, d->sys, &x->t, to, &d->h, x->y) == GSL_SUCCESS;
}

/* From the state before the last step to `to`. */
static bool retry(struct foreign *x, double start, double to)
{
    memcpy(x->y, x->before, x->bytes);
    x->t = start;
    gsl_odeiv2_driver_reset_hstart(x->driver, (to - start) / 4);
    return gsl_odeiv2_driver_apply(x->driver, &x->t, to, x->y) == GSL_SUCCESS;
}

/* The last step, from `start` to x->t, went beyond a crossing: moves x back to it. */
static bool locate(struct foreign *x, double start, double at_start, double at_end)
{
    const double tolerance = 1e-11 * x->period;
    double low = start, high = x->t;
    pattern_t want;
    int side = 0;
    memcpy(x->after, x->y, x->bytes);
    for (int k = 0; k < TRIALS_MOST && high - low > tolerance; k++) {
        double t = low + (high - low) * (at_start / (at_start - at_end));
        t = clamp(t, low + tolerance / 2, high - tolerance / 2);
        if (!retry(x, start, t)) return false;
        double g = gates(x, &want);
        if (want) {
            high = t;
            memcpy(x->after, x->y, x->bytes);
            at_end = g;
            if (side > 0) at_start /= 2;
            side = 1;
        } else {
            low = t;
            at_start = g;
            if (side < 0) at_end /= 2;
            side = -1;
        }
    }
    memcpy(x->y, x->after, x->bytes);
    x->t = high;
    return true;
}

/* From x->t to `to` through events. */
static bool cross(struct foreign *x, double to)
{
    while (x->t < to) {
        pattern_t want;
        double start = x->t, at_start = gates(x, &want);
        if (want) {
            flip(x, want);
            continue;
        }
        memcpy(x->before, x->y, x->bytes);
        if (!one_step(x, to)) return false;
        x->job->steps++;
        double at_end = gates(x, &want);
        if (want && !locate(x, start, at_start, at_end)) return false;
    }
    return true;
}

static void report(struct foreign *x)
{
    const struct circuit *c = x->network->circuit;
    int n = 0;
    equations_solve(x->eq, x->t, x->y);
    unfold(x, x->y);
    for (; n < x->network->capacitors + x->network->inductors; n++) x->values[n] = x->full[n];
    for (int k = 0; k < c->elements.n; k++)
        if (c->elements.at[k].kind == ELEMENT_PORT && c->elements.at[k].gate >= 0)
            x->values[n++] = equations_output(x->eq, OUTPUT_CURRENT, k);
    x->job->observe(x->job->context, x->t, x->values);
}

static void begin(struct foreign *x, const char *stepper)
{
    static const struct reduced nothing = {0};
    const struct {
        const char *name;
        const gsl_odeiv2_step_type *type;
    } types[] = {{"msbdf", gsl_odeiv2_step_msbdf},
                 {"rk8pd", gsl_odeiv2_step_rk8pd},
                 {"bsimp", gsl_odeiv2_step_bsimp}};
    const struct circuit *c = x->job->circuit;
    const int room = c->elements.n + c->states.n + 1;
    for (size_t k = 0; k < sizeof types / sizeof types[0]; k++)
        if (strcmp(types[k].name, stepper) == 0) x->type = types[k].type;
    x->network = network_new(x->arena, c);
    x->eq = equations_new(x->arena, x->network);
    x->reductions = reductions_new(x->arena, x->network);
    x->bytes = (size_t)room * sizeof *x->y;
    x->y = ARENA_ARRAY(x->arena, double, room);
    x->before = ARENA_ARRAY(x->arena, double, room);
    x->after = ARENA_ARRAY(x->arena, double, room);
    x->scale = ARENA_ARRAY(x->arena, double, room);
    x->full = ARENA_ARRAY(x->arena, double, room);
    x->values = ARENA_ARRAY(x->arena, double, room);
    x->period = 1 / 60.0;
    for (int k = 0; k < c->waveforms.n; k++)
        if (c->waveforms.at[k].frequency > 0) x->period = 1 / c->waveforms.at[k].frequency;
    for (int k = 0; k < c->states.n; k++)
        x->y[k] = x->job->hot ? c->states.at[k].hot : c->states.at[k].cold;
    x->eq->r = &nothing;
    pattern_t first = 0;
    for (int g = 0; g < c->gates; g++)
        if (c->elements.at[x->network->gate_element[g]].starts_closed) first |= (pattern_t)1 << g;
    flip(x, first);
}

bool independent_odeiv2(struct independent *job, const char *stepper)
{
    struct foreign x = {.job = job, .arena = arena_new()};
    bool good = true;
    job->calls = job->steps = 0;
    clock_t begun = clock();
    begin(&x, stepper);
    for (long k = 0; good; k++) {
        double next = job->from + (double)k * job->every;
        if (next > job->stop * (1 + 1e-12)) break;
        if (next <= 0) continue;
        good = cross(&x, next);
        if (good) report(&x);
    }
    job->seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;
    gsl_odeiv2_driver_free(x.driver);
    arena_free(x.arena);
    return good;
}
