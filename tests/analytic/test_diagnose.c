/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Diagnoses of sets whose fault is known. The weights against their closed form on a divider
 * (normal density of one reading, derived); faults laid over a set and read back; the fault rows of
 * the bench sheet, which is the same model forwards. All sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "bench_sheet.h"
#include "diagnose.h"
#include "near.h"
#include "numbers.h"
#include "readings.h"
#include "shipped.h"
#include "shop.h"
#include "steady.h"

static struct arena *arena;

static int open_shop(void **state)
{
    int bad = shop_open(state);
    arena = shop_arena();
    return bad;
}

static const struct diagnosis *diagnose_text(const char *text)
{
    struct diags *diags = diags_new(arena);
    const struct responses_options options = {.jobs = 2};
    const struct diagnosis *d = diagnose(arena, diags, shop_scenario(text), NULL, NULL, &options);
    diags_print(diags, stderr);
    assert_int_equal(d->status, STATUS_OK);
    return d;
}

/* Whether the cause is the first, or among those that cannot be told apart from it. */
static bool leads(const struct diagnosis *d, const char *part, const char *name)
{
    for (int i = 0; i < d->group; i++) {
        const struct cause *c = &d->r.causes.at[d->order[i]];
        if (strcmp(c->part, part) == 0 && strcmp(c->name, name) == 0) return true;
    }
    const struct cause *first = &d->r.causes.at[d->order[0]];
    printf("  %s %s: first is %s %s\n", part, name, first->part, first->name);
    return false;
}

static int cause_of(const struct diagnosis *d, const char *part, const char *name)
{
    for (int i = 0; i < d->r.causes.n; i++)
        if (strcmp(d->r.causes.at[i].part, part) == 0 && strcmp(d->r.causes.at[i].name, name) == 0)
            return i;
    fail_msg("no cause %s %s", part, name);
    return -1;
}

/* ---- the weights ---- */

/* 100 V through R1 into R2, without tolerances: 50 V at the middle, 100 V with R2 open, 0 V with R1
 * open. The meter's 2 % and the model's 2 % add in squares, the floor is 0.1 V + 0.5 % of 50 V. */
static const char divider[] =
    "format: 1\nreference: B-\nrun: {for: 1 s}\n"
    "meter: {resistance: 1000 Mohm}\n"
    "parts:\n"
    "  B1: {is: battery, across: [A, B-], voltage: 100 V exact, resistance: 0 ohm}\n"
    "  R1: {is: resistor, across: [A, middle], resistance: 1 kohm exact}\n"
    "  R2: {is: resistor, across: [middle, B-], resistance: 1 kohm exact}\n"
    "  C1: {is: capacitor, across: [A, B-], value: 1 uF exact, make: film, leakage: none, series "
    "resistance: 0 ohm, condition: good}\n";

static double evidence(double read, double expected)
{
    double sigma = sqrt(sq(expected) * (sq(0.02) + sq(0.02)) + sq(0.1 + 0.005 * 50));
    return -sq((read - expected) / sigma) / 2 - log(sigma) - log(2 * PI) / 2;
}

static void closed_form(void **state)
{
    (void)state;
    const struct diagnosis *d =
        diagnose_text(arena_printf(arena, "%smeasured: {middle: 54 V}\n", divider));
    assert_int_equal(d->r.tolerances.n, 0);
    near_abs(d->of[0].evidence, evidence(54, 50), 1e-3, "");
    near_abs(d->of[cause_of(d, "R2", "open")].evidence, evidence(54, 100), 1e-2, "");
    /* drifted from half to five times its value: an integral of the same density, by a fine sum */
    double sum = 0;
    enum { N = 4000 };
    for (int k = 0; k < N; k++) {
        double ratio = 0.5 * pow(10, (k + 0.5) / N);
        sum += exp(evidence(54, 100 * ratio / (1 + ratio))) / N;
    }
    near_rel(exp(d->of[cause_of(d, "R2", "drifted")].evidence), sum, 0.03, "");
    double shares = 0;
    for (int i = 0; i < d->r.causes.n; i++) shares += d->of[i].share;
    near_rel(shares, 1, 1e-12, "");
}

/* With 10 % resistors the reading may lie anywhere between: the sound set becomes likelier than
 * before, and the covariance knows by how much: 50 V +- 2.5 V * sqrt(2) * 10 % / sqrt(3) a side. */
static void tolerances_widen(void **state)
{
    (void)state;
    const struct diagnosis *d = diagnose_text(
        "format: 1\nreference: B-\nrun: {for: 1 s}\nmeter: {resistance: 1000 Mohm}\nparts:\n"
        "  B1: {is: battery, across: [A, B-], voltage: 100 V exact, resistance: 0 ohm}\n"
        "  R1: {is: resistor, across: [A, middle], resistance: 1 kohm +-10 %}\n"
        "  R2: {is: resistor, across: [middle, B-], resistance: 1 kohm +-10 %}\n"
        "  C1: {is: capacitor, across: [A, B-], value: 1 uF exact, make: film, leakage: none, "
        "series "
        "resistance: 0 ohm}\n"
        "measured: {middle: 54 V}\n");
    assert_int_equal(d->r.tolerances.n, 2);
    double part = 25 * 0.1 / sqrt(3); /* dV/dR R = V/2 */
    double sigma = sqrt(sq(50 * 0.02) * 2 + sq(0.35) + 2 * sq(part));
    near_abs(d->of[0].misfit, sq(4 / sigma), 0.05 * sq(4 / sigma), "");
}

/* ---- faults laid and read back ---- */

/* What the set would read with a fault laid, as `measured:`. */
static const char *measured_of(const char *keys)
{
    const char *text = arena_printf(arena, "%svariants:\n  bad:\n    %s\n", shop_choke_set, keys);
    struct steady_options o = {.bodies_stay = true};
    const struct steady *d = steady_solve(arena, shop_setup(text, "bad"), &o);
    assert_int_equal(d->status, STATUS_OK);
    const struct result *r = d->result;
    return arena_printf(arena,
                        "measured:\n  first filter: {DC: %.3g V, AC: %.3g V}\n"
                        "  B+: {DC: %.3g V, AC: %.3g mV}\n  mains: %.3g A\n",
                        shop_figure(r, "first filter", MEASURE_SETTLED_VOLTAGE),
                        shop_figure(r, "first filter", MEASURE_RIPPLE_RMS),
                        shop_figure(r, "B+", MEASURE_SETTLED_VOLTAGE),
                        1e3 * shop_figure(r, "B+", MEASURE_RIPPLE_RMS),
                        shop_figure(r, "mains", MEASURE_LINE_CURRENT));
}

static const struct diagnosis *with_fault(const char *keys)
{
    return diagnose_text(arena_printf(arena, "%s%s", shop_choke_set, measured_of(keys)));
}

static double severity_of(const struct diagnosis *d, const char *part, const char *name)
{
    int c = cause_of(d, part, name);
    return d->placed[c].severity[d->of[c].best] * d->r.causes.at[c].times;
}

static void laid_faults(void **state)
{
    (void)state;
    const struct diagnosis *d = with_fault("C1: {condition: dried out, value now: 3 uF}");
    assert_true(leads(d, "C1", "dried out"));
    near_rel(severity_of(d, "C1", "dried out"), 3e-6, 0.5, "F");
    d = with_fault("V6: {condition: weak, emission left: 15 %}");
    assert_true(leads(d, "V6", "weak"));
    d = with_fault("V6: {condition: one plate dead}");
    assert_true(leads(d, "V6", "one plate dead"));
    d = with_fault("L1: {condition: shorted}");
    assert_true(leads(d, "L1", "shorted"));
    d = with_fault("tubes: {condition: open}");
    assert_true(leads(d, "tubes", "open"));
    assert_true(d->danger < 0);
}

/* A leak across B+ and tubes that draw too much read alike; the ohmmeter at the dead set tells them
 * apart, and is what is proposed. */
static void told_apart(void **state)
{
    (void)state;
    const char *keys = "C2: {condition: leaky, leakage: 6 kohm}";
    const struct diagnosis *d = with_fault(keys);
    int leaky = cause_of(d, "C2", "leaky"), load = cause_of(d, "tubes", "too much");
    assert_true(leads(d, "C2", "leaky") && leads(d, "tubes", "too much"));
    assert_true(d->of[leaky].share + d->of[load].share > 0.6);
    assert_int_equal(d->limit, NEXT_NO_FULL_LINE);
    assert_true(d->nexts > 0);
    const struct read *next = &d->r.q.reads.at[d->next[0].read];
    assert_int_equal(next->what.kind, READING_OHMS);
    d = diagnose_text(
        arena_printf(arena, "%s%s  B+ to chassis: 6 kohm\n", shop_choke_set, measured_of(keys)));
    assert_true(leads(d, "C2", "leaky"));
    assert_true(d->of[leaky].share > 0.5);
    assert_true(d->of[load].share < 1e-3);
    near_rel(severity_of(d, "C2", "leaky"), 6e3, 0.1, "ohm");
}

/* The set as written is sound; with a hundred volts at B+ nothing is; a slip of the pen stands out.
 */
static void sound_and_odd(void **state)
{
    (void)state;
    const struct diagnosis *d = with_fault("tubes: {note: nothing}");
    assert_int_equal(d->order[0], 0);
    const char *measured = measured_of("tubes: {note: nothing}");
    d = diagnose_text(arena_printf(arena, "%s%s  C1: {DC: 31 V}\n", shop_choke_set, measured));
    assert_false(d->serves);
    assert_true(d->odd >= 0);
    assert_string_equal(d->r.q.reads.at[d->evidence.read[d->odd]].label, "C1 DC");
}

/* Two faults at once, of which none serves alone. */
static void two_faults(void **state)
{
    (void)state;
    const struct diagnosis *d =
        with_fault("C1: {condition: dried out, value now: 3 uF}\n    tubes: "
                   "{condition: too much, load: 120 %}");
    assert_false(d->serves);
    assert_true(d->pair_count > 0);
    assert_true(d->odd < 0);
    bool found[2] = {false, false};
    for (int k = 0; k < 2; k++) {
        const struct cause *c = &d->r.causes.at[d->pairs[0].cause[k]];
        found[0] |= strcmp(c->part, "C1") == 0 && strcmp(c->name, "dried out") == 0;
        found[1] |= strcmp(c->part, "tubes") == 0 && strcmp(c->name, "too much") == 0;
    }
    assert_true(found[0] && found[1]);
}

/* A meter of 1 kohm/V on its 500 V range loads a divider of 100 kohm a side: 50 kohm before it let
 * it read 500/550 of the half (derived). */
static void loading(void **state)
{
    (void)state;
    const struct diagnosis *d = diagnose_text(
        "format: 1\nreference: B-\nrun: {for: 1 s}\n"
        "meter: {sensitivity: 1 kohm/V, range: 500 V}\nparts:\n"
        "  B1: {is: battery, across: [A, B-], voltage: 100 V, resistance: 0 ohm}\n"
        "  R1: {is: resistor, across: [A, middle], resistance: 100 kohm}\n"
        "  R2: {is: resistor, across: [middle, B-], resistance: 100 kohm}\n"
        "  C1: {is: capacitor, across: [A, B-], value: 1 uF, make: film, leakage: none}\n"
        "measured: {middle: 45.5 V}\n");
    near_rel(d->r.q.reads.at[0].sound, 50 * 500.0 / 550, 1e-4, "V");
    assert_int_equal(d->order[0], 0);
}

/* After an hour the copper is warm: the sound set reads what it settles at, not what it reads some
 * minutes after a start. */
static void after_an_hour(void **state)
{
    (void)state;
    double read[2], settled[2];
    for (int warm = 0; warm < 2; warm++) {
        const struct steady_options o = {.bodies_stay = !warm};
        const struct diagnosis *d =
            diagnose_text(arena_printf(arena, "%smeasured:\n  - {name: as found, %sB+: 250 V}\n",
                                       shop_choke_set, warm ? "after: 1 h, " : ""));
        settled[warm] =
            shop_figure(steady_solve(arena, shop_setup(shop_choke_set, NULL), &o)->result, "B+",
                        MEASURE_SETTLED_VOLTAGE);
        read[warm] = d->r.q.reads.at[0].sound;
        near_rel(read[warm], settled[warm], 1e-4, "V");
    }
    assert_true(fabs(settled[1] - settled[0]) > 0.005 * settled[0]);
}

/* A set is not the same before and after a repair: of dated readings the latest count, or those
 * that are named. */
static void dated(void **state)
{
    (void)state;
    const char *text =
        arena_printf(arena,
                     "%smeasured:\n  - {name: as found, date: 2026-11-02, middle: 30 V}\n"
                     "  - {name: repaired, date: 2026-11-09, middle: 51 V}\n"
                     "  - {name: on the same day, date: 2026-11-09, A: 99 V}\n",
                     divider);
    const struct diagnosis *d = diagnose_text(text);
    assert_int_equal(d->evidence.n, 2);
    near_rel(d->evidence.value[0], 51, 1e-9, "V");
    near_rel(d->evidence.value[1], 99, 1e-9, "V");
    const struct responses_options options = {.jobs = 2};
    d = diagnose(arena, diags_new(arena), shop_scenario(text), NULL, "as found", &options);
    assert_int_equal(d->evidence.n, 1);
    near_rel(d->evidence.value[0], 30, 1e-9, "V");
    struct diags *diags = diags_new(arena);
    d = diagnose(arena, diags, shop_scenario(text), NULL, "as foumd", &options);
    assert_int_equal(d->status, STATUS_SCENARIO);
    assert_int_equal(diags_errors(diags), 1);
}

/* What is noticed counts: blue between the plates is gas. */
static void noticed(void **state)
{
    (void)state;
    const struct diagnosis *d = diagnose_text(
        arena_printf(arena, "%snoticed: [plates blue between, hum none]\n", shop_choke_set));
    assert_true(leads(d, "V6", "gas"));
}

static void same_digits(void **state)
{
    (void)state;
    const char *text =
        arena_printf(arena, "%smeasured: {B+: 200 V, mains: 0.4 A}\n", shop_choke_set);
    const struct diagnosis *d[2];
    for (int i = 0; i < 2; i++) {
        const struct responses_options options = {.jobs = 1 + 2 * i};
        d[i] = diagnose(arena, diags_new(arena), shop_scenario(text), NULL, NULL, &options);
    }
    for (int c = 0; c < d[0]->r.causes.n; c++)
        assert_memory_equal(&d[0]->of[c].share, &d[1]->of[c].share, sizeof(double));
}

/* ---- the bench sheet ---- */

static void bench_sheet_agrees(void **state)
{
    (void)state;
    const struct scenario *s = shop_scenario(shop_choke_set);
    const struct bench_options bench = {.jobs = 2};
    struct diags *diags = diags_new(arena);
    const struct bench_sheet *sheet = bench_sheet_make(arena, diags, s, NULL, &bench);
    int agreed = 0;
    assert_int_equal(sheet->status, STATUS_OK);
    for (int i = 0; i < BENCH_FAULTS; i++) {
        const struct bench_row *row = &sheet->faults[1][i];
        if (!row->told) continue;
        const char *text = arena_printf(
            arena, "%smeasured:\n  C1: {DC: %.4g V}\n  C2: {DC: %.4g V}\n  mains: %.4g A\n",
            shop_choke_set,
            isnan(row->value[BENCH_FIRST_VOLTS]) ? 0 : row->value[BENCH_FIRST_VOLTS],
            isnan(row->value[BENCH_SECOND_VOLTS]) ? 0 : row->value[BENCH_SECOND_VOLTS],
            row->value[BENCH_LINE_AMPERES]);
        const struct diagnosis *d = diagnose_text(text);
        size_t n = strcspn(row->what, " ");
        bool found = false;
        for (int k = 0; k < d->group || k < 2; k++)
            found |= strncmp(d->r.causes.at[d->order[k]].part, row->what, n) == 0;
        printf("  %s: %s %s\n", row->what, d->r.causes.at[d->order[0]].part,
               d->r.causes.at[d->order[0]].name);
        agreed += found;
        assert_true(found);
    }
    assert_true(agreed >= 6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closed_form),   cmocka_unit_test(tolerances_widen),
        cmocka_unit_test(laid_faults),   cmocka_unit_test(told_apart),
        cmocka_unit_test(sound_and_odd), cmocka_unit_test(two_faults),
        cmocka_unit_test(loading),       cmocka_unit_test(after_an_hour),
        cmocka_unit_test(dated),         cmocka_unit_test(noticed),
        cmocka_unit_test(same_digits),   cmocka_unit_test(bench_sheet_agrees),
    };
    return cmocka_run_group_tests(tests, open_shop, shop_close);
}
