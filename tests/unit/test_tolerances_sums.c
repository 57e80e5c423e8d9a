/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums over many samples against functions of which distribution and first-order shares are known
 * in closed form. */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "tolerances_points.h"
#include "tolerances_sums.h"

static struct arena *arena;

static int open_shop(void **state)
{
    (void)state;
    gsl_set_error_handler_off();
    arena = arena_new();
    return 0;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

typedef double function(const double *u);

static struct tolerances_sums *sampled(function *const *f, int figures, int groups, long samples,
                                       unsigned long seed)
{
    struct tolerances_points *points = tolerances_points_new(arena, groups, seed);
    struct tolerances_sums *s = tolerances_sums_new(arena, groups);
    double *u = ARENA_ARRAY(arena, double, groups);
    for (long i = 0; i < samples; i++) {
        tolerances_points_next(points, u);
        tolerances_sums_begin(s, u, tolerances_points_pick(points, (unsigned long)i + 1));
        for (int k = 0; k < figures; k++) tolerances_sums_add(s, k, f[k](u));
    }
    return s;
}

static double first(const double *u)
{
    return u[0];
}

/* Two alike: a triangle from 0 to 2, quantile sqrt(2 p) below the middle. */
static double sum_of_two(const double *u)
{
    return 240 + u[1] + u[2];
}

static double product(const double *u)
{
    return (1 + u[0]) * (2 + u[1]);
}

static double weighted(const double *u)
{
    return 4 * u[0] + 2 * u[1] + u[2];
}

static double constant(const double *u)
{
    (void)u;
    return 60;
}

static void known_quantiles(void **state)
{
    (void)state;
    function *const f[] = {first, sum_of_two};
    struct tolerances_sums *s = sampled(f, 2, 5, 1000, 1);
    struct tolerances_spread one = tolerances_sums_spread(s, 0), two = tolerances_sums_spread(s, 1);
    double even = 1 / sqrt(12), triangle = 1 / sqrt(6); /* standard deviations */
    assert_int_equal(one.n, 1000);
    near_abs(one.p05, 0.05, 0.01 * even, "");
    near_abs(one.p50, 0.50, 0.01 * even, "");
    near_abs(one.p95, 0.95, 0.01 * even, "");
    near_abs(one.deviation, even, 1e-3, "");
    near_abs(two.p05, 240 + sqrt(0.1), 0.1 * triangle, "");
    near_abs(two.p50, 241, 0.1 * triangle, "");
    near_abs(two.p95, 242 - sqrt(0.1), 0.1 * triangle, "");
    near_abs(two.deviation, triangle, 0.02 * triangle, "");
    assert_true(two.least >= 240 && two.least < 240.2 && two.most < 242 && two.most > 241.8);
}

static void known_shares(void **state)
{
    (void)state;
    enum { GROUPS = 12 };
    function *const f[] = {weighted, product, constant};
    struct tolerances_sums *s = sampled(f, 3, GROUPS, 1000, 1);
    double share[GROUPS], error[GROUPS], explained;
    assert_true(tolerances_sums_shares(s, 0, share, error, &explained));
    near_abs(share[0], 16.0 / 21, 1e-6, "");
    near_abs(share[1], 4.0 / 21, 1e-6, "");
    near_abs(share[2], 1.0 / 21, 1e-6, "");
    near_abs(explained, 1, 1e-9, "");

    /* Of a product of independent factors: variance of one by the squared mean of the other. */
    double v = 1.0 / 12, a = 2.25 + v, b = 6.25 + v, all = a * b - 2.25 * 6.25;
    assert_true(tolerances_sums_shares(s, 1, share, error, &explained));
    near_abs(share[0], v * 6.25 / all, 4 * error[0], "");
    near_abs(share[1], v * 2.25 / all, 4 * error[1], "");
    assert_true(error[0] < 0.01 && error[1] < 0.01);
    near_abs(explained, 1 - v * v / all, 0.003, ""); /* the rest is of both together */

    assert_false(tolerances_sums_shares(s, 2, share, error, &explained));
}

/* What has no part in a figure gets no share beyond its error bar, over many seeds. */
static void no_influence(void **state)
{
    (void)state;
    enum { GROUPS = 12, SEEDS = 20 };
    function *const f[] = {product};
    int beyond = 0;
    for (unsigned long seed = 1; seed <= SEEDS; seed++) {
        struct tolerances_sums *s = sampled(f, 1, GROUPS, 400, seed);
        double share[GROUPS], error[GROUPS], explained;
        assert_true(tolerances_sums_shares(s, 0, share, error, &explained));
        for (int g = 2; g < GROUPS; g++) {
            assert_true(share[g] < 0.002);
            beyond += share[g] > 2 * error[g];
        }
    }
    assert_true(beyond <= SEEDS * (GROUPS - 2) / 10);
}

/* Half of the variance is noise that no group explains: what it alone would give to three terms of
 * a group, 3 * 0.5 / samples, is taken from the shares. */
static void noise_gives_no_share(void **state)
{
    (void)state;
    enum { GROUPS = 12, SEEDS = 10, SAMPLES = 400 };
    double sum = 0;
    for (unsigned long seed = 1; seed <= SEEDS; seed++) {
        struct tolerances_points *points = tolerances_points_new(arena, GROUPS, seed);
        struct tolerances_sums *s = tolerances_sums_new(arena, GROUPS);
        double u[GROUPS], share[GROUPS], error[GROUPS], explained;
        for (int i = 0; i < SAMPLES; i++) {
            tolerances_points_next(points, u);
            tolerances_sums_begin(s, u, 0);
            double noise = (double)tolerances_points_pick(points, 1000000) / 1e6;
            tolerances_sums_add(s, 0, u[0] + noise);
        }
        assert_true(tolerances_sums_shares(s, 0, share, error, &explained));
        near_abs(share[0], 0.5, 4 * error[0], "");
        near_abs(explained, 0.5, 0.1, "");
        for (int g = 1; g < GROUPS; g++) sum += share[g] / (SEEDS * (GROUPS - 1));
    }
    assert_true(sum < 3 * 0.5 / SAMPLES);
}

static void few_samples(void **state)
{
    (void)state;
    function *const f[] = {weighted};
    double share[10], error[10], explained;
    assert_int_equal(tolerances_sums_needed(10), 22);
    assert_false(tolerances_sums_shares(sampled(f, 1, 10, 21, 1), 0, share, error, &explained));
    struct tolerances_sums *s = sampled(f, 1, 10, 22, 1); /* bears the first degree */
    assert_true(tolerances_sums_shares(s, 0, share, error, &explained));
    near_abs(share[0], 16.0 / 21, 1e-6, "");
}

static void gaps_and_infinities(void **state)
{
    (void)state;
    struct tolerances_sums *s = tolerances_sums_new(arena, 1);
    double share, error, explained;
    for (int i = 0; i < 100; i++) {
        double u = (i + 0.5) / 100;
        tolerances_sums_begin(s, &u, 0);
        tolerances_sums_add(s, 0, i < 96 ? u : (double)INFINITY);
        if (i % 2) tolerances_sums_add(s, 1, u);
        if (i == 99) tolerances_sums_add(s, 3, 7); /* 2 never came */
    }
    struct tolerances_spread spread = tolerances_sums_spread(s, 0);
    assert_int_equal(spread.n, 100);
    assert_true(isinf(spread.most) && isfinite(spread.p95) && isfinite(spread.mean));
    assert_false(tolerances_sums_shares(s, 0, &share, &error, &explained));
    assert_int_equal(tolerances_sums_spread(s, 1).n, 50);
    assert_false(tolerances_sums_shares(s, 1, &share, &error, &explained));
    assert_int_equal(tolerances_sums_spread(s, 2).n, 0);
    assert_true(isnan(tolerances_sums_spread(s, 2).p50));
    assert_int_equal(tolerances_sums_spread(s, 3).n, 1);
    near_abs(tolerances_sums_spread(s, 3).p50, 7, 0, "");
    assert_int_equal(tolerances_sums_spread(s, 4).n, 0);
}

/* Beyond SUMS_KEPT samples nothing grows, and quantiles stay within the drawing's error. */
static void memory_is_bounded(void **state)
{
    (void)state;
    struct tolerances_points *points = tolerances_points_new(arena, 2, 1);
    struct tolerances_sums *s = tolerances_sums_new(arena, 2);
    size_t used = 0;
    for (long i = 0; i < 10L * SUMS_KEPT; i++) {
        double u[2];
        tolerances_points_next(points, u);
        tolerances_sums_begin(s, u, tolerances_points_pick(points, (unsigned long)i + 1));
        tolerances_sums_add(s, 0, u[1]);
        tolerances_sums_add(s, 1, (double)i / (10 * SUMS_KEPT)); /* early and late ones alike */
        if (i == 0) used = arena_used(arena);
    }
    struct tolerances_spread spread = tolerances_sums_spread(s, 0);
    assert_int_equal(arena_used(arena), used);
    assert_int_equal(spread.n, 10L * SUMS_KEPT);
    near_abs(spread.p05, 0.05, 0.015, ""); /* four times sqrt(0.05 0.95 / SUMS_KEPT) */
    near_abs(spread.p50, 0.50, 0.032, "");
    assert_true(spread.most > 0.9999);
    near_abs(tolerances_sums_spread(s, 1).p50, 0.5, 0.032, "");
}

static void points_fill_the_cube(void **state)
{
    (void)state;
    static const int dimensions[] = {1, 40, 41, 120};
    for (int k = 0; k < 4; k++) {
        int d = dimensions[k];
        struct tolerances_points *a = tolerances_points_new(arena, d, 7),
                                 *b = tolerances_points_new(arena, d, 7),
                                 *c = tolerances_points_new(arena, d, 8);
        double *u = ARENA_ARRAY(arena, double, d), *v = ARENA_ARRAY(arena, double, d),
               *w = ARENA_ARRAY(arena, double, d), *sum = ARENA_ARRAY(arena, double, d);
        for (int i = 0; i < 1000; i++) {
            tolerances_points_next(a, u);
            tolerances_points_next(b, v);
            tolerances_points_next(c, w);
            for (int j = 0; j < d; j++) {
                assert_true(u[j] >= 0 && u[j] < 1 && u[j] == v[j] && u[j] != w[j]);
                sum[j] += u[j] / 1000;
            }
        }
        for (int j = 0; j < d; j++)
            near_abs(sum[j], 0.5, j < TOLERANCES_POINTS_SOBOL ? 2e-3 : 0.037, "");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_quantiles),   cmocka_unit_test(known_shares),
        cmocka_unit_test(no_influence),      cmocka_unit_test(noise_gives_no_share),
        cmocka_unit_test(few_samples),       cmocka_unit_test(gaps_and_infinities),
        cmocka_unit_test(memory_is_bounded), cmocka_unit_test(points_fill_the_cube),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
