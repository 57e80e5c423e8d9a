/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Terms stand by degree: the constant, P1 of every group, P2 of every group ... so with fewer
 * samples a lower degree is the leading block of the same sums. Values are counted from the first
 * one, which keeps the digits of what varies little. */
#include "tolerances_sums.h"

#include <gsl/gsl_linalg.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics.h>
#include <math.h>

#include "array.h"
#include "numbers.h"

struct figure_sums {
    double first;
    long n, finite;
    double least, most, sum, squares; /* of the finite ones, counted from `first` */
    double *kept;                     /* [SUMS_KEPT] NaN: that sample has it not */
    double *moment;                   /* [terms] */
};

struct tolerances_sums {
    struct arena *arena, *scratch;
    int groups, terms;
    long samples;
    int slot;       /* of the present sample among those kept; -1: none */
    double *row;    /* [terms] of the present sample */
    double *normal; /* [terms][terms] sum of row row' */
    ARRAY(struct figure_sums) figures;
    long solved;     /* samples when `inverse` was made */
    int used;        /* its terms */
    double *inverse; /* [used][used] */
};

static int terms_of(int groups, int degree)
{
    return 1 + degree * groups;
}

long tolerances_sums_needed(int groups)
{
    return 2L * terms_of(groups, 1);
}

struct tolerances_sums *tolerances_sums_new(struct arena *arena, int groups)
{
    struct tolerances_sums *s = ARENA_NEW(arena, struct tolerances_sums);
    s->arena = arena;
    s->scratch = arena_scratch(arena);
    s->groups = groups;
    s->terms = terms_of(groups, SUMS_DEGREE);
    s->row = ARENA_ARRAY(arena, double, s->terms);
    s->normal = ARENA_ARRAY(arena, double, (size_t)s->terms *(size_t)s->terms);
    s->inverse = ARENA_ARRAY(arena, double, (size_t)s->terms *(size_t)s->terms);
    return s;
}

long tolerances_sums_samples(const struct tolerances_sums *s)
{
    return s->samples;
}

/* ---- taking ---- */

/* Orthonormal over 0..1: sqrt(2 k + 1) P_k(2 u - 1). */
static void template_row(struct tolerances_sums *s, const double *u)
{
    s->row[0] = 1;
    for (int g = 0; g < s->groups; g++) {
        double x = 2 * u[g] - 1, *at = s->row + 1 + g;
        at[0] = sqrt(3) * x;
        at[s->groups] = sqrt(5) * (1.5 * x * x - 0.5);
        at[2 * s->groups] = sqrt(7) * (2.5 * x * x - 1.5) * x;
    }
}

static void forget_slot(struct tolerances_sums *s)
{
    for (int i = 0; i < s->figures.n && s->slot >= 0; i++)
        s->figures.at[i].kept[s->slot] = (double)NAN;
}

void tolerances_sums_begin(struct tolerances_sums *s, const double *u, unsigned long pick)
{
    if (s->samples < SUMS_KEPT) s->slot = (int)s->samples;
    else s->slot = pick < SUMS_KEPT ? (int)pick : -1;
    s->samples++;
    forget_slot(s);
    template_row(s, u);
    for (int i = 0; i < s->terms; i++)
        for (int k = 0; k < s->terms; k++) s->normal[i * s->terms + k] += s->row[i] * s->row[k];
}

static void new_figure(struct tolerances_sums *s)
{
    struct figure_sums f = {.first = (double)NAN, .least = HUGE_VAL, .most = -HUGE_VAL};
    f.kept = ARENA_ARRAY(s->arena, double, SUMS_KEPT);
    f.moment = ARENA_ARRAY(s->arena, double, s->terms);
    for (int i = 0; i < SUMS_KEPT; i++) f.kept[i] = (double)NAN;
    array_push(s->arena, &s->figures, f);
}

void tolerances_sums_add(struct tolerances_sums *s, int figure, double value)
{
    while (s->figures.n <= figure) new_figure(s);
    struct figure_sums *f = &s->figures.at[figure];
    if (isnan(value)) return;
    f->n++;
    f->least = smaller(f->least, value);
    f->most = larger(f->most, value);
    if (s->slot >= 0) f->kept[s->slot] = value;
    if (!isfinite(value)) return;
    if (f->finite++ == 0) f->first = value;
    double y = value - f->first;
    f->sum += y;
    f->squares += y * y;
    for (int i = 0; i < s->terms; i++) f->moment[i] += y * s->row[i];
}

/* ---- quantiles ---- */

/* Between two infinities there is nothing to interpolate. */
static double quantile(const double *sorted, size_t n, double p)
{
    double at = p * (double)(n - 1), low = sorted[(size_t)floor(at)],
           high = sorted[(size_t)ceil(at)];
    if (!isfinite(low) || !isfinite(high)) return at - floor(at) < 0.5 ? low : high;
    return gsl_stats_quantile_from_sorted_data(sorted, 1, n, p);
}

static double variance(const struct figure_sums *f)
{
    double n = (double)f->finite, mean = f->sum / n;
    return larger(f->squares / n - mean * mean, 0);
}

struct tolerances_spread tolerances_sums_spread(const struct tolerances_sums *s, int figure)
{
    const double nan = (double)NAN;
    struct tolerances_spread spread = {0, nan, nan, nan, nan, nan, nan, nan};
    if (figure >= s->figures.n || s->figures.at[figure].n == 0) return spread;
    const struct figure_sums *f = &s->figures.at[figure];
    double *sorted = ARENA_ARRAY(s->scratch, double, SUMS_KEPT);
    size_t n = 0;
    for (int i = 0; i < SUMS_KEPT; i++)
        if (!isnan(f->kept[i])) sorted[n++] = f->kept[i];
    spread.n = f->n;
    spread.least = f->least;
    spread.most = f->most;
    if (n > 0) {
        gsl_sort(sorted, 1, n);
        spread.p05 = quantile(sorted, n, 0.05);
        spread.p50 = quantile(sorted, n, 0.50);
        spread.p95 = quantile(sorted, n, 0.95);
    }
    if (f->finite > 0) {
        spread.mean = f->first + f->sum / (double)f->finite;
        spread.deviation = sqrt(variance(f));
    }
    arena_clear(s->scratch);
    return spread;
}

/* ---- shares ---- */

/* The inverse of the leading block, for the highest degree that the samples bear. */
static bool solve(struct tolerances_sums *s)
{
    if (s->solved == s->samples) return s->used > 0;
    int degree = SUMS_DEGREE;
    while (degree > 0 && s->samples < 2L * terms_of(s->groups, degree)) degree--;
    s->solved = s->samples;
    s->used = degree > 0 ? terms_of(s->groups, degree) : 0;
    for (int i = 0; i < s->used; i++)
        for (int k = 0; k < s->used; k++) s->inverse[i * s->used + k] = s->normal[i * s->terms + k];
    if (s->used == 0) return false;
    gsl_matrix_view m = gsl_matrix_view_array(s->inverse, (size_t)s->used, (size_t)s->used);
    if (gsl_linalg_cholesky_decomp1(&m.matrix) || gsl_linalg_cholesky_invert(&m.matrix))
        s->used = 0;
    return s->used > 0;
}

/* What varies by less than this of its value is rounding [relative]. */
#define FLAT 1e-9

static bool varies(const struct tolerances_sums *s, const struct figure_sums *f)
{
    return f->finite == s->samples &&
           f->most - f->least > FLAT * larger(fabs(f->most), fabs(f->least));
}

bool tolerances_sums_shares(struct tolerances_sums *s, int figure, double *share, double *error,
                            double *explained)
{
    const struct figure_sums *f = figure < s->figures.n ? &s->figures.at[figure] : NULL;
    if (!f || !varies(s, f) || !solve(s)) return false;
    int p = s->used;
    double all = 0, rest = f->squares;
    double *c = ARENA_ARRAY(s->scratch, double, p);
    for (int i = 0; i < p; i++) {
        for (int k = 0; k < p; k++) c[i] += s->inverse[i * p + k] * f->moment[k];
        rest -= c[i] * f->moment[i];
    }
    double scatter = larger(rest, 0) / (double)(s->samples - p);
    for (int g = 0; g < s->groups; g++) {
        share[g] = error[g] = 0;
        for (int i = 1 + g; i < p; i += s->groups) {
            double own = scatter * s->inverse[i * p + i];
            share[g] += c[i] * c[i] - own;
            error[g] += 4 * c[i] * c[i] * own + 2 * own * own;
        }
        share[g] = larger(share[g], 0);
        all += share[g];
    }
    all += scatter;
    for (int g = 0; g < s->groups; g++) share[g] /= all, error[g] = sqrt(error[g]) / all;
    *explained = 1 - scatter / all;
    arena_clear(s->scratch);
    return true;
}
