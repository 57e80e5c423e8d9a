/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is read out of a trace, against sums done by hand on traces made by formula. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "curves.h"
#include "near.h"
#include "numbers.h"

enum { COLUMNS = 3 };

static struct arena *arena;
static const char *names[COLUMNS] = {"B+ [V]", "plate [V]", "B [A]"};

static int open_arena(void **state)
{
    (void)state;
    arena = arena_new();
    return 0;
}

static int close_arena(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

/* B+: a triangle 100..120 V of 120 Hz on a rise of 10 V/s; plate: sine of 60 Hz, crest 200 V. */
static struct result half_second(struct setup *setup)
{
    struct trace *trace = trace_new(arena, COLUMNS, 0, 0.5, 1.0 / 60, TRACE_ROWS);
    for (int i = 0; i <= 6000; i++) {
        double t = i / 12000.0, saw = i % 100 / 100.0;
        double triangle = saw < 0.5 ? 2 * saw : 2 - 2 * saw;
        double row[COLUMNS] = {100 + 20 * triangle + 10 * t, 200 * sin(2 * PI * 60 * t), 0};
        trace_row(trace, t, row);
    }
    trace_finish(trace);
    *setup = (struct setup){.frequency = 60};
    return (struct result){
        .setup = setup, .end = 0.5, .trace = trace, .columns = {.at = names, .n = COLUMNS}};
}

static void finds_columns_by_their_whole_names(void **state)
{
    (void)state;
    struct setup setup;
    struct result r = half_second(&setup);
    assert_int_equal(curve_point(&r, "B+").plus, 0);
    assert_int_equal(curve_point(&r, "plate").plus, 1);
    assert_int_equal(curve_point(&r, "B").plus, -1); /* that is a current */
    assert_int_equal(curve_point(&r, "plat").plus, -1);
    const double row[COLUMNS] = {100, 30, 0};
    struct curve difference = {"x", 0, 1, NULL};
    near_abs(curve_value(&difference, row), 70, 0, "V");
}

static void means_and_extremes(void **state)
{
    (void)state;
    struct setup setup;
    struct result r = half_second(&setup);
    struct curve saw = curve_point(&r, "B+"), sine = curve_point(&r, "plate");
    double mean, rest, low, high;
    curve_mean(&r, &sine, 0.4, &mean, &rest); /* six whole cycles */
    near_abs(mean, 0, 1e-6, "V");
    /* chords of 200 to a cycle lose (2 pi / 200)^2 / 12 */
    near_rel(rest, 200 / sqrt(2) * (1 - sq(PI / 100) / 12), 1e-6, "V");
    curve_mean(&r, &saw, 0.4, &mean, &rest);
    near_rel(mean, 110 + 10 * 0.45, 1e-6, "V");
    /* triangle of 20 V: 20/sqrt(12); rise of 1 V: 1/sqrt(12) */
    near_rel(rest, sqrt((400 + 1) / 12.0), 1e-3, "V");
    assert_true(curve_range(&r, &sine, 0.1, 0.2, &low, &high));
    near_rel(low, -200, 1e-6, "V");
    near_rel(high, 200, 1e-6, "V");
    assert_false(curve_range(&r, &sine, 0.6, 0.7, &low, &high));
}

static void envelope(void **state)
{
    (void)state;
    enum { BINS = 20 };
    double low[BINS], mean[BINS], high[BINS], width = 2.0 / 60;
    struct setup setup;
    struct result r = half_second(&setup);
    struct curve saw = curve_point(&r, "B+");
    curve_envelope(&r, &saw, BINS, 0, width, low, mean, high);
    for (int k = 0; k < 15; k++) {
        double start = k * width;
        near_abs(low[k], 100 + 10 * start, 0.05, "V");
        near_abs(high[k], 120 + 10 * (start + width), 0.1, "V");
        near_abs(mean[k], 110 + 10 * (start + width / 2), 0.05, "V");
    }
    for (int k = 15; k < BINS; k++) { /* behind the end */
        near_abs(low[k], low[14], 0, "V");
        near_abs(high[k], high[14], 0, "V");
    }
}

/* A curve of two rows a minute apart passes every interval. */
static void envelope_of_few_rows(void **state)
{
    (void)state;
    double low[6], mean[6], high[6];
    const double a[COLUMNS] = {0, 0, 0}, z[COLUMNS] = {60, 0, 0};
    struct trace *trace = trace_new(arena, COLUMNS, 0, 60, 1.0 / 60, TRACE_ROWS);
    trace_row(trace, 0, a);
    trace_row(trace, 60, z);
    trace_finish(trace);
    struct result r = {.trace = trace, .columns = {.at = names, .n = COLUMNS}};
    struct curve line = curve_point(&r, "B+");
    curve_envelope(&r, &line, 6, 0, 10, low, mean, high);
    for (int k = 0; k < 6; k++) {
        near_abs(low[k], 10 * k, 1e-9, "V");
        near_abs(mean[k], 10 * k + 5, 1e-9, "V");
        near_abs(high[k], 10 * k + 10, 1e-9, "V");
    }
}

/* The record of cycles gives the mean that the thinned trace, all extremes, cannot; over a leap
 * from the third cycle to the end of a minute the values go straight. */
static void envelope_of_cycles(void **state)
{
    (void)state;
    enum { BINS = 6 };
    double low[BINS], mean[BINS], high[BINS];
    const double period = 1.0 / 60;
    struct trace *trace = trace_new(arena, COLUMNS, 0, 60, period, TRACE_ROWS);
    struct trace *cycles = trace_new(arena, 3, 0, 60, period, TRACE_ROWS);
    for (int k = 0; k <= 3603; k += k == 3 ? 3597 : 1) {
        double t = k * period, v = 100 + t;
        for (int j = 0; j < 2; j++)
            trace_row(trace, t + j * period / 2, (double[COLUMNS]){v + (j ? 10 : -10), 0, 0});
        if (k > 0) trace_row(cycles, t, (double[3]){v - 10, v + 3, v + 10});
    }
    trace_finish(trace);
    trace_finish(cycles);
    struct setup setup = {.frequency = 60};
    struct result r = {.setup = &setup,
                       .end = 60 + 3.5 * period,
                       .trace = trace,
                       .columns = {.at = names, .n = COLUMNS},
                       .envelope = cycles,
                       .envelope_columns = {.at = names, .n = 1}};
    struct curve line = curve_point(&r, "B+");
    curve_envelope(&r, &line, BINS, 0, 10, low, mean, high);
    for (int k = 0; k < BINS;
         k++) { /* a cycle's values hold good at its middle: half a cycle late */
        near_abs(low[k], 90 + 10 * k, 0.02, "V");
        near_abs(mean[k], 108 + 10 * k, 0.02, "V");
        near_abs(high[k], 120 + 10 * k, 0.02, "V");
    }
}

int main(void)
{
#define TEST(f) cmocka_unit_test_setup_teardown(f, open_arena, close_arena)
    const struct CMUnitTest tests[] = {
        TEST(finds_columns_by_their_whole_names),
        TEST(means_and_extremes),
        TEST(envelope),
        TEST(envelope_of_few_rows),
        TEST(envelope_of_cycles),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
