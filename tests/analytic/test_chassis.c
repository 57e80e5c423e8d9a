/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Touch currents of linear sets against the arithmetic of alternating current: i = 2 pi f C V, and
 * complex dividers with each test network. The sets are invented. */
#include <complex.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "chassis.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

#define MAINS                                                                                      \
    "format: 1\nreference: chassis\nmains: {voltage: 117 V, frequency: 60 Hz, resistance: 0.001 "  \
    "ohm}\nrun: {for: 1 s}\nparts:\n"

/* So that the chassis is no loose end; passes 12 nA. */
#define INSULATION "  R9: {is: resistor, across: [neutral, chassis], resistance: 10000 Mohm}\n"

static const struct chassis *study(const char *text, int jobs)
{
    struct diags *diags = diags_new(shop_arena());
    const char *points[4];
    const struct scenario *s =
        scenario_parse(shop_arena(), diags, shop_catalogue(), "test.yaml", text);
    const struct setup *setup = s ? scenario_setup(shop_arena(), diags, s, NULL) : NULL;
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    int n = chassis_points(setup, points, 4);
    assert_int_equal(n, 1);
    const struct chassis *c = chassis_study(shop_arena(), diags, s, NULL, points, n, jobs, NULL);
    if (c->status != STATUS_OK) diags_print(diags, stderr);
    assert_int_equal(c->status, STATUS_OK);
    return c;
}

static const struct touch *row(const struct chassis *c, bool on, const char *opened, bool reversed)
{
    for (int i = 0; i < c->rows.n; i++) {
        const struct touch *t = &c->rows.at[i];
        if (t->state.on == on && t->state.reversed == reversed &&
            (on || strcmp(t->state.opened, opened) == 0))
            return t;
    }
    fail();
    return NULL;
}

static const double complex j = (double complex)I;

/* Volts that drive a network through Z, on the network's resistor, over its ohms. */
static double touched(enum touch_network network, double complex z)
{
    const double w = 2 * PI * 60, volts = 117;
    double complex ul = 1 / (1 / 1500.0 + j * w * 0.15e-6),
                   skin = 1 / (1 / 1500.0 + j * w * 0.22e-6);
    if (network == TOUCH_UL) return cabs(volts * ul / (ul + z)) / 1500;
    return cabs(volts / (skin + 500 + z));
}

/* Currents to be met are those of 2 pi f C V at 117 V, 60 Hz, to the digits usually quoted. Parts
 * and a point have the names that the study would give to its own. */
static void line_capacitors(void **state)
{
    static const struct {
        const char *value;
        double farads, milliamperes, digit;
    } rows[] = {{"0.01 uF", 0.01e-6, 0.44, 0.005},
                {"0.047 uF", 0.047e-6, 2.1, 0.05},
                {"0.1 uF", 0.1e-6, 4.4, 0.05},
                {"0.15 uF", 0.15e-6, 6.6, 0.05},
                {"0.2 uF", 0.2e-6, 8.8, 0.05}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct chassis *c = study(
            arena_printf(shop_arena(),
                         MAINS "  C1: {is: capacitor, across: [line, chassis], value: %s, make: "
                               "film, leakage: none, series resistance: 0 ohm}\n"
                               "  touch: {is: resistor, across: [line, touch body], resistance: "
                               "100 ohm}\n"
                               "  touch 2 skin: {is: resistor, across: [touch body, neutral], "
                               "resistance: 100 ohm}\n" INSULATION,
                         rows[i].value),
            2);
        const struct touch *t = row(c, true, NULL, false);
        double amperes = 2 * PI * 60 * rows[i].farads * 117;
        near_rel(t->rms[TOUCH_SHORT], amperes, 3e-4, "A");
        near_abs(t->rms[TOUCH_SHORT] * 1e3, rows[i].milliamperes, rows[i].digit, "mA");
        double complex z = 1 / (j * 2 * PI * 60 * rows[i].farads);
        near_rel(t->rms[TOUCH_UL], touched(TOUCH_UL, z), 1e-3, "A");
        near_rel(t->rms[TOUCH_IEC], touched(TOUCH_IEC, z), 1e-3, "A");
        near_abs(row(c, true, NULL, true)->rms[TOUCH_SHORT], 0, 1e-6, "A");
        /* off in the other leg, the whole set hangs on the hot one through 200 ohm or straight */
        near_rel(row(c, false, "neutral", false)->rms[TOUCH_SHORT], amperes, 3e-4, "A");
        near_rel(row(c, false, "line", true)->rms[TOUCH_SHORT], amperes, 1e-3, "A");
        near_abs(row(c, false, "line", false)->rms[TOUCH_SHORT], 0, 1e-6, "A");
    }
}

/* The chassis is one leg of the line, the set 200 ohm: live reversed, and through the 200 ohm when
 * its switch stands in the chassis leg. */
static void straight_chassis(void **state)
{
    (void)state;
    const struct chassis *c =
        study("format: 1\nreference: chassis\nmains: {voltage: 117 V, frequency: 60 Hz, across: "
              "[line, chassis], resistance: 0.001 ohm}\nrun: {for: 1 s}\nparts:\n"
              "  R1: {is: resistor, across: [line, chassis], resistance: 200 ohm}\n",
              1);
    const struct touch *live = row(c, true, NULL, true), *off = row(c, false, "chassis", false);
    near_rel(live->rms[TOUCH_OPEN], 117, 1e-4, "V");
    near_rel(live->rms[TOUCH_UL], 117.0 / 1500, 1e-4, "A");
    near_abs(row(c, true, NULL, false)->rms[TOUCH_OPEN], 0, 1e-2, "V");
    near_rel(off->rms[TOUCH_OPEN], 117, 1e-4, "V");
    near_rel(off->rms[TOUCH_SHORT], 117.0 / 201, 1e-4, "A");
    near_rel(off->rms[TOUCH_UL], touched(TOUCH_UL, 200), 1e-4, "A");
    near_rel(off->rms[TOUCH_IEC], touched(TOUCH_IEC, 200), 1e-4, "A");
    near_abs(row(c, false, "chassis", true)->rms[TOUCH_OPEN], 0, 1e-2, "V");
}

/* A switch of the set's own is the one that is opened, and there is one pair of rows for it. A
 * primary that stands on the mains' points by default stays where it was. */
static void own_switch_and_primary(void **state)
{
    (void)state;
    const char *transformer =
        "  T1: {is: power transformer, primary: {rated: 117 V, resistance: 8 ohm}, windings: {high "
        "voltage: {across: [plate, chassis], open circuit: 200 V, resistance: 100 ohm}}}\n"
        "  R2: {is: resistor, across: [plate, chassis], resistance: 20 kohm}\n"
        "  C1: {is: capacitor, across: [line, chassis], value: 0.01 uF, make: film, leakage: none, "
        "series resistance: 0 ohm}\n";
    const struct chassis *c = study(arena_printf(shop_arena(), "%s%s", MAINS, transformer), 2);
    assert_int_equal(c->rows.n, 6);
    /* through the primary's little current: within a few per cent of 2 pi f C V */
    near_rel(row(c, false, "line", true)->rms[TOUCH_SHORT], 0.441e-3, 0.05, "A");
    c = study(
        "format: 1\nreference: chassis\nmains: {voltage: 117 V, frequency: 60 Hz, resistance: "
        "0.001 ohm}\nrun: {for: 1 s}\nparts:\n"
        "  S1: {is: switch, across: [line, fed], state: closed}\n"
        "  R1: {is: resistor, across: [fed, neutral], resistance: 200 ohm}\n"
        "  R2: {is: resistor, across: [fed, chassis], resistance: 100 kohm}\n" INSULATION,
        2);
    assert_int_equal(c->rows.n, 4);
    near_rel(row(c, true, NULL, false)->rms[TOUCH_SHORT], 1.17e-3, 1e-3, "A");
    near_abs(row(c, false, "S1", false)->rms[TOUCH_SHORT], 0, 1e-6, "A");
    near_rel(row(c, false, "S1", true)->rms[TOUCH_SHORT], 117 / 100.2e3, 1e-3, "A");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(line_capacitors),
                                       cmocka_unit_test(straight_chassis),
                                       cmocka_unit_test(own_switch_and_primary)};
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
