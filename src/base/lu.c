/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gaussian elimination by rows: the innermost loops run along rows, which lie in one piece in
 * memory. Entries of L that are zero (networks give many) save their row operation. The triangular
 * solves are inner products of rows, each kept in four partial sums so that one addition need not
 * wait for the last; the order of the additions is fixed, so the digits are too. */
#include "lu.h"

#include <assert.h>
#include <math.h>

enum { FEW = 3, SMALL = 48 }; /* right sides, and unknowns: partial sums are not worth while */

static int largest_below(int n, const double *a, int k)
{
    int best = k;
    for (int i = k + 1; i < n; i++)
        if (fabs(a[i * n + k]) > fabs(a[best * n + k])) best = i;
    return best;
}

static void exchange_rows(int n, double *restrict p, double *restrict q)
{
    for (int j = 0; j < n; j++) {
        double keep = p[j];
        p[j] = q[j];
        q[j] = keep;
    }
}

/* y -= factor * x */
static void subtract_row(int n, double factor, const double *restrict x, double *restrict y)
{
    for (int j = 0; j < n; j++) y[j] -= factor * x[j];
}

static double inner(int n, const double *restrict x, const double *restrict y)
{
    double a = 0, b = 0, c = 0, d = 0;
    int i = 0;
    for (; i + 4 <= n; i += 4) {
        a += x[i] * y[i];
        b += x[i + 1] * y[i + 1];
        c += x[i + 2] * y[i + 2];
        d += x[i + 3] * y[i + 3];
    }
    for (; i < n; i++) a += x[i] * y[i];
    return (a + b) + (c + d);
}

bool lu_factor(int n, double *restrict a, int *restrict pivot)
{
    assert(n >= 0);
    for (int k = 0; k < n; k++) {
        double *row = a + k * n;
        int best = largest_below(n, a, k);
        pivot[k] = best;
        if (best != k) exchange_rows(n, row, a + best * n);

        double reciprocal = 1 / row[k];
        if (!isfinite(row[k]) || !isfinite(reciprocal)) return false;
        row[k] = reciprocal;

        for (int i = k + 1; i < n; i++) {
            double *below = a + i * n;
            if (below[k] == 0) continue;
            below[k] *= reciprocal;
            subtract_row(n - k - 1, below[k], row + k + 1, below + k + 1);
        }
    }
    return true;
}

/* The triangular solves for few right sides, whose row is kept in registers; `m` is a constant
 * where this is called. */
static inline void solve_few(int n, const double *restrict a, int m, double *restrict x)
{
    double y[FEW];
    for (int i = 1; i < n; i++) {
        for (int j = 0; j < m; j++) y[j] = x[i * m + j];
        for (int k = 0; k < i; k++)
            for (int j = 0; j < m; j++) y[j] -= a[i * n + k] * x[k * m + j];
        for (int j = 0; j < m; j++) x[i * m + j] = y[j];
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int j = 0; j < m; j++) y[j] = x[i * m + j];
        for (int k = n - 1; k > i; k--)
            for (int j = 0; j < m; j++) y[j] -= a[i * n + k] * x[k * m + j];
        for (int j = 0; j < m; j++) x[i * m + j] = y[j] * a[i * n + i];
    }
}

void lu_solve(int n, const double *restrict a, const int *restrict pivot, double *restrict b)
{
    for (int k = 0; k < n; k++) {
        double keep = b[pivot[k]];
        b[pivot[k]] = b[k];
        b[k] = keep;
    }
    if (n <= SMALL) {
        solve_few(n, a, 1, b);
        return;
    }
    for (int i = 1; i < n; i++) b[i] -= inner(i, a + i * n, b);
    for (int i = n - 1; i >= 0; i--) {
        const double *row = a + i * n;
        b[i] = (b[i] - inner(n - i - 1, row + i + 1, b + i + 1)) * row[i];
    }
}

void lu_solve_many(int n, const double *restrict a, const int *restrict pivot, int m,
                   double *restrict x)
{
    for (int k = 0; k < n; k++)
        if (pivot[k] != k) exchange_rows(m, x + k * m, x + pivot[k] * m);
    switch (m) {
    case 1: solve_few(n, a, 1, x); return;
    case 2: solve_few(n, a, 2, x); return;
    case 3: solve_few(n, a, 3, x); return;
    }
    for (int k = 0; k < n; k++)
        for (int i = k + 1; i < n; i++)
            if (a[i * n + k] != 0) subtract_row(m, a[i * n + k], x + k * m, x + i * m);
    for (int k = n - 1; k >= 0; k--) {
        for (int j = 0; j < m; j++) x[k * m + j] *= a[k * n + k];
        for (int i = 0; i < k; i++)
            if (a[i * n + k] != 0) subtract_row(m, a[i * n + k], x + k * m, x + i * m);
    }
}
