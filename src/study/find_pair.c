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

struct pair_finder {
    const struct changed *changed;
    const struct wish *wishes;
    struct find_runs runs;
    double scale[2]; /* of the residuals [the wishes' units] */
    bool lost;       /* a figure was missing on the way */
    struct pair_finding *f;
};

static bool run_points(struct pair_finder *d, struct pair_point *points, int n)
{
    struct arena *arena = d->runs.arena;
    struct find_ask *asks = ARENA_ARRAY(arena, struct find_ask, n);
    const struct trial **trials = ARENA_ARRAY(arena, const struct trial *, n);
    for (int i = 0; i < n; i++)
        asks[i] = (struct find_ask){{points[i].value[0], points[i].value[1]}, points[i].load};
    if (!find_runs_make(&d->runs, asks, n, trials)) return false;
    for (int i = 0; i < n; i++) {
        points[i].trial = trials[i];
        for (int w = 0; w < 2; w++) points[i].figure[w] = find_figure(trials[i], &d->wishes[w]);
    }
    return true;
}

/* Share by which figure w of a point is off its wish. */
static double off(const struct pair_finder *d, const struct pair_point *p, int w)
{
    return (p->figure[w] - d->wishes[w].value) / d->scale[w];
}

static double worst_off(const struct pair_finder *d, const struct pair_point *p)
{
    double a = fabs(off(d, p, 0)), b = fabs(off(d, p, 1));
    return isnan(a) || isnan(b) ? HUGE_VAL : larger(a, b);
}

/* ---- the grid ---- */

static const struct pair_point *at(const struct pair_finder *d, int i, int k)
{
    return &d->f->grid[i * PAIR_GRID + k];
}

/* Where the first figure meets its wish between two points, the second is about this. */
static void look_beside(struct pair_finder *d, const struct pair_point *a,
                        const struct pair_point *b)
{
    struct pair_finding *f = d->f;
    double x = off(d, a, 0), y = off(d, b, 0);
    if (isnan(x) || isnan(y) || (x <= 0) == (y <= 0)) return;
    double v = a->figure[1] + (b->figure[1] - a->figure[1]) * x / (x - y);
    if (!(v >= f->least_beside)) f->least_beside = v;
    if (!(v <= f->most_beside)) f->most_beside = v;
}

static void look_over_grid(struct pair_finder *d)
{
    struct pair_finding *f = d->f;
    f->both = -1;
    f->least_beside = f->most_beside = (double)NAN;
    for (int w = 0; w < 2; w++) {
        f->least[w] = f->most[w] = (double)NAN;
        for (int i = 0; i < POINTS; i++) {
            double v = f->grid[i].figure[w];
            if (!isnan(v) && !(v >= f->least[w])) f->least[w] = v;
            if (!isnan(v) && !(v <= f->most[w])) f->most[w] = v;
        }
        double size = fabs(d->wishes[w].value), span = f->most[w] - f->least[w];
        d->scale[w] = size > 0 ? size : span > 0 ? span : 1;
    }
    for (int i = 0; i < PAIR_GRID; i++)
        for (int k = 0; k + 1 < PAIR_GRID; k++) {
            look_beside(d, at(d, i, k), at(d, i, k + 1));
            look_beside(d, at(d, k, i), at(d, k + 1, i));
        }
}

static bool run_grid(struct pair_finder *d)
{
    for (int i = 0; i < POINTS; i++)
        d->f->grid[i] = (struct pair_point){
            .value = {find_grid_value(&d->changed[0], i / PAIR_GRID, PAIR_GRID),
                      find_grid_value(&d->changed[1], i % PAIR_GRID, PAIR_GRID)},
            .load = 1};
    if (!run_points(d, d->f->grid, POINTS)) return false;
    look_over_grid(d);
    return true;
}

/* ---- where to begin ---- */

struct start {
    int i, k;   /* the cell's lower corner */
    double far; /* from the present values, in logarithms */
};

struct corners {
    const struct pair_point *p[4]; /* lower both, upper first, upper second, upper both */
};

static struct corners corners(const struct pair_finder *d, int i, int k)
{
    return (struct corners){{at(d, i, k), at(d, i + 1, k), at(d, i, k + 1), at(d, i + 1, k + 1)}};
}

static bool crosses(const struct pair_finder *d, const struct corners *c, int w)
{
    int below = 0, above = 0;
    for (int i = 0; i < 4; i++) {
        below += off(d, c->p[i], w) <= 0;
        above += off(d, c->p[i], w) >= 0;
    }
    return below + above >= 4 && below > 0 && above > 0;
}

static double distance(const struct pair_finder *d, const struct corners *c)
{
    double far = 0;
    for (int w = 0; w < 2; w++) {
        double now = d->changed[w].now, middle = sqrt(c->p[0]->value[w] * c->p[3]->value[w]);
        if (!isnan(now)) far += sq(log(middle / now));
    }
    return far;
}

/* The cells in which both cross, the nearest first. */
static int find_starts(const struct pair_finder *d, struct start starts[POINTS])
{
    int n = 0;
    for (int i = 0; i + 1 < PAIR_GRID; i++)
        for (int k = 0; k + 1 < PAIR_GRID; k++) {
            struct corners c = corners(d, i, k);
            if (!crosses(d, &c, 0) || !crosses(d, &c, 1)) continue;
            struct start s = {i, k, distance(d, &c)};
            int to = n++;
            for (; to > 0 && starts[to - 1].far > s.far; to--) starts[to] = starts[to - 1];
            starts[to] = s;
        }
    return n;
}

/* The place in the cell, 0..1 each way, where the plane through the corners' means meets both. */
static void aim(const struct pair_finder *d, const struct corners *c, double place[2])
{
    double mean[2], first[2], second[2];
    for (int w = 0; w < 2; w++) {
        double a = off(d, c->p[0], w), b = off(d, c->p[1], w), e = off(d, c->p[2], w);
        double g = off(d, c->p[3], w);
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

static struct pair_point point_of(const struct pair_finder *d, double z0, double z1)
{
    return (struct pair_point){
        .value = {value_of(&d->changed[0], z0), value_of(&d->changed[1], z1)}, .load = 1};
}

static int take_figures(struct pair_finder *d, const struct pair_point *p, gsl_vector *out)
{
    for (int w = 0; w < 2; w++) gsl_vector_set(out, (size_t)w, off(d, p, w));
    d->lost = worst_off(d, p) == HUGE_VAL;
    return d->lost ? GSL_EBADFUNC : GSL_SUCCESS;
}

static int function(const gsl_vector *z, void *finder, gsl_vector *out)
{
    struct pair_finder *d = finder;
    struct pair_point p = point_of(d, gsl_vector_get(z, 0), gsl_vector_get(z, 1));
    if (!run_points(d, &p, 1)) return GSL_EBADFUNC;
    d->f->iterations++;
    return take_figures(d, &p, out);
}

/* The point itself is run with its neighbours: three runs side by side cost hardly more than two.
 */
static int both(const gsl_vector *z, void *finder, gsl_vector *out, gsl_matrix *slopes)
{
    struct pair_finder *d = finder;
    double a = gsl_vector_get(z, 0), b = gsl_vector_get(z, 1);
    struct pair_point p[3] = {point_of(d, a, b), point_of(d, a + STEP, b),
                              point_of(d, a, b + STEP)};
    if (!run_points(d, p, 3)) return GSL_EBADFUNC;
    d->f->iterations += 3;
    for (size_t w = 0; w < 2; w++)
        for (size_t i = 0; i < 2; i++)
            gsl_matrix_set(slopes, w, i,
                           (off(d, &p[i + 1], (int)w) - off(d, &p[0], (int)w)) / STEP);
    return take_figures(d, &p[0], out);
}

static int slopes_only(const gsl_vector *z, void *finder, gsl_matrix *slopes)
{
    double unused[2];
    gsl_vector_view out = gsl_vector_view_array(unused, 2);
    return both(z, finder, &out.vector, slopes);
}

static double largest(const gsl_vector *f)
{
    return larger(fabs(gsl_vector_get(f, 0)), fabs(gsl_vector_get(f, 1)));
}

/* True with the values in `exact` when the solver has come close from there. */
static bool close_in(struct pair_finder *d, const double from[2])
{
    double at_first[2] = {from[0], from[1]};
    gsl_vector_view z = gsl_vector_view_array(at_first, 2);
    gsl_multiroot_function_fdf f = {function, slopes_only, both, 2, d};
    gsl_multiroot_fdfsolver *solver =
        gsl_multiroot_fdfsolver_alloc(gsl_multiroot_fdfsolver_hybridsj, 2);
    if (!solver) return false;
    bool good = gsl_multiroot_fdfsolver_set(solver, &f, &z.vector) == GSL_SUCCESS && !d->lost;
    for (int i = 0; good && i < ITERATIONS && largest(solver->f) > CLOSE; i++)
        good = gsl_multiroot_fdfsolver_iterate(solver) == GSL_SUCCESS;
    good = !d->lost && d->runs.status == STATUS_OK && largest(solver->f) <= FOUND;
    if (good) d->f->exact = point_of(d, gsl_vector_get(solver->x, 0), gsl_vector_get(solver->x, 1));
    gsl_multiroot_fdfsolver_free(solver);
    return good;
}

static bool from_cell(struct pair_finder *d, const struct start *start)
{
    double place[2], z[2];
    struct corners c = corners(d, start->i, start->k);
    const struct trial *trials[4] = {c.p[0]->trial, c.p[1]->trial, c.p[2]->trial, c.p[3]->trial};
    int lower[2] = {start->i, start->k};
    struct trial_options plain = d->runs.trial;
    aim(d, &c, place);
    for (int w = 0; w < 2; w++) z[w] = asin(2 * (lower[w] + place[w]) / (PAIR_GRID - 1) - 1);
    find_runs_fix_length(&d->runs, trials, 4);
    if (close_in(d, z)) return true;
    d->runs.trial = plain;
    return false;
}

/* ---- preferred values ---- */

static void add_near(struct pair_finding *f, double a, double b)
{
    for (int i = 0; i < f->nears; i++)
        if (fabs(f->near[i].value[0] / a - 1) <= 1e-9 && fabs(f->near[i].value[1] / b - 1) <= 1e-9)
            return;
    f->near[f->nears++] = (struct pair_point){.value = {a, b}, .load = 1};
}

/* What is not bought by numbers stays exact beside the other's neighbours. */
static void add_series(struct pair_finder *d, enum preferred_series series)
{
    double near[2][2];
    int n[2];
    for (int w = 0; w < 2; w++)
        n[w] = find_neighbours(&d->changed[w], series, d->f->exact.value[w], near[w]);
    if (n[0] + n[1] == 0) return;
    for (int w = 0; w < 2; w++)
        if (n[w] == 0) near[w][0] = d->f->exact.value[w], n[w] = 1;
    for (int i = 0; i < n[0]; i++)
        for (int k = 0; k < n[1]; k++) add_near(d->f, near[0][i], near[1][k]);
}

static bool does(const struct pair_finder *d, const struct pair_point *p)
{
    for (int w = 0; w < 2; w++)
        if (d->wishes[w].relation != '=' && !wish_met(&d->wishes[w], p->figure[w])) return false;
    return worst_off(d, p) < HUGE_VAL;
}

static bool run_near(struct pair_finder *d)
{
    struct pair_finding *f = d->f;
    add_series(d, PREFERRED_E24);
    add_series(d, PREFERRED_E12);
    if (f->nears == 0) return true;
    if (!run_points(d, f->near, f->nears)) return false;
    for (int i = 0; i < f->nears; i++)
        if (does(d, &f->near[i]) &&
            (f->best < 0 || worst_off(d, &f->near[i]) < worst_off(d, &f->near[f->best])))
            f->best = i;
    return true;
}

static bool run_loads(struct pair_finder *d)
{
    static const double scales[FIND_LOADS] = {0.5, 0.75, 1.25, 1.5};
    struct pair_finding *f = d->f;
    find_runs_loads(&d->runs, f->grid[0].trial);
    if (d->runs.load_count == 0) return true;
    for (int i = 0; i < FIND_LOADS; i++) {
        f->loads[i] = f->best >= 0 ? f->near[f->best] : f->exact;
        f->loads[i].load = scales[i];
    }
    f->load_count = FIND_LOADS;
    return run_points(d, f->loads, FIND_LOADS);
}

/* ---- the whole ---- */

static void without_answer(struct pair_finder *d)
{
    struct pair_finding *f = d->f;
    bool limits = d->wishes[0].relation != '=' && d->wishes[1].relation != '=';
    int met = 0;
    for (int i = 0; i < POINTS && limits; i++) {
        if (!wish_met(&d->wishes[0], f->grid[i].figure[0]) ||
            !wish_met(&d->wishes[1], f->grid[i].figure[1]))
            continue;
        met++;
        if (f->both < 0) f->both = i;
    }
    f->outcome = met == POINTS ? FIND_ANY : FIND_NEVER;
}

static void search(struct pair_finder *d)
{
    struct pair_finding *f = d->f;
    struct start starts[POINTS];
    bool found = false;
    f->best = -1;
    if (!run_grid(d)) return;
    for (int w = 0; w < 2; w++)
        if (!find_figure_known(&d->runs, f->grid[0].trial, &d->wishes[w]))
            f->outcome = FIND_UNKNOWN;
    if (f->outcome == FIND_UNKNOWN) return;
    int n = find_starts(d, starts);
    for (int i = 0; i < n && !found && d->runs.status == STATUS_OK; i++)
        found = from_cell(d, &starts[i]);
    if (!found) without_answer(d);
    else if (run_points(d, &f->exact, 1) && run_near(d)) run_loads(d);
}

const struct pair_finding *find_pair(struct arena *arena, struct diags *diags,
                                     const struct scenario *s, const char *variant,
                                     const struct changed changed[2], const struct wish wishes[2],
                                     const struct find_options *options)
{
    struct pair_finder d = {.changed = changed,
                            .wishes = wishes,
                            .runs = find_runs_new(arena, diags, s, variant, changed, 2, options),
                            .f = ARENA_NEW(arena, struct pair_finding)};
    search(&d);
    d.f->status = d.runs.status;
    d.f->message = d.runs.message;
    return d.f;
}
