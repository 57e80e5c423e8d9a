/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The integrator on problems whose solution is known in closed form, and what it promises of its
 * steps. The wanted figures are the exact solutions of the stated problems. */
#include <math.h>
#include <string.h>

#include "rosenbrock_fixture.h"

#include "near.h"
#include "numbers.h"

/* ---- problems ---- */

/* y' = A y, eigenvalues -1 and -1000 */
static int stiff_f(void *context, double t, const double *y, double *f)
{
    (void)context, (void)t;
    f[0] = -500.5 * y[0] + 499.5 * y[1];
    f[1] = 499.5 * y[0] - 500.5 * y[1];
    return 0;
}

static int stiff_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)context, (void)t, (void)y;
    dfdy[0] = dfdy[3] = -500.5;
    dfdy[1] = dfdy[2] = 499.5;
    dfdt[0] = dfdt[1] = 0;
    return 0;
}

static const struct ode stiff = {.n = 2, .derivative = stiff_f, .jacobian = stiff_j};

/* Prothero & Robinson: y' = -1e6 (y - sin t) + cos t, solution sin t */
static int robinson_f(void *context, double t, const double *y, double *f)
{
    (void)context;
    f[0] = -1e6 * (y[0] - sin(t)) + cos(t);
    return 0;
}

static int robinson_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)context, (void)y;
    dfdy[0] = -1e6;
    dfdt[0] = 1e6 * cos(t) - sin(t);
    return 0;
}

static const struct ode robinson = {.n = 1, .derivative = robinson_f, .jacobian = robinson_j};

/* x' = w v, v' = -w x with w = 2 pi 50 */
static int swing_f(void *context, double t, const double *y, double *f)
{
    (void)context, (void)t;
    f[0] = 100 * PI * y[1];
    f[1] = -100 * PI * y[0];
    return 0;
}

static int swing_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)context, (void)t, (void)y;
    dfdy[0] = dfdy[3] = dfdt[0] = dfdt[1] = 0;
    dfdy[1] = 100 * PI;
    dfdy[2] = -100 * PI;
    return 0;
}

static int swing_g(void *context, double t, const double *y, double *g)
{
    (void)context, (void)t;
    g[0] = y[0];
    g[1] = -y[1];
    return 0;
}

static const struct ode swing = {
    .n = 2, .events = 2, .derivative = swing_f, .jacobian = swing_j, .event = swing_g};

/* ---- solutions ---- */

static void test_stiff_linear(void **state)
{
    (void)state;
    begin(&stiff, (double[]){2, 0}, 1e-9, 1, 0);
    for (int k = 1; k <= 20; k++) {
        double t = k * 1e-3;
        assert_int_equal(run_to(t), ROSENBROCK_STEP);
        const double *y = rosenbrock_state(solver);
        near_abs(y[0], exp(-t) + exp(-1000 * t), 1e-8, "");
        near_abs(y[1], exp(-t) - exp(-1000 * t), 1e-8, "");
    }
    long before = rosenbrock_statistics(solver)->steps;
    assert_int_equal(run_to(5), ROSENBROCK_STEP);
    near_abs(rosenbrock_state(solver)[0], exp(-5), 1e-8, "");
    assert_in_range(rosenbrock_statistics(solver)->steps - before, 1,
                    120); /* 5000 / 20 explicitly */
}

static void test_prothero_robinson(void **state)
{
    (void)state;
    begin(&robinson, (double[]){0}, 1e-8, 1, 0);
    while (rosenbrock_time(solver) < 10) {
        assert_int_equal(rosenbrock_step(solver, 10), ROSENBROCK_STEP);
        near_abs(rosenbrock_state(solver)[0], sin(rosenbrock_time(solver)), 2e-8, "");
    }
    assert_in_range(rosenbrock_statistics(solver)->steps, 5, 300);
}

static void test_oscillator(void **state)
{
    (void)state;
    begin(&swing, (double[]){0, 1}, 1e-11, 1e-3, 0);
    int up = 0, back = 0;
    while (rosenbrock_time(solver) < 0.2) {
        enum rosenbrock_result result = rosenbrock_step(solver, 0.2);
        double t = rosenbrock_time(solver), x[2];
        near_abs(rosenbrock_state(solver)[0], sin(100 * PI * t), 1e-8, "");
        double middle = (rosenbrock_previous(solver) + t) / 2;
        rosenbrock_dense(solver, middle, x);
        near_abs(x[1], cos(100 * PI * middle), 1e-8, "");
        if (result != ROSENBROCK_EVENT) continue;
        if (rosenbrock_fired(solver)[0]) near_abs(t, 0.02 * ++up, 1e-11, "s");
        if (rosenbrock_fired(solver)[1]) near_abs(t, 0.02 * back++ + 0.005, 1e-11, "s");
    }
    assert_in_range(up, 9, 10); /* the tenth falls on the stop or a rounding behind it */
    assert_int_equal(back, 10);
}

static void test_dense_ends(void **state)
{
    (void)state;
    double old[2] = {0, 1}, y[2];
    begin(&swing, old, 1e-8, 1e-3, 0);
    rosenbrock_dense(solver, 0, y);
    assert_memory_equal(y, old, sizeof y);
    for (int k = 0; k < 20; k++) {
        double t = rosenbrock_time(solver);
        rosenbrock_step(solver, 1);
        assert_true(rosenbrock_previous(solver) == t);
        rosenbrock_dense(solver, t, y);
        assert_memory_equal(y, old, sizeof y);
        rosenbrock_dense(solver, rosenbrock_time(solver), y);
        assert_memory_equal(y, rosenbrock_state(solver), sizeof y);
        memcpy(old, y, sizeof y);
    }
}

/* n states of which only the last moves: y' = cos t. */
static int crowd_f(void *context, double t, const double *y, double *f)
{
    int n = *(const int *)context;
    (void)y;
    memset(f, 0, (size_t)n * sizeof *f);
    f[n - 1] = cos(t);
    return 0;
}

static int crowd_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    int n = *(const int *)context;
    (void)y;
    memset(dfdy, 0, (size_t)(n * n) * sizeof *dfdy);
    memset(dfdt, 0, (size_t)n * sizeof *dfdt);
    dfdt[n - 1] = -sin(t);
    return 0;
}

static long crowd_steps(int n, double tolerance, double range)
{
    const struct ode crowd = {.n = n, .context = &n, .derivative = crowd_f, .jacobian = crowd_j};
    struct rosenbrock *s = rosenbrock_new(arena, n, 0);
    double *scale = ARENA_ARRAY(arena, double, n);
    for (int k = 0; k < n; k++) scale[k] = range;
    rosenbrock_accuracy(s, tolerance, scale, 1);
    rosenbrock_begin(s, &crowd, 0, ARENA_ARRAY(arena, double, n), 1e-3);
    while (rosenbrock_time(s) < 20) rosenbrock_step(s, 20);
    near_abs(rosenbrock_state(s)[n - 1], sin(20), 100 * tolerance * range, "");
    return rosenbrock_statistics(s)->steps;
}

/* One state that moves among many at rest is solved as well as alone. */
static void test_error_norm(void **state)
{
    (void)state;
    long alone = crowd_steps(1, 1e-8, 1);
    assert_int_equal(crowd_steps(1, 1e-10, 100), alone);
    assert_int_equal(crowd_steps(400, 1e-8, 1), alone);
    /* order 5: a hundred thousandth of the tolerance takes ten times the steps */
    near_rel((double)crowd_steps(1, 1e-11, 1), 10 * (double)crowd_steps(1, 1e-6, 1), 0.4, "steps");
}

/* ---- steps ---- */

static void test_stop_reached_exactly(void **state)
{
    (void)state;
    const double longest = 0.01, stops[] = {0.1003, 0.1, 0.7, 1e-3, 1.0 / 3, 0.02001, 0.0100001};
    double rate = -1;
    struct ode ode = {.n = 1, .context = &rate, .derivative = growth_f, .jacobian = growth_j};
    for (int k = 0; k < (int)(sizeof stops / sizeof *stops); k++) {
        double stop = stops[k], least = smaller(0.49 * longest, stop);
        begin(&ode, (double[]){1}, 1e-6, longest, longest);
        while (rosenbrock_time(solver) < stop) {
            assert_int_equal(rosenbrock_step(solver, stop), ROSENBROCK_STEP);
            double h = rosenbrock_time(solver) - rosenbrock_previous(solver);
            assert_true(h >= least && h <= longest * (1 + 1e-12));
        }
        assert_true(rosenbrock_time(solver) == stop);
        near_rel(rosenbrock_next(solver), longest, 1e-12, "s");
        near_abs(rosenbrock_state(solver)[0], exp(-stop), 1e-8, "");
    }
    near_rel(rosenbrock_statistics(solver)->smallest, longest, 1e-12, "s");
}

/* A little beyond the step wanted is one step, unless the longest forbids it. */
static void test_stretch_to_stop(void **state)
{
    (void)state;
    double rate = -1;
    struct ode ode = {.n = 1, .context = &rate, .derivative = growth_f, .jacobian = growth_j};
    begin(&ode, (double[]){1}, 1e-6, 1, 0.01);
    assert_int_equal(rosenbrock_step(solver, 0.0105), ROSENBROCK_STEP);
    assert_true(rosenbrock_time(solver) == 0.0105);
    begin(&ode, (double[]){1}, 1e-6, 0.01, 1);
    assert_int_equal(rosenbrock_step(solver, 1), ROSENBROCK_STEP);
    near_rel(rosenbrock_time(solver), 0.01, 1e-12, "s");
    begin(&ode, (double[]){1}, 1e-6, 0.01, 1);
    assert_int_equal(rosenbrock_step(solver, 0.0105), ROSENBROCK_STEP);
    near_rel(rosenbrock_time(solver), 0.00525, 1e-12, "s");
    assert_int_equal(rosenbrock_step(solver, 1), ROSENBROCK_STEP);
    near_rel(rosenbrock_time(solver), 0.01525, 1e-12, "s");
}

static void test_tiny_stretch(void **state)
{
    (void)state;
    double rate = -1;
    struct ode ode = {.n = 1, .context = &rate, .derivative = growth_f, .jacobian = growth_j};
    rosenbrock_accuracy(solver, 1e-6, unit_scale, 0.01);
    rosenbrock_begin(solver, &ode, 1, (double[]){1}, 0.01);
    double stop = nextafter(1, 2);
    assert_int_equal(rosenbrock_step(solver, stop), ROSENBROCK_STEP);
    assert_true(rosenbrock_time(solver) == stop);
    near_rel(rosenbrock_next(solver), 0.01, 1e-12, "s");
}

static void test_no_states(void **state)
{
    (void)state;
    double rate = -1;
    struct ode ode = {.n = 1, .context = &rate, .derivative = growth_f, .jacobian = growth_j};
    ode.n = 0;
    begin(&ode, NULL, 1e-6, 0.3, 0);
    assert_int_equal(run_to(1), ROSENBROCK_STEP);
}

static void test_first_step(void **state)
{
    (void)state;
    double rate = -1e5;
    struct ode ode = {.n = 1, .context = &rate, .derivative = growth_f, .jacobian = growth_j};
    begin(&ode, (double[]){1}, 1e-8, 1, 0);
    assert_true(rosenbrock_next(solver) == 0);
    assert_int_equal(rosenbrock_step(solver, 1), ROSENBROCK_STEP);
    assert_in_range(rosenbrock_statistics(solver)->rejected, 0, 3);
    double h = rosenbrock_time(solver);
    assert_true(h > 1e-8 && h < 1e-4);
    near_abs(rosenbrock_state(solver)[0], exp(rate * h), 1e-8, "");
}

/* First steps of any length: one within the tolerance is taken and asks for no much shorter one
 * behind it; one that is too long is made again. */
static void test_too_long_a_step_is_made_again(void **state)
{
    (void)state;
    double rate = -1;
    int taken = 0, again = 0;
    struct ode ode = {.n = 1, .context = &rate, .derivative = growth_f, .jacobian = growth_j};
    for (double first = 0.01; first < 10; first *= 1.1) {
        long rejected = rosenbrock_statistics(solver)->rejected;
        begin(&ode, (double[]){1}, 1e-8, 100, first);
        assert_int_equal(rosenbrock_step(solver, 1e3), ROSENBROCK_STEP);
        double h = rosenbrock_time(solver);
        assert_true(h <= first * (1 + 1e-12));
        near_abs(rosenbrock_state(solver)[0], exp(-h), 1e-8, "");
        if (rosenbrock_statistics(solver)->rejected > rejected) {
            again++;
            continue;
        }
        taken++;
        assert_true(rosenbrock_next(solver) > 0.8 * h);
    }
    assert_true(taken > 5 && again > 5);
}

/* y' = a bell of width 0.01 at t = 1/2, y(1) = 0.01 sqrt(pi) */
static int bell_f(void *context, double t, const double *y, double *f)
{
    (void)context, (void)y;
    f[0] = exp(-sq((t - 0.5) / 0.01));
    return 0;
}

static int bell_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)context, (void)y;
    dfdy[0] = 0;
    dfdt[0] = -2 * (t - 0.5) / sq(0.01) * exp(-sq((t - 0.5) / 0.01));
    return 0;
}

/* The second time along the same stretch hardly a step fails, and the result is as good. */
static void test_a_stretch_seen_before_is_followed(void **state)
{
    (void)state;
    const struct ode bell = {.n = 1, .derivative = bell_f, .jacobian = bell_j};
    struct rosenbrock_track *track = rosenbrock_track_new(arena);
    long rejected[3], steps[3];
    for (int round = 0; round < 3; round++) {
        const struct rosenbrock_stats before = *rosenbrock_statistics(solver);
        begin(&bell, (double[]){0}, 1e-6, 0.05, 1e-3);
        rosenbrock_follow(solver, track);
        while (rosenbrock_time(solver) < 1) rosenbrock_step(solver, 1);
        near_abs(rosenbrock_state(solver)[0], 0.01 * sqrt(PI), 1e-6, "");
        rejected[round] = rosenbrock_statistics(solver)->rejected - before.rejected;
        steps[round] = rosenbrock_statistics(solver)->steps - before.steps;
    }
    assert_true(rejected[0] >= 4);
    assert_true(rejected[2] <= rejected[0] / 2);
    assert_true(steps[2] + rejected[2] < steps[0] + rejected[0]);
}

/* The same bell in a stretch of some length, which ends with an event, y = 0.01 length sqrt(pi). */
static int far_bell_f(void *context, double t, const double *y, double *f)
{
    return bell_f(context, t / *(const double *)context, y, f);
}

static int far_bell_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    bell_j(context, t / *(const double *)context, y, dfdy, dfdt);
    dfdt[0] /= *(const double *)context;
    return 0;
}

static int far_end(void *context, double t, const double *y, double *g)
{
    (void)y;
    g[0] = t - *(const double *)context;
    return 0;
}

/* Each time the stretch is 2 % longer, and the bell as much farther away: from the fourth on that is
 * expected, and no more steps fail than where nothing was known (else twice as many). */
static void test_a_stretch_that_grows_is_followed(void **state)
{
    (void)state;
    double length = 1;
    const struct ode bell = {.n = 1,
                             .events = 1,
                             .context = &length,
                             .derivative = far_bell_f,
                             .jacobian = far_bell_j,
                             .event = far_end};
    struct rosenbrock_track *track = rosenbrock_track_new(arena);
    long rejected[6];
    for (int round = 0; round < 6; round++, length *= 1.02) {
        const struct rosenbrock_stats before = *rosenbrock_statistics(solver);
        begin(&bell, (double[]){0}, 1e-7, 0.05, 1e-3);
        rosenbrock_follow(solver, track);
        while (rosenbrock_step(solver, 3) != ROSENBROCK_EVENT)
            ;
        near_rel(rosenbrock_time(solver), length, 1e-9, "s");
        near_abs(rosenbrock_state(solver)[0], 0.01 * length * sqrt(PI), 1e-6, "");
        rejected[round] = rosenbrock_statistics(solver)->rejected - before.rejected;
    }
    assert_true(rejected[0] >= 4);
    for (int round = 3; round < 6; round++) assert_true(rejected[round] <= rejected[0]);
}

/* From one long step to an event: made again in one, or in two where something may bend there. */
static void test_one_step_to_a_smooth_event(void **state)
{
    static double length = 0.4;
    (void)state;
    for (int smooth = 0; smooth < 2; smooth++) {
        const struct ode bell = {.n = 1,
                                 .events = 1,
                                 .context = &length,
                                 .derivative = far_bell_f,
                                 .jacobian = far_bell_j,
                                 .event = far_end,
                                 .smooth = smooth};
        begin(&bell, (double[]){0}, 1, 10, 1);
        const long before = rosenbrock_statistics(solver)->steps;
        while (rosenbrock_step(solver, 3) != ROSENBROCK_EVENT)
            ;
        near_rel(rosenbrock_time(solver), length, 1e-9, "s");
        assert_int_equal(rosenbrock_statistics(solver)->steps - before, smooth ? 1 : 2);
    }
}

/* The whole course of the oscillator, events and all, as bytes. */
struct course {
    double t[400], y[400];
    int n;
};

static void record(struct course *c)
{
    memset(c, 0, sizeof *c);
    begin(&swing, (double[]){0.3, 0.7}, 1e-6, 1e-2, 0);
    while (rosenbrock_time(solver) < 0.1 && c->n < 400) {
        rosenbrock_step(solver, 0.1);
        c->t[c->n] = rosenbrock_time(solver);
        c->y[c->n++] = rosenbrock_state(solver)[0];
    }
}

static void test_same_digits_again(void **state)
{
    (void)state;
    static struct course one, two;
    record(&one);
    /* something else between: nothing of it may remain */
    begin(&robinson, (double[]){0}, 1e-6, 1, 0);
    run_to(1);
    record(&two);
    assert_int_equal(one.n, two.n);
    assert_in_range(one.n, 20, 399);
    assert_memory_equal(&one, &two, sizeof one);
}

static void test_nothing_allocated(void **state)
{
    (void)state;
    size_t used = arena_used(arena);
    begin(&swing, (double[]){0, 1}, 1e-8, 1e-3, 0);
    for (int k = 0; k < 500; k++) rosenbrock_step(solver, 10);
    rosenbrock_begin(solver, &swing, rosenbrock_time(solver), rosenbrock_state(solver), 0);
    run_to(10);
    assert_true(rosenbrock_statistics(solver)->located > 10);
    assert_int_equal(arena_used(arena), used);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(test_stiff_linear),
        CASE(test_prothero_robinson),
        CASE(test_oscillator),
        CASE(test_dense_ends),
        CASE(test_error_norm),
        CASE(test_stop_reached_exactly),
        CASE(test_stretch_to_stop),
        CASE(test_tiny_stretch),
        CASE(test_no_states),
        CASE(test_first_step),
        CASE(test_same_digits_again),
        CASE(test_nothing_allocated),
        CASE(test_too_long_a_step_is_made_again),
        CASE(test_a_stretch_seen_before_is_followed),
        CASE(test_a_stretch_that_grows_is_followed),
        CASE(test_one_step_to_a_smooth_event),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
