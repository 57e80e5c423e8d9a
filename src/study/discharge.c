/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The turn-on as it is, for the highest volts; the warm set; a hot run with the mains off once it
 * has settled; and cold, without mains, from the highest volts. What is seen after
 * switch-off is taken from the runs themselves, so bleeders, strings and hot tubes all count, but
 * no leakage that was assumed. */
#include "discharge.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "overrides.h"
#include "preferred.h"
#include "warm.h"

#define HOT_MOST 30.0   /* a warm set has settled by then [s] */
#define TAIL 30.0       /* hot tubes are watched so long after switch-off [s] */
#define COLD_TAIL 6.0   /* beyond the last mark [s] */
#define EVERY 10e-3     /* [s] */
#define LEAKS_ALONE 0.7 /* of the time its own leakage would need: nothing else bleeds it */

const double discharge_marks[DISCHARGE_MARKS] = {1, 2, 5};

/* All from memory: about a tenth is told in makers' guides to aluminium electrolytics, less than a
 * hundredth of plastic film; paper lies between. */
const struct creep discharge_creep[] = {[MAKE_MODERN] = {0.05, 0.15},
                                        [MAKE_DRY] = {0.05, 0.15},
                                        [MAKE_WET] = {0.05, 0.15},
                                        [MAKE_FILM] = {0.0005, 0.01},
                                        [MAKE_PAPER] = {0.01, 0.05}};

/* ---- watching a decay ---- */

struct watching {
    const char *const *names; /* [n], the meter last */
    int n;
    struct decay_seen *seen;        /* [n] */
    double off;                     /* when the mains go off [s] */
    double *last_time, *last_volts; /* [n] */
};

/* Of a capacitor or of the meter on the plug. */
static double volts_of(const struct equations *eq, const char *part, bool meter)
{
    const struct circuit *c = eq->network->circuit;
    enum element_kind kind = meter ? ELEMENT_RESISTOR : ELEMENT_CAPACITOR;
    for (int k = 0; k < c->elements.n; k++)
        if (c->elements.at[k].kind == kind && strcmp(c->elements.at[k].part, part) == 0)
            return equations_output(eq, OUTPUT_VOLTS, k);
    return 0;
}

static void see(struct watching *w, int i, double t, double volts)
{
    struct decay_seen *seen = &w->seen[i];
    double size = fabs(volts), before = fabs(w->last_volts[i]), step = t - w->last_time[i];
    if (isnan(seen->start)) seen->start = volts;
    for (int k = 0; k < DISCHARGE_MARKS; k++)
        if (t <= discharge_marks[k] + 1e-9) seen->at[k] = volts;
    if (size > DISCHARGE_SAFE) seen->safe = HUGE_VAL;
    else if (isinf(seen->safe))
        seen->safe = t - step * log(DISCHARGE_SAFE / larger(size, 1e-3)) /
                             log(larger(before, DISCHARGE_SAFE) / larger(size, 1e-3));
    seen->left = volts;
    seen->end = t;
    w->last_time[i] = t;
    w->last_volts[i] = volts;
}

/* Stops of the run fall on the instant of switch-off itself, so it is seen on both sides. */
static void observe(void *context, double t, const struct equations *eq, const double *y)
{
    struct watching *w = context;
    (void)y;
    if (t < w->off - 1e-9) return;
    for (int i = 0; i < w->n; i++)
        see(w, i, larger(t - w->off, 0), volts_of(eq, w->names[i], i == w->n - 1));
}

static const struct result *watch(struct arena *arena, const struct discharge *d,
                                  const struct setup *setup, const struct run_options *options,
                                  double off, double tail, struct decay_seen *seen)
{
    const int n = d->parts.n + 1;
    const char **names = ARENA_ARRAY(arena, const char *, n);
    for (int i = 0; i < n; i++) names[i] = i < n - 1 ? d->parts.at[i].name : d->meter;
    struct watching w = {.names = names,
                         .n = n,
                         .seen = seen,
                         .off = off,
                         .last_time = ARENA_ARRAY(arena, double, n),
                         .last_volts = ARENA_ARRAY(arena, double, n)};
    for (int i = 0; i < n; i++) seen[i] = (struct decay_seen){.start = (double)NAN};
    struct run_options o = run_defaults();
    o.hot = off > 0;
    o.duration = off + tail;
    o.angle = PI / 2;
    o.observe = observe;
    o.observe_context = &w;
    o.observe_every = EVERY;
    o.every_cycle = true; /* nothing is seen within a leap */
    o.no_bleed = true;
    o.progress = options->progress;
    o.progress_context = options->progress_context;
    return run_simulate(arena, setup, &o);
}

/* ---- the parts ---- */

static double figure_or(const struct result *r, const char *subject, enum measure measure,
                        double otherwise)
{
    const struct figure *f = run_figure(r, subject, measure);
    return f ? f->value : otherwise;
}

/* A capacitor across the line may be left with either sign: a rectifier empties one of them. */
static bool lies_across_line(const struct set *set, const char *name)
{
    const struct part *part = set_find(set, name);
    return part_ends_at(set, part, set->line[0]) && part_ends_at(set, part, set->line[1]);
}

/* The mean, as all studies tell it; across alternating volts those of the energy of an instant. */
static double settled_volts(const struct result *hot, const char *part, double at_end)
{
    double mean = fabs(figure_or(hot, part, MEASURE_SETTLED_VOLTAGE, 0));
    const struct figure *ripple = run_ripple(hot, part);
    return ripple && mean > ripple->value ? mean : at_end;
}

/* The part in the last stage, where it may have failed or been put in. */
static void take_parts(struct arena *arena, struct discharge *d, const struct result *hot)
{
    const struct set *set = d->setup->stages.at[d->setup->stages.n - 1].set;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (!part_is(p, ROLE_CAPACITOR)) continue;
        const struct capacitor *c = p->data;
        struct stored s = {
            .name = p->name, .make = capacitor_makes[c->make], .farads = capacitor_farads(p)};
        double joules = figure_or(hot, p->name, MEASURE_STORED_ENERGY, 0);
        if (!(s.farads > 0)) continue;
        s.from = sqrt(2 * joules / s.farads);
        s.settled = settled_volts(hot, p->name, s.from);
        s.highest = larger(s.from, fabs(figure_or(d->run, p->name, MEASURE_HIGHEST_VOLTAGE, 0)));
        s.highest = larger(s.highest, fabs(figure_or(d->run, p->name, MEASURE_LOWEST_VOLTAGE, 0)));
        s.joules = s.farads * sq(s.highest) / 2;
        s.coulombs = s.farads * s.highest;
        s.cold = figure_or(hot, p->name, MEASURE_BLEED_DOWN_TIME, 0);
        s.to_50 = figure_or(hot, p->name, MEASURE_BLEED_TO_50V_TIME, 0);
        double leaks = capacitor_leak_assumed(p) ? 0 : capacitor_leaks(p, s.from, set->ambient);
        s.across_line = lies_across_line(set, p->name);
        s.leak_only =
            isfinite(s.cold) && s.cold > 0 && leaks > 0 &&
            s.cold > LEAKS_ALONE * s.farads * s.from / leaks * log(s.from / DISCHARGE_SAFE);
        s.creep_low = discharge_creep[c->make].least * s.highest;
        s.creep_high = discharge_creep[c->make].most * s.highest;
        array_push(arena, &d->parts, s);
        d->joules += s.joules;
        d->coulombs += s.coulombs;
        d->highest = larger(d->highest, s.highest);
    }
}

/* ---- the tool ---- */

struct tool discharge_tool(double ohms, double farads, double volts, double joules)
{
    struct tool t = {.ohms = ohms, .in_series = 1, .joules = joules, .volts = volts};
    t.peak = sq(volts) / ohms;
    if (volts > DISCHARGE_SAFE) t.longest = ohms * farads * log(volts / DISCHARGE_SAFE);
    t.watts = DISCHARGE_WATTS;
    return t;
}

static void choose_tool(struct discharge *d)
{
    double farads = 0;
    for (int i = 0; i < d->parts.n; i++) farads += d->parts.at[i].farads;
    d->rule = discharge_tool(DISCHARGE_RULE, farads, d->highest, d->joules);
    d->rule_fits = d->highest <= DISCHARGE_VOLTS && d->rule.longest <= DISCHARGE_HOLD &&
                   d->rule.peak <= DISCHARGE_OVERLOAD * DISCHARGE_WATTS;
    d->fit = d->rule;
    if (d->rule_fits) return;
    int pieces = (int)ceil(d->highest / DISCHARGE_VOLTS);
    double most = DISCHARGE_RULE;
    if (d->rule.longest > DISCHARGE_HOLD) most *= DISCHARGE_HOLD / d->rule.longest;
    double piece = preferred_below(PREFERRED_E12, most / pieces);
    d->fit = discharge_tool(piece * pieces, farads, d->highest, d->joules);
    d->fit.in_series = pieces;
    double watts = larger(d->fit.peak, d->fit.joules / 5) / pieces / DISCHARGE_OVERLOAD;
    d->fit.watts = preferred_watts(larger(watts, DISCHARGE_WATTS));
}

/* ---- the runs ---- */

static bool good(struct discharge *d, const struct result *r, enum failure_run run)
{
    d->unbalanced += r && r->statistics.audit_failed;
    if (r && r->status == STATUS_OK) return true;
    d->status = r ? r->status : STATUS_SCENARIO;
    d->failure = r ? (struct failure){FAILURE_RUN, run, NULL, .trouble = r->trouble}
                   : (struct failure){FAILURE_SETUP, run, NULL, .message = NULL};
    return false;
}

/* Without the leakage nobody has told, from the instant of `at` on; NULL: from the start. */
static void lay_leakage(struct overrides *o, const struct discharge *d, const char *at)
{
    const struct set *set = d->setup->stages.at[d->setup->stages.n - 1].set;
    for (int i = 0; i < d->parts.n; i++) {
        const char *name = d->parts.at[i].name;
        if (!capacitor_leak_assumed(set_find(set, name))) continue;
        if (at) overrides_text(o, at, arena_printf(o->arena, "%s.leakage", name), "none");
        else overrides_text(o, name, "leakage", "none");
    }
}

/* Whole seconds after which a hot start has settled in the last stage. */
static double settles_in(struct arena *arena, const struct setup *setup,
                         const struct run_options *options)
{
    struct run_options o = *options;
    o.hot = 1;
    o.angle = PI / 2;
    o.duration = larger(setup->duration, HOT_MOST);
    o.until_settled = o.no_bleed = true;
    o.trace = false;
    const struct result *r = run_simulate(arena, setup, &o);
    return ceil(larger(r->end - setup->stages.at[setup->stages.n - 1].time, 1));
}

static void see_hot(struct arena *arena, struct diags *diags, const struct scenario *s,
                    const char *variant, struct discharge *d, const struct run_options *options)
{
    const struct stage *last = &d->setup->stages.at[d->setup->stages.n - 1];
    struct decay_seen *seen = ARENA_ARRAY(arena, struct decay_seen, d->parts.n + 1);
    d->has_hot = last->mains_source >= 0 && last->mains_on;
    if (!d->has_hot) return;
    double off = last->time + settles_in(arena, d->setup, options);
    struct overrides o = overrides_new(arena);
    const char *at = arena_printf(arena, "at %.0f s", off);
    overrides_text(&o, at, "mains.state", "off");
    overrides_text(&o, "run", "for", arena_printf(arena, "%.0f s", off + TAIL));
    lay_leakage(&o, d, at);
    const struct setup *setup = overrides_setup(&o, diags, s, variant, "switched off");
    const struct result *r = setup ? watch(arena, d, setup, options, off, TAIL, seen) : NULL;
    if (!good(d, r, FAILURE_SWITCHED_OFF)) return;
    for (int i = 0; i < d->parts.n; i++) d->parts.at[i].hot = seen[i];
}

static const struct setup *cold_setup(struct arena *arena, struct diags *diags,
                                      const struct scenario *s, const char *variant,
                                      const struct discharge *d, bool turned)
{
    const char *const *line = d->setup->stages.at[0].set->line;
    struct overrides o = overrides_new(arena);
    for (int i = 0; i < d->parts.n; i++) {
        const struct stored *c = &d->parts.at[i];
        double volts = c->from * (turned && c->across_line ? -1 : 1);
        overrides_value(&o, c->name, "starts at", volts, UNIT_VOLT);
    }
    lay_leakage(&o, d, NULL);
    overrides_text(&o, "mains", "state", "off");
    if (d->has_plug) overrides_resistor(&o, d->meter, line[0], line[1], DISCHARGE_METER);
    return overrides_setup(&o, diags, s, variant, "cold, switched off");
}

static void keep_worse(struct decay_seen *kept, const struct decay_seen *seen, bool first)
{
    if (first || fabs(seen->at[1]) > fabs(kept->at[1])) *kept = *seen;
}

static void see_cold(struct arena *arena, struct diags *diags, const struct scenario *s,
                     const char *variant, struct discharge *d, const struct run_options *options)
{
    const int n = d->parts.n;
    struct decay_seen *seen = ARENA_ARRAY(arena, struct decay_seen, n + 1);
    bool turns = false;
    if (d->setup->stages.at[0].mains_source < 0) return;
    d->has_plug =
        !circuit_square(d->setup->stages.at[0].circuit, d->setup->stages.at[0].mains_source);
    for (int i = 0; i < n; i++) turns |= d->parts.at[i].across_line;
    for (int turn = 0; turn <= (turns ? 1 : 0); turn++) {
        const struct setup *setup = cold_setup(arena, diags, s, variant, d, turn);
        const struct result *r = setup ? watch(arena, d, setup, options, 0, COLD_TAIL, seen) : NULL;
        if (!good(d, r, FAILURE_COLD_TUBES)) return;
        for (int i = 0; i < n; i++) keep_worse(&d->parts.at[i].cold_marks, &seen[i], turn == 0);
        keep_worse(&d->pins, &seen[n], turn == 0);
    }
}

const struct discharge *discharge_study(struct arena *arena, struct diags *diags,
                                        const struct scenario *s, const char *variant,
                                        const struct run_options *options)
{
    struct discharge *d = ARENA_NEW(arena, struct discharge);
    d->setup = scenario_setup(arena, diags, s, variant);
    d->meter = overrides_free_name(arena, s, "plug meter");
    if (!d->setup) {
        d->status = STATUS_SCENARIO;
        return d;
    }
    d->run = run_simulate(arena, d->setup, options);
    if (!good(d, d->run, FAILURE_TURN_ON)) return d;
    const struct warm_options warm = {.bleed = true,
                                      .progress = options->progress,
                                      .progress_context = options->progress_context};
    const struct result *hot = warm_run(arena, d->setup, &warm);
    if (!good(d, hot, FAILURE_HOT)) return d;
    take_parts(arena, d, hot);
    choose_tool(d);
    if (d->parts.n > 0) see_hot(arena, diags, s, variant, d, options);
    if (d->parts.n > 0 && d->status == STATUS_OK) see_cold(arena, diags, s, variant, d, options);
    return d;
}
