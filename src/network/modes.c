/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "modes.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_eigen.h>
#include <gsl/gsl_linalg.h>

#include "dense.h"
#include "numbers.h"

enum { LEAST = 24 };    /* capacitors' states: below, full matrices cost no more */
enum { ROWS = 256 };    /* turned at a time */
#define FASTEST 1e8     /* [1/s]: rates are found to 1e-16 of the greatest */
#define RECIPROCAL 1e-9 /* what may be unlike in the two halves of -H a, of its greatest entry */

/* H of the first n states, scaled to a unit diagonal; `scale` [n]: 1 / its roots. */
static gsl_matrix *masses(struct arena *work, const struct network *network,
                          const struct reduced *r, int n, double *scale)
{
    gsl_matrix *h = dense_matrix(work, n, n);
    for (int y = 0; y < r->ny; y++)
        for (int i = 0; i < n; i++) {
            const double by = network->stored_by[y] * r->q[y * r->nw + i];
            double *row = gsl_matrix_ptr(h, (size_t)i, 0);
            for (int j = 0; by != 0 && j < n; j++) row[j] += by * r->q[y * r->nw + j];
        }
    for (int i = 0; i < n; i++) scale[i] = 1 / sqrt(*gsl_matrix_ptr(h, (size_t)i, (size_t)i));
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++) *gsl_matrix_ptr(h, (size_t)i, (size_t)j) *= scale[i] * scale[j];
    return h;
}

/* With D the scale, L L' = D H D: b = L' D^-1 (-a) D L^-T, symmetric and of the same eigenvalues as
 * -a. False where it is not symmetric, or too fast. */
static bool symmetric(const struct reduced *r, int n, const double *scale, const gsl_matrix *l,
                      gsl_matrix *b)
{
    double most = 0, unlike = 0;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            gsl_matrix_set(b, (size_t)i, (size_t)j, -r->a[i * r->nw + j] * scale[j] / scale[i]);
    gsl_blas_dtrmm(CblasLeft, CblasLower, CblasTrans, CblasNonUnit, 1, l, b);
    gsl_blas_dtrsm(CblasRight, CblasLower, CblasTrans, CblasNonUnit, 1, l, b);
    for (size_t i = 0; i < b->size1; i++)
        for (size_t j = 0; j <= i; j++) {
            double *p = gsl_matrix_ptr(b, i, j), *q = gsl_matrix_ptr(b, j, i);
            most = larger(most, larger(fabs(*p), fabs(*q)));
            unlike = larger(unlike, fabs(*p - *q));
            *p = *q = (*p + *q) / 2;
        }
    return most <= FASTEST && unlike <= RECIPROCAL * most;
}

/* rows [m of stride], their first n entries times x [n*n]. */
static void turn_columns(struct arena *work, int m, int stride, int n, double *rows,
                         const gsl_matrix *x)
{
    if (m == 0) return;
    gsl_matrix *to = dense_matrix(work, m, n);
    gsl_matrix_view from =
        gsl_matrix_view_array_with_tda(rows, (size_t)m, (size_t)n, (size_t)stride);
    gsl_blas_dgemm(CblasNoTrans, CblasNoTrans, 1, &from.matrix, x, 0, to);
    gsl_matrix_memcpy(&from.matrix, to);
}

/* x times the first n rows, of m columns. */
static void turn_rows(struct arena *work, int m, int n, double *rows, const gsl_matrix *x)
{
    if (m == 0) return;
    gsl_matrix *to = dense_matrix(work, n, m);
    gsl_matrix_view from = gsl_matrix_view_array(rows, (size_t)n, (size_t)m);
    gsl_blas_dgemm(CblasNoTrans, CblasNoTrans, 1, x, &from.matrix, 0, to);
    gsl_matrix_memcpy(&from.matrix, to);
}

/* The same of many rows, some hundred at a time. */
static bool turn_many(struct arena *work, int m, int stride, int n, double *rows,
                      const gsl_matrix *x, const struct network_asked *asked)
{
    for (int i = 0; i < m; i += ROWS) {
        const int many = m - i < ROWS ? m - i : ROWS;
        turn_columns(work, many, stride, n, rows + (size_t)i * (size_t)stride, x);
        if (network_wants_end(asked, (double)many * n * n)) return false;
    }
    return true;
}

/* All that has to do with the states, by modes: w = x z. False: left off. */
static bool turn(struct arena *work, const struct network *network, struct reduced *r, int n,
                 const gsl_matrix *x, const gsl_matrix *back, const gsl_vector *rates,
                 const struct network_asked *asked)
{
    const struct circuit *c = network->circuit;
    turn_rows(work, r->nw, n, r->a, back);
    turn_rows(work, r->nu, n, r->b, back);
    turn_rows(work, r->nu, n, r->b1, back);
    turn_rows(work, r->np, n, r->e, back);
    turn_rows(work, r->ny, n, r->take, back);
    if (network_wants_end(asked, 2.0 * n * n * n)) return false;
    turn_columns(work, r->nw, r->nw, n, r->a, x);
    turn_columns(work, r->ny, r->nw, n, r->q, x);
    turn_columns(work, r->np, r->nw, n, r->cv, x);
    if (!turn_many(work, 2 * c->elements.n + c->points.n, r->columns, n, r->out, x, asked))
        return false;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            r->a[i * r->nw + j] = i == j ? -gsl_vector_get(rates, (size_t)i) : 0;
    return true;
}

bool modes_take(struct arena *work, const struct network *network, struct reduced *r,
                const struct network_asked *asked)
{
    int n = 0;
    while (n < r->nw && r->w_of[n] < network->capacitors) n++;
    if (n < LEAST) return true;
    const double cube = (double)n * n * n;
    double *scale = ARENA_ARRAY(work, double, n);
    gsl_matrix *l = masses(work, network, r, n, scale), *b = dense_matrix(work, n, n),
               *modes = dense_matrix(work, n, n), *x = dense_matrix(work, n, n),
               *back = dense_matrix(work, n, n);
    gsl_vector *rates = dense_vector(work, n);
    if (gsl_linalg_cholesky_decomp1(l) || !symmetric(r, n, scale, l, b)) return true;
    if (network_wants_end(asked, 2 * cube)) return false;
    gsl_eigen_symmv_workspace room = {(size_t)n, ARENA_ARRAY(work, double, n),
                                      ARENA_ARRAY(work, double, n), ARENA_ARRAY(work, double, n),
                                      ARENA_ARRAY(work, double, n)};
    if (gsl_eigen_symmv(b, rates, modes, &room)) return true;
    if (network_wants_end(asked, 8 * cube)) return false;
    gsl_matrix_memcpy(x, modes);
    gsl_blas_dtrsm(CblasLeft, CblasLower, CblasTrans, CblasNonUnit, 1, l, x);
    gsl_matrix_transpose_memcpy(back, modes);
    gsl_blas_dtrmm(CblasRight, CblasLower, CblasTrans, CblasNonUnit, 1, l, back);
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++) {
            *gsl_matrix_ptr(x, (size_t)i, (size_t)j) *= scale[i];
            *gsl_matrix_ptr(back, (size_t)j, (size_t)i) /= scale[i];
        }
    if (!turn(work, network, r, n, x, back, rates, asked)) return false;
    r->modal = n;
    return true;
}
