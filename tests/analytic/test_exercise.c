/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exercises: what is drawn, what makes a level, that the cards lead to the fault by the diagnosis
 * as a user has it, that the owner says what a whole run from cold shows, and the marks. Sets are
 * invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "exercise.h"
#include "exercise_recipe.h"
#include "file.h"
#include "folder.h"
#include "near.h"
#include "shipped.h"
#include "shop.h"

/* Without a transformer and its heat: a second of it takes no time. */
static const char small[] = "format: 1\n"
                            "title: Bench supply (invented)\n"
                            "mains: {voltage: 120 V, across: [line, chassis]}\n"
                            "parts:\n"
                            "  R1: {is: resistor, across: [line, AC in], resistance: 47 ohm}\n"
                            "  D1: {is: rectifier, type: 1N4007, plates: [AC in], cathode: first}\n"
                            "  C1: {is: capacitor, across: [first, chassis], value: 40 uF, rated: "
                            "250 V, make: modern}\n"
                            "  R2: {is: resistor, across: [first, B+], resistance: 1 kohm, rated: "
                            "10 W}\n"
                            "  C2: {is: capacitor, across: [B+, chassis], value: 40 uF, rated: "
                            "250 V, make: modern}\n"
                            "  tubes: {is: load, across: [B+, chassis], draws: 40 mA at 110 V}\n"
                            "run: {for: 2 s}\n";

static struct arena *arena;

static int open_shop(void **state)
{
    int bad = shop_open(state);
    arena = shop_arena();
    return bad;
}

static struct exercise *make(const struct scenario *s, const char *fault, unsigned long seed,
                             int level, int pupils, int jobs)
{
    struct diags *diags = diags_new(arena);
    const struct exercise_options o = {fault, seed, level, pupils, {.jobs = jobs}};
    struct exercise *e = exercise_make(arena, diags, s, &o);
    diags_print(diags, stderr);
    assert_int_equal(e->status, STATUS_OK);
    return e;
}

static struct exercise *make_small(unsigned long seed, int level, int pupils, int jobs)
{
    return make(shop_scenario(small), "any", seed, level, pupils, jobs);
}

static bool same_sheet(const struct exercise *a, const struct exercise *b, int i)
{
    const struct exercise_sheet *x = &a->sheets[i], *y = &b->sheets[i];
    bool same = x->faults == y->faults && x->number == y->number &&
                memcmp(x->read, y->read, (size_t)a->r.width * sizeof *x->read) == 0;
    for (int k = 0; same && k < x->faults; k++)
        same = x->fault[k].cause == y->fault[k].cause &&
               memcmp(&x->fault[k].severity, &y->fault[k].severity, sizeof(double)) == 0;
    return same;
}

static void same_seed_same_sheets(void **state)
{
    (void)state;
    for (int level = 1; level <= EXERCISE_LEVELS; level += 2) {
        const struct exercise *a = make_small(4, level, 3, 1), *b = make_small(4, level, 5, 3);
        const struct exercise *other = make_small(5, level, 3, 2);
        bool differs = false;
        for (int i = 0; i < 3; i++) {
            assert_true(same_sheet(a, b, i));
            differs |= !same_sheet(a, other, i);
        }
        assert_true(differs);
    }
}

/* Sheets of one set hold different faults as long as there are some. */
static void sheets_differ(void **state)
{
    (void)state;
    const struct exercise *e = make_small(1, 1, 4, 2);
    for (int i = 0; i < e->pupils; i++)
        for (int k = 0; k < i; k++)
            assert_int_not_equal(e->sheets[i].fault[0].cause, e->sheets[k].fault[0].cause);
}

static void keeps_its_level(const struct exercise *e)
{
    for (int i = 0; i < e->pupils; i++) {
        const struct exercise_sheet *t = &e->sheets[i];
        const struct cause *own = exercise_cause(e, t, 0);
        assert_int_equal(t->faults, e->level == 3 ? 2 : 1);
        if (e->level == 3) {
            assert_string_not_equal(own->part, exercise_cause(e, t, 1)->part);
            continue;
        }
        const struct cause *first = &e->r.causes.at[t->first];
        bool misled =
            strcmp(own->part, first->part) != 0 && t->first_share >= DIAGNOSE_APART * t->own_share;
        assert_int_equal(misled, e->level == 2);
    }
}

/* All levels are among them. */
static void shipped_recipes_keep_their_level(void **state)
{
    (void)state;
    struct diags *diags = diags_new(arena);
    struct file_names names;
    const char *folder = SOURCE_DIR "/scenarios/exercises";
    int levels = 0, recipes = 0;
    assert_int_equal(file_list(arena, folder, &names), 0);
    for (int i = 0; i < names.n; i++) {
        struct exercise_recipe r;
        if (names.at[i][0] == '.') continue;
        recipes++;
        const char *path = arena_printf(arena, "%s/%s", folder, names.at[i]);
        assert_true(exercise_recipe_read(arena, diags, path, &r));
        assert_true(r.level >= 1 && r.level <= EXERCISE_LEVELS && r.seed > 0);
        const struct scenario *s = scenario_read(arena, diags, shop_catalogue(), r.scenario);
        assert_non_null(s);
        const int pupils = r.pupils > 0 ? (int)r.pupils : 12; /* all sheets that it promises */
        keeps_its_level(
            make(s, r.fault ? r.fault : "any", (unsigned long)r.seed, r.level, pupils, 2));
        levels |= 1 << r.level;
    }
    assert_int_equal(recipes, 5);
    assert_int_equal(levels, 1 << 1 | 1 << 2 | 1 << 3);
}

/* What the cards say in three digits goes into `diagnose` as a user would type it. */
static void cards_lead_to_the_fault(void **state)
{
    (void)state;
    const struct scenario *s = shipped_scenario(arena, "field-coil");
    const struct exercise *e = make(s, "any", 11, 1, 4, 2);
    for (int i = 0; i < e->pupils; i++) {
        const struct exercise_sheet *t = &e->sheets[i];
        const char *name[60], *value[60];
        int n = 0;
        for (int k = 0; k < e->r.q.reads.n; k++) {
            const struct read *read = &e->r.q.reads.at[k];
            bool typed =
                read->what.kind != READING_FIGURE ||
                (read->class == CLASS_LINE && strcmp(read->what.subject, "mains") != 0 &&
                 (read->what.alternating || read->what.measure == MEASURE_SETTLED_VOLTAGE));
            double shown = question_shown(read, t->read[k]);
            char text[40];
            if (!typed || isnan(shown)) continue;
            quantity_text(shown, read->unit, 3, text, sizeof text);
            name[n] = read->label;
            if (read->what.kind == READING_LEAKAGE)
                value[n++] = arena_printf(arena, "%s at %g V", text, read->what.at);
            else value[n++] = isinf(shown) ? "open" : arena_printf(arena, "%s", text);
        }
        struct diags *diags = diags_new(arena);
        const struct scenario *with = readings_instead(arena, s, n, name, name, value);
        const struct responses_options options = {.jobs = 2};
        const struct diagnosis *d = diagnose(arena, diags, with, NULL, NULL, &options);
        diags_print(diags, stderr);
        assert_int_equal(d->status, STATUS_OK);
        int rank = 0;
        while (d->order[rank] != t->fault[0].cause) rank++;
        if (rank >= d->group)
            fail_msg("sheet %d: %s %s is number %d", t->number, exercise_cause(e, t, 0)->part,
                     exercise_cause(e, t, 0)->name, rank + 1);
    }
}

/* The cards are of steady states; the run begins cold and is another way to the same volts. */
static void the_owner_tells_what_a_run_shows(void **state)
{
    (void)state;
    struct exercise *e = make_small(2, 1, 8, 2);
    const struct exercise_options o = {"any", 2, 1, 8, {.jobs = 2}};
    assert_int_equal(exercise_switch_on(arena, e, &o), STATUS_OK);
    int dead = 0;
    for (int i = 0; i < e->pupils; i++) {
        const struct exercise_sheet *t = &e->sheets[i];
        double share = shop_figure(t->run->run, "B+", MEASURE_SETTLED_VOLTAGE) /
                       shop_figure(e->sound->run, "B+", MEASURE_SETTLED_VOLTAGE);
        if (share < 0.25) assert_true(t->complaint.dead);
        if (t->complaint.dead) assert_true(share < 0.35);
        if (t->complaint.weak) assert_true(share > 0.25 && share < 0.9);
        if (t->complaint.strained) assert_true(share > 1.05);
        dead += t->complaint.dead;
    }
    assert_true(dead > 0);
}

/* The tester at the failed part itself shows it; what has nothing to do with it stays. */
static void what_moved_is_told(void **state)
{
    (void)state;
    const struct exercise *e = make(shop_scenario(small), "C2 shorted", 1, 2, 1, 1);
    int seen = 0;
    for (int i = 0; i < e->r.q.reads.n; i++) {
        const struct read *read = &e->r.q.reads.at[i];
        if (read->what.kind != READING_LEAKAGE) continue;
        bool own = strcmp(read->what.subject, "C2") == 0;
        assert_int_equal(exercise_moved(e, &e->sheets[0], i), own);
        seen++;
    }
    assert_int_equal(seen, 2);
}

static void a_fault_that_is_asked_for_is_set(void **state)
{
    (void)state;
    static const char *const words[] = {"C1 dried out", "C1: dried out", "open"};
    for (int k = 0; k < 3; k++) {
        const struct exercise *e = make(shop_scenario(small), words[k], 1, 1, 2, 2);
        for (int i = 0; i < e->pupils; i++) {
            const struct cause *c = exercise_cause(e, &e->sheets[i], 0);
            assert_non_null(strstr(words[k], c->name));
            if (k < 2) assert_string_equal(c->part, "C1");
        }
    }
}

static void refused(const char *text, const char *fault, int level, const char *says,
                    const char *hint)
{
    struct diags *diags = diags_new(arena);
    const struct exercise_options o = {fault, 1, level, 1, {.jobs = 1}};
    const struct exercise *e = exercise_make(arena, diags, shop_scenario(text), &o);
    assert_int_equal(e->status, STATUS_SCENARIO);
    assert_int_equal(diags_errors(diags), 1);
    assert_non_null(strstr(diags_at(diags, 0)->message, says));
    assert_non_null(strstr(diags_at(diags, 0)->hint, hint));
}

static void mistakes_are_named(void **state)
{
    (void)state;
    refused(small, "dryed out", 1, "can have the fault `dryed out`", "`dried out`");
    refused(small, "C1 gas", 1, "can have the fault `C1 gas`", "");
    /* it reads sound until its can is hot */
    refused(small, "C1 shorts when hot", 1, "makes an exercise of level 1", "--level 2");
    const char *watts = "rated: 10 W", *at = strstr(small, watts);
    const char *sick =
        arena_printf(arena, "%.*scondition: open%s", (int)(at - small), small, at + strlen(watts));
    refused(sick, "any", 1, "R2 is `open` already", "sound set");
}

static void marks_are_given_within_a_tenth(void **state)
{
    (void)state;
    double low, high;
    exercise_band(-40, &low, &high);
    near_rel(low, -44, 1e-12, "V");
    near_rel(high, -36, 1e-12, "V");
    assert_true(exercise_right(-43.9, -40) && !exercise_right(-44.1, -40));
    assert_true(exercise_right(225, 250) && exercise_right(275, 250));
    assert_false(exercise_right(224, 250) || exercise_right(276, 250));
    assert_true(exercise_right(0, 0));
}

static const struct scenario *shipped(const char *name)
{
    const struct scenario *s =
        scenario_read(arena, diags_new(arena), shop_catalogue(),
                      arena_printf(arena, SOURCE_DIR "/scenarios/%s.yaml", name));
    assert_non_null(s);
    return s;
}

/* What comes after the short in the string goes dark: its tubes draw nothing, B+ rises, and the line
 * current says nothing of it, since the heaters before the short draw more. */
static void cold_tubes_are_not_heard(void **state)
{
    (void)state;
    const struct exercise *e = make(shipped("ac-dc"), "V1 heater heater-cathode short", 8, 1, 1, 2);
    assert_true(e->sheets[0].complaint.faint);
    assert_false(e->sheets[0].complaint.strained);
}

/* Whichever of the string burns out, though that one has the line's volts across it then. */
static void a_string_that_is_open_is_dark(void **state)
{
    (void)state;
    static const char *const heaters[] = {"V4 heater burnt out", "V1 heater burnt out"};
    for (int i = 0; i < 2; i++) {
        const struct exercise *e = make(shipped("ac-dc"), heaters[i], 8, 1, 1, 2);
        assert_true(e->sheets[0].complaint.dark);
        assert_false(e->sheets[0].complaint.lit);
    }
}

/* No plug goes into an outlet there. */
static void battery_sets_are_not_read_at_the_plug(void **state)
{
    (void)state;
    const struct exercise *e = make(shipped("vibrator"), "any", 5, 1, 1, 2);
    for (int i = 0; i < e->r.q.reads.n; i++)
        assert_string_not_equal(e->r.q.reads.at[i].what.subject, "mains");
}

static void recipes_are_read(void **state)
{
    (void)state;
    struct exercise_recipe r;
    struct diags *diags = diags_new(arena);
    folder_make();
    folder_put("good.yaml",
               "exercise: {scenario: ../set.yaml, level: 2, seed: 7, fault: C1 open}\n");
    assert_true(exercise_recipe_read(arena, diags, folder_path("good.yaml"), &r));
    assert_non_null(strstr(r.scenario, "/../set.yaml"));
    assert_string_equal(r.fault, "C1 open");
    assert_true(r.level == 2 && r.seed == 7 && r.pupils == 0);
    folder_put("set.yaml", "format: 1\nparts: {}\n");
    assert_true(exercise_recipe_read(arena, diags, folder_path("set.yaml"), &r));
    assert_non_null(strstr(r.scenario, "set.yaml"));
    folder_put("wrong.yaml", "exercise: {scenari: set.yaml, level: zero}\n");
    assert_false(exercise_recipe_read(arena, diags, folder_path("wrong.yaml"), &r));
    assert_int_equal(diags_errors(diags), 3);
    folder_remove();
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_seed_same_sheets),
        cmocka_unit_test(sheets_differ),
        cmocka_unit_test(shipped_recipes_keep_their_level),
        cmocka_unit_test(cards_lead_to_the_fault),
        cmocka_unit_test(the_owner_tells_what_a_run_shows),
        cmocka_unit_test(what_moved_is_told),
        cmocka_unit_test(a_fault_that_is_asked_for_is_set),
        cmocka_unit_test(mistakes_are_named),
        cmocka_unit_test(marks_are_given_within_a_tenth),
        cmocka_unit_test(cold_tubes_are_not_heard),
        cmocka_unit_test(a_string_that_is_open_is_dark),
        cmocka_unit_test(battery_sets_are_not_read_at_the_plug),
        cmocka_unit_test(recipes_are_read),
    };
    return cmocka_run_group_tests(tests, open_shop, shop_close);
}
