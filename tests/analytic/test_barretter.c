/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Barretters: an iron wire that gives its watts to hydrogen. Ranges and currents of the types are
 * from memory; the sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "laws.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

#define ROOM 298.15

static const struct setup *setup_of(const char *keys)
{
    return shop_setup(arena_printf(shop_arena(),
                                   "format: 1\nmains: {voltage: 120 V}\nrun: {ambient: 25 C}\n"
                                   "parts:\n  U1: {is: barretter, across: [line, neutral], %s}\n",
                                   keys),
                      NULL);
}

static const struct thermistor_law *law_in(const struct setup *setup)
{
    return setup->stages.at[0].circuit->devices.at[0].par;
}

/* Written out again: iron, and cooling by a power of the rise. */
static double ohms_at(const struct thermistor_law *l, double kelvin)
{
    return l->resistance * pow(kelvin / ROOM, 1.8);
}

static double rate_at(const struct thermistor_law *l, double volts, double kelvin)
{
    double loss = kelvin > ROOM ? l->loss * pow(kelvin - ROOM, l->power) : 0;
    return (sq(volts) / ohms_at(l, kelvin) - loss) / l->heat;
}

/* Amperes at `volts` DC after long, by halving of the temperature. */
static double settled(const struct thermistor_law *l, double volts)
{
    double low = ROOM, high = 2500;
    for (int k = 0; k < 60; k++) {
        double t = (low + high) / 2;
        *(rate_at(l, volts, t) > 0 ? &low : &high) = t;
    }
    return volts / ohms_at(l, low);
}

/* Resistivity of pure iron in microohm cm, 9.87 at 298 K (handbook tables, from memory): the law's
 * power holds it within 7 %. */
static void wire_is_iron(void **state)
{
    static const double rows[][2] = {{300, 9.98}, {400, 16.1}, {500, 23.7},
                                     {600, 32.9}, {700, 44.0}, {800, 57.1},
                                     {873, 69.8}, {973, 87.0}, {1073, 105.5}};
    const struct thermistor_law *l = law_in(setup_of("type: barretter C1"));
    struct worst worst = {0};
    (void)state;
    for (int k = 0; k < 9; k++) {
        double kelvin = rows[k][0], c[PORT_COEFFICIENTS], g;
        char row[16];
        law_thermistor.prepare(l, &kelvin, NULL, c);
        law_thermistor.current(l, 0, c, 1, &g);
        snprintf(row, sizeof row, "%g K", rows[k][0]);
        near_rel(1 / (g + 1 / l->resistance), ohms_at(l, kelvin), 1e-9, "ohm");
        worst_take(&worst, ohms_at(l, kelvin) / l->resistance, rows[k][1] / 9.87, row);
    }
    worst_check(&worst, "iron's resistivity", 0.07);
}

struct type {
    const char *name;
    double amperes, least, most;
};
static const struct type types[] = {
    {"barretter C1", 0.2, 80, 200},   {"barretter C2", 0.2, 35, 100},
    {"barretter 301", 0.3, 138, 221}, {"barretter 302", 0.3, 112, 195},
    {"barretter 303", 0.3, 86, 129},  {"barretter 304", 0.3, 95, 165},
};
enum { TYPES = sizeof types / sizeof types[0] };

/* Rated in the middle of the range, within what is said of its spread all over it; a cold wire far
 * below it. */
static void types_hold_their_current(void **state)
{
    (void)state;
    for (int k = 0; k < TYPES; k++) {
        const struct type *t = &types[k];
        const struct setup *setup = setup_of(arena_printf(shop_arena(), "type: %s", t->name));
        const struct set *set = setup->stages.at[0].set;
        const struct thermistor_law *l = law_in(setup);
        double spread = 0, most = 0;
        for (int i = 0; i < set->assumptions.n; i++)
            if (strcmp(set->assumptions.at[i].key, "spread") == 0)
                spread = set->assumptions.at[i].value;
        near_rel(settled(l, (t->least + t->most) / 2), t->amperes, 1e-9, "A");
        for (int n = 0; n <= 20; n++) {
            double volts = t->least + (t->most - t->least) * n / 20;
            most = larger(most, fabs(settled(l, volts) / t->amperes - 1));
        }
        near_rel(most, spread, 1e-6, "");
        assert_true(most > 0.003 && most < 0.08);
        assert_true(settled(l, t->least / 3) < 0.85 * t->amperes);
        near_rel(settled(l, 0.001), 0.001 / l->resistance, 1e-4, "A");
        printf("%s: within %.1f %%, power %.3g\n", t->name, 100 * most, l->power);
    }
}

/* A spread that is told is met at the lower end, and nowhere passed. */
static void told_spread_is_met(void **state)
{
    const struct thermistor_law *l =
        law_in(setup_of("rated: 0.2 A, range: 80 V to 200 V, spread: 3 %, cold resistance: 130 "
                        "ohm, time constant: 2 s"));
    (void)state;
    near_rel(l->resistance, 130, 1e-12, "ohm");
    near_rel(settled(l, 140), 0.2, 1e-9, "A");
    near_rel(settled(l, 80), 0.97 * 0.2, 1e-9, "A");
    for (double volts = 80; volts < 201; volts += 5)
        near_abs(settled(l, volts), 0.2, 0.0301 * 0.2, "A");
    /* from the middle of its range it cools to 1/e of its rise in its time constant */
    double t = 0, at = ROOM + pow(140 * 0.2 / l->loss, 1 / l->power), h = 1e-3,
           end = ROOM + (at - ROOM) / exp(1);
    for (; at > end; t += h) at += h * rate_at(l, 0, at + h / 2 * rate_at(l, 0, at));
    near_rel(t, 2, 0.003, "s");
}

/* On a sine, runs against the balance worked above. Its temperature swings with twice the
 * frequency, by a kelvin or two with a time constant of 1 s: within 0.3 %. */
static void runs_on_an_ideal_source(void **state)
{
    static const double volts[] = {20, 60, 80, 110, 140, 170, 200};
    const struct thermistor_law *l = law_in(setup_of("type: barretter C1"));
    (void)state;
    for (int n = 0; n < 14; n++) {
        double v = volts[n / 2];
        const struct result *r = shop_run(
            arena_printf(shop_arena(),
                         "format: 1\nmains: {voltage: %g V, frequency: %d Hz, resistance: 0 ohm}\n"
                         "run: {for: 15 s, ambient: 25 C}\nparts:\n"
                         "  U1: {is: barretter, across: [line, neutral], type: barretter C1}\n",
                         v, n % 2 ? 60 : 50),
            0, NULL, NULL);
        near_rel(shop_figure(r, "U1", MEASURE_RMS_CURRENT), settled(l, v), 0.003, "A");
        /* the crest of the first half cycle finds it cold, a little warmer the longer it takes */
        double first =
            shop_figure(r, "U1", MEASURE_HIGHEST_CURRENT) * l->resistance / (v * sqrt(2));
        assert_true(first > 0.97 && first < 1 + 1e-6);
    }
}

struct warming {
    const struct thermistor_law *law;
    double t, kelvin, worst; /* of the explicit steps */
    int n;
};

static void watch_wire(void *context, double t, const struct equations *eq, const double *y)
{
    struct warming *w = context;
    const double h = 2e-5;
    for (; w->t < t - h / 2; w->t += h) {
        double half = w->kelvin + h / 2 * rate_at(w->law, 140, w->kelvin);
        w->kelvin += h * rate_at(w->law, 140, half);
    }
    double kelvin = shop_state(eq, y, "U1", "T");
    w->worst = larger(w->worst, fabs(kelvin - w->kelvin));
    w->n++;
}

/* From cold on a battery, beside explicit steps of the balance. */
static void warms_up_from_cold(void **state)
{
    struct warming w = {.law = law_in(setup_of("type: barretter C1")), .kelvin = ROOM};
    (void)state;
    const struct result *r =
        shop_run("format: 1\nparts:\n"
                 "  B1: {is: battery, across: [a, chassis], voltage: 140 V}\n"
                 "  U1: {is: barretter, across: [a, chassis], type: barretter C1}\n"
                 "run: {for: 6 s, ambient: 25 C}\n",
                 0.05, watch_wire, &w);
    assert_true(w.n > 100);
    near_abs(w.worst, 0, 0.1, "K");
    near_rel(shop_figure(r, "U1", MEASURE_HIGHEST_CURRENT), 140 / w.law->resistance, 1e-3, "A");
    near_rel(shop_figure(r, "U1", MEASURE_RMS_CURRENT), 0.2, 1e-3, "A");
}

/* In series with a coil and a heater; the audit of the run is the check, and that the heater has
 * its rated volts at the current held. */
static void before_a_coil_and_a_heater(void **state)
{
    (void)state;
    const struct result *r =
        shop_run("format: 1\nmains: {voltage: 170 V, frequency: 50 Hz, resistance: 0 ohm}\n"
                 "run: {for: 60 s}\nparts:\n"
                 "  U1: {is: barretter, across: [line, a], type: barretter C1}\n"
                 "  L1: {is: choke, across: [a, b], inductance: 0.2 H, resistance: 20 ohm}\n"
                 "  H1: {is: heater, across: [b, neutral], rated: 26 V 0.2 A}\n",
                 0, NULL, NULL);
    near_rel(shop_figure(r, "U1", MEASURE_RMS_CURRENT), 0.2, 0.01, "A");
    near_rel(shop_figure(r, "H1", MEASURE_RMS_VOLTAGE), 26, 0.03, "V");
}

/* The string of the shipped scenario: 10 % is the customary bound of heaters (common practice, no
 * source). */
static void a_string_keeps_its_volts(void **state)
{
    static const struct {
        const char *variant;
        bool keeps;
    } rows[] = {{"line at 105 V", false},
                {"line at 130 V", false},
                {"barretter", true},
                {"barretter, line at 105 V", true},
                {"barretter, line at 130 V", true}};
    static const struct {
        const char *name;
        double volts;
    } heaters[] = {{"V5 heater", 25}, {"V4 heater", 25}, {"other heaters", 18.9}};
    struct diags *diags = diags_new(shop_arena());
    const struct scenario *s = scenario_read(shop_arena(), diags, shop_catalogue(),
                                             SOURCE_DIR "/scenarios/line-cord.yaml");
    (void)state;
    assert_non_null(s);
    for (int k = 0; k < 5; k++) {
        struct run_options o = run_defaults();
        o.hot = 1;
        o.angle = PI / 2;
        o.duration = 20;
        const struct setup *setup = scenario_setup(shop_arena(), diags, s, rows[k].variant);
        assert_non_null(setup);
        const struct result *r = run_simulate(shop_arena(), setup, &o);
        assert_int_equal(r->status, STATUS_OK);
        for (int n = 0; n < 3; n++) {
            double share = shop_figure(r, heaters[n].name, MEASURE_RMS_VOLTAGE) / heaters[n].volts;
            assert_true((fabs(share - 1) < 0.1) == rows[k].keeps);
            if (rows[k].keeps) near_abs(share, 1, 0.05, "");
        }
    }
}

static void volts_above_the_range_are_judged(void **state)
{
    const struct set *set = setup_of("type: barretter 303")->stages.at[0].set;
    (void)state;
    assert_int_equal(set->ratings.n, 1);
    const struct rating *r = &set->ratings.at[0];
    assert_string_equal(r->subject, "U1");
    assert_int_equal(r->measure, MEASURE_RMS_VOLTAGE);
    near_rel(r->limit, 129, 1e-12, "V");
    assert_false(r->at_least);
    assert_non_null(strstr(r->source, "from memory"));
}

static void mistakes_are_told(void **state)
{
    static const struct {
        const char *keys, *message;
    } rows[] = {
        {"type: barretter C3", "there is no `barretter C3` in the catalogue"},
        {"rated: 0.3 A", "`range` of U1 is missing"},
        {"range: 30 V to 60 V", "`rated` of U1 is missing"},
        {"rated: 0.3 A, range: 60 V to 30 V", "U1: this is no range of volts"},
        {"rated: 0.3 A, range: 60 V", "U1: this is no range of volts"},
        {"rated: 0.3 A, range: 5 V to 200 V", "U1: no iron wire holds 0.3 A over that range"},
        {"rated: 0.2 A, range: 80 V to 200 V, cold resistance: 20 ohm",
         "U1: no iron wire holds 0.2 A over that range"},
        {"rated: 0.3 A, range: 86 V to 129 V, spread: 20 %",
         "U1: no iron wire in gas changes its current by 20 % over that range"},
        {"rated: 0.2 A, range: 80 V to 200 V, spread: 0.5 %",
         "U1: no iron wire in gas changes its current by 0.5 % over that range"},
    };
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++)
        shop_refused(arena_printf(shop_arena(),
                                  "format: 1\nmains: {voltage: 120 V}\nparts:\n"
                                  "  U1: {is: barretter, across: [line, neutral], %s}\n",
                                  rows[k].keys),
                     rows[k].message);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wire_is_iron),
        cmocka_unit_test(types_hold_their_current),
        cmocka_unit_test(told_spread_is_met),
        cmocka_unit_test(runs_on_an_ideal_source),
        cmocka_unit_test(warms_up_from_cold),
        cmocka_unit_test(before_a_coil_and_a_heater),
        cmocka_unit_test(a_string_keeps_its_volts),
        cmocka_unit_test(volts_above_the_range_are_judged),
        cmocka_unit_test(mistakes_are_told),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
