/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rows of the table of measures agree with themselves and each other. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "measure.h"

static void test_names_find_their_measure(void **state)
{
    (void)state;
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES;
         m++) /* two of one name: the second is not found */
        assert_int_equal(measure_find(measure_table[m].name), m);
    assert_int_equal(measure_find("settled-voltage"), MEASURE_SETTLED_VOLTAGE);
    assert_int_equal(measure_find("interrupted-at"), MEASURE_INTERRUPTED_AT);
    assert_int_equal(measure_find("setled-voltage"), MEASURE_NONE);
    assert_int_equal(measure_find("settled-voltages"), MEASURE_NONE);
    assert_int_equal(measure_find(""), MEASURE_NONE);
}

/* A wish is read up to its last blank; a name is one field of figures.csv without quotes. */
static void test_names_are_one_word_and_words_are_there(void **state)
{
    (void)state;
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES; m++) {
        const struct measure_row *row = &measure_table[m];
        if (!*row->name || strpbrk(row->name, " ,\"<>=") || !row->words || !*row->words)
            fail_msg("row %d `%s`", m, row->name);
    }
}

/* watch.c looks at channels of volts, amperes and watts, and at temperatures. */
static void test_what_is_followed_has_a_unit_that_can_be(void **state)
{
    (void)state;
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES; m++) {
        const struct measure_row *row = &measure_table[m];
        if (row->view == VIEW_NONE) {
            if (row->probe || row->least_seconds > 0) fail_msg("%s is not followed", row->name);
            continue;
        }
        bool channel = row->unit == UNIT_VOLT || row->unit == UNIT_AMPERE || row->unit == UNIT_WATT;
        if ((row->view == VIEW_KELVIN) != (row->unit == UNIT_CELSIUS) ||
            channel == (row->view == VIEW_KELVIN))
            fail_msg("%s cannot be followed", row->name);
    }
}

static void test_columns_of_trials_have_a_head(void **state)
{
    (void)state;
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES; m++) {
        const struct measure_row *row = &measure_table[m];
        if ((row->compared & COMPARED_POINT || row->panel != PANEL_NONE) && !row->head)
            fail_msg("%s has no head", row->name);
    }
}

/* `compare` shows the first peak of the restart, everything else of the run. */
static void test_one_measure_is_foremost_of_the_restart(void **state)
{
    (void)state;
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES; m++)
        assert_int_equal(measure_table[m].restart == RESTART_FOREMOST,
                         m == MEASURE_INRUSH_PEAK_CURRENT);
}

static void test_a_meter_shows_volts_and_ripple(void **state)
{
    (void)state;
    assert_int_equal(measure_on(RANGE_DC), MEASURE_SETTLED_VOLTAGE);
    assert_int_equal(measure_on(RANGE_AC), MEASURE_RIPPLE_RMS);
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES; m++)
        if (measure_table[m].range != RANGE_NONE)
            assert_int_equal(measure_table[m].unit, UNIT_VOLT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_names_find_their_measure),
        cmocka_unit_test(test_names_are_one_word_and_words_are_there),
        cmocka_unit_test(test_what_is_followed_has_a_unit_that_can_be),
        cmocka_unit_test(test_columns_of_trials_have_a_head),
        cmocka_unit_test(test_one_measure_is_foremost_of_the_restart),
        cmocka_unit_test(test_a_meter_shows_volts_and_ripple),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
