/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs without any fuse: switch-ons cold and hot at zero and crest, the warm set, and the warm set
 * with each fault laid over it. Every fuse of the catalogue is then led through their line currents
 * in closed form. The fuse's own ohms are left out, which makes surges a little too large. */
#include "fusing.h"

#include <math.h>
#include <string.h>

#include "fault.h"
#include "numbers.h"
#include "overrides.h"
#include "sort.h"
#include "warm.h"

enum { FINE = 512, COARSE = 32, PIECES = 8 }; /* samples of a cycle, and steps kept of it */

#define HOT_MOST 30.0 /* a warm set has settled by then [s] */
#define FAULT_FOR 2.0 /* a fault's current has settled by then; of a string, by HOT_MOST [s] */
#define UNSEEN 1.01   /* times the running current: less is nothing a fuse sees (estimate) */
#define REMANENCE 0.5 /* worst customary, common practice, no source */

/* ---- one switch-on ---- */

struct recording {
    struct arena *arena;
    struct surge *surge;
    double cycle; /* [s] */
    double from;  /* before it nothing is taken [s] */
    int samples;  /* of a cycle */
    double last, sum;
    int taken;
};

static double line_current(const struct equations *eq)
{
    const struct circuit *c = eq->network->circuit;
    for (int k = 0; k < c->elements.n; k++)
        if (c->elements.at[k].kind == ELEMENT_SOURCE &&
            strcmp(c->elements.at[k].part, "mains") == 0)
            return equations_output(eq, OUTPUT_CURRENT, k);
    return 0;
}

/* Trapezes, summed up over pieces of a cycle. */
static void observe(void *context, double t, const struct equations *eq, const double *y)
{
    struct recording *r = context;
    struct surge *s = r->surge;
    double square = sq(line_current(eq)), mean = (r->last + square) / 2, dt = r->cycle / r->samples;
    (void)y;
    r->last = square;
    if (r->from > 0 && t < r->from + dt / 2) return;
    s->peak = larger(s->peak, sqrt(square));
    if (t < dt / 2) return;
    if (t < r->cycle / 2 + dt / 2) s->half += mean * dt;
    if (t < r->cycle * 10 + dt / 2) s->ten += mean * dt;
    if (t < FUSING_CLAMP + dt / 2) s->clamp = sqrt(sq(s->clamp) + mean * dt / FUSING_CLAMP);
    r->sum += mean * PIECES / r->samples;
    if (++r->taken % (r->samples / PIECES) != 0) return;
    array_push(r->arena, &s->square, r->sum);
    r->sum = 0;
}

/* Adds to the surge what comes after `from`. */
static bool record(struct arena *arena, struct fusing *f, const struct setup *setup,
                   const struct run_options *options, struct surge *s, double angle, double from,
                   double duration)
{
    struct recording r = {.arena = arena,
                          .surge = s,
                          .cycle = 1 / setup->frequency,
                          .from = from,
                          .samples = from > 0 ? COARSE : FINE};
    struct run_options o = *options;
    o.no_bleed = true;
    s->step = r.cycle / PIECES;
    o.hot = s->hot;
    o.angle = angle;
    o.duration = duration;
    o.every_cycle = true;
    o.observe = observe;
    o.observe_context = &r;
    o.observe_every = r.cycle / r.samples;
    const struct result *run = run_simulate(arena, setup, &o);
    f->status = run->status;
    f->unbalanced += run->statistics.audit_failed;
    f->failure = failure_of_run(arena, run, FAILURE_NAMED, NULL);
    return run->status == STATUS_OK;
}

/* ---- the worst switch-on ---- */

/* Which way a core is left magnetised, and at which of the two zeros or crests of a cycle the
 * switch closes, nobody chooses: all four are run. */
enum { WAYS = 2 };

struct switching {
    struct fusing *f;
    const struct setup *setup[WAYS]; /* magnetised one way and the other; alike without a core */
    int ways;
    const struct run_options *options;
};

/* Of each kind the greatest of every column. */
static void show_worst(struct fusing *f)
{
    for (int i = 0; i < f->all.n; i++) {
        const struct surge *s = &f->all.at[i];
        int k = 0;
        while (k < f->surge_count && (f->surges[k].hot != s->hot || f->surges[k].crest != s->crest))
            k++;
        struct surge *shown = &f->surges[k];
        if (k == f->surge_count) f->surges[f->surge_count++] = *s;
        shown->peak = larger(shown->peak, s->peak);
        shown->half = larger(shown->half, s->half);
        shown->ten = larger(shown->ten, s->ten);
        shown->clamp = larger(shown->clamp, s->clamp);
    }
}

/* Fine records of one kind's first cycles. */
static bool record_kind(struct arena *arena, struct switching *w, struct surge kind, double few)
{
    struct fusing *f = w->f;
    for (int way = 0; way < w->ways; way++)
        for (int half = 0; half < 2; half++) {
            struct surge s = kind;
            double angle = (s.crest ? PI / 2 : 0) + half * PI;
            if (!record(arena, f, w->setup[way], w->options, &s, angle, 0, few)) return false;
            array_push(arena, &f->all, s);
        }
    return true;
}

/* The whole warm-up behind the first cycles of the cold ones: cold heaters draw for seconds. Which
 * way it began no longer shows. */
static bool record_warm_up(struct arena *arena, struct switching *w, double few, double whole)
{
    struct fusing *f = w->f;
    struct surge rest = {.hot = false};
    if (!record(arena, f, w->setup[0], w->options, &rest, 0, few, whole)) return false;
    for (int i = 0; i < f->all.n; i++) {
        struct surge *s = &f->all.at[i];
        s->peak = larger(s->peak, rest.peak);
        for (int k = 0; k < rest.square.n; k++) array_push(arena, &s->square, rest.square.at[k]);
    }
    return true;
}

/* Cold, then hot, each at the zeros and at the crests. */
static bool record_all(struct arena *arena, struct switching *w)
{
    struct fusing *f = w->f;
    const struct setup *setup = w->setup[0];
    const double few = FUSING_CYCLES / setup->frequency,
                 whole = w->options->duration > 0 ? w->options->duration : setup->duration;
    for (int i = 0; i < FUSING_SURGES; i++) {
        const struct surge kind = {.hot = i >= 2, .crest = i % 2 == 1};
        if (setup->hot && !kind.hot) continue;
        if (!record_kind(arena, w, kind, few)) return false;
        if (i == 1 && whole > few && !record_warm_up(arena, w, few, whole)) return false;
    }
    show_worst(f);
    return true;
}

/* ---- variants ---- */

/* Fuses that stand in the scenario are bridged: the study is of the set without. */
static void bridge_fuses(struct fusing *f, struct overrides *o)
{
    const struct set *set = f->setup->stages.at[0].set;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        struct part_way way;
        if (!part_is(p, ROLE_FUSE) || !part_way(set, p, 0, &way)) continue;
        f->standing = p->name;
        if (p->in_plug) overrides_text(o, "mains", "through.fuse", "none");
        else overrides_resistor(o, p->name, way.point[0], way.point[1], 1e-3);
    }
}

/* Which way the last switch-off left a core cannot be known: what is given counts both ways. */
static bool magnetise(struct arena *arena, const struct fusing *f, const struct scenario *s,
                      const char *variant, struct overrides *o, double sign)
{
    const struct set *set = f->setup->stages.at[0].set;
    bool any = false;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        struct complaint why;
        double given = 0;
        if (!part_is(p, ROLE_CORE)) continue;
        const char *path = arena_printf(arena, "%s.remanence", p->name),
                   *text = scenario_value(arena, s, variant, path);
        if (text && !quantity_parse(text, UNIT_NUMBER, &given, &why)) given = 0;
        overrides_value(o, p->name, "remanence", sign * larger(REMANENCE, fabs(given)),
                        UNIT_NUMBER);
        any = true;
    }
    return any;
}

/* ---- faults ---- */

static void watch_heat(struct run_options *o, const struct setup *setup, struct fusing_heat *heat)
{
    o->observe = fusing_heat_observe;
    o->observe_context = heat;
    o->observe_every = FUSING_CYCLES / setup->frequency;
}

static double figure_or(const struct result *r, const char *subject, enum measure measure,
                        double otherwise)
{
    const struct figure *f = run_figure(r, subject, measure);
    return f ? f->value : otherwise;
}

/* A condition that the part cannot have (a rectifier without cathode sleeve) is no fault of it. */
static bool add_fault(struct arena *arena, const struct scenario *s, const char *variant,
                      struct fusing *f, const struct run_options *options, const char *name,
                      double duration, const struct overrides *faulty)
{
    struct fusing_heat heat = {.arena = arena};
    struct fusing_fault fault = {.name = name};
    const struct setup *setup = overrides_setup(faulty, diags_new(arena), s, variant, name);
    if (!setup) return true;
    struct run_options o = *options;
    o.no_bleed = true;
    o.hot = 1;
    o.angle = PI / 2;
    o.duration = duration;
    watch_heat(&o, setup, &heat);
    const struct result *r = run_simulate(arena, setup, &o);
    f->status = r->status;
    f->unbalanced += r->statistics.audit_failed;
    f->failure = failure_of_run(arena, r, FAILURE_NAMED, name);
    if (r->status != STATUS_OK) return false;
    fault.amperes = figure_or(r, "mains", MEASURE_LINE_CURRENT, 0);
    fault.usual = fault.amperes < f->running * UNSEEN;
    fault.limit = fusing_heat_limit(&f->warm, &heat, &fault.winding);
    f->harmful |= isfinite(fault.limit);
    array_push(arena, &f->faults, fault);
    return true;
}

/* What a fuse is there for; NULL: nothing of this part, or it fails in the scenario already. */
static const struct part_fault *overload_of(const struct part *p)
{
    if (part_condition(p) || (part_is(p, ROLE_CAPACITOR) && !part_is(p, ROLE_FILTER))) return NULL;
    for (const struct part_fault *f = p->kind->faults; f && f->name; f++)
        if (f->overloads) return f;
    return NULL;
}

/* A heater as it is where the scenario first shorts it, which tells where its cathode lies; NULL:
 * nowhere. */
static const struct part *find_failed(struct arena *arena, const struct scenario *s,
                                      const char *heater, const struct part_fault *fault)
{
    for (int v = -1; v < scenario_variants(s); v++) {
        const char *variant = v < 0 ? NULL : scenario_variant(s, v);
        const struct setup *setup = scenario_setup(arena, diags_new(arena), s, variant);
        for (int k = 0; setup && k < setup->stages.n; k++) {
            const struct part *p = set_find(setup->stages.at[k].set, heater);
            const char *condition = p ? part_condition(p) : NULL;
            if (condition && strcmp(condition, fault->name) == 0) return p;
        }
    }
    return NULL;
}

/* False when the scenario does not say where the fault lies. */
static bool lay_fault(struct arena *arena, const struct scenario *s, const struct set *set,
                      const struct part *p, const struct part_fault *fault, struct overrides *o)
{
    struct fault_change changes[FAULT_CHANGES];
    bool heater = part_is(p, ROLE_HEATER);
    const struct part *failed = heater ? find_failed(arena, s, p->name, fault) : NULL;
    if (heater ? !failed : !fault_can(set, p, fault)) return false;
    int n = failed ? fault_copy(failed, fault, changes)
                   : fault_lay(arena, set, p, fault, (double)NAN, changes);
    for (int i = 0; i < n; i++) overrides_text(o, p->name, changes[i].key, changes[i].text);
    return true;
}

static bool add_faults(struct arena *arena, const struct scenario *s, const char *variant,
                       struct fusing *f, const struct run_options *options,
                       const struct overrides *base)
{
    const struct set *set = f->setup->stages.at[0].set;
    bool good = true;
    for (int i = 0; i < set->parts.n && good; i++) {
        const struct part *p = set->parts.at[i];
        const struct part_fault *fault = overload_of(p);
        struct overrides o = *base;
        if (!fault || !lay_fault(arena, s, set, p, fault, &o)) continue;
        good = add_fault(arena, s, variant, f, options,
                         arena_printf(arena, "%s %s", p->name, fault->name),
                         part_is(p, ROLE_HEATER) ? HOT_MOST : FAULT_FOR, &o);
    }
    return good;
}

/* ---- fuses ---- */

double fusing_most(const struct fuse_told *told)
{
    bool ul = strncmp(told->standard, "UL", 2) == 0;
    return told->rating.amperes * (ul ? FUSING_UL_SHARE : 1);
}

double fusing_melts(const struct fuse_told *told, const struct surge *surge, double frequency,
                    double running, double *share)
{
    const struct fuse_law *l = &told->law;
    struct fuse_warmth w = fuse_time_settled(l, surge->hot ? running : 0);
    const double pulse = FUSING_CYCLES / frequency;
    *share = 0;
    for (int k = 0; k < surge->square.n; k++) {
        double square = surge->square.at[k];
        if ((k + 1) * surge->step <= pulse * (1 + 1e-9)) square /= FUSING_PULSE;
        w = fuse_time_step(l, w, square, surge->step);
        *share = larger(*share, (w.element - l->ambient) / (l->melts - l->ambient));
        if (w.element >= l->melts) return (k + 1) * surge->step;
    }
    return HUGE_VAL;
}

static void judge_fuse(struct arena *arena, const struct fusing *f, struct fusing_fuse *fuse)
{
    const struct fuse_warmth warm = fuse_time_settled(&fuse->told.law, f->running);
    for (int k = 0; k < f->all.n; k++) {
        double share, melts = fusing_melts(&fuse->told, &f->all.at[k], f->setup->frequency,
                                           f->running, &share);
        fuse->share = larger(fuse->share, share);
        if (isfinite(melts)) fuse->verdict = FUSING_BLOWS_AT_ONCE;
    }
    if (f->running > fusing_most(&fuse->told)) fuse->verdict = FUSING_TOO_SMALL;
    fuse->opens = ARENA_ARRAY(arena, double, f->faults.n);
    for (int k = 0; k < f->faults.n; k++) {
        const struct fusing_fault *fault = &f->faults.at[k];
        fuse->opens[k] = fuse_time_opens(&fuse->told.law, warm, fault->amperes);
        fuse->cleared += isfinite(fault->limit) && fuse->opens[k] < fault->limit;
    }
}

/* The fuse alone on a battery, read like any other. */
static const struct part *read_fuse(struct arena *arena, struct diags *diags,
                                    const struct scenario *bare, const char *name)
{
    struct overrides o = overrides_new(arena);
    overrides_part(&o, "F", "fuse", "plus", "behind");
    overrides_text(&o, "F", "type", name);
    overrides_part(&o, "B", "battery", "plus", "minus");
    overrides_value(&o, "B", "voltage", 1, UNIT_VOLT);
    overrides_resistor(&o, "R", "behind", "minus", 1);
    const struct setup *setup = overrides_setup(&o, diags, bare, NULL, name);
    return setup ? set_find(setup->stages.at[0].set, "F") : NULL;
}

static int compare_fuses(const void *a, const void *b)
{
    const struct fuse_told *x = &((const struct fusing_fuse *)a)->told;
    const struct fuse_told *y = &((const struct fusing_fuse *)b)->told;
    double i = x->rating.amperes, j = y->rating.amperes;
    int order = strcmp(x->standard, y->standard);
    if (order != 0) return order;
    if (x->slow != y->slow) return x->slow ? 1 : -1;
    return (i > j) - (i < j);
}

static void add_fuses(struct arena *arena, struct diags *diags, const struct catalogue *catalogue,
                      struct fusing *f)
{
    const struct scenario *bare = scenario_bare(arena, catalogue, "minus");
    for (int i = 0; i < catalogue_count(catalogue); i++) {
        const struct model *m = catalogue_at(catalogue, i);
        if (!part_model_is(m, ROLE_FUSE)) continue;
        const struct part *part = read_fuse(arena, diags, bare, m->name);
        struct fusing_fuse fuse = {.name = m->name};
        if (!part) continue;
        fuse.told = fuse_told(part);
        double rated = fuse.told.rating.amperes;
        if (rated < FUSING_LEAST * (1 - 1e-9) || rated > FUSING_MOST * (1 + 1e-9)) continue;
        judge_fuse(arena, f, &fuse);
        array_push(arena, &f->fuses, fuse);
    }
    sort_stable(f->fuses.at, f->fuses.n, sizeof *f->fuses.at, compare_fuses);
}

static bool same_class(const struct fusing_fuse *a, const struct fusing_fuse *b)
{
    return strcmp(a->told.standard, b->told.standard) == 0 && a->told.slow == b->told.slow;
}

const struct fusing_fuse *fusing_smallest(const struct fusing *f, int k, bool *more)
{
    int i = 0;
    for (; i < f->fuses.n && k >= 0; i++)
        if (i == 0 || !same_class(&f->fuses.at[i], &f->fuses.at[i - 1])) k--;
    *more = k < 0;
    if (!*more) return NULL;
    for (int j = i - 1; j < f->fuses.n && same_class(&f->fuses.at[j], &f->fuses.at[i - 1]); j++)
        if (f->fuses.at[j].verdict == FUSING_HOLDS) return &f->fuses.at[j];
    return NULL;
}

/* ---- the whole ---- */

static bool run_warm(struct arena *arena, struct fusing *f, const struct setup *setup,
                     const struct run_options *options)
{
    struct run_options o = *options;
    o.no_bleed = true;
    o.hot = 1;
    o.angle = PI / 2;
    o.until_settled = true;
    o.duration = larger(setup->duration, HOT_MOST);
    f->warm = (struct fusing_heat){.arena = arena};
    watch_heat(&o, setup, &f->warm);
    const struct result *r = run_simulate(arena, setup, &o);
    f->status = r->status;
    f->unbalanced += r->statistics.audit_failed;
    f->failure = failure_of_run(arena, r, FAILURE_NAMED, NULL);
    if (r->status != STATUS_OK) return false;
    const struct warm_options w = {.progress = options->progress,
                                   .progress_context = options->progress_context};
    const struct result *warm = warm_steady(arena, setup, &w);
    f->running = figure_or(warm ? warm : r, "mains", MEASURE_LINE_CURRENT, 0);
    f->watts = figure_or(warm ? warm : r, "mains", MEASURE_LINE_POWER, 0);
    return true;
}

const struct fusing *fusing_study(struct arena *arena, struct diags *diags,
                                  const struct catalogue *catalogue, const struct scenario *s,
                                  const char *variant, const struct run_options *options)
{
    struct fusing *f = ARENA_NEW(arena, struct fusing);
    struct overrides bare = overrides_new(arena);
    f->status = STATUS_SCENARIO;
    f->setup = scenario_setup(arena, diags, s, variant);
    if (!f->setup) return f;
    const struct stage *stage = &f->setup->stages.at[0];
    if (stage->mains_source < 0) f->failure.cause = FAILURE_NO_LINE;
    else if (!stage->mains_on) f->failure.cause = FAILURE_MAINS_OFF;
    if (f->failure.cause != FAILURE_NONE) return f;
    bridge_fuses(f, &bare);
    struct switching w = {.f = f, .options = options, .ways = 1};
    const struct setup *setup = overrides_setup(&bare, diags, s, variant, "without a fuse");
    for (int i = 0; i < WAYS; i++) {
        struct overrides worst = bare;
        if (magnetise(arena, f, s, variant, &worst, i == 0 ? 1 : -1)) w.ways = WAYS;
        w.setup[i] = overrides_setup(&worst, diags, s, variant, "worst switch-on");
        if (!w.setup[i]) return f;
    }
    if (!setup) return f;
    if (!run_warm(arena, f, setup, options) || !record_all(arena, &w) ||
        !add_faults(arena, s, variant, f, options, &bare))
        return f;
    add_fuses(arena, diags, catalogue, f);
    return f;
}
