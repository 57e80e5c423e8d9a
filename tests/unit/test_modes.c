/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many capacitors, whose states are modes: the matrix of steps is held against the Jacobian. What the
 * network answers is held against the unreduced equations in test_network. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "equations.h"
#include "ladder.h"
#include "near.h"

enum { SECTIONS = 40, PATTERNS = 4 };

struct made {
    struct arena *arena;
    const struct network *network;
    const struct reduced *r;
};

static struct made make(pattern_t pattern)
{
    struct made m = {.arena = arena_new()};
    const struct setup *setup = ladder_setup(m.arena, SECTIONS);
    assert_non_null(setup);
    m.network = network_new(m.arena, setup->stages.at[0].circuit);
    m.r = network_reduce(m.arena, m.network, pattern, NULL);
    assert_int_equal(m.r->fault, NETWORK_SOUND);
    assert_int_equal(m.r->modal, SECTIONS + 1);
    return m;
}

static double some(int k)
{
    return sin(1.3 * k + 0.7); /* in no order */
}

/* Charges to modes and back; each fades by itself. */
static void by_themselves(void **state)
{
    (void)state;
    for (pattern_t p = 0; p < PATTERNS; p++) {
        struct made m = make(p);
        const struct reduced *r = m.r;
        for (int k = 0; k < r->nw; k++)
            for (int j = 0; j < r->nw; j++) {
                double sum = 0;
                for (int y = 0; y < r->ny; y++)
                    sum += r->take[k * r->ny + y] * m.network->stored_by[y] * r->q[y * r->nw + j];
                near_abs(sum, k == j, 1e-10, "");
                if (k >= r->modal || j >= r->modal) continue;
                if (j == k) assert_true(r->a[k * r->nw + j] < 0);
                else assert_true(r->a[k * r->nw + j] == 0);
            }
        arena_free(m.arena);
    }
}

static void matrix_of_steps(void **state)
{
    (void)state;
    for (pattern_t p = 0; p < PATTERNS; p++) {
        struct made m = make(p);
        struct equations *eq = equations_new(m.arena, m.network);
        equations_pattern(eq, m.r);
        const int n = equations_size(eq);
        double *y = ARENA_ARRAY(m.arena, double, n), *by_time = ARENA_ARRAY(m.arena, double, n),
               *also = ARENA_ARRAY(m.arena, double, n), *x = ARENA_ARRAY(m.arena, double, n),
               *b = ARENA_ARRAY(m.arena, double, n),
               *j = ARENA_ARRAY(m.arena, double, (size_t)n *(size_t)n);
        for (int k = 0; k < n; k++) y[k] = k < m.r->nw ? some(k) : 300 + 10 * some(k);
        assert_int_equal(equations_jacobian(eq, 0.003, y, j, by_time), 0);
        assert_int_equal(equations_prepare(eq, 0.003, y, also), 0);
        for (int k = 0; k < n; k++) near_rel(also[k], by_time[k], 1e-12, "");
        for (double per_step = 1e2; per_step < 1e7; per_step *= 1e2) {
            for (int k = 0; k < n; k++) x[k] = b[k] = some(3 * k);
            assert_true(equations_factor(eq, per_step));
            equations_back(eq, x);
            for (int k = 0; k < n; k++) {
                double sum = per_step * x[k], size = fabs(sum);
                for (int l = 0; l < n; l++) {
                    sum -= j[k * n + l] * x[l];
                    size += fabs(j[k * n + l] * x[l]);
                }
                near_abs(sum, b[k], 1e-12 * (size + 1), "");
            }
        }
        arena_free(m.arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(by_themselves),
                                       cmocka_unit_test(matrix_of_steps)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
