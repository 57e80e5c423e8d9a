/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The dense solver on systems made from their solution. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "lu.h"
#include "near.h"

enum { LARGEST = 40 };

/* A fixed scramble of numbers between -1 and 1 (a linear congruence, constants from memory). */
static double scramble(uint32_t *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return *seed / 2147483648.0 - 1;
}

static void test_lu_solves(void **state)
{
    (void)state;
    uint32_t seed = 1;
    double a[LARGEST * LARGEST], factors[LARGEST * LARGEST], x[LARGEST], b[LARGEST];
    int pivot[LARGEST];
    for (int n = 0; n <= LARGEST; n++) {
        for (int k = 0; k < n * n; k++) a[k] = k % 3 == 1 ? 0 : scramble(&seed);
        for (int i = 0; i < n; i++) a[i * n + (i + 1) % n] += 3; /* large beside the diagonal */
        for (int i = 0; i < n; i++) x[i] = scramble(&seed);
        for (int i = 0; i < n; i++) {
            b[i] = 0;
            for (int j = 0; j < n; j++) b[i] += a[i * n + j] * x[j];
        }
        memcpy(factors, a, sizeof a);
        assert_true(lu_factor(n, factors, pivot));
        lu_solve(n, factors, pivot, b);
        for (int i = 0; i < n; i++) near_abs(b[i], x[i], 1e-12, "");
    }
}

static void test_lu_pivots(void **state)
{
    (void)state;
    double a[] = {0, 2, 1, 1e-20}, b[] = {4, 3};
    int pivot[2];
    assert_true(lu_factor(2, a, pivot));
    lu_solve(2, a, pivot, b);
    near_abs(b[0], 3, 1e-15, "");
    near_abs(b[1], 2, 1e-15, "");
}

static void test_lu_refuses(void **state)
{
    (void)state;
    int pivot[2];
    double none = (double)NAN, endless = (double)INFINITY;
    assert_false(lu_factor(2, (double[]){0, 0, 0, 0}, pivot));
    assert_false(lu_factor(2, (double[]){1, 2, 2, 4}, pivot));
    assert_false(lu_factor(2, (double[]){none, 1, 1, 1}, pivot));
    assert_false(lu_factor(2, (double[]){endless, 1, 1, 1}, pivot));
    assert_false(lu_factor(1, (double[]){1e-310}, pivot)); /* its reciprocal overflows */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lu_solves),
        cmocka_unit_test(test_lu_pivots),
        cmocka_unit_test(test_lu_refuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
