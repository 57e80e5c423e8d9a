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
    struct find_runs runs;
    double last; /* how far off the last run of the closing in was */
};

static bool crosses(const struct find_runs *r, int i)
{
    double a = find_runs_off(r, &r->f->grid[i], 0), b = find_runs_off(r, &r->f->grid[i + 1], 0);
    return !isnan(a) && !isnan(b) && (a <= 0) != (b <= 0);
}

/* The crossing nearest to the present value, where it is known; else the lowest. -1: none. */
static int choose_bracket(const struct find_runs *r)
{
    struct finding *f = r->f;
    int best = -1;
    double nearest = HUGE_VAL;
    for (int i = 0; i + 1 < f->points; i++) {
        if (!crosses(r, i)) continue;
        double middle = sqrt(f->grid[i].value[0] * f->grid[i + 1].value[0]);
        double far = isnan(r->changed->now) ? i : fabs(log(middle / r->changed->now));
        f->roots++;
        if (far < nearest) nearest = far, best = i;
    }
    return best;
}

/* ---- closing in ---- */

static double function(double x, void *finder)
{
    struct finder *d = finder;
    struct find_runs *r = &d->runs;
    struct find_point p = {.value = {exp(x)}, .load = 1};
    if (r->f->status != STATUS_OK || !find_runs_make(r, &p, 1)) return 0;
    r->f->iterations++;
    d->last = isnan(p.figure[0]) ? 0 : find_runs_off(r, &p, 0);
    return d->last;
}

static void give_back(void *solver)
{
    gsl_root_fsolver_free(solver);
}

static double close_in(struct finder *d, const struct find_point *ends[2])
{
    double low = log(ends[0]->value[0]), high = log(ends[1]->value[0]);
    double at_low = function(low, d), at_high = function(high, d);
    if ((at_low <= 0) == (at_high <= 0)) return fabs(at_low) < fabs(at_high) ? low : high;
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_function f = {function, d};
    double x = low;
    if (!solver) arena_exhausted(d->runs.arena);
    arena_at_free(d->runs.arena, give_back, solver);
    if (gsl_root_fsolver_set(solver, &f, low, high) == GSL_SUCCESS)
        for (int i = 0; i < ITERATIONS && d->runs.f->status == STATUS_OK; i++) {
            if (gsl_root_fsolver_iterate(solver) != GSL_SUCCESS) break;
            x = gsl_root_fsolver_root(solver);
            low = gsl_root_fsolver_x_lower(solver);
            high = gsl_root_fsolver_x_upper(solver);
            if (high - low < CLOSE || fabs(d->last) <= FIGURE_CLOSE) break;
        }
    return x;
}

static void without_crossing(const struct find_runs *r)
{
    struct finding *f = r->f;
    bool all = true;
    for (int i = 0; i < f->points; i++) all &= wish_met(r->wishes, f->grid[i].figure[0]);
    f->outcome = all ? FIND_ANY : FIND_NEVER;
}

const struct finding *find_value(struct arena *arena, struct diags *diags, const struct scenario *s,
                                 const char *variant, const struct changed *changed,
                                 const struct wish *wish, const struct find_options *options)
{
    struct finder d = {.runs = find_runs_new(arena, diags, s, variant, changed, wish, 1, options)};
    struct finding *f = d.runs.f;
    if (!find_runs_grid(&d.runs, FIND_GRID)) return f;
    int bracket = choose_bracket(&d.runs);
    if (bracket < 0) {
        without_crossing(&d.runs);
        return f;
    }
    const struct find_point *ends[2] = {&f->grid[bracket], &f->grid[bracket + 1]};
    find_runs_fix_length(&d.runs, ends, 2);
    f->exact = (struct find_point){.value = {exp(close_in(&d, ends))}, .load = 1};
    if (f->status == STATUS_OK) find_runs_finish(&d.runs);
    return f;
}
