/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Against GSL's own exponential, and what is known of a rotation. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <gsl/gsl_linalg.h>

#include "dense.h"
#include "near.h"

static void exponential_is_that_of_the_library(void **state)
{
    (void)state;
    enum { N = 4 };
    static const double entries[N * N] = {-2,  0.5, 0,    0.1, 0.3, -7,  1,    0,
                                          0.2, 0,   -0.4, 3,   0,   0.7, -0.9, -11};
    struct arena *arena = arena_new();
    for (double size = 1e-3; size < 20; size *= 10) {
        gsl_matrix *a = dense_matrix(arena, N, N), *out = dense_matrix(arena, N, N);
        gsl_matrix *wanted = dense_matrix(arena, N, N);
        for (size_t i = 0; i < N; i++)
            for (size_t j = 0; j < N; j++) gsl_matrix_set(a, i, j, size * entries[i * N + j]);
        dense_exponential(arena, a, out);
        gsl_linalg_exponential_ss(a, wanted, GSL_PREC_DOUBLE);
        for (size_t i = 0; i < N; i++)
            for (size_t j = 0; j < N; j++)
                near_abs(gsl_matrix_get(out, i, j), gsl_matrix_get(wanted, i, j), 1e-12, "");
    }
    arena_free(arena);
}

static void rotation(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    gsl_matrix *a = dense_matrix(arena, 2, 2), *out = dense_matrix(arena, 2, 2);
    gsl_matrix_set(a, 0, 1, -30);
    gsl_matrix_set(a, 1, 0, 30);
    dense_exponential(arena, a, out);
    near_abs(gsl_matrix_get(out, 0, 0), cos(30), 1e-12, "");
    near_abs(gsl_matrix_get(out, 1, 0), sin(30), 1e-12, "");
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(exponential_is_that_of_the_library),
                                       cmocka_unit_test(rotation)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
