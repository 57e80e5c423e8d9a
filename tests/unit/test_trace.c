/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a trace promises is checked against the rows that were handed in, recomputed or kept aside
 * here. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "numbers.h"
#include "trace.h"

#define T (1.0 / 60) /* period [s] */

/* Numbers without pattern, the same everywhere: a 64-bit linear congruence (Knuth's constants). */
static double noise(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

static void assert_rising(const struct trace *tr)
{
    for (int i = 1; i < trace_rows(tr); i++)
        assert_true(trace_time(tr, i) >= trace_time(tr, i - 1));
}

/* How many rows lie in from .. to. */
static int rows_in(const struct trace *tr, double from, double to)
{
    int n = 0;
    for (int i = 0; i < trace_rows(tr); i++)
        n += trace_time(tr, i) >= from && trace_time(tr, i) <= to;
    return n;
}

/* --- extremes --- */

enum { COLUMNS = 3, PARTS = 64 };

/* Extremes of each column in each of PARTS equal parts of the run, and the instant. */
struct extremes {
    double least[PARTS][COLUMNS], greatest[PARTS][COLUMNS];
};

static void extremes_clear(struct extremes *e)
{
    for (int p = 0; p < PARTS; p++)
        for (int c = 0; c < COLUMNS; c++) {
            e->least[p][c] = HUGE_VAL;
            e->greatest[p][c] = -HUGE_VAL;
        }
}

static void extremes_take(struct extremes *e, double part, const double *v)
{
    int p = (int)part;
    for (int c = 0; c < COLUMNS; c++) {
        e->least[p][c] = smaller(e->least[p][c], v[c]);
        e->greatest[p][c] = larger(e->greatest[p][c], v[c]);
    }
}

/* Smooth, rough, and mostly zero with single peaks. */
static void fill(double *v, double t, uint64_t *seed)
{
    double x = noise(seed);
    v[0] = 300 * (1 - exp(-t)) + sin(2 * PI * t / T);
    v[1] = x;
    v[2] = x > 0.9999 ? noise(seed) : 0;
}

static void check_extremes(const struct trace *tr, const struct extremes *wanted, double span)
{
    struct extremes *kept = malloc(sizeof *kept);
    extremes_clear(kept);
    for (int i = 0; i < trace_rows(tr); i++)
        extremes_take(kept, trace_time(tr, i) / span * PARTS, trace_values(tr, i));
    assert_memory_equal(kept, wanted, sizeof *kept);
    free(kept);
}

static void test_ten_million_rows(void **state)
{
    (void)state;
    enum { N = 10000000, BUDGET = 6000 };
    struct arena *arena = arena_new();
    double span = 1000, v[COLUMNS];
    struct trace *tr = trace_new(arena, COLUMNS, 0, span, T, BUDGET);
    struct extremes *wanted = malloc(sizeof *wanted);
    extremes_clear(wanted);
    size_t used = arena_used(arena);
    uint64_t seed = 1;
    for (int i = 0; i < N; i++) {
        double t = i * (span / N);
        fill(v, t, &seed);
        trace_row(tr, t, v);
        extremes_take(wanted, t / span * PARTS, v);
    }
    trace_finish(tr);
    assert_true(arena_used(arena) == used);
    assert_true(trace_rows(tr) <= BUDGET + BUDGET / 4 && trace_rows(tr) > BUDGET / 4);
    assert_rising(tr);
    check_extremes(tr, wanted, span); /* the intervals are equal parts, a power of two over 64 */
    free(wanted);
    arena_free(arena);
}

static void test_run_that_ends_early(void **state)
{
    (void)state;
    enum { N = 200000 };
    struct arena *arena = arena_new();
    double span = 3, v[COLUMNS]; /* of 100 s announced */
    struct trace *tr = trace_new(arena, COLUMNS, 0, 100, T, 2000);
    struct extremes *wanted = malloc(sizeof *wanted);
    extremes_clear(wanted);
    uint64_t seed = 2;
    for (int i = 0; i < N; i++) {
        double t = i * (span / N);
        fill(v, t, &seed);
        trace_row(tr, t, v);
        extremes_take(wanted, t / 100 * PARTS, v);
    }
    trace_finish(tr);
    check_extremes(tr, wanted, 100);
    /* the budget goes to what there was, not to the 97 s that were not */
    assert_true(trace_rows(tr) > 1000 && trace_rows(tr) <= 2500);
    free(wanted);
    arena_free(arena);
}

static void test_run_longer_than_announced(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    struct trace *tr = trace_new(arena, 1, 0, 0.5, T, 400);
    double greatest = 0;
    uint64_t seed = 3;
    for (int i = 0; i < 100000; i++) {
        double v = noise(&seed);
        greatest = larger(greatest, v);
        trace_row(tr, i * 1e-4, &v);
    }
    trace_finish(tr);
    double kept = 0;
    for (int i = 0; i < trace_rows(tr); i++) kept = larger(kept, trace_values(tr, i)[0]);
    assert_true(kept == greatest && trace_rows(tr) <= 500);
    arena_free(arena);
}

/* --- full resolution --- */

static double row_time(int i)
{
    return i * (T / 100);
}

/* A row every hundredth of a period; value = number of the row, so that a row tells which it was.
 */
static void count_rows(struct trace *tr, int from, int to)
{
    for (int i = from; i < to; i++) {
        double v = i;
        trace_row(tr, row_time(i), &v);
    }
}

static void assert_full(const struct trace *tr, int from, int to)
{
    int i = 0;
    while (i < trace_rows(tr) && trace_values(tr, i)[0] < from) i++;
    for (int k = from; k < to; k++, i++)
        assert_true(i < trace_rows(tr) && trace_values(tr, i)[0] == k);
}

static void test_head_marks_and_tail_are_full(void **state)
{
    (void)state;
    enum { N = 300000 };
    struct arena *arena = arena_new();
    struct trace *tr = trace_new(arena, 1, 0, row_time(N), T, 12000);
    trace_mark(tr, row_time(100000), 8); /* told ahead */
    count_rows(tr, 0, 200001);
    trace_mark(tr, row_time(200000), 8); /* told when it comes, after its first row */
    count_rows(tr, 200001, N);
    trace_finish(tr);
    assert_full(tr, 0, 800);
    assert_full(tr, 100000 - 99, 100800);
    assert_full(tr, 200000 - 99, 200800);
    assert_full(tr, N - 599, N);
    assert_rising(tr);
    assert_true(trace_rows(tr) <= 12000 + 3000);
    assert_true(rows_in(tr, 1200 * T, 1300 * T) < 1000); /* 10000 came in */
    arena_free(arena);
}

static void test_marks_share_the_budget(void **state)
{
    (void)state;
    enum { N = 200000, BUDGET = 2000 };
    struct arena *arena = arena_new();
    struct trace *tr = trace_new(arena, 1, 0, row_time(N), T, BUDGET);
    for (int k = 1; k <= TRACE_MARKS + 4; k++) trace_mark(tr, row_time(5000 * k), 40);
    count_rows(tr, 0, N);
    trace_finish(tr);
    assert_true(trace_rows(tr) <= BUDGET + BUDGET / 4);
    /* the start takes 250 of 1000, the first mark 187 of 750, the next 140 of 563 ...;
     * each begins a period, 100 rows, before its mark */
    assert_full(tr, 0, 250);
    assert_full(tr, 4901, 5087);
    assert_full(tr, 9901, 10040);
    assert_full(tr, 49901, 49914); /* the tenth mark: 14 of 58 */
    assert_full(tr, N - 500, N);   /* a quarter of the rows, not quite six periods */
    arena_free(arena);
}

static void test_short_run_is_kept_whole(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    struct trace *tr = trace_new(arena, 1, 0, 100, T, 5000);
    count_rows(tr, 0, 5000);
    trace_finish(tr);
    assert_true(trace_rows(tr) == 5000);
    assert_full(tr, 0, 5000);
    arena_free(arena);

    arena = arena_new();
    tr = trace_new(arena, 1, 0, 100, T, 5000);
    count_rows(tr, 0, 7400);
    trace_finish(tr);
    assert_true(trace_rows(tr) <= 6250);
    arena_free(arena);
}

static void test_empty_trace(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    struct trace *tr = trace_new(arena, 2, 1, 1, T, TRACE_ROWS);
    trace_finish(tr);
    assert_true(trace_rows(tr) == 0);
    arena_free(arena);
}

/* --- jumps --- */

static void test_two_sides_of_a_jump(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    struct trace *tr = trace_new(arena, 2, 0, 1, T, 100);
    const double before[] = {1, -1}, after[] = {0.5, 3};
    trace_row(tr, 0, after);
    trace_row(tr, 0.2, before);
    trace_row(tr, 0.2, before); /* the same row again */
    trace_row(tr, 0.2, after);
    trace_row(tr, 0.3, after); /* the same values later: another row */
    trace_finish(tr);
    assert_true(trace_rows(tr) == 4);
    assert_true(trace_time(tr, 1) == 0.2 && trace_time(tr, 2) == 0.2);
    assert_true(trace_values(tr, 1)[0] == 1 && trace_values(tr, 2)[0] == 0.5);
    assert_true(trace_values(tr, 1)[1] == -1 && trace_values(tr, 2)[1] == 3);
    arena_free(arena);
}

static void test_jumps_keep_their_order_when_thinned(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    struct trace *tr = trace_new(arena, 1, 0, 100, T, 500);
    for (int i = 0; i < 100000; i++) {
        /* a saw that falls by one at each whole second, both sides handed in */
        double t = i * 1e-3, v = t - floor(t);
        const double top = 1;
        if (i > 0 && i % 1000 == 0) trace_row(tr, t, &top);
        trace_row(tr, t, &v);
    }
    trace_finish(tr);
    assert_rising(tr);
    int jumps = 0;
    for (int i = 1; i < trace_rows(tr); i++) {
        if (trace_time(tr, i) > trace_time(tr, i - 1)) continue;
        assert_true(trace_values(tr, i - 1)[0] == 1 && trace_values(tr, i)[0] == 0);
        jumps++;
    }
    assert_true(jumps > 40);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ten_million_rows),
        cmocka_unit_test(test_run_that_ends_early),
        cmocka_unit_test(test_run_longer_than_announced),
        cmocka_unit_test(test_head_marks_and_tail_are_full),
        cmocka_unit_test(test_marks_share_the_budget),
        cmocka_unit_test(test_short_run_is_kept_whole),
        cmocka_unit_test(test_empty_trace),
        cmocka_unit_test(test_two_sides_of_a_jump),
        cmocka_unit_test(test_jumps_keep_their_order_when_thinned),
    };
    return cmocka_run_group_tests_name("trace", tests, NULL, NULL);
}
