/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The share of the rating that is used grows with the capacitor; its logarithm is bracketed by
 * doubling from 1 uF and closed in by Brent's method (GSL). The answer is rounded down and run. */
#include "limit.h"

#include <math.h>
#include <string.h>

#include "root.h"

#define CLOSE 0.004 /* of the logarithm: finer than two digits */

/* ---- which rectifier ---- */

static const struct part *part_of_path(const struct set *set, const char *path)
{
    const char *dot = strchr(path, '.');
    if (!dot || strcmp(dot, ".value") != 0) return NULL;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        if (strlen(part->name) == (size_t)(dot - path) &&
            strncmp(part->name, path, (size_t)(dot - path)) == 0)
            return part_is(part, ROLE_CAPACITOR) ? part : NULL;
    }
    return NULL;
}

static bool is_part(const char *subject, const char *part)
{
    size_t n = strlen(part);
    return strncmp(subject, part, n) == 0 && (!subject[n] || subject[n] == '.');
}

const char *limit_rectifier(const struct setup *setup, const char *path)
{
    const struct stage *stage = &setup->stages.at[0];
    const struct part *capacitor = part_of_path(stage->set, path);
    const struct circuit *c = stage->circuit;
    for (int i = 0; capacitor && i < c->probes.n; i++) {
        const struct probe *p = &c->probes.at[i];
        if (!(p->flags & PROBE_CAPACITOR) || p->kind != PROBE_VOLTAGE ||
            strcmp(p->subject, capacitor->name) != 0)
            continue;
        for (int k = 0; k < c->probes.n; k++) {
            const struct probe *r = &c->probes.at[k];
            if (!(r->flags & PROBE_RECTIFIER) || r->kind != PROBE_VOLTAGE) continue;
            if (r->from != p->from) continue;
            for (int j = 0; j < stage->set->parts.n; j++)
                if (is_part(r->subject, stage->set->parts.at[j]->name))
                    return stage->set->parts.at[j]->name;
        }
    }
    return NULL;
}

/* ---- one run ---- */

struct search {
    struct arena *arena, *scratch;
    const struct scenario *s;
    const char *variant, *path, *rectifier;
    double ohms;
    const struct trial_options *options;
    const char *const *plates; /* points of the plates */
    int plate_count;
    enum status status;
};

/* The points of the plates, of the rectifier's probes. */
static void find_plates(struct search *q)
{
    struct diags *quiet = diags_new(q->arena);
    const struct setup *setup = scenario_setup(q->arena, quiet, q->s, q->variant);
    const struct circuit *c = setup->stages.at[0].circuit;
    const char **plates = ARENA_ARRAY(q->arena, const char *, c->probes.n);
    for (int i = 0; i < c->probes.n; i++) {
        const struct probe *p = &c->probes.at[i];
        bool section = (p->flags & PROBE_RECTIFIER) && p->kind == PROBE_VOLTAGE;
        if (section && is_part(p->subject, q->rectifier) && p->to >= 0)
            plates[q->plate_count++] = c->points.at[p->to];
    }
    q->plates = plates;
}

/* The capacitor's value, and where asked for a resistor in each plate's lead. */
static struct overrides overrides_of(struct search *q, struct arena *arena, struct diags *diags,
                                     const char *value)
{
    struct overrides o = overrides_new(arena);
    const char **plates = ARENA_ARRAY(arena, const char *, q->plate_count);
    if (q->path) overrides_assign(&o, diags, q->path, value);
    if (!(q->ohms > 0)) return o;
    const char *plate = arena_printf(arena, "%s plate", q->rectifier),
               *resistor = arena_printf(arena, "%s resistor", q->rectifier);
    plate = overrides_free_name(arena, q->s, plate);
    resistor = overrides_free_name(arena, q->s, resistor);
    for (int i = 0; i < q->plate_count; i++) {
        plates[i] = arena_printf(arena, "%s %d", plate, i + 1);
        const char *name = arena_printf(arena, "%s %d", resistor, i + 1);
        overrides_resistor(&o, name, q->plates[i], plates[i], q->ohms);
    }
    overrides_points(&o, q->rectifier, "plates", plates, q->plate_count);
    return o;
}

const struct trial *limit_eased(struct arena *arena, const struct scenario *s, const char *variant,
                                const char *rectifier, double ohms,
                                const struct trial_options *options)
{
    struct search q = {
        .arena = arena, .s = s, .variant = variant, .rectifier = rectifier, .ohms = ohms};
    struct diags *quiet = diags_new(arena);
    find_plates(&q);
    struct overrides o = overrides_of(&q, arena, quiet, NULL);
    const char *label = arena_printf(arena, "%.9g ohm per plate", ohms);
    return trial_with(arena, quiet, s, variant, label, &o, options);
}

static const char *label_of(struct search *q, struct arena *arena, const char *value)
{
    const char *label = arena_printf(arena, "%s=%s", q->path, value);
    if (q->ohms > 0) label = arena_printf(arena, "%s, %.9g ohm per plate", label, q->ohms);
    return label;
}

static const struct trial *run_with(struct search *q, struct arena *arena, double farads)
{
    char out[64];
    struct diags *quiet = diags_new(arena);
    quantity_text(farads, UNIT_FARAD, OVERRIDES_DIGITS, out, sizeof out);
    const char *value = arena_text(arena, out, strlen(out));
    struct overrides o = overrides_of(q, arena, quiet, value);
    const struct trial *t =
        trial_with(arena, quiet, q->s, q->variant, label_of(q, arena, value), &o, q->options);
    if (!t) q->status = STATUS_SCENARIO;
    else if (t->status != STATUS_OK) q->status = t->status;
    return t;
}

/* The highest share of the rectifier's ratings, and of which. */
static double share_of(const struct search *q, const struct trial *t, enum measure *measure)
{
    double most = 0;
    for (int i = 0; i < t->judgement->all.n; i++) {
        const struct judged *j = &t->judgement->all.at[i];
        if (j->verdict == VERDICT_NONE || measure_table[j->figure.measure].stand_in ||
            j->rating->at_least || !is_part(j->figure.subject, q->rectifier) || !(j->share > most))
            continue;
        most = j->share;
        *measure = j->figure.measure;
    }
    return most;
}

/* How far over, at exp(x) farads. */
static double excess(double x, void *search)
{
    struct search *q = search;
    enum measure measure;
    if (q->status != STATUS_OK) return 0;
    const struct trial *t = run_with(q, q->scratch, exp(x));
    double share = t ? share_of(q, t, &measure) : 1;
    arena_clear(q->scratch);
    return (share < 100 ? share : 100) - 1;
}

/* ---- the search ---- */

/* From 1 uF by doubling or halving to the interval in which the sign changes; false when there is
 * none, *inside telling on which side all lie. */
static bool bracket(struct search *q, struct root_bracket *b, bool *inside)
{
    double x = log(1e-6), step = log(2), f = excess(x, q);
    *inside = f <= 0;
    double end = *inside ? log(LIMIT_MOST) : log(LIMIT_LEAST);
    while (q->status == STATUS_OK && x != end) {
        double next = *inside ? fmin(x + step, end) : fmax(x - step, end), g = excess(next, q);
        *b = *inside ? (struct root_bracket){{x, next}, {f, g}}
                     : (struct root_bracket){{next, x}, {g, f}};
        if ((g <= 0) != *inside) return q->status == STATUS_OK;
        x = next, f = g;
    }
    return false;
}

/* Two digits, downwards; `steps` more of the last digit down. */
static double rounded_down(double farads, int steps)
{
    double decade = pow(10, floor(log10(farads)) - 1);
    return (floor(farads / decade * (1 + 1e-9)) - steps) * decade;
}

static void prove(struct search *q, struct limit *limit, double farads)
{
    for (int steps = 0; steps < 3 && q->status == STATUS_OK; steps++) {
        limit->farads = rounded_down(farads, steps);
        limit->proof = run_with(q, q->arena, limit->farads);
        if (!limit->proof) return;
        limit->share = share_of(q, limit->proof, &limit->measure);
        if (limit->share <= 1) return;
    }
}

/* What the sheet says instead of peaks, and a run with the capacitor it allows. */
static void look_at_sheet(struct search *q, struct limit *l)
{
    const struct trial *t = l->proof;
    l->sheet = l->least_ohms = l->ohms = (double)NAN;
    if (!t || q->status != STATUS_OK) return;
    const char *label = t->setup->variant;
    const struct judged *ohms =
        judge_worst(t->judgement, label, q->rectifier, MEASURE_SUPPLY_IMPEDANCE);
    const struct judged *first =
        judge_worst(t->judgement, label, q->rectifier, MEASURE_FIRST_CAPACITOR);
    if (ohms) l->ohms = ohms->figure.value;
    if (ohms && ohms->rating) l->least_ohms = ohms->rating->limit;
    if (!first || !first->rating) return;
    double others = first->figure.value - l->farads;
    l->others = others > 1e-9 * l->farads ? others : 0;
    l->sheet = first->rating->limit - l->others;
    if (!(l->sheet > 0) || l->sheet >= l->farads) return;
    l->sheet_proof = run_with(q, q->arena, l->sheet);
    if (l->sheet_proof) l->sheet_share = share_of(q, l->sheet_proof, &l->sheet_measure);
}

struct limit limit_capacitor(struct arena *arena, const struct scenario *s, const char *variant,
                             const char *path, const char *rectifier, double ohms,
                             const struct trial_options *options)
{
    struct search q = {.arena = arena,
                       .scratch = arena_scratch(arena),
                       .s = s,
                       .variant = variant,
                       .path = path,
                       .rectifier = rectifier,
                       .ohms = ohms,
                       .options = options,
                       .status = STATUS_OK};
    struct limit limit = {.measure = MEASURE_NONE};
    struct root_bracket b;
    bool inside = false;
    find_plates(&q);
    if (bracket(&q, &b, &inside))
        prove(&q, &limit, exp(root_close_in(q.arena, &b, excess, &q, CLOSE, 0, &q.status)));
    else if (q.status == STATUS_OK && inside) {
        limit.beyond = true;
        prove(&q, &limit, LIMIT_MOST);
    } else limit.none = q.status == STATUS_OK;
    look_at_sheet(&q, &limit);
    limit.status = q.status;
    return limit;
}
