/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands between wall and plug, against the arithmetic of ideal turns and of copper. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "arena.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

#define TEXT(...) arena_printf(shop_arena(), __VA_ARGS__)

static const struct result *with(const char *through, const char *load, double volts)
{
    return shop_run(TEXT("format: 1\ntitle: a resistor on the bench\nreference: neutral\n"
                         "mains: {voltage: %g V, frequency: 60 Hz, resistance: 0 ohm, through: "
                         "{%s}}\nparts:\n"
                         "  R1: {is: resistor, across: [line, neutral], resistance: %s}\n"
                         "run: {for: 3 s}\n",
                         volts, through, load),
                    1, NULL, NULL);
}

/* A winding of R ohms, tapped at the share a: the tap sees a (1 - a) R, for its two parts carry a i
 * and (1 - a) i. The brush adds 0.1 ohm. What magnetises the core loses next to nothing in R. */
static void tap_of_one_winding(void **state)
{
    (void)state;
    for (double volts = 30; volts <= 140; volts += 22) {
        const double share = volts / 120, copper = fabs(share * (1 - share)) * 2 + 0.1;
        const struct result *r = with(
            TEXT("variable transformer: {set to: %g V, resistance: 2 ohm}", volts), "40 ohm", 120);
        near_rel(shop_figure(r, "R1", MEASURE_RMS_VOLTAGE), volts * 40 / (40 + copper), 1e-3, "V");
    }
}

/* The watts drawn from the wall are those of the load, of the copper and of the core. */
static void wall_gives_it_all(void **state)
{
    const struct result *r =
        with("isolation transformer: 150 VA, variable transformer: 60 V", "60 ohm", 120);
    (void)state;
    near_rel(shop_figure(r, "mains", MEASURE_LINE_POWER),
             shop_figure(r, "R1", MEASURE_DISSIPATION) +
                 shop_figure(r, "mains isolation transformer", MEASURE_DISSIPATION) +
                 shop_figure(r, "mains variable transformer", MEASURE_DISSIPATION),
             1e-6, "W");
    assert_true(shop_figure(r, "R1", MEASURE_DISSIPATION) > 50);
}

/* 3.5 ohm on either side, as many turns: 7 ohm and the leakage in series with the load. */
static void isolation_keeps_its_volts(void **state)
{
    const char *through = "isolation transformer: {rated: 150 VA, resistance: 3.5 ohm, output "
                          "resistance: 3.5 ohm}";
    const double leakage = 0.02 * sq(120) / 150; /* [ohm] at 60 Hz */
    const struct result *r = with(through, "120 ohm", 120);
    (void)state;
    near_rel(shop_figure(r, "R1", MEASURE_RMS_VOLTAGE), 120 * 120 / hypot(120 + 7, leakage), 5e-3,
             "V");
    r = with(through, "100 kohm", 120);
    near_rel(shop_figure(r, "R1", MEASURE_RMS_VOLTAGE), 120, 2e-3, "V");
}

/* Earthing one end of the set short-circuits nothing: what is between the windings passes a few
 * microamperes, 2 pi f C V at most. */
static void isolation_isolates(void **state)
{
    const struct result *r = shop_run(
        "format: 1\ntitle: earthed end\nreference: line\n"
        "mains: {voltage: 120 V, frequency: 60 Hz, through: {isolation transformer: 150 VA}}\n"
        "parts:\n"
        "  R1: {is: resistor, across: [line, neutral], resistance: 1 kohm}\n"
        "  R2: {is: resistor, across: [line, earth], resistance: 1 ohm}\n"
        "run: {for: 1 s}\n",
        1, NULL, NULL);
    double amperes = shop_figure(r, "R2", MEASURE_RMS_CURRENT);
    (void)state;
    assert_true(amperes > 1e-6 && amperes < 1.02 * 2 * 120 * 2 * PI * 60 * 1e-9);
}

static void mistakes(void **state)
{
    static const char *const wrong[][2] = {
        {"variable transformer: 160 V", "at most 125 % of the line"},
        {"variable transformer: {rated: 5 A}", "`set to` of mains variable transformer is missing"},
        {"isolation transformer: 5 A", "the rating is not understood"},
        {"isolation transformer: {rated: 150 VA, output: [a, b]}", "needs no `output`"},
    };
    (void)state;
    for (size_t k = 0; k < sizeof wrong / sizeof wrong[0]; k++)
        shop_refused(
            TEXT("format: 1\ntitle: bench\nmains: {voltage: 117 V, through: {%s}}\nparts:\n"
                 "  R1: {is: resistor, across: [line, neutral], resistance: 60 ohm}\n"
                 "run: {for: 1 s}\n",
                 wrong[k][0]),
            wrong[k][1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tap_of_one_winding),
        cmocka_unit_test(wall_gives_it_all),
        cmocka_unit_test(isolation_keeps_its_volts),
        cmocka_unit_test(isolation_isolates),
        cmocka_unit_test(mistakes),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
