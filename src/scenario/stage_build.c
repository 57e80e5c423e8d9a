/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A raw tree becomes parts in four passes: make (kind and model), read, link, stamp. Each pass goes
 * over all parts so that one reading finds all mistakes; link runs only when all parts could be
 * read, since it looks into them, and stamp only when nothing at all is wrong, since it trusts
 * every value. */
#include <string.h>

#include "mains.h"
#include "scenario_impl.h"
#include "sort.h"

/* ---- making ---- */

static const struct part_kind *find_kind(struct set *set, const struct pair *p)
{
    const struct node *is = node_get(p->value, "is");
    suggest_words words = {0};
    for (int i = 0; kinds_all[i]; i++) array_push(set->arena, &words, kinds_all[i]->name);
    if (!is || is->kind != NODE_SCALAR || !is->text[0]) {
        diags_add(set->diags, DIAG_ERROR, is ? is->at : p->at, suggest(set->arena, "", &words),
                  "%s does not say what it is: `is:` is missing", p->key);
        return NULL;
    }
    const struct part_kind *kind = kind_find(is->text);
    if (!kind)
        diags_add(set->diags, DIAG_ERROR, is->at, suggest(set->arena, is->text, &words),
                  "there is no kind of part called `%s`", is->text);
    return kind;
}

static void complain_model(struct set *set, const struct part *part, const char *type)
{
    const char *near = catalogue_nearest(set->catalogue, type, part->kind->name);
    if (!near) near = catalogue_nearest(set->catalogue, type, NULL);
    const char *hint = near ? arena_printf(set->arena, "did you mean `%s`?", near)
                            : "`presolder parts` lists all that are known";
    part_complain(set, part, "type", hint, "there is no `%s` in the catalogue", type);
}

/* False when the type is wrong. */
static bool find_model(struct set *set, struct part *part)
{
    if (!part_node(part, "type")) return true;
    const char *type = part_name(set, part, "type");
    if (!type) return false;
    if (part->kind->own_types && suggest_in(type, part->kind->own_types)) return true;
    const struct model *model = catalogue_find(set->catalogue, type);
    if (!model) {
        complain_model(set, part, type);
        return false;
    }
    if (!part_kind_has_model(part->kind, model)) {
        part_complain(set, part, "type", NULL, "`%s` is a %s, and %s is a %s", model->name,
                      model->kind, part->name, part->kind->name);
        return false;
    }
    part->model = model;
    return true;
}

/* Own keys over the model's; `unknown` leaves the model's value standing. */
static const struct node *lay_over(struct set *set, const struct model *model,
                                   const struct node *own)
{
    struct node *known = ARENA_NEW(set->arena, struct node);
    *known = *own;
    known->n = 0;
    known->pairs = ARENA_ARRAY(set->arena, struct pair, own->n);
    for (int i = 0; i < own->n; i++) {
        const struct pair *p = &own->pairs[i];
        bool unknown = p->value->kind == NODE_SCALAR && strcmp(p->value->text, "unknown") == 0;
        if (!unknown || !node_get(model->values, p->key)) known->pairs[known->n++] = *p;
    }
    return node_overlay(set->arena, model->values, known);
}

/* What stands between the passes. */
struct build {
    struct set *set;
    ARRAY(struct part *) readable; /* parts whose kind and model are known */
    bool whole;                    /* all fitted parts are readable and no key is wrong */
};

static void make(struct build *b, const struct pair *p, bool in_plug)
{
    struct set *set = b->set;
    static const char *const yes[] = {"no", "yes", NULL};
    const struct part_kind *kind = find_kind(set, p);
    if (!kind) {
        b->whole = false;
        return;
    }
    struct part *part = ARENA_NEW(set->arena, struct part);
    *part = (struct part){.name = p->key,
                          .kind = kind,
                          .at = p->at,
                          .map = p->value,
                          .own = p->value,
                          .in_plug = in_plug};
    part->fitted = part_word(set, part, "fitted", yes) != 0;
    bool known = find_model(set, part);
    if (part->model) part->map = lay_over(set, part->model, part->own);
    if (!known || part_check(set, part) > 0) b->whole = false;
    if (!part->fitted) {
        array_push(set->arena, &set->absent, part->name);
        return;
    }
    array_push(set->arena, &set->parts, part);
    if (known) array_push(set->arena, &b->readable, part);
}

/* ---- the passes over all parts ---- */

static void make_all(struct build *b, const struct node *parts, const struct mains *mains)
{
    for (int i = 0; i < parts->n; i++) make(b, &parts->pairs[i], false);
    for (int i = 0; i < mains->through_count; i++) {
        const struct pair *taken = node_pair(parts, mains->through[i].key);
        if (taken)
            diags_add(b->set->diags, DIAG_ERROR, taken->at, "give this part another name",
                      "`%s` is the name of what is in series with the plug", taken->key);
        make(b, &mains->through[i], true);
    }
}

static void read_all(struct build *b)
{
    int errors = diags_errors(b->set->diags);
    for (int i = 0; i < b->readable.n; i++)
        b->readable.at[i]->kind->read(b->set, b->readable.at[i]);
    if (diags_errors(b->set->diags) > errors) b->whole = false;
}

static void link_all(struct set *set)
{
    for (int i = 0; i < set->parts.n; i++)
        if (set->parts.at[i]->kind->link) set->parts.at[i]->kind->link(set, set->parts.at[i]);
}

static int compare_orders(const void *a, const void *b)
{
    return (*(struct part *const *)a)->kind->order - (*(struct part *const *)b)->kind->order;
}

static void stamp_all(struct set *set)
{
    int n = set->parts.n;
    struct part **sorted = ARENA_ARRAY(set->arena, struct part *, n);
    for (int i = 0; i < n; i++) sorted[i] = set->parts.at[i];
    sort_stable(sorted, n, sizeof *sorted, compare_orders);
    for (int i = 0; i < n; i++) sorted[i]->kind->stamp(set, sorted[i]);
}

/* ---- what is not a part ---- */

const struct key run_keys[] = {
    {"for", "seconds, e.g. 30 s", 0},
    {"start", "cold or hot", KEY_WORDS},
    {"ambient", "the temperature of the room, e.g. 25 C", 0},
    {NULL, NULL, 0},
};
static const struct part_kind run_kind = {
    .name = "run", .says = "how long and how", .keys = run_keys};

struct part stage_run(struct arena *arena, const struct draft *draft)
{
    const struct node *map = draft->run;
    if (!map) {
        struct node *empty = ARENA_NEW(arena, struct node);
        *empty = (struct node){.kind = NODE_MAP, .at = draft->parts->at, .text = ""};
        map = empty;
    }
    return (struct part){.name = "run", .kind = &run_kind, .at = map->at, .map = map, .own = map};
}

static void read_ambient(struct set *set, const struct draft *draft)
{
    const double zero = ZERO_CELSIUS, least = zero - 40, most = zero + 100, room = zero + 25;
    struct part run = stage_run(set->arena, draft);
    part_check(set, &run);
    if (!part_value(set, &run, "ambient", UNIT_CELSIUS, least, &set->ambient)) {
        set->ambient = room;
        set_assume(set, (struct assumption){"run", "ambient", room, zero + 15, zero + 35,
                                            UNIT_CELSIUS, "a warm room, common practice, no source",
                                            KNOWN_BY_THERMOMETER, false});
    }
    if (set->ambient <= most) return;
    part_complain(set, &run, "ambient", "write it as in `ambient: 25 C`",
                  "no room is hotter than 100 C");
    set->ambient = room;
}

/* The return of whatever feeds the set: neutral of the mains, else minus of the first battery. */
static const struct terminal *return_of(const struct draft *draft,
                                        const struct terminals *terminals)
{
    const struct terminal *first = NULL;
    for (int i = terminals->list.n - 1; i > 0; i--) {
        const struct terminal *plus = &terminals->list.at[i - 1], *minus = plus + 1;
        if (!plus->feeds || plus->winding || plus->group != minus->group) continue;
        bool mains = strcmp(plus->part, "mains") == 0 && strcmp(minus->point, "earth") != 0;
        if (mains || !draft->mains) first = minus;
    }
    return first;
}

/* Without a chassis its voltages would be told against whatever point comes first. */
static void choose_reference(struct set *set, const struct draft *draft,
                             const struct terminals *terminals)
{
    const struct terminal *back = return_of(draft, terminals);
    if (!back) return;
    set->circuit->reference = back->point;
    diags_add(set->diags, DIAG_NOTE, back->at, "name another point with `reference:`",
              "no part ends on `chassis`: voltages are given relative to `%s`", back->point);
}

static void read_reference(struct set *set, const struct draft *draft,
                           const struct terminals *terminals)
{
    const struct node *reference = draft->reference;
    if (!reference || reference->kind != NODE_SCALAR || !reference->text[0]) {
        if (!terminals_use(terminals, set->circuit->reference))
            choose_reference(set, draft, terminals);
        return;
    }
    set->circuit->reference = reference->text;
    if (terminals_use(terminals, reference->text)) return;
    diags_add(set->diags, DIAG_ERROR, reference->at,
              suggest(set->arena, reference->text, &terminals->points),
              "no part ends on the point `%s`", reference->text);
}

/* ---- one stage ---- */

static bool has_room(struct set *set, const struct draft *draft)
{
    if (set->circuit->gates <= PATTERN_BITS) return true;
    diags_add(set->diags, DIAG_ERROR, draft->parts->at,
              "leave out what does not matter to the question",
              "the set has %d rectifier sections and switches; at most %d can be followed",
              set->circuit->gates, PATTERN_BITS);
    return false;
}

struct set *stage_build(struct arena *arena, struct diags *diags, const struct catalogue *catalogue,
                        const struct draft *draft, const struct terminals *terminals,
                        struct mains *mains, const char *variant)
{
    int errors = diags_errors(diags);
    struct set *set = ARENA_NEW(arena, struct set);
    set->arena = arena;
    set->diags = diags;
    set->catalogue = catalogue;
    set->variant = variant;
    set->circuit = circuit_new(arena);
    read_ambient(set, draft);
    read_reference(set, draft, terminals);
    mains_read(set, draft->mains, mains);
    terminals_check(arena, diags, draft, terminals);
    struct build build = {.set = set, .whole = true};
    make_all(&build, draft->parts, mains);
    read_all(&build);
    if (build.whole) link_all(set);
    if (diags_errors(diags) > errors) return NULL;
    mains_stamp(set, mains, terminals_use(terminals, "earth"));
    stamp_all(set);
    return diags_errors(diags) == errors && has_room(set, draft) ? set : NULL;
}
