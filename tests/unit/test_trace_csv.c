/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The file of the trace: its form, its size, and that thinning loses no extreme. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "folder.h"
#include "near.h"
#include "numbers.h"
#include "trace_csv.h"

static struct arena *arena;
static const char *names[] = {"B+ [V]", "V6.1 [A]"};

static int open_folder(void **state)
{
    (void)state;
    arena = arena_new();
    folder_make();
    return 0;
}

static int close_folder(void **state)
{
    (void)state;
    arena_free(arena);
    folder_remove();
    return 0;
}

static const char *written(const struct result *result, long most)
{
    struct writer *w = writer_begin(arena, folder_path(""));
    trace_csv_write(w, arena, "trace.csv", result, most);
    assert_int_equal(writer_commit(w), STATUS_OK);
    return folder_get("trace.csv");
}

static struct result two_columns(struct trace *trace)
{
    struct result r = {.trace = trace, .columns = {.at = names, .n = 2}};
    return r;
}

static void form(void **state)
{
    (void)state;
    struct trace *trace = trace_new(arena, 2, 0, 1, 1.0 / 60, TRACE_ROWS);
    const double a[] = {0, -1e-20}, b[] = {330.0 + 1.0 / 3, 0.205};
    trace_row(trace, 0, a);
    trace_row(trace, 1e-6, b);
    trace_finish(trace);
    struct result r = two_columns(trace);
    assert_string_equal(written(&r, 0),
                        "t [s],B+ [V],V6.1 [A]\n0,0,-1e-20\n1e-06,330.333333,0.205\n");
    r.trace = NULL;
    assert_string_equal(written(&r, 0), "t [s],B+ [V],V6.1 [A]\n");
}

/* A minute of ripple with one spike that lasts one row. */
static struct trace *long_trace(double *spike)
{
    struct trace *trace = trace_new(arena, 2, 0, 60, 1.0 / 60, 6000);
    *spike = 777.25;
    for (int i = 0; i <= 60000; i++) {
        double t = i * 1e-3;
        double row[2] = {300 + 10 * sin(2 * PI * 120 * t), 0.2 * fabs(cos(2 * PI * 60 * t))};
        if (i == 31234) row[0] = *spike;
        trace_row(trace, t, row);
    }
    trace_finish(trace);
    return trace;
}

static void small_enough_and_whole(void **state)
{
    (void)state;
    double spike, highest = 0, last = -1;
    struct result r = two_columns(long_trace(&spike));
    const char *whole = written(&r, 0);
    size_t bytes = strlen(whole);
    assert_true(bytes > 100000);
    for (long most = 20000; most < 100000; most += 10000)
        assert_true((long)strlen(written(&r, most)) <= most);
    const char *text = written(&r, 40000);
    assert_true(strlen(text) <= 40000);
    assert_true(strlen(text) > 10000); /* no more is thrown away than must be */
    for (const char *line = strchr(text, '\n') + 1; *line; line = strchr(line, '\n') + 1) {
        double t = strtod(line, NULL), v = strtod(strchr(line, ',') + 1, NULL);
        assert_true(t >= last);
        last = t;
        if (v > highest) highest = v;
    }
    near_abs(highest, spike, 0, "V");
    near_abs(last, 60, 1e-9, "s");
}

int main(void)
{
#define TEST(f) cmocka_unit_test_setup_teardown(f, open_folder, close_folder)
    const struct CMUnitTest tests[] = {TEST(form), TEST(small_enough_and_whole)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
