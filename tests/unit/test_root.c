/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Against the square root of two. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "root.h"

static const struct root_bracket bracket = {{1, 2}, {-1, 2}};

struct calls {
    int n, stop; /* calls; the one that fails */
    enum status status;
};

static double square_less_two(double x, void *calls)
{
    struct calls *c = calls;
    assert_true(x != bracket.x[0] && x != bracket.x[1]); /* the ends are known */
    if (++c->n == c->stop) c->status = STATUS_INTERRUPTED;
    return x * x - 2;
}

static void closes_in_on_the_crossing(void **state)
{
    struct calls fine = {0}, coarse = {0}, near_enough = {0};
    (void)state;
    struct arena *arena = arena_new();
    near_abs(root_close_in(arena, &bracket, square_less_two, &fine, 1e-12, 0, &fine.status),
             sqrt(2), 1e-12, "");
    near_abs(root_close_in(arena, &bracket, square_less_two, &coarse, 0.01, 0, &coarse.status),
             sqrt(2), 0.01, "");
    near_abs(
        root_close_in(arena, &bracket, square_less_two, &near_enough, 0, 0.01, &near_enough.status),
        sqrt(2), 0.01, "");
    assert_true(coarse.n < fine.n && near_enough.n < fine.n && fine.n <= ROOT_ITERATIONS);
    assert_int_equal(fine.status, STATUS_OK);
    arena_free(arena);
}

static void ends_where_the_function_fails(void **state)
{
    struct calls calls = {.stop = 2};
    struct arena *arena = arena_new();
    (void)state;
    root_close_in(arena, &bracket, square_less_two, &calls, 1e-12, 0, &calls.status);
    assert_int_equal(calls.n, 2);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(closes_in_on_the_crossing),
                                       cmocka_unit_test(ends_where_the_function_fails)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
