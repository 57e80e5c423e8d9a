/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grid, bracket, Brent, proof. */
#include <math.h>

#include "find_runs.h"
#include "root.h"

#define CLOSE 1e-7        /* of the value: relative width of the last interval */
#define FIGURE_CLOSE 1e-9 /* of the wish */

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

static double off(double x, void *runs)
{
    struct find_runs *r = runs;
    struct find_point p = {.value = {exp(x)}, .load = 1};
    if (r->f->status != STATUS_OK || !find_runs_make(r, &p, 1)) return 0;
    r->f->iterations++;
    return isnan(p.figure[0]) ? 0 : find_runs_off(r, &p, 0);
}

static double close_in(struct find_runs *r, const struct find_point *ends[2])
{
    struct root_bracket b = {.x = {log(ends[0]->value[0]), log(ends[1]->value[0])}};
    for (int i = 0; i < 2; i++) b.f[i] = off(b.x[i], r);
    if ((b.f[0] <= 0) == (b.f[1] <= 0)) return fabs(b.f[0]) < fabs(b.f[1]) ? b.x[0] : b.x[1];
    return root_close_in(r->arena, &b, off, r, CLOSE, FIGURE_CLOSE, &r->f->status);
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
    struct find_runs runs = find_runs_new(arena, diags, s, variant, changed, wish, 1, options);
    struct finding *f = runs.f;
    if (!find_runs_grid(&runs, FIND_GRID)) return f;
    int bracket = choose_bracket(&runs);
    if (bracket < 0) {
        without_crossing(&runs);
        return f;
    }
    const struct find_point *ends[2] = {&f->grid[bracket], &f->grid[bracket + 1]};
    find_runs_fix_length(&runs, ends, 2);
    f->exact = (struct find_point){.value = {exp(close_in(&runs, ends))}, .load = 1};
    if (f->status == STATUS_OK) find_runs_finish(&runs);
    return f;
}
