/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole radio with everything the format has, the same text cut off at every byte, and a set of
 * 200 parts. Both are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "scenario.h"

static const struct catalogue *catalogue;

struct bench {
    struct arena *arena;
    struct diags *diags;
    const struct scenario *s;
};

static struct bench bench_of(const char *text)
{
    struct bench b = {.arena = arena_new()};
    b.diags = diags_new(b.arena);
    b.s = scenario_parse(b.arena, b.diags, catalogue, "t.yaml", text);
    return b;
}

static const struct setup *set_up(const struct bench *b, const char *variant)
{
    const struct setup *setup = scenario_setup(b->arena, b->diags, b->s, variant);
    if (diags_errors(b->diags) > 0) diags_print(b->diags, stderr);
    assert_int_equal(diags_errors(b->diags), 0);
    assert_non_null(setup);
    return setup;
}

/* Flags of the probe of a point; 0: it has none. */
static unsigned point_flags(const struct setup *setup, const char *point)
{
    const struct circuit *c = setup->stages.at[0].circuit;
    for (int i = 0; i < c->probes.n; i++)
        if ((c->probes.at[i].flags & PROBE_POINT) && strcmp(c->probes.at[i].subject, point) == 0)
            return c->probes.at[i].flags;
    return 0;
}

/* The whole of the format: transformer, rectifier, field coil, load, chart, variants, timed
 * changes. */
static const char radio[] =
    "format: 1\n"
    "title: Six-tube table set (invented)\n"
    "mains: {voltage: 121 V, frequency: 60 Hz, closes at: crest}\n"
    "parts:\n"
    "  T1:\n"
    "    is: power transformer\n"
    "    primary: {across: [line, neutral], rated: 117 V, resistance: 8.4 ohm}\n"
    "    windings:\n"
    "      high voltage: {across: [plate 1, chassis, plate 2], open circuit: [344 V, 346 V], with "
    "line at: 121 V, "
    "resistance: [112 ohm, 121 ohm]}\n"
    "      rectifier heater: {open circuit: 5.3 V}\n"
    "      tube heaters: {across: [h1, h2], open circuit: 6.7 V}\n"
    "  V6: {is: rectifier, type: 5Y3-GT, plates: [plate 1, plate 2], cathode: first filter, heated "
    "by: rectifier "
    "heater}\n"
    "  C1: {is: capacitor, across: [first filter, chassis], value: 8 uF, rated: 450 V}\n"
    "  L1: {is: field coil, across: [first filter, B+], inductance: unknown, resistance: 1500 ohm "
    "cold}\n"
    "  C2: {is: capacitor, across: [B+, chassis], value: 8 uF, rated: 450 V}\n"
    "  tubes: {is: load, across: [B+, chassis], draws: 56 mA at 255 V, like: tubes, lineup: "
    "[6A8-G, 6K7-G, 6Q7-G, "
    "6F6-G], heated by: tube heaters}\n"
    "chart: {first filter: 345 V, B+: 255 V}\n"
    "run: {for: 30 s}\n"
    "variants:\n"
    "  new across old:\n"
    "    C1: {condition: leaky, leakage: 25 mA at 330 V}\n"
    "    C1 new: {is: capacitor, across: [first filter, chassis], value: 22 uF, rated: 450 V}\n"
    "  the old one shorts:\n"
    "    based on: new across old\n"
    "    at 20 s: {C1: {condition: shorted}}\n"
    "  old one cut out:\n"
    "    based on: new across old\n"
    "    C1: {fitted: no}\n"
    "  rectifier pulled:\n"
    "    V6: {fitted: no}\n"
    "  silicon: {V6: {type: 1N4007}}\n";

static void a_whole_radio_in_all_variants(void **state)
{
    (void)state;
    struct bench b = bench_of(radio);
    bool good = scenario_check(b.arena, b.diags, b.s);
    if (!good) diags_print(b.diags, stderr);
    assert_true(good);
    const struct setup *base = set_up(&b, NULL), *shorts = set_up(&b, "the old one shorts");
    assert_int_equal(point_flags(base, "plate 1"), PROBE_POINT | PROBE_WATCHED);
    assert_int_equal(point_flags(base, "first filter"), PROBE_POINT | PROBE_WATCHED);
    assert_int_equal(shorts->stages.n, 2);
    near_rel(shorts->stages.at[1].time, 20, 1e-15, "s");
    assert_string_equal(shorts->stages.at[1].change, "C1 condition: shorted");
    assert_null(set_find(set_up(&b, "rectifier pulled")->stages.at[0].set, "V6"));
    arena_free(b.arena);
}

/* The radio with the first `old` replaced by `new`; to be freed. */
static char *radio_with(const char *old, const char *new)
{
    const char *at = strstr(radio, old);
    assert_non_null(at);
    size_t n = sizeof radio + strlen(new);
    char *text = malloc(n);
    snprintf(text, n, "%.*s%s%s", (int)(at - radio), radio, new, at + strlen(old));
    return text;
}

static void a_primary_lies_across_the_mains_unless_it_says_where(void **state)
{
    (void)state;
    char *text = radio_with("primary: {across: [line, neutral], ", "primary: {");
    struct bench b = bench_of(text);
    set_up(&b, NULL);
    arena_free(b.arena);
    free(text);
    text = radio_with("primary: {across: [line, neutral], ", "primary: {across: [line, nuetral], ");
    b = bench_of(text);
    assert_null(scenario_setup(b.arena, b.diags, b.s, NULL));
    assert_int_equal(diags_count(b.diags), 2); /* neutral and its misspelling, each used once */
    assert_string_equal(diags_at(b.diags, 0)->hint, "did you mean `neutral`?");
    assert_int_equal(diags_at(b.diags, 0)->at.line, 7);
    arena_free(b.arena);
    free(text);
}

static void the_ends_of_a_winding_that_heats_are_used(void **state)
{
    (void)state;
    char *text = radio_with(", heated by: tube heaters", "");
    struct bench b = bench_of(text);
    assert_null(scenario_setup(b.arena, b.diags, b.s, NULL));
    int once = 0;
    for (int i = 0; i < diags_count(b.diags); i++)
        once += strstr(diags_at(b.diags, i)->message, "is used only once, by T1") != NULL;
    assert_int_equal(once, 2); /* h1 and h2 */
    arena_free(b.arena);
    free(text);
}

static void with_heaters_the_run_is_longer(void **state)
{
    (void)state;
    char *text = radio_with("run: {for: 30 s}\n", "");
    struct bench b = bench_of(text);
    near_rel(set_up(&b, NULL)->duration, 30, 1e-15, "s");
    arena_free(b.arena);
    free(text);
}

static void a_text_cut_anywhere_never_crashes(void **state)
{
    (void)state;
    for (size_t n = 0; n <= sizeof radio - 1; n++) {
        char text[sizeof radio];
        memcpy(text, radio, n);
        text[n] = 0;
        struct bench b = bench_of(text);
        if (b.s) scenario_check(b.arena, b.diags, b.s);
        else assert_true(diags_errors(b.diags) > 0);
        for (int i = 0; i < diags_count(b.diags); i++)
            assert_non_null(diags_at(b.diags, i)->at.file);
        arena_free(b.arena);
    }
}

/* A ladder of resistors with capacitors to chassis. */
static void two_hundred_parts(void **state)
{
    (void)state;
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    fprintf(to, "format: 1\nmains: {voltage: 117 V, across: [p0, chassis]}\nparts:\n");
    for (int i = 0; i < 100; i++) {
        fprintf(to, "  R%d: {is: resistor, across: [p%d, p%d], resistance: %d ohm}\n", i, i, i + 1,
                i + 1);
        fprintf(to, "  C%d: {is: capacitor, across: [p%d, chassis], value: %d uF}\n", i, i + 1,
                i + 1);
    }
    fclose(to);
    struct bench b = bench_of(text);
    const struct setup *setup = set_up(&b, NULL);
    assert_int_equal(setup->stages.at[0].set->parts.n, 200);
    assert_string_equal(setup->stages.at[0].set->parts.at[199]->name, "C99");
    assert_int_equal(point_flags(setup, "p100"), PROBE_POINT | PROBE_WATCHED);
    free(text);
    arena_free(b.arena);
}

static int read_catalogue(void **state)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    *state = arena;
    return diags_errors(diags);
}

static int free_catalogue(void **state)
{
    arena_free(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_whole_radio_in_all_variants),
        cmocka_unit_test(a_primary_lies_across_the_mains_unless_it_says_where),
        cmocka_unit_test(the_ends_of_a_winding_that_heats_are_used),
        cmocka_unit_test(with_heaters_the_run_is_longer),
        cmocka_unit_test(a_text_cut_anywhere_never_crashes),
        cmocka_unit_test(two_hundred_parts),
    };
    return cmocka_run_group_tests(tests, read_catalogue, free_catalogue);
}
