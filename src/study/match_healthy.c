/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "match_healthy.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "numbers.h"

struct matching {
    struct arena *arena;
    const struct responses *r;
    int n, m;    /* readings, tolerances */
    double *j;   /* [n*m] */
    double *off; /* [n] y - y0 */
    gsl_matrix *covariance;
};

/* J, y - y0 and the factors of J J' + D. */
static bool prepare(struct matching *a)
{
    const struct responses *r = a->r;
    const double *slope = responses_slope(r, 0, 0);
    gsl_matrix_view view = gsl_matrix_view_array(ARENA_ARRAY(a->arena, double, a->n * a->n),
                                                 (size_t)a->n, (size_t)a->n);
    a->covariance = ARENA_NEW(a->arena, gsl_matrix);
    *a->covariance = view.matrix;
    for (int i = 0; i < a->n; i++) {
        const struct read *read = &r->q.reads.at[i];
        a->off[i] = question_compared(read, read->what.value) - read->sound;
        for (int t = 0; t < a->m; t++) {
            const struct tolerance_moved *m = &r->tolerances.at[t]; /* as it is written */
            double s = slope[t * r->q.reads.n + i] * m->per_deviation / m->width;
            a->j[i * a->m + t] = isfinite(s) ? s : 0;
            a->off[i] -= a->j[i * a->m + t] * m->shift * m->width;
        }
    }
    for (int i = 0; i < a->n; i++)
        for (int k = 0; k < a->n; k++) {
            const struct read *read = &r->q.reads.at[i];
            const struct read *other = &r->q.reads.at[k];
            double sum = i == k ? sq(question_deviation(&r->q, read, read->sound))
                                : question_together(read, read->sound, other, other->sound);
            for (int t = 0; t < a->m; t++) sum += a->j[i * a->m + t] * a->j[k * a->m + t];
            gsl_matrix_set(a->covariance, (size_t)i, (size_t)k, sum);
        }
    return gsl_linalg_cholesky_decomp1(a->covariance) == 0;
}

/* b' S^-1 c. */
static double product(const struct matching *a, const double *b, const double *c)
{
    double *x = ARENA_ARRAY(a->arena, double, a->n), sum = 0;
    gsl_vector_const_view right = gsl_vector_const_view_array(c, (size_t)a->n);
    gsl_vector_view solved = gsl_vector_view_array(x, (size_t)a->n);
    gsl_linalg_cholesky_solve(a->covariance, &right.vector, &solved.vector);
    for (int i = 0; i < a->n; i++) sum += b[i] * x[i];
    return sum;
}

/* The covariance that the readings leave of the tolerances. */
static void leave(struct matching *a, struct known *known)
{
    double *columns = ARENA_ARRAY(a->arena, double, a->m * a->n + 1);
    for (int t = 0; t < a->m; t++)
        for (int i = 0; i < a->n; i++) columns[t * a->n + i] = a->j[i * a->m + t];
    for (int t = 0; t < a->m; t++)
        for (int u = 0; u <= t; u++)
            known->factor[t * a->m + u] =
                (t == u) - product(a, columns + (ptrdiff_t)t * a->n, columns + (ptrdiff_t)u * a->n);
    if (a->m == 0) return;
    gsl_matrix_view m = gsl_matrix_view_array(known->factor, (size_t)a->m, (size_t)a->m);
    if (gsl_linalg_cholesky_decomp1(&m.matrix) == 0) known->n = a->m;
}

/* A value the readings say nothing of stays where it is; what they say of several together is left. */
static void move(struct matching *a, struct match *match)
{
    const struct responses *r = a->r;
    struct known *known = &match->known;
    double *column = ARENA_ARRAY(a->arena, double, a->n);
    *known = (struct known){.key = ARENA_ARRAY(a->arena, const char *, a->m + 1),
                            .shift = ARENA_ARRAY(a->arena, double, a->m + 1),
                            .factor = ARENA_ARRAY(a->arena, double, a->m * a->m + 1)};
    for (int t = 0; t < a->m; t++) {
        const struct tolerance_moved *moved = &r->tolerances.at[t];
        for (int i = 0; i < a->n; i++) column[i] = a->j[i * a->m + t];
        double z = product(a, column, a->off);
        struct match_value value = {.key = r->uncertain.groups.at[moved->group].key};
        value.left = sqrt(larger(0, 1 - product(a, column, column)));
        known->key[t] = value.key;
        known->shift[t] = value.left >= MATCH_UNKNOWN ? moved->shift + z : 0;
        for (int i = r->uncertain.values.n - 1; i >= 0; i--) {
            const struct uncertain *v = &r->uncertain.values.at[i];
            if (v->group != moved->group) continue;
            value.value = v;
            value.now = v->value;
            if (value.left >= MATCH_UNKNOWN) continue;
            value.now = clamp(uncertain_mean(v) + z * uncertain_deviation(v), v->low, v->high);
            value.moved = (value.now - v->value) / uncertain_deviation(v);
            uncertain_lay(&match->overrides, v, value.now);
        }
        array_push(a->arena, &match->values, value);
    }
    leave(a, known);
    match->chance = gsl_cdf_chisq_Q(product(a, a->off, a->off), a->n);
}

const struct match *match_healthy(struct arena *arena, struct diags *diags,
                                  const struct scenario *s, const char *variant,
                                  const struct responses_options *options)
{
    struct match *match = ARENA_NEW(arena, struct match);
    struct responses *r = ARENA_NEW(arena, struct responses);
    match->status = STATUS_SCENARIO;
    match->overrides = overrides_new(arena);
    const struct setup *setup = scenario_setup(arena, diags, s, variant);
    if (!setup) return match;
    *r = (struct responses){.scenario = s, .variant = variant, .set = setup->stages.at[0].set};
    r->q = questions_of(arena, setup, NULL);
    r->causes = causes_of(arena, r->set);
    r->uncertain = uncertain_of(arena, s, variant, setup);
    if (r->q.read == 0) {
        diags_add(diags, DIAG_ERROR, (struct place){scenario_path(s), 0, 0},
                  "write `measured: {B+: 250 V}` into it", "no healthy reading in it");
        return match;
    }
    if (!responses_begin(arena, diags, r, options, &match->status)) return match;
    struct matching a = {.arena = arena, .r = r, .n = r->q.read, .m = r->tolerances.n};
    a.j = ARENA_ARRAY(arena, double, a.n *a.m + 1);
    a.off = ARENA_ARRAY(arena, double, a.n);
    if (prepare(&a)) move(&a, match);
    return match;
}
