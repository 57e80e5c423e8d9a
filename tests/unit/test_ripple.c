/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far a temperature swings within a cycle, against closed forms. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "ripple.h"

#define PERIOD (1.0 / 60)
#define GROSS 300.0 /* heating alone [K/s] */
enum { STEPS = 2000 };

typedef double heating(double t);

/* Watts of a resistance on a sine. */
static double sine(double t)
{
    return GROSS * 2 * sq(sin(2 * PI * t / PERIOD));
}

/* The same watts in a twentieth of the cycle, from its second tenth on. */
static double pulse(double t)
{
    return t >= 0.1 * PERIOD && t < 0.15 * PERIOD ? 20 * GROSS : 0;
}

/* A cycle of a state that is heated so and rises by `net` [K/s] on the whole. */
static struct ripple cycle(heating *by, double net)
{
    struct ripple r = {0};
    const double step = PERIOD / STEPS;
    ripple_begin(&r);
    for (int k = 0; k < STEPS; k++)
        ripple_step(&r, step, r.way + step * (by((k + 0.5) * step) - GROSS + net), net);
    ripple_end(&r, net * PERIOD / 2, PERIOD);
    r.heard = GROSS;
    return r;
}

/* rate = -G cos 2 w t: a sine of G/(2 w) that is at its zero where cycles end. */
static void watts_of_a_sine(void **state)
{
    (void)state;
    const struct ripple r = cycle(sine, 0);
    const double swing = GROSS * PERIOD / (4 * PI);
    near_abs(ripple_at_end(&r, GROSS, PERIOD), 0, 1e-3 * swing, "K");
    near_rel(ripple_top(&r, GROSS, 0, PERIOD), swing, 1e-3, "K");
    /* with half the heating half of it */
    near_rel(ripple_top(&r, GROSS / 2, 0, PERIOD), swing / 2, 1e-3, "K");
}

/* A saw tooth: up by 19 twentieths of G P in the pulse, down by 2 in the first and 17 behind it. It is
 * its own mean in the middle of each way. */
static void watts_of_a_pulse(void **state)
{
    (void)state;
    const double net = 20, unit = GROSS * PERIOD / 20, top = 17, begin = 0, dip = -2;
    const struct ripple r = cycle(pulse, net);
    const double mean = (begin + dip) / 2 * 0.1 + (dip + top) / 2 * 0.05 + top / 2 * 0.85;
    near_rel(ripple_at_end(&r, GROSS, PERIOD), mean * unit, 1e-3, "K");
    near_rel(r.when, 0.15 * PERIOD, 1e-3, "s");
    /* the line goes on rising behind the crest, and falls from before it */
    near_rel(ripple_top(&r, GROSS, net, PERIOD), (top - mean) * unit - net * 0.85 * PERIOD, 1e-3,
             "K");
    near_rel(ripple_top(&r, GROSS, -net, PERIOD), (top - mean) * unit - net * 0.15 * PERIOD, 1e-3,
             "K");
}

/* However little was seen of it, watts cannot swing a state by more than all that they bring. */
static void never_more_than_all_watts(void **state)
{
    (void)state;
    const struct ripple r = {.above = 100, .offset = -100};
    near_rel(ripple_top(&r, GROSS, 0, PERIOD), GROSS * PERIOD / 2, 1e-12, "K");
    near_rel(ripple_at_end(&r, GROSS, PERIOD), -GROSS * PERIOD / 2, 1e-12, "K");
}

static void grows_stale_with_the_heating(void **state)
{
    (void)state;
    const struct ripple r = cycle(sine, 0), none = {0};
    assert_false(ripple_stale(&r, GROSS));
    assert_true(ripple_stale(&r, 1.02 * GROSS));
    assert_true(ripple_stale(&r, 0.98 * GROSS));
    assert_true(ripple_stale(&none, GROSS));
    assert_false(ripple_stale(&none, 0)); /* nothing heats it */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(watts_of_a_sine),
        cmocka_unit_test(watts_of_a_pulse),
        cmocka_unit_test(never_more_than_all_watts),
        cmocka_unit_test(grows_stale_with_the_heating),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
