/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The heat of a capacitor's can against closed forms: heat dT/dt = P - (T - Ta)/Rth, with P
 * constant, or P = V^2 G e^(b (T - Tr)) across a steady voltage. Constants are invented; small heat
 * capacities keep the runs short. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_integration.h>

#include "capacitor.h"
#include "handmade.h"
#include "near.h"
#include "numbers.h"
#include "written.h"

static const struct can_law body = {
    .reference = 293, .ambient = 303, .thermal_resistance = 20, .heat = 2.5e-3};
static const double tau = 0.05; /* [s] */
static const double volts = 300;

/* A steady source with the leakage of a can across it, or with resistors the can only watches. */
struct bench {
    struct handmade h;
    struct can_law law;
    int device;
};

static void add_port(struct bench *b, const char *name, double siemens, double growth)
{
    int a = circuit_point(b->h.c, "a"), to = circuit_point(b->h.c, "0");
    b->law.port[b->law.ports++] = (struct can_port){.siemens = siemens, .growth = growth};
    circuit_resistor(b->h.c, name, "leakage", a, to, 1 / siemens);
    circuit_port(b->h.c, b->device, name, a, to, PORT_BASED);
}

static void set_bench(struct bench *b)
{
    b->h = handmade_new(60);
    b->law = body;
    hand_steady(&b->h, "S", "a", "0", volts);
    b->device = circuit_device(b->h.c, "can", "can", &law_can, &b->law);
    circuit_state(
        b->h.c, b->device, "T",
        (struct state){
            .cold = body.ambient, .hot = body.ambient, .range = 100, .is_temperature = true});
}

/* The temperature at the end of a run [K]; it only rises. */
static double warmth(double siemens, double growth, double seconds)
{
    struct bench b;
    set_bench(&b);
    add_port(&b, "leak", siemens, growth);
    double kelvin = hand_figure(hand_run(&b.h, seconds), "can", MEASURE_TEMPERATURE);
    handmade_free(&b.h);
    return kelvin;
}

/* Two watts in two sections: T = Ta + P Rth (1 - e^(-t/tau)). */
static void test_step(void **state)
{
    (void)state;
    for (double t = 0.01; t < 0.5; t *= 2.1) {
        struct bench b;
        set_bench(&b);
        add_port(&b, "first", 0.5 / sq(volts), 0);
        add_port(&b, "second", 1.5 / sq(volts), 0);
        double rise = hand_figure(hand_run(&b.h, t), "can", MEASURE_TEMPERATURE) - body.ambient;
        near_rel(rise, 2 * 20 * (1 - exp(-t / tau)), 1e-7, "K");
        handmade_free(&b.h);
    }
}

/* Below the critical leakage it settles where the watts balance. */
static void test_balance(void **state)
{
    (void)state;
    const double b = log(2.5) / 40;
    for (double share = 0.2; share < 0.85; share += 0.2) {
        double g = share * can_critical_leakage(&body, b, volts), t = body.ambient;
        for (int k = 0; k < 1000; k++)
            t = body.ambient +
                body.thermal_resistance * sq(volts) * g * exp(b * (t - body.reference));
        near_abs(warmth(g, b, 60 * tau), t, 1e-4, "K");
        assert_true(t < body.ambient + 1 / b);
    }
}

/* The leakage found by halving between what settles and what runs away, and the closed form:
 * e^(-1 - b (Ta - Tr))/(b Rth V^2), reached at Ta + 1/b. Just above it the temperature lingers for
 * pi tau sqrt(2/excess). */
static void test_critical_leakage(void **state)
{
    (void)state;
    const double times[] = {2, 2.5, 4};
    for (int k = 0; k < 3; k++) {
        double b = log(times[k]) / 40, low = 0, high = 1e-3 / volts * 10;
        while (high - low > 1e-3 * high) {
            double middle = (low + high) / 2;
            bool ran = warmth(middle, b, 200 * tau) > body.ambient + 3 / b;
            *(ran ? &high : &low) = middle;
        }
        near_rel((low + high) / 2, can_critical_leakage(&body, b, volts), 3e-3, "S");
    }
}

/* At the critical point the balance holds, and its slope is zero. */
static void test_critical_point(void **state)
{
    (void)state;
    struct can_law law = body;
    const double b = 0.03, v = volts;
    law.ports = 1;
    law.port[0] = (struct can_port){can_critical_leakage(&law, b, volts), b, 0, {{0, 0}}};
    double t = law.ambient + 1 / b, c[DEVICE_PORTS * PORT_COEFFICIENTS], rate;
    struct device_slopes d = {0};
    law_can.prepare(&law, &t, NULL, c);
    law_can.rates(&law, &v, &t, c, &rate);
    law_can.slopes(&law, &v, &t, NULL, c, &d);
    near_abs(rate, 0, 1e-9, "K/s");
    near_abs(d.ds_s[0][0], 0, 1e-9, "1/s");
    assert_true(isinf(can_critical_leakage(&law, 0, volts)));
}

/* --- as a part ------------------------------------------------------------------------------ */

#define LEAKY                                                                                      \
    "parts:\n"                                                                                     \
    "  B1: {is: battery, across: [a, '0'], voltage: 300 V, resistance: 0 ohm}\n"                   \
    "  C1: {is: capacitor, across: [a, '0'], value: 8 uF, rated: 450 V, make: dry, starts at: "    \
    "300 V,\n"                                                                                     \
    "       series resistance: 0 ohm, condition: leaky, leakage: 20 mA at 300 V, leakage grows: "  \
    "3 times by 60 C,\n"                                                                           \
    "       thermal resistance: 20 K/W, heat capacity: 0.05 J/K, short resistance: 100 ohm}\n"

static double seconds_per_kelvin(double t, void *context)
{
    const double *b = context;
    return 0.05 / (6 * exp(*b * (t - 298.15)) - (t - 298.15) / 20);
}

/* It runs away and shorts when its paste boils at 115 C: the time is the integral of
 * heat dT/(P(T) - (T - Ta)/Rth). */
static void test_runs_away(void **state)
{
    (void)state;
    struct written w = written_run(LEAKY "run: {for: 1 s, ambient: 25 C}\n");
    double b = log(3) / 40, wanted, error;
    size_t calls;
    gsl_function f = {seconds_per_kelvin, &b};
    gsl_integration_qng(&f, 298.15, 388.15, 0, 1e-10, &wanted, &error, &calls);
    near_rel(hand_figure(w.r, "C1", MEASURE_SHORTS_AT), wanted, 1e-6, "s");
    near_rel(capacitor_leaks(written_part(&w, "C1"), 300, 298.15), 0.02, 1e-12, "A");
    /* 20 mA is over what the can sheds at 300 V: 1/(e b Rth V) */
    near_rel(capacitor_leak_most(written_part(&w, "C1"), 300), 1 / (exp(1) * b * 20 * 300), 1e-9,
             "A");
    written_free(&w);
}

/* What stands at 0.9 of the critical leakage settles and never shorts. */
static void test_settles(void **state)
{
    (void)state;
    double b = log(3) / 40;
    struct arena *arena = arena_new();
    const char *text = arena_printf(
        arena,
        "parts:\n"
        "  B1: {is: battery, across: [a, '0'], voltage: 300 V, resistance: 0 ohm}\n"
        "  C1: {is: capacitor, across: [a, '0'], value: 8 uF, make: dry, starts at: 300 V,\n"
        "       series resistance: 0 ohm, condition: leaky, leakage: %.12g mA at 300 V,\n"
        "       leakage grows: 3 times by 60 C, thermal resistance: 20 K/W, heat capacity: 0.005 "
        "J/K}\n"
        "run: {for: 5 s}\n",
        0.9e3 / (exp(1) * b * 20 * 300));
    struct written w = written_run(text);
    assert_true(isinf(hand_figure(w.r, "C1", MEASURE_SHORTS_AT)));
    assert_true(hand_figure(w.r, "C1", MEASURE_TEMPERATURE) < 298.15 + 1 / b);
    written_free(&w);
    arena_free(arena);
}

/* Two sections in one can, whose own heat the first tells: the watts of both warm it. */
static void test_shared_can(void **state)
{
    (void)state;
    struct written w = written_run(
        "parts:\n"
        "  B1: {is: battery, across: [a, '0'], voltage: 100 V, resistance: 0 ohm}\n"
        "  C1: {is: capacitor, across: [a, '0'], value: 8 uF, make: dry, starts at: 100 V,\n"
        "       series resistance: 0 ohm, leakage: 10 kohm, leakage grows: 1 times by 60 C,\n"
        "       thermal resistance: 10 K/W, heat capacity: 0.02 J/K}\n"
        "  C2: {is: capacitor, across: [a, '0'], value: 8 uF, make: dry, starts at: 100 V, can: "
        "C1,\n"
        "       series resistance: 0 ohm, leakage: 5 kohm, leakage grows: 1 times by 60 C}\n"
        "run: {for: 0.3 s}\n");
    near_rel(hand_figure(w.r, "C1", MEASURE_TEMPERATURE) - 298.15, 30 * (1 - exp(-1.5)), 1e-7, "K");
    assert_null(run_figure(w.r, "C2", MEASURE_TEMPERATURE));
    assert_string_equal(capacitor_can(written_part(&w, "C2")), "C1");
    near_rel(hand_figure(w.r, "C2", MEASURE_DISSIPATION), 2, 1e-9, "W");
    written_free(&w);
}

/* The series resistance warms the can: 10 V RMS of 60 Hz through 100 uF and 10 ohm, after whole
 * cycles of a body much slower than they are. */
static void test_series_heat(void **state)
{
    (void)state;
    struct written w = written_run(
        "mains: {voltage: 10 V, frequency: 60 Hz, across: [a, '0'], resistance: 0 ohm, closes at: "
        "zero}\n"
        "parts:\n"
        "  C1: {is: capacitor, across: [a, '0'], value: 100 uF, make: modern, series resistance: "
        "10 "
        "ohm,\n"
        "       leakage: none, condition: dried out, value now: 100 uF, series resistance now: 10 "
        "ohm,\n"
        "       thermal resistance: 10 K/W, heat capacity: 1 J/K}\n"
        "run: {for: 2 s}\n");
    double watts = sq(10 / hypot(10, 1 / (2 * PI * 60 * 100e-6))) * 10;
    near_rel(hand_figure(w.r, "C1", MEASURE_DISSIPATION), watts, 1e-6, "W");
    near_rel(hand_figure(w.r, "C1", MEASURE_TEMPERATURE) - 298.15, watts * 10 * (1 - exp(-0.2)),
             5e-3, "K");
    written_free(&w);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_step),
        cmocka_unit_test(test_balance),
        cmocka_unit_test(test_critical_leakage),
        cmocka_unit_test(test_critical_point),
        cmocka_unit_test(test_runs_away),
        cmocka_unit_test(test_settles),
        cmocka_unit_test(test_shared_can),
        cmocka_unit_test(test_series_heat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
