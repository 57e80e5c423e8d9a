/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the usual tolerance and the holding of slow states add to the figures: order of the error,
 * and the places where a loose step would show first. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "handmade.h"
#include "laws.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

/* 12 V across a resistance that warms: one second with cycles of 1/hertz, no ripple in them. Its
 * end temperature. */
static double warmed(double hertz, double hold)
{
    static const struct warm_law law = {.ports = 1,
                                        .resistance = {10},
                                        .coefficient = 1 / 254.5,
                                        .reference = 298,
                                        .body = {.heat = 0.2, .to_ambient = 0.1, .ambient = 298}};
    struct handmade h = handmade_new(hertz);
    hand_steady(&h, "B", "a", "0", 12);
    hand_r(&h, "body", "a", "0", 10);
    int device = circuit_device(h.c, "body", "copper", &law_warm, &law);
    circuit_state(h.c, device, "T",
                  (struct state){.cold = 298, .hot = 298, .range = 100, .is_temperature = true});
    circuit_port(h.c, device, "warming", circuit_point(h.c, "a"), circuit_point(h.c, "0"),
                 PORT_BASED);
    const struct setup *setup = hand_setup(&h);
    h.setup.duration = 1;
    struct run_options o = run_defaults();
    o.angle = 0;
    o.tolerance = 1e-10;
    o.hold = hold;
    const struct result *r = run_simulate(h.arena, setup, &o);
    assert_int_equal(r->status, STATUS_OK);
    double kelvin = hand_figure(r, "body", MEASURE_TEMPERATURE);
    handmade_free(&h);
    return kelvin;
}

/* Half the cycle, a quarter of the error or less. */
static void holding_is_of_second_order(void **state)
{
    (void)state;
    double whole = warmed(60, -1), error[3];
    for (int k = 0; k < 3; k++) {
        error[k] = warmed(60 << k, 1e3) - whole;
        print_message("%d cycles a second: %.3e K off\n", 60 << k, error[k]);
    }
    assert_true(fabs(error[0]) > 1e-5); /* it was held, and the error is not rounding */
    for (int k = 1; k < 3; k++) assert_true(log2(error[k - 1] / error[k]) > 1.9);
    /* and nothing is held where the bounds say so */
    near_rel(warmed(60, 1e-9), whole, 1e-9, "K");
}

/* A straight rectifier charges a battery only while the sine is above it: `degrees` long in each
 * cycle, between two steps of the open circuit. The mean of (V sin - E)/R over it. */
static void short_humps_are_not_stepped_over(void **state)
{
    static const double degrees[] = {40, 5, 0.5};
    (void)state;
    for (int k = 0; k < 3; k++) {
        const double half = degrees[k] / 360 * PI, volts = 100, back = volts * cos(half), ohms = 10;
        struct handmade h = handmade_new(60);
        hand_sine(&h, "S", "a", "0", volts, 0);
        hand_diode(&h, "D", "a", "b", 0, 0);
        hand_r(&h, "R", "b", "c", ohms);
        hand_steady(&h, "B", "c", "0", back);
        hand_setup(&h);
        h.setup.duration = 0.5;
        struct run_options o = run_defaults();
        o.angle = 0;
        const struct result *r = run_simulate(h.arena, &h.setup, &o);
        assert_int_equal(r->status, STATUS_OK);
        double mean = volts / ohms / PI * (sin(half) - half * cos(half));
        near_rel(hand_figure(r, "D", MEASURE_AVERAGE_CURRENT), mean, 2e-5, "A");
        near_rel(hand_figure(r, "D", MEASURE_HIGHEST_CURRENT), (volts - back) / ohms, 5e-5, "A");
        handmade_free(&h);
    }
}

static const struct setup *shipped_setup(const char *name, const char *variant)
{
    struct diags *diags = diags_new(shop_arena());
    const char *path = arena_printf(shop_arena(), SOURCE_DIR "/scenarios/%s.yaml", name);
    const struct scenario *s = scenario_read(shop_arena(), diags, shop_catalogue(), path);
    const struct setup *setup = s ? scenario_setup(shop_arena(), diags, s, variant) : NULL;
    assert_non_null(setup);
    return setup;
}

static const struct result *shipped(const char *name, double seconds, double tolerance, double hold)
{
    struct run_options o = run_defaults();
    o.angle = 0.8; /* cycles end where watts neither begin nor end to be above their mean */
    o.duration = seconds;
    o.tolerance = tolerance;
    o.hold = hold;
    const struct result *r = run_simulate(shop_arena(), shipped_setup(name, NULL), &o);
    assert_int_equal(r->status, STATUS_OK);
    assert_false(r->statistics.audit_failed);
    return r;
}

/* The search for the worst angle holds what is slow for good; the filament of a series lamp, which
 * the surge itself heats, is none of it. */
static void worst_angle_is_that_of_moving_states(void **state)
{
    (void)state;
    const struct setup *setup = shipped_setup("first-power", "shorted on the lamp");
    const double chosen = run_worst_angle(shop_arena(), setup, NULL);
    double most = 0, at_chosen = 0;
    for (int k = 0; k < 24; k++) {
        struct run_options o = run_defaults();
        o.hot = 1;
        o.angle = k * PI / 12;
        o.duration = 2 / setup->frequency;
        o.tolerance = 1e-8;
        o.hold = -1;
        const struct result *r = run_simulate(shop_arena(), setup, &o);
        double peak = 0;
        for (int j = 0; j < r->figures.n; j++)
            if (r->figures.at[j].measure == MEASURE_INRUSH_PEAK_CURRENT)
                peak = larger(peak, r->figures.at[j].value);
        most = larger(most, peak);
        if (fabs(o.angle - chosen) < 1e-9) at_chosen = peak;
    }
    near_rel(at_chosen, most, 1e-4, "A");
}

/* Behind a choke and a tube that hardly conducts a wrong microampere would be kilovolts across the
 * network's 1 Gohm: a loose tolerance once made -177 V of this. */
static void choke_input_keeps_its_lowest_volts(void **state)
{
    (void)state;
    double fine =
        hand_figure(shipped("choke-input", 2.5, 1e-9, -1), "filament", MEASURE_LOWEST_VOLTAGE);
    assert_true(fine > -12 && fine < -5);
    near_rel(hand_figure(shipped("choke-input", 2.5, 0, 0), "filament", MEASURE_LOWEST_VOLTAGE),
             fine, 1e-4, "V");
}

/* A warm-up in which emission grows by some per cent a cycle. */
static void warm_up_held_against_nothing_held(void **state)
{
    static const enum measure extremes[] = {MEASURE_HIGHEST_VOLTAGE, MEASURE_LOWEST_VOLTAGE,
                                            MEASURE_HIGHEST_CURRENT, MEASURE_INVERSE_VOLTAGE};
    int cathodes = 0;
    (void)state;
    const struct result *usual = shipped("amplifier", 13, 0, 0),
                        *fine = shipped("amplifier", 13, 1e-8, -1);
    for (int k = 0; k < fine->figures.n; k++) {
        const struct figure *f = &fine->figures.at[k];
        for (int j = 0; j < 4; j++) {
            if (f->measure != extremes[j] || fabs(f->value) < 1e-3) continue;
            const struct figure *g = run_figure(usual, f->subject, f->measure);
            assert_non_null(g);
            near_rel_at(g->value, f->value, 1e-4, "", f->subject, __FILE__, __LINE__);
        }
        /* emission grows by some 2 % a kelvin */
        if (f->measure != MEASURE_TEMPERATURE || !strstr(f->subject, "cathode")) continue;
        const struct figure *g = run_figure(usual, f->subject, f->measure);
        assert_non_null(g);
        near_rel_at(g->value, f->value, 1e-5, "K", f->subject, __FILE__, __LINE__);
        cathodes++;
    }
    assert_true(cathodes > 0);
}

/* A figure as a user has it, against that of a fine run in which nothing is held or leapt over. */
static void near_fine(const char *name, const char *variant, double seconds, const char *subject,
                      enum measure measure, double limit)
{
    const struct setup *setup = shipped_setup(name, variant);
    double value[2];
    for (int fine = 0; fine < 2; fine++) {
        struct run_options o = run_defaults();
        o.angle = PI / 2;
        o.duration = seconds;
        o.hold = -fine;
        o.tolerance = fine ? 1e-8 : 0;
        o.every_cycle = fine;
        value[fine] = hand_figure(run_simulate(shop_arena(), setup, &o), subject, measure);
    }
    near_rel_at(value[0], value[1], limit, "", subject, __FILE__, __LINE__);
}

/* On a series lamp a bare filament stays dull: what it gives goes with its ripple. */
static void dull_filament_held_against_nothing_held(void **state)
{
    (void)state;
    near_fine("first-power", "shorted on the lamp", 12, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 2e-4);
}

/* A cold wire takes a surge: as long as that lasts it is not held. */
static void surge_into_cold_wires_is_not_held(void **state)
{
    (void)state;
    near_fine("first-power", "thermistor", 0.5, "T1.rectifier heater", MEASURE_HIGHEST_CURRENT,
              1e-4);
}

/* Highest values lie between steps and between their samples. */
static void tops_between_samples_are_found(void **state)
{
    (void)state;
    near_fine("ac-dc", "silicon", 2, "lamp.filament", MEASURE_TEMPERATURE, 1e-5);
    near_fine("vibrator", "buffer too large", 1, "mains", MEASURE_MAKE_CURRENT, 1e-4);
}

/* On a line turned down a bare filament stays so dull that emission goes by 5 % a kelvin: leaps must not
 * leave millikelvins behind. */
static void dull_filament_in_leaps(void **state)
{
    const struct setup *setup = shipped_setup("first-power", "on the dial");
    double watts[2];
    (void)state;
    for (int every = 0; every < 2; every++) {
        struct run_options o = run_defaults();
        o.angle = PI / 2;
        o.every_cycle = every;
        watts[every] =
            hand_figure(run_simulate(shop_arena(), setup, &o), "L1", MEASURE_DISSIPATION);
    }
    near_rel(watts[0], watts[1], 1e-5, "W");
}

/* The lamp's section of a rectifier's heater carries the pulses of the plate, that begin when it has
 * long been held: its ripple becomes another, and with it the highest that it comes to. */
static void wire_in_pulses_held_against_nothing_held(void **state)
{
    static const char wire[] = "V5 lamp section.heater wire";
    (void)state;
    near_rel(hand_figure(shipped("ac-dc", 40, 0, 0), wire, MEASURE_TEMPERATURE),
             hand_figure(shipped("ac-dc", 40, 1e-8, -1), wire, MEASURE_TEMPERATURE), 2e-5, "K");
}

/* A string with a thin wire, as it warms: while it moves and the others do not it would have all the
 * ripple; and leaps begin while wires move and their cathodes are held. */
static void string_held_against_nothing_held(void **state)
{
    (void)state;
    near_fine("ac-dc", "line at 125 V", 8, "V5 other section", MEASURE_HIGHEST_VOLTAGE, 1e-4);
    near_fine("ac-dc", NULL, 8, "V5", MEASURE_INRUSH_PEAK_CURRENT, 5e-4);
    near_fine("ac-dc", NULL, 8, "V5 lamp section.heater cathode", MEASURE_TEMPERATURE, 2e-5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(holding_is_of_second_order),
        cmocka_unit_test(short_humps_are_not_stepped_over),
        cmocka_unit_test(choke_input_keeps_its_lowest_volts),
        cmocka_unit_test(warm_up_held_against_nothing_held),
        cmocka_unit_test(dull_filament_held_against_nothing_held),
        cmocka_unit_test(surge_into_cold_wires_is_not_held),
        cmocka_unit_test(tops_between_samples_are_found),
        cmocka_unit_test(dull_filament_in_leaps),
        cmocka_unit_test(wire_in_pulses_held_against_nothing_held),
        cmocka_unit_test(string_held_against_nothing_held),
        cmocka_unit_test(worst_angle_is_that_of_moving_states),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
