/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Switches that turn over once: at a time, or when a temperature is reached. Closed forms of the
 * circuits stand beside each. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "handmade.h"
#include "laws.h"
#include "near.h"
#include "numbers.h"

static void trip(struct handmade *h, const char *a, const char *b, bool closed, int state,
                 double value)
{
    int from = circuit_point(h->c, a), to = circuit_point(h->c, b);
    circuit_trip(h->c, "F1", "trip", from, to, closed, state, value);
}

/* A short across 3 of 4 kohm at 0.3 s: the whole 10 mJ/s before, 40 mJ/s after. */
static void test_closes_at_a_time(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    hand_steady(&h, "S", "a", "0", 10);
    hand_r(&h, "R1", "a", "b", 1e3);
    hand_r(&h, "R2", "b", "0", 3e3);
    trip(&h, "b", "0", false, -1, 0.3);
    const struct result *r = hand_run(&h, 0.5);
    near_abs(hand_figure(r, "F1", MEASURE_SHORTS_AT), 0.3, 1e-9, "s");
    near_rel(r->statistics.energy_drawn, 100 * (0.3 / 4e3 + 0.2 / 1e3), 1e-9, "J");
    handmade_free(&h);
}

/* Alternating current through a resistor: told at 52 ms, the arc ends at the next zero, 3 periods
 * and a half of 60 Hz. */
static void test_opens_at_a_zero(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    hand_sine(&h, "S", "a", "0", 100, 0);
    trip(&h, "a", "b", true, -1, 0.052);
    hand_r(&h, "R", "b", "0", 50);
    const struct result *r = hand_run(&h, 0.2);
    near_abs(hand_figure(r, "F1", MEASURE_OPENS_AT), 3.5 / 60, 1e-9, "s");
    near_rel(r->statistics.energy_drawn, sq(100) / 2 / 50 * 3.5 / 60, 1e-7, "J");
    handmade_free(&h);
}

/* Direct current has no zero: half a period later it is cut, and what the coil held is booked. */
static void test_direct_current_is_cut(void **state)
{
    (void)state;
    struct handmade h = handmade_new(50);
    hand_steady(&h, "S", "a", "0", 10);
    trip(&h, "a", "b", true, -1, 0.2);
    hand_l(&h, "L", "b", "c", 0.01, 0);
    hand_r(&h, "R", "c", "0", 10);
    const struct result *r = hand_run(&h, 0.4);
    near_abs(hand_figure(r, "F1", MEASURE_OPENS_AT), 0.21, 1e-9, "s");
    near_rel(r->statistics.energy_booked, 0.01 / 2, 1e-7, "J");
    handmade_free(&h);
}

/* Constant watts into a thermal body: T = Ta + P Rth (1 - exp(-t / (Rth heat))). */
static void test_trips_when_hot(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    static const struct warm_law body = {
        .ports = 1,
        .resistance = {100},
        .reference = 300,
        .body = {.heat = 0.01, .to_ambient = 1.0 / 40, .ambient = 300}};
    hand_steady(&h, "S", "a", "0", 10);
    hand_r(&h, "R", "a", "b", 0);
    hand_r(&h, "body", "b", "0", 100);
    int device = circuit_device(h.c, "body", "copper", &law_warm, &body);
    int kelvin = circuit_state(
        h.c, device, "temperature",
        (struct state){.cold = 300, .hot = 300, .range = 100, .is_temperature = true});
    circuit_port(h.c, device, "warming", circuit_point(h.c, "b"), circuit_point(h.c, "0"),
                 PORT_BASED);
    hand_r(&h, "beside", "a", "c", 100);
    trip(&h, "c", "0", false, kelvin, 330);
    const struct result *r = hand_run(&h, 1);
    near_rel(hand_figure(r, "F1", MEASURE_SHORTS_AT), -0.4 * log(1 - 30.0 / 40), 1e-6, "s");
    handmade_free(&h);
}

/* What is not reached does not happen. */
static void test_never(void **state)
{
    (void)state;
    struct handmade h = handmade_new(60);
    hand_sine(&h, "S", "a", "0", 100, 0);
    trip(&h, "a", "b", true, -1, 5);
    hand_r(&h, "R", "b", "0", 50);
    assert_true(isinf(hand_figure(hand_run(&h, 0.1), "F1", MEASURE_OPENS_AT)));
    handmade_free(&h);
}

/* Tripped in the first stage, still so in the second, at the very instant of the change too. */
static void test_stays_over_a_change(void **state)
{
    (void)state;
    const double told[] = {0.1, 0.3};
    for (int k = 0; k < 2; k++) {
        struct handmade h = handmade_new(60);
        hand_steady(&h, "S", "a", "0", 10);
        hand_r(&h, "R1", "a", "b", 1e3);
        hand_r(&h, "R2", "b", "0", 3e3);
        trip(&h, "b", "0", false, -1, told[k]);
        struct stage stage = {
            .circuit = h.c, .mains_switch = -1, .mains_source = -1, .mains_on = true};
        array_push(h.arena, &h.setup.stages, stage);
        stage.time = 0.3;
        array_push(h.arena, &h.setup.stages, stage);
        h.setup.frequency = h.frequency;
        h.setup.title = h.setup.variant = "by hand";
        struct run_options o = run_defaults();
        o.duration = 0.5;
        o.angle = 0;
        const struct result *r = run_simulate(h.arena, &h.setup, &o);
        assert_int_equal(r->status, STATUS_OK);
        near_abs(hand_figure(r, "F1", MEASURE_SHORTS_AT), told[k], 1e-9, "s");
        near_rel(r->statistics.energy_drawn, 100 * (told[k] / 4e3 + (0.5 - told[k]) / 1e3), 1e-9,
                 "J");
        handmade_free(&h);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_closes_at_a_time),
        cmocka_unit_test(test_opens_at_a_zero),
        cmocka_unit_test(test_direct_current_is_cut),
        cmocka_unit_test(test_trips_when_hot),
        cmocka_unit_test(test_never),
        cmocka_unit_test(test_stays_over_a_change),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
