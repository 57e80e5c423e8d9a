/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What counts as better and worse, and which rows a comparison has. The set is invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "compare.h"
#include "near.h"
#include "several.h"

enum { BASE, SMALL, BIGGER, OPEN, COLUMNS };

static struct arena *arena;
static const struct turn_on *turn_ons[COLUMNS];
static const char *const names[COLUMNS] = {"base", "small", "bigger", "open"};
static const struct comparison *c;

static const char text[] =
    "format: 1\nreference: B-\nchart: {B+: 290 V}\n"
    "mains: {voltage: 117 V, frequency: 60 Hz, closes at: zero}\nrun: {for: 0.3 s}\nparts:\n"
    "  T1: {is: power transformer, ideal: yes, primary: {across: [line, neutral], rated: 117 V, "
    "resistance: 5 ohm}, windings: {high voltage: {across: [plate 1, B-, plate 2], open circuit: "
    "[230 V, 232 V], resistance: [60 ohm, 62 ohm]}}}\n"
    "  D1: {is: rectifier, threshold: 0.7 V, slope: 1 ohm, plates: [plate 1, plate 2], cathode: "
    "first, running peak current: 1 A}\n"
    "  R1: {is: resistor, across: [first, B+], resistance: 100 ohm}\n"
    "  C1: {is: capacitor, across: [first, B-], value: 20 uF, rated: 400 V, make: film, leakage: "
    "none, series resistance: 0.1 ohm}\n"
    "  C2: {is: capacitor, across: [B+, B-], value: 20 uF, rated: 400 V, make: film, leakage: "
    "none, "
    "series resistance: 0.1 ohm}\n"
    "  R2: {is: resistor, across: [B+, B-], resistance: 5 kohm}\n"
    "variants:\n"
    "  small: {C2: {rated: 250 V}}\n"
    "  bigger: {C1: {value: 40 uF}}\n"
    "  open: {R1: {condition: open}}\n";

static int open_shop(void **state)
{
    (void)state;
    arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct catalogue *catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    const struct scenario *s = scenario_parse(arena, diags, catalogue, "test.yaml", text);
    const struct setup *setups[COLUMNS];
    for (int i = 0; i < COLUMNS; i++) {
        setups[i] = s ? scenario_setup(arena, diags, s, names[i]) : NULL;
        if (!setups[i]) diags_print(diags, stderr);
        if (!setups[i]) return -1;
    }
    struct several_options o = {.run = run_defaults(), .jobs = 2};
    if (several_turn_on(arena, setups, COLUMNS, &o, turn_ons) != STATUS_OK) return -1;
    c = compare_make(arena, turn_ons, names, COLUMNS);
    return 0;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static const struct compare_row *row(const char *subject, enum measure measure, bool restart)
{
    for (int i = 0; i < c->rows.n; i++) {
        const struct compare_row *r = &c->rows.at[i];
        if (!strcmp(r->subject, subject) && r->measure == measure && r->restart == restart)
            return r;
    }
    return NULL;
}

static enum change change(const char *subject, enum measure measure, int column, double *size)
{
    const struct compare_row *r = row(subject, measure, false);
    assert_non_null(r);
    return compare_change(c, r, column, BASE, size);
}

static void rows_are_those_a_repair_turns_on(void **state)
{
    (void)state;
    assert_non_null(row("B+", MEASURE_SETTLED_VOLTAGE, false));
    assert_non_null(row("B+", MEASURE_RIPPLE_RMS, false));
    assert_non_null(row("D1", MEASURE_RUNNING_PEAK_CURRENT, false));
    assert_non_null(row("D1", MEASURE_INRUSH_PEAK_CURRENT, true));
    assert_non_null(row("T1.high voltage", MEASURE_RMS_CURRENT, false));
    assert_non_null(row("C2", MEASURE_SETTLED_VOLTAGE, false)); /* over in one column */
    assert_null(row("C1", MEASURE_SETTLED_VOLTAGE, false));     /* inside everywhere */
    assert_null(row("D1.1", MEASURE_RUNNING_PEAK_CURRENT, false));
    assert_null(row("T1.primary", MEASURE_RMS_CURRENT, false));
    assert_null(row("B+", MEASURE_SETTLING_TIME, false));
    assert_null(row("plate 1", MEASURE_SETTLED_VOLTAGE, false));
    for (int i = 1; i < c->rows.n; i++) assert_true(c->rows.at[i - 1].rank <= c->rows.at[i].rank);
}

static void the_worse_plate_stands_for_both(void **state)
{
    (void)state;
    const struct judged *cell = row("D1", MEASURE_RUNNING_PEAK_CURRENT, false)->cell[BASE];
    const struct figure *one =
        run_figure(turn_ons[BASE]->warm, "D1.1", MEASURE_RUNNING_PEAK_CURRENT);
    const struct figure *two =
        run_figure(turn_ons[BASE]->warm, "D1.2", MEASURE_RUNNING_PEAK_CURRENT);
    assert_true(one->value != two->value);
    near_rel(cell->figure.value, fmax(one->value, two->value), 0, "A");
}

static void better_and_worse(void **state)
{
    double size, volts = run_figure(turn_ons[BASE]->warm, "C2", MEASURE_SETTLED_VOLTAGE)->value;
    (void)state;
    assert_int_equal(change("C2", MEASURE_SETTLED_VOLTAGE, SMALL, &size), CHANGE_WORSE);
    near_rel(size, volts / 250 - volts / 400, 1e-9, "");
    assert_int_equal(change("C2", MEASURE_SETTLED_VOLTAGE, BIGGER, &size), CHANGE_NONE);
    assert_int_equal(change("B+", MEASURE_SETTLED_VOLTAGE, SMALL, &size), CHANGE_NONE);
    near_abs(size, 0, 1e-15, "");
    assert_int_equal(change("B+", MEASURE_RIPPLE_RMS, BIGGER, &size), CHANGE_BETTER);
    assert_true(size < -0.3 && size > -0.7); /* twice the capacitor, half the ripple */
    near_abs(compare_chart(turn_ons[BASE], "B+"), 290, 1e-12, "V");
    assert_true(isnan(compare_chart(turn_ons[BASE], "first")));
}

/* With the way to B+ open its volts, ripple and currents are gone: that is no improvement. */
static void what_is_dead_is_not_better(void **state)
{
    double size;
    (void)state;
    assert_int_equal(change("B+", MEASURE_RIPPLE_RMS, OPEN, &size), CHANGE_NONE);
    assert_int_equal(change("C2", MEASURE_SETTLED_VOLTAGE, OPEN, &size), CHANGE_NONE);
    assert_int_equal(change("B+", MEASURE_SETTLED_VOLTAGE, OPEN, &size),
                     CHANGE_WORSE); /* the chart */
}

/* One row of two columns made by hand: shares of a rating, and values beside them. */
static void a_twentieth_of_the_rating_is_a_change(void **state)
{
    static const struct {
        double then, now, value; /* shares; the value now over that then */
        enum change change;
    } rows[] = {
        {0.50, 0.549, 1.1, CHANGE_NONE},      {0.50, 0.551, 1.1, CHANGE_WORSE},
        {0.50, 0.451, 0.9, CHANGE_NONE},      {0.50, 0.449, 0.9, CHANGE_BETTER},
        {0.99, 1.01, 1.02, CHANGE_WORSE},     {1.01, 0.99, 0.98, CHANGE_BETTER},
        {0.50, 0.02, 0.049, CHANGE_NONE},     {0.50, 0.03, 0.051, CHANGE_BETTER},
        {HUGE_VAL, HUGE_VAL, 1, CHANGE_NONE},
    };
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        const struct judged then = {.figure.value = 2, .share = rows[k].then},
                            now = {.figure.value = 2 * rows[k].value, .share = rows[k].now};
        const struct judged *cells[2] = {&then, &now};
        const struct compare_row by_hand = {.cell = cells};
        double size;
        assert_int_equal(compare_change(c, &by_hand, 1, 0, &size), rows[k].change);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_are_those_a_repair_turns_on),
        cmocka_unit_test(the_worse_plate_stands_for_both),
        cmocka_unit_test(better_and_worse),
        cmocka_unit_test(what_is_dead_is_not_better),
        cmocka_unit_test(a_twentieth_of_the_rating_is_a_change),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
