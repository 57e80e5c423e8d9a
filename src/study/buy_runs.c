/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each worst case is the variant with keys laid over it: raised mains, new parts, open loads,
 * diodes. All are set up before the first run. */
#include "buy_runs.h"

#include <math.h>
#include <string.h>

#include "ends.h"
#include "numbers.h"
#include "overrides.h"
#include "pool.h"
#include "tongue.h"
#include "trial.h"
#include "warm.h"

#define NEW_PARTS "new parts"
#define LEAST_TIME 30 /* of a run in which cathodes warm up or volts settle [s] */

struct maker {
    struct arena *arena;
    const struct scenario *s;
    const char *variant;
    const struct set *set; /* as drawn */
    struct buy_list *list;
};

/* ---- what is laid over ---- */

static void sound(struct overrides *o, const struct part *part)
{
    if (part_condition(part)) overrides_text(o, part->name, "condition", "good");
}

/* With the loads open the leakage of new parts, of which a sheet tells no more than the limit, is
 * not counted on to hold volts down. */
static void lay_no_leakage(struct overrides *o, const struct part *part)
{
    bool replaced = part_is(part, ROLE_ELECTROLYTIC);
    if (replaced || capacitor_leak_assumed(part)) overrides_text(o, part->name, "leakage", "none");
}

static double proposed(const struct buy_list *list, const struct part *part)
{
    const struct capacitor *c = part->data;
    double farads = buy_farads(c->nominal);
    for (int i = 0; i < list->smaller.n; i++)
        for (int k = 0;
             strcmp(list->smaller.at[i].name, part->name) == 0 && k < list->smaller.at[i].sizes;
             k++)
            farads = buy_farads_below(farads);
    return farads;
}

static void lay_capacitor(const struct buy_list *list, struct overrides *o, const struct part *part)
{
    static const char *const old[] = {"series resistance", "power factor", "leakage"};
    const struct capacitor *c = part->data;
    overrides_value(o, part->name, "value", proposed(list, part), UNIT_FARAD);
    sound(o, part);
    if (!capacitor_electrolytic(c)) return;
    overrides_text(o, part->name, "make", "modern");
    for (int i = 0; i < 3; i++) overrides_text(o, part->name, old[i], "unknown");
}

/* A new type drops the keys that described the old one. */
static void lay_silicon(struct overrides *o, const struct part *part)
{
    overrides_text(o, part->name, "type", "1N4007");
}

/* The mains; where there are none, the batteries. */
static void lay_line(struct maker *m, struct overrides *o)
{
    struct buy_list *list = m->list;
    list->line = m->set->mains_volts;
    if (list->line > 0) {
        list->raised = (1 + BUY_RAISED) * list->line;
        overrides_value(o, "mains", "voltage", list->raised, UNIT_VOLT);
        return;
    }
    for (int i = 0; i < m->set->parts.n; i++) {
        const struct part *part = m->set->parts.at[i];
        if (part_is(part, ROLE_SOURCE))
            overrides_value(o, part->name, "voltage", (1 + BUY_RAISED) * part_volts(part),
                            UNIT_VOLT);
    }
}

static struct overrides overrides_of(struct maker *m, enum buy_run run)
{
    struct overrides o = overrides_new(m->arena);
    bool open = run == BUY_OPEN || run == BUY_SILICON_OPEN;
    bool silicon = run == BUY_SILICON || run == BUY_SILICON_OPEN;
    lay_line(m, &o);
    if (run == BUY_COLD && scenario_value(m->arena, m->s, m->variant, "run.start"))
        overrides_text(&o, "run", "start", "cold");
    for (int i = 0; i < m->set->parts.n; i++) {
        const struct part *part = m->set->parts.at[i];
        if (buy_is_filter(part)) lay_capacitor(m->list, &o, part);
        if (open && part_is(part, ROLE_CAPACITOR)) lay_no_leakage(&o, part);
        if (part_is(part, ROLE_RESISTOR | ROLE_RECTIFIER)) sound(&o, part);
        if (silicon && buy_is_replaced(part)) lay_silicon(&o, part);
        if (open && part_is(part, ROLE_LOAD)) overrides_text(&o, part->name, "condition", "open");
    }
    return o;
}

/* ---- setting up ---- */

static bool any(const struct set *set, bool (*what)(const struct part *))
{
    for (int i = 0; i < set->parts.n; i++)
        if (what(set->parts.at[i])) return true;
    return false;
}

static bool limits_the_line(const struct part *part)
{
    return part->in_plug && part_is(part, ROLE_LAMP | ROLE_LIMITER);
}

static const struct tongue names[BUY_RUNS] = {
    US_UK_ROW("line +10 %, hot", "mains +10 %, hot"),
    US_UK_ROW("line +10 %, cold start", "mains +10 %, cold start"),
    US_UK_ROW("line +10 %, load open", "mains +10 %, load open"),
    US_UK_ROW("silicon, line +10 %, hot", "silicon, mains +10 %, hot"),
    US_UK_ROW("silicon, line +10 %, load open", "silicon, mains +10 %, load open")};

static const char *of_variant(const struct maker *m, const char *name)
{
    return m->variant ? arena_printf(m->arena, "%s, %s", m->variant, name) : name;
}

/* A proposal of silicon that does not fit the scenario is left out; the others must be right. */
static bool set_up(struct maker *m, struct diags *diags)
{
    bool loads = part_with(m->set, ROLE_LOAD), old = any(m->set, buy_is_replaced);
    struct buy_list *list = m->list;
    for (int r = 0; r < BUY_RUNS; r++) {
        bool silicon = r == BUY_SILICON || r == BUY_SILICON_OPEN;
        if ((r == BUY_OPEN || r == BUY_SILICON_OPEN) && !loads) continue;
        if (silicon && !old) continue;
        struct overrides o = overrides_of(m, (enum buy_run)r);
        list->label[r] = of_variant(m, names[r].us);
        list->called[r] = of_variant(m, tongue_says(names[r]));
        struct diags *told = silicon ? diags_new(m->arena) : diags;
        list->setup[r] = overrides_setup(&o, told, m->s, m->variant, list->label[r]);
        if (!list->setup[r] && !silicon) return false;
    }
    return true;
}

/* ---- running ---- */

static bool warms(const struct circuit *c)
{
    for (int i = 0; i < c->states.n; i++)
        if (c->states.at[i].is_temperature && c->states.at[i].hot > c->states.at[i].cold)
            return true;
    return false;
}

static const struct result *simulate(struct arena *arena, const struct setup *setup, int run,
                                     const struct buy_options *o)
{
    const struct stage *first = &setup->stages.at[0];
    if (run == BUY_COLD) {
        struct run_options r = run_defaults();
        r.no_bleed = true;
        r.progress = o->progress;
        r.progress_context = o->progress_context;
        r.duration = o->duration > 0         ? o->duration
                     : warms(first->circuit) ? larger(setup->duration, LEAST_TIME)
                                             : setup->duration;
        return run_simulate(arena, setup, &r);
    }
    const struct warm_options w = {
        .pulses = true, .progress = o->progress, .progress_context = o->progress_context};
    return warm_run(arena, setup, &w);
}

struct batch {
    struct buy_list *list;
    const struct buy_options *options;
    struct arena *arenas[BUY_RUNS];
    int order[BUY_RUNS];
    int n;
};

static void make(void *context, int i)
{
    struct batch *b = context;
    int r = b->order[i];
    struct arena *arena = b->arenas[i];
    const struct setup *setup = b->list->setup[r];
    const struct result *result = simulate(arena, setup, r, b->options);
    b->list->judgement[r] = judge(arena, setup, &result, &b->list->label[r], 1);
    b->list->run[r] = result;
}

static void work(void *context, int i)
{
    pool_within(((struct batch *)context)->arenas[i], make, context, i);
}

static bool take(void *context, int i)
{
    struct batch *b = context;
    struct buy_list *list = b->list;
    int r = b->order[i];
    const struct result *result = list->run[r];
    list->status = result ? result->status : STATUS_SOLUTION;
    if (b->options->done) b->options->done(b->options->done_context, i + 1, b->n);
    if (list->status != STATUS_OK)
        list->failure = failure_of_run(b->arenas[i], result, FAILURE_NAMED, list->label[r]);
    else if (r != BUY_COLD && !list->unsettled && !trial_volts_settled(result))
        list->unsettled = list->called[r];
    return list->status == STATUS_OK;
}

static void give_back(void *arena)
{
    arena_free(arena);
}

/* The cold run, the longest, begins first. */
static bool run_all(struct arena *arena, const struct buy_options *options, struct buy_list *list)
{
    static const int order[BUY_RUNS] = {BUY_COLD, BUY_HOT, BUY_OPEN, BUY_SILICON, BUY_SILICON_OPEN};
    struct batch b = {.list = list, .options = options};
    list->status = STATUS_OK;
    for (int i = 0; i < BUY_RUNS; i++) {
        if (!list->setup[order[i]]) continue;
        b.order[b.n] = order[i];
        b.arenas[b.n] = arena_new();
        if (!b.arenas[b.n]) {
            list->status = STATUS_SOLUTION;
            list->failure.cause = FAILURE_MEMORY;
            return false;
        }
        arena_at_free(arena, give_back, b.arenas[b.n++]);
    }
    int jobs = options->jobs > 0 ? options->jobs : pool_processors();
    if (pool_run_in(arena, b.n, jobs, b.n, work, take, &b)) return true;
    if (list->status == STATUS_OK)
        list->status = STATUS_SOLUTION, list->failure.cause = FAILURE_THREADS;
    return false;
}

const struct setup *buy_drawn(struct arena *arena, const struct scenario *s, const char *variant,
                              const struct buy_list *list, const struct scenario **bought)
{
    if (variant && strcmp(variant, "base") == 0) variant = NULL;
    struct diags *diags = diags_new(arena);
    const struct setup *drawn = scenario_setup(arena, diags, s, variant);
    struct overrides o = overrides_new(arena);
    for (int i = 0; drawn && i < drawn->stages.at[0].set->parts.n; i++) {
        const struct part *part = drawn->stages.at[0].set->parts.at[i];
        if (buy_is_filter(part)) lay_capacitor(list, &o, part);
        if (part_is(part, ROLE_RESISTOR | ROLE_RECTIFIER)) sound(&o, part);
    }
    *bought = overrides_scenario(&o, diags, s, variant, NEW_PARTS);
    return *bought ? scenario_setup(arena, diags, *bought, NEW_PARTS) : NULL;
}

/* On the line as drawn: a raised one is no assumption. */
const struct ends *buy_ends(struct arena *arena, const struct scenario *s, const char *variant,
                            const struct buy_options *options, const struct buy_list *list)
{
    const struct scenario *bought;
    const struct setup *setup = buy_drawn(arena, s, variant, list, &bought);
    const struct ends_options ends = {.jobs = options->jobs,
                                      .progress = options->progress,
                                      .progress_context = options->progress_context};
    return setup ? ends_study(arena, bought, NEW_PARTS, setup, &ends) : NULL;
}

bool buy_runs(struct arena *arena, struct diags *diags, const struct scenario *s,
              const char *variant, const struct buy_options *options, struct buy_list *list)
{
    if (variant && strcmp(variant, "base") == 0) variant = NULL;
    list->status = STATUS_SCENARIO;
    list->unsettled = NULL;
    const struct setup *drawn = scenario_setup(arena, diags, s, variant);
    if (!drawn) return false;
    struct maker m = {arena, s, variant, drawn->stages.at[0].set, list};
    list->changes = drawn->stages.n > 1;
    list->limited = any(m.set, limits_the_line);
    if (!any(m.set, buy_is_filter)) {
        list->failure = (struct failure){.cause = FAILURE_NO_FILTER, .name = drawn->variant};
        return false;
    }
    if (!set_up(&m, diags)) return false;
    return run_all(arena, options, list);
}
