/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keys laid over a scenario by a study or the command line: they give the same setup as the file
 * with those keys in it, and their mistakes are told with the words of the command line. The set is
 * invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "overrides.h"

static struct arena *arena;
static struct diags *diags;
static const struct catalogue *catalogue;
static const struct scenario *scenario;

static const char text[] =
    "format: 1\nreference: B-\nmains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-]}\n"
    "parts:\n"
    "  D1: {is: rectifier, type: 1N4007, plates: [line], cathode: B+}\n"
    "  R1: {is: resistor, across: [B+, B-], resistance: 2 kohm}\n"
    "  C1: {is: capacitor, across: [B+, B-], value: 20 uF, rated: 160 V}\n"
    "variants:\n  bigger:\n    C1: {value: 47 uF}\n"
    "  bigger still:\n    based on: bigger\n    C1: {rated: 250 V}\n";

static int open_shop(void **state)
{
    (void)state;
    arena = arena_new();
    diags = diags_new(arena);
    catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    scenario = scenario_parse(arena, diags, catalogue, "test.yaml", text);
    return scenario ? 0 : -1;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static const struct setup *with(const char *variant, const char *path, const char *value)
{
    struct overrides o = overrides_new(arena);
    if (!overrides_assign(&o, diags, path, value)) return NULL;
    return overrides_setup(&o, diags, scenario, variant, "tried");
}

static double farads(const struct setup *setup)
{
    const struct circuit *c = setup->stages.at[0].circuit;
    for (int i = 0; i < c->elements.n; i++)
        if (c->elements.at[i].kind == ELEMENT_CAPACITOR) return c->elements.at[i].value;
    return 0;
}

static double rated(const struct setup *setup)
{
    const struct set *set = setup->stages.at[0].set;
    for (int i = 0; i < set->ratings.n; i++)
        if (strcmp(set->ratings.at[i].subject, "C1") == 0 &&
            set->ratings.at[i].measure == MEASURE_SETTLED_VOLTAGE)
            return set->ratings.at[i].limit;
    return 0;
}

static void a_key_lies_over_the_variant(void **state)
{
    (void)state;
    const struct setup *setup = with(NULL, "C1.value", "10uF");
    assert_non_null(setup);
    assert_string_equal(setup->variant, "tried");
    near_rel(farads(setup), 10e-6, 1e-15, "F");
    near_rel(rated(setup), 160, 1e-15, "V");
    setup = with("bigger still", "C1.value", "33 uF");
    near_rel(farads(setup), 33e-6, 1e-15, "F");
    near_rel(rated(setup), 250, 1e-15, "V");
    setup = with("bigger", "mains.voltage", "105 V");
    near_rel(setup->stages.at[0].set->line_volts, 105, 1e-15, "V");
    near_rel(farads(setup), 47e-6, 1e-15, "F");
    assert_non_null(with(NULL, "R1.across", "[B+, B-]"));
    assert_int_equal(diags_errors(diags), 0);
    assert_int_equal(scenario_variants(scenario), 2); /* the scenario itself is as it was */
}

static void the_text_of_a_key(void **state)
{
    (void)state;
    assert_string_equal(scenario_value(arena, scenario, "bigger still", "C1.value"), "47 uF");
    assert_string_equal(scenario_value(arena, scenario, NULL, "mains.voltage"), "117 V");
    assert_null(scenario_value(arena, scenario, NULL, "C1.leakage"));
    assert_null(scenario_value(arena, scenario, NULL, "C9.value"));
    assert_null(scenario_value(arena, scenario, NULL, "C1.across"));
}

static void refused(const char *variant, const char *path, const char *value, const char *file,
                    const char *message, const char *hint)
{
    int before = diags_count(diags);
    assert_null(with(variant, path, value));
    assert_true(diags_count(diags) > before);
    const struct diag *d = diags_at(diags, before);
    assert_string_equal(d->at.file, file);
    assert_non_null(strstr(d->message, message));
    if (hint) assert_non_null(strstr(d->hint, hint));
}

static void mistakes_are_told_with_the_words_of_the_command_line(void **state)
{
    (void)state;
    refused(NULL, "C9.value", "1uF", "C9.value=1uF", "no part `C9`", "C1");
    refused(NULL, "C1.valeu", "1uF", "C1.valeu=1uF", "valeu", "value");
    refused(NULL, "C1.value", "10 V", "C1.value=10 V", "volts", NULL);
    refused(NULL, "C1.value", "10", "C1.value=10", "", NULL);
    refused(NULL, "C1", "10", "C1=10", "names no key", "C1.value=10uF");
    refused(NULL, "C1.", "10", "C1.=10", "names no key", NULL);
    refused(NULL, "C1..value", "10", "C1..value=10", "names no key", NULL);
    refused(NULL, "C1.a.b.c.d.e.f.g.h", "10", "C1.a.b.c.d.e.f.g.h=10", "names no key", NULL);
    refused(NULL, "variants.a", "10", "variants.a=10", "names no key", NULL);
    refused(NULL, "C1.across", "[B+, B-", "C1.across=[B+, B-", "", NULL);
    refused(NULL, "nothing like", "{value: 1 uF}", "nothing like={value: 1 uF}",
            "no part `nothing like`", "known here: D1, R1, C1, mains, run");
    refused(NULL, "mains.voltag", "10 V", "mains.voltag=10 V", "voltag", "voltage");
    refused("biger", "C1.value", "1uF", "test.yaml", "no variant `biger`", "bigger");
    refused(NULL, "D1.type", "1N4oo7", "D1.type=1N4oo7", "1N4oo7", NULL);
}

static const char *const odd[] = {
    "tech's B+", "a \"b\"", "back\\slash\\", "a:b",  "{brace}", "[x] & *y", "# hash", "100 % %s",
    "- dash",    "-1",      "Röhre Ω",       "!tag", "|",       "'",        "null"};

/* A leak to a point of that name and from there to the reference, both parts named alike. */
static void names_hold_any_letters(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        struct overrides o = overrides_new(arena);
        const char *first = arena_printf(arena, "%s 1", odd[i]),
                   *second = arena_printf(arena, "%s 2", odd[i]);
        overrides_resistor(&o, first, "B+", odd[i], 47e3);
        overrides_resistor(&o, second, odd[i], "B-", 10e3);
        const struct setup *setup = overrides_setup(&o, diags, scenario, NULL, odd[i]);
        if (!setup) diags_print(diags, stderr);
        assert_non_null(setup);
        assert_string_equal(setup->variant, odd[i]);
        assert_non_null(set_find(setup->stages.at[0].set, first));
        assert_true(circuit_find_point(setup->stages.at[0].circuit, odd[i]) >= 0);
    }
}

static double ohms(const struct setup *setup, const char *part)
{
    const struct circuit *c = setup->stages.at[0].circuit;
    for (int i = 0; i < c->elements.n; i++)
        if (c->elements.at[i].kind == ELEMENT_RESISTOR && strcmp(c->elements.at[i].part, part) == 0)
            return c->elements.at[i].value;
    return 0;
}

/* A hundred parts, of which the hundredth is there; a later key counts; a copy is a copy. */
static void as_many_as_are_wanted(void **state)
{
    (void)state;
    struct overrides o = overrides_new(arena);
    for (int i = 1; i <= 100; i++)
        overrides_resistor(&o, arena_printf(arena, "R1%03d", i), "B+", "B-", 1000.0 * i);
    struct overrides copy = o;
    overrides_value(&copy, "R1100", "resistance", 0.125, UNIT_OHM);
    overrides_text(&copy, "C1", "value", "1 uF");
    overrides_text(&copy, "C1", "value", "33 uF");
    const struct setup *a = overrides_setup(&o, diags, scenario, "bigger", "a"),
                       *b = overrides_setup(&copy, diags, scenario, "bigger", "b");
    near_rel(ohms(a, "R1001"), 1e3, 1e-15, "ohm");
    near_rel(ohms(a, "R1100"), 100e3, 1e-15, "ohm");
    near_rel(ohms(b, "R1100"), 0.125, 1e-15, "ohm");
    near_rel(farads(a), 47e-6, 1e-15, "F");
    near_rel(farads(b), 33e-6, 1e-15, "F");
}

/* Numbers keep OVERRIDES_DIGITS digits whatever unit they are written in. */
static void numbers_keep_their_digits(void **state)
{
    static const double values[] = {1e-3, 1 / 3.0, 111.15, 98765.4321987, 12.3456789012e6};
    (void)state;
    for (int i = 0; i < 5; i++) {
        struct overrides o = overrides_new(arena);
        overrides_value(&o, "R1", "resistance", values[i], UNIT_OHM);
        near_rel(ohms(overrides_setup(&o, diags, scenario, NULL, "n"), "R1"), values[i], 5e-12,
                 "ohm");
    }
}

/* A map inside a part keeps its other keys; a study's variant may be called as one of the file. */
static void nested_keys_and_taken_names(void **state)
{
    (void)state;
    struct overrides o = overrides_new(arena);
    overrides_text(&o, "mains", "through.lamp", "60 W 120 V");
    overrides_text(&o, "mains", "through.fuse", "1 A slow");
    const struct setup *setup = overrides_setup(&o, diags, scenario, "bigger", "bigger");
    assert_non_null(set_find(setup->stages.at[0].set, "mains lamp"));
    assert_non_null(set_find(setup->stages.at[0].set, "mains fuse"));
    near_rel(farads(setup), 47e-6, 1e-15, "F");
    setup = overrides_setup(&o, diags, scenario, "bigger still", "bigger");
    near_rel(farads(setup), 47e-6, 1e-15, "F");
    near_rel(rated(setup), 250, 1e-15, "V");
}

/* Neither a part, a point, a variant or a word of the file has such a name, nor begins with it. */
static void free_names(void **state)
{
    static const struct {
        const char *wanted, *name;
    } rows[] = {{"meter", "meter"}, {"C1", "C1 2"},         {"R", "R 2"},
                {"B+", "B+ 2"},     {"bigger", "bigger 2"}, {"bigger still", "bigger still 2"}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_string_equal(overrides_free_name(arena, scenario, rows[i].wanted), rows[i].name);
    const struct scenario *s =
        scenario_parse(arena, diags, catalogue, "t.yaml",
                       "format: 1\nparts:\n  m: {is: resistor, across: [a, b], resistance: 1 ohm}\n"
                       "  m 2: {is: resistor, across: [m 3 end, b], resistance: 1 ohm}\n");
    assert_string_equal(overrides_free_name(arena, s, "m"), "m 4");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_key_lies_over_the_variant),
        cmocka_unit_test(the_text_of_a_key),
        cmocka_unit_test(names_hold_any_letters),
        cmocka_unit_test(as_many_as_are_wanted),
        cmocka_unit_test(numbers_keep_their_digits),
        cmocka_unit_test(nested_keys_and_taken_names),
        cmocka_unit_test(free_names),
        cmocka_unit_test(mistakes_are_told_with_the_words_of_the_command_line),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
