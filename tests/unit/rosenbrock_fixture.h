/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ROSENBROCK_FIXTURE_H
#define PRESOLDER_ROSENBROCK_FIXTURE_H

/* One fresh solver a test, and the problem several of the integrator's tests use. Times in s. */

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "arena.h"
#include "rosenbrock.h"

enum { MOST_STATES = 3, MOST_EVENTS = 4 };

static struct arena *arena;
static struct rosenbrock *solver;
static const double unit_scale[MOST_STATES] = {1, 1, 1};

static inline int set_up(void **state)
{
    (void)state;
    arena = arena_new();
    if (!arena) return -1;
    solver = rosenbrock_new(arena, MOST_STATES, MOST_EVENTS);
    return 0;
}

static inline int tear_down(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static inline void begin(const struct ode *ode, const double *y, double tolerance, double longest,
                         double first)
{
    rosenbrock_accuracy(solver, tolerance, unit_scale, longest);
    rosenbrock_begin(solver, ode, 0, y, first);
}

static inline enum rosenbrock_result run_to(double stop)
{
    enum rosenbrock_result result = ROSENBROCK_STEP;
    while (result == ROSENBROCK_STEP && rosenbrock_time(solver) < stop)
        result = rosenbrock_step(solver, stop);
    return result;
}

/* y' = rate y with rate = context */
static inline int growth_f(void *context, double t, const double *y, double *f)
{
    (void)t;
    f[0] = *(const double *)context * y[0];
    return 0;
}

static inline int growth_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)t, (void)y;
    dfdy[0] = *(const double *)context;
    dfdt[0] = 0;
    return 0;
}

#define CASE(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

#endif
