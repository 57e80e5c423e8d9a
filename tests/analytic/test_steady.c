/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The periodic steady state that is searched for: against a closed form, and against runs that wait
 * for it. The circuits are invented. */
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
#include "why.h"

static struct run_options hot(double seconds, bool steady)
{
    struct run_options o = run_defaults();
    o.hot = 1;
    o.angle = PI / 2;
    o.duration = seconds;
    o.until_settled = o.steady = steady;
    return o;
}

static const struct result *run(const struct setup *setup, const struct run_options *o)
{
    const struct result *r = run_simulate(shop_arena(), setup, o);
    if (r->status != STATUS_OK) fail_msg("run failed: %s", why(r));
    assert_false(r->statistics.audit_failed);
    return r;
}

static void keep_state(void *context, double t, const struct equations *eq, const double *y)
{
    (void)t;
    *(double *)context = y[eq->r->nw];
}

/* 4 W of 60 Hz in a constant resistance with 20 K/W to the room, a time constant of two minutes: at
 * a zero of the line T = Ta + P Rth (1 - 1 / (1 + x^2)), x = 2 w tau, from T' of a sine squared. */
static void warm_body(void **state)
{
    static const struct warm_law law = {
        .ports = 1,
        .resistance = {100},
        .reference = 298,
        .body = {.heat = 6, .to_ambient = 1.0 / 20, .ambient = 298}};
    struct handmade h = handmade_new(60);
    double kelvin = 0, x = 2 * 2 * PI * 60 * 120;
    (void)state;
    hand_sine(&h, "S", "a", "0", sqrt(2 * 4 * 100), 0);
    hand_r(&h, "body", "a", "0", 100);
    int device = circuit_device(h.c, "body", "copper", &law_warm, &law);
    circuit_state(h.c, device, "temperature",
                  (struct state){.cold = 298, .hot = 340, .range = 100, .is_temperature = true});
    circuit_port(h.c, device, "warming", circuit_point(h.c, "a"), circuit_point(h.c, "0"),
                 PORT_BASED);
    hand_watch(&h, "a");
    struct run_options o = hot(30, true);
    o.angle = 0;
    o.observe = keep_state;
    o.observe_context = &kelvin;
    o.observe_every = 1.0 / 60;
    const struct result *r = run(hand_setup(&h), &o);
    assert_true(r->statistics.steady && r->end < 0.7);
    near_abs(kelvin, 298 + 80 * (1 - 1 / (1 + sq(x))), 2e-4, "K");
    handmade_free(&h);
}

/* A series string off its rated line: heaters, cathodes and volts against a run that waits ten time
 * constants for them. */
static void heater_string(void **state)
{
    static const char text[] =
        "format: 1\nreference: B-\nmains: {voltage: 104 V, frequency: 60 Hz, resistance: 1 ohm, "
        "across: [line, B-]}\nrun: {for: 30 s}\nparts:\n"
        "  H1: {is: heater, across: [line, A], tube: 35Z5-GT, of: V1}\n"
        "  H2: {is: heater, across: [A, B-], rated: 75 V 0.15 A}\n"
        "  V1: {is: rectifier, type: 35Z5-GT, plates: [line], cathode: B+}\n"
        "  C1: {is: capacitor, across: [B+, B-], value: 30 uF, make: modern}\n"
        "  L1: {is: choke, across: [B+, C], inductance: 5 H, resistance: 300 ohm}\n"
        "  C2: {is: capacitor, across: [C, B-], value: 30 uF, make: modern}\n"
        "  R1: {is: resistor, across: [C, B-], resistance: 2 kohm}\n";
    static const struct {
        const char *subject;
        enum measure measure;
    } figures[] = {{"C1", MEASURE_SETTLED_VOLTAGE}, {"C1", MEASURE_RIPPLE_RMS},
                   {"C2", MEASURE_SETTLED_VOLTAGE}, {"C2", MEASURE_RMS_CURRENT},
                   {"mains", MEASURE_LINE_CURRENT}, {"R1", MEASURE_DISSIPATION}};
    (void)state;
    const struct setup *setup = shop_setup(text, NULL);
    struct run_options search = hot(30, true), wait = hot(150, false);
    const struct result *found = run(setup, &search), *waited = run(setup, &wait);
    assert_true(found->statistics.steady && !waited->statistics.steady && found->end < 0.7);
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++)
        near_rel(shop_figure(found, figures[i].subject, figures[i].measure),
                 shop_figure(waited, figures[i].subject, figures[i].measure), 2e-5,
                 measure_table[figures[i].measure].name);
}

/* A barretter is far from its place after half a second, and steep there: what a run of 150 s waits
 * for. */
static void barretter(void **state)
{
    static const char text[] =
        "format: 1\nreference: B-\nmains: {voltage: 127 V, frequency: 60 Hz, resistance: 1 ohm, "
        "across: [line, B-]}\nrun: {for: 30 s}\nparts:\n"
        "  U1: {is: barretter, across: [line, A], rated: 0.3 A, range: 32 V to 66 V}\n"
        "  H1: {is: heater, across: [A, B], rated: 25 V 0.3 A}\n"
        "  H2: {is: heater, across: [B, C], rated: 25 V 0.3 A}\n"
        "  H3: {is: heater, across: [C, B-], rated: 18.9 V 0.3 A}\n"
        "  R1: {is: resistor, across: [line, B-], resistance: 2 kohm}\n";
    (void)state;
    const struct setup *setup = shop_setup(text, NULL);
    struct run_options search = hot(30, true), wait = hot(150, false);
    const struct result *found = run(setup, &search), *waited = run(setup, &wait);
    assert_true(found->statistics.steady && found->end < 0.7);
    near_rel(shop_figure(found, "H1", MEASURE_RMS_VOLTAGE),
             shop_figure(waited, "H1", MEASURE_RMS_VOLTAGE), 2e-5, "V");
}

static const char half_wave[] =
    "format: 1\nreference: B-\n"
    "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, across: [line, B-]}\n"
    "run: {for: 5 s}\nparts:\n"
    "  R1: {is: resistor, across: [line, AC in], resistance: 30 ohm}\n"
    "  D1: {is: rectifier, type: ideal, plates: [AC in], cathode: B+}\n"
    "  C1: {is: capacitor, across: [B+, B-], value: 20 uF, rated: 200 V, make: film, leakage: "
    "none}\n"
    "  R2: {is: resistor, across: [B+, B-], resistance: 3 kohm}\n"
    "variants:\n"
    "  shorts later:\n"
    "    C1: {condition: shorts at a time, shorts at: 2.5 s, short resistance: 1 ohm}\n";

/* What happens at a time of its own is waited for. */
static void waits_for_a_trip(void **state)
{
    (void)state;
    struct run_options o = hot(5, true);
    const struct result *sound = run(shop_setup(half_wave, NULL), &o),
                        *shorted = run(shop_setup(half_wave, "shorts later"), &o);
    assert_true(sound->end < 0.7 && shorted->end > 2.5 && shorted->end < 4);
    assert_true(sound->statistics.steady && shorted->statistics.steady);
    assert_true(shop_figure(sound, "B+", MEASURE_SETTLED_VOLTAGE) > 100);
    /* the mean of a half-wave rectified sine, shared by 30 and 1 ohm */
    near_rel(shop_figure(shorted, "B+", MEASURE_SETTLED_VOLTAGE), 117 * sqrt(2) / PI / 31, 1e-3,
             "V");
}

/* A second source of 61 Hz: no cycle is like the one before, so nothing is searched for, and the
 * run ends with its time. */
static void no_cycle(void **state)
{
    struct handmade h = handmade_new(60);
    (void)state;
    hand_sine(&h, "S", "a", "0", 10, 0);
    hand_sine(&h, "T", "b", "a", 10, 0);
    h.c->waveforms.at[1].frequency = 61;
    hand_r(&h, "R", "b", "0", 100);
    hand_c(&h, "C", "b", "0", 1e-6, 0);
    hand_watch(&h, "b");
    struct run_options o = hot(0.9, true);
    const struct result *r = run(hand_setup(&h), &o);
    assert_false(r->statistics.steady);
    near_abs(r->end, 0.9, 1e-9, "s");
    handmade_free(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(warm_body, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(heater_string, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(barretter, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(waits_for_a_trip, shop_open, shop_close),
        cmocka_unit_test_setup_teardown(no_cycle, shop_open, shop_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
