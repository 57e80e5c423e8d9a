/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs of one round are made side by side and looked at in order, so no answer depends on how many
 * there are at a time. */
#include "find_runs.h"

#include <math.h>
#include <setjmp.h>
#include <string.h>

#include "numbers.h"
#include "pool.h"
#include "suggest.h"

enum { DIGITS = 12, ASSIGNMENTS = 16 };

#define LONGER 1.5 /* times what the bracket's ends needed to settle */

struct round {
    struct find_runs *runs;
    const struct find_ask *asks;
    const struct trial **trials;
    struct arena **arenas;
    struct diags **diags;
};

static void give_back(void *arena)
{
    arena_free(arena);
}

static const char *label_of(const struct find_runs *r, struct arena *arena,
                            const struct find_ask *ask, int digits)
{
    const char *label = "";
    for (int i = 0; i < r->changes; i++) {
        char out[64];
        quantity_text(ask->values[i], r->changed[i].unit, digits, out, sizeof out);
        label = arena_printf(arena, "%s%s%s=%s", label, i ? ", " : "", r->changed[i].path, out);
    }
    if (ask->load == 1) return label;
    return arena_printf(arena, "%s, load %+.0f %%", label, 100 * (ask->load - 1));
}

static int make_list(const struct find_runs *r, struct arena *arena, const struct find_ask *ask,
                     struct assignment list[ASSIGNMENTS])
{
    int n = 0;
    for (int i = 0; i < r->changes; i++) {
        char out[64];
        const struct changed *c = &r->changed[i];
        quantity_text(ask->values[i], c->unit, DIGITS, out, sizeof out);
        list[n++] = (struct assignment){c->path, arena_printf(arena, "%s%s", out, c->tail)};
    }
    for (int i = 0; ask->load != 1 && i < r->load_count && n < ASSIGNMENTS; i++)
        list[n++] = (struct assignment){arena_printf(arena, "%s.scaled by", r->loads[i]),
                                        arena_printf(arena, "%.9g", ask->load)};
    return n;
}

static void work(void *context, int i)
{
    struct round *round = context;
    struct find_runs *r = round->runs;
    struct arena *arena = round->arenas[i];
    jmp_buf exhausted;
    if (setjmp(exhausted) == 0) {
        struct assignment list[ASSIGNMENTS];
        arena_on_exhausted(arena, &exhausted);
        int n = make_list(r, arena, &round->asks[i], list);
        round->diags[i] = diags_new(arena);
        round->trials[i] =
            trial_with(arena, round->diags[i], r->s, r->variant,
                       label_of(r, arena, &round->asks[i], DIGITS), list, n, &r->trial);
    }
    arena_on_exhausted(arena, NULL);
}

static bool fail(struct find_runs *r, const struct find_ask *ask, enum status status,
                 const char *message)
{
    if (r->status != STATUS_OK) return false;
    r->status = status;
    r->message = arena_printf(r->arena, "%s: %s", label_of(r, r->arena, ask, 4), message);
    return false;
}

static bool take(void *context, int i)
{
    struct round *round = context;
    struct find_runs *r = round->runs;
    const struct trial *trial = round->trials[i];
    if (!trial) {
        for (int k = 0; round->diags[i] && k < diags_count(round->diags[i]); k++) {
            const struct diag *g = diags_at(round->diags[i], k);
            diags_add(r->diags, g->severity, g->at, g->hint, "%s", g->message);
        }
        return fail(r, &round->asks[i], STATUS_SCENARIO, "cannot be set up");
    }
    if (trial->status == STATUS_OK) return true;
    return fail(r, &round->asks[i], trial->status, trial->message);
}

struct find_runs find_runs_new(struct arena *arena, struct diags *diags, const struct scenario *s,
                               const char *variant, const struct changed *changed, int changes,
                               const struct find_options *options)
{
    return (struct find_runs){.arena = arena,
                              .diags = diags,
                              .s = s,
                              .variant = variant,
                              .trial = options->trial,
                              .jobs = options->jobs > 0 ? options->jobs : pool_processors(),
                              .changed = changed,
                              .changes = changes};
}

bool find_runs_make(struct find_runs *r, const struct find_ask *asks, int n,
                    const struct trial **trials)
{
    struct round round = {r, asks, trials, ARENA_ARRAY(r->arena, struct arena *, n),
                          ARENA_ARRAY(r->arena, struct diags *, n)};
    for (int i = 0; i < n; i++) {
        trials[i] = NULL;
        round.arenas[i] = arena_new();
        if (!round.arenas[i]) return fail(r, &asks[i], STATUS_SOLUTION, "out of memory");
        arena_at_free(r->arena, give_back, round.arenas[i]);
    }
    if (pool_run(n, r->jobs, n, work, take, &round)) return true;
    return fail(r, &asks[0], STATUS_SOLUTION, "no thread could be started");
}

void find_runs_fix_length(struct find_runs *r, const struct trial *const *trials, int n)
{
    if (r->trial.cold) return;
    r->trial.whole = true;
    if (r->trial.duration > 0) return;
    for (int i = 0; i < n; i++)
        r->trial.duration = larger(r->trial.duration, LONGER * trials[i]->run->end);
}

/* ---- figures ---- */

static const struct figure *wished(const struct trial *trial, const struct wish *wish)
{
    const struct judged *j =
        judge_worst(trial->judgement, trial->setup->variant, wish->subject, wish->measure);
    return j ? &j->figure : NULL;
}

double find_figure(const struct trial *trial, const struct wish *wish)
{
    const struct figure *f = wished(trial, wish);
    return f ? f->value : (double)NAN;
}

bool find_figure_known(struct find_runs *r, const struct trial *trial, const struct wish *wish)
{
    const struct judgement *j = trial->judgement;
    suggest_words subjects = {0}, measures = {0};
    for (int i = 0; i < j->all.n; i++) {
        const struct figure *figure = &j->all.at[i].figure;
        if (i == 0 || strcmp(figure->subject, j->all.at[i - 1].figure.subject) != 0)
            array_push(r->arena, &subjects, figure->subject);
        if (strcmp(figure->subject, wish->subject) == 0)
            array_push(r->arena, &measures, figure->measure);
    }
    const struct figure *found = wished(trial, wish);
    struct place at = {wish->text, 0, 0};
    if (!found && measures.n > 0)
        diags_add(r->diags, DIAG_ERROR, at, suggest(r->arena, wish->measure, &measures),
                  "`%s` has no figure `%s`", wish->subject, wish->measure);
    else if (!found)
        diags_add(r->diags, DIAG_ERROR, at, suggest(r->arena, wish->subject, &subjects),
                  "no figure is told of `%s`", wish->subject);
    else if (found->unit != wish->unit)
        diags_add(r->diags, DIAG_ERROR, at, NULL, "`%s` is told in %s, not in %s", wish->measure,
                  quantity_kind(found->unit), quantity_kind(wish->unit));
    return found && found->unit == wish->unit;
}

/* ---- loads ---- */

/* An output stage draws what its tubes draw. */
static bool is_scalable(const struct part *part)
{
    return strcmp(part->kind->name, "load") == 0 && !part_node(part, "tube");
}

void find_runs_loads(struct find_runs *r, const struct trial *trial)
{
    const struct set *set = trial->setup->stages.at[0].set;
    const char **names = ARENA_ARRAY(r->arena, const char *, set->parts.n);
    r->load_count = 0;
    for (int i = 0; i < set->parts.n; i++)
        if (is_scalable(set->parts.at[i]) && r->load_count < ASSIGNMENTS - r->changes)
            names[r->load_count++] = set->parts.at[i]->name;
    r->loads = names;
}

/* ---- values ---- */

/* Three digits are round enough to read, and do for a bracket. */
double find_grid_value(const struct changed *changed, int i, int n)
{
    double v = changed->low * pow(changed->high / changed->low, (double)i / (n - 1));
    char out[64];
    struct complaint why;
    quantity_text(v, changed->unit, 3, out, sizeof out);
    quantity_parse(out, changed->unit, &v, &why);
    return v;
}

int find_neighbours(const struct changed *changed, enum preferred_series series, double value,
                    double near[2])
{
    enum unit unit = changed->unit;
    if (unit != UNIT_OHM && unit != UNIT_FARAD && unit != UNIT_HENRY) return 0;
    near[0] = preferred_below(series, value);
    near[1] = preferred_above(series, value);
    return fabs(near[1] - near[0]) <= 1e-9 * value ? 1 : 2;
}
