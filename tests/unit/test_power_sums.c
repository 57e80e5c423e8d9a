/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Against the sums themselves, term by term, and the closed forms of a plain number: with M = 1 the
 * sums of powers (Faulhaber). */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "power_sums.h"

static void numbers_have_closed_forms(void **state)
{
    struct arena *arena = arena_new();
    struct power_sums s = power_sums_new(arena, 1);
    const double one = 1, x = 1;
    (void)state;
    power_sums_reach(&s, &one, 1024);
    const double n = 1023,
                 closed[POWER_SUMS] = {1024, n * (n + 1) / 2, n * (n + 1) * (2 * n + 1) / 6,
                                       n * n * (n + 1) * (n + 1) / 4};
    near_abs(s.m, 1024, 0, "");
    for (int p = 0; p < POWER_SUMS; p++) {
        double got = 0;
        power_sums_add(&s, p, 1, &x, &got);
        near_rel(got, closed[p], 1e-13, "");
    }
    arena_free(arena);
}

/* One mode that dies at once, one slow one, one that turns; coupled. */
static void matrices_agree_with_stepping(void **state)
{
    enum { N = 3, STEPS = 77 };
    static const double map[N * N] = {0.02, 0.3, -0.1, 0.01, 0.999, 0.004, -0.2, 0.005, 0.9};
    const double x[N] = {1, -2, 0.5};
    struct arena *arena = arena_new();
    struct power_sums s = power_sums_new(arena, N);
    (void)state;
    power_sums_reach(&s, map, STEPS);
    near_abs(s.m, STEPS, 0, "");
    for (int p = 0; p < POWER_SUMS; p++) {
        double z[N] = {0}, got[N] = {0};
        for (int j = 0; j < STEPS; j++) {
            double next[N];
            for (int a = 0; a < N; a++) {
                next[a] = (p == 0 ? 1 : pow(j, p)) * x[a];
                for (int b = 0; b < N; b++) next[a] += map[a * N + b] * z[b];
            }
            for (int a = 0; a < N; a++) z[a] = next[a];
        }
        power_sums_add(&s, p, 2, x, got);
        for (int a = 0; a < N; a++) near_rel(got[a], 2 * z[a], 1e-12, "");
    }
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_have_closed_forms),
        cmocka_unit_test(matrices_agree_with_stepping),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
