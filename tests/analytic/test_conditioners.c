/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is put in the line of a set to lower it: a bucking winding, a resistance in the cord, a
 * tungsten ballast. Exact solutions of the stated circuits; the circuits are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "lamp_law.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

/* A 6.3 V winding on a 117 V primary at the outlet, in series with the line and against it (or with
 * it: boosting). The load's amperes go back through the core, n of them through the primary's
 * copper: V = 117 (1 - n)/(1 + (n^2 Rp + Rs)/R). */
static void a_winding_bucks_or_boosts_the_line(void **state)
{
    const double n = 6.3 / 117, primary = 40, secondary = 0.15, load = 150;
    (void)state;
    for (int sense = 1; sense >= -1; sense -= 2) {
        const struct result *r = shop_run(
            arena_printf(shop_arena(),
                         "format: 1\n"
                         "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, across: "
                         "[outlet, neutral]}\nrun: {for: 1 s}\nparts:\n"
                         "  T2:\n    is: power transformer\n    ideal: yes\n"
                         "    primary: {across: [outlet, neutral], rated: 117 V, resistance: %g "
                         "ohm}\n    windings:\n"
                         "      bucking: {across: [%s], open circuit: 6.3 V, resistance: %g ohm}\n"
                         "  R1: {is: resistor, across: [line, neutral], resistance: %g ohm}\n",
                         primary, sense > 0 ? "outlet, line" : "line, outlet", secondary, load),
            0, NULL, NULL);
        double wanted = 117 * (1 - sense * n) / (1 + (n * n * primary + secondary) / load),
               volts = shop_figure(r, "R1", MEASURE_RMS_VOLTAGE);
        near_rel(volts, wanted, 1e-6, "V");
        near_abs(volts, sense > 0 ? 111 : 123, 1, "V");
    }
}

/* The same with a real transformer: core and leakage cost little. */
static void a_real_transformer_bucks_as_well(void **state)
{
    (void)state;
    const struct result *r =
        shop_run("format: 1\n"
                 "mains: {voltage: 117 V, frequency: 60 Hz, across: [outlet, neutral]}\n"
                 "run: {for: 2 s}\nparts:\n"
                 "  T2:\n    is: power transformer\n"
                 "    primary: {across: [outlet, neutral], rated: 117 V, resistance: 40 ohm}\n"
                 "    windings:\n      bucking: {across: [outlet, line], open circuit: 6.3 V, "
                 "resistance: 0.15 ohm}\n"
                 "  R1: {is: resistor, across: [line, neutral], resistance: 150 ohm}\n",
                 0, NULL, NULL);
    near_abs(shop_figure(r, "R1", MEASURE_RMS_VOLTAGE), 110.7, 1, "V");
}

/* A resistance cord is judged by its watts. */
static void a_resistance_in_the_cord(void **state)
{
    (void)state;
    const struct result *r = shop_run(
        "format: 1\n"
        "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, across: [outlet, "
        "neutral]}\nrun: {for: 0.5 s}\nparts:\n"
        "  cord: {is: resistor, across: [outlet, line], resistance: 160 ohm, rated: 15 W}\n"
        "  string: {is: resistor, across: [line, neutral], resistance: 230 ohm}\n",
        0, NULL, NULL);
    near_rel(shop_figure(r, "string", MEASURE_RMS_VOLTAGE), 117 * 230 / 390.0, 1e-6, "V");
    near_rel(shop_figure(r, "cord", MEASURE_DISSIPATION), sq(117 / 390.0) * 160, 1e-6, "W");
}

/* A ballast of tungsten holds the current of a string better than a resistor, whose current goes
 * with the line: here with its power of less than 0.8, by the lamp's own balance. */
static void a_tungsten_ballast_steadies_a_string(void **state)
{
    static const double lines[] = {0.9 * 117, 1.1 * 117};
    double amperes[2];
    struct lamp_rating rating = {60, 0.3, 2300, 0};
    struct lamp_law l = lamp_law_of(&rating, 298.15);
    (void)state;
    for (int k = 0; k < 2; k++) {
        const struct result *r = shop_run(
            arena_printf(shop_arena(),
                         "format: 1\n"
                         "mains: {voltage: %.15g V, frequency: 60 Hz, resistance: 0 ohm, across: "
                         "[outlet, neutral]}\nrun: {for: 3 s, ambient: 25 C}\nparts:\n"
                         "  ballast: {is: lamp, across: [outlet, line], rated: 60 V 0.3 A, "
                         "temperature: 2026.85 C, gas loss: 0 %%}\n"
                         "  string: {is: resistor, across: [line, neutral], resistance: 190 ohm}\n",
                         lines[k]),
            0, NULL, NULL);
        amperes[k] = shop_figure(r, "string", MEASURE_RMS_CURRENT);
        double volts = shop_figure(r, "ballast", MEASURE_RMS_VOLTAGE), c[PORT_COEFFICIENTS],
               kelvin = lamp_settled_kelvin(&l, volts);
        law_lamp.prepare(&l, &kelvin, NULL, c);
        near_rel(amperes[k], volts * c[1], 0.003, "A");
    }
    assert_true(amperes[1] / amperes[0] < pow(1.1 / 0.9, 0.8));
    printf("line +-10 %%: current %.1f %% to %.1f %%\n", 100 * amperes[0] / 0.3 - 100,
           100 * amperes[1] / 0.3 - 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_winding_bucks_or_boosts_the_line),
        cmocka_unit_test(a_real_transformer_bucks_as_well),
        cmocka_unit_test(a_resistance_in_the_cord),
        cmocka_unit_test(a_tungsten_ballast_steadies_a_string),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
