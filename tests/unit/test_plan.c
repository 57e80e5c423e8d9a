/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A variant laid over the scenario: what stays of a part that is given another type. The set is
 * invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "scenario.h"

static const char text[] =
    "format: 1\nmains: {voltage: 117 V}\nparts:\n"
    "  R1: {is: resistor, across: [k, neutral], resistance: 5 kohm}\n"
    "  V1: {is: rectifier, type: 35Z4-GT, plates: [line], cathode: k, heated by: always hot, "
    "drop: 25 V at 200 mA, running peak current: 500 mA}\n"
    "variants:\n"
    "  other: {V1: {type: 35W4}}\n"
    "  other and rated: {V1: {type: 35W4, running peak current: 700 mA}}\n";

/* Law and ratings of the old type go with it; what stands beside the type, and what the variant
 * states itself, stay. */
static void another_type_drops_the_keys_of_the_old_one(void **state)
{
    static const struct {
        const char *variant, *drop, *peak; /* NULL: the type's own */
    } rows[] = {{"base", "25 V at 200 mA", "500 mA"},
                {"other", NULL, NULL},
                {"other and rated", NULL, "700 mA"}};
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct catalogue *catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    const struct scenario *s = scenario_parse(arena, diags, catalogue, "t.yaml", text);
    (void)state;
    assert_non_null(s);
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        const struct setup *setup = scenario_setup(arena, diags, s, rows[k].variant);
        assert_non_null(setup);
        const struct part *v1 = set_find(setup->stages.at[0].set, "V1");
        const char *const keys[] = {"drop", "running peak current"};
        const char *const wanted[] = {rows[k].drop, rows[k].peak};
        for (int i = 0; i < 2; i++) {
            const char *its = node_get(v1->model->values, keys[i])->text;
            assert_string_equal(node_get(v1->map, keys[i])->text, wanted[i] ? wanted[i] : its);
        }
        assert_string_equal(node_get(v1->map, "cathode")->text, "k");
    }
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(another_type_drops_the_keys_of_the_old_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
