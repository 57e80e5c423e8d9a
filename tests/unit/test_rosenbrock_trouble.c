/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the integrator makes of callbacks that fail, of a singular matrix and of a solution that
 * ends. */
#include <limits.h>
#include <math.h>

#include "rosenbrock_fixture.h"

#include "near.h"
#include "numbers.h"
#include "rodas5p.h"

enum callback { DERIVATIVE, JACOBIAN, EVENT };
enum trouble { TROUBLE_NAN, TROUBLE_SHRINK, TROUBLE_STOP };

/* y' = y^2 from 1, so y = 1 / (1 - t); one callback makes trouble when y goes above `limit`. */
struct broken {
    enum callback where;
    enum trouble what;
    double limit;
    long times; /* how often */
};

static int maybe_trouble(struct broken *b, enum callback where, double y, double *result)
{
    assert_true(isfinite(y));
    if (b->where != where || y <= b->limit || b->times == 0) return 0;
    b->times--;
    if (b->what == TROUBLE_NAN) *result = (double)NAN;
    return b->what == TROUBLE_NAN ? 0 : b->what == TROUBLE_SHRINK ? 1 : -1;
}

static int broken_f(void *context, double t, const double *y, double *f)
{
    (void)t;
    f[0] = sq(y[0]);
    return maybe_trouble(context, DERIVATIVE, y[0], f);
}

static int broken_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)t;
    dfdy[0] = 2 * y[0];
    dfdt[0] = 0;
    return maybe_trouble(context, JACOBIAN, y[0], dfdy);
}

static int broken_g(void *context, double t, const double *y, double *g)
{
    (void)t;
    g[0] = -y[0];
    return maybe_trouble(context, EVENT, y[0], g);
}

static const struct ode broken = {
    .n = 1, .events = 1, .derivative = broken_f, .jacobian = broken_j, .event = broken_g};

static void test_broken_callbacks(void **state)
{
    (void)state;
    for (int where = DERIVATIVE; where <= EVENT; where++) {
        for (int what = TROUBLE_NAN; what <= TROUBLE_STOP; what++) {
            struct broken b = {where, what, .limit = 50, .times = LONG_MAX};
            struct ode ode = broken;
            ode.context = &b;
            begin(&ode, (double[]){1}, 1e-8, 1, 0);
            enum rosenbrock_result result = run_to(2);
            double t = rosenbrock_time(solver), y = rosenbrock_state(solver)[0], dense;

            if (what == TROUBLE_STOP) assert_int_equal(result, ROSENBROCK_STOPPED);
            else if (where == JACOBIAN && what == TROUBLE_NAN)
                assert_int_equal(result, ROSENBROCK_SINGULAR);
            else assert_int_equal(result, ROSENBROCK_TINY);
            near_rel(y, 1 / (1 - t), 1e-4, ""); /* still sound */
            if (where != JACOBIAN) assert_true(y <= b.limit);
            if (where != JACOBIAN && what != TROUBLE_STOP) near_rel(t, 1 - 1 / b.limit, 1e-6, "s");
            rosenbrock_dense(solver, t, &dense);
            assert_true(dense == y);
        }
    }
    assert_true(rosenbrock_statistics(solver)->rejected > 15);
    assert_true(rosenbrock_statistics(solver)->shrunk > 50);
}

/* Trouble that passes as the step shrinks. */
static void test_passing_trouble(void **state)
{
    (void)state;
    const struct rosenbrock_stats *stats = rosenbrock_statistics(solver);
    for (int where = DERIVATIVE; where <= EVENT; where++) {
        for (int what = TROUBLE_NAN; what <= TROUBLE_SHRINK; what++) {
            struct broken b = {where, what, .limit = 1.5, .times = 5};
            struct ode ode = broken;
            ode.context = &b;
            long shrunk = stats->shrunk, rejected = stats->rejected;
            begin(&ode, (double[]){1}, 1e-8, 1, 0);
            assert_int_equal(run_to(0.75), ROSENBROCK_STEP);
            assert_int_equal(b.times, 0);
            near_rel(rosenbrock_state(solver)[0], 4, 1e-6, "");
            bool by_error = where == DERIVATIVE && what == TROUBLE_NAN;
            assert_int_equal(stats->shrunk - shrunk, by_error ? 0 : 5);
            assert_true(stats->rejected - rejected >= (by_error ? 5 : 0));
        }
    }
}

/* 1/(h gamma) - J vanishes for the first trial step. */
static void test_singular_matrix(void **state)
{
    (void)state;
    double h = 0.125, rate = 1 / (h * rodas5p.gamma);
    struct ode ode = {.n = 1, .context = &rate, .derivative = growth_f, .jacobian = growth_j};
    begin(&ode, (double[]){1e-6}, 1e-9, 1, h);
    assert_int_equal(run_to(0.4), ROSENBROCK_STEP);
    assert_int_equal(rosenbrock_statistics(solver)->shrunk, 1);
    near_rel(rosenbrock_state(solver)[0], 1e-6 * exp(0.4 * rate), 1e-3, "");

    rate = (double)INFINITY;
    begin(&ode, (double[]){1}, 1e-9, 1, h);
    assert_int_equal(run_to(0.4), ROSENBROCK_SINGULAR);
    assert_int_equal(rosenbrock_worst(solver), 0);
    assert_true(rosenbrock_time(solver) == 0);
}

static void test_blow_up_ends(void **state)
{
    (void)state;
    struct broken b = {.times = 0};
    struct ode ode = broken;
    ode.context = &b;
    begin(&ode, (double[]){1}, 1e-8, 1, 0);
    assert_int_equal(run_to(2), ROSENBROCK_TINY);
    near_abs(rosenbrock_time(solver), 1, 1e-5, "s");
}

static void test_state_not_finite(void **state)
{
    (void)state;
    struct broken b = {.times = 0}; /* its callbacks insist on a finite state */
    struct ode ode = broken;
    ode.context = &b;
    begin(&ode, (double[]){(double)NAN}, 1e-8, 1, 0.1);
    assert_int_equal(run_to(1), ROSENBROCK_TINY);
    assert_int_equal(rosenbrock_statistics(solver)->derivatives, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(test_broken_callbacks), CASE(test_passing_trouble),  CASE(test_singular_matrix),
        CASE(test_blow_up_ends),     CASE(test_state_not_finite),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
