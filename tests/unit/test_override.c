/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keys told on the command line: they give the same setup as the file with those keys in it, and
 * their mistakes are told with the words of the command line. The set is invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "scenario.h"

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
    struct assignment list[] = {{path, value}};
    const struct scenario *s = scenario_override(arena, diags, scenario, variant, "tried", list, 1);
    return s ? scenario_setup(arena, diags, s, "tried") : NULL;
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
    setup = with(NULL, "at 50 ms.C1.value", "30 uF");
    assert_int_equal(setup->stages.n, 2);
    near_rel(farads(setup), 20e-6, 1e-15, "F");
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
    refused(NULL, "at 1 s.C9.value", "1uF", "at 1 s.C9.value=1uF", "no part `C9`", "C1");
    refused(NULL, "C1.valeu", "1uF", "C1.valeu=1uF", "valeu", "value");
    refused(NULL, "C1.value", "10 V", "C1.value=10 V", "volts", NULL);
    refused(NULL, "C1.value", "10", "C1.value=10", "", NULL);
    refused(NULL, "C1", "10", "C1=10", "names no key", "C1.value=10uF");
    refused(NULL, "mains.voltag", "10 V", "mains.voltag=10 V", "voltag", "voltage");
    refused("biger", "C1.value", "1uF", "test.yaml", "no variant `biger`", "bigger");
    refused(NULL, "D1.type", "1N4oo7", "D1.type=1N4oo7", "1N4oo7", NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_key_lies_over_the_variant),
        cmocka_unit_test(the_text_of_a_key),
        cmocka_unit_test(mistakes_are_told_with_the_words_of_the_command_line),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
