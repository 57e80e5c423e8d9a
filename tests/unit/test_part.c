/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every reader of keys with good values, missing and unknown ones, and every message with its
 * place. The part is invented; its kind has one key for each reader. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "part.h"

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED},
    {"value", "farads, e.g. 8 uF", KEY_NEEDED},
    {"rated", "volts, e.g. 450 V", 0},
    {"leakage", "25 mA at 330 V, ohms, or none", 0},
    {"make", "wet or dry", 0},
    {"can", "a name", 0},
    {"plates", "one or two points", 0},
    {NULL, NULL, 0},
};
static const struct part_kind kind = {.name = "sample", .says = "for tests", .keys = keys};

struct bench {
    struct arena *arena;
    struct set *set;
    struct part part;
};

/* The part C1 with the keys of a text whose first line is its own. */
static struct bench bench_new(const char *text)
{
    struct bench b = {.arena = arena_new()};
    b.set = ARENA_NEW(b.arena, struct set);
    b.set->arena = b.arena;
    b.set->diags = diags_new(b.arena);
    b.set->circuit = circuit_new(b.arena);
    const struct node *root = doc_parse(b.arena, b.set->diags, "t", text, strlen(text));
    assert_non_null(root);
    b.part = (struct part){
        .name = "C1", .kind = &kind, .at = {"t", 1, 1}, .map = root, .own = root, .fitted = true};
    return b;
}

enum reader { CHECK, VALUE, VALUE_1UF, PHRASE, WORD, NAME, NAMES_1_2, NAMES_3, ACROSS };

static const char *const makes[] = {"wet", "dry", NULL};

static void read_with(struct bench *b, enum reader reader)
{
    struct token tokens[QUANTITY_TOKENS];
    const char *names[8];
    double value;
    int from, to;
    struct set *set = b->set;
    switch (reader) {
    case CHECK: assert_true(part_check(set, &b->part) > 0); break;
    case VALUE: assert_false(part_value(set, &b->part, "value", UNIT_FARAD, 0, &value)); break;
    case VALUE_1UF:
        assert_false(part_value(set, &b->part, "value", UNIT_FARAD, 1e-6, &value));
        break;
    case PHRASE: assert_int_equal(part_phrase(set, &b->part, "leakage", tokens), 0); break;
    case WORD: assert_int_equal(part_word(set, &b->part, "make", makes), -1); break;
    case NAME: assert_null(part_name(set, &b->part, "can")); break;
    case NAMES_1_2: assert_int_equal(part_names(set, &b->part, "plates", 1, 2, names), 0); break;
    case NAMES_3: assert_int_equal(part_names(set, &b->part, "plates", 3, 3, names), 0); break;
    case ACROSS: assert_false(part_across(set, &b->part, &from, &to)); break;
    }
}

struct mistake {
    enum reader reader;
    const char *text;
    int line, column;
    const char *message, *hint;
};

static const char takes_value[] = "`value` takes farads, e.g. 8 uF";
static const char takes_plates[] = "`plates` takes one or two points";

static const struct mistake mistakes[] = {
    {CHECK, "{across: [a, b], value: 8 uF, ratd: 450 V}", 1, 31, "a sample has no key `ratd`",
     "did you mean `rated`?"},
    {CHECK, "{across: [a, b], value: 8 uF, colour: red}", 1, 31, "a sample has no key `colour`",
     "known here: across, value, rated, leakage, make, can, plates, is, type, fitted, note, "
     "tolerance"},
    {CHECK, "{across: [a, b]}", 1, 1, "`value` of C1 is missing", takes_value},
    {CHECK, "across: [a, b]\nvalue: unknown", 2, 8, "C1: `value` must be known",
     "measure it or take it from the part's marking"},
    {VALUE, "value: 8", 1, 8, "`8` has no unit: farads belong here", "write it as in `8 uF`"},
    {VALUE, "rated: 1 V\nvalue: -8 uF", 2, 8, "`value` may not be negative", takes_value},
    {VALUE_1UF, "value: 0.5 uF", 1, 8, "`value` must be at least 1 uF", takes_value},
    {VALUE, "value: [8 uF]", 1, 8, "`value` takes one value, not a list", takes_value},
    {VALUE, "value: {a: 8 uF}", 1, 1, "`value` takes one value, not a map", takes_value},
    {VALUE, "value:", 1, 7, "`value` has no value", takes_value},
    {VALUE, "value: 8 mF", 1, 8, NULL, "old drawings mean microfarad: write 8 uF"},
    {PHRASE, "leakage: 25 mX at 330 V", 1, 10, NULL, NULL},
    {PHRASE, "leakage: ' '", 1, 10, "`leakage` has no value",
     "`leakage` takes 25 mA at 330 V, ohms, or none"},
    {WORD, "make: weet", 1, 7, "`weet` is no word for `make`", "did you mean `wet`?"},
    {WORD, "make: paper", 1, 7, "`paper` is no word for `make`", "known here: wet, dry"},
    {NAME, "can: []", 1, 6, "`can` takes one value, not a list", "`can` takes a name"},
    {NAMES_1_2, "plates: [a, b, c]", 1, 9, "`plates` takes 1 to 2 names, not 3", takes_plates},
    {NAMES_1_2, "plates: []", 1, 9, "`plates` takes 1 to 2 names, not 0", takes_plates},
    {NAMES_1_2, "plates: [a, [b]]", 1, 13, "`plates` takes names, nothing nested", takes_plates},
    {NAMES_1_2, "plates: [a, '']", 1, 13, "a name is missing in `plates`", takes_plates},
    {NAMES_3, "plates: a", 1, 9, "`plates` takes three names, not 1", takes_plates},
    {ACROSS, "across: [a]", 1, 9, "`across` takes two names, not 1", "`across` takes two points"},
};

static void each_message_stands_at_its_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof mistakes / sizeof mistakes[0]; i++) {
        const struct mistake *m = &mistakes[i];
        struct bench b = bench_new(m->text);
        read_with(&b, m->reader);
        if (diags_count(b.set->diags) != 1)
            fail_msg("%s: %d messages", m->text, diags_count(b.set->diags));
        const struct diag *d = diags_at(b.set->diags, 0);
        if (m->message) assert_string_equal(d->message, m->message);
        if (m->hint) assert_string_equal(d->hint, m->hint);
        if (d->at.line != m->line || d->at.column != m->column)
            fail_msg("%s: at %d:%d, not %d:%d", m->text, d->at.line, d->at.column, m->line,
                     m->column);
        arena_free(b.arena);
    }
}

static void a_needed_across_is_complained_of_once(void **state)
{
    (void)state;
    struct bench b = bench_new("{value: 8 uF}");
    read_with(&b, CHECK);
    read_with(&b, ACROSS);
    assert_int_equal(diags_count(b.set->diags), 1);
    assert_string_equal(diags_at(b.set->diags, 0)->message, "`across` of C1 is missing");
    arena_free(b.arena);
}

static void an_across_that_is_not_needed_is_asked_for(void **state)
{
    static const struct key none[] = {{NULL, NULL, 0}};
    static const struct part_kind bare = {.name = "bare", .says = "for tests", .keys = none};
    (void)state;
    struct bench b = bench_new("{value: 8 uF}");
    b.part.kind = &bare;
    read_with(&b, ACROSS);
    const struct diag *d = diags_at(b.set->diags, 0);
    assert_string_equal(d->message, "`across` of C1 is missing");
    assert_string_equal(d->hint,
                        "write the two points it lies between, as in `across: [B+, chassis]`");
    arena_free(b.arena);
}

static void good_values_are_read_in_silence(void **state)
{
    (void)state;
    struct bench b =
        bench_new("across: [B+, chassis]\nvalue: 8 mfd\nleakage: 25 mA at 330 V\nmake: dry\n"
                  "can: Z1\nplates: P\nnote: anything\nfitted: yes\n");
    struct token tokens[QUANTITY_TOKENS];
    const char *names[2];
    double value = 0;
    int from = -1, to = -1;
    assert_int_equal(part_check(b.set, &b.part), 0);
    assert_true(part_value(b.set, &b.part, "value", UNIT_FARAD, 0, &value));
    near_rel(value, 8e-6, 1e-15, "F");
    assert_int_equal(part_phrase(b.set, &b.part, "leakage", tokens), 3);
    near_rel(tokens[2].value, 330, 1e-15, "V");
    assert_int_equal(part_word(b.set, &b.part, "make", makes), 1);
    assert_string_equal(part_name(b.set, &b.part, "can"), "Z1");
    assert_int_equal(part_names(b.set, &b.part, "plates", 1, 2, names), 1);
    assert_string_equal(names[0], "P");
    assert_true(part_across(b.set, &b.part, &from, &to));
    assert_string_equal(b.set->circuit->points.at[from], "B+");
    assert_string_equal(b.set->circuit->points.at[to], "chassis");
    assert_int_equal(diags_count(b.set->diags), 0);
    arena_free(b.arena);
}

static void missing_and_unknown_are_silent(void **state)
{
    (void)state;
    struct bench b = bench_new(
        "rated: unknown\nleakage: unknown\nmake: unknown\ncan: unknown\nplates: unknown\n");
    struct token tokens[QUANTITY_TOKENS];
    const char *names[2];
    double value = 7;
    for (int i = 0; i < 2; i++) {
        assert_false(part_value(b.set, &b.part, i ? "value" : "rated", UNIT_VOLT, 0, &value));
        assert_int_equal(part_phrase(b.set, &b.part, i ? "value" : "leakage", tokens), 0);
        assert_int_equal(part_word(b.set, &b.part, i ? "value" : "make", makes), -1);
        assert_null(part_name(b.set, &b.part, i ? "value" : "can"));
        assert_int_equal(part_names(b.set, &b.part, i ? "value" : "plates", 1, 2, names), 0);
    }
    near_abs(value, 7, 0, "V");
    assert_int_equal(diags_count(b.set->diags), 0);
    arena_free(b.arena);
}

static void a_value_knows_its_source(void **state)
{
    (void)state;
    struct bench b = bench_new("rated: 450 V\ncan: unknown\n");
    const char *text = "rated: 400 V\nmake: wet\ncan: Z9\n",
               *said = "rated: sheet A\nmake: sheet B\ncan: sheet C\n";
    struct model model = {.name = "M", .kind = "sample"};
    model.values = doc_parse(b.arena, b.set->diags, "m", text, strlen(text));
    model.sources = doc_parse(b.arena, b.set->diags, "s", said, strlen(said));
    b.part.model = &model;
    b.part.map = node_overlay(b.arena, model.values, b.part.own);
    assert_string_equal(part_source(&b.part, "rated"), "scenario");
    assert_string_equal(part_source(&b.part, "make"), "sheet B");
    assert_string_equal(part_source(&b.part, "can"), "sheet C");
    assert_string_equal(part_source(&b.part, "value"), "");
    arena_free(b.arena);
}

static void complaints_stand_at_key_value_or_part(void **state)
{
    (void)state;
    struct bench b = bench_new("rated: 450 V\ncan:\n  nested: 1\n");
    part_complain(b.set, &b.part, "rated", NULL, "no %d", 1);
    part_complain(b.set, &b.part, "can", NULL, "no 2");
    part_complain(b.set, &b.part, "value", NULL, "no 3");
    part_complain(b.set, &b.part, NULL, "a hint", "no 4");
    const int places[4][2] = {{1, 8}, {2, 1}, {1, 1}, {1, 1}};
    for (int i = 0; i < 4; i++) {
        assert_int_equal(diags_at(b.set->diags, i)->at.line, places[i][0]);
        assert_int_equal(diags_at(b.set->diags, i)->at.column, places[i][1]);
    }
    assert_string_equal(diags_at(b.set->diags, 0)->message, "no 1");
    assert_string_equal(diags_at(b.set->diags, 3)->hint, "a hint");
    arena_free(b.arena);
}

static void names_that_may_not_be(void **state)
{
    (void)state;
    static const char *const wrong[][2] = {
        {"", "is empty"},
        {" a", "begins or ends with a blank"},
        {"a ", "begins or ends with a blank"},
        {"V6.1", "holds a point"},
        {"a,b", "holds a comma"},
        {"a=b", "holds an equals sign"},
        {"T1: inner", "holds a colon before a blank"},
        {"a\nb", "holds a line end or control character"},
    };
    static const char *const right[] = {"B+", "first filter", "C1", "a:b", "a\"b"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        assert_string_equal(part_name_fault(wrong[i][0]), wrong[i][1]);
    for (size_t i = 0; i < 5; i++) assert_null(part_name_fault(right[i]));
}

static void the_set_finds_fitted_parts_and_knows_the_absent(void **state)
{
    (void)state;
    struct bench b = bench_new("rated: 450 V\n");
    array_push(b.arena, &b.set->parts, &b.part);
    array_push(b.arena, &b.set->absent, "V6");
    assert_ptr_equal(set_find(b.set, "C1"), &b.part);
    assert_null(set_find(b.set, "V6"));
    assert_true(set_absent(b.set, "V6"));
    assert_false(set_absent(b.set, "C1"));
    arena_free(b.arena);
}

static bool one_winding(const struct set *set, const struct part *part, const char *name,
                        const char **from, const char **to, double *volts)
{
    (void)part;
    if (strcmp(name, "heaters") != 0) return false;
    *from = "a", *to = "b", *volts = set->line_volts / 20;
    return true;
}

static void a_winding_is_asked_of_every_part(void **state)
{
    (void)state;
    static const struct part_kind coil = {
        .name = "coil", .says = "for tests", .keys = keys, .winding = one_winding};
    struct bench b = bench_new("rated: 450 V\n");
    struct part other = b.part;
    const char *from, *to;
    double volts;
    other.kind = &coil;
    b.set->line_volts = 126;
    array_push(b.arena, &b.set->parts, &b.part);
    assert_false(set_winding(b.set, "heaters", &from, &to, &volts));
    array_push(b.arena, &b.set->parts, &other);
    assert_true(set_winding(b.set, "heaters", &from, &to, &volts));
    near_rel(volts, 6.3, 1e-15, "V");
    assert_false(set_winding(b.set, "high voltage", &from, &to, &volts));
    arena_free(b.arena);
}

static void the_set_keeps_what_is_written(void **state)
{
    (void)state;
    struct bench b = bench_new("rated: 450 V\n");
    for (int i = 0; i < 100; i++) {
        set_assume(b.set, (struct assumption){.part = "C1", .key = "value", .value = i});
        set_rate(b.set, (struct rating){.subject = "C1",
                                        .measure = MEASURE_HIGHEST_VOLTAGE,
                                        .limit = i,
                                        .source = "scenario"});
        set_fix(b.set, (struct fixed_figure){
                           .subject = "V6", .measure = MEASURE_SUPPLY_IMPEDANCE, .value = i});
    }
    near_abs(b.set->assumptions.at[99].value, 99, 0, "F");
    near_abs(b.set->ratings.at[99].limit, 99, 0, "V");
    near_abs(b.set->fixed.at[99].value, 99, 0, "ohm");
    arena_free(b.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_message_stands_at_its_place),
        cmocka_unit_test(a_needed_across_is_complained_of_once),
        cmocka_unit_test(an_across_that_is_not_needed_is_asked_for),
        cmocka_unit_test(good_values_are_read_in_silence),
        cmocka_unit_test(missing_and_unknown_are_silent),
        cmocka_unit_test(a_value_knows_its_source),
        cmocka_unit_test(complaints_stand_at_key_value_or_part),
        cmocka_unit_test(names_that_may_not_be),
        cmocka_unit_test(the_set_finds_fitted_parts_and_knows_the_absent),
        cmocka_unit_test(a_winding_is_asked_of_every_part),
        cmocka_unit_test(the_set_keeps_what_is_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
