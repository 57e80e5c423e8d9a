/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs of one round are made side by side and looked at in order, so no answer depends on how many
 * there are at a time. */
#include "find_runs.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "pool.h"
#include "preferred.h"
#include "sort.h"
#include "suggest.h"

#define LONGER 1.5 /* times what the bracket's ends needed to settle */

struct round {
    struct find_runs *runs;
    struct find_point *points;
    struct arena **arenas;
    struct diags **diags;
};

static void give_back(void *arena)
{
    arena_free(arena);
}

static const char *label_of(const struct find_runs *r, struct arena *arena,
                            const struct find_point *p, int digits)
{
    const char *label = "";
    for (int i = 0; i < r->n; i++) {
        char out[64];
        quantity_text(p->value[i], r->changed[i].unit, digits, out, sizeof out);
        label = arena_printf(arena, "%s%s%s=%s", label, i ? ", " : "", r->changed[i].path, out);
    }
    if (p->load == 1) return label;
    return arena_printf(arena, "%s, load %+.0f %%", label, 100 * (p->load - 1));
}

/* What a load is scaled by at this point: what is sought, or what the scenario says. */
static double scaled(const struct find_runs *r, struct arena *arena, const struct find_point *p,
                     const char *load)
{
    struct complaint why;
    double scale = 1;
    const char *path = arena_printf(arena, "%s.scaled by", load);
    for (int i = 0; i < r->n; i++)
        if (strcmp(r->changed[i].path, path) == 0) return p->value[i];
    const char *text = scenario_value(arena, r->s, r->variant, path);
    return text && quantity_parse(text, UNIT_NUMBER, &scale, &why) ? scale : 1;
}

static struct overrides overrides_of(const struct find_runs *r, struct arena *arena,
                                     struct diags *diags, const struct find_point *p)
{
    struct overrides o = overrides_new(arena);
    for (int i = 0; i < r->n; i++) {
        char out[64];
        const struct changed *c = &r->changed[i];
        quantity_text(p->value[i], c->unit, OVERRIDES_DIGITS, out, sizeof out);
        overrides_assign(&o, diags, c->path, arena_printf(arena, "%s%s", out, c->tail));
    }
    for (int i = 0; p->load != 1 && i < r->load_count; i++)
        overrides_value(&o, r->loads[i], "scaled by", p->load * scaled(r, arena, p, r->loads[i]),
                        UNIT_NUMBER);
    return o;
}

static void make(void *context, int i)
{
    struct round *round = context;
    struct find_runs *r = round->runs;
    struct arena *arena = round->arenas[i];
    struct find_point *p = &round->points[i];
    struct diags *diags = round->diags[i] = diags_new(arena);
    struct overrides o = overrides_of(r, arena, diags, p);
    if (diags_errors(diags) == 0)
        p->trial = trial_with(arena, diags, r->s, r->variant,
                              label_of(r, arena, p, OVERRIDES_DIGITS), &o, &r->trial);
}

static void work(void *context, int i)
{
    pool_within(((struct round *)context)->arenas[i], make, context, i);
}

static bool fail(struct find_runs *r, const struct find_point *p, enum status status,
                 struct failure why)
{
    if (r->f->status != STATUS_OK) return false;
    r->f->status = status;
    why.name = label_of(r, r->arena, p, 4);
    r->f->failure = why;
    return false;
}

static const struct figure *wished(const struct trial *trial, const struct wish *wish)
{
    const struct judged *j =
        judge_worst(trial->judgement, trial->setup->variant, wish->subject, wish->measure);
    return j ? &j->figure : NULL;
}

static bool take(void *context, int i)
{
    struct round *round = context;
    struct find_runs *r = round->runs;
    struct find_point *p = &round->points[i];
    const struct trial *trial = p->trial;
    if (!trial) {
        bool wrong = round->diags[i] && diags_errors(round->diags[i]) > 0;
        if (!wrong) return fail(r, p, STATUS_SOLUTION, (struct failure){.cause = FAILURE_MEMORY});
        for (int k = 0; k < diags_count(round->diags[i]); k++) {
            const struct diag *g = diags_at(round->diags[i], k);
            diags_add(r->diags, g->severity, g->at, g->hint, "%s", g->message);
        }
        return fail(r, p, STATUS_SCENARIO, (struct failure){.cause = FAILURE_SETUP});
    }
    if (trial->status != STATUS_OK)
        return fail(r, p, trial->status,
                    (struct failure){.cause = FAILURE_RUN,
                                     .trouble = trouble_copy(r->arena, &trial->trouble)});
    r->f->unbalanced += !trial_balanced(trial);
    for (int w = 0; w < r->n; w++) {
        const struct figure *figure = wished(trial, &r->wishes[w]);
        p->figure[w] = figure ? figure->value : (double)NAN;
    }
    return true;
}

struct find_runs find_runs_new(struct arena *arena, struct diags *diags, const struct scenario *s,
                               const char *variant, const struct changed *changed,
                               const struct wish *wishes, int n, const struct find_options *options)
{
    struct finding *f = ARENA_NEW(arena, struct finding);
    f->best = f->both = -1;
    f->least_beside = f->most_beside = (double)NAN;
    return (struct find_runs){.arena = arena,
                              .diags = diags,
                              .s = s,
                              .variant = variant,
                              .trial = options->trial,
                              .jobs = options->jobs > 0 ? options->jobs : pool_processors(),
                              .changed = changed,
                              .wishes = wishes,
                              .n = n,
                              .f = f};
}

bool find_runs_make(struct find_runs *r, struct find_point *points, int n)
{
    struct round round = {r, points, ARENA_ARRAY(r->arena, struct arena *, n),
                          ARENA_ARRAY(r->arena, struct diags *, n)};
    for (int i = 0; i < n; i++) {
        points[i].trial = NULL;
        round.arenas[i] = arena_new();
        if (!round.arenas[i])
            return fail(r, &points[i], STATUS_SOLUTION, (struct failure){.cause = FAILURE_MEMORY});
        arena_at_free(r->arena, give_back, round.arenas[i]);
    }
    if (pool_run_in(r->arena, n, r->jobs, n, work, take, &round)) return true;
    return fail(r, &points[0], STATUS_SOLUTION, (struct failure){.cause = FAILURE_THREADS});
}

double find_runs_off(const struct find_runs *r, const struct find_point *p, int w)
{
    return (p->figure[w] - r->wishes[w].value) / r->scale[w];
}

double find_runs_worst_off(const struct find_runs *r, const struct find_point *p)
{
    double worst = 0;
    for (int w = 0; w < r->n; w++) {
        double off = fabs(find_runs_off(r, p, w));
        worst = isnan(off) ? HUGE_VAL : larger(worst, off);
    }
    return worst;
}

void find_runs_fix_length(struct find_runs *r, const struct find_point *const *points, int n)
{
    bool steady = true;
    for (int i = 0; i < n; i++) steady &= points[i]->trial->run->statistics.steady;
    if (r->trial.cold || steady) return;
    r->trial.whole = true;
    if (r->trial.duration > 0) return;
    for (int i = 0; i < n; i++)
        r->trial.duration = larger(r->trial.duration, LONGER * points[i]->trial->run->end);
}

/* ---- the grid ---- */

/* Three digits are round enough to read, and do for a bracket. */
static double grid_value(const struct changed *changed, int i, int n)
{
    double v = changed->low * pow(changed->high / changed->low, (double)i / (n - 1));
    char out[64];
    struct complaint why;
    quantity_text(v, changed->unit, 3, out, sizeof out);
    quantity_parse(out, changed->unit, &v, &why);
    return v;
}

static bool is_known(struct find_runs *r, const struct trial *trial, const struct wish *wish)
{
    const struct judgement *j = trial->judgement;
    suggest_words subjects = {0}, measures = {0};
    for (int i = 0; i < j->all.n; i++) {
        const struct figure *figure = &j->all.at[i].figure;
        if (i == 0 || strcmp(figure->subject, j->all.at[i - 1].figure.subject) != 0)
            array_push(r->arena, &subjects, figure->subject);
        if (strcmp(figure->subject, wish->subject) == 0)
            array_push(r->arena, &measures, measure_table[figure->measure].name);
    }
    const struct figure *found = wished(trial, wish);
    struct place at = {wish->text, 0, 0};
    if (!found && measures.n > 0)
        diags_add(r->diags, DIAG_ERROR, at, suggest(r->arena, wish->name, &measures),
                  "`%s` has no figure `%s`", wish->subject, wish->name);
    else if (!found)
        diags_add(r->diags, DIAG_ERROR, at, suggest(r->arena, wish->subject, &subjects),
                  "there is no figure of `%s`", wish->subject);
    else if (found->unit != wish->unit)
        diags_add(r->diags, DIAG_ERROR, at, NULL, "`%s` is given in %s, not in %s", wish->name,
                  quantity_kind(found->unit), quantity_kind(wish->unit));
    return found && found->unit == wish->unit;
}

static void note_extremes(struct find_runs *r, int w)
{
    struct finding *f = r->f;
    f->least[w] = f->most[w] = f->grid[0];
    for (int i = 1; i < f->points; i++) {
        double v = f->grid[i].figure[w];
        if (isnan(v)) continue;
        if (!(v >= f->least[w].figure[w])) f->least[w] = f->grid[i];
        if (!(v <= f->most[w].figure[w])) f->most[w] = f->grid[i];
    }
    double size = fabs(r->wishes[w].value), span = f->most[w].figure[w] - f->least[w].figure[w];
    r->scale[w] = size > 0 ? size : span > 0 ? span : 1;
}

bool find_runs_grid(struct find_runs *r, int points)
{
    struct finding *f = r->f;
    f->points = r->n == 2 ? points * points : points;
    f->grid = ARENA_ARRAY(r->arena, struct find_point, f->points);
    for (int i = 0; i < f->points; i++) {
        struct find_point *p = &f->grid[i];
        p->load = 1;
        p->value[0] = grid_value(&r->changed[0], r->n == 2 ? i / points : i, points);
        if (r->n == 2) p->value[1] = grid_value(&r->changed[1], i % points, points);
    }
    if (!find_runs_make(r, f->grid, f->points)) return false;
    for (int w = 0; w < r->n; w++) {
        note_extremes(r, w);
        if (!is_known(r, f->grid[0].trial, &r->wishes[w])) f->outcome = FIND_UNKNOWN;
    }
    return f->outcome != FIND_UNKNOWN;
}

/* ---- preferred values ---- */

static int compare(const void *a, const void *b)
{
    const double *x = ((const struct find_point *)a)->value;
    const double *y = ((const struct find_point *)b)->value;
    for (int w = 0; w < FIND_MOST; w++)
        if (fabs(x[w] - y[w]) > 1e-9 * fabs(y[w])) return x[w] < y[w] ? -1 : 1;
    return 0;
}

/* Each pair once, in rising order. */
static void add_near(struct finding *f, double first, double second)
{
    struct find_point p = {.value = {first, second}, .load = 1};
    for (int i = 0; i < f->nears; i++)
        if (compare(&f->near[i], &p) == 0) return;
    f->near[f->nears++] = p;
    sort_stable(f->near, f->nears, sizeof *f->near, compare);
}

/* One below and one above; only itself when it is one, or is not bought by numbers. */
static int neighbours(const struct changed *changed, enum preferred_series series, double value,
                      double near[2])
{
    enum unit unit = changed->unit;
    near[0] = near[1] = value;
    if (unit != UNIT_OHM && unit != UNIT_FARAD && unit != UNIT_HENRY) return 0;
    near[0] = preferred_below(series, value);
    near[1] = preferred_above(series, value);
    return fabs(near[1] - near[0]) <= 1e-9 * value ? 1 : 2;
}

static void add_series(struct find_runs *r, enum preferred_series series)
{
    double near[FIND_MOST][2] = {{0}};
    int n[FIND_MOST] = {0};
    for (int w = 0; w < r->n; w++)
        n[w] = neighbours(&r->changed[w], series, r->f->exact.value[w], near[w]);
    if (n[0] + n[1] == 0) return;
    for (int i = 0; i < larger(n[0], 1); i++)
        for (int k = 0; k < larger(n[1], 1); k++) add_near(r->f, near[0][i], near[1][k]);
}

/* Wishes with a limit must be met, those with = as nearly as may be. */
static bool does(const struct find_runs *r, const struct find_point *p)
{
    for (int w = 0; w < r->n; w++)
        if (r->wishes[w].relation != '=' && !wish_met(&r->wishes[w], p->figure[w])) return false;
    return find_runs_worst_off(r, p) < HUGE_VAL;
}

/* What a pair that does is chosen by: how far off it is where a figure was wanted just so; among
 * limits alone, the nearest to them. */
static double badness(const struct find_runs *r, const struct find_point *p)
{
    double worst = 0;
    bool just_so = false;
    for (int w = 0; w < r->n; w++) {
        if (r->wishes[w].relation != '=') continue;
        just_so = true;
        worst = larger(worst, fabs(find_runs_off(r, p, w)));
    }
    return just_so ? worst : find_runs_worst_off(r, p);
}

/* Of E12 and inside all tolerances, of E24 and inside them, any. */
static int rank(const struct find_runs *r, const struct find_point *p)
{
    bool rounded = true;
    for (int w = 0; w < r->n; w++) {
        if (!r->wishes[w].slack || !wish_met(&r->wishes[w], p->figure[w])) return 2;
        rounded &= preferred_is(PREFERRED_E12, p->value[w]);
    }
    return rounded ? 0 : 1;
}

static bool suits_better(const struct find_runs *r, const struct find_point *a,
                         const struct find_point *b)
{
    int of_a = rank(r, a), of_b = rank(r, b);
    return of_a != of_b ? of_a < of_b : badness(r, a) < badness(r, b);
}

static bool run_near(struct find_runs *r)
{
    struct finding *f = r->f;
    add_series(r, PREFERRED_E24);
    add_series(r, PREFERRED_E12);
    if (!find_runs_make(r, f->near, f->nears)) return false;
    for (int i = 0; i < f->nears; i++)
        if (does(r, &f->near[i]) &&
            (f->best < 0 || suits_better(r, &f->near[i], &f->near[f->best])))
            f->best = i;
    return true;
}

/* ---- loads ---- */

static void find_loads(struct find_runs *r, const struct trial *trial)
{
    const struct set *set = trial->setup->stages.at[0].set;
    const char **names = ARENA_ARRAY(r->arena, const char *, set->parts.n);
    r->load_count = 0;
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_SCALES)) names[r->load_count++] = set->parts.at[i]->name;
    r->loads = names;
}

static void run_loads(struct find_runs *r)
{
    static const double scales[FIND_LOADS] = {0.5, 0.75, 1.25, 1.5};
    struct finding *f = r->f;
    find_loads(r, f->exact.trial);
    if (r->load_count == 0) return;
    for (int i = 0; i < FIND_LOADS; i++) {
        f->loads[i] = f->best >= 0 ? f->near[f->best] : f->exact;
        f->loads[i].load = scales[i];
    }
    f->load_count = FIND_LOADS;
    find_runs_make(r, f->loads, FIND_LOADS);
}

void find_runs_finish(struct find_runs *r)
{
    if (find_runs_make(r, &r->f->exact, 1) && run_near(r)) run_loads(r);
}
