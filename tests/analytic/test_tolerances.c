/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The study of tolerances on networks whose figures have distributions in closed form: a resistor
 * on the line, and an ideal rectifier with a resistor. The same numbers whatever the number of
 * threads; what is left when it is interrupted. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "shipped.h"
#include "shop.h"
#include "tolerances.h"

#define VOLTS_LOW (117 * 0.95)
#define VOLTS_HIGH (117 * 1.05)
#define OHMS_LOW 900.0
#define OHMS_HIGH 1100.0
#define WATTS 14.5

static const char resistor[] =
    "format: 1\nreference: neutral\n"
    "mains: {voltage: 117 V +-5 %, frequency: 60 Hz, resistance: 0 ohm, closes at: zero}\n"
    "parts:\n"
    "  R1: {is: resistor, across: [line, neutral], resistance: 1 kohm +-10 %, rated: 14.5 W}\n";

static const char rectifier[] =
    "format: 1\nreference: neutral\n"
    "mains: {voltage: 117 V +-5 %, frequency: 60 Hz, resistance: 0 ohm, closes at: zero}\n"
    "parts:\n"
    "  D1: {is: rectifier, type: ideal, plates: [line], cathode: out}\n"
    "  R1: {is: resistor, across: [out, neutral], resistance: 1 kohm +-10 %, rated: 100 W}\n"
    "run: {for: 0.3 s}\n";

static const struct tolerances *made(const struct scenario *s, struct tolerances_options options)
{
    struct diags *diags = diags_new(shop_arena());
    if (options.seed == 0) options.seed = 1;
    const struct tolerances *t = tolerances_make(shop_arena(), diags, s, NULL, &options);
    if (t->status != STATUS_OK) diags_print(diags, stderr);
    return t;
}

static const struct tolerances_row *row_of(const struct tolerances *t, const char *subject,
                                           enum measure measure)
{
    const struct tolerances_row *row = tolerances_find(t, subject, measure);
    if (!row) fail_msg("no row %s %s", subject, measure_table[measure].name);
    return row;
}

static int group_of(const struct tolerances *t, const char *key)
{
    for (int g = 0; g < t->list.groups.n; g++)
        if (strcmp(t->list.groups.at[g].key, key) == 0) return g;
    fail_msg("no group %s", key);
    return -1;
}

/* ---- a resistor on the line ---- */

static double held(double x)
{
    return x < 0 ? 0 : x > 1 ? 1 : x;
}

/* Share of all sets with less current than that. */
static double below(double amperes)
{
    enum { N = 20000 };
    double sum = 0;
    for (int i = 0; i < N; i++) {
        double ohms = OHMS_LOW + (OHMS_HIGH - OHMS_LOW) * (i + 0.5) / N;
        sum += held((amperes * ohms - VOLTS_LOW) / (VOLTS_HIGH - VOLTS_LOW));
    }
    return sum / N;
}

static double amperes_at(double share)
{
    double low = VOLTS_LOW / OHMS_HIGH, high = VOLTS_HIGH / OHMS_LOW;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        *(below(middle) < share ? &low : &high) = middle;
    }
    return low;
}

static double over_watts(double watts)
{
    enum { N = 20000 };
    double sum = 0;
    for (int i = 0; i < N; i++) {
        double volts = VOLTS_LOW + (VOLTS_HIGH - VOLTS_LOW) * (i + 0.5) / N;
        sum += held((sq(volts) / watts - OHMS_LOW) / (OHMS_HIGH - OHMS_LOW));
    }
    return sum / N;
}

static void resistor_on_the_line(void **state)
{
    (void)state;
    const struct tolerances *t =
        made(shop_scenario(resistor), (struct tolerances_options){.samples = 1000});
    assert_int_equal(t->status, STATUS_OK);
    assert_int_equal(t->done, 1000);
    assert_int_equal(t->failed + t->restless, 0);
    const struct tolerances_row *current = row_of(t, "mains", MEASURE_LINE_CURRENT);
    const double v = 117, vv = sq(v) + sq(VOLTS_HIGH - VOLTS_LOW) / 12,
                 g = log(OHMS_HIGH / OHMS_LOW) / (OHMS_HIGH - OHMS_LOW),
                 gg = 1 / (OHMS_HIGH * OHMS_LOW), variance = vv * gg - sq(v * g);
    double deviation = sqrt(variance);
    near_rel(current->nominal, 0.117, 1e-6, "A");
    near_abs(current->spread.deviation, deviation, 0.02 * deviation, "A");
    near_abs(current->spread.p05, amperes_at(0.05), 0.03 * deviation, "A");
    near_abs(current->spread.p50, amperes_at(0.50), 0.03 * deviation, "A");
    near_abs(current->spread.p95, amperes_at(0.95), 0.03 * deviation, "A");
    assert_true(current->spread.least >= VOLTS_LOW / OHMS_HIGH);
    assert_true(current->spread.most <= VOLTS_HIGH / OHMS_LOW);

    /* First-order shares of V/R: the variance of one factor by the squared mean of the other. */
    int volts = group_of(t, "mains.voltage"), ohms = group_of(t, "R1.resistance"),
        room = group_of(t, "run.ambient");
    assert_true(current->has_shares);
    near_abs(current->share[volts], (vv - sq(v)) * sq(g) / variance, 0.01, "");
    near_abs(current->share[ohms], (gg - sq(g)) * sq(v) / variance, 0.01, "");
    assert_true(current->share[room] <= 2 * current->error[room] && current->error[room] < 0.001);
    assert_int_equal(tolerances_foremost(t, current, 0), ohms);
    assert_int_equal(tolerances_foremost(t, current, 1), volts);
    assert_int_equal(tolerances_foremost(t, current, t->list.groups.n), -1);

    const struct tolerances_row *heat = row_of(t, "R1", MEASURE_DISSIPATION);
    assert_non_null(heat->rating);
    assert_false(heat->nominal_over);
    near_abs(heat->share_over, over_watts(WATTS), 0.01, "");
    near_abs((double)t->over / 1000, heat->share_over, 0, "");
}

/* ---- a rectifier ---- */

/* Half a sine of V: its mean is sqrt(2) V/pi whatever the ohms. */
static void mean_of_half_a_sine(void **state)
{
    (void)state;
    const struct tolerances *t =
        made(shop_scenario(rectifier), (struct tolerances_options){.samples = 400});
    assert_int_equal(t->status, STATUS_OK);
    const struct tolerances_row *row = row_of(t, "out", MEASURE_SETTLED_VOLTAGE);
    const double k = sqrt(2) / PI, wide = VOLTS_HIGH - VOLTS_LOW, deviation = k * wide / sqrt(12);
    near_rel(row->nominal, k * 117, 1e-6, "V");
    near_abs(row->spread.p05, k * (VOLTS_LOW + 0.05 * wide), 0.02 * deviation, "V");
    near_abs(row->spread.p50, k * (VOLTS_LOW + 0.50 * wide), 0.02 * deviation, "V");
    near_abs(row->spread.p95, k * (VOLTS_LOW + 0.95 * wide), 0.02 * deviation, "V");
    int volts = group_of(t, "mains.voltage"), ohms = group_of(t, "R1.resistance");
    near_abs(row->share[volts], 1, 1e-4, "");
    near_abs(row->share[ohms], 0, 1e-4, "");
}

static void turn_ons(void **state)
{
    (void)state;
    const struct tolerances *t =
        made(shop_scenario(rectifier), (struct tolerances_options){.samples = 40, .cold = true});
    assert_int_equal(t->status, STATUS_OK);
    const double k = sqrt(2) / PI, wide = VOLTS_HIGH - VOLTS_LOW, deviation = k * wide / sqrt(12);
    const struct tolerances_row *row = row_of(t, "out", MEASURE_SETTLED_VOLTAGE),
                                *inverse = row_of(t, "D1", MEASURE_INVERSE_VOLTAGE);
    near_abs(row->spread.p50, k * 117, 0.1 * deviation, "V");
    near_abs(inverse->spread.p50, sqrt(2) * 117, 0.1 * PI * deviation, "V");
    bool restart = false;
    for (int i = 0; i < t->rows.n; i++) restart |= t->rows.at[i].of == TOLERANCES_RESTART;
    assert_true(restart);
}

/* ---- the study itself ---- */

static void same_numbers_whatever_the_jobs(void **state)
{
    (void)state;
    const struct scenario *s = shipped_scenario(shop_arena(), "field-coil");
    const struct tolerances *one = made(s, (struct tolerances_options){.samples = 70, .jobs = 1}),
                            *four = made(s, (struct tolerances_options){.samples = 70, .jobs = 4}),
                            *other = made(s, (struct tolerances_options){
                                                 .samples = 70, .jobs = 1, .seed = 2});
    assert_int_equal(one->rows.n, four->rows.n);
    assert_int_equal(one->over, four->over);
    int differ = 0;
    for (int i = 0; i < one->rows.n; i++) {
        const struct tolerances_row *a = &one->rows.at[i], *b = &four->rows.at[i];
        assert_string_equal(a->subject, b->subject);
        assert_memory_equal(&a->spread, &b->spread, sizeof a->spread);
        if (a->has_shares)
            assert_memory_equal(a->share, b->share, (size_t)one->list.groups.n * sizeof *a->share);
        differ += memcmp(&a->spread, &other->rows.at[i].spread, sizeof a->spread) != 0;
    }
    assert_true(differ > 20); /* another seed, other sets */

    /* Before the tubes draw the volts are those of a turn-on (README: 453 V on both). */
    bool before = false;
    for (int i = 0; i < one->rows.n; i++) {
        const struct tolerances_row *row = &one->rows.at[i];
        if (row->of != TOLERANCES_BEFORE || row->measure != MEASURE_HIGHEST_VOLTAGE) continue;
        near_abs(row->nominal, 453, 1.5, "V");
        before = true;
    }
    assert_true(before);
    assert_false(one->race);                         /* its rectifier is there in three seconds */
    s = shipped_scenario(shop_arena(), "amplifier"); /* that one's is heated indirectly */
    assert_true(made(s, (struct tolerances_options){.samples = 1})->race);
}

static _Atomic int made_by_now;

static void count(void *context, int done, int all)
{
    (void)context, (void)all;
    made_by_now = done;
}

static bool nine(void)
{
    return made_by_now >= 9;
}

static void interrupted(void **state)
{
    (void)state;
    const struct tolerances *t =
        made(shop_scenario(resistor),
             (struct tolerances_options){
                 .samples = 1000, .jobs = 1, .interrupted = nine, .done = count});
    assert_int_equal(t->status, STATUS_INTERRUPTED);
    assert_int_equal(t->done, 9);
    assert_int_equal(t->asked, 1000);
    assert_int_equal(row_of(t, "mains", MEASURE_LINE_CURRENT)->spread.n, t->done);
}

static bool at_once(void)
{
    return true;
}

/* What the summary gives beside each reading. */
static void bands_of_a_summary(void **state)
{
    (void)state;
    const struct tolerances_options steady = {.jobs = 1, .only_steady = true},
                                    stopped = {
                                        .jobs = 1, .only_steady = true, .interrupted = at_once};
    const struct scenario *s = shop_scenario(resistor);
    const struct tolerances *t = tolerances_bands(shop_arena(), s, NULL, &steady);
    assert_non_null(t);
    const struct tolerances_row *current = row_of(t, "mains", MEASURE_LINE_CURRENT);
    double deviation = current->spread.deviation;
    near_abs(current->spread.p05, amperes_at(0.05), 0.15 * deviation, "A");
    near_abs(current->spread.p95, amperes_at(0.95), 0.15 * deviation, "A");
    assert_null(tolerances_find(t, "mains", MEASURE_SETTLED_VOLTAGE));
    assert_null(tolerances_bands(shop_arena(), s, NULL, &stopped));

    /* Its old capacitor runs away in many of the sets. */
    s = shipped_scenario(shop_arena(), "bridged-capacitor");
    assert_null(tolerances_bands(shop_arena(), s, NULL, &steady));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(resistor_on_the_line),
        cmocka_unit_test(mean_of_half_a_sine),
        cmocka_unit_test(turn_ons),
        cmocka_unit_test(same_numbers_whatever_the_jobs),
        cmocka_unit_test(interrupted),
        cmocka_unit_test(bands_of_a_summary),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
