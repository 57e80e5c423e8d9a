/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value laid over a scenario gives the run of a file with that value in it, digit for digit; a
 * divider fed by a battery gives its closed form; the limit of a first capacitor agrees with the
 * closed form of its charging peak. All sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "limit.h"
#include "near.h"
#include "shop.h"
#include "sweep.h"

static struct arena *arena;
static struct diags *diags;

static int open_shop(void **state)
{
    int bad = shop_open(state);
    arena = shop_arena();
    diags = diags_new(arena);
    return bad;
}

static const struct trial *run(const struct setup *setup)
{
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    const struct trial *t = trial_run(arena, setup, &(struct trial_options){0});
    assert_int_equal(t->status, STATUS_OK);
    assert_false(t->run->statistics.audit_failed);
    return t;
}

/* An ideal rectifier behind 30 ohm, a capacitor, a load. */
static const char *half_wave(const char *farads, const char *ohms)
{
    return arena_printf(arena,
                        "format: 1\nreference: B-\n"
                        "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, across: "
                        "[line, B-]}\nrun: {for: 2 s}\nparts:\n"
                        "  R1: {is: resistor, across: [line, AC in], resistance: 30 ohm}\n"
                        "  D1: {is: rectifier, type: ideal, plates: [AC in], cathode: B+}\n"
                        "  C1: {is: capacitor, across: [B+, B-], value: %s, rated: 200 V, leakage: "
                        "none, series resistance: 0 ohm, make: film}\n"
                        "  R2: {is: resistor, across: [B+, B-], resistance: %s}\n",
                        farads, ohms);
}

static void same_figures(const struct judgement *a, const struct judgement *b)
{
    assert_int_equal(a->all.n, b->all.n);
    for (int i = 0; i < a->all.n; i++) {
        const struct figure *x = &a->all.at[i].figure, *y = &b->all.at[i].figure;
        assert_string_equal(x->subject, y->subject);
        assert_int_equal(x->measure, y->measure);
        assert_memory_equal(&x->value, &y->value, sizeof x->value);
    }
}

static void a_trial_is_the_run_of_a_file_with_that_value(void **state)
{
    (void)state;
    struct sweep s[2];
    const struct scenario *base = shop_scenario(half_wave("5 uF", "9 kohm"));
    assert_true(sweep_parse(arena, diags, "C1.value=10uF..30uF/3", &s[0]));
    assert_true(sweep_parse(arena, diags, "R2.resistance=2kohm,3.3kohm", &s[1]));
    static const char *const farads[] = {"10 uF", "20uF", "30e-6 F"};
    static const char *const ohms[] = {"2000 ohm", "3.3 kohm"};
    for (int i = 0; i < sweep_pieces(s, 2); i++) {
        const struct trial *tried = run(sweep_setup(arena, diags, base, NULL, s, 2, i));
        const struct scenario *file = shop_scenario(half_wave(farads[i / 2], ohms[i % 2]));
        same_figures(tried->judgement, run(scenario_setup(arena, diags, file, NULL))->judgement);
        assert_string_equal(tried->judgement->all.at[0].variant, sweep_label(arena, s, 2, i));
    }
}

/* Ends in the steady state, with the value that a run of two seconds waits for. */
static void ends_when_settled(void **state)
{
    (void)state;
    const struct scenario *s = shop_scenario(half_wave("10 uF", "2 kohm"));
    const struct setup *setup = scenario_setup(arena, diags, s, NULL);
    const struct trial *t = run(setup);
    assert_true(trial_volts_settled(t->run));
    assert_true(t->run->statistics.steady && t->run->end < 0.7);
    struct run_options o = run_defaults();
    o.hot = 1;
    const struct result *whole = run_simulate(arena, setup, &o);
    near_abs(whole->end, 2, 1e-9, "s");
    near_rel(run_figure(t->run, "B+", MEASURE_SETTLED_VOLTAGE)->value,
             run_figure(whole, "B+", MEASURE_SETTLED_VOLTAGE)->value, 1e-7, "V");
}

/* V = E R2 / (R1 + R2). */
static void divider(void **state)
{
    (void)state;
    const struct scenario *s = shop_scenario(
        "format: 1\nreference: B-\nrun: {for: 1 s}\nparts:\n"
        "  B1: {is: battery, across: [A, B-], voltage: 90 V, resistance: 0 ohm}\n"
        "  R1: {is: resistor, across: [A, B+], resistance: 1 kohm}\n"
        "  R2: {is: resistor, across: [B+, B-], resistance: 2 kohm}\n"
        "  C1: {is: capacitor, across: [B+, B-], value: 1 uF, rated: 200 V, leakage: none, "
        "series resistance: 0 ohm, make: film}\n");
    struct sweep sweep;
    assert_true(sweep_parse(arena, diags, "R1.resistance=500ohm..8kohm/6", &sweep));
    for (int i = 0; i < 6; i++) {
        const struct trial *t = run(sweep_setup(arena, diags, s, NULL, &sweep, 1, i));
        assert_null(t->crest);
        assert_null(t->zero);
        near_rel(run_figure(t->run, "B+", MEASURE_SETTLED_VOLTAGE)->value,
                 90 * 2000 / (2000 + sweep.values.at[i].value), 1e-6, "V");
    }
}

/* The same with a rectifier of 0.7 V and 0.04 ohm, which has ratings. A part and a point have
 * the names that the search for a limit would give to its own. */
static const struct scenario *rated(const char *rating)
{
    return shop_scenario(
        arena_printf(arena,
                     "format: 1\nreference: B-\n"
                     "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0 ohm, across: "
                     "[line, B-]}\nrun: {for: 2 s}\nparts:\n"
                     "  D1 resistor 1: {is: resistor, across: [line, D1 plate 1], resistance: 30 "
                     "ohm}\n"
                     "  D1: {is: rectifier, threshold: 0.7 V, slope: 0.04 ohm, plates: [D1 "
                     "plate 1], cathode: B+, %s}\n"
                     "  C1: {is: capacitor, across: [B+, B-], value: 10 uF, rated: 200 V, "
                     "leakage: none, series resistance: 0 ohm, make: film}\n"
                     "  R2: {is: resistor, across: [B+, B-], resistance: 2 kohm}\n",
                     rating));
}

/* Closed at the crest onto an empty capacitor the current is highest at the first instant,
 * (sqrt(2) 117 V - 0.7 V) / 30.04 ohm = 5.48 A whatever the capacitor. So with a rating of 3 A no
 * capacitor is allowed; with 45 ohm more, 2.20 A, any is. */
static void limit_of_the_first_capacitor(void **state)
{
    (void)state;
    const struct scenario *s = rated("inrush peak current: 3 A");
    const struct setup *setup = scenario_setup(arena, diags, s, NULL);
    assert_string_equal(limit_rectifier(setup, "C1.value"), "D1");
    assert_null(limit_rectifier(setup, "R2.resistance"));
    assert_null(limit_rectifier(setup, "C1.rated"));
    struct trial_options o = {.duration = 0.5};
    struct limit l = limit_capacitor(arena, s, NULL, "C1.value", "D1", 0, &o);
    assert_int_equal(l.status, STATUS_OK);
    assert_true(l.none);
    l = limit_capacitor(arena, s, NULL, "C1.value", "D1", 45, &o);
    assert_int_equal(l.status, STATUS_OK);
    assert_true(l.beyond);
    near_rel(l.share, (sqrt(2) * 117 - 0.7) / 75.04 / 3, 1e-4, "");
}

/* Inside with the answer of two digits, over with little more than one in its last digit. */
static void limit_is_where_the_rating_is_met(void **state)
{
    (void)state;
    const struct scenario *s = rated("running peak current: 500 mA");
    struct trial_options o = {.duration = 0.4};
    struct limit l = limit_capacitor(arena, s, NULL, "C1.value", "D1", 0, &o);
    assert_int_equal(l.status, STATUS_OK);
    assert_false(l.none || l.beyond);
    assert_true(l.share <= 1 && l.share > 0.9);
    assert_int_equal(l.measure, MEASURE_RUNNING_PEAK_CURRENT);
    char farads[64];
    double last = pow(10, floor(log10(l.farads)) - 1);
    quantity_text(l.farads + 1.5 * last, UNIT_FARAD, 6, farads, sizeof farads);
    struct overrides more = overrides_new(arena);
    overrides_text(&more, "C1", "value", farads);
    const struct trial *t = trial_with(arena, diags, s, NULL, "more", &more, &o);
    assert_true(run_figure(t->run, "D1", MEASURE_RUNNING_PEAK_CURRENT)->value > 0.5);
}

/* The sheet's own 5 uF, of which 2 uF stand there already, and its 75 ohm are told beside what the
 * peaks allow: 3 uF are left, 30 ohm and nothing else are there, 45 ohm more make it up. */
static void limit_of_the_sheet(void **state)
{
    (void)state;
    static const char other[] = "{is: capacitor, across: [B+, B-], value: 2 uF, rated: 200 V, "
                                "leakage: none, series resistance: 0 ohm, make: film}";
    const struct scenario *s = rated("running peak current: 500 mA, first capacitor: 5 uF, supply "
                                     "impedance: 75 ohm at 117 V");
    struct trial_options o = {.duration = 0.4};
    struct overrides more = overrides_new(arena);
    assert_true(overrides_assign(&more, diags, "C2", other));
    const struct scenario *with = overrides_scenario(&more, diags, s, NULL, "more");
    struct limit l = limit_capacitor(arena, with, "more", "C1.value", "D1", 0, &o);
    assert_int_equal(l.status, STATUS_OK);
    assert_true(l.farads > 5e-6); /* by the peaks */
    near_rel(l.others, 2e-6, 1e-9, "F");
    near_rel(l.sheet, 3e-6, 1e-9, "F");
    near_rel(l.least_ohms, 75, 1e-9, "ohm");
    near_rel(l.ohms, 30, 1e-9, "ohm");
    assert_non_null(l.sheet_proof);
    assert_true(l.sheet_share < l.share && l.sheet_share > 0);
    const struct judged *first = judge_worst(
        l.sheet_proof->judgement, l.sheet_proof->setup->variant, "D1", MEASURE_FIRST_CAPACITOR);
    near_rel(first->figure.value, 5e-6, 1e-9, "F");
    assert_int_not_equal(first->verdict, VERDICT_OVER);
    l = limit_capacitor(arena, with, "more", "C1.value", "D1", 45, &o);
    near_rel(l.ohms, 75, 1e-9, "ohm");

    /* where the peaks allow less, no run is made for the sheet; where it is silent, nothing is told
     */
    l = limit_capacitor(arena, rated("running peak current: 500 mA, first capacitor: 80 uF"), NULL,
                        "C1.value", "D1", 0, &o);
    near_rel(l.sheet, 80e-6, 1e-9, "F");
    assert_null(l.sheet_proof);
    l = limit_capacitor(arena, rated("running peak current: 500 mA"), NULL, "C1.value", "D1", 0,
                        &o);
    assert_true(isnan(l.sheet) && isnan(l.least_ohms) && l.sheet_proof == NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_trial_is_the_run_of_a_file_with_that_value),
        cmocka_unit_test(ends_when_settled),
        cmocka_unit_test(divider),
        cmocka_unit_test(limit_of_the_first_capacitor),
        cmocka_unit_test(limit_is_where_the_rating_is_met),
        cmocka_unit_test(limit_of_the_sheet),
    };
    return cmocka_run_group_tests(tests, open_shop, shop_close);
}
