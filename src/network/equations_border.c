/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps where most states are modes. With m the modes and r the other states, P = di/dy and P_m its
 * columns of the modes, the matrix of a step,
 *
 *     1/step - J = [1/step - D - e_m P_m, -a_mr - e_m P_r;  -J_rm, 1/step - J_rr],
 *
 * falls apart once c = P_m x_m are unknowns of their own. With F = 1 / (1/step - D), L = [P_m;
 * J_rm], W = [e_m, a_mr + e_m P_r] and T = diag(1, 1/step - J_rr)
 *
 *     x_m = F (b_m + W [c; x_r]),   (T - L F W) [c; x_r] = [0; b_r] + L F b_m. */
#include <math.h>
#include <string.h>

#include "equations_impl.h"
#include "lu.h"

struct border {
    int modes, rest, np, small;   /* small = np + rest */
    double *left, *right, *inner; /* L [small*modes], W' [small*modes], J_rr [rest*rest] */
    double *fast;                 /* F [modes] */
    double *lu, *x;               /* [small*small], [small] */
    int *pivot;
};

struct border *equations_border_new(struct arena *arena, int modes, int rest)
{
    struct border *b = ARENA_NEW(arena, struct border);
    const size_t many = (size_t)modes, small = (size_t)rest;
    b->left = ARENA_ARRAY(arena, double, small *many);
    b->right = ARENA_ARRAY(arena, double, small *many);
    b->inner = ARENA_ARRAY(arena, double, small *small);
    b->lu = ARENA_ARRAY(arena, double, small *small);
    b->fast = ARENA_ARRAY(arena, double, many);
    b->x = ARENA_ARRAY(arena, double, small);
    b->pivot = ARENA_ARRAY(arena, int, small);
    return b;
}

/* to += by * row */
static void add(int n, double by, const double *restrict row, double *restrict to)
{
    for (int j = 0; by != 0 && j < n; j++) to[j] += by * row[j];
}

/* Rows of the coils' currents: of the network, and of the ports' currents in `amperes`. */
static void coil_rows(const struct equations *eq, struct border *b, const double *amperes)
{
    const struct reduced *r = eq->r;
    const int wide = equations_size(eq) + 1;
    for (int i = 0; i < r->nw - b->modes; i++) {
        const double *a = &r->a[(b->modes + i) * r->nw], *e = &r->e[(b->modes + i) * r->np];
        double *left = &b->left[(b->np + i) * b->modes], *inner = &b->inner[i * b->rest];
        memcpy(left, a, (size_t)b->modes * sizeof *left);
        memcpy(inner, a + b->modes, (size_t)(r->nw - b->modes) * sizeof *inner);
        for (int k = 0; k < b->np; k++) {
            add(b->modes, e[k], &amperes[k * wide], left);
            add(b->rest, e[k], &amperes[k * wide + b->modes], inner);
        }
    }
}

/* Rows of the moving device states, but for what the states do to each other at constant volts. */
static void device_rows(const struct equations *eq, struct border *b,
                        const struct equations_slopes *of)
{
    const int coils = eq->r->nw - b->modes, wide = equations_size(eq) + 1;
    for (int s = 0; s < eq->moving; s++)
        for (int k = 0; k < b->np; k++) {
            const double h = of->h_v[s * b->np + k], *dv = &of->dv[k * wide];
            add(b->modes, h, dv, &b->left[(b->np + coils + s) * b->modes]);
            add(b->rest, h, dv + b->modes, &b->inner[(coils + s) * b->rest]);
        }
}

/* W', a row for each port and each of the other states. */
static void right_rows(const struct equations *eq, struct border *b, const double *amperes)
{
    const struct reduced *r = eq->r;
    const int wide = equations_size(eq) + 1, coils = r->nw - b->modes;
    for (int i = 0; i < b->modes; i++) {
        const double *e = &r->e[i * b->np];
        for (int k = 0; k < b->np; k++) b->right[k * b->modes + i] = e[k];
        for (int j = 0; j < b->rest; j++) {
            double sum = j < coils ? r->a[i * r->nw + b->modes + j] : 0;
            for (int k = 0; k < b->np; k++) sum += e[k] * amperes[k * wide + b->modes + j];
            b->right[(b->np + j) * b->modes + i] = sum;
        }
    }
}

int equations_prepare(struct equations *eq, double t, const double *y, double *dfdt)
{
    struct border *b = eq->border;
    const int wide = equations_size(eq) + 1;
    if (equations_solve(eq, t, y)) return 1;
    b->modes = eq->r->modal;
    b->np = eq->r->np;
    b->rest = equations_size(eq) - b->modes;
    b->small = b->np + b->rest;
    const int coils = eq->r->nw - b->modes;
    memset(b->left, 0, (size_t)(b->small * b->modes) * sizeof *b->left);
    memset(b->inner, 0, (size_t)(b->rest * b->rest) * sizeof *b->inner);
    struct equations_slopes of = {.by_state = &b->inner[coils * b->rest + coils],
                                  .stride = b->rest};
    if (equations_find_slopes(eq, &of, dfdt)) return 1;
    device_rows(eq, b, &of);
    equations_slopes_amperes(eq, &of, dfdt);
    for (int k = 0; k < b->np; k++)
        memcpy(&b->left[k * b->modes], &of.dv[k * wide], (size_t)b->modes * sizeof *b->left);
    coil_rows(eq, b, of.dv);
    right_rows(eq, b, of.dv);
    return 0;
}

/* In four sums, so that one addition need not wait for the last. */
static double product(int n, const double *restrict a, const double *restrict f,
                      const double *restrict b)
{
    double sum[4] = {0};
    int i = 0;
    for (; i + 4 <= n; i += 4)
        for (int k = 0; k < 4; k++) sum[k] += a[i + k] * f[i + k] * b[i + k];
    for (; i < n; i++) sum[0] += a[i] * f[i] * b[i];
    return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

bool equations_factor(struct equations *eq, double per_step)
{
    struct border *b = eq->border;
    const int m = b->modes, n = b->small;
    for (int i = 0; i < m; i++) b->fast[i] = 1 / (per_step - eq->r->a[i * eq->r->nw + i]);
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++) {
            double own = i == j ? (i < b->np ? 1 : per_step) : 0;
            if (i >= b->np && j >= b->np) own -= b->inner[(i - b->np) * b->rest + j - b->np];
            b->lu[i * n + j] = own - product(m, &b->left[i * m], b->fast, &b->right[j * m]);
        }
    return lu_factor(n, b->lu, b->pivot);
}

void equations_back(struct equations *eq, double *x)
{
    struct border *b = eq->border;
    const int m = b->modes, n = b->small;
    for (int i = 0; i < n; i++)
        b->x[i] = (i < b->np ? 0 : x[m + i - b->np]) + product(m, &b->left[i * m], b->fast, x);
    lu_solve(n, b->lu, b->pivot, b->x);
    for (int i = 0; i < n; i++) add(m, b->x[i], &b->right[i * m], x);
    for (int i = 0; i < m; i++) x[i] *= b->fast[i];
    for (int i = 0; i < b->rest; i++) x[m + i] = b->x[b->np + i];
}
