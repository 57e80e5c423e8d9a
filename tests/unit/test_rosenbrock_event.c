/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where events are found and which functions fire. The wanted instants are exact solutions of the
 * stated functions. */
#include <math.h>
#include <string.h>

#include "rosenbrock_fixture.h"

#include "near.h"
#include "numbers.h"

/* A ball: height' = speed, speed' = -9.81; it lands when -height rises through zero. */
static int ball_f(void *context, double t, const double *y, double *f)
{
    (void)context, (void)t;
    f[0] = y[1];
    f[1] = -9.81;
    return 0;
}

static int ball_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)context, (void)t, (void)y;
    dfdy[0] = dfdy[2] = dfdy[3] = dfdt[0] = dfdt[1] = 0;
    dfdy[1] = 1;
    return 0;
}

static int ball_g(void *context, double t, const double *y, double *g)
{
    (void)context, (void)t;
    g[0] = -y[0];
    return 0;
}

static const struct ode ball = {
    .n = 2, .events = 1, .derivative = ball_f, .jacobian = ball_j, .event = ball_g};

/* y' = 1, so y = t from zero; the context has what computes the events from t. */
struct clock {
    void (*events)(double t, double *g);
};

static int clock_f(void *context, double t, const double *y, double *f)
{
    (void)context, (void)t, (void)y;
    f[0] = 1;
    return 0;
}

static int clock_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)context, (void)t, (void)y;
    dfdy[0] = dfdt[0] = 0;
    return 0;
}

static int clock_g(void *context, double t, const double *y, double *g)
{
    (void)y;
    const struct clock *c = (const struct clock *)context;
    c->events(t, g);
    return 0;
}

static struct ode clock_with(struct clock *c, int events)
{
    return (struct ode){.n = 1,
                        .events = events,
                        .context = c,
                        .derivative = clock_f,
                        .jacobian = clock_j,
                        .event = clock_g};
}

static void test_bouncing_ball(void **state)
{
    (void)state;
    double wanted = sqrt(2 * 3.0 / 9.81), speed = sqrt(2 * 3.0 * 9.81), longest = 0.3;
    begin(&ball, (double[]){3, 0}, 1e-9, longest, 0);
    for (int bounce = 0; bounce < 10; bounce++) {
        assert_int_equal(run_to(100), ROSENBROCK_EVENT);
        assert_int_equal(rosenbrock_fired(solver)[0], 1);
        const double *y = rosenbrock_state(solver);
        near_abs(rosenbrock_time(solver), wanted, 1e-12, "s");
        double end[2];
        rosenbrock_dense(solver, rosenbrock_time(solver), end);
        assert_memory_equal(end, y, sizeof end);
        near_abs(y[0], 0, 1e-12, "m");
        near_abs(y[1], -speed, 1e-11, "m/s");
        assert_true(-y[0] >= 0);
        assert_true(rosenbrock_next(solver) >= longest / 10);

        speed *= 0.8;
        wanted += 2 * speed / 9.81;
        rosenbrock_begin(solver, &ball, rosenbrock_time(solver), (double[]){y[0], -0.8 * y[1]},
                         rosenbrock_next(solver));
    }
    assert_int_equal(rosenbrock_statistics(solver)->located, 10);
}

/* The one event function of a clock */
#define EVENT(name, value)                                                                         \
    static void name(double t, double *g)                                                          \
    {                                                                                              \
        g[0] = (value);                                                                            \
    }

/* The next event of a clock from zero with steps of 1 s; infinity when there is none until 10. */
static double first_event(void (*events)(double t, double *g), int count)
{
    static struct clock c; /* both outlive this call: tests go on from the event */
    static struct ode ode;
    c.events = events;
    ode = clock_with(&c, count);
    begin(&ode, (double[]){0}, 1e-6, 1, 1);
    enum rosenbrock_result result = run_to(10);
    if (result == ROSENBROCK_EVENT) return rosenbrock_time(solver);
    assert_int_equal(result, ROSENBROCK_STEP);
    return (double)INFINITY;
}

EVENT(wide_hump, 0.09 - sq(t - 0.5))
EVENT(wide_hollow, sq(t - 0.5) - 0.09)
EVENT(narrow_hump, 1e-6 - sq(t - 0.4))
EVENT(narrow_hollow, sq(t - 0.9) - 1e-6)
EVENT(low_hump, -1e-6 - sq(t - 0.4))
static void later_dip(double t, double *g)
{
    g[0] = sq(t - 0.2) - 1e-4; /* asleep until 0.19, fires at 0.21 */
    g[1] = t - 0.15;
}

/* Two crossings inside one step: the function has the same sign at both ends of it. */
static void test_interior_event(void **state)
{
    (void)state;
    near_abs(first_event(wide_hump, 1), 0.2, 2e-14, "s");
    assert_int_equal(rosenbrock_statistics(solver)->steps, 2); /* one of them on the way there */
    near_abs(first_event(wide_hollow, 1), 0.8, 2e-14, "s");
    near_abs(first_event(narrow_hump, 1), 0.399, 1e-12, "s");
    near_abs(first_event(narrow_hollow, 1), 0.901, 1e-12, "s");
    assert_true(first_event(low_hump, 1) > 10);
    near_abs(first_event(later_dip, 2), 0.15, 2e-14, "s");
    assert_int_equal(rosenbrock_fired(solver)[0], 0);
    assert_int_equal(run_to(10), ROSENBROCK_EVENT);
    near_abs(rosenbrock_time(solver), 0.21, 2e-14, "s");
    assert_int_equal(rosenbrock_fired(solver)[0], 1);
    assert_int_equal(rosenbrock_fired(solver)[1], 0);
}

EVENT(from_zero_down, -sin(t))
EVENT(from_above_down, 1e-17 - sin(t))
EVENT(from_below_down, -1e-17 - sin(t))
EVENT(from_below_up, t - 1e-17)
EVENT(from_zero_up, t)
EVENT(from_above_up, t + 1e-17)
EVENT(short_dip, t *(t - 0.1))

static void test_event_at_start(void **state)
{
    (void)state;
    near_abs(first_event(from_zero_down, 1), PI, 2e-14, "s");
    near_abs(first_event(from_above_down, 1), PI, 2e-14, "s");
    near_abs(first_event(from_below_down, 1), PI, 2e-14, "s");
    near_abs(first_event(from_below_up, 1), 0, 2e-14, "s");
    assert_true(rosenbrock_time(solver) > 0);
    assert_int_equal(run_to(10), ROSENBROCK_STEP); /* and only once */
    assert_true(first_event(from_zero_up, 1) > 10);
    assert_true(first_event(from_above_up, 1) > 10);
    near_abs(first_event(short_dip, 1), 0.1, 2e-14, "s");
}

static void together(double t, double *g)
{
    g[0] = t - 0.3;
    g[1] = 1e-6 * (exp(t) - exp(0.3));
    g[2] = 1e6 * (t * sq(t) - 0.027);
    g[3] = t - 0.3000001;
}
static void over_a_quarter(double t, double *g)
{
    g[0] = t - 0.25;
    g[1] = t - 0.25000000000000006;
    g[2] = 0.24999999999999997 - t; /* falls: no event */
}

static void test_simultaneous_events(void **state)
{
    (void)state;
    near_abs(first_event(together, 4), 0.3, 2e-14, "s");
    assert_memory_equal(rosenbrock_fired(solver), ((unsigned char[]){1, 1, 1, 0}), 4);
    assert_int_equal(run_to(10), ROSENBROCK_EVENT);
    near_abs(rosenbrock_time(solver), 0.3000001, 2e-14, "s");
    assert_memory_equal(rosenbrock_fired(solver), ((unsigned char[]){0, 0, 0, 1}), 4);
    assert_int_equal(run_to(10), ROSENBROCK_STEP);
    assert_memory_equal(rosenbrock_fired(solver), ((unsigned char[]){0, 0, 0, 0}), 4);

    near_abs(first_event(over_a_quarter, 3), 0.25, 2e-14, "s");
    assert_memory_equal(rosenbrock_fired(solver), ((unsigned char[]){1, 1, 0}), 3);
    assert_int_equal(run_to(10), ROSENBROCK_STEP);
}

EVENT(touch_at_sample, -sq(t - 0.5))
EVENT(touch_between, -sq(t - 0.6))
EVENT(touch_by_rounding, 1e-15 - sq(t - 0.6))
EVENT(flat_zero, 0 * t)

/* A function that only touches zero may fire there once, or not; what counts is that nothing hangs.
 */
static void test_event_touching_zero(void **state)
{
    (void)state;
    void (*const cases[])(double, double *) = {touch_at_sample, touch_between, touch_by_rounding};
    for (int k = 0; k < 3; k++) {
        double t = first_event(cases[k], 1);
        if (isfinite(t)) {
            near_abs(t, k == 0 ? 0.5 : 0.6, 1e-7, "s");
            assert_int_equal(run_to(10), ROSENBROCK_STEP);
        }
    }
    assert_true(isfinite(first_event(touch_at_sample, 1)));
    assert_true(first_event(flat_zero, 1) > 10);
}

EVENT(at_one, t - 1)

static void test_event_at_stop(void **state)
{
    (void)state;
    struct clock c = {at_one};
    struct ode ode = clock_with(&c, 1);
    begin(&ode, (double[]){0}, 1e-6, 0.3, 0.1);
    assert_int_equal(run_to(1), ROSENBROCK_EVENT);
    near_abs(rosenbrock_time(solver), 1, 2e-14, "s");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(test_bouncing_ball),       CASE(test_interior_event),      CASE(test_event_at_start),
        CASE(test_simultaneous_events), CASE(test_event_touching_zero), CASE(test_event_at_stop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
