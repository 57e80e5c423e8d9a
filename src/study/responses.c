/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One piece of work is a cause with all its severities and tolerances. Every run of a piece begins
 * at the sound set's steady state of its situation, those with a tolerance moved at the cause's
 * own, so that the digits do not depend on the number of threads. */
#include "responses.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "pool.h"
#include "steady.h"

#define ONE_SIGMA 0.841344746068543 /* quantile of a normal deviate of 1 */
#define MOVES 1e-3                  /* least share of a reading by which a tolerance counts */
#define EUROPE 160.0                /* line volts from which lamps are those of 230 V */
#define WAIT 10.0                   /* a run where no steady state was found at once [s] */

/* ---- one run ---- */

struct laying {
    struct responses_single single;
    int tolerance; /* in r->tolerances that is moved; -1: none */
};

static double moved_value(const struct responses *r, int tolerance, int i)
{
    const struct uncertain *v = &r->uncertain.values.at[i];
    return tolerance >= 0 && v->group == r->tolerances.at[tolerance].group
               ? uncertain_quantile(v, ONE_SIGMA)
               : (double)NAN;
}

/* Whether a fault states a value anew: `emission left` of a tube its `emission`; another type all of
 * the tube that is out. */
static bool stated(const struct responses_single *single, const struct uncertain *v)
{
    size_t n = strlen(v->key);
    for (int i = 0; i < 2; i++) {
        const struct cause *c = single->cause[i];
        const char *key = c && c->fault ? c->fault->severity.key : NULL;
        if (c && c->special == SPECIAL_OTHER_TYPE && strcmp(c->part, v->part) == 0) return true;
        if (key && strcmp(c->part, v->part) == 0 && strncmp(key, v->key, n) == 0 && key[n] == ' ')
            return true;
    }
    return false;
}

static const struct setup *set_up(struct arena *arena, const struct responses *r, int situation,
                                  const struct laying *l)
{
    struct overrides o = overrides_new(arena);
    const struct responses_single *single = &l->single;
    for (int i = 0; i < r->uncertain.values.n; i++) {
        const struct uncertain *v = &r->uncertain.values.at[i];
        double value = single->values ? single->values[i] : moved_value(r, l->tolerance, i);
        if (!isnan(value) && !stated(single, v)) uncertain_lay(&o, v, value);
    }
    if (single->lay) single->lay(&o, single->context);
    if (situation >= 0) question_lay(&o, r->set, &r->q, &r->q.situations.at[situation]);
    for (int i = 0; i < 2; i++)
        if (single->cause[i]) cause_lay(&o, r->set, single->cause[i], single->severity[i]);
    const struct setup *setup =
        overrides_setup(&o, diags_new(arena), r->scenario, r->variant, "diagnose");
    if (!setup) return NULL;
    struct setup *first = ARENA_NEW(arena, struct setup);
    *first = *setup;
    first->stages.n = 1;
    if (single->alter) single->alter(first, single->context);
    return first;
}

/* Whether transformers, coils and cans are as warm as they get when this is read. */
static bool warmed(const struct responses *r, int situation)
{
    const struct reading_set *set = r->q.situations.at[situation].set;
    return set && set->after >= DIAGNOSE_WARMED;
}

/* The steady state, or what a run of some seconds comes to; NULL: neither. */
static const struct result *solve(struct arena *arena, const struct setup *setup,
                                  const struct steady *near, bool warmed, bool patient,
                                  const struct steady **found)
{
    struct steady_options o = {.near = near, .bodies_stay = !warmed};
    const struct steady *d = steady_solve(arena, setup, &o);
    if (d->status != STATUS_OK && near) {
        o.near = NULL;
        d = steady_solve(arena, setup, &o);
    }
    *found = d->status == STATUS_OK ? d : NULL;
    if (*found) return d->result;
    if (!patient) return NULL;
    struct run_options wait = run_defaults();
    wait.duration = WAIT;
    wait.hot = 1;
    wait.until_settled = true;
    wait.no_bleed = true;
    wait.angle = PI / 2;
    const struct result *r = run_simulate(arena, setup, &wait);
    return r->status == STATUS_OK ? r : NULL;
}

/* What is asked of one situation (-1: dead), into y [width]. */
static enum answer ask(struct arena *arena, const struct responses *r, int situation,
                       const struct laying *l, const struct steady *near,
                       const struct steady **found, double *y)
{
    const struct setup *setup = set_up(arena, r, situation, l);
    const struct result *result = NULL;
    *found = NULL;
    if (!setup) return ANSWER_ABSENT;
    const struct set *set = setup->stages.at[0].set;
    bool sound_on_lamp = situation == r->q.lamp && !l->single.cause[0];
    if (situation >= 0)
        result = solve(arena, setup, near, warmed(r, situation),
                       situation != r->q.lamp || sound_on_lamp, found);
    for (int i = 0; i < r->q.reads.n; i++)
        if (r->q.reads.at[i].situation == situation)
            y[i] = question_read(arena, &r->q, &r->q.reads.at[i], set, result);
    for (int i = 0; i < r->q.signs.n; i++)
        if (r->q.signs.at[i].situation == situation)
            y[r->q.reads.n + i] = question_sign(&r->q.signs.at[i], set, result);
    return situation < 0 || result ? ANSWER_MADE : ANSWER_NONE;
}

static bool asked(const struct responses *r, int situation)
{
    for (int i = 0; i < r->q.reads.n; i++)
        if (r->q.reads.at[i].situation == situation) return true;
    for (int i = 0; i < r->q.signs.n; i++)
        if (r->q.signs.at[i].situation == situation) return true;
    return false;
}

/* ---- pieces ---- */

struct piece {
    struct arena *arena;
    struct answers answers;
    long runs, failed;
    bool done, stopped; /* neither: memory ran out */
};

struct filling {
    struct responses *r;
    const struct responses_task *task;
    const struct responses_options *options;
    struct piece *pieces; /* [n] */
    bool interrupted, exhausted;
};

static struct answers answers_new(struct arena *arena, const struct responses *r, int cause)
{
    const int nodes = r->causes.at[cause].nodes;
    struct answers a = {.at = ARENA_ARRAY(arena, double, nodes * r->width),
                        .slope =
                            ARENA_ARRAY(arena, double, nodes * r->tolerances.n * r->q.reads.n + 1)};
    for (int i = 0; i < nodes * r->width; i++) a.at[i] = (double)NAN;
    for (int k = 0; k < CAUSE_NODES; k++) a.made[k] = ANSWER_MADE;
    return a;
}

static bool node_wanted(const struct filling *f, int cause, int node)
{
    return !f->task->wanted || f->task->wanted(f->task->context, cause, node);
}

static bool node_sloped(const struct filling *f, int cause, int node)
{
    return f->task->sloped && f->task->sloped(f->task->context, cause, node);
}

static ptrdiff_t slope_at(const struct responses *r, int node)
{
    return (ptrdiff_t)node * r->tolerances.n * r->q.reads.n;
}

const double *responses_slope(const struct responses *r, int cause, int node)
{
    return r->of[cause].slope + slope_at(r, node);
}

/* Tolerances moved at one node, from its own steady state. Not on a lamp, where each would take a
 * search of its own. */
static void take_slopes(struct filling *f, struct piece *p, struct arena *scratch, int situation,
                        const struct laying *l, const struct steady *own, const double *y,
                        double *slope)
{
    const struct responses *r = f->r;
    struct laying moved = *l;
    for (int t = 0; t < r->tolerances.n; t++) {
        const struct steady *ignored;
        double *z = ARENA_ARRAY(scratch, double, r->width);
        moved.tolerance = t;
        for (int i = 0; i < r->width; i++) z[i] = (double)NAN;
        bool made = ask(scratch, r, situation, &moved, own, &ignored, z) == ANSWER_MADE;
        p->runs++;
        for (int i = 0; i < r->q.reads.n; i++)
            if (r->q.reads.at[i].situation == situation)
                slope[t * r->q.reads.n + i] = made ? z[i] - y[i] : 0;
        arena_clear(scratch);
    }
}

static void make_node(struct filling *f, struct piece *p, int cause, int node, int situation,
                      struct arena *scratch, struct arena *kept)
{
    const struct responses *r = f->r;
    const struct cause *c = &r->causes.at[cause];
    const struct laying l = {{.cause = {c}, .severity = {c->severity[node]}}, -1};
    const struct steady *own, *near = situation >= 0 ? r->near[situation] : NULL;
    double *y = p->answers.at + (ptrdiff_t)node * r->width;
    bool sloped = node_sloped(f, cause, node);
    enum answer made = ask(sloped ? kept : scratch, r, situation, &l, near, &own, y);
    p->runs++;
    p->failed += made == ANSWER_NONE;
    if (made < p->answers.made[node]) p->answers.made[node] = made;
    p->answers.sloped[node] |= sloped;
    if (sloped && made == ANSWER_MADE && (situation < 0 || situation != r->q.lamp))
        take_slopes(f, p, scratch, situation, &l, own, y, p->answers.slope + slope_at(r, node));
    arena_clear(scratch);
    arena_clear(kept);
}

static void make_piece(void *context, int i)
{
    struct filling *f = context;
    struct piece *p = &f->pieces[i];
    const int cause = f->task->cause[i];
    const struct responses *r = f->r;
    struct arena *scratch = arena_scratch(p->arena), *kept = arena_scratch(p->arena);
    p->answers = answers_new(p->arena, r, cause);
    for (int situation = f->task->from; situation < f->task->to; situation++)
        for (int node = 0; asked(r, situation) && node < r->causes.at[cause].nodes; node++) {
            if (!node_wanted(f, cause, node)) continue;
            make_node(f, p, cause, node, situation, scratch, kept);
            p->stopped = f->options->progress && f->options->progress(NULL, 0);
            if (p->stopped) return;
        }
    p->done = true;
}

static void work(void *context, int i)
{
    struct filling *f = context;
    f->pieces[i].arena = arena_new();
    pool_within(f->pieces[i].arena, make_piece, context, i);
}

static void keep(struct filling *f, const struct piece *p, int cause)
{
    struct responses *r = f->r;
    struct answers *a = &r->of[cause];
    const int reads = r->q.reads.n;
    for (int node = 0; node < r->causes.at[cause].nodes; node++) {
        if (!node_wanted(f, cause, node)) continue;
        if (p->answers.made[node] < a->made[node]) a->made[node] = p->answers.made[node];
        a->sloped[node] |= p->answers.sloped[node];
        for (int i = 0; i < r->width; i++) {
            double y = p->answers.at[node * r->width + i];
            if (!isnan(y)) a->at[node * r->width + i] = y;
        }
        for (int i = 0; i < r->tolerances.n * reads && p->answers.sloped[node]; i++) {
            int s = r->q.reads.at[i % reads].situation;
            ptrdiff_t at = slope_at(r, node) + i;
            if (s >= f->task->from && s < f->task->to) a->slope[at] = p->answers.slope[at];
        }
    }
}

static bool take(void *context, int i)
{
    struct filling *f = context;
    struct piece *p = &f->pieces[i];
    if (p->done) keep(f, p, f->task->cause[i]);
    else f->interrupted = p->stopped, f->exhausted = !p->stopped;
    f->r->runs += p->runs;
    f->r->failed += p->failed;
    if (p->arena) arena_free(p->arena);
    p->arena = NULL;
    if (f->options->done) f->options->done(f->options->done_context, i + 1, f->task->n);
    return p->done;
}

bool responses_fill(struct arena *arena, struct responses *r, const struct responses_task *task,
                    const struct responses_options *options)
{
    struct filling f = {.r = r,
                        .task = task,
                        .options = options,
                        .pieces = ARENA_ARRAY(arena, struct piece, task->n + 1)};
    int jobs = options->jobs > 0 ? options->jobs : pool_processors();
    if (jobs > POOL_JOBS) jobs = POOL_JOBS;
    bool good = pool_run(task->n, jobs, task->n, work, take, &f);
    for (int i = 0; i < task->n; i++)
        if (f.pieces[i].arena) arena_free(f.pieces[i].arena);
    if (f.exhausted || (!good && !f.interrupted)) arena_exhausted(arena);
    return good;
}

/* ---- the sound set ---- */

static void check_figure(struct diags *diags, const struct responses *r, const struct read *read)
{
    if (!isnan(read->sound)) return;
    diags_add(diags, DIAG_ERROR, read->what.place,
              "name a point, part or winding and a measure as in figures.csv",
              "nothing gives `%s` of the set in `%s`", read->label,
              read->situation >= 0 ? r->q.situations.at[read->situation].name : "the set dead");
}

static double settled_volts(const struct result *result, const char *subject)
{
    const struct figure *f = run_figure(result, subject, MEASURE_SETTLED_VOLTAGE);
    return f ? fabs(f->value) : 0;
}

static void note_sound(struct arena *arena, struct responses *r, int situation,
                       const struct steady *found, const double *y)
{
    for (int i = 0; i < r->q.reads.n; i++) {
        struct read *read = &r->q.reads.at[i];
        const struct meter_reading *m = &read->what;
        if (read->situation != situation) continue;
        read->sound = y[i];
        if (situation < 0) read->assumed = question_assumed(arena, read, r->set);
        read->ripple = measure_table[m->measure].moved_by & EFFECT_RIPPLE ||
                       (m->alternating && found && settled_volts(found->result, m->subject) > y[i]);
    }
}

/* Where nothing is told of the lamp, the smallest that takes the set's watts: from memory. */
static void choose_lamp(struct arena *arena, struct responses *r, struct situation *s)
{
    static const int watts[] = {25, 40, 60, 100, 150};
    double needs = HUGE_VAL;
    size_t i = 0;
    for (int k = 0; k < r->q.reads.n; k++)
        if (r->q.reads.at[k].unit == UNIT_WATT && r->q.reads.at[k].sound > 0)
            needs = r->q.reads.at[k].sound;
    while (i + 1 < sizeof watts / sizeof watts[0] && watts[i] < needs) i++;
    s->lamp =
        arena_printf(arena, "%d W %s", watts[i], r->set->line_volts > EUROPE ? "230 V" : "120 V");
}

static bool run_sound(struct arena *arena, struct responses *r)
{
    const struct laying l = {.tolerance = -1};
    for (int s = -1; s < r->q.situations.n; s++) {
        const struct steady *found;
        if (!asked(r, s)) continue;
        if (s >= 0 && s == r->q.lamp) choose_lamp(arena, r, &r->q.situations.at[s]);
        if (ask(arena, r, s, &l, NULL, &found, r->of[0].at) != ANSWER_MADE) return false;
        if (s >= 0) r->near[s] = found;
        note_sound(arena, r, s, found, r->of[0].at);
    }
    return true;
}

static bool yes(void *context, int cause, int node)
{
    (void)context, (void)cause, (void)node;
    return true;
}

static int known_as(const struct known *known, const char *key)
{
    int i = known ? known->n - 1 : -1;
    while (i >= 0 && strcmp(known->key[i], key) != 0) i--;
    return i;
}

/* All that is uncertain, moved at the sound set; kept is what moves any of its readings. */
static bool choose_tolerances(struct arena *arena, struct responses *r,
                              const struct responses_options *options)
{
    static const int sound = 0;
    const int reads = r->q.reads.n;
    const struct responses_task all = {
        .cause = &sound, .n = 1, .from = -1, .to = r->q.situations.n, .sloped = yes};
    struct answers *a = &r->of[sound];
    for (int g = 0; g < r->uncertain.groups.n; g++) {
        const struct uncertain *v = &r->uncertain.values.at[r->uncertain.groups.at[g].first];
        double by = uncertain_quantile(v, ONE_SIGMA) - v->value;
        double deviation = uncertain_deviation(v);
        const int known = known_as(r->known, r->uncertain.groups.at[g].key);
        double shift =
            known < 0 ? (uncertain_mean(v) - v->value) / deviation : r->known->shift[known];
        double width = known < 0 && v->from != UNCERTAIN_STATED ? DIAGNOSE_WIDER : 1;
        if (by != 0 && isfinite(by) && deviation > 0)
            array_push(
                arena, &r->tolerances,
                (struct tolerance_moved){g, width * deviation / by, shift / width, width, known});
    }
    a->slope = ARENA_ARRAY(arena, double, r->tolerances.n *reads + 1);
    if (!responses_fill(arena, r, &all, options)) return false;
    int kept = 0;
    for (int t = 0; t < r->tolerances.n; t++) {
        const double *slope = a->slope + (ptrdiff_t)t * reads;
        bool moves = false;
        for (int i = 0; i < reads; i++)
            moves |= isfinite(slope[i]) && fabs(slope[i]) > MOVES * fabs(r->q.reads.at[i].sound);
        if (!moves) continue;
        memmove(a->slope + (ptrdiff_t)kept * reads, slope, (size_t)reads * sizeof *slope);
        r->tolerances.at[kept++] = r->tolerances.at[t];
    }
    r->tolerances.n = kept;
    return true;
}

bool responses_begin(struct arena *arena, struct diags *diags, struct responses *r,
                     const struct responses_options *options, enum status *status)
{
    const int errors = diags_errors(diags);
    r->width = r->q.reads.n + r->q.signs.n;
    r->near = ARENA_ARRAY(arena, const struct steady *, r->q.situations.n + 1);
    r->of = ARENA_ARRAY(arena, struct answers, r->causes.n);
    r->of[0] = answers_new(arena, r, 0);
    r->known = options->known;
    *status = STATUS_SOLUTION;
    if (!run_sound(arena, r)) return false;
    *status = STATUS_SCENARIO;
    for (int i = 0; i < r->q.read; i++) check_figure(diags, r, &r->q.reads.at[i]);
    if (diags_errors(diags) > errors) return false;
    *status = STATUS_INTERRUPTED;
    if (!choose_tolerances(arena, r, options)) return false;
    for (int c = 1; c < r->causes.n; c++) r->of[c] = answers_new(arena, r, c);
    *status = STATUS_OK;
    return true;
}

bool responses_single(struct arena *arena, const struct responses *r,
                      const struct responses_single *single, int situations, double *y)
{
    const struct laying l = {*single, -1};
    for (int i = 0; i < r->width; i++) y[i] = (double)NAN;
    for (int s = -1; s < situations; s++) {
        const struct steady *found;
        const struct steady *near = s >= 0 ? r->near[s] : NULL;
        if (asked(r, s) && ask(arena, r, s, &l, near, &found, y) != ANSWER_MADE) return false;
    }
    return true;
}
