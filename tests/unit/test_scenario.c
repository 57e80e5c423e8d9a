/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a file to stages, readings and probes: variants, timed changes, models, parts that are not
 * fitted, files. All sets are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

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
    b.s = scenario_parse(b.arena, b.diags, catalogue, "sets/t.yaml", text);
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

static double element_value(const struct setup *setup, int stage, const char *part,
                            enum element_kind kind)
{
    const struct circuit *c = setup->stages.at[stage].circuit;
    for (int i = 0; i < c->elements.n; i++)
        if (c->elements.at[i].kind == kind && strcmp(c->elements.at[i].part, part) == 0)
            return c->elements.at[i].value;
    fail_msg("%s has no such element in stage %d", part, stage);
    return 0;
}

static double ohms_of(const struct setup *setup, int stage, const char *part)
{
    return element_value(setup, stage, part, ELEMENT_RESISTOR);
}

static double farads_of(const struct setup *setup, const char *part)
{
    return element_value(setup, 0, part, ELEMENT_CAPACITOR);
}

/* A filter without tubes. */
static const char filter[] =
    "format: 1\n"
    "title: Filter (invented)\n"
    "mains: {voltage: 117 V, frequency: 60 Hz, resistance: 0.5 ohm}\n"
    "parts:\n"
    "  R1: {is: resistor, across: [line, first], resistance: 100 ohm}\n"
    "  C1: {is: capacitor, across: [first, chassis], value: 8 uF, rated: 450 V}\n"
    "  R2: {is: resistor, across: [first, B+], resistance: 1 kohm}\n"
    "  C2: {is: capacitor, across: [B+, chassis], value: 10 uF, rated: 450 V}\n"
    "  R3: {is: resistor, across: [B+, chassis], resistance: 5 kohm}\n"
    "  R4: {is: resistor, across: [chassis, neutral], resistance: 50 ohm}\n"
    "chart: {B+: 100 V, R3: 20 mA}\n"
    "measured: {first: 120 V, mains: 0.4 A, C2: unknown}\n"
    "run: {for: 9 s}\n"
    "variants:\n"
    "  large:\n"
    "    C1: {value: 40 uF}\n"
    "  large and heavy:\n"
    "    based on: large\n"
    "    R3: {resistance: 2 kohm}\n"
    "    run: {for: 4 s}\n"
    "    mains: {voltage: 125 V}\n"
    "  cut out:\n"
    "    C1: {fitted: no}\n"
    "  bleeder:\n"
    "    R5: {is: resistor, across: [B+, chassis], resistance: 47 kohm}\n"
    "  rewired:\n"
    "    R2: {across: [first, middle]}\n"
    "    R3: {across: [middle, chassis]}\n"
    "    C2: {across: [middle, chassis]}\n"
    "  resistor for capacitor:\n"
    "    C2: {is: resistor, across: [B+, chassis], resistance: 3 kohm}\n";

static void the_scenario_tells_about_itself(void **state)
{
    (void)state;
    struct bench b = bench_of(filter);
    assert_string_equal(scenario_title(b.s), "Filter (invented)");
    assert_string_equal(scenario_path(b.s), "sets/t.yaml");
    assert_int_equal(scenario_variants(b.s), 6);
    assert_string_equal(scenario_variant(b.s, 1), "large and heavy");
    const struct setup *setup = set_up(&b, NULL);
    assert_string_equal(setup->title, "Filter (invented)");
    assert_string_equal(setup->variant, "base");
    assert_string_equal(set_up(&b, "base")->variant, "base");
    assert_string_equal(set_up(&b, "large")->variant, "large");
    assert_true(scenario_check(b.arena, b.diags, b.s));
    arena_free(b.arena);
    b = bench_of("format: 1\nparts: {}\n");
    assert_string_equal(scenario_title(b.s), "t");
    arena_free(b.arena);
}

static void the_parts_stand_in_the_order_of_the_file(void **state)
{
    (void)state;
    static const char *const names[] = {"R1", "C1", "R2", "C2", "R3", "R4"};
    struct bench b = bench_of(filter);
    const struct set *set = set_up(&b, NULL)->stages.at[0].set;
    assert_int_equal(set->parts.n, 6);
    for (int i = 0; i < 6; i++) assert_string_equal(set->parts.at[i]->name, names[i]);
    assert_int_equal(set_find(set, "C1")->at.line, 6);
    assert_int_equal(set_find(set, "C1")->at.column, 3);
    assert_string_equal(set->circuit->reference, "chassis");
    arena_free(b.arena);
}

static void variants_are_laid_over_the_scenario(void **state)
{
    (void)state;
    struct bench b = bench_of(filter);
    const struct setup *base = set_up(&b, NULL), *large = set_up(&b, "large"),
                       *heavy = set_up(&b, "large and heavy");
    near_rel(farads_of(base, "C1"), 8e-6, 1e-12, "F");
    near_rel(farads_of(large, "C1"), 40e-6, 1e-12, "F");
    near_rel(farads_of(heavy, "C1"), 40e-6, 1e-12, "F");
    near_rel(ohms_of(large, 0, "R3"), 5000, 1e-12, "ohm");
    near_rel(ohms_of(heavy, 0, "R3"), 2000, 1e-12, "ohm");
    near_rel(base->duration, 9, 1e-12, "s");
    near_rel(heavy->duration, 4, 1e-12, "s");
    near_rel(heavy->stages.at[0].set->line_volts, 125, 1e-12, "V");
    near_rel(heavy->stages.at[0].set->mains_resistance, 0.5, 1e-12, "ohm");
    near_rel(ohms_of(set_up(&b, "bleeder"), 0, "R5"), 47000, 1e-12, "ohm");
    arena_free(b.arena);
}

static void another_kind_replaces_the_part_as_a_whole(void **state)
{
    (void)state;
    struct bench b = bench_of(filter);
    const struct set *set = set_up(&b, "resistor for capacitor")->stages.at[0].set;
    const struct part *part = set_find(set, "C2");
    assert_string_equal(part->kind->name, "resistor");
    assert_null(node_get(part->own, "rated"));
    arena_free(b.arena);
}

static void without_a_chassis_the_return_of_the_feed_is_the_reference(void **state)
{
    (void)state;
    static const struct {
        const char *text, *reference, *message;
    } rows[] = {
        {"mains: {voltage: 117 V}\nparts:\n  R1: {is: resistor, across: [line, neutral], "
         "resistance: 1 ohm}\n",
         "neutral", "no part ends on `chassis`: voltages are given relative to `neutral`"},
        {"mains: {voltage: 117 V, across: [a, b], plugged: reversed}\nparts:\n"
         "  R1: {is: resistor, across: [a, b], resistance: 1 ohm}\n",
         "b", "no part ends on `chassis`: voltages are given relative to `b`"},
        {"reference: line\nmains: {voltage: 117 V}\nparts:\n"
         "  R1: {is: resistor, across: [line, neutral], resistance: 1 ohm}\n",
         "line", NULL},
        {"mains: {voltage: 117 V}\nparts:\n  R1: {is: resistor, across: [line, chassis], "
         "resistance: 1 ohm}\n"
         "  R2: {is: resistor, across: [neutral, chassis], resistance: 1 ohm}\n",
         "chassis", NULL},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[400];
        snprintf(text, sizeof text, "format: 1\n%s", rows[i].text);
        struct bench b = bench_of(text);
        assert_string_equal(set_up(&b, NULL)->stages.at[0].circuit->reference, rows[i].reference);
        assert_int_equal(diags_count(b.diags), rows[i].message != NULL);
        if (rows[i].message) assert_string_equal(diags_at(b.diags, 0)->message, rows[i].message);
        arena_free(b.arena);
    }
}

static void a_part_that_is_not_fitted_is_left_out_but_known(void **state)
{
    (void)state;
    struct bench b = bench_of(filter);
    const struct set *set = set_up(&b, "cut out")->stages.at[0].set;
    assert_null(set_find(set, "C1"));
    assert_true(set_absent(set, "C1"));
    assert_int_equal(set->parts.n, 5);
    for (int i = 0; i < set->circuit->elements.n; i++)
        assert_string_not_equal(set->circuit->elements.at[i].part, "C1");
    arena_free(b.arena);
}

/* ---- readings and probes ---- */

static void readings_are_points_in_volts_and_parts_in_amperes(void **state)
{
    (void)state;
    static const struct reading wanted[] = {
        {.subject = "B+", .value = 100, .unit = UNIT_VOLT, .measured = false, .at = {NULL, 11, 9}},
        {.subject = "R3",
         .value = 0.02,
         .unit = UNIT_AMPERE,
         .measured = false,
         .at = {NULL, 11, 20}},
        {.subject = "first",
         .value = 120,
         .unit = UNIT_VOLT,
         .measured = true,
         .at = {NULL, 12, 12}},
        {.subject = "mains",
         .value = 0.4,
         .unit = UNIT_AMPERE,
         .measured = true,
         .at = {NULL, 12, 26}},
    };
    struct bench b = bench_of(filter);
    const struct setup *setup = set_up(&b, NULL);
    assert_int_equal(setup->readings.n, 4);
    for (int i = 0; i < 4; i++) {
        const struct reading *r = &setup->readings.at[i];
        assert_string_equal(r->subject, wanted[i].subject);
        near_rel(r->value, wanted[i].value, 1e-15, "V or A");
        assert_int_equal(r->unit, wanted[i].unit);
        assert_int_equal(r->measured, wanted[i].measured);
        assert_int_equal(r->at.line, wanted[i].at.line);
        assert_int_equal(r->at.column, wanted[i].at.column);
    }
    arena_free(b.arena);
}

static void a_reading_of_what_a_variant_lacks_is_left_out(void **state)
{
    (void)state;
    struct bench b = bench_of(filter);
    const struct setup *setup = set_up(&b, "rewired"); /* B+ is gone */
    assert_int_equal(setup->readings.n, 3);
    assert_string_equal(setup->readings.at[0].subject, "R3");
    arena_free(b.arena);
}

/* What stands in the plug has names of its own, also where only a variant puts it there. */
static void what_stands_in_the_plug_can_be_read(void **state)
{
    (void)state;
    struct bench b =
        bench_of("format: 1\n"
                 "mains: {voltage: 117 V, frequency: 60 Hz, through: {lamp: 60 W 120 V}}\n"
                 "parts:\n"
                 "  R1: {is: resistor, across: [line, neutral], resistance: 300 ohm}\n"
                 "measured: {mains lamp: 0.3 A, mains: 0.3 A}\n"
                 "variants:\n"
                 "  bare: {mains: {through: none}}\n");
    const struct setup *setup = set_up(&b, NULL);
    assert_int_equal(setup->readings.n, 2);
    assert_string_equal(setup->readings.at[0].subject, "mains lamp");
    assert_int_equal(setup->readings.at[0].unit, UNIT_AMPERE);
    assert_int_equal(set_up(&b, "bare")->readings.n, 1);
    arena_free(b.arena);
}

static const struct probe *point_probe(const struct circuit *c, const char *point)
{
    const struct probe *found = NULL;
    for (int i = 0; i < c->probes.n; i++) {
        const struct probe *p = &c->probes.at[i];
        if (!(p->flags & PROBE_POINT) || strcmp(p->subject, point) != 0) continue;
        assert_null(found);
        assert_int_equal(p->kind, PROBE_VOLTAGE);
        assert_int_equal(p->to, -1);
        assert_string_equal(c->points.at[p->from], point);
        found = p;
    }
    return found;
}

static void points_with_capacitors_and_readings_are_watched(void **state)
{
    (void)state;
    struct bench b = bench_of(filter);
    const struct circuit *c = set_up(&b, NULL)->stages.at[0].circuit;
    assert_int_equal(point_probe(c, "first")->flags, PROBE_POINT | PROBE_WATCHED);
    assert_int_equal(point_probe(c, "B+")->flags, PROBE_POINT | PROBE_WATCHED);
    assert_null(point_probe(c, "chassis")); /* the reference itself */
    assert_null(point_probe(c, "line"));
    arena_free(b.arena);
}

static void every_stage_probes_the_same_points(void **state)
{
    (void)state;
    char text[sizeof filter + 200];
    snprintf(text, sizeof text,
             "%sat 2 s: {C9: {is: capacitor, across: [line, neutral], value: 0.1 uF}}\n"
             "at 3 s: {C9: {fitted: no}}\n",
             filter);
    struct bench b = bench_of(text);
    const struct setup *setup = set_up(&b, NULL);
    assert_int_equal(setup->stages.n, 3);
    for (int i = 0; i < 3; i++) {
        assert_non_null(point_probe(setup->stages.at[i].circuit, "line"));
        assert_non_null(point_probe(setup->stages.at[i].circuit, "neutral"));
        assert_non_null(point_probe(setup->stages.at[i].circuit, "first"));
    }
    arena_free(b.arena);
}

/* ---- timed changes ---- */

static const char timed[] =
    "format: 1\n"
    "mains: {voltage: 117 V}\n"
    "parts:\n"
    "  R1: {is: resistor, across: [line, neutral], resistance: 100 ohm}\n"
    "  S1: {is: switch, across: [line, neutral], state: open}\n"
    "run: {for: 1 min}\n"
    "at 20 s: {R1: {resistance: 200 ohm}}\n"
    "at 5 s: {R1: {resistance: 150 ohm}}\n"
    "variants:\n"
    "  early:\n"
    "    at 2 s: {S1: {state: closed}}\n"
    "    at 20000 ms: {R1: {resistance: 300 ohm}, S1: {state: open}}\n"
    "  later still:\n"
    "    based on: early\n"
    "    R1: {resistance: 50 ohm}\n"
    "    at 30 s: {R2: {is: resistor, across: [line, neutral], resistance: 1 ohm}}\n"
    "    at 20 s: {R1: {resistance: 400 ohm}}\n";

static void check_stages(const struct setup *setup, int n, const double times[],
                         const double ohms[])
{
    assert_int_equal(setup->stages.n, n);
    for (int i = 0; i < n; i++) {
        near_rel(setup->stages.at[i].time, times[i], 1e-15, "s");
        near_rel(ohms_of(setup, i, "R1"), ohms[i], 1e-15, "ohm");
    }
    assert_null(setup->stages.at[0].change);
}

static void changes_come_in_order_of_time_and_add_up(void **state)
{
    (void)state;
    struct bench b = bench_of(timed);
    check_stages(set_up(&b, NULL), 3, (double[]){0, 5, 20}, (double[]){100, 150, 200});
    check_stages(set_up(&b, "early"), 4, (double[]){0, 2, 5, 20}, (double[]){100, 100, 150, 300});
    const struct setup *later = set_up(&b, "later still");
    check_stages(later, 5, (double[]){0, 2, 5, 20, 30}, (double[]){50, 50, 150, 400, 400});
    assert_string_equal(later->stages.at[2].change, "R1 resistance: 150 ohm");
    assert_string_equal(later->stages.at[3].change, "R1 resistance: 400 ohm, S1 state: open");
    assert_string_equal(later->stages.at[4].change, "R2 put in: resistor");
    near_rel(ohms_of(later, 4, "R2"), 1, 1e-15, "ohm");
    assert_null(set_find(later->stages.at[3].set, "R2"));
    arena_free(b.arena);
}

static void every_stage_has_a_circuit_of_its_own(void **state)
{
    (void)state;
    struct bench b = bench_of(timed);
    const struct setup *setup = set_up(&b, NULL);
    assert_ptr_not_equal(setup->stages.at[0].circuit, setup->stages.at[1].circuit);
    for (int i = 0; i < setup->stages.n; i++) {
        const struct stage *s = &setup->stages.at[i];
        assert_ptr_equal(s->circuit, s->set->circuit);
        assert_int_equal(s->circuit->elements.at[s->mains_switch].kind, ELEMENT_SWITCH);
        assert_int_equal(s->circuit->elements.at[s->mains_source].kind, ELEMENT_SOURCE);
        assert_true(s->mains_on);
    }
    arena_free(b.arena);
}

/* ---- models ---- */

static void own_keys_go_before_those_of_the_model(void **state)
{
    (void)state;
    struct bench b =
        bench_of("format: 1\nmains: {voltage: 117 V}\nparts:\n"
                 "  C1: {is: capacitor, type: dry 8 uF 450 V, across: [line, neutral]}\n"
                 "  C2: {is: capacitor, type: dry 8uF 450V, across: [line, neutral], value: 9 uF, "
                 "rated: unknown}\n");
    const struct set *set = set_up(&b, NULL)->stages.at[0].set;
    const struct part *c1 = set_find(set, "C1"), *c2 = set_find(set, "C2");
    assert_string_equal(node_get(c1->map, "value")->text, "8 uF");
    assert_string_equal(node_get(c2->map, "value")->text, "9 uF");
    assert_string_equal(node_get(c2->map, "rated")->text,
                        "450 V"); /* `unknown` leaves the model's */
    assert_ptr_equal(c1->model, c2->model);
    assert_string_equal(c1->model->name, "dry 8 uF 450 V");
    assert_string_equal(part_source(c2, "value"), "scenario");
    assert_string_not_equal(part_source(c2, "rated"), "scenario");
    assert_null(node_get(c1->own, "value"));
    arena_free(b.arena);
}

/* ---- files ---- */

static void a_file_is_read_like_a_text(void **state)
{
    (void)state;
    char path[] = "/tmp/scenarioXXXXXX";
    int file = mkstemp(path);
    assert_int_equal(write(file, filter, sizeof filter - 1), (ssize_t)(sizeof filter - 1));
    close(file);
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct scenario *s = scenario_read(arena, diags, catalogue, path);
    assert_string_equal(scenario_path(s), path);
    assert_true(scenario_check(arena, diags, s));
    unlink(path);
    assert_null(scenario_read(arena, diags, catalogue, path));
    assert_string_equal(diags_at(diags, 0)->message, "there is no such file");
    arena_free(arena);
}

static void the_data_folder_is_the_first_with_models(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    char folder[] = "/tmp/dataXXXXXX", models[40];
    assert_non_null(mkdtemp(folder));
    setenv("PRESOLDER_DATA", folder, 1);
    assert_string_equal(scenario_data_folder(arena), SOURCE_DIR); /* it has no models folder yet */
    snprintf(models, sizeof models, "%s/models", folder);
    FILE *file = fopen(models, "w");
    fclose(file);
    assert_string_equal(scenario_data_folder(arena), SOURCE_DIR); /* a file is no folder */
    unlink(models);
    rmdir(folder);
    setenv("PRESOLDER_DATA", SOURCE_DIR "/models/..", 1);
    assert_string_equal(scenario_data_folder(arena), SOURCE_DIR "/models/..");
    setenv("PRESOLDER_DATA", "", 1);
    assert_string_equal(scenario_data_folder(arena), SOURCE_DIR);
    unsetenv("PRESOLDER_DATA");
    assert_string_equal(scenario_data_folder(arena), SOURCE_DIR);
    arena_free(arena);
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
        cmocka_unit_test(the_scenario_tells_about_itself),
        cmocka_unit_test(the_parts_stand_in_the_order_of_the_file),
        cmocka_unit_test(variants_are_laid_over_the_scenario),
        cmocka_unit_test(another_kind_replaces_the_part_as_a_whole),
        cmocka_unit_test(a_part_that_is_not_fitted_is_left_out_but_known),
        cmocka_unit_test(without_a_chassis_the_return_of_the_feed_is_the_reference),
        cmocka_unit_test(readings_are_points_in_volts_and_parts_in_amperes),
        cmocka_unit_test(a_reading_of_what_a_variant_lacks_is_left_out),
        cmocka_unit_test(what_stands_in_the_plug_can_be_read),
        cmocka_unit_test(points_with_capacitors_and_readings_are_watched),
        cmocka_unit_test(every_stage_probes_the_same_points),
        cmocka_unit_test(changes_come_in_order_of_time_and_add_up),
        cmocka_unit_test(every_stage_has_a_circuit_of_its_own),
        cmocka_unit_test(own_keys_go_before_those_of_the_model),
        cmocka_unit_test(a_file_is_read_like_a_text),
        cmocka_unit_test(the_data_folder_is_the_first_with_models),
    };
    return cmocka_run_group_tests(tests, read_catalogue, free_catalogue);
}
