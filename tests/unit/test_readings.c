/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was read, from its words. Sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "readings.h"
#include "shop.h"

#define HEAD                                                                                       \
    "format: 1\nreference: B-\nrun: {for: 1 s}\nparts:\n"                                          \
    "  B1: {is: battery, across: [A, B-], voltage: 100 V}\n"                                       \
    "  R1: {is: resistor, across: [A, B+], resistance: 1 kohm}\n"                                  \
    "  C1: {is: capacitor, across: [B+, B-], value: 8 uF, rated: 450 V}\n"                         \
    "  R2: {is: resistor, across: [B+, B-], resistance: 1 kohm}\n"

static const struct measured *read_of(const char *text)
{
    return shop_setup(text, NULL)->measured;
}

static void a_map(void **state)
{
    (void)state;
    const struct measured *m =
        read_of(HEAD "measured:\n  B+: {DC: 49 V, AC: 3.1 V +-1 %}\n"
                     "  R1: 50 mA\n  C1 rms-current: 2 mA\n"
                     "  B+ to B-: 22 kohm\n"
                     "  ohms: {A to B+: open}\n"
                     "  C1: {capacitance: 3 uF, ESR: 20 ohm, leakage: 2 mA at 450 V}\n");
    assert_int_equal(m->sets.n, 1);
    const struct reading_set *set = &m->sets.at[0];
    assert_int_equal(set->readings.n, 9);
    const struct meter_reading *r = set->readings.at;
    assert_int_equal(r[0].measure, MEASURE_SETTLED_VOLTAGE);
    near_abs(r[0].value, 49, 0, "V");
    assert_true(isnan(r[0].accuracy));
    assert_true(r[1].alternating);
    near_rel(r[1].value, 3.1, 1e-12, "V");
    near_rel(r[1].accuracy, 0.01, 1e-12, "");
    assert_int_equal(r[2].unit, UNIT_AMPERE);
    assert_int_equal(r[3].measure, MEASURE_RMS_CURRENT);
    assert_string_equal(r[3].subject, "C1");
    assert_int_equal(r[4].kind, READING_OHMS);
    assert_string_equal(r[4].minus, "B-");
    assert_true(isinf(r[5].value));
    assert_int_equal(r[6].kind, READING_CAPACITANCE);
    assert_int_equal(r[7].kind, READING_SERIES);
    assert_int_equal(r[8].kind, READING_LEAKAGE);
    near_abs(r[8].at, 450, 0, "V");
    near_rel(m->meter.ohms, 10e6, 0, "ohm");
}

static void sets_with_conditions(void **state)
{
    (void)state;
    const struct measured *m =
        read_of(HEAD "meter: {sensitivity: 1 kohm/V, range: 500 V, AC: average, DC: 3 %}\n"
                     "noticed: [hum low, C1 too hot to hold]\n"
                     "measured:\n  - name: as found\n    B+: 49 V\n"
                     "  - {line: 90 V, lamp: 60 W 120 V, out: [R2], after: 5 min, B+: 90 V,\n"
                     "     noticed: lamp dim}\n");
    assert_int_equal(m->sets.n, 2);
    assert_string_equal(m->sets.at[0].name, "as found");
    assert_string_equal(m->sets.at[1].name, "set 2");
    assert_true(isnan(m->sets.at[0].line));
    near_abs(m->sets.at[1].line, 90, 0, "V");
    near_abs(m->sets.at[1].after, 300, 1e-9, "s");
    assert_string_equal(m->sets.at[1].out.at[0], "R2");
    assert_string_equal(m->sets.at[1].lamp, "60 W 120 V");
    assert_int_equal(m->sets.at[0].noticed.n, 2);
    assert_int_equal(m->sets.at[0].noticed.at[1].kind, NOTICED_WARMTH);
    assert_int_equal(m->sets.at[0].noticed.at[1].word, 2);
    assert_string_equal(m->sets.at[0].noticed.at[1].part, "C1");
    assert_int_equal(m->sets.at[1].noticed.at[0].kind, NOTICED_LAMP);
    near_rel(m->meter.ohms, 500e3, 1e-12, "ohm");
    assert_true(m->meter.average);
    near_rel(m->meter.dc, 0.03, 1e-12, "");
}

/* The shipped sets call a point of the plug `line`. */
static void of_the_outlet(void **state)
{
    (void)state;
    const char *const line =
        "format: 1\nmains: {voltage: 117 V, frequency: 60 Hz}\nparts:\n"
        "  R1: {is: resistor, across: [line, neutral], resistance: 100 ohm}\n"
        "  R2: {is: resistor, across: [neutral, chassis], resistance: 1 Mohm}\n"
        "  R3: {is: resistor, across: [line, chassis], resistance: 1 Mohm}\n"
        "run: {for: 1 s}\n";
    const struct measured *m = read_of(arena_printf(
        shop_arena(),
        "%smeasured: {line: 112 V, line voltage: 111 V,\n  mains: {voltage: 110 V}}\n", line));
    near_abs(m->sets.at[0].line, 112, 0, "V");
    assert_int_equal(m->sets.at[0].readings.n, 2);
    for (int i = 0; i < 2; i++) {
        assert_string_equal(m->sets.at[0].readings.at[i].subject, "mains");
        assert_int_equal(m->sets.at[0].readings.at[i].measure, MEASURE_RMS_VOLTAGE);
    }
}

static void mistakes(void **state)
{
    (void)state;
    shop_refused(HEAD "measured: {B++: 1 V}\n", "no point or part is called `B++`");
    shop_refused(HEAD "measured: {B+: 3 ohm}\n", "`B+` is read in volts, not in ohms");
    shop_refused(HEAD "measured: {B+ rms-votage: 3 V}\n", "no point or part is called");
    shop_refused(HEAD "measured: {B+: {DCC: 3 V}}\n", "`DCC` is nothing that can be read");
    shop_refused(HEAD "measured: {C1: {leakage: 2 mA}}\n", "leakage is read at some volts");
    shop_refused(HEAD "measured: {B+: 3 V +-0 %}\n", "no meter reads exactly");
    shop_refused(HEAD "measured: {B+: 1e200 V}\n", "is not between");
    shop_refused(HEAD "noticed: hum loud\n", "`hum loud` is nothing that can be noticed");
    shop_refused(HEAD "noticed: C9 warm\n", "no part is called `C9`");
    shop_refused(HEAD "measured: [{out: [C9]}]\n", "no point or part is called `C9`");
    shop_refused(HEAD "measured: [{after: 20 s, B+: 3 V}]\n", "what a warm set reads");
    shop_refused(HEAD "measured: [B+]\n", "a set of readings takes keys with values");
    shop_refused(HEAD "meter: {range: 500 V}\n", "go together");
    shop_refused(HEAD "meter: {sensitivity: 0 kohm/V, range: 500 V}\n", "it must be above zero");
    shop_refused(HEAD "meter: {resistance: 1e30 ohm}\n", "is not between");
    shop_refused(HEAD "meter: {ohms: 3}\n", "unknown key `ohms`");
}

/* Readings given elsewhere stand in place of the scenario's; its meter stays. */
static void from_elsewhere(void **state)
{
    (void)state;
    const char *text[] = {"B+ DC = 40 V"}, *name[] = {"B+ DC"}, *value[] = {"40 V"};
    const struct scenario *s = shop_scenario(
        HEAD "meter: {resistance: 1 Mohm}\nmeasured: {B+: 49 V, A: 100 V}\nnoticed: hum low\n");
    const struct scenario *with = readings_instead(shop_arena(), s, 1, text, name, value);
    struct diags *diags = diags_new(shop_arena());
    const struct measured *m = scenario_setup(shop_arena(), diags, with, NULL)->measured;
    assert_int_equal(m->sets.n, 1);
    assert_int_equal(m->sets.at[0].readings.n, 1);
    assert_int_equal(m->sets.at[0].noticed.n, 0);
    near_abs(m->sets.at[0].readings.at[0].value, 40, 0, "V");
    near_rel(m->meter.ohms, 1e6, 0, "ohm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_map),          cmocka_unit_test(sets_with_conditions),
        cmocka_unit_test(of_the_outlet),  cmocka_unit_test(mistakes),
        cmocka_unit_test(from_elsewhere),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
