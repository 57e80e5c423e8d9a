/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One variant, ready to run: the plan's drafts become stages, then what concerns the run as a whole
 * is read. Which points are probed is settled over all stages together, so that every stage
 * measures the same points in the same order. */
#include <math.h>
#include <string.h>

#include "laws.h"
#include "mains.h"
#include "readings.h"
#include "scenario_impl.h"

struct making {
    struct arena *arena;
    struct diags *diags;
    const struct scenario *s;
    struct plan plan;
    struct setup *setup;
    ARRAY(struct set *) sets;           /* of each stage; NULL: it is wrong */
    ARRAY(struct terminals) terminals;  /* of each stage */
    struct reading_names points, parts; /* over all stages, in the order of the file */
};

/* ---- stages ---- */

static void add_stage(struct making *m, const struct draft *draft, const struct change *change)
{
    struct mains mains;
    struct terminals terminals = terminals_of(m->arena, draft);
    struct set *set = stage_build(m->arena, m->diags, m->s->catalogue, draft, &terminals, &mains,
                                  m->plan.variant);
    bool closes = change ? node_get(change->over.mains, "closes at") != NULL : mains.closes_given;
    struct stage stage = {.time = change ? change->time : 0,
                          .set = set,
                          .circuit = set ? set->circuit : NULL,
                          .mains_switch = mains.breaker,
                          .mains_source = mains.source,
                          .mains_on = mains.on,
                          .gap_open = mains.gap_open,
                          .closes_given = closes,
                          .closes_worst = mains.given && mains.closes_worst,
                          .closes_at = mains.closes_at,
                          .change = change ? change->words : NULL};
    array_push(m->arena, &m->setup->stages, stage);
    array_push(m->arena, &m->sets, set);
    array_push(m->arena, &m->terminals, terminals);
    if (!change) m->setup->frequency = mains.frequency;
}

static void check_change(struct making *m, const struct change *change)
{
    const struct pair *frequency = node_pair(change->over.mains, "frequency");
    if (frequency)
        diags_add(m->diags, DIAG_ERROR, frequency->at, "make it a variant",
                  "the frequency of the mains cannot change during the run");
    if (change->over.mains && !m->plan.start.mains)
        diags_add(m->diags, DIAG_ERROR, change->over.mains->at,
                  "write `mains:` at the top, with `state: off`", "there are no mains to change");
}

static void add_stages(struct making *m)
{
    struct draft draft = m->plan.start;
    add_stage(m, &draft, NULL);
    for (int i = 0; i < m->plan.changes.n; i++) {
        const struct change *change = &m->plan.changes.at[i];
        check_change(m, change);
        draft = plan_overlay(m->arena, &draft, &change->over);
        add_stage(m, &draft, change);
    }
}

/* ---- the run ---- */

static bool has_heaters(const struct set *set)
{
    for (int i = 0; i < set->circuit->devices.n; i++)
        if (set->circuit->devices.at[i].law == &law_heater) return true;
    return false;
}

static void read_duration(struct making *m, struct set *set, const struct part *run)
{
    const double least = 1e-3, warm_up = 30, no_heaters = 2; /* [s] */
    if (part_value(set, run, "for", UNIT_SECOND, least, &m->setup->duration)) return;
    bool heaters = has_heaters(set);
    m->setup->duration = heaters ? warm_up : no_heaters;
    set_assume(set, (struct assumption){"run", "for", m->setup->duration, m->setup->duration,
                                        m->setup->duration, UNIT_SECOND,
                                        heaters ? "heaters are warm by then"
                                                : "there are no heaters to warm up",
                                        KNOWN_BY_NOTHING, false});
}

/* The set of the first stage, or a bare one to read the run with when that stage is wrong. */
static struct set *first_set(struct making *m)
{
    if (m->sets.at[0]) return m->sets.at[0];
    struct set *bare = ARENA_NEW(m->arena, struct set);
    bare->arena = m->arena;
    bare->diags = m->diags;
    bare->circuit = circuit_new(m->arena);
    return bare;
}

static void read_run(struct making *m)
{
    static const char *const starts[] = {"cold", "hot", NULL};
    struct part run = stage_run(m->arena, &m->plan.start);
    struct set *set = first_set(m);
    read_duration(m, set, &run);
    m->setup->hot = part_word(set, &run, "start", starts) == 1;
}

/* Stages that begin when the run is over never come. */
static void drop_late(struct making *m)
{
    for (int i = 0; i < m->plan.changes.n; i++) {
        const struct change *change = &m->plan.changes.at[i];
        if (change->time < m->setup->duration) continue;
        char end[40];
        quantity_text(m->setup->duration, UNIT_SECOND, 4, end, sizeof end);
        diags_add(m->diags, DIAG_WARNING, change->at, "lengthen the run with `run: {for: ...}`",
                  "this change never comes: the run ends at %s", end);
    }
    int n = 1;
    while (n < m->setup->stages.n && m->setup->stages.at[n].time < m->setup->duration) n++;
    m->setup->stages.n = m->sets.n = n;
}

/* ---- probes of points ---- */

static bool is_reading(const struct setup *setup, const char *point)
{
    for (int i = 0; i < setup->readings.n; i++)
        if (setup->readings.at[i].unit == UNIT_VOLT &&
            strcmp(setup->readings.at[i].subject, point) == 0)
            return true;
    for (int i = 0; i < setup->measured->sets.n; i++) {
        const struct reading_set *set = &setup->measured->sets.at[i];
        for (int k = 0; k < set->readings.n; k++)
            if (set->readings.at[k].kind == READING_FIGURE &&
                strcmp(set->readings.at[k].subject, point) == 0)
                return true;
    }
    return false;
}

/* Whether a point is probed, and so watched: it is read, or touches a capacitor or rectifier. */
static unsigned point_flags(const struct making *m, const char *point)
{
    bool watched = is_reading(m->setup, point);
    for (int k = 0; k < m->terminals.n; k++) {
        const struct terminals *all = &m->terminals.at[k];
        for (int i = 0; i < all->list.n; i++) {
            const struct terminal *t = &all->list.at[i];
            if (strcmp(t->point, point) == 0) watched |= t->watched || t->rectifier;
        }
    }
    return watched ? PROBE_POINT | PROBE_WATCHED : 0;
}

static void probe_point(const struct making *m, const char *point, unsigned flags)
{
    for (int k = 0; k < m->sets.n; k++) {
        struct circuit *c = m->sets.at[k]->circuit;
        int at = circuit_find_point(c, point);
        if (at < 0 || strcmp(point, c->reference) == 0) continue;
        circuit_probe(
            c, (struct probe){
                   .kind = PROBE_VOLTAGE, .flags = flags, .subject = point, .from = at, .to = -1});
    }
}

static void probe_points(const struct making *m)
{
    for (int i = 0; i < m->points.here.n; i++) {
        unsigned flags = point_flags(m, m->points.here.at[i]);
        if (flags) probe_point(m, m->points.here.at[i], flags);
    }
}

/* ---- the whole ---- */

static void add_name(struct arena *arena, suggest_words *words, const char *name)
{
    for (int i = 0; i < words->n; i++)
        if (strcmp(words->at[i], name) == 0) return;
    array_push(arena, words, name);
}

static void add_names(struct making *m, suggest_words *points, suggest_words *parts,
                      const struct draft *draft)
{
    struct terminals all = terminals_of(m->arena, draft);
    for (int i = 0; i < all.points.n; i++) add_name(m->arena, points, all.points.at[i]);
    for (int i = 0; i < draft->parts->n; i++) add_name(m->arena, parts, draft->parts->pairs[i].key);
    if (!draft->mains) return;
    add_name(m->arena, parts, "mains");
    const struct node *through = node_get(draft->mains, "through");
    for (int i = 0; through && through->kind == NODE_MAP && i < through->n; i++)
        add_name(m->arena, parts, arena_printf(m->arena, "mains %s", through->pairs[i].key));
}

/* A reading may name what is in the scenario itself, in every variant. */
static void collect_names(struct making *m)
{
    struct draft draft = m->plan.start,
                 base = plan_make(m->arena, diags_new(m->arena), m->s, NULL).start;
    add_names(m, &m->points.here, &m->parts.here, &draft);
    for (int i = 0; i < m->plan.changes.n; i++) {
        draft = plan_overlay(m->arena, &draft, &m->plan.changes.at[i].over);
        add_names(m, &m->points.here, &m->parts.here, &draft);
    }
    add_names(m, &m->points.known, &m->parts.known, &base);
    for (int i = 0; i < m->points.here.n; i++)
        add_name(m->arena, &m->points.known, m->points.here.at[i]);
    for (int i = 0; i < m->parts.here.n; i++)
        add_name(m->arena, &m->parts.known, m->parts.here.at[i]);
}

const struct setup *scenario_setup(struct arena *arena, struct diags *diags,
                                   const struct scenario *s, const char *variant)
{
    int errors = diags_errors(diags);
    const struct pair *which = NULL;
    if (!plan_variant(arena, diags, s, variant, &which)) return NULL;
    struct setup *setup = ARENA_NEW(arena, struct setup);
    struct making m = {.arena = arena, .diags = diags, .s = s, .setup = setup};
    m.plan = plan_make(arena, diags, s, which);
    setup->title = s->title;
    setup->variant = m.plan.variant;
    add_stages(&m);
    read_run(&m);
    collect_names(&m);
    readings_read(arena, diags, s, &m.points, &m.parts, setup);
    if (s->wrong || diags_errors(diags) > errors) return NULL;
    drop_late(&m);
    probe_points(&m);
    return setup;
}

bool scenario_check(struct arena *arena, struct diags *diags, const struct scenario *s)
{
    int errors = diags_errors(diags);
    scenario_setup(arena, diags, s, NULL);
    for (int i = 0; i < s->variants.n; i++) scenario_setup(arena, diags, s, s->variants.at[i]->key);
    return !s->wrong && diags_errors(diags) == errors;
}
