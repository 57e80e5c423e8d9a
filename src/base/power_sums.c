/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Doubling: sum_p(2m) = M^m sum_p(m) + sum over q of binomial(p, q) m^(p-q) sum_q(m), from
 * (m + j)^p. The greater p come first, so that each is made from sums of the old m. */
#include "power_sums.h"

#include <string.h>

struct power_sums power_sums_new(struct arena *arena, int n)
{
    struct power_sums s = {.n = n};
    const size_t size = (size_t)n * (size_t)n;
    s.power = ARENA_ARRAY(arena, double, size);
    for (int p = 0; p < POWER_SUMS; p++) s.sum[p] = ARENA_ARRAY(arena, double, size);
    for (int k = 0; k < 2; k++) s.scratch[k] = ARENA_ARRAY(arena, double, size);
    return s;
}

static void begin(struct power_sums *s, const double *map)
{
    const size_t size = (size_t)s->n * (size_t)s->n;
    s->m = 1;
    memcpy(s->power, map, size * sizeof *map);
    for (int p = 0; p < POWER_SUMS; p++) memset(s->sum[p], 0, size * sizeof *map);
    for (int i = 0; i < s->n; i++) s->sum[0][i * s->n + i] = 1;
}

/* out = a b */
static void multiply(int n, const double *a, const double *b, double *out)
{
    memset(out, 0, (size_t)n * (size_t)n * sizeof *out);
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++) {
            double factor = a[i * n + k];
            if (factor == 0) continue;
            for (int j = 0; j < n; j++) out[i * n + j] += factor * b[k * n + j];
        }
}

/* m -> 2 m, in 5 products of n*n matrices. */
static void twice(struct power_sums *s)
{
    static const double binomial[POWER_SUMS][POWER_SUMS] = {{1}, {1, 1}, {1, 2, 1}, {1, 3, 3, 1}};
    const int size = s->n * s->n;
    for (int p = POWER_SUMS - 1; p >= 0; p--) {
        double *next = s->scratch[0], shift = 1;
        multiply(s->n, s->power, s->sum[p], next);
        for (int q = p; q >= 0; q--, shift *= s->m)
            for (int i = 0; i < size; i++) next[i] += binomial[p][q] * shift * s->sum[q][i];
        s->scratch[0] = s->sum[p];
        s->sum[p] = next;
    }
    double *square = s->scratch[1];
    multiply(s->n, s->power, s->power, square);
    s->scratch[1] = s->power;
    s->power = square;
    s->m *= 2;
}

/* Adding one: sum_p(m+1) = M sum_p(m) + m^p. */
static void add_one(struct power_sums *s, const double *map)
{
    double factor = 1;
    for (int p = 0; p < POWER_SUMS; p++, factor *= s->m) {
        double *next = s->scratch[0];
        multiply(s->n, map, s->sum[p], next);
        for (int i = 0; i < s->n; i++) next[i * s->n + i] += factor;
        s->scratch[0] = s->sum[p];
        s->sum[p] = next;
    }
    double *next = s->scratch[1];
    multiply(s->n, map, s->power, next);
    s->scratch[1] = s->power;
    s->power = next;
    s->m += 1;
}

void power_sums_reach(struct power_sums *s, const double *map, int m)
{
    int bit = 1;
    while (bit <= m / 2) bit *= 2;
    begin(s, map);
    for (bit /= 2; bit > 0; bit /= 2) {
        twice(s);
        if (m & bit) add_one(s, map);
    }
}

void power_sums_add(const struct power_sums *s, int p, double factor, const double *x, double *out)
{
    for (int i = 0; i < s->n; i++) {
        double sum = 0;
        for (int j = 0; j < s->n; j++) sum += s->sum[p][i * s->n + j] * x[j];
        out[i] += factor * sum;
    }
}
