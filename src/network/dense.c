/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "dense.h"

#include <math.h>

#include <gsl/gsl_blas.h>

#include "numbers.h"

enum { TERMS = 14 }; /* (1/2)^15 / 15! is 2e-17 */

gsl_matrix *dense_matrix(struct arena *arena, int rows, int columns)
{
    gsl_matrix *m = ARENA_NEW(arena, gsl_matrix);
    *m = gsl_matrix_view_array(ARENA_ARRAY(arena, double, rows *columns), (size_t)rows,
                               (size_t)columns)
             .matrix;
    return m;
}

gsl_vector *dense_vector(struct arena *arena, int n)
{
    gsl_vector *v = ARENA_NEW(arena, gsl_vector);
    *v = gsl_vector_view_array(ARENA_ARRAY(arena, double, n), (size_t)n).vector;
    return v;
}

static double row_sum(const gsl_matrix *a)
{
    double most = 0;
    for (size_t i = 0; i < a->size1; i++) {
        double sum = 0;
        for (size_t j = 0; j < a->size2; j++) sum += fabs(gsl_matrix_get(a, i, j));
        most = larger(most, sum);
    }
    return most;
}

void dense_exponential(struct arena *scratch, const gsl_matrix *a, gsl_matrix *out)
{
    const int n = (int)a->size1;
    gsl_matrix *product = dense_matrix(scratch, n, n);
    double size = row_sum(a);
    int halvings = size > 0.5 ? (int)ceil(log2(size)) + 1 : 0;
    gsl_matrix_set_identity(out);
    for (int k = TERMS; k > 0; k--) { /* Horner: out = 1 + a out / k */
        gsl_blas_dgemm(CblasNoTrans, CblasNoTrans, ldexp(1.0 / k, -halvings), a, out, 0, product);
        gsl_matrix_set_identity(out);
        gsl_matrix_add(out, product);
    }
    for (int k = 0; k < halvings; k++) {
        gsl_matrix_memcpy(product, out);
        gsl_blas_dgemm(CblasNoTrans, CblasNoTrans, 1, product, product, 0, out);
    }
}
