/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures and ratings made by hand; the borders are tried on both sides of the last bit. All values
 * are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "judge.h"
#include "near.h"

#define NOT_A_NUMBER ((double)NAN)
#define ENDLESS ((double)INFINITY)
#define ROOM 298.15 /* [K] */

struct bench {
    struct arena *arena;
    struct set *set;
    struct setup setup;
    struct result run;
};

static void add_stage(struct bench *b)
{
    b->set = ARENA_NEW(b->arena, struct set);
    b->set->arena = b->arena;
    b->set->ambient = ROOM;
    array_push(b->arena, &b->setup.stages, (struct stage){.set = b->set});
}

static struct bench bench_new(void)
{
    struct bench b = {.arena = arena_new()};
    b.setup.variant = "base";
    add_stage(&b);
    return b;
}

static void rate(struct bench *b, const char *subject, enum measure measure, double limit,
                 bool at_least)
{
    set_rate(b->set, (struct rating){.subject = subject,
                                     .measure = measure,
                                     .limit = limit,
                                     .unit = UNIT_VOLT,
                                     .at_least = at_least,
                                     .source = "invented",
                                     .system = ""});
}

static void measured(struct bench *b, const char *subject, enum measure measure, double value)
{
    array_push(b->arena, &b->run.figures,
               (struct figure){subject, measure, value, UNIT_VOLT, NOT_A_NUMBER});
}

static struct judgement *judged(struct bench *b)
{
    const struct result *runs[] = {&b->run};
    const char *names[] = {"base"};
    return judge(b->arena, &b->setup, runs, names, 1);
}

/* The verdict on one value against one limit. */
static struct judged one(double value, double limit, bool at_least)
{
    struct bench b = bench_new();
    rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, limit, at_least);
    measured(&b, "C1", MEASURE_HIGHEST_VOLTAGE, value);
    struct judgement *j = judged(&b);
    assert_int_equal(j->all.n, 1);
    struct judged row = j->all.at[0];
    assert_int_equal(j->over, row.verdict == VERDICT_OVER);
    assert_int_equal(j->near, row.verdict == VERDICT_NEAR);
    row.rating = NULL; /* goes with the arena */
    arena_free(b.arena);
    return row;
}

static void says_the_verdicts_of_the_csv(void **state)
{
    (void)state;
    assert_string_equal(judge_verdict_text(VERDICT_NONE), "no rating");
    assert_string_equal(judge_verdict_text(VERDICT_WITHIN), "within");
    assert_string_equal(judge_verdict_text(VERDICT_NEAR), "near");
    assert_string_equal(judge_verdict_text(VERDICT_OVER), "over");
}

static void upper_limit_has_exact_borders(void **state)
{
    static const struct {
        double value, limit;
        enum verdict verdict;
    } rows[] = {
        {0, 450, VERDICT_WITHIN},        {405, 450, VERDICT_WITHIN}, /* 90 % itself is within */
        {405.0001, 450, VERDICT_NEAR},   {450, 450, VERDICT_NEAR}, /* the limit itself is allowed */
        {450.0001, 450, VERDICT_OVER},   {-451, 450, VERDICT_OVER}, /* for both signs */
        {-404, 450, VERDICT_WITHIN},     {9e9, 450, VERDICT_OVER},
        {0.045, 0.05, VERDICT_WITHIN},   {9, 10, VERDICT_WITHIN},
        {1e-300, 1e300, VERDICT_WITHIN},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct judged row = one(rows[i].value, rows[i].limit, false);
        assert_int_equal(row.verdict, rows[i].verdict);
        near_abs(row.share, fabs(rows[i].value) / rows[i].limit, 0, "");
    }
    assert_int_equal(one(nextafter(405, 406), 450, false).verdict, VERDICT_NEAR);
    assert_int_equal(one(nextafter(450, 451), 450, false).verdict, VERDICT_OVER);
}

static void at_least_limit_has_exact_borders(void **state)
{
    (void)state;
    assert_int_equal(one(49.999, 50, true).verdict, VERDICT_OVER);
    assert_int_equal(one(nextafter(50, 49), 50, true).verdict, VERDICT_OVER);
    assert_int_equal(one(50, 50, true).verdict, VERDICT_NEAR);
    assert_int_equal(one(54.999, 50, true).verdict, VERDICT_NEAR);
    assert_int_equal(one(55, 50, true).verdict, VERDICT_WITHIN); /* 110 % itself is within */
    assert_int_equal(one(nextafter(55, 54), 50, true).verdict, VERDICT_NEAR);
    assert_int_equal(one(0, 50, true).verdict, VERDICT_OVER);
    assert_int_equal(one(-50, 50, true).verdict, VERDICT_OVER);
    near_abs(one(100, 50, true).share, 0.5, 0, "");
    near_abs(one(25, 50, true).share, 2, 0, "");
}

/* A capacitor that must not be reversed by more than a volt, or by anything. */
static void at_least_limit_may_be_negative_or_zero(void **state)
{
    (void)state;
    assert_int_equal(one(-1.01, -1, true).verdict, VERDICT_OVER);
    assert_int_equal(one(-1, -1, true).verdict, VERDICT_NEAR);
    assert_int_equal(one(-0.9, -1, true).verdict, VERDICT_WITHIN);
    assert_int_equal(one(300, -1, true).verdict, VERDICT_WITHIN);
    near_abs(one(300, -1, true).share, 0, 0, "");
    assert_int_equal(one(0, 0, true).verdict, VERDICT_WITHIN);
    assert_int_equal(one(-1e-9, 0, true).verdict, VERDICT_OVER);
}

static void endless_values_and_limits(void **state)
{
    (void)state;
    assert_int_equal(one(ENDLESS, 2.5, false).verdict, VERDICT_OVER);
    assert_true(isinf(one(ENDLESS, 2.5, false).share));
    assert_int_equal(one(-ENDLESS, 2.5, false).verdict, VERDICT_OVER);
    assert_int_equal(one(1e9, ENDLESS, false).verdict, VERDICT_WITHIN);
    assert_int_equal(one(ENDLESS, ENDLESS, false).verdict, VERDICT_WITHIN);
    assert_int_equal(one(ENDLESS, 50, true).verdict, VERDICT_WITHIN);
    near_abs(one(ENDLESS, 50, true).share, 0, 0, "");
    assert_int_equal(one(-ENDLESS, -1, true).verdict, VERDICT_OVER);
    assert_int_equal(one(1e-9, 0, false).verdict, VERDICT_OVER);
    assert_int_equal(one(0, 0, false).verdict, VERDICT_WITHIN);
}

static void what_is_not_a_number_is_not_judged(void **state)
{
    (void)state;
    assert_int_equal(one(NOT_A_NUMBER, 450, false).verdict, VERDICT_NONE);
    assert_int_equal(one(NOT_A_NUMBER, 50, true).verdict, VERDICT_NONE);
    assert_int_equal(one(300, NOT_A_NUMBER, false).verdict, VERDICT_NONE);
    assert_true(isnan(one(NOT_A_NUMBER, 450, false).share));
}

/* 25 C room, limit 65 C: 61 C is 36 of 40 kelvins. */
static void temperature_counts_from_the_room(void **state)
{
    static const struct {
        double celsius, share;
        enum verdict verdict;
    } rows[] = {{20, 0, VERDICT_WITHIN},
                {45, 0.5, VERDICT_WITHIN},
                {60.9, 0.8975, VERDICT_WITHIN},
                {61.1, 0.9025, VERDICT_NEAR},
                {66, 1.025, VERDICT_OVER}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct bench b = bench_new();
        rate(&b, "T1", MEASURE_TEMPERATURE, 273.15 + 65, false);
        b.set->ratings.at[0].unit = UNIT_CELSIUS;
        measured(&b, "T1", MEASURE_TEMPERATURE, 273.15 + rows[i].celsius);
        struct judgement *j = judged(&b);
        near_abs(j->all.at[0].share, rows[i].share, 1e-12, "");
        assert_int_equal(j->all.at[0].verdict, rows[i].verdict);
        arena_free(b.arena);
    }
}

static void subject_and_measure_must_both_meet(void **state)
{
    struct bench b = bench_new();
    (void)state;
    rate(&b, "V6.1", MEASURE_INVERSE_VOLTAGE, 1400, false);
    measured(&b, "V6.2", MEASURE_INVERSE_VOLTAGE, 9000);
    measured(&b, "V6.1", MEASURE_HIGHEST_VOLTAGE, 9000);
    measured(&b, "V6", MEASURE_INVERSE_VOLTAGE, 9000);
    struct judgement *j = judged(&b);
    assert_int_equal(j->all.n, 3);
    for (int i = 0; i < 3; i++) {
        assert_null(j->all.at[i].rating);
        assert_int_equal(j->all.at[i].verdict, VERDICT_NONE);
        assert_true(isnan(j->all.at[i].share));
    }
    assert_int_equal(j->over, 0);
    assert_int_equal(j->unmet.n, 1);
    assert_string_equal(j->unmet.at[0]->subject, "V6.1");
    arena_free(b.arena);
}

/* Heater volts of 6.3 V +-10 %: once, against the side they lie on, between the limits from the
 * middle of the band, beyond them by the plain quotient. */
static void heater_is_held_against_both_limits(void **state)
{
    static const struct {
        double volts, share;
        enum verdict verdict;
        bool least;
    } row[] = {{5.5, 5.67 / 5.5, VERDICT_OVER, true},
               {5.72, 0.58 / 0.63, VERDICT_NEAR, true},
               {6.2, 0.1 / 0.63, VERDICT_WITHIN, true},
               {6.8, 0.5 / 0.63, VERDICT_WITHIN, false},
               {7, 7 / 6.93, VERDICT_OVER, false}};
    (void)state;
    for (size_t k = 0; k < sizeof row / sizeof row[0]; k++) {
        struct bench b = bench_new();
        rate(&b, "tubes.heaters", MEASURE_RMS_VOLTAGE, 6.93, false);
        rate(&b, "tubes.heaters", MEASURE_RMS_VOLTAGE, 5.67, true);
        measured(&b, "tubes.heaters", MEASURE_RMS_VOLTAGE, row[k].volts);
        struct judgement *j = judged(&b);
        assert_int_equal(j->all.n, 1);
        assert_int_equal(j->all.at[0].verdict, row[k].verdict);
        assert_int_equal(j->all.at[0].rating->at_least, row[k].least);
        near_rel(j->all.at[0].share, row[k].share, 1e-12, "");
        assert_int_equal(j->unmet.n, 0);
        arena_free(b.arena);
    }
}

static void later_stages_add_only_what_differs(void **state)
{
    struct bench b = bench_new();
    (void)state;
    rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, false);
    add_stage(&b);
    rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, false);
    rate(&b, "C1 new", MEASURE_HIGHEST_VOLTAGE, 350, false);
    measured(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 400);
    measured(&b, "C1 new", MEASURE_HIGHEST_VOLTAGE, 400);
    struct judgement *j = judged(&b);
    assert_int_equal(j->all.n, 2);
    assert_int_equal(j->over, 1);
    assert_string_equal(j->all.at[1].figure.subject, "C1 new");
    arena_free(b.arena);
}

/* A rating that a timed change takes away holds for what happened before, not for the end. */
static void means_of_the_end_meet_the_last_ratings(void **state)
{
    struct bench b = bench_new();
    (void)state;
    rate(&b, "V1 heater", MEASURE_RMS_VOLTAGE, 13.9, false);
    rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, false);
    add_stage(&b);
    b.setup.stages.at[1].time = 45;
    measured(&b, "V1 heater", MEASURE_RMS_VOLTAGE, 117);
    measured(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 460);
    b.run.end = 45; /* the change never came */
    assert_int_equal(judged(&b)->over, 2);
    b.run.end = 70;
    struct judgement *j = judged(&b);
    assert_int_equal(j->over, 1);
    assert_int_equal(j->all.at[0].verdict, VERDICT_NONE);
    assert_int_equal(j->all.at[1].verdict, VERDICT_OVER);
    assert_int_equal(j->unmet.n, 0);
    arena_free(b.arena);
}

/* No power, no heater volts: that is no fault of the heater's. */
static void a_dead_set_has_no_cool_heaters(void **state)
{
    (void)state;
    for (int watts = 0; watts < 2; watts++) {
        struct bench b = bench_new();
        rate(&b, "V5.heater", MEASURE_RMS_VOLTAGE, 4.5, true);
        measured(&b, "V5.heater", MEASURE_RMS_VOLTAGE, 0);
        measured(&b, "mains", MEASURE_LINE_POWER, watts);
        assert_int_equal(judged(&b)->over, watts);
        arena_free(b.arena);
    }
}

static void fixed_figures_come_once(void **state)
{
    struct bench b = bench_new();
    struct result restart = {0};
    const struct result *runs[] = {&b.run, &restart};
    const char *names[] = {"base", "base (hot restart)"};
    (void)state;
    rate(&b, "V6", MEASURE_SUPPLY_IMPEDANCE, 50, true);
    set_fix(b.set, (struct fixed_figure){"V6", MEASURE_SUPPLY_IMPEDANCE, 180});
    set_fix(b.set, (struct fixed_figure){"V6", MEASURE_FIRST_CAPACITOR, 8e-6});
    measured(&b, "B+", MEASURE_SETTLED_VOLTAGE, 250);
    array_push(b.arena, &restart.figures,
               (struct figure){"V6.1", MEASURE_INRUSH_PEAK_CURRENT, 1.0, UNIT_AMPERE, 1e-3});
    struct judgement *j = judge(b.arena, &b.setup, runs, names, 2);
    assert_int_equal(j->all.n, 4);
    assert_string_equal(j->all.at[0].figure.subject, "B+");
    assert_int_equal(j->all.at[1].figure.measure, MEASURE_SUPPLY_IMPEDANCE);
    assert_string_equal(j->all.at[1].variant, "base");
    near_abs(j->all.at[1].share, 50.0 / 180, 0, "");
    assert_true(isnan(j->all.at[1].figure.time));
    assert_int_equal(j->all.at[2].figure.unit, UNIT_FARAD);
    assert_null(j->all.at[2].rating);
    assert_string_equal(j->all.at[3].variant, "base (hot restart)");
    near_abs(j->all.at[3].figure.time, 1e-3, 0, "s");
    arena_free(b.arena);
}

static void no_runs_give_no_rows(void **state)
{
    struct bench b = bench_new();
    int n;
    (void)state;
    set_fix(b.set, (struct fixed_figure){"V6", MEASURE_SUPPLY_IMPEDANCE, 180});
    struct judgement *j = judge(b.arena, &b.setup, NULL, NULL, 0);
    assert_int_equal(j->all.n, 0);
    assert_non_null(judge_worst_first(b.arena, j, &n));
    assert_int_equal(n, 0);
    arena_free(b.arena);
}

static void worst_comes_first_and_ties_go_by_name(void **state)
{
    static const struct {
        const char *subject;
        enum measure measure;
        double value;
    } rows[] = {
        {"C2", MEASURE_HIGHEST_VOLTAGE, 90},      {"C1", MEASURE_SETTLED_VOLTAGE, 90},
        {"V6", MEASURE_HIGHEST_VOLTAGE, ENDLESS}, {"C1", MEASURE_HIGHEST_VOLTAGE, 90},
        {"R1", MEASURE_HIGHEST_VOLTAGE, 110},     {"X", MEASURE_HIGHEST_VOLTAGE, NOT_A_NUMBER},
        {"A", MEASURE_HIGHEST_VOLTAGE, 10}};
    static const char *const order[] = {"V6", "R1", "C1", "C1", "C2", "A"};
    struct bench b = bench_new();
    int n;
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        rate(&b, rows[i].subject, rows[i].measure, 100, false);
        measured(&b, rows[i].subject, rows[i].measure, rows[i].value);
    }
    measured(&b, "B+", MEASURE_SETTLED_VOLTAGE, 1e9);
    struct judgement *j = judged(&b);
    struct judged **worst = judge_worst_first(b.arena, j, &n);
    assert_int_equal(n, 6);
    for (int i = 0; i < n; i++) assert_string_equal(worst[i]->figure.subject, order[i]);
    assert_int_equal(worst[2]->figure.measure, MEASURE_HIGHEST_VOLTAGE);
    assert_ptr_equal(worst[5], &j->all.at[6]);
    assert_int_equal(j->over, 2);
    arena_free(b.arena);
}

/* Two runs with the same figure keep their order. */
static void equal_rows_keep_their_order(void **state)
{
    struct bench b = bench_new();
    const struct result *runs[] = {&b.run, &b.run, &b.run};
    const char *names[] = {"base", "silicon", "bigger"};
    int n;
    (void)state;
    rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, false);
    measured(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 440);
    struct judgement *j = judge(b.arena, &b.setup, runs, names, 3);
    struct judged **worst = judge_worst_first(b.arena, j, &n);
    assert_int_equal(n, 3);
    assert_int_equal(j->near, 3);
    for (int i = 0; i < 3; i++) assert_string_equal(worst[i]->variant, names[i]);
    arena_free(b.arena);
}

/* Above the limit, or no number: over. They are neither counted nor among the worst. */
static void audits_have_verdicts_of_their_own(void **state)
{
    struct bench b = bench_new();
    int n;
    (void)state;
    measured(&b, "set", MEASURE_AUDIT_ENERGY, RUN_AUDITED);
    measured(&b, "set", MEASURE_AUDIT_CHARGE, nextafter(RUN_AUDITED, 1));
    measured(&b, "set", MEASURE_AUDIT_CHARGE, NOT_A_NUMBER);
    measured(&b, "C1", MEASURE_AUDIT_CHARGE, 1);
    struct judgement *j = judged(&b);
    const enum verdict wanted[] = {VERDICT_WITHIN, VERDICT_OVER, VERDICT_OVER, VERDICT_NONE};
    assert_int_equal(j->all.n, 4);
    for (int i = 0; i < 4; i++) assert_int_equal(j->all.at[i].verdict, wanted[i]);
    near_rel(j->all.at[1].rating->limit, 1e-6, 1e-15, "");
    assert_int_equal(j->over + j->near, 0);
    judge_worst_first(b.arena, j, &n);
    assert_int_equal(n, 0);
    arena_free(b.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(says_the_verdicts_of_the_csv),
        cmocka_unit_test(upper_limit_has_exact_borders),
        cmocka_unit_test(at_least_limit_has_exact_borders),
        cmocka_unit_test(at_least_limit_may_be_negative_or_zero),
        cmocka_unit_test(endless_values_and_limits),
        cmocka_unit_test(what_is_not_a_number_is_not_judged),
        cmocka_unit_test(temperature_counts_from_the_room),
        cmocka_unit_test(subject_and_measure_must_both_meet),
        cmocka_unit_test(heater_is_held_against_both_limits),
        cmocka_unit_test(later_stages_add_only_what_differs),
        cmocka_unit_test(means_of_the_end_meet_the_last_ratings),
        cmocka_unit_test(a_dead_set_has_no_cool_heaters),
        cmocka_unit_test(fixed_figures_come_once),
        cmocka_unit_test(no_runs_give_no_rows),
        cmocka_unit_test(audits_have_verdicts_of_their_own),
        cmocka_unit_test(worst_comes_first_and_ties_go_by_name),
        cmocka_unit_test(equal_rows_keep_their_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
