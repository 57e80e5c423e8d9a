/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A capacitor charged through a resistor, V = 100 (1 - exp(-t / 0.1 s)), against ratings of its
 * volts and of the resistor's watts: since when, for how long, how much. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "handmade.h"
#include "near.h"
#include "numbers.h"

static const double cycle = 1.0 / 60;

static void rate(struct handmade *h, struct set *set, const char *subject, enum measure measure,
                 double limit, enum unit unit, bool at_least)
{
    array_push(h->arena, &set->ratings,
               (struct rating){subject, measure, limit, unit, at_least, "", "", ""});
}

static const struct result *charge(struct handmade *h, struct set *set, double ohms, double seconds)
{
    hand_steady(h, "S", "a", "0", 100);
    hand_r(h, "R", "a", "b", ohms);
    hand_c(h, "C", "b", "0", 1e-4, 0);
    hand_watch_capacitor(h, "C");
    set->circuit = h->c;
    struct stage stage = {
        .circuit = h->c, .set = set, .mains_switch = -1, .mains_source = -1, .mains_on = true};
    array_push(h->arena, &h->setup.stages, stage);
    h->setup.frequency = h->frequency;
    h->setup.title = h->setup.variant = "by hand";
    struct run_options o = run_defaults();
    o.duration = seconds;
    o.angle = 0;
    const struct result *r = run_simulate(h->arena, &h->setup, &o);
    assert_int_equal(r->status, STATUS_OK);
    return r;
}

static void test_passed_to_the_end(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    struct set set = {.arena = h.arena};
    rate(&h, &set, "C", MEASURE_HIGHEST_VOLTAGE, 80, UNIT_VOLT, false);
    const struct result *r = charge(&h, &set, 1e3, 0.5);
    assert_int_equal(r->excesses.n, 1);
    const struct excess *e = &r->excesses.at[0];
    near_abs(e->first, 0.1 * log(5), cycle, "s");
    near_abs(e->seconds, 0.5 - 0.1 * log(5), cycle, "s");
    near_abs(e->last, 0.5, 1e-9, "s");
    near_rel(e->worst, 100 * (1 - exp(-5)), 1e-6, "V");
    handmade_free(&h);
}

/* The watts fall as exp(-t / 0.05 s) from 10: over 1 W until 0.115 s; first in order of time. */
static void test_passed_for_a_time(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    struct set set = {.arena = h.arena};
    rate(&h, &set, "C", MEASURE_HIGHEST_VOLTAGE, 80, UNIT_VOLT, false);
    rate(&h, &set, "R", MEASURE_DISSIPATION, 1, UNIT_WATT, false);
    const struct result *r = charge(&h, &set, 1e3, 0.5);
    assert_int_equal(r->excesses.n, 2);
    const struct excess *e = &r->excesses.at[0];
    assert_string_equal(e->rating->subject, "R");
    near_abs(e->first, cycle, 1e-9, "s");
    near_abs(e->last, 0.05 * log(10), cycle, "s");
    near_abs(e->seconds, e->last, 1e-9, "s");
    near_rel(e->worst, 10 * 0.05 / cycle * (1 - exp(-cycle / 0.05)), 1e-6, "W");
    handmade_free(&h);
}

static void test_not_passed(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    struct set set = {.arena = h.arena};
    rate(&h, &set, "C", MEASURE_HIGHEST_VOLTAGE, 100, UNIT_VOLT, false);
    rate(&h, &set, "C", MEASURE_LOWEST_VOLTAGE, -1, UNIT_VOLT, true);
    rate(&h, &set, "nobody", MEASURE_RMS_CURRENT, 0, UNIT_AMPERE, false);
    assert_int_equal(charge(&h, &set, 1e3, 0.5)->excesses.n, 0);
    handmade_free(&h);
}

/* 1 Mohm: V = 100 (1 - exp(-t / 100 s)), 10 mW that fall as exp(-t / 50 s). Most cycles are leapt
 * over, and both limits are passed in a leap, where the way is taken to be straight. */
static void test_passed_in_a_leap(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    struct set set = {.arena = h.arena};
    rate(&h, &set, "C", MEASURE_HIGHEST_VOLTAGE, 80, UNIT_VOLT, false);
    rate(&h, &set, "R", MEASURE_DISSIPATION, 1e-3, UNIT_WATT, false);
    const struct result *r = charge(&h, &set, 1e6, 600);
    assert_true(r->statistics.leaps > 10);
    assert_int_equal(r->excesses.n, 2);
    const struct excess *watts = &r->excesses.at[0], *volts = &r->excesses.at[1];
    near_abs(watts->last, 50 * log(10), 2, "s");
    near_abs(watts->seconds, watts->last, 1e-6, "s");
    near_abs(volts->first, 100 * log(5), 2, "s");
    near_abs(volts->last, 600, 1e-6, "s");
    near_abs(volts->seconds, 600 - volts->first, 2 * cycle, "s");
    handmade_free(&h);
}

/* Watts of a slow source, 10 sin^2, against 7.5 W: passed for a third of each half period. */
static const struct result *swing(struct handmade *h, struct set *set, double seconds)
{
    rate(h, set, "R", MEASURE_DISSIPATION, 7.5, UNIT_WATT, false);
    hand_sine(h, "S", "a", "0", 100, 0);
    hand_r(h, "R", "a", "0", 1e3);
    struct stage stage = {
        .circuit = h->c, .set = set, .mains_switch = -1, .mains_source = -1, .mains_on = true};
    array_push(h->arena, &h->setup.stages, stage);
    h->setup.frequency = 60;
    h->setup.title = h->setup.variant = "by hand";
    struct run_options o = run_defaults();
    o.duration = seconds;
    o.angle = 0;
    o.every_cycle = true;
    return run_simulate(h->arena, &h->setup, &o);
}

/* 0.2 Hz: over for a third of every 2.5 s. Four such spells are told apart, the fifth joins the
 * fourth. */
static void test_passed_again(void **state)
{
    (void)state;
    struct handmade h = handmade_new(0.2);
    struct set set = {.arena = h.arena, .circuit = h.c};
    const struct result *r = swing(&h, &set, 12.5);
    assert_int_equal(r->excesses.n, 4);
    for (int k = 0; k < 4; k++) {
        const struct excess *e = &r->excesses.at[k];
        near_abs(e->first, 2.5 * (k + 1.0 / 3), 2 * cycle, "s");
        near_abs(e->seconds, (k < 3 ? 1 : 2) * 2.5 / 3, 3 * cycle, "s");
        near_abs(e->last, 2.5 * ((k < 3 ? k : 4) + 2.0 / 3), 2 * cycle, "s");
        near_rel(e->worst, 10, 1e-3, "W");
    }
    handmade_free(&h);
}

/* 0.5 Hz: over for a third of every second, inside again for two thirds, less than the second that
 * tells one spell from the next. */
static void test_soon_passed_again(void **state)
{
    (void)state;
    struct handmade h = handmade_new(0.5);
    struct set set = {.arena = h.arena, .circuit = h.c};
    const struct result *r = swing(&h, &set, 3);
    assert_int_equal(r->excesses.n, 1);
    near_abs(r->excesses.at[0].first, 1.0 / 3, 2 * cycle, "s");
    near_abs(r->excesses.at[0].seconds, 1, 6 * cycle, "s");
    near_abs(r->excesses.at[0].last, 2 + 2.0 / 3, 2 * cycle, "s");
    handmade_free(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_passed_to_the_end), cmocka_unit_test(test_passed_for_a_time),
        cmocka_unit_test(test_not_passed),        cmocka_unit_test(test_passed_again),
        cmocka_unit_test(test_soon_passed_again), cmocka_unit_test(test_passed_in_a_leap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
