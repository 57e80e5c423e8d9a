/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grid, bracket, Brent, proof. */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#include "find_runs.h"

enum { ITERATIONS = 40 };

#define CLOSE 1e-7        /* of the value: relative width of the last interval */
#define FIGURE_CLOSE 1e-9 /* of the wish */

struct finder {
    const struct changed *changed;
    const struct wish *wish;
    struct find_runs runs;
    double last; /* how far off the last run of the closing in was */
    struct finding *f;
};

/* Runs n points; false when one failed. */
static bool run_points(struct finder *d, struct find_point *points, int n)
{
    struct arena *arena = d->runs.arena;
    struct find_ask *asks = ARENA_ARRAY(arena, struct find_ask, n);
    const struct trial **trials = ARENA_ARRAY(arena, const struct trial *, n);
    for (int i = 0; i < n; i++) asks[i] = (struct find_ask){{points[i].value}, points[i].load};
    bool good = find_runs_make(&d->runs, asks, n, trials);
    for (int i = 0; i < n; i++) {
        bool ran = trials[i] && trials[i]->status == STATUS_OK;
        points[i].trial = trials[i];
        points[i].figure = ran ? find_figure(trials[i], d->wish) : (double)NAN;
    }
    return good;
}

/* ---- the grid ---- */

static bool run_grid(struct finder *d)
{
    struct finding *f = d->f;
    for (int i = 0; i < FIND_GRID; i++)
        f->grid[i] =
            (struct find_point){.value = find_grid_value(d->changed, i, FIND_GRID), .load = 1};
    if (!run_points(d, f->grid, FIND_GRID)) return false;
    f->least = f->most = f->grid[0];
    for (int i = 1; i < FIND_GRID; i++) {
        if (isnan(f->grid[i].figure)) continue;
        if (!(f->grid[i].figure >= f->least.figure)) f->least = f->grid[i];
        if (!(f->grid[i].figure <= f->most.figure)) f->most = f->grid[i];
    }
    return true;
}

static double off(const struct finder *d, const struct find_point *p)
{
    return p->figure - d->wish->value;
}

static bool crosses(const struct finder *d, int i)
{
    double a = off(d, &d->f->grid[i]), b = off(d, &d->f->grid[i + 1]);
    return !isnan(a) && !isnan(b) && (a <= 0) != (b <= 0);
}

/* The crossing nearest to the present value, where it is known; else the lowest. -1: none. */
static int choose_bracket(struct finder *d)
{
    int best = -1;
    double nearest = HUGE_VAL;
    for (int i = 0; i + 1 < FIND_GRID; i++) {
        if (!crosses(d, i)) continue;
        double middle = sqrt(d->f->grid[i].value * d->f->grid[i + 1].value);
        double far = isnan(d->changed->now) ? i : fabs(log(middle / d->changed->now));
        d->f->roots++;
        if (far < nearest) nearest = far, best = i;
    }
    return best;
}

/* ---- closing in ---- */

static double function(double x, void *finder)
{
    struct finder *d = finder;
    struct find_point p = {.value = exp(x), .load = 1};
    if (d->runs.status != STATUS_OK || !run_points(d, &p, 1)) return 0;
    d->f->iterations++;
    d->last = isnan(p.figure) ? 0 : off(d, &p);
    return d->last;
}

static double close_in(struct finder *d, int bracket)
{
    double low = log(d->f->grid[bracket].value), high = log(d->f->grid[bracket + 1].value);
    double small = FIGURE_CLOSE * fabs(d->wish->value), at_low = function(low, d);
    double at_high = function(high, d);
    if ((at_low <= 0) == (at_high <= 0)) return fabs(at_low) < fabs(at_high) ? low : high;
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_function f = {function, d};
    double x = low;
    if (solver && gsl_root_fsolver_set(solver, &f, low, high) == GSL_SUCCESS)
        for (int i = 0; i < ITERATIONS && d->runs.status == STATUS_OK; i++) {
            if (gsl_root_fsolver_iterate(solver) != GSL_SUCCESS) break;
            x = gsl_root_fsolver_root(solver);
            low = gsl_root_fsolver_x_lower(solver);
            high = gsl_root_fsolver_x_upper(solver);
            if (high - low < CLOSE || fabs(d->last) <= small) break;
        }
    if (solver) gsl_root_fsolver_free(solver);
    return x;
}

/* ---- preferred values ---- */

static void add_near(struct finding *f, double value)
{
    int k = f->nears;
    for (int i = 0; i < f->nears; i++)
        if (fabs(f->near[i].value - value) <= 1e-9 * value) return;
    for (; k > 0 && f->near[k - 1].value > value; k--) f->near[k] = f->near[k - 1];
    f->near[k] = (struct find_point){.value = value, .load = 1};
    f->nears++;
}

/* Of those that do for a limit, or of all for a `=`, the one whose figure is nearest to it. */
static void choose_best(struct finder *d)
{
    struct finding *f = d->f;
    f->best = -1;
    for (int i = 0; i < f->nears; i++) {
        bool does = d->wish->relation == '=' || wish_met(d->wish, f->near[i].figure);
        if (!does || isnan(f->near[i].figure)) continue;
        if (f->best < 0 || fabs(off(d, &f->near[i])) < fabs(off(d, &f->near[f->best]))) f->best = i;
    }
}

static bool run_near(struct finder *d)
{
    struct finding *f = d->f;
    f->best = -1;
    for (int i = 0; i < 2; i++) {
        double near[2];
        int n =
            find_neighbours(d->changed, i ? PREFERRED_E12 : PREFERRED_E24, f->exact.value, near);
        for (int k = 0; k < n; k++) add_near(f, near[k]);
    }
    if (f->nears == 0) return true;
    if (!run_points(d, f->near, f->nears)) return false;
    choose_best(d);
    return true;
}

/* ---- other loads ---- */

static bool run_loads(struct finder *d)
{
    static const double scales[FIND_LOADS] = {0.5, 0.75, 1.25, 1.5};
    struct finding *f = d->f;
    find_runs_loads(&d->runs, f->grid[0].trial);
    if (d->runs.load_count == 0) return true;
    double value = f->best >= 0 ? f->near[f->best].value : f->exact.value;
    for (int i = 0; i < FIND_LOADS; i++)
        f->loads[i] = (struct find_point){.value = value, .load = scales[i]};
    f->load_count = FIND_LOADS;
    return run_points(d, f->loads, FIND_LOADS);
}

/* ---- the whole ---- */

static void without_crossing(struct finder *d)
{
    struct finding *f = d->f;
    bool all = true;
    for (int i = 0; i < FIND_GRID; i++) all &= wish_met(d->wish, f->grid[i].figure);
    f->outcome = all ? FIND_ANY : FIND_NEVER;
}

static void search(struct finder *d)
{
    struct finding *f = d->f;
    f->best = -1;
    if (!run_grid(d)) return;
    if (!find_figure_known(&d->runs, d->f->grid[0].trial, d->wish)) {
        f->outcome = FIND_UNKNOWN;
        return;
    }
    int bracket = choose_bracket(d);
    if (bracket < 0) {
        without_crossing(d);
        return;
    }
    f->outcome = FIND_VALUE;
    const struct trial *ends[2] = {f->grid[bracket].trial, f->grid[bracket + 1].trial};
    find_runs_fix_length(&d->runs, ends, 2);
    f->exact = (struct find_point){.value = exp(close_in(d, bracket)), .load = 1};
    if (d->runs.status == STATUS_OK && run_points(d, &f->exact, 1) && run_near(d)) run_loads(d);
}

const struct finding *find_value(struct arena *arena, struct diags *diags, const struct scenario *s,
                                 const char *variant, const struct changed *changed,
                                 const struct wish *wish, const struct find_options *options)
{
    struct finder d = {.changed = changed,
                       .wish = wish,
                       .runs = find_runs_new(arena, diags, s, variant, changed, 1, options),
                       .f = ARENA_NEW(arena, struct finding)};
    search(&d);
    d.f->status = d.runs.status;
    d.f->message = d.runs.message;
    return d.f;
}
