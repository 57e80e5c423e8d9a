/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Three states and one judgement. The restart lasts a few cycles only, so of its figures those
 * stand that a few cycles can tell: highest values and the first pulse; means and settled values
 * would be those of capacitors still charging, and a reversal of milliseconds is not what a limit
 * means. */
#include "turn_on.h"

#include <math.h>
#include <string.h>

#include "warm.h"

enum { RESTART_CYCLES = 6 }; /* the peak comes in the first; the highest voltage within these */

static bool has_rectifier(const struct circuit *c)
{
    for (int i = 0; i < c->probes.n; i++)
        if (c->probes.at[i].flags & PROBE_RECTIFIER) return true;
    return false;
}

/* No restart without mains to come back, unless a battery feeds the set. */
static bool fed(const struct stage *stage)
{
    return stage->mains_source < 0 || stage->mains_on;
}

static bool restart_wanted(const struct setup *setup, const struct run_options *o,
                           const struct result *run)
{
    const struct stage *first = &setup->stages.at[0];
    bool hot = setup->hot || o->hot;
    return run->status == STATUS_OK && !hot && fed(first) && has_rectifier(first->circuit);
}

/* The run itself has searched for the worst angle when nobody gave one. */
static double worst_angle(struct arena *arena, const struct setup *setup,
                          const struct run_options *o, const struct result *run)
{
    const struct stage *first = &setup->stages.at[0];
    if (first->mains_source < 0) return 0;
    if (isnan(o->angle) && first->closes_worst) return run->closing_angle;
    return run_worst_angle(arena, setup, o);
}

static void keep_told(struct result *r)
{
    int kept = 0;
    for (int i = 0; i < r->figures.n; i++)
        if (measure_table[r->figures.at[i].measure].restart != RESTART_NO)
            r->figures.at[kept++] = r->figures.at[i];
    r->figures.n = kept;
}

const struct result *turn_on_first_cycles(struct arena *arena, const struct setup *setup,
                                          double angle, double tolerance, bool trace)
{
    struct run_options o = run_defaults();
    o.tolerance = tolerance;
    o.trace = trace;
    o.hot = 1;
    o.duration = RESTART_CYCLES / setup->frequency;
    o.angle = angle;
    struct result *r = run_simulate(arena, setup, &o);
    keep_told(r);
    return r;
}

/* A gas rectifier that passes nothing has not struck: alight it would burn on, and a steady state
 * would be that of a set that began otherwise. */
static bool strikes(const struct result *run)
{
    const struct set *set = run->setup->stages.at[run->setup->stages.n - 1].set;
    for (int i = 0; i < set->ratings.n; i++) {
        const struct rating *r = &set->ratings.at[i];
        const struct figure *f = run_figure(run, r->subject, r->measure);
        if (r->harm == HARM_STARVED && f && f->value == 0) return false;
    }
    return true;
}

/* After a fuse that has blown, the set that goes on for hours is another. */
static bool warms_up(const struct result *run)
{
    if (run->status != STATUS_OK || !strikes(run)) return false;
    for (int i = 0; i < run->figures.n; i++) {
        const struct figure *f = &run->figures.at[i];
        bool trips = f->measure == MEASURE_OPENS_AT || f->measure == MEASURE_SHORTS_AT;
        if (trips && isfinite(f->value)) return false;
    }
    return true;
}

struct turn_on *turn_on(struct arena *arena, const struct setup *setup,
                        const struct run_options *options)
{
    struct turn_on *t = ARENA_NEW(arena, struct turn_on);
    t->setup = setup;
    t->run = run_simulate(arena, setup, options);
    t->status = t->run->status;
    if (restart_wanted(setup, options, t->run)) {
        double angle = worst_angle(arena, setup, options, t->run);
        t->restart = turn_on_first_cycles(arena, setup, angle, options->tolerance, options->trace);
        t->status = t->restart->status;
    }
    const struct warm_options warm = {.progress = options->progress,
                                      .progress_context = options->progress_context};
    if (warms_up(t->run)) t->warm = warm_steady(arena, setup, &warm);
    t->restart_name = arena_printf(arena, "%s (hot restart)", setup->variant);
    t->warm_name = warm_name(arena, setup->variant);
    const struct result *runs[3] = {t->run};
    const char *names[3] = {setup->variant};
    int n = 1;
    if (t->restart) {
        runs[n] = t->restart;
        names[n++] = t->restart_name;
    }
    if (t->warm) {
        runs[n] = t->warm;
        names[n++] = t->warm_name;
    }
    t->judgement = judge(arena, setup, runs, names, n);
    return t;
}
