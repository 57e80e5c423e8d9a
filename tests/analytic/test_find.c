/* SPDX-License-Identifier: GPL-3.0-or-later */
/* find-value against closed forms: a dropper, the source resistance behind a rectifier with
 * capacitor input (exact solution of the stated circuit, capacitor_input_table.h), limits, wishes
 * that cannot be met; and against a published repair with silicon. Sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "capacitor_input_table.h"
#include "find.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"

static struct arena *arena;
static struct diags *diags;

static int open_shop(void **state)
{
    int bad = shop_open(state);
    arena = shop_arena();
    diags = diags_new(arena);
    return bad;
}

static const struct finding *find(const struct scenario *s, const char *variant, const char *change,
                                  const char *so_that, double duration, int jobs)
{
    struct changed changed;
    struct wish wish;
    assert_true(wish_parse(arena, diags, so_that, &wish));
    assert_true(wish_parse_changed(arena, diags, s, variant, change, &changed));
    struct find_options o = {.trial = {.duration = duration}, .jobs = jobs};
    const struct finding *f = find_value(arena, diags, s, variant, &changed, &wish, &o);
    if (f->status != STATUS_OK) print_error("%s\n", f->failure.message);
    assert_int_equal(f->status, STATUS_OK);
    return f;
}

/* 300 V behind R1 into 50 mA: V = 300 V - 50 mA R1. */
static const char dropper[] =
    "format: 1\nreference: B-\nrun: {for: 1 s}\nparts:\n"
    "  B1: {is: battery, across: [A, B-], voltage: 300 V, resistance: 0 ohm}\n"
    "  R1: {is: resistor, across: [A, B+], resistance: unknown}\n"
    "  C1: {is: capacitor, across: [B+, B-], value: 2 uF, rated: 350 V, leakage: none, series "
    "resistance: 0 ohm, make: film}\n"
    "  all: {is: load, across: [B+, B-], draws: 50 mA, like: constant current, heated by: always "
    "hot}\n";

static void dropping_resistor(void **state)
{
    (void)state;
    const struct scenario *s = shop_scenario(dropper);
    const struct finding *f = find(s, NULL, "R1.resistance", "B+ settled-voltage = 250 V", 0, 2);
    assert_int_equal(f->outcome, FIND_VALUE);
    assert_int_equal(f->roots, 1);
    near_rel(f->exact.value[0], 1000, 1e-5, "ohm");
    near_rel(f->exact.figure[0], 250, 1e-7, "V");
    near_rel(run_figure(f->exact.trial->run, "R1", MEASURE_DISSIPATION)->value, 2.5, 1e-4, "W");
    assert_true(f->best >= 0);
    near_rel(f->near[f->best].value[0], 1000, 1e-9, "ohm");
    static const double volts[FIND_LOADS] = {275, 262.5, 237.5, 225};
    assert_int_equal(f->load_count, FIND_LOADS);
    for (int i = 0; i < FIND_LOADS; i++) near_rel(f->loads[i].figure[0], volts[i], 1e-5, "V");

    f = find(s, NULL, "R1.resistance", "B+ settled-voltage > 230 V", 0, 2);
    assert_int_equal(f->outcome, FIND_VALUE);
    near_rel(f->exact.value[0], 1400, 1e-5, "ohm");
    near_rel(f->near[f->best].value[0], 1300, 1e-9, "ohm"); /* 1.5 kohm would give 225 V */

    /* 1.1 kohm comes nearest (245 V); where that need not be, E12's own value is easier to buy. */
    f = find(s, NULL, "R1.resistance", "B+ settled-voltage = 246 V", 0, 2);
    near_rel(f->near[f->best].value[0], 1100, 1e-9, "ohm");
    f = find(s, NULL, "R1.resistance", "B+ settled-voltage = 246 V +-1 %", 0, 2);
    near_rel(f->near[f->best].value[0], 1100, 1e-9, "ohm");
    f = find(s, NULL, "R1.resistance", "B+ settled-voltage = 246 V +-5 V", 0, 2);
    near_rel(f->near[f->best].value[0], 1000, 1e-9, "ohm");

    f = find(s, NULL, "R1.resistance=10ohm..100ohm", "B+ settled-voltage > 230 V", 0, 2);
    assert_int_equal(f->outcome, FIND_ANY);
    f = find(s, NULL, "R1.resistance=10ohm..4kohm", "B+ settled-voltage = 2000 V", 0, 2);
    assert_int_equal(f->outcome, FIND_NEVER);
    near_rel(f->most[0].figure[0], 299.5, 1e-4, "V");
    near_rel(f->most[0].value[0], 10, 1e-9, "ohm");
    near_rel(f->least[0].figure[0], 100, 1e-4, "V");
}

/* Half wave, wCR = 50: Rs/R = 0.1 gives a mean of 0.6444 of the source's peak. */
static void source_resistance(void **state)
{
    const struct steady *row = NULL;
    (void)state;
    for (size_t i = 0; i < sizeof half_wave / sizeof half_wave[0]; i++)
        if (half_wave[i].wcr == 50 && half_wave[i].k == 0.1) row = &half_wave[i];
    assert_non_null(row);
    double ohms = 1000, farads = row->wcr / (2 * PI * 60 * ohms), peak = 117 * sqrt(2);
    const struct scenario *s = shop_scenario(arena_printf(
        arena,
        "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, "
        "across: [line, B-]}\nrun: {for: 3 s}\nparts:\n"
        "  R1: {is: resistor, across: [line, AC in], resistance: 30 ohm}\n"
        "  D1: {is: rectifier, type: ideal, plates: [AC in], cathode: B+}\n"
        "  C1: {is: capacitor, across: [B+, B-], value: %.12g F, rated: 200 V, leakage: none, "
        "series resistance: 0 ohm, make: film}\n"
        "  R2: {is: resistor, across: [B+, B-], resistance: %.12g ohm}\n",
        farads, ohms));
    const char *wish = arena_printf(arena, "B+ settled-voltage = %.12g V", row->mean * peak);
    const struct finding *f = find(s, NULL, "R1.resistance", wish, 3, 2);
    assert_int_equal(f->outcome, FIND_VALUE);
    near_rel(f->exact.value[0], row->k * ohms, 1e-5, "ohm");
    assert_int_equal(f->load_count, 0);
    /* settled by itself it is as near as `settled` promises */
    f = find(s, NULL, "R1.resistance", wish, 0, 1);
    near_rel(f->exact.value[0], row->k * ohms, 2e-3, "ohm");
}

/* 300 V behind 100 ohm heat a resistor most at 100 ohm, and as much at 25 as at 400 ohm: 144 W. Of
 * two values the one is proposed that is nearer to what stands there. */
static void nearest_of_two(void **state)
{
    static const double now[] = {30, 300}, nearest[] = {25, 400};
    (void)state;
    for (int i = 0; i < 2; i++) {
        const struct scenario *s = shop_scenario(
            arena_printf(arena,
                         "format: 1\nreference: B-\nrun: {for: 1 s}\nparts:\n"
                         "  B1: {is: battery, across: [A, B-], voltage: 300 V, resistance: 0 ohm}\n"
                         "  R1: {is: resistor, across: [A, B+], resistance: 100 ohm}\n"
                         "  R2: {is: resistor, across: [B+, B-], resistance: %g ohm}\n",
                         now[i]));
        const struct finding *f =
            find(s, NULL, "R2.resistance=10ohm..1kohm", "R2 dissipation = 144 W", 0, 2);
        assert_int_equal(f->outcome, FIND_VALUE);
        assert_int_equal(f->roots, 2);
        near_rel(f->exact.value[0], nearest[i], 1e-5, "ohm");
    }
}

/* The same digits whatever the number of threads. */
static void jobs(void **state)
{
    (void)state;
    const struct scenario *s = shop_scenario(dropper);
    const struct finding *a = find(s, NULL, "R1.resistance", "B+ settled-voltage = 201 V", 0, 1);
    const struct finding *b = find(s, NULL, "R1.resistance", "B+ settled-voltage = 201 V", 0, 3);
    assert_true(a->exact.value[0] == b->exact.value[0] && a->exact.figure[0] == b->exact.figure[0]);
    assert_int_equal(a->iterations, b->iterations);
    for (int i = 0; i < FIND_GRID; i++) assert_true(a->grid[i].figure[0] == b->grid[i].figure[0]);
}

/* Silicon in place of a tube raises the volts; a resistor before the first capacitor brings them
 * back. A repair article (radio magazine, second hand) measured 264 V instead of 243 V after
 * exchanging a pair of 26Z5-W, cured with 200 to 220 ohm: 9 % too much. Here, a 5Y3-GT of another
 * set, it is 342 V and 396 V, 16 % too much: the tube drops more (50 V at 125 mA), and its
 * transformer less. The resistor, common to both plates, carries the peaks, four times the mean:
 * so it is of the same order, some hundred ohms, and not 54 V over 63 mA = 860 ohm. */
static void silicon_for_a_tube(void **state)
{
    (void)state;
    const struct scenario *s =
        scenario_read(arena, diags, shop_catalogue(), SOURCE_DIR "/scenarios/field-coil.yaml");
    assert_non_null(s);
    struct trial_options o = {0};
    const struct trial *tube = trial_run(arena, scenario_setup(arena, diags, s, NULL), &o);
    const struct trial *silicon = trial_run(arena, scenario_setup(arena, diags, s, "silicon"), &o);
    double before = run_figure(tube->run, "first filter", MEASURE_SETTLED_VOLTAGE)->value;
    double after = run_figure(silicon->run, "first filter", MEASURE_SETTLED_VOLTAGE)->value;
    assert_true(after / before > 1.05 && after / before < 1.25);
    struct overrides cure = overrides_new(arena);
    overrides_text(&cure, "V6", "cathode", "V6 cathode");
    overrides_resistor(&cure, "R9", "V6 cathode", "first filter", 100);
    const struct scenario *with = overrides_scenario(&cure, diags, s, "silicon", "cured");
    const char *wish = arena_printf(arena, "first filter settled-voltage = %.6g V", before);
    const struct finding *f = find(with, "cured", "R9.resistance", wish, 0, 2);
    assert_int_equal(f->outcome, FIND_VALUE);
    print_message("silicon: %.4g V -> %.4g V, cured by %.4g ohm\n", before, after,
                  f->exact.value[0]);
    assert_true(f->exact.value[0] > 100 && f->exact.value[0] < 600);
    near_rel(f->near[f->best].figure[0], before, 0.02, "V");
    assert_int_equal(f->load_count, FIND_LOADS);
}

/* 300 V behind 1 kohm into 50 mA times what is sought: its own table of loads goes by what was
 * found and not by what the scenario says. */
static void load_that_is_sought(void **state)
{
    (void)state;
    const struct scenario *s = shop_scenario(
        "format: 1\nreference: B-\nrun: {for: 1 s}\nparts:\n"
        "  B1: {is: battery, across: [A, B-], voltage: 300 V, resistance: 0 ohm}\n"
        "  R1: {is: resistor, across: [A, B+], resistance: 1 kohm}\n"
        "  C1: {is: capacitor, across: [B+, B-], value: 1 uF, rated: 350 V, leakage: none, "
        "make: film}\n"
        "  all: {is: load, across: [B+, B-], draws: 50 mA, like: constant current, scaled by: 2, "
        "heated by: always hot}\n");
    const struct finding *f = find(s, NULL, "all.scaled by", "B+ settled-voltage = 225 V", 0, 2);
    static const double volts[FIND_LOADS] = {262.5, 243.75, 206.25, 187.5};
    assert_int_equal(f->outcome, FIND_VALUE);
    near_rel(f->exact.value[0], 1.5, 1e-5, "times");
    assert_int_equal(f->load_count, FIND_LOADS);
    for (int i = 0; i < FIND_LOADS; i++) near_rel(f->loads[i].figure[0], volts[i], 1e-5, "V");
    f = find(s, NULL, "R1.resistance", "B+ settled-voltage = 225 V", 0, 2);
    near_rel(f->exact.value[0], 750, 1e-5, "ohm");
    for (int i = 0; i < FIND_LOADS; i++) near_rel(f->loads[i].figure[0], volts[i], 1e-5, "V");
}

static void refused_change(const struct scenario *s, const char *text, const char *message)
{
    struct changed changed;
    int before = diags_count(diags);
    assert_false(wish_parse_changed(arena, diags, s, NULL, text, &changed));
    assert_int_equal(diags_count(diags), before + 1);
    assert_non_null(strstr(diags_at(diags, before)->message, message));
}

static void refused_wish(const char *text, const char *message)
{
    struct wish wish;
    int before = diags_count(diags);
    assert_false(wish_parse(arena, diags, text, &wish));
    assert_string_equal(diags_at(diags, before)->at.file, text);
    assert_non_null(strstr(diags_at(diags, before)->message, message));
}

static void words(void **state)
{
    struct wish wish;
    struct changed c;
    (void)state;
    assert_true(wish_parse(arena, diags, "first filter ripple-rms<=200 mV", &wish));
    assert_string_equal(wish.subject, "first filter");
    assert_int_equal(wish.measure, MEASURE_RIPPLE_RMS);
    assert_int_equal(wish.relation, '<');
    near_rel(wish.value, 0.2, 1e-15, "V");
    refused_wish("B+ settled-voltage 250 V", "no `=`");
    refused_wish("B+ = 250 V", "subject and its measure");
    refused_wish("B+ settled-voltage = much", "is no value");
    refused_wish("B+ settled-voltage < 250 V +-2 %", "a limit has no tolerance");
    refused_wish("B+ settled-voltage = 250 V +-2 mA", "its tolerance is not");

    const struct scenario *s =
        scenario_read(arena, diags, shop_catalogue(), SOURCE_DIR "/scenarios/field-coil.yaml");
    assert_true(wish_parse_changed(arena, diags, s, NULL, "L1.resistance", &c));
    near_rel(c.now, 1500, 1e-15, "ohm");
    assert_string_equal(c.tail, " cold");
    assert_true(wish_parse_changed(arena, diags, s, NULL, "L1.inductance", &c));
    assert_true(isnan(c.now));
    assert_int_equal(c.unit, UNIT_HENRY);
    assert_true(wish_parse_changed(arena, diags, s, NULL, "C1.value=1uF..100uF", &c));
    near_rel(c.low, 1e-6, 1e-12, "F");
    near_rel(c.high, 100e-6, 1e-12, "F");
    refused_change(s, "C1", "names no key");
    refused_change(s, "V6.type", "no quantity to begin from");
    refused_change(s, "C1.value=5uF", "two values");
    refused_change(s, "C1.value=5uF..1uF", "the lower one first");
    refused_change(s, "C1.value=5V..10V", "it is given in farads");
}

static void unknown_figures(void **state)
{
    (void)state;
    const struct scenario *s = shop_scenario(dropper);
    static const struct {
        const char *wish, *message, *hint;
    } bad[] = {{"B+ setled-voltage = 2 V", "no figure `setled-voltage`", "settled-voltage"},
               {"B settled-voltage = 2 V", "there is no figure of `B`", "B+"},
               {"B+ settled-voltage = 2 A", "in volts, not in amperes", NULL}};
    for (int i = 0; i < 3; i++) {
        int before = diags_count(diags);
        const struct finding *f = find(s, NULL, "R1.resistance", bad[i].wish, 0.1, 2);
        assert_int_equal(f->outcome, FIND_UNKNOWN);
        assert_non_null(strstr(diags_at(diags, before)->message, bad[i].message));
        if (bad[i].hint) assert_non_null(strstr(diags_at(diags, before)->hint, bad[i].hint));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dropping_resistor),
        cmocka_unit_test(source_resistance),
        cmocka_unit_test(nearest_of_two),
        cmocka_unit_test(jobs),
        cmocka_unit_test(load_that_is_sought),
        cmocka_unit_test(silicon_for_a_tube),
        cmocka_unit_test(words),
        cmocka_unit_test(unknown_figures),
    };
    return cmocka_run_group_tests(tests, open_shop, shop_close);
}
