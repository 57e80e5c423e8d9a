/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An ohmmeter at a dead set, against series and parallel rules. All sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "dead_ohms.h"
#include "near.h"
#include "shop.h"

static const char supply[] =
    "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-]}\n"
    "run: {for: 1 s}\nparts:\n"
    "  R1: {is: resistor, across: [line, plate], resistance: 50 ohm}\n"
    "  V1: {is: rectifier, type: 1N4007, plates: [plate], cathode: first}\n"
    "  C1: {is: capacitor, across: [first, B-], value: 40 uF, rated: 150 V, make: film, leakage: "
    "none}\n"
    "  L1: {is: choke, across: [first, B+], inductance: 8 H, resistance: 300 ohm}\n"
    "  C2: {is: capacitor, across: [B+, B-], value: 40 uF, rated: 150 V, make: film, condition: "
    "leaky, leakage: 12 kohm}\n"
    "  R2: {is: resistor, across: [B+, B-], resistance: 6 kohm}\n"
    "  R3: {is: resistor, across: [B+, screen], resistance: 1 kohm}\n"
    "  R4: {is: resistor, across: [screen, B-], resistance: 5 kohm}\n"
    "  cell: {is: battery, across: [A, B], voltage: 1.5 V}\n"
    "  lone: {is: resistor, across: [A, B], resistance: 7 ohm}\n"
    "  lone 2: {is: resistor, across: [A, B], resistance: 7 ohm}\n"
    "  cell 2: {is: battery, across: [P, Q], voltage: 1.5 V}\n"
    "  L2: {is: choke, across: [P, S], inductance: 10 H at 60 mA, resistance: 200 ohm}\n"
    "  R5: {is: resistor, across: [S, Q], resistance: 100 ohm}\n"
    "  tubes: {is: load, across: [B+, B-], draws: 20 mA at 100 V, like: tubes, lineup: [6F6-G]}\n";

static double ohms(const char *plus, const char *minus)
{
    const struct setup *setup = shop_setup(supply, NULL);
    return dead_ohms(shop_arena(), setup->stages.at[0].circuit, plus, minus, NULL);
}

/* 12 k, 6 k and 1 k + 5 k side by side: 2.4 kohm; the choke's copper adds to it from the first
 * capacitor on. Tubes are cold, the diode blocks, capacitors have charged. */
static void across_the_filter(void **state)
{
    (void)state;
    const double side = 1 / (1 / 12e3 + 1 / 6e3 + 1 / 6e3);
    near_rel(ohms("B+", "B-"), side, 1e-6, "ohm");
    near_rel(ohms("B-", "B+"), side, 1e-6, "ohm");
    near_rel(ohms("first", "B-"), 300 + side, 2e-3, "ohm");
    near_rel(ohms("first", "B+"), 300, 1e-2, "ohm");
    const double rest = 1 / (1 / 12e3 + 1 / 6e3);
    near_rel(ohms("screen", "B-"), 1 / (1 / 5e3 + 1 / (1e3 + rest)), 1e-6, "ohm");
}

/* Copper around iron: a coil whose inductance falls with current is as good a wire as any. */
static void iron_that_saturates(void **state)
{
    (void)state;
    near_rel(ohms("P", "S"), 200, 1e-2, "ohm");
    near_rel(ohms("P", "Q"), 300, 1e-2, "ohm");
}

static void open_ways(void **state)
{
    (void)state;
    assert_true(isinf(ohms("plate", "first")));
    assert_true(isinf(ohms("line", "B-")));
    assert_true(isinf(ohms("A", "B+")));
    near_rel(ohms("A", "B"), 3.5, 1e-9, "ohm");
    near_rel(ohms("line", "plate"), 50, 1e-9, "ohm");
    assert_true(isnan(ohms("nowhere", "B-")));
    near_abs(ohms("A", "A"), 0, 0, "ohm");
}

/* Side by side with 1 Mohm: what is no share of the resistor's is the leakage's. One that is told is
 * as good as any resistor. */
static void leakage_that_nobody_has_told(void **state)
{
    static const char *const told[] = {"", ", leakage: 2 Mohm"};
    (void)state;
    for (int k = 0; k < 2; k++) {
        const char *text = arena_printf(
            shop_arena(),
            "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz, across: [line, "
            "B-]}\n"
            "run: {for: 1 s}\nparts:\n"
            "  V1: {is: rectifier, type: 1N4007, plates: [line], cathode: first}\n"
            "  C1: {is: capacitor, across: [first, B-], value: 40 uF, rated: 450 V, make: dry%s}\n"
            "  R1: {is: resistor, across: [first, B+], resistance: 10 kohm}\n"
            "  R2: {is: resistor, across: [B+, B-], resistance: 990 kohm}\n",
            told[k]);
        const struct setup *setup = shop_setup(text, NULL);
        struct dead_shares shares;
        double all = dead_ohms(shop_arena(), setup->stages.at[0].circuit, "first", "B-", &shares);
        assert_true(all < 0.9e6);
        near_abs(shares.leakages, k == 0 ? 1 - all / 1e6 : 0, 2e-5,
                 ""); /* the diode's gap passes some */
        double behind =
            dead_ohms(shop_arena(), setup->stages.at[0].circuit, "B+", "first", &shares);
        near_rel(behind, 1 / (1 / 10e3 + 1 / (990e3 + 1 / (1 / all - 1 / 1e6))), 1e-9, "ohm");
    }
}

/* Before a resistor the heater's share falls as its ohms beside all. */
static void a_cold_heater(void **state)
{
    (void)state;
    const char *const set =
        "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-]}\n"
        "run: {for: 1 s}\nparts:\n"
        "  H1: {is: heater, across: [line, middle], rated: 35 V 0.15 A}\n"
        "  R1: {is: resistor, across: [middle, B-], resistance: %g ohm}\n";
    const struct setup *setup = shop_setup(arena_printf(shop_arena(), set, 500.0), NULL);
    const struct circuit *c = setup->stages.at[0].circuit;
    struct dead_shares shares;
    double heater = dead_ohms(shop_arena(), c, "line", "middle", &shares);
    const double alone = shares.filaments; /* a part of it is the heater's base, which is no port */
    assert_true(alone > 0.8 && alone <= 1);
    double all = dead_ohms(shop_arena(), c, "line", "B-", &shares);
    near_rel(all, heater + 500, 1e-6, "ohm");
    near_rel(shares.filaments, alone * heater / all, 1e-6, "");
    near_abs(shares.leakages, 0, 0, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(across_the_filter), cmocka_unit_test(iron_that_saturates),
        cmocka_unit_test(open_ways),         cmocka_unit_test(leakage_that_nobody_has_told),
        cmocka_unit_test(a_cold_heater),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
