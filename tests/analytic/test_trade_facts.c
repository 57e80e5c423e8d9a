/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every bench knows of a small AC set, held against the program. All of it is common practice,
 * no source: the high-voltage winding reads about 640 V AC over both halves with the rectifier tube
 * out and the other tubes in; filter capacitors are marked 450 V; unloaded the first capacitor
 * stands at the crest of one half, 452 V, and so above its marking in the seconds before the tubes
 * draw; the rectifier then sees about twice that backwards. The set is invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "summary.h"
#include "turn_on.h"

/* Open circuit 325 V each half: what the tubes' heaters leave of it reads 640 V end to end. */
#define SMALL_SET                                                                                  \
    "format: 1\n"                                                                                  \
    "title: small AC set (invented)\n"                                                             \
    "mains: {voltage: 117 V, frequency: 60 Hz, closes at: crest}\n"                                \
    "run: {for: 20 s}\n"                                                                           \
    "parts:\n"                                                                                     \
    "  T1:\n"                                                                                      \
    "    is: power transformer\n"                                                                  \
    "    primary: {across: [line, neutral], rated: 117 V, resistance: 3.6 ohm}\n"                  \
    "    windings:\n"                                                                              \
    "      high voltage: {across: [plate 1, chassis, plate 2], open circuit: [325 V, 325 V], "     \
    "with line at: 117 V, with: tubes out, resistance: [115 ohm, 115 ohm]}\n"                      \
    "      rectifier heater: {open circuit: 5.2 V}\n"                                              \
    "      tube heaters: {open circuit: 6.5 V}\n"                                                  \
    "  V6: {is: rectifier, type: 5Y3-GT, plates: [plate 1, plate 2], cathode: first filter, "      \
    "heated by: rectifier heater}\n"                                                               \
    "  C1: {is: capacitor, across: [first filter, chassis], value: 8 uF, rated: 450 V}\n"          \
    "  L1: {is: field coil, across: [first filter, B+], inductance: 12 H, resistance: 1500 ohm}\n" \
    "  C2: {is: capacitor, across: [B+, chassis], value: 8 uF, rated: 450 V}\n"                    \
    "  tubes: {is: load, across: [B+, chassis], draws: 60 mA at 225 V, like: tubes, lineup: "      \
    "[6A8-G, 6K7-G, 6Q7-G, 6F6-G], heated by: tube heaters}\n"                                     \
    "variants:\n"                                                                                  \
    "  rectifier out: {V6: {fitted: no}}\n"                                                        \
    "  600 V capacitors: {C1: {rated: 600 V}, C2: {rated: 600 V}}\n"

static struct arena *arena;
static const struct scenario *scenario;
static struct diags *diags;
static const struct turn_on *base;

static const struct turn_on *switch_on(const char *variant, double seconds)
{
    struct run_options o = run_defaults();
    const struct setup *setup = scenario_setup(arena, diags, scenario, variant);
    if (!setup) diags_print(diags, stderr);
    if (!setup) return NULL;
    o.duration = seconds;
    o.trace = true;
    return turn_on(arena, setup, &o);
}

static int open_shop(void **state)
{
    (void)state;
    arena = arena_new();
    diags = diags_new(arena);
    const struct catalogue *catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    scenario = scenario_parse(arena, diags, catalogue, "small set", SMALL_SET);
    if (!scenario) diags_print(diags, stderr);
    if (scenario) base = switch_on("base", 0);
    return base ? 0 : -1;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static const struct figure *found(const struct turn_on *t, const char *subject,
                                  enum measure measure)
{
    const struct figure *f = run_figure(t->run, subject, measure);
    if (!f) fail_msg("no %s of %s", measure_table[measure].name, subject);
    return f;
}

static double figure(const struct turn_on *t, const char *subject, enum measure measure)
{
    return found(t, subject, measure)->value;
}

/* The summary, its line breaks and indents made single blanks. */
static char *summary_of(const struct turn_on *t)
{
    char *text = NULL;
    size_t size = 0, n = 0;
    FILE *to = open_memstream(&text, &size);
    assert_non_null(to);
    summary_write(to, arena, t, NULL);
    fclose(to);
    char *plain = ARENA_ARRAY(arena, char, size + 1);
    for (size_t i = 0; i < size; i++) {
        char c = text[i] == '\n' ? ' ' : text[i];
        if (c != ' ' || (n > 0 && plain[n - 1] != ' ')) plain[n++] = c;
    }
    plain[n] = '\0';
    free(text);
    return plain;
}

static void assert_says(const char *text, const char *words)
{
    if (!strstr(text, words)) fail_msg("`%s` is not in: %s", words, text);
}

/* --- tests ---------------------------------------------------------------------------------- */

static void winding_reads_640_volts_without_rectifier(void **state)
{
    const struct turn_on *t = switch_on("rectifier out", 6);
    (void)state;
    double both = figure(t, "T1.high voltage 1", MEASURE_RMS_VOLTAGE) +
                  figure(t, "T1.high voltage 2", MEASURE_RMS_VOLTAGE);
    printf("rectifier out: %.1f V AC over both halves (about 640 V)\n", both);
    near_rel(both, 640, 0.015, "V");
    near_abs(figure(t, "C1", MEASURE_HIGHEST_VOLTAGE), 0, 1e-6, "V");
}

static void first_capacitor_stands_over_450_volts_before_the_tubes_draw(void **state)
{
    const struct figure *high = found(base, "C1", MEASURE_HIGHEST_VOLTAGE);
    (void)state;
    printf("first capacitor: %.1f V at %.2f s (452 V), settled %.1f V\n", high->value, high->time,
           figure(base, "C1", MEASURE_SETTLED_VOLTAGE));
    near_rel(high->value, 452, 0.01, "V");
    near_rel(high->value, 640 / sqrt(2), 0.015, "V");
    assert_true(high->value > 450);
    /* the rectifier is there, the other tubes are not yet */
    assert_true(high->time > 2 && high->time < 10);
    assert_true(figure(base, "C1", MEASURE_SETTLED_VOLTAGE) < 380);
}

/* What the summary says one must stop for. */
static const char *stops_of(const struct turn_on *t)
{
    char *stops = strstr(summary_of(t), "Look at this first"), *end;
    assert_non_null(stops);
    end = strstr(stops, "What the meter should");
    assert_non_null(end);
    *end = '\0';
    return stops;
}

static void summary_says_so(void **state)
{
    const char *stops = stops_of(base);
    (void)state;
    printf("%s\n", stops);
    assert_says(stops, "C1");
    assert_says(stops, "exceed");
    assert_says(stops, "450 V working voltage");
    assert_says(stops, "before the tubes draw");
    assert_says(stops, arena_printf(arena, "%.0f V", figure(base, "C1", MEASURE_HIGHEST_VOLTAGE)));
}

static void summary_is_silent_of_better_capacitors(void **state)
{
    const char *stops = stops_of(switch_on("600 V capacitors", 12));
    (void)state;
    assert_null(strstr(stops, "C1"));
    assert_null(strstr(stops, "working"));
    assert_null(strstr(stops, "before the tubes draw"));
}

static void rectifier_sees_twice_that_backwards(void **state)
{
    double twice = 2 * figure(base, "C1", MEASURE_HIGHEST_VOLTAGE);
    (void)state;
    for (int k = 0; k < 2; k++) {
        const char *plate = k ? "V6.2" : "V6.1";
        printf("%s: %.1f V backwards, %.3f of twice the first capacitor's volts\n", plate,
               figure(base, plate, MEASURE_INVERSE_VOLTAGE),
               figure(base, plate, MEASURE_INVERSE_VOLTAGE) / twice);
        near_rel(figure(base, plate, MEASURE_INVERSE_VOLTAGE), twice, 0.02, "V");
        /* loaded, it is less */
        assert_true(figure(base, plate, MEASURE_INVERSE_VOLTAGE) >
                    1.1 * 2 * figure(base, "C1", MEASURE_SETTLED_VOLTAGE));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(winding_reads_640_volts_without_rectifier),
        cmocka_unit_test(first_capacitor_stands_over_450_volts_before_the_tubes_draw),
        cmocka_unit_test(summary_says_so),
        cmocka_unit_test(summary_is_silent_of_better_capacitors),
        cmocka_unit_test(rectifier_sees_twice_that_backwards),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
