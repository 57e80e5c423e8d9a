/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A cold-cathode rectifier asks for its starting volts once; while its gas still glows, 20 ms after
 * the last current (estimate), the arc's volts light it again. Behind a sine of crest U a
 * resistance R then gets (U sin x - 24 V)/R from the angle of striking to pi - asin(24/U): Ohm's
 * law. The circuits are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "shop.h"

#define ARC 24.0    /* [V] */
#define START 300.0 /* [V] */
#define CREST 400.0 /* [V] */
#define LOAD 5e3    /* [ohm] */
#define GLOW 0.02   /* [s] */

/* Mean amperes over a period when it strikes at `volts` of each half wave. */
static double mean_from(double volts)
{
    double from = asin(volts / CREST), to = PI - asin(ARC / CREST);
    return (CREST * (cos(from) - cos(to)) - ARC * (to - from)) / (2 * PI * LOAD);
}

static const struct result *run_from_zero(const char *text)
{
    struct run_options o = run_defaults();
    o.angle = 0;
    const struct result *r = run_simulate(shop_arena(), shop_setup(text, NULL), &o);
    assert_int_equal(r->status, STATUS_OK);
    assert_false(r->statistics.audit_failed);
    return r;
}

static const struct result *one_plate(double hertz)
{
    return run_from_zero(
        arena_printf(shop_arena(),
                     "format: 1\nreference: B-\nmains: {voltage: %.12g V, frequency: %.12g Hz, "
                     "resistance: 0 ohm,\n  across: [line, B-], closes at: zero}\n"
                     "run: {for: 2 s}\nparts:\n"
                     "  V1: {is: rectifier, law: gas, drop: 24 V at 75 mA, slope: 0 ohm, starting "
                     "voltage: 300 V,\n    plates: [line], cathode: out}\n"
                     "  R1: {is: resistor, across: [out, B-], resistance: %g ohm}\n",
                     CREST / sqrt(2), hertz, LOAD));
}

/* Dark from pi - a to 2 pi + a, a = asin(24/U): 20 ms at 26.0 Hz. */
static void the_glow_lasts_20_ms(void **state)
{
    const double a = asin(ARC / CREST), edge = (PI + 2 * a) / (2 * PI * GLOW);
    (void)state;
    near_abs(edge, 25.96, 0.01, "Hz");
    for (int i = 0; i < 2; i++) {
        double hertz = edge * (i ? 1.02 : 0.98);
        const struct result *r = one_plate(hertz);
        near_rel(shop_figure(r, "V1", MEASURE_AVERAGE_CURRENT), mean_from(i ? ARC : START), 1e-6,
                 "A");
        /* the first time it always takes the starting volts */
        near_rel(shop_figure(r, "V1", MEASURE_PEAK_DURATION),
                 (PI - a - asin(START / CREST)) / (2 * PI * hertz), 1e-5, "s");
    }
}

/* Below its starting volts it never lights. */
static void too_few_volts_light_nothing(void **state)
{
    (void)state;
    const struct result *r = run_from_zero(
        "format: 1\nreference: B-\nmains: {voltage: 212 V, frequency: 60 Hz, across: [line, B-],\n"
        "  closes at: zero}\nrun: {for: 0.5 s}\nparts:\n"
        "  V1: {is: rectifier, type: 0Z4-G, plates: [line], cathode: out}\n"
        "  R1: {is: resistor, across: [out, B-], resistance: 5 kohm}\n");
    near_abs(shop_figure(r, "V1", MEASURE_HIGHEST_CURRENT), 0, 1e-6, "A");
}

/* One gas for both plates: the first is lit by 300 V, the second, half a period later, by the arc's
 * 24 V, at 15 Hz as well: dark is only the time between the half waves. */
static void one_plate_lights_the_other(void **state)
{
    const double a = asin(ARC / CREST), omega = 2 * PI * 15;
    (void)state;
    const struct result *r = run_from_zero(arena_printf(
        shop_arena(),
        "format: 1\nmains: {voltage: 100 V, frequency: 15 Hz, resistance: 0 ohm, closes at: zero}\n"
        "run: {for: 2 s}\nparts:\n"
        "  T1:\n    is: power transformer\n    ideal: yes\n"
        "    primary: {rated: 100 V, resistance: 0 ohm}\n"
        "    windings:\n      hv: {across: [p1, chassis, p2], open circuit: [%.12g V, %.12g V],\n"
        "        resistance: [0 ohm, 0 ohm]}\n"
        "  V1: {is: rectifier, law: gas, drop: 24 V at 75 mA, slope: 0 ohm, starting voltage: "
        "300 V,\n    plates: [p1, p2], cathode: out}\n"
        "  R1: {is: resistor, across: [out, chassis], resistance: %g ohm}\n",
        CREST / sqrt(2), CREST / sqrt(2), LOAD));
    near_rel(shop_figure(r, "V1.1", MEASURE_PEAK_DURATION), (PI - a - asin(START / CREST)) / omega,
             1e-5, "s");
    near_rel(shop_figure(r, "V1.2", MEASURE_PEAK_DURATION), (PI - 2 * a) / omega, 1e-5, "s");
    near_rel(shop_figure(r, "V1.1", MEASURE_AVERAGE_CURRENT), mean_from(ARC), 1e-6, "A");
    near_rel(shop_figure(r, "V1.2", MEASURE_AVERAGE_CURRENT), mean_from(ARC), 1e-6, "A");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_glow_lasts_20_ms),
                                       cmocka_unit_test(too_few_volts_light_nothing),
                                       cmocka_unit_test(one_plate_lights_the_other)};
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
