/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The limits of standards on both sides of their borders, as the words of each have them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "discharge.h"

#define OVER(what, ...)                                                                            \
    assert_true(charge_limit_over(CHARGE_LIMIT_##what, &(struct stored){__VA_ARGS__}))
#define INSIDE(what, ...)                                                                          \
    assert_false(charge_limit_over(CHARGE_LIMIT_##what, &(struct stored){__VA_ARGS__}))

static void charge_energy_and_capacitance(void **state)
{
    (void)state;
    OVER(CHARGE, .highest = 43, .coulombs = 46e-6);
    INSIDE(CHARGE, .highest = 43, .coulombs = 44e-6);
    INSIDE(CHARGE, .highest = 42, .coulombs = 1);
    OVER(CAPACITANCE, .highest = 43, .farads = 0.11e-6);
    OVER(CAPACITANCE, .highest = 450, .farads = 0.11e-6);
    INSIDE(CAPACITANCE, .highest = 451, .farads = 0.11e-6);
    INSIDE(CAPACITANCE, .highest = 42, .farads = 0.11e-6);
    INSIDE(CAPACITANCE, .highest = 43, .farads = 0.09e-6);
}

static void joules_of_a_worker(void **state)
{
    (void)state;
    INSIDE(WORKER, .highest = 99, .joules = 99);
    OVER(WORKER, .highest = 99, .joules = 101);
    INSIDE(WORKER, .highest = 101, .joules = 0.9);
    OVER(WORKER, .highest = 101, .joules = 1.1);
    INSIDE(WORKER, .highest = 400, .joules = 0.9);
    OVER(WORKER, .highest = 401, .joules = 0.3);
    INSIDE(WORKER, .highest = 401, .joules = 0.2);
}

static void volts_after_a_time(void **state)
{
    (void)state;
    OVER(TWO_SECONDS, .cold_marks = {.at = {0, -61, 0}});
    INSIDE(TWO_SECONDS, .cold_marks = {.at = {99, -59, 99}});
    OVER(FIVE_SECONDS, .coulombs = 61e-6, .cold_marks = {.at = {0, 0, 61}});
    INSIDE(FIVE_SECONDS, .coulombs = 1, .cold_marks = {.at = {99, 99, 59}});
    INSIDE(FIVE_SECONDS, .coulombs = 59e-6, .cold_marks = {.at = {99, 99, 99}});
    OVER(BLEEDER, .highest = 599, .to_50 = 61);
    INSIDE(BLEEDER, .highest = 599, .to_50 = 59);
    OVER(BLEEDER, .highest = 601, .to_50 = 301);
    INSIDE(BLEEDER, .highest = 601, .to_50 = 299);
}

/* 1 s: 37 % of the crest, 34 V, and 60 V; 2 s and 5 s: 60 V. */
static void prongs_of_the_plug(void **state)
{
    static const struct {
        struct decay_seen seen;
        bool over[5];
    } rows[] = {
        {{.start = -160, .at = {-60, -59, -59}}, {true, true, false, false, false}},
        {{.start = -160, .at = {-59, -61, -59}}, {false, true, false, true, false}},
        {{.start = 160, .at = {33, 20, 61}}, {false, false, false, false, true}},
        {{.start = 80, .at = {31, 0, 0}}, {true, false, false, false, false}},
        {{.start = 42, .at = {42, 42, 42}}, {false, false, false, false, false}},
    };
    (void)state;
    assert_int_equal(charge_pin_limits_count(), 5);
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++)
        for (int i = 0; i < 5; i++)
            assert_int_equal(charge_pin_limit_over(charge_pin_limit_at(i), &rows[k].seen),
                             rows[k].over[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(charge_energy_and_capacitance),
        cmocka_unit_test(joules_of_a_worker),
        cmocka_unit_test(volts_after_a_time),
        cmocka_unit_test(prongs_of_the_plug),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
