/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "weigh.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_interp.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "numbers.h"

#define TAIL 0.1 /* of a cause's share, beyond its told range on either side */

/* ---- what the causes give ---- */

/* Column i between the nodes: Steffen's cubic (GSL). Where the nearest node has none, nothing. */
static void place_column(const struct responses *r, int cause, struct placed *p, int i)
{
    const struct cause *c = &r->causes.at[cause];
    const struct answers *a = &r->of[cause];
    double x[CAUSE_NODES], y[CAUSE_NODES];
    int n = 0;
    for (int k = 0; k < c->nodes; k++) {
        double value = a->at[k * r->width + i];
        if (isfinite(value)) x[n] = k, y[n++] = value;
    }
    gsl_interp *curve = n >= 3 ? gsl_interp_alloc(gsl_interp_steffen, (size_t)n) : NULL;
    if (curve) gsl_interp_init(curve, x, y, (size_t)n);
    for (int k = 0; k < p->n; k++) {
        double at = (double)k * (c->nodes - 1) / (p->n > 1 ? p->n - 1 : 1);
        double value = a->at[(int)lround(at) * r->width + i];
        if (curve && isfinite(value) && at >= x[0] && at <= x[n - 1])
            value = gsl_interp_eval(curve, x, y, at, NULL);
        p->at[k * r->width + i] = value;
    }
    if (curve) gsl_interp_free(curve);
}

const struct placed *weigh_place(struct arena *arena, const struct responses *r)
{
    struct placed *all = ARENA_ARRAY(arena, struct placed, r->causes.n);
    for (int c = 0; c < r->causes.n; c++) {
        const struct cause *cause = &r->causes.at[c];
        struct placed *p = &all[c];
        p->n = cause->discrete || cause->nodes == 1 ? cause->nodes : WEIGH_PLACES;
        p->at = ARENA_ARRAY(arena, double, p->n * r->width);
        for (int k = 0; k < p->n; k++)
            p->severity[k] = p->n == cause->nodes
                                 ? cause->severity[k]
                                 : cause_severity(cause, (double)k / (WEIGH_PLACES - 1));
        for (int i = 0; i < r->width; i++) place_column(r, c, p, i);
    }
    return all;
}

/* ---- one cause at one place ---- */

/* The node nearest to a place at which slopes were taken; -1: none. */
static int sloped_near(const struct responses *r, const struct placed *p, int cause, int place)
{
    const int nodes = r->causes.at[cause].nodes;
    double at = p->n == nodes ? place : (double)place * (nodes - 1) / (p->n - 1);
    int best = -1;
    for (int k = 0; k < nodes; k++)
        if (r->of[cause].sloped[k] && (best < 0 || fabs(k - at) < fabs(best - at))) best = k;
    return best;
}

/* Coils and capacitors move a ripple by a factor, not by volts: it is weighed by its logarithm, with
 * what a meter makes of nothing added, so that no ripple has one too. */
static bool by_factor(const struct read *what)
{
    return what->ripple && !question_by_decades(what);
}

static double nothing(const struct responses *r, const struct read *what)
{
    return question_deviation(&r->q, what, 0);
}

static double weighed(const struct responses *r, const struct read *what, double y)
{
    return by_factor(what) ? log(larger(y, 0) + nothing(r, what)) : y;
}

/* Slope of what is weighed, where y is read. */
static double unit_of(const struct responses *r, const struct read *what, double y)
{
    return by_factor(what) ? 1 / (larger(y, 0) + nothing(r, what)) : 1;
}

/* Standard deviation of what is weighed by meter and model, where y is expected and `value` was read
 * (NaN: not yet). What a meter makes of nothing adds to what is there, so between the two it counts
 * as it does there: a ripple of volts is no pick-up of a tenth of a volt. */
static double deviation_of(const struct responses *r, const struct read *what, double y,
                           double value)
{
    const double all = question_deviation(&r->q, what, y), least = nothing(r, what);
    if (!by_factor(what)) return all;
    const double here = unit_of(r, what, y), by = value - y;
    const double between =
        fabs(by) > 1e-3 * least ? (weighed(r, what, value) - weighed(r, what, y)) / by : here;
    return hypot(sqrt(larger(sq(all) - sq(least), 0)) * here, least * between);
}

/* What a step that moves a read from `there` by s does to what is weighed where y is read: a ripple
 * by the same factor, else by as many volts in proportion. */
static double moved(const struct responses *r, const struct read *what, double y, double there,
                    double s)
{
    const double least = 10 * diagnose_floor(what->unit);
    if (by_factor(what)) {
        double by = weighed(r, what, there + s) - weighed(r, what, there);
        double share = there * unit_of(r, what, there), now = y * unit_of(r, what, y);
        return now < share ? by * now / share : by; /* less where a meter makes most of it */
    }
    double ratio = question_by_decades(what) ? 1 : (fabs(y) + least) / (fabs(there) + least);
    return clamp(s * ratio, -fabs(y) - least, fabs(y) + least);
}

/* Slopes of independent deviations: of the tolerances, then of what is known of some of them. */
static int slopes_of(const struct responses *r)
{
    return r->tolerances.n + (r->known ? r->known->n : 0);
}

/* L' times those of which something is known. */
static void narrow(const struct responses *r, double *slope)
{
    const int n = r->known ? r->known->n : 0;
    for (int t = 0; t < r->tolerances.n; t++) {
        const int i = r->tolerances.at[t].known;
        if (i < 0) continue;
        for (int k = 0; k <= i; k++)
            slope[r->tolerances.n + k] += r->known->factor[i * n + k] * slope[t];
        slope[t] = 0;
    }
}

/* What is expected of a read as it is weighed, its own deviation, and how the tolerances move it:
 * slope[slopes_of]. Slopes go with what is read: those of the nearest node that has some, else of
 * the sound set, in proportion. */
static void expect(const struct responses *r, const struct placed *placed, int cause, int place,
                   int read, double value, double *mean, double *deviation, double *slope)
{
    const struct read *what = &r->q.reads.at[read];
    const double y = placed[cause].at[place * r->width + read];
    for (int t = 0; t < slopes_of(r); t++) slope[t] = 0;
    if (!isfinite(y) || r->causes.at[cause].special == SPECIAL_OUTSIDE) {
        *mean = weighed(r, what, what->sound);
        *deviation = by_factor(what) ? log(1 + DIAGNOSE_ANYWHERE_RIPPLE) : question_anywhere(what);
        return;
    }
    *mean = weighed(r, what, y);
    *deviation = deviation_of(r, what, y, value);
    if (what->situation >= 0 && what->situation == r->q.lamp)
        *deviation = hypot(*deviation, DIAGNOSE_LAMP * y * unit_of(r, what, y));
    int node = sloped_near(r, &placed[cause], cause, place), from = node < 0 ? 0 : cause;
    if (node < 0) node = 0;
    const double *slopes = responses_slope(r, from, node);
    double there = r->of[from].at[node * r->width + read];
    for (int t = 0; t < r->tolerances.n && isfinite(there); t++) {
        double s = slopes[t * r->q.reads.n + read];
        if (!isfinite(s)) continue;
        slope[t] = moved(r, what, y, there, s) * r->tolerances.at[t].per_deviation;
        *mean += slope[t] * r->tolerances.at[t].shift;
    }
    narrow(r, slope);
}

/* Covariance of the model's errors of two reads as they are weighed. */
static double together(const struct responses *r, const double *y, int one, int other)
{
    const struct read *a = &r->q.reads.at[one], *b = &r->q.reads.at[other];
    if (!isfinite(y[one]) || !isfinite(y[other])) return 0;
    return question_together(a, y[one], b, y[other]) * unit_of(r, a, y[one]) *
           unit_of(r, b, y[other]);
}

/* The normal law of n reads about what was read (NaN: not yet): mean[n], covariance[n*n]. */
static void law_of(struct arena *arena, const struct responses *r, const struct placed *placed,
                   const int *read, const double *value, int n, int cause, int place, double *mean,
                   double *covariance)
{
    const int m = slopes_of(r);
    const double *y = placed[cause].at + (ptrdiff_t)place * r->width;
    const bool outside = r->causes.at[cause].special == SPECIAL_OUTSIDE;
    double *slope = ARENA_ARRAY(arena, double, n *m + 1), deviation;
    for (int i = 0; i < n; i++) {
        expect(r, placed, cause, place, read[i], value[i], &mean[i], &deviation,
               slope + (ptrdiff_t)i * m);
        for (int j = 0; j <= i; j++) {
            double sum = i == j ? sq(deviation) : 0;
            for (int t = 0; t < m; t++) sum += slope[i * m + t] * slope[j * m + t];
            if (i != j && !outside) sum += together(r, y, read[i], read[j]);
            covariance[i * n + j] = covariance[j * n + i] = sum;
        }
    }
}

static double log_signs(const struct responses *r, const struct placed *placed, int cause,
                        int place)
{
    double sum = 0;
    const struct cause *c = &r->causes.at[cause];
    for (int i = 0; i < r->q.signs.n; i++) {
        int k = r->q.reads.n + i;
        double now =
            c->special == SPECIAL_OUTSIDE ? (double)NAN : placed[cause].at[place * r->width + k];
        sum += log(question_sign_likelihood(&r->q.signs.at[i], now, placed[0].at[k],
                                            c->fault && strcmp(c->name, "gas") == 0));
    }
    return sum;
}

struct scratch {
    double *mean, *covariance, *z;
};

static struct scratch scratch_of(struct arena *arena, int n)
{
    return (struct scratch){ARENA_ARRAY(arena, double, n + 1),
                            ARENA_ARRAY(arena, double, (n + 1) * (n + 1)),
                            ARENA_ARRAY(arena, double, n + 1)};
}

/* Factors the covariance; z becomes L^-1 (value - mean). False: singular, which cannot be. */
static bool factor(const struct responses *r, const struct scratch *s, const struct evidence *e)
{
    gsl_matrix_view m = gsl_matrix_view_array(s->covariance, (size_t)e->n, (size_t)e->n);
    gsl_vector_view z = gsl_vector_view_array(s->z, (size_t)e->n);
    if (gsl_linalg_cholesky_decomp1(&m.matrix)) return false;
    for (int i = 0; i < e->n; i++)
        s->z[i] = weighed(r, &r->q.reads.at[e->read[i]], e->value[i]) - s->mean[i];
    gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &m.matrix, &z.vector);
    return true;
}

/* The node nearest to a place. */
static int node_near(const struct responses *r, const struct placed *p, int cause, int place)
{
    const int nodes = r->causes.at[cause].nodes;
    return p->n == nodes ? place : (int)lround((double)place * (nodes - 1) / (p->n - 1));
}

static double log_likelihood(struct arena *arena, const struct responses *r,
                             const struct placed *placed, const struct evidence *e,
                             const struct scratch *s, int cause, int place, double *misfit)
{
    double sum = e->signs ? log_signs(r, placed, cause, place) : 0;
    *misfit = 0;
    int node = node_near(r, &placed[cause], cause, place);
    if (r->of[cause].made[node] == ANSWER_ABSENT) return -HUGE_VAL;
    if (e->n == 0) return sum;
    if (r->of[cause].made[node] == ANSWER_NONE) sum += log(DIAGNOSE_UNSTEADY);
    law_of(arena, r, placed, e->read, e->value, e->n, cause, place, s->mean, s->covariance);
    if (!factor(r, s, e)) return -HUGE_VAL;
    for (int i = 0; i < e->n; i++) {
        *misfit += sq(s->z[i]);
        sum -= log(s->covariance[i * e->n + i]);
    }
    return sum - (*misfit + e->n * log(2 * PI)) / 2;
}

/* ---- all causes ---- */

static void weigh_cause(struct arena *arena, const struct responses *r, const struct placed *placed,
                        const struct evidence *e, const struct scratch *s, int cause,
                        struct weighed *w)
{
    const int n = placed[cause].n;
    double most = -HUGE_VAL, sum = 0, misfit;
    for (int k = 0; k < n; k++) {
        w->weight[k] = log_likelihood(arena, r, placed, e, s, cause, k, &misfit);
        if (w->weight[k] > most) most = w->weight[k], w->best = k, w->misfit = misfit;
    }
    if (!isfinite(most)) {
        for (int k = 0; k < n; k++) w->weight[k] = 0;
        w->evidence = -HUGE_VAL;
        return;
    }
    for (int k = 0; k < n; k++) {
        bool end = n == WEIGH_PLACES && (k == 0 || k == n - 1); /* trapezoids */
        w->weight[k] = exp(w->weight[k] - most) * (end ? 0.5 : 1);
        sum += w->weight[k];
    }
    for (int k = 0; k < n; k++) w->weight[k] /= sum;
    w->evidence = most + log(sum / (n == WEIGH_PLACES ? n - 1 : n));
}

static void tell_range(const struct placed *p, struct weighed *w)
{
    double below = 0;
    int low = 0, high = p->n - 1;
    for (int k = 0; k < p->n; k++) {
        if (below <= TAIL * w->share) low = k;
        below += w->weight[k];
        if (below < (1 - TAIL) * w->share && k + 1 < p->n) high = k + 1;
    }
    if (w->best < low) low = w->best; /* what is told lies inside */
    if (w->best > high) high = w->best;
    w->low = p->severity[low];
    w->high = p->severity[high > low ? high : low];
}

struct weighed *weigh(struct arena *arena, const struct responses *r, const struct placed *placed,
                      const struct evidence *e)
{
    struct weighed *all = ARENA_ARRAY(arena, struct weighed, r->causes.n);
    struct arena *passing = arena_scratch(arena);
    double most = -HUGE_VAL, sum = 0;
    for (int c = 0; c < r->causes.n; c++) {
        const struct scratch s = scratch_of(passing, e->n);
        weigh_cause(passing, r, placed, e, &s, c, &all[c]);
        most = larger(most, all[c].evidence + log(r->causes.at[c].prior));
        arena_clear(passing);
    }
    for (int c = 0; c < r->causes.n; c++) {
        all[c].share = exp(all[c].evidence + log(r->causes.at[c].prior) - most);
        sum += all[c].share;
    }
    for (int c = 0; c < r->causes.n; c++) {
        all[c].share /= sum;
        for (int k = 0; k < placed[c].n; k++) all[c].weight[k] *= all[c].share;
        tell_range(&placed[c], &all[c]);
    }
    return all;
}

/* As weigh_next, of the read as it is weighed, about `value` (NaN: not read yet). */
static bool next_weighed(struct arena *arena, const struct responses *r,
                         const struct placed *placed, const struct evidence *e, int cause,
                         int place, int next, double value, double *mean, double *deviation)
{
    const int n = e->n, all = n + 1;
    if (!isfinite(placed[cause].at[place * r->width + next])) return false;
    const struct scratch s = scratch_of(arena, all), part = scratch_of(arena, n);
    int *read = ARENA_ARRAY(arena, int, all);
    double *values = ARENA_ARRAY(arena, double, all);
    for (int i = 0; i < n; i++) read[i] = e->read[i], values[i] = e->value[i];
    read[n] = next;
    values[n] = value;
    law_of(arena, r, placed, read, values, all, cause, place, s.mean, s.covariance);
    for (int i = 0; i < n; i++) {
        part.mean[i] = s.mean[i];
        for (int j = 0; j < n; j++) part.covariance[i * n + j] = s.covariance[i * all + j];
    }
    *mean = s.mean[n];
    double variance = s.covariance[n * all + n];
    if (n > 0 && factor(r, &part, e)) {
        gsl_matrix_view m = gsl_matrix_view_array(part.covariance, (size_t)n, (size_t)n);
        gsl_vector_view c = gsl_vector_view_array(s.covariance + (ptrdiff_t)n * all, (size_t)n);
        gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &m.matrix, &c.vector);
        for (int i = 0; i < n; i++) {
            double w = s.covariance[n * all + i];
            *mean += w * part.z[i];
            variance -= sq(w);
        }
    }
    *deviation = sqrt(larger(variance, 1e-30));
    return true;
}

bool weigh_next(struct arena *arena, const struct responses *r, const struct placed *placed,
                const struct evidence *e, int cause, int place, int next, double *mean,
                double *deviation)
{
    const struct read *what = &r->q.reads.at[next];
    if (!next_weighed(arena, r, placed, e, cause, place, next, (double)NAN, mean, deviation))
        return false;
    if (!by_factor(what)) return true;
    double times = exp(*mean);
    *mean = times - nothing(r, what);
    *deviation *= times;
    return true;
}

void weigh_residuals(struct arena *arena, const struct responses *r, const struct placed *placed,
                     const struct evidence *e, int cause, int place, double *z)
{
    const int n = e->n - 1;
    int *read = ARENA_ARRAY(arena, int, e->n + 1);
    double *value = ARENA_ARRAY(arena, double, e->n + 1), mean, deviation;
    for (int i = 0; i <= n; i++) {
        for (int j = 0, k = 0; j <= n; j++)
            if (j != i) read[k] = e->read[j], value[k++] = e->value[j];
        const struct evidence others = {n, read, value, false};
        z[i] = 0;
        if (next_weighed(arena, r, placed, &others, cause, place, e->read[i], e->value[i], &mean,
                         &deviation))
            z[i] = (weighed(r, &r->q.reads.at[e->read[i]], e->value[i]) - mean) / deviation;
    }
}
