/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "moments.h"

#include <string.h>

struct moments *moments_new(struct arena *arena, int width)
{
    struct moments *m = ARENA_NEW(arena, struct moments);
    m->arena = arena;
    m->now = -1;
    m->width = width;
    m->x = ARENA_ARRAY(arena, double, width);
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

void moments_settle(struct moments *m)
{
    take_pending(m);
    for (int k = 0; k < m->of.n; k++) {
        const struct moments_of *of = &m->of.at[k];
        const int n = of->r->columns;
        for (int i = 0; of->seconds > 0 && i < n; i++)
            for (int j = 0; j < i; j++) of->square[i * n + j] = of->square[j * n + i];
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
    for (int i = 0; i < n; i++) {
        double inner = 0;
        if (row_a[i] == 0) continue;
        for (int j = 0; j < n; j++) inner += of->square[i * n + j] * row_b[j];
        sum += row_a[i] * inner;
    }
    return sum;
}
