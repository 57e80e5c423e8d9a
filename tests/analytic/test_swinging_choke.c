/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chokes whose inductance falls with their current, against closed forms. */
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

/* Steady volts across a coil without copper: the flux is V t, so of `20 H without current, 10 H at
 * 60 mA` i = x/L0 (1 + (x/xs)^2) with 1 + 3 (x/xs)^2 = 2 where x (1 + 1/3)/L0 = 60 mA. */
static void current_runs_away(void **state)
{
    const double knee = sqrt(3) * 20 * 0.060 / (4 / 3.0);
    (void)state;
    for (double volts = 20; volts < 200; volts += 50) {
        const struct result *r = shop_run(
            TEXT("format: 1\ntitle: coil on a battery\nparts:\n"
                 "  B1: {is: battery, across: [a, chassis], voltage: %g V, resistance: 0 ohm}\n"
                 "  L1: {is: choke, across: [a, chassis], inductance: '20 H at 0 mA, 10 H at 60 "
                 "mA', resistance: 0 ohm}\n"
                 "run: {for: 0.05 s}\n",
                 volts),
            1, NULL, NULL);
        double x = volts * 0.05;
        near_rel(shop_figure(r, "L1", MEASURE_HIGHEST_CURRENT), x / 20 * (1 + sq(x / knee)), 1e-6,
                 "A");
    }
}

/* A volt of hum beside direct current sees L at that current: of `10 H at 60 mA` 15 H with none,
 * 10 H with 60 mA; between and beyond from i = x/L0 (1 + (x/xs)^2). */
static void ripple_sees_less_inductance(void **state)
{
    static const struct {
        double amperes, henries;
    } rows[] = {{1e-5, 15}, {0.060, 10}, {0.090, 7.87756}, {0.120, 6.47801}};
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        const double ohms = 2000, omega = 2 * PI * 120;
        const struct result *r = shop_run(
            TEXT("format: 1\ntitle: hum through a choke\nreference: chassis\n"
                 "mains: {voltage: 1 V, frequency: 120 Hz, resistance: 0 ohm, across: [x, "
                 "chassis]}\nparts:\n"
                 "  B1: {is: battery, across: [a, x], voltage: %.9g V, resistance: 0 ohm}\n"
                 "  L1: {is: choke, across: [a, b], inductance: 10 H at 60 mA, resistance: 0 "
                 "ohm, starts at: %.9g A}\n"
                 "  R1: {is: resistor, across: [b, chassis], resistance: 2 kohm}\n"
                 "chart: {b: 1 V}\nrun: {for: 0.5 s}\n",
                 rows[k].amperes * ohms, rows[k].amperes),
            1, NULL, NULL);
        near_rel(shop_figure(r, "b", MEASURE_RIPPLE_RMS),
                 ohms / hypot(ohms, omega * rows[k].henries), 2e-3, "V");
    }
}

static void mistakes(void **state)
{
    static const char *const wrong[][2] = {
        {"24 H at 20 mA, 0.05 H at 200 mA", "no iron loses so much inductance"},
        {"5 H at 200 mA, 20 H at 20 mA", "the inductance is not understood"},
        {"20 H at 20 mA, 5 H", "the inductance is not understood"},
        {"20 H at 20 mA, 8 H at 90 mA, 5 H at 200 mA", "the inductance is not understood"},
    };
    (void)state;
    for (size_t k = 0; k < sizeof wrong / sizeof wrong[0]; k++)
        shop_refused(TEXT("format: 1\ntitle: coil\nparts:\n"
                          "  L1: {is: choke, across: [a, chassis], inductance: '%s', resistance: "
                          "100 ohm}\n"
                          "  B1: {is: battery, across: [a, chassis], voltage: 10 V}\n"
                          "run: {for: 1 s}\n",
                          wrong[k][0]),
                     wrong[k][1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(current_runs_away),
        cmocka_unit_test(ripple_sees_less_inductance),
        cmocka_unit_test(mistakes),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
