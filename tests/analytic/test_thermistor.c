/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inrush thermistors against Amphenol (General Electric), type CL, AAS-920-325D: resistance at 25,
 * 50, 75 and 100 % of the rated current, and x I^y that it is said to follow; time constant as
 * cooling to 1/e. The sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "laws.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

#define ROOM 298.15

static const struct thermistor_law *law_of(const char *keys, const struct setup **setup)
{
    *setup =
        shop_setup(arena_printf(shop_arena(),
                                "format: 1\nmains: {voltage: 120 V}\nrun: {ambient: 25 C}\n"
                                "parts:\n  R1: {is: resistor, across: [a, neutral], resistance: "
                                "100 ohm}\n  NTC: {is: thermistor, across: [line, a], %s}\n",
                                keys),
                   NULL);
    return (*setup)->stages.at[0].circuit->devices.at[0].par;
}

static double ohms_at(const struct thermistor_law *l, double kelvin)
{
    double c[PORT_COEFFICIENTS], g;
    law_thermistor.prepare(l, &kelvin, NULL, c);
    law_thermistor.current(l, 0, c, 1, &g);
    return 1 / (g + 1 / l->resistance);
}

static double rate_at(const struct thermistor_law *l, double volts, double kelvin)
{
    double c[PORT_COEFFICIENTS], ds;
    law_thermistor.prepare(l, &kelvin, NULL, c);
    law_thermistor.rates(l, &volts, &kelvin, c, &ds);
    return ds;
}

/* Ohms once settled at `amperes`, by halving of the temperature. */
static double settled_ohms(const struct thermistor_law *l, double amperes)
{
    double low = ROOM, high = 900;
    for (int k = 0; k < 60; k++) {
        double t = (low + high) / 2;
        *(rate_at(l, amperes * ohms_at(l, t), t) > 0 ? &low : &high) = t;
    }
    return ohms_at(l, low);
}

static double number(const struct model *m, const char *key)
{
    const struct node *node = node_get(m->values, key);
    return node ? strtod(node->text, NULL) : (double)NAN;
}

/* Every type of the catalogue within 3 % of its line from a quarter of its rated current up, and at
 * its cold resistance exactly; B and cooling as of real bodies. */
static void every_type_follows_its_line(void **state)
{
    struct worst worst = {0};
    int types = 0;
    (void)state;
    for (int k = 0; k < catalogue_count(shop_catalogue()); k++) {
        const struct model *m = catalogue_at(shop_catalogue(), k);
        const struct setup *setup;
        if (strcmp(m->kind, "thermistor") != 0) continue;
        const struct thermistor_law *l =
            law_of(arena_printf(shop_arena(), "type: %s", m->name), &setup);
        double rated = number(m, "rated");
        near_rel(ohms_at(l, ROOM), number(m, "cold resistance"), 1e-12, "ohm");
        for (double share = 0.25; share < 1.01; share += 0.05) {
            char row[48];
            snprintf(row, sizeof row, "%s at %.0f %%", m->name, 100 * share);
            worst_take(&worst, settled_ohms(l, share * rated),
                       number(m, "x") * pow(share * rated, number(m, "y")), row);
        }
        assert_true(l->b > 2500 && l->b < 4500 && l->power >= 1 && l->power < 1.7);
        types++;
    }
    assert_int_equal(types, 21);
    worst_check(&worst, "x I^y", 0.03);
}

/* The sheet's own rows, printed to two decimals: 3 % and half of the last digit. */
static void printed_rows_are_met(void **state)
{
    static const struct {
        const char *type;
        double rated, ohms[4];
    } rows[] = {
        {"CL-11", 12, {0.14, 0.06, 0.04, 0.03}}, {"CL-21", 8, {0.25, 0.11, 0.06, 0.04}},
        {"CL-30", 8, {0.34, 0.14, 0.09, 0.06}},  {"CL-40", 6, {0.65, 0.27, 0.16, 0.11}},
        {"CL-50", 5, {0.96, 0.40, 0.24, 0.17}},  {"CL-60", 5, {1.08, 0.44, 0.26, 0.18}},
        {"CL-70", 4, {1.55, 0.65, 0.39, 0.27}},  {"CL-80", 3, {2.94, 1.20, 0.71, 0.49}},
        {"CL-90", 2, {7.80, 3.04, 1.75, 1.18}},  {"CL-101", 16, {0.09, 0.04, 0.03, 0.02}},
    };
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        const struct setup *setup;
        const struct thermistor_law *l =
            law_of(arena_printf(shop_arena(), "type: %s", rows[k].type), &setup);
        for (int n = 0; n < 4; n++)
            near_abs(settled_ohms(l, rows[k].rated * (n + 1) / 4), rows[k].ohms[n],
                     0.03 * rows[k].ohms[n] + 0.0051, "ohm");
    }
}

/* From the temperature of its rated current it cools to 1/e of that in the sheet's time. */
static void cools_in_its_time(void **state)
{
    static const struct {
        const char *type;
        double seconds, watts, dissipation;
    } rows[] = {{"CL-21", 60, 0.60 * 4.757, 0.015},
                {"CL-60", 100, 1.45 * 3.085, 0.025},
                {"CL-90", 120, 3.04 * 1.5583, 0.030}};
    (void)state;
    for (int k = 0; k < 3; k++) {
        const struct setup *setup;
        const struct thermistor_law *l =
            law_of(arena_printf(shop_arena(), "type: %s", rows[k].type), &setup);
        double rise = rows[k].watts / rows[k].dissipation, t = 0, at = ROOM + rise, h = 0.01;
        near_abs(l->loss * pow(rise, l->power), rows[k].watts, 0.002 * rows[k].watts, "W");
        while (at > ROOM + rise / exp(1)) {
            at += h * rate_at(l, 0, at + h / 2 * rate_at(l, 0, at));
            t += h;
        }
        near_rel(t, rows[k].seconds, 0.003, "s");
    }
}

/* In the plug of a load of 0.8 A, long on: volts and temperature of the sheet's line, and the
 * rating derated for a room of 40 C, sqrt(1.1425 - 0.0057 TA). */
static void a_thermistor_in_the_plug(void **state)
{
    (void)state;
    const struct result *r = shop_run(
        "format: 1\n"
        "mains: {voltage: 120 V, frequency: 60 Hz, resistance: 0 ohm, through: {thermistor: "
        "CL-90}}\n"
        "run: {for: 600 s, ambient: 25 C}\nparts:\n"
        "  R1: {is: resistor, across: [line, neutral], resistance: 145.9 ohm}\n",
        0, NULL, NULL);
    double i = shop_figure(r, "mains thermistor", MEASURE_RMS_CURRENT);
    near_rel(shop_figure(r, "mains thermistor", MEASURE_RMS_VOLTAGE) / i, 3.04 * pow(i, -1.36),
             0.03, "ohm");
    near_rel(i, 120 / (145.9 + 3.04 * pow(0.8, -1.36)), 0.003, "A");
    near_rel(shop_figure(r, "mains thermistor", MEASURE_HIGHEST_CURRENT), 120 * sqrt(2) / 149.6,
             0.01, "A");
    const struct setup *setup = shop_setup(
        "format: 1\nmains: {voltage: 120 V, through: {thermistor: CL-90}}\nrun: {ambient: 40 C}\n"
        "parts:\n  R1: {is: resistor, across: [line, neutral], resistance: 100 ohm}\n",
        NULL);
    near_rel(setup->stages.at[0].set->ratings.at[0].limit, 2 * sqrt(1.1425 - 0.0057 * 40), 1e-12,
             "A");
}

/* In series with a coil, as before a transformer: the audit of the run is the check. */
static void a_thermistor_before_a_coil(void **state)
{
    (void)state;
    const struct result *r =
        shop_run("format: 1\n"
                 "mains: {voltage: 120 V, frequency: 60 Hz, through: {thermistor: CL-80}}\n"
                 "run: {for: 20 s}\nparts:\n"
                 "  L1: {is: choke, across: [line, a], inductance: 0.2 H, resistance: 20 ohm}\n"
                 "  R1: {is: resistor, across: [a, neutral], resistance: 50 ohm}\n",
                 0, NULL, NULL);
    assert_true(shop_figure(r, "mains thermistor", MEASURE_TEMPERATURE) > 330);
}

static void what_is_not_told_is_assumed(void **state)
{
    const struct setup *setup;
    (void)state;
    const struct thermistor_law *l =
        law_of("cold resistance: 50 ohm, rated: 2 A, hot resistance: 0.7 ohm", &setup);
    near_rel(settled_ohms(l, 2), 0.7, 1e-6, "ohm");
    const struct set *set = setup->stages.at[0].set;
    int assumed = 0;
    for (int i = 0; i < set->assumptions.n; i++)
        assumed += strcmp(set->assumptions.at[i].part, "NTC") == 0;
    assert_int_equal(assumed, 3); /* y, thermal resistance, time constant */
}

static void mistakes_are_told(void **state)
{
    static const struct {
        const char *keys, *message;
    } rows[] = {
        {"type: CL-91", "there is no `CL-91` in the catalogue"},
        {"cold resistance: 50 ohm", "`rated` of NTC is missing"},
        {"cold resistance: -50 ohm, rated: 2 A, x: 1", "`cold resistance` must be at least"},
        {"cold resistance: 50 ohm, rated: 2 A", "NTC: its resistance when hot is missing"},
        {"cold resistance: 50 ohm, rated: 2 A, hot resistance: 60 ohm",
         "NTC: warm it must have less resistance than cold"},
        {"cold resistance: 50 ohm, rated: 2 A, x: 1, y: 1.3",
         "NTC: warm it must have less resistance than cold"},
    };
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++)
        shop_refused(arena_printf(shop_arena(),
                                  "format: 1\nmains: {voltage: 120 V}\nparts:\n"
                                  "  NTC: {is: thermistor, across: [line, neutral], %s}\n",
                                  rows[k].keys),
                     rows[k].message);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_type_follows_its_line),
        cmocka_unit_test(printed_rows_are_met),
        cmocka_unit_test(cools_in_its_time),
        cmocka_unit_test(a_thermistor_in_the_plug),
        cmocka_unit_test(a_thermistor_before_a_coil),
        cmocka_unit_test(what_is_not_told_is_assumed),
        cmocka_unit_test(mistakes_are_told),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
