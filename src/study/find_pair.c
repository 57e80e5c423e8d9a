/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Both unknowns are taken as ln v = middle + half width * sin z, so that every z lies inside the
 * bounds and the solver needs no fence; residuals are counted in shares of the wishes. Differences
 * for the Jacobian are wide enough that the runs' own tolerance of about 1e-8 does not show. */
#include "find_pair.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multiroots.h>
#include <math.h>
#include <string.h>

#include "find_runs.h"
#include "numbers.h"

enum { ITERATIONS = 30, POINTS = PAIR_GRID * PAIR_GRID };

#define STEP 1e-3  /* of z, for differences */
#define CLOSE 1e-8 /* of the wishes: near enough to stop */
#define FOUND 1e-5 /* of the wishes: taken as met */

/* ---- the grid ---- */

static const struct find_point *at(const struct find_runs *r, int i, int k)
{
    return &r->f->grid[i * PAIR_GRID + k];
}

/* Where the first figure meets its wish between two points, the second is about this. */
static void look_beside(const struct find_runs *r, const struct find_point *a,
                        const struct find_point *b)
{
    struct finding *f = r->f;
    double x = find_runs_off(r, a, 0), y = find_runs_off(r, b, 0);
    if (isnan(x) || isnan(y) || (x <= 0) == (y <= 0)) return;
    double v = a->figure[1] + (b->figure[1] - a->figure[1]) * x / (x - y);
    if (!(v >= f->least_beside)) f->least_beside = v;
    if (!(v <= f->most_beside)) f->most_beside = v;
}

static void look_over_grid(const struct find_runs *r)
{
    for (int i = 0; i < PAIR_GRID; i++)
        for (int k = 0; k + 1 < PAIR_GRID; k++) {
            look_beside(r, at(r, i, k), at(r, i, k + 1));
            look_beside(r, at(r, k, i), at(r, k + 1, i));
        }
}

/* ---- where to begin ---- */

struct start {
    int i, k;   /* the cell's lower corner */
    double far; /* from the present values, in logarithms */
};

struct corners {
    const struct find_point *p[4]; /* lower both, upper first, upper second, upper both */
};

static struct corners corners(const struct find_runs *r, int i, int k)
{
    return (struct corners){{at(r, i, k), at(r, i + 1, k), at(r, i, k + 1), at(r, i + 1, k + 1)}};
}

static bool crosses(const struct find_runs *r, const struct corners *c, int w)
{
    int below = 0, above = 0;
    for (int i = 0; i < 4; i++) {
        below += find_runs_off(r, c->p[i], w) <= 0;
        above += find_runs_off(r, c->p[i], w) >= 0;
    }
    return below + above >= 4 && below > 0 && above > 0;
}

static double distance(const struct find_runs *r, const struct corners *c)
{
    double far = 0;
    for (int w = 0; w < 2; w++) {
        double now = r->changed[w].now, middle = sqrt(c->p[0]->value[w] * c->p[3]->value[w]);
        if (!isnan(now)) far += sq(log(middle / now));
    }
    return far;
}

/* The cells in which both cross, the nearest first. */
static int find_starts(const struct find_runs *r, struct start starts[POINTS])
{
    int n = 0;
    for (int i = 0; i + 1 < PAIR_GRID; i++)
        for (int k = 0; k + 1 < PAIR_GRID; k++) {
            struct corners c = corners(r, i, k);
            if (!crosses(r, &c, 0) || !crosses(r, &c, 1)) continue;
            struct start s = {i, k, distance(r, &c)};
            int to = n++;
            for (; to > 0 && starts[to - 1].far > s.far; to--) starts[to] = starts[to - 1];
            starts[to] = s;
        }
    return n;
}

/* The place in the cell, 0..1 each way, where the plane through the corners' means meets both. */
static void aim(const struct find_runs *r, const struct corners *c, double place[2])
{
    double mean[2], first[2], second[2];
    for (int w = 0; w < 2; w++) {
        double a = find_runs_off(r, c->p[0], w), b = find_runs_off(r, c->p[1], w),
               e = find_runs_off(r, c->p[2], w);
        double g = find_runs_off(r, c->p[3], w);
        mean[w] = (a + b + e + g) / 4;
        first[w] = (b - a + g - e) / 2;
        second[w] = (e - a + g - b) / 2;
    }
    double det = first[0] * second[1] - first[1] * second[0];
    place[0] = place[1] = 0.5;
    if (!(fabs(det) > 0)) return;
    place[0] = clamp(0.5 - (mean[0] * second[1] - mean[1] * second[0]) / det, 0.05, 0.95);
    place[1] = clamp(0.5 - (first[0] * mean[1] - first[1] * mean[0]) / det, 0.05, 0.95);
}

/* ---- closing in ---- */

static double value_of(const struct changed *c, double z)
{
    return c->low * pow(c->high / c->low, (1 + sin(z)) / 2);
}

static struct find_point point_of(const struct find_runs *r, double z0, double z1)
{
    return (struct find_point){
        .value = {value_of(&r->changed[0], z0), value_of(&r->changed[1], z1)}, .load = 1};
}

static int take_figures(struct find_runs *r, const struct find_point *p, gsl_vector *out)
{
    for (int w = 0; w < 2; w++) gsl_vector_set(out, (size_t)w, find_runs_off(r, p, w));
    return find_runs_worst_off(r, p) < HUGE_VAL ? GSL_SUCCESS : GSL_EBADFUNC;
}

static int function(const gsl_vector *z, void *finder, gsl_vector *out)
{
    struct find_runs *r = finder;
    struct find_point p = point_of(r, gsl_vector_get(z, 0), gsl_vector_get(z, 1));
    if (!find_runs_make(r, &p, 1)) return GSL_EBADFUNC;
    r->f->iterations++;
    return take_figures(r, &p, out);
}

/* The point itself is run with its neighbours: three runs side by side cost hardly more than two.
 */
static int both(const gsl_vector *z, void *finder, gsl_vector *out, gsl_matrix *slopes)
{
    struct find_runs *r = finder;
    double a = gsl_vector_get(z, 0), b = gsl_vector_get(z, 1);
    struct find_point p[3] = {point_of(r, a, b), point_of(r, a + STEP, b),
                              point_of(r, a, b + STEP)};
    if (!find_runs_make(r, p, 3)) return GSL_EBADFUNC;
    r->f->iterations += 3;
    for (size_t w = 0; w < 2; w++)
        for (size_t i = 0; i < 2; i++)
            gsl_matrix_set(slopes, w, i,
                           (find_runs_off(r, &p[i + 1], (int)w) - find_runs_off(r, &p[0], (int)w)) /
                               STEP);
    return take_figures(r, &p[0], out);
}

static int slopes_only(const gsl_vector *z, void *finder, gsl_matrix *slopes)
{
    double unused[2];
    gsl_vector_view out = gsl_vector_view_array(unused, 2);
    return both(z, finder, &out.vector, slopes);
}

/* Greatest residual; inf when a figure was missing on the way, which GSL does not ask about. */
static double largest(const gsl_vector *f)
{
    double a = fabs(gsl_vector_get(f, 0)), b = fabs(gsl_vector_get(f, 1));
    return isnan(a) || isnan(b) ? HUGE_VAL : larger(a, b);
}

static void give_back(void *solver)
{
    gsl_multiroot_fdfsolver_free(solver);
}

/* True with the values in `exact` when the solver has come close from there. */
static bool close_in(struct find_runs *r, const double from[2])
{
    double at_first[2] = {from[0], from[1]};
    gsl_vector_view z = gsl_vector_view_array(at_first, 2);
    gsl_multiroot_function_fdf f = {function, slopes_only, both, 2, r};
    gsl_multiroot_fdfsolver *solver =
        gsl_multiroot_fdfsolver_alloc(gsl_multiroot_fdfsolver_hybridsj, 2);
    if (!solver) arena_exhausted(r->arena);
    arena_at_free(r->arena, give_back, solver);
    bool good = gsl_multiroot_fdfsolver_set(solver, &f, &z.vector) == GSL_SUCCESS;
    for (int i = 0; good && i < ITERATIONS && largest(solver->f) > CLOSE; i++)
        good =
            largest(solver->f) < HUGE_VAL && gsl_multiroot_fdfsolver_iterate(solver) == GSL_SUCCESS;
    good = r->f->status == STATUS_OK && largest(solver->f) <= FOUND;
    if (good) r->f->exact = point_of(r, gsl_vector_get(solver->x, 0), gsl_vector_get(solver->x, 1));
    return good;
}

static bool from_cell(struct find_runs *r, const struct start *start)
{
    double place[2], z[2];
    struct corners c = corners(r, start->i, start->k);
    int lower[2] = {start->i, start->k};
    struct trial_options plain = r->trial;
    aim(r, &c, place);
    for (int w = 0; w < 2; w++) z[w] = asin(2 * (lower[w] + place[w]) / (PAIR_GRID - 1) - 1);
    find_runs_fix_length(r, c.p, 4);
    if (close_in(r, z)) return true;
    r->trial = plain;
    return false;
}

/* ---- the whole ---- */

static void without_answer(const struct find_runs *r)
{
    struct finding *f = r->f;
    bool limits = r->wishes[0].relation != '=' && r->wishes[1].relation != '=';
    int met = 0;
    for (int i = 0; i < POINTS && limits; i++) {
        if (!wish_met(&r->wishes[0], f->grid[i].figure[0]) ||
            !wish_met(&r->wishes[1], f->grid[i].figure[1]))
            continue;
        met++;
        if (f->both < 0) f->both = i;
    }
    f->outcome = met == POINTS ? FIND_ANY : FIND_NEVER;
}

const struct finding *find_pair(struct arena *arena, struct diags *diags, const struct scenario *s,
                                const char *variant, const struct changed changed[2],
                                const struct wish wishes[2], const struct find_options *options)
{
    struct find_runs r = find_runs_new(arena, diags, s, variant, changed, wishes, 2, options);
    struct start starts[POINTS];
    bool found = false;
    if (!find_runs_grid(&r, PAIR_GRID)) return r.f;
    look_over_grid(&r);
    int n = find_starts(&r, starts);
    for (int i = 0; i < n && !found && r.f->status == STATUS_OK; i++)
        found = from_cell(&r, &starts[i]);
    if (found) find_runs_finish(&r);
    else without_answer(&r);
    return r.f;
}
