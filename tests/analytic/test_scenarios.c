/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every shipped scenario and every variant of it: the solution is found, energy and charge balance,
 * the conduction patterns stay few, the figures are finite where they must be, and a second run
 * gives the same digits. The mains close at the crest; no worst angle is searched for. */
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
#include "run.h"
#include "shipped.h"
#include "why.h"

enum { FEWEST = 8, MOST_PATTERNS = 40 };

static struct arena *names_arena;
static const char *const *names;
static int name_count;

static int find_names(void **state)
{
    (void)state;
    names_arena = arena_new();
    names = shipped_names(names_arena, &name_count);
    return 0;
}

static int drop_names(void **state)
{
    (void)state;
    arena_free(names_arena);
    return 0;
}

/* --- one file ------------------------------------------------------------------------------- */

struct shop {
    struct arena *arena;
    struct diags *diags;
    const struct scenario *scenario;
};

static struct shop open_shop(const char *name)
{
    struct shop s = {.arena = arena_new()};
    s.diags = diags_new(s.arena);
    s.scenario = shipped_scenario(s.arena, name);
    assert_non_null(s.scenario);
    return s;
}

static const struct result *simulate(const struct shop *s, const char *variant, int hot,
                                     double seconds)
{
    struct run_options o = run_defaults();
    const struct setup *setup = scenario_setup(s->arena, s->diags, s->scenario, variant);
    if (!setup) diags_print(s->diags, stderr);
    assert_non_null(setup);
    o.duration = seconds;
    o.hot = hot;
    o.angle = PI / 2;
    return run_simulate(s->arena, setup, &o);
}

/* Figures that no sound supply has infinite; the others may be: nothing limits a surge, nothing
 * bleeds. */
static bool must_be_finite(enum measure measure)
{
    static const enum measure may[] = {
        MEASURE_INRUSH_PEAK_CURRENT, MEASURE_PEAK_I2T,      MEASURE_HIGHEST_CURRENT,
        MEASURE_BLEED_DOWN_TIME,     MEASURE_OPENS_AT,      MEASURE_SHORTS_AT,
        MEASURE_RMS_CURRENT,         MEASURE_SETTLING_TIME, MEASURE_TIME_TO_LIMIT,
        MEASURE_BLEED_TO_50V_TIME};
    for (size_t i = 0; i < sizeof may / sizeof may[0]; i++)
        if (measure == may[i]) return false;
    return true;
}

static int faults; /* of the running test: all are told before it fails */

static void expect(bool good, const char *run, const char *fault)
{
    if (!good) printf("%s: %s\n", run, fault);
    faults += !good;
}

static void no_faults(void)
{
    int n = faults;
    faults = 0;
    assert_int_equal(n, 0);
}

static void check_figures(struct arena *arena, const struct result *r, const char *run)
{
    assert_true(r->figures.n > 20);
    for (int i = 0; i < r->figures.n; i++) {
        const struct figure *f = &r->figures.at[i];
        bool finite = isfinite(f->value) || (isinf(f->value) && !must_be_finite(f->measure));
        bool timed = !isfinite(f->time) || (f->time >= 0 && f->time <= r->end * (1 + 1e-12));
        const char *name =
            arena_printf(arena, "%s: %s %s", run, f->subject, measure_table[f->measure].name);
        expect(finite, name, "not finite");
        expect(timed, name, "at a time outside the run");
    }
}

static void check_run(struct arena *arena, const struct result *r, const char *run, double seconds)
{
    const struct statistics *st = &r->statistics;
    printf("%-58s %3d patterns, energy %.1e, charge %.1e at %s\n", run, st->patterns,
           st->energy_residual, st->charge_residual, st->charge_point ? st->charge_point : "none");
    expect(r->status == STATUS_OK, run, why(r));
    expect(fabs(r->end - seconds) < 1e-9, run, "did not reach its end");
    expect(st->energy_drawn > 0, run, "draws no energy");
    expect(st->energy_residual < 1e-6, run, "energy does not balance");
    expect(st->charge_residual < 1e-6, run, "charge does not balance");
    expect(!st->audit_failed, run, "its audit failed");
    expect(st->patterns >= 1 && st->patterns < MOST_PATTERNS, run, "too many patterns");
    check_figures(arena, r, run);
}

static bool same_double(double a, double b)
{
    return (isnan(a) && isnan(b)) || memcmp(&a, &b, sizeof a) == 0;
}

static void check_same(const struct result *a, const struct result *b, const char *run)
{
    assert_int_equal(a->figures.n, b->figures.n);
    assert_int_equal(a->statistics.steps, b->statistics.steps);
    for (int i = 0; i < a->figures.n; i++) {
        const struct figure *f = &a->figures.at[i], *g = &b->figures.at[i];
        bool same = strcmp(f->subject, g->subject) == 0 && f->measure == g->measure &&
                    same_double(f->value, g->value) && same_double(f->time, g->time);
        if (!same)
            fail_msg("%s: %s %s is %.17g and then %.17g", run, f->subject,
                     measure_table[f->measure].name, f->value, g->value);
    }
}

/* Whether some figure of the two runs differs. */
static bool differ(const struct result *a, const struct result *b)
{
    if (a->figures.n != b->figures.n) return true;
    for (int i = 0; i < a->figures.n; i++)
        if (!same_double(a->figures.at[i].value, b->figures.at[i].value)) return true;
    return false;
}

/* --- tests ---------------------------------------------------------------------------------- */

static void scenarios_are_there(void **state)
{
    (void)state;
    assert_true(name_count >= FEWEST);
}

/* A variant that only begins later, by a timed change, is not expected to differ yet. */
static void every_variant_runs_hot_and_matters(void **state)
{
    (void)state;
    for (int i = 0; i < name_count; i++) {
        struct shop s = open_shop(names[i]);
        const struct result *base = NULL;
        for (int k = -1; k < scenario_variants(s.scenario); k++) {
            const char *variant = k < 0 ? "base" : scenario_variant(s.scenario, k);
            const char *run = arena_printf(s.arena, "%s, %s, hot", names[i], variant);
            const struct result *r = simulate(&s, variant, 1, 2);
            check_run(s.arena, r, run, 2);
            if (k < 0) base = r;
            else
                expect(r->setup->stages.n > 1 || differ(base, r), run,
                       "no figure differs from base");
        }
        arena_free(s.arena);
    }
    no_faults();
}

/* Each run of the pair with a scenario read anew into memory of its own. */
static void every_scenario_runs_cold_and_again_the_same(void **state)
{
    (void)state;
    for (int i = 0; i < name_count; i++) {
        struct shop s = open_shop(names[i]), again = open_shop(names[i]);
        const char *run = arena_printf(s.arena, "%s, cold", names[i]);
        const struct result *first = simulate(&s, "base", 0, 4);
        check_run(s.arena, first, run, 4);
        check_same(first, simulate(&again, "base", 0, 4), run);
        arena_free(s.arena);
        arena_free(again.arena);
    }
    no_faults();
}

/* A full first capacitor is only trickled into while the tubes are cold: least passes there, and
 * what every pulse makes wrong adds up. */
static void charge_balances_while_the_string_is_cold(void **state)
{
    const struct {
        const char *variant;
        double seconds;
    } courses[] = {{"base", 12}, {"lamp burnt out", 16}};
    struct shop s = open_shop("ac-dc");
    (void)state;
    for (int i = 0; i < 2; i++)
        check_run(s.arena, simulate(&s, courses[i].variant, 0, courses[i].seconds),
                  courses[i].variant, courses[i].seconds);
    arena_free(s.arena);
    no_faults();
}

static double figure(const struct result *r, const char *subject, enum measure measure)
{
    const struct figure *f = run_figure(r, subject, measure);
    if (!f) fail_msg("no %s of %s", measure_table[measure].name, subject);
    return f->value;
}

/* The first capacitor's negative on the wrong side of the bias resistors: the charging pulses flow
 * through them, and nothing else tells. Common practice, no source. */
static void wrong_negative_hums(void **state)
{
    struct shop s = open_shop("back-bias");
    const struct result *good = simulate(&s, "base", 1, 4);
    const struct result *wrong = simulate(&s, "wrong negative", 1, 4);
    double times = figure(wrong, "centre tap", MEASURE_RIPPLE_RMS) /
                   figure(good, "centre tap", MEASURE_RIPPLE_RMS);
    (void)state;
    printf(
        "wrong negative: ripple at the centre tap x%.1f, bias x%.1f, B+ %.1f V -> %.1f V, "
        "first filter %.1f V -> %.1f V\n",
        times, figure(wrong, "bias", MEASURE_RIPPLE_RMS) / figure(good, "bias", MEASURE_RIPPLE_RMS),
        figure(good, "B+", MEASURE_SETTLED_VOLTAGE), figure(wrong, "B+", MEASURE_SETTLED_VOLTAGE),
        figure(good, "first filter", MEASURE_SETTLED_VOLTAGE),
        figure(wrong, "first filter", MEASURE_SETTLED_VOLTAGE));
    assert_true(times > 20);
    assert_true(figure(wrong, "bias", MEASURE_RIPPLE_RMS) >
                20 * figure(good, "bias", MEASURE_RIPPLE_RMS));
    near_rel(figure(wrong, "B+", MEASURE_SETTLED_VOLTAGE),
             figure(good, "B+", MEASURE_SETTLED_VOLTAGE), 0.05, "V");
    near_rel(figure(wrong, "centre tap", MEASURE_SETTLED_VOLTAGE),
             figure(good, "centre tap", MEASURE_SETTLED_VOLTAGE), 0.05, "V");
    arena_free(s.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scenarios_are_there),
        cmocka_unit_test(every_variant_runs_hot_and_matters),
        cmocka_unit_test(every_scenario_runs_cold_and_again_the_same),
        cmocka_unit_test(charge_balances_while_the_string_is_cold),
        cmocka_unit_test(wrong_negative_hums),
    };
    return cmocka_run_group_tests(tests, find_names, drop_names);
}
