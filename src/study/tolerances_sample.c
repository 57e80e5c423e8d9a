/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tolerances_sample.h"

#include <math.h>

#include "numbers.h"
#include "turn_on.h"

/* ---- setups ---- */

const struct setup *tolerances_sample_untimed(struct arena *arena, const struct setup *setup)
{
    struct setup *first = ARENA_NEW(arena, struct setup);
    *first = *setup;
    first->stages.n = 1;
    return first;
}

static const struct setup *set_up(struct arena *arena, struct diags *diags,
                                  const struct tolerances_common *c, const double *values,
                                  bool before)
{
    struct overrides o = overrides_new(arena);
    if (values) uncertain_lay_all(&o, c->list, values);
    for (int i = 0; before && i < c->waits; i++)
        overrides_text(&o, c->waiting[i], "condition", "open");
    const struct setup *setup =
        overrides_setup(&o, diags, c->scenario, c->variant, "one of many sets");
    return setup && c->options->untimed ? tolerances_sample_untimed(arena, setup) : setup;
}

/* ---- runs ---- */

int tolerances_sample_asks(void *context, double done)
{
    const struct tolerances_common *c = context;
    (void)done;
    return c->options->interrupted && c->options->interrupted();
}

static bool closes(const struct setup *setup)
{
    return setup->stages.at[0].mains_source >= 0 && setup->stages.at[0].mains_on;
}

/* Where no steady state is found at once, a run waits for it. */
static const struct result *settle(struct arena *arena, const struct tolerances_common *c,
                                   const struct setup *setup, const struct steady *near,
                                   bool *waited)
{
    const double least = 30; /* [s] */
    struct steady_options so = {
        .near = near, .progress = tolerances_sample_asks, .progress_context = (void *)c};
    const struct steady *steady = steady_solve(arena, setup, &so);
    if (steady->status != STATUS_OK && near && !c->options->only_steady) {
        so.near = NULL;
        steady = steady_solve(arena, setup, &so);
    }
    if (steady->status == STATUS_OK) return steady->result;
    if (c->options->only_steady) return NULL;
    *waited = true;
    struct run_options o = run_defaults();
    o.hot = 1;
    o.until_settled = o.steady = o.no_bleed = true;
    o.duration = larger(setup->duration, least);
    if (closes(setup)) o.angle = PI / 2;
    o.progress = tolerances_sample_asks;
    o.progress_context = (void *)c;
    return run_simulate(arena, setup, &o);
}

static bool take(struct arena *arena, const struct tolerances_common *c,
                 struct tolerances_sample *s, const struct setup *setup, const struct result *r,
                 enum tolerances_of of)
{
    s->status = r ? r->status : STATUS_SOLUTION;
    if (s->status != STATUS_OK)
        s->why = r ? failure_of_run(arena, r, FAILURE_NAMED, NULL)
                   : (struct failure){.cause = FAILURE_UNSETTLED};
    if (r && r->status == STATUS_OK && r->statistics.audit_failed)
        s->status = STATUS_SOLUTION, s->why = (struct failure){.cause = FAILURE_AUDIT};
    if (s->status == STATUS_OK) s->judgement[of] = judge(arena, setup, &r, &c->names[of], 1);
    return s->status == STATUS_OK;
}

static void make_hot(struct arena *arena, const struct tolerances_common *c,
                     struct tolerances_sample *s, const struct setup *setup, const double *values)
{
    const struct result *r = settle(arena, c, setup, c->near, &s->waited[TOLERANCES_RUN]);
    if (!take(arena, c, s, setup, r, TOLERANCES_RUN) || !c->before) return;
    const struct setup *before = set_up(arena, diags_new(arena), c, values, true);
    if (!before) return;
    r = settle(arena, c, before, c->before, &s->waited[TOLERANCES_BEFORE]);
    take(arena, c, s, before, r, TOLERANCES_BEFORE);
}

static void make_cold(struct arena *arena, const struct tolerances_common *c,
                      struct tolerances_sample *s, const struct setup *setup)
{
    struct run_options o = run_defaults();
    o.duration = c->options->duration;
    o.no_bleed = true;
    o.angle = c->angle;
    o.progress = tolerances_sample_asks;
    o.progress_context = (void *)c;
    const struct result *r = run_simulate(arena, setup, &o);
    s->closing_angle = r->closing_angle;
    if (!take(arena, c, s, setup, r, TOLERANCES_RUN) || !closes(setup) || setup->hot) return;
    r = turn_on_first_cycles(arena, setup, s->closing_angle, 0, false);
    take(arena, c, s, setup, r, TOLERANCES_RESTART);
}

struct tolerances_sample *
tolerances_sample_make(struct arena *arena, const struct tolerances_common *c, const double *values)
{
    struct tolerances_sample *s = ARENA_NEW(arena, struct tolerances_sample);
    struct diags *diags = diags_new(arena);
    const struct setup *setup = set_up(arena, diags, c, values, false);
    s->closing_angle = c->angle;
    if (!setup) {
        s->status = STATUS_SCENARIO;
        s->why = (struct failure){.cause = FAILURE_SETUP,
                                  .message =
                                      diags_count(diags) > 0 ? diags_at(diags, 0)->message : NULL};
        return s;
    }
    if (c->options->cold) make_cold(arena, c, s, setup);
    else make_hot(arena, c, s, setup, values);
    return s;
}

/* ---- the scenario as it is ---- */

static void find_waiting(struct arena *arena, const struct setup *setup,
                         struct tolerances_common *c)
{
    ARRAY(const char *) waiting = {0};
    const struct set *set = setup->stages.at[0].set;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (part_is(p, ROLE_LOAD) && p->heater_count > 0) array_push(arena, &waiting, p->name);
    }
    c->waiting = waiting.at;
    c->waits = waiting.n;
}

void tolerances_sample_prepare(struct arena *arena, const struct setup *setup,
                               struct tolerances_common *c)
{
    const char *name = setup->variant;
    c->names[TOLERANCES_RUN] = name;
    c->names[TOLERANCES_BEFORE] = arena_printf(arena, "%s (before the tubes draw)", name);
    c->names[TOLERANCES_RESTART] = arena_printf(arena, "%s (hot restart)", name);
    c->angle = (double)NAN;
    if (c->options->cold) return;
    const struct steady_options so = {.progress = tolerances_sample_asks, .progress_context = c};
    const struct steady *steady = steady_solve(arena, setup, &so);
    if (steady->status == STATUS_OK) c->near = steady;
    if (setup->stages.n > 1 || setup->hot || c->options->only_steady) return;
    find_waiting(arena, setup, c);
    const struct setup *before =
        c->waits > 0 ? set_up(arena, diags_new(arena), c, NULL, true) : NULL;
    if (!before) return;
    steady = steady_solve(arena, before, &so);
    if (steady->status == STATUS_OK) c->before = steady;
}
