/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grid, bracket, Brent, proof. Runs of one round are made side by side and looked at in order, so
 * the answer does not depend on how many there are at a time. */
#include "find.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <setjmp.h>
#include <string.h>

#include "numbers.h"
#include "pool.h"
#include "preferred.h"
#include "suggest.h"

enum { ITERATIONS = 40, DIGITS = 12, ASSIGNMENTS = 16 };

#define CLOSE 1e-7       /* of the value: relative width of the last interval */
#define FIGURE_CLOSE 1e-9 /* of the wish */
#define LONGER 1.5       /* times what the bracket's ends needed to settle */

struct finder {
    struct arena *arena;
    struct diags *diags;
    const struct scenario *s;
    const char *variant;
    const struct changed *changed;
    const struct wish *wish;
    struct trial_options trial;
    int jobs;
    const char *const *loads; /* names of the parts that are loads */
    int load_count;
    double last; /* how far off the last run of the closing in was */
    struct finding *f;
};

/* ---- runs ---- */

struct round {
    struct finder *finder;
    struct find_point *points;
    struct arena **arenas;
    struct diags **diags;
};

static void give_back(void *arena)
{
    arena_free(arena);
}

static int make_list(const struct finder *d, struct arena *arena, const struct find_point *p,
                     struct assignment list[ASSIGNMENTS], const char **label)
{
    char out[64];
    int n = 0;
    quantity_text(p->value, d->changed->unit, DIGITS, out, sizeof out);
    list[n++] = (struct assignment){d->changed->path,
                                    arena_printf(arena, "%s%s", out, d->changed->tail)};
    *label = arena_printf(arena, "%s=%s", d->changed->path, out);
    if (p->load == 1) return n;
    for (int i = 0; i < d->load_count && n < ASSIGNMENTS; i++)
        list[n++] = (struct assignment){arena_printf(arena, "%s.scaled by", d->loads[i]),
                                        arena_printf(arena, "%.9g", p->load)};
    *label = arena_printf(arena, "%s, load %+.0f %%", *label, 100 * (p->load - 1));
    return n;
}

static void work(void *context, int i)
{
    struct round *r = context;
    struct finder *d = r->finder;
    struct arena *arena = r->arenas[i];
    jmp_buf exhausted;
    if (setjmp(exhausted) == 0) {
        struct assignment list[ASSIGNMENTS];
        const char *label;
        arena_on_exhausted(arena, &exhausted);
        int n = make_list(d, arena, &r->points[i], list, &label);
        r->diags[i] = diags_new(arena);
        r->points[i].trial =
            trial_with(arena, r->diags[i], d->s, d->variant, label, list, n, &d->trial);
    }
    arena_on_exhausted(arena, NULL);
}

static void fail(struct finder *d, const struct find_point *p, enum status status,
                 const char *message)
{
    char out[64];
    if (d->f->status != STATUS_OK) return;
    d->f->status = status;
    quantity_text(p->value, d->changed->unit, 4, out, sizeof out);
    d->f->message = arena_printf(d->arena, "%s=%s: %s", d->changed->path, out, message);
}

static bool take(void *context, int i)
{
    struct round *r = context;
    struct finder *d = r->finder;
    struct find_point *p = &r->points[i];
    p->figure = (double)NAN;
    if (!p->trial) {
        for (int k = 0; r->diags[i] && k < diags_count(r->diags[i]); k++) {
            const struct diag *g = diags_at(r->diags[i], k);
            diags_add(d->diags, g->severity, g->at, g->hint, "%s", g->message);
        }
        fail(d, p, STATUS_SCENARIO, "cannot be set up");
        return false;
    }
    if (p->trial->status != STATUS_OK) fail(d, p, p->trial->status, p->trial->message);
    if (p->trial->status != STATUS_OK) return false;
    const struct judged *j = judge_worst(p->trial->judgement, p->trial->setup->variant,
                                         d->wish->subject, d->wish->measure);
    if (j) p->figure = j->figure.value;
    return true;
}

/* Runs n points; false when one failed. */
static bool run_points(struct finder *d, struct find_point *points, int n)
{
    struct round r = {d, points, ARENA_ARRAY(d->arena, struct arena *, n),
                      ARENA_ARRAY(d->arena, struct diags *, n)};
    for (int i = 0; i < n; i++) {
        r.arenas[i] = arena_new();
        if (!r.arenas[i]) {
            fail(d, &points[i], STATUS_SOLUTION, "out of memory");
            return false;
        }
        arena_at_free(d->arena, give_back, r.arenas[i]);
    }
    if (pool_run(n, d->jobs, n, work, take, &r)) return true;
    fail(d, &points[0], STATUS_SOLUTION, "no thread could be started");
    return false;
}

/* ---- the grid ---- */

static bool run_grid(struct finder *d)
{
    struct finding *f = d->f;
    double ratio = d->changed->high / d->changed->low;
    for (int i = 0; i < FIND_GRID; i++) {
        double v = d->changed->low * pow(ratio, (double)i / (FIND_GRID - 1));
        char out[64]; /* three digits are round enough to read, and do for a bracket */
        quantity_text(v, d->changed->unit, 3, out, sizeof out);
        struct complaint why;
        quantity_parse(out, d->changed->unit, &v, &why);
        f->grid[i] = (struct find_point){.value = v, .load = 1};
    }
    if (!run_points(d, f->grid, FIND_GRID)) return false;
    f->least = f->most = f->grid[0];
    for (int i = 1; i < FIND_GRID; i++) {
        if (isnan(f->grid[i].figure)) continue;
        if (!(f->grid[i].figure >= f->least.figure)) f->least = f->grid[i];
        if (!(f->grid[i].figure <= f->most.figure)) f->most = f->grid[i];
    }
    return true;
}

/* No such figure in the first run: names the nearest. */
static bool check_figure(struct finder *d)
{
    const struct judgement *j = d->f->grid[0].trial->judgement;
    suggest_words subjects = {0}, measures = {0};
    const struct figure *found = NULL;
    for (int i = 0; i < j->all.n; i++) {
        const struct figure *figure = &j->all.at[i].figure;
        if (i == 0 || strcmp(figure->subject, j->all.at[i - 1].figure.subject) != 0)
            array_push(d->arena, &subjects, figure->subject);
        if (strcmp(figure->subject, d->wish->subject) == 0)
            array_push(d->arena, &measures, figure->measure);
    }
    const struct judged *one = judge_worst(j, d->f->grid[0].trial->setup->variant,
                                           d->wish->subject, d->wish->measure);
    if (one) found = &one->figure;
    struct place at = {d->wish->text, 0, 0};
    if (!found && measures.n > 0)
        diags_add(d->diags, DIAG_ERROR, at, suggest(d->arena, d->wish->measure, &measures),
                  "`%s` has no figure `%s`", d->wish->subject, d->wish->measure);
    else if (!found)
        diags_add(d->diags, DIAG_ERROR, at, suggest(d->arena, d->wish->subject, &subjects),
                  "no figure is told of `%s`", d->wish->subject);
    else if (found->unit != d->wish->unit)
        diags_add(d->diags, DIAG_ERROR, at, NULL, "`%s` is told in %s, not in %s",
                  d->wish->measure, quantity_kind(found->unit), quantity_kind(d->wish->unit));
    return found && found->unit == d->wish->unit;
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
    if (d->f->status != STATUS_OK || !run_points(d, &p, 1)) return 0;
    d->f->iterations++;
    d->last = isnan(p.figure) ? 0 : off(d, &p);
    return d->last;
}

/* Runs of one length from here on, so that the figure is a smooth function of the value. */
static void fix_length(struct finder *d, int bracket)
{
    const struct trial *a = d->f->grid[bracket].trial, *b = d->f->grid[bracket + 1].trial;
    if (d->trial.cold) return;
    d->trial.whole = true;
    if (!(d->trial.duration > 0)) d->trial.duration = LONGER * larger(a->run->end, b->run->end);
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
        for (int i = 0; i < ITERATIONS && d->f->status == STATUS_OK; i++) {
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

static bool is_bought(enum unit unit)
{
    return unit == UNIT_OHM || unit == UNIT_FARAD || unit == UNIT_HENRY;
}

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
    if (!is_bought(d->changed->unit)) return true;
    add_near(f, preferred_below(PREFERRED_E24, f->exact.value));
    add_near(f, preferred_above(PREFERRED_E24, f->exact.value));
    add_near(f, preferred_below(PREFERRED_E12, f->exact.value));
    add_near(f, preferred_above(PREFERRED_E12, f->exact.value));
    if (!run_points(d, f->near, f->nears)) return false;
    choose_best(d);
    return true;
}

/* ---- other loads ---- */

/* An output stage draws what its tubes draw. */
static bool is_scalable(const struct part *part)
{
    return strcmp(part->kind->name, "load") == 0 && !part_node(part, "tube");
}

static void find_loads(struct finder *d)
{
    const struct set *set = d->f->grid[0].trial->setup->stages.at[0].set;
    const char **names = ARENA_ARRAY(d->arena, const char *, set->parts.n);
    for (int i = 0; i < set->parts.n; i++)
        if (is_scalable(set->parts.at[i]) && d->load_count < ASSIGNMENTS - 1)
            names[d->load_count++] = set->parts.at[i]->name;
    d->loads = names;
}

static bool run_loads(struct finder *d)
{
    static const double scales[FIND_LOADS] = {0.5, 0.75, 1.25, 1.5};
    struct finding *f = d->f;
    find_loads(d);
    if (d->load_count == 0) return true;
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
    if (!check_figure(d)) {
        f->outcome = FIND_UNKNOWN;
        return;
    }
    int bracket = choose_bracket(d);
    if (bracket < 0) {
        without_crossing(d);
        return;
    }
    f->outcome = FIND_VALUE;
    fix_length(d, bracket);
    f->exact = (struct find_point){.value = exp(close_in(d, bracket)), .load = 1};
    if (f->status == STATUS_OK && run_points(d, &f->exact, 1) && run_near(d)) run_loads(d);
}

const struct finding *find_value(struct arena *arena, struct diags *diags,
                                 const struct scenario *s, const char *variant,
                                 const struct changed *changed, const struct wish *wish,
                                 const struct find_options *options)
{
    struct finder d = {.arena = arena,
                       .diags = diags,
                       .s = s,
                       .variant = variant,
                       .changed = changed,
                       .wish = wish,
                       .trial = options->trial,
                       .jobs = options->jobs > 0 ? options->jobs : pool_processors(),
                       .f = ARENA_NEW(arena, struct finding)};
    search(&d);
    return d.f;
}
