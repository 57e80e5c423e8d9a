/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "moments.h"

#include <math.h>
#include <string.h>

#include "numbers.h"

enum { MANY = 64 };   /* columns from which a factor is worth while */
#define NOTHING 1e-15 /* of an integral: what may be left of it */

struct moments *moments_new(struct arena *arena, int width)
{
    struct moments *m = ARENA_NEW(arena, struct moments);
    m->arena = arena;
    m->now = -1;
    m->width = width;
    m->x = ARENA_ARRAY(arena, double, width);
    m->left = ARENA_ARRAY(arena, double, width);
    return m;
}

static int find(struct moments *m, const struct reduced *r)
{
    for (int k = 0; k < m->of.n; k++)
        if (m->of.at[k].r == r) return k;
    const size_t width = (size_t)m->width; /* a fold of the pattern may have more columns later */
    array_push(m->arena, &m->of, (struct moments_of){.r = r});
    struct moments_of *of = &m->of.at[m->of.n - 1];
    of->linear = ARENA_ARRAY(m->arena, double, width *WAVE_SUMS);
    of->square = ARENA_ARRAY(m->arena, double, width *width);
    if (width >= MANY) of->factor = ARENA_ARRAY(m->arena, double, width *width);
    return m->of.n - 1;
}

/* The upper triangle of square += weight x x'. */
static void add_square(int n, double weight, const double *restrict x, double *restrict square)
{
    for (int i = 0; i < n; i++) {
        const double f = weight * x[i];
        for (int j = i; j < n; j++) square[i * n + j] += f * x[j];
    }
}

static void add_linear(int n, const double *restrict k, const double *restrict x,
                       double *restrict linear)
{
    for (int i = 0; i < n; i++)
        for (int j = 0; j < WAVE_SUMS; j++) linear[i * WAVE_SUMS + j] += x[i] * k[j];
}

static void take_pending(struct moments *m)
{
    if (m->now < 0) return;
    struct moments_of *of = &m->of.at[m->now];
    add_square(of->r->columns, m->weight, m->x, of->square);
    add_linear(of->r->columns, m->weights, m->x, of->linear);
    m->now = -1;
}

void moments_step(struct moments *m, const struct reduced *r, double dt, const double *x, int width,
                  wave_weights k, bool goes_on)
{
    const int n = r->columns;
    double weight = dt * lobatto_weight[0], weights[WAVE_SUMS] = {0};
    bool joins = goes_on && m->now >= 0 && m->of.at[m->now].r == r;
    if (!joins) take_pending(m);
    const int now = joins ? m->now : find(m, r);
    struct moments_of *of = &m->of.at[now];
    if (k) memcpy(weights, k[0], sizeof weights);
    if (joins) {
        weight += m->weight;
        for (int j = 0; k && j < WAVE_SUMS; j++) weights[j] += m->weights[j];
    }
    of->seconds += dt;
    add_square(n, weight, x, of->square);
    if (k) add_linear(n, weights, x, of->linear);
    for (int node = 1; node + 1 < WAVE_NODES; node++) {
        add_square(n, dt * lobatto_weight[node], x + node * width, of->square);
        if (k) add_linear(n, k[node], x + node * width, of->linear);
    }
    m->now = now;
    m->weight = dt * lobatto_weight[WAVE_NODES - 1];
    memcpy(m->x, x + (WAVE_NODES - 1) * width, (size_t)n * sizeof *x);
    if (k) memcpy(m->weights, k[WAVE_NODES - 1], sizeof m->weights);
    else memset(m->weights, 0, sizeof m->weights);
}

/* The column of `square` less what the factor has of it, the greatest first by its share
 * (Cholesky's method with pivots). A set of many parts moves smoothly between two switchings, so
 * few rows do. */
static void factorise(struct moments_of *of, double *left)
{
    const int n = of->r->columns;
    const double *square = of->square;
    for (int j = 0; j < n; j++) left[j] = square[j * n + j];
    for (of->rank = 0; of->rank < n; of->rank++) {
        int p = -1;
        double most = NOTHING;
        for (int j = 0; j < n; j++)
            if (left[j] > most * square[j * n + j]) p = j, most = left[j] / square[j * n + j];
        if (p < 0) return;
        double *row = &of->factor[of->rank * n];
        const double by = 1 / sqrt(left[p]);
        memcpy(row, &square[p * n], (size_t)n * sizeof *row);
        for (int k = 0; k < of->rank; k++) {
            const double *before = &of->factor[k * n], f = before[p];
            for (int j = 0; j < n; j++) row[j] -= f * before[j];
        }
        for (int j = 0; j < n; j++) {
            row[j] *= by;
            left[j] -= sq(row[j]);
        }
        left[p] = 0;
    }
}

void moments_settle(struct moments *m)
{
    take_pending(m);
    for (int k = 0; k < m->of.n; k++) {
        struct moments_of *of = &m->of.at[k];
        const int n = of->r->columns;
        for (int i = 0; of->seconds > 0 && i < n; i++)
            for (int j = 0; j < i; j++) of->square[i * n + j] = of->square[j * n + i];
        if (of->seconds > 0 && of->factor) factorise(of, m->left);
    }
}

void moments_clear(struct moments *m)
{
    m->now = -1;
    m->taken = false;
    for (int k = 0; k < m->of.n; k++) {
        struct moments_of *of = &m->of.at[k];
        const size_t n = (size_t)m->width;
        if (of->seconds == 0) continue;
        of->seconds = 0;
        memset(of->linear, 0, n * WAVE_SUMS * sizeof *of->linear);
        memset(of->square, 0, n * n * sizeof *of->square);
    }
}

double moments_product(const struct moments_of *of, const double *row_a, const double *row_b)
{
    const int n = of->r->columns;
    double sum = 0;
    for (int k = 0; of->factor && k < of->rank; k++) {
        const double *row = &of->factor[k * n];
        sum += dot_wide(n, row, row_a) * dot_wide(n, row, row_b);
    }
    for (int i = 0; i < n && !of->factor; i++) {
        double inner = 0;
        if (row_a[i] == 0) continue;
        for (int j = 0; j < n; j++) inner += of->square[i * n + j] * row_b[j];
        sum += row_a[i] * inner;
    }
    return sum;
}
