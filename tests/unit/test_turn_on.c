/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When there is a hot restart and what is kept of it. The set is invented: a half-wave supply of
 * silicon on the line, and what can be left out of it. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "turn_on.h"

static struct arena *arena;
static struct diags *diags;
static const struct catalogue *catalogue;

static int open_shop(void **state)
{
    (void)state;
    arena = arena_new();
    diags = diags_new(arena);
    catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    return catalogue ? 0 : -1;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

#define DIODE "  D1: {is: rectifier, type: 1N4007, plates: [line], cathode: first filter}\n"
#define FILTER                                                                                     \
    "  R1: {is: resistor, across: [first filter, B-], resistance: 2 kohm}\n"                       \
    "  R2: {is: resistor, across: [line, first filter], resistance: 1 Mohm}\n"                     \
    "  C1: {is: capacitor, across: [first filter, B-], value: 20 uF, rated: 160 V, leakage: "      \
    "none, series resistance: 2 ohm}\n"

static const struct setup *set_up(const char *closes, const char *start, const char *parts)
{
    const char *text = arena_printf(arena,
                                    "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: "
                                    "60 Hz, across: [line, B-], resistance: 5 ohm%s}\n"
                                    "run: {for: 0.25 s, start: %s}\nparts:\n%s",
                                    closes, start, parts);
    const struct scenario *s = scenario_parse(arena, diags, catalogue, "test.yaml", text);
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    return setup;
}

static const struct judged *find(const struct turn_on *t, const char *variant, enum measure measure)
{
    for (int i = 0; i < t->judgement->all.n; i++) {
        const struct judged *row = &t->judgement->all.at[i];
        if (strcmp(row->variant, variant) == 0 && row->figure.measure == measure) return row;
    }
    return NULL;
}

static void restart_is_short_hot_and_at_the_worst_angle(void **state)
{
    const struct setup *setup = set_up(", closes at: zero", "cold", DIODE FILTER);
    struct run_options o = run_defaults();
    (void)state;
    o.trace = true;
    const struct turn_on *t = turn_on(arena, setup, &o);
    assert_int_equal(t->status, STATUS_OK);
    assert_ptr_equal(t->setup, setup);
    assert_non_null(t->restart);
    near_abs(t->run->end, 0.25, 1e-9, "s");
    near_abs(t->restart->end, 0.1, 1e-9, "s");
    near_abs(t->run->closing_angle, 0, 1e-12, "rad");
    near_abs(t->restart->closing_angle, run_worst_angle(arena, setup, NULL), 1e-12, "rad");
    assert_non_null(t->run->trace);
    assert_non_null(t->restart->trace);
    const struct judged *run = find(t, "base", MEASURE_INRUSH_PEAK_CURRENT);
    const struct judged *hot = find(t, "base (hot restart)", MEASURE_INRUSH_PEAK_CURRENT);
    assert_true(run && hot && run->rating && hot->rating);
    assert_true(hot->figure.value > 2 * run->figure.value);
    /* at the crest the empty capacitor is a short behind 7 ohm and the diode */
    near_rel(hot->figure.value, sqrt(2) * 117 / 7.2, 0.05, "A");
}

static void restart_keeps_only_what_few_cycles_tell(void **state)
{
    const struct turn_on *t = turn_on(arena, set_up(", closes at: crest", "cold", DIODE FILTER),
                                      &(struct run_options){.angle = (double)NAN});
    static const enum measure kept[] = {MEASURE_HIGHEST_VOLTAGE, MEASURE_INVERSE_VOLTAGE,
                                        MEASURE_INRUSH_PEAK_CURRENT, MEASURE_PEAK_DURATION,
                                        MEASURE_PEAK_I2T};
    static const enum measure gone[] = {MEASURE_SETTLED_VOLTAGE, MEASURE_SETTLED,
                                        MEASURE_AVERAGE_CURRENT, MEASURE_RUNNING_PEAK_CURRENT,
                                        MEASURE_DISSIPATION,     MEASURE_LINE_POWER,
                                        MEASURE_RIPPLE_RMS,      MEASURE_STORED_ENERGY};
    (void)state;
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++)
        assert_non_null(find(t, "base (hot restart)", kept[i]));
    for (size_t i = 0; i < sizeof gone / sizeof gone[0]; i++) {
        assert_null(find(t, "base (hot restart)", gone[i]));
        assert_non_null(find(t, "base", gone[i]));
    }
}

static void worst_angle_of_the_run_serves_the_restart(void **state)
{
    const struct turn_on *t = turn_on(arena, set_up("", "cold", DIODE FILTER),
                                      &(struct run_options){.angle = (double)NAN});
    (void)state;
    near_abs(t->restart->closing_angle, t->run->closing_angle, 0, "rad");
    t = turn_on(arena, set_up("", "cold", DIODE FILTER), &(struct run_options){.angle = PI});
    near_abs(t->run->closing_angle, PI, 0, "rad");
    assert_true(fabs(t->restart->closing_angle - PI) > 0.1);
}

/* In degrees Celsius, from the room's on: hardly warmer after a quarter of a second. */
static void record_of_heat_begins_with_the_room(void **state)
{
    struct run_options o = run_defaults();
    (void)state;
    o.trace = true;
    const struct turn_on *t = turn_on(
        arena,
        set_up(", closes at: crest", "hot",
               DIODE "  C1: {is: capacitor, across: [first filter, B-], value: 20 uF, rated: 160 "
                     "V, make: dry}\n"
                     "  R1: {is: resistor, across: [first filter, B-], resistance: 2 kohm}\n"),
        &o);
    const struct result heat = run_heat(t->run);
    int at = -1;
    for (int k = 0; k < heat.columns.n; k++)
        if (strcmp(heat.columns.at[k], "C1 [degC]") == 0) at = k;
    assert_true(at >= 0 && trace_rows(heat.trace) > 2);
    near_abs(trace_values(heat.trace, 0)[at], 25, 0.02, "C");
}

/* The peak is highest near the crest that the rectifier carries: an eighth of a turn before it at
 * most. Of one turned round that crest is the negative one. */
static void worst_angle_lies_before_the_crest_that_conducts(void **state)
{
    static const char turned[] = "  D1: {is: rectifier, type: 1N4007, plates: [first filter], "
                                 "cathode: line}\n";
    double angle = run_worst_angle(arena, set_up("", "cold", DIODE FILTER), NULL);
    (void)state;
    assert_true(angle > PI / 4 - 1e-9 && angle < PI / 2 + 1e-9);
    double other = run_worst_angle(
        arena, set_up("", "cold", arena_printf(arena, "%s%s", turned, FILTER)), NULL);
    near_abs(other, angle + PI, 1e-9, "rad");
}

static const struct turn_on *plain(const char *closes, const char *start, const char *parts)
{
    return turn_on(arena, set_up(closes, start, parts),
                   &(struct run_options){.angle = (double)NAN});
}

static void sometimes_there_is_no_restart(void **state)
{
    struct run_options hot = {.angle = (double)NAN, .hot = 1};
    (void)state;
    assert_null(plain(", closes at: crest", "hot", DIODE FILTER)->restart);
    assert_null(turn_on(arena, set_up(", closes at: crest", "cold", DIODE FILTER), &hot)->restart);
    assert_null(plain(", closes at: crest", "cold", FILTER)->restart); /* no rectifier */
    const struct turn_on *off = plain(", state: off", "cold", DIODE FILTER);
    assert_null(off->restart);
    assert_int_equal(off->status, STATUS_OK);
    assert_null(find(off, "base (hot restart)", MEASURE_HIGHEST_VOLTAGE));
}

static int stop_at_once(void *context, double done)
{
    (void)done;
    ++*(int *)context;
    return 1;
}

static void interrupted_run_has_no_restart(void **state)
{
    int calls = 0;
    struct run_options o = run_defaults();
    (void)state;
    o.progress = stop_at_once;
    o.progress_context = &calls;
    const struct turn_on *t =
        turn_on(arena, set_up(", closes at: crest", "cold", DIODE FILTER), &o);
    assert_int_equal(calls, 1);
    assert_int_equal(t->status, STATUS_INTERRUPTED);
    assert_null(t->restart);
    assert_true(t->run->end < 0.25);
    assert_non_null(find(t, "base", MEASURE_INRUSH_PEAK_CURRENT));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(restart_is_short_hot_and_at_the_worst_angle),
        cmocka_unit_test(restart_keeps_only_what_few_cycles_tell),
        cmocka_unit_test(worst_angle_of_the_run_serves_the_restart),
        cmocka_unit_test(record_of_heat_begins_with_the_room),
        cmocka_unit_test(worst_angle_lies_before_the_crest_that_conducts),
        cmocka_unit_test(sometimes_there_is_no_restart),
        cmocka_unit_test(interrupted_run_has_no_restart),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
