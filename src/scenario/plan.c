/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A variant is the scenario with its own keys laid over it, after those of the variants it is based
 * on. Timed changes of all of them are collected; those of one instant become one, the later
 * written over the earlier. Nothing is interpreted here but names, so what was written keeps its
 * place in the file. */
#include <stdlib.h>
#include <string.h>

#include "scenario_impl.h"

/* ---- keys ---- */

bool plan_is_timed(const char *key)
{
    return strcmp(key, "at") == 0 || strncmp(key, "at ", 3) == 0;
}

bool plan_is_reserved(const char *key)
{
    return plan_is_timed(key) || key_find(variant_keys, key) || key_find(scenario_keys, key);
}

bool plan_time(struct diags *diags, const struct pair *pair, double *time)
{
    struct complaint why;
    const char *text = pair->key[2] ? pair->key + 3 : "";
    if (!quantity_parse(text, UNIT_SECOND, time, &why)) {
        diags_add(diags, DIAG_ERROR, pair->at,
                  "write it as in `at 20 s: {C1: {condition: shorted}}`", "no time in `%s`: %s",
                  pair->key, why.message);
        return false;
    }
    if (*time > 0) return true;
    diags_add(diags, DIAG_ERROR, pair->at, "what holds from the start belongs in the part itself",
              "a timed change comes after the start, not at %s", text);
    return false;
}

/* ---- overlays ---- */

static bool is_other_kind(const struct node *base, const struct node *over)
{
    const struct node *was = node_get(base, "is"), *is = node_get(over, "is");
    if (!was || !is || was->kind != NODE_SCALAR || is->kind != NODE_SCALAR) return false;
    return strcmp(was->text, is->text) != 0;
}

/* A part that is given another type loses what described the old one (its law and ratings): they
 * are the new model's now, unless `over` states them itself. */
static const struct node *without_old_type(struct arena *arena, const struct node *base,
                                           const struct node *over)
{
    const struct node *is = node_get(base, "is");
    if (!node_get(over, "type") || !is || is->kind != NODE_SCALAR) return base;
    const struct part_kind *kind = kind_find(is->text);
    if (!kind) return base;
    struct node *kept = ARENA_NEW(arena, struct node);
    *kept = *base;
    kept->n = 0;
    kept->pairs = ARENA_ARRAY(arena, struct pair, base->n);
    for (int i = 0; i < base->n; i++) {
        bool model = false;
        for (const struct key *k = kind->keys; k->name && !model; k++)
            model = (k->use & KEY_MODEL) && strcmp(k->name, base->pairs[i].key) == 0;
        if (!model) kept->pairs[kept->n++] = base->pairs[i];
    }
    return kept;
}

/* A copy of the map without the pairs whose part becomes another kind, so that the overlay puts the
 * new one in. */
static const struct node *without_replaced(struct arena *arena, const struct node *base,
                                           const struct node *over)
{
    struct node *kept = ARENA_NEW(arena, struct node);
    *kept = *base;
    kept->n = 0;
    kept->pairs = ARENA_ARRAY(arena, struct pair, base->n);
    for (int i = 0; i < base->n; i++) {
        const struct node *now = node_get(over, base->pairs[i].key);
        if (is_other_kind(base->pairs[i].value, now)) continue;
        struct pair pair = base->pairs[i];
        pair.value = without_old_type(arena, pair.value, now);
        kept->pairs[kept->n++] = pair;
    }
    return kept;
}

struct draft plan_overlay(struct arena *arena, const struct draft *base, const struct draft *over)
{
    struct draft d;
    d.parts = base->parts && over->parts ? without_replaced(arena, base->parts, over->parts)
                                         : base->parts;
    d.parts = node_overlay(arena, d.parts, over->parts);
    d.mains = node_overlay(arena, base->mains, over->mains);
    d.run = node_overlay(arena, base->run, over->run);
    d.reference = node_overlay(arena, base->reference, over->reference);
    return d;
}

/* ---- from a map of part names, mains, ... to a draft ---- */

static const struct node *map_or_null(const struct node *node)
{
    return node && node->kind == NODE_MAP ? node : NULL;
}

static struct draft split(struct arena *arena, const struct node *map)
{
    struct draft d = {.mains = map_or_null(node_get(map, "mains")),
                      .run = map_or_null(node_get(map, "run")),
                      .reference = node_get(map, "reference")};
    struct node *parts = ARENA_NEW(arena, struct node);
    *parts = (struct node){.kind = NODE_MAP, .at = map->at, .text = ""};
    parts->pairs = ARENA_ARRAY(arena, struct pair, map->n);
    for (int i = 0; i < map->n; i++)
        if (!plan_is_reserved(map->pairs[i].key) && map->pairs[i].value->kind == NODE_MAP)
            parts->pairs[parts->n++] = map->pairs[i];
    d.parts = parts;
    return d;
}

/* Leaves out, and reports, changes of parts that are not there. */
static void check_there(struct arena *arena, struct diags *diags, const struct draft *base,
                        struct draft *over)
{
    struct node *parts = ARENA_NEW(arena, struct node);
    *parts = *over->parts;
    parts->n = 0;
    for (int i = 0; i < over->parts->n; i++) {
        const struct pair p = over->parts->pairs[i];
        if (node_get(base->parts, p.key) || node_get(p.value, "is")) {
            parts->pairs[parts->n++] = p;
            continue;
        }
        suggest_words words = {0};
        suggest_keys(arena, &words, base->parts);
        const char *hint = suggest_nearest(arena, p.key, &words);
        if (!hint) hint = "a new part says what it is, as in `is: capacitor`";
        diags_add(diags, DIAG_ERROR, p.at, hint, "there is no part `%s` to change", p.key);
    }
    over->parts = parts;
}

/* ---- words for a change ---- */

static const char *value_words(struct arena *arena, const struct node *node)
{
    if (node->kind == NODE_SCALAR) return node->text;
    const char *all = "";
    for (int i = 0; i < node->n; i++) {
        const struct node *value = node->kind == NODE_MAP ? node->pairs[i].value : node->items[i];
        const char *words = value_words(arena, value), *comma = i ? ", " : "";
        all = node->kind == NODE_MAP
                  ? arena_printf(arena, "%s%s%s %s", all, comma, node->pairs[i].key, words)
                  : arena_printf(arena, "%s%s%s", all, comma, words);
    }
    return all;
}

static const char *part_words(struct arena *arena, const char *words, const char *part,
                              const struct node *map)
{
    const struct node *is = node_get(map, "is");
    const char *comma = words[0] ? ", " : "";
    if (is)
        return arena_printf(arena, "%s%s%s put in: %s", words, comma, part, value_words(arena, is));
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        words = arena_printf(arena, "%s%s%s %s: %s", words, comma, part, p->key,
                             value_words(arena, p->value));
        comma = ", ";
    }
    return words;
}

static const char *change_words(struct arena *arena, const struct draft *over)
{
    const char *words = "";
    for (int i = 0; over->parts && i < over->parts->n; i++)
        words = part_words(arena, words, over->parts->pairs[i].key, over->parts->pairs[i].value);
    return over->mains ? part_words(arena, words, "mains", over->mains) : words;
}

/* ---- the plan ---- */

static struct change *change_at(struct arena *arena, struct plan *plan, double time,
                                struct place at)
{
    int i = 0;
    while (i < plan->changes.n && plan->changes.at[i].time < time) i++;
    if (i < plan->changes.n && plan->changes.at[i].time == time) return &plan->changes.at[i];
    array_push(arena, &plan->changes, (struct change){.time = time});
    struct change *slot = &plan->changes.at[i];
    memmove(slot + 1, slot, (size_t)(plan->changes.n - 1 - i) * sizeof *slot);
    *slot = (struct change){.time = time, .at = at};
    return slot;
}

static void take_changes(struct arena *arena, struct plan *plan, const struct node *map)
{
    struct diags *quiet = diags_new(arena); /* wrong times were reported with the outer form */
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        double time;
        if (!plan_is_timed(p->key) || p->value->kind != NODE_MAP || !plan_time(quiet, p, &time))
            continue;
        struct change *change = change_at(arena, plan, time, p->at);
        struct draft over = split(arena, p->value);
        over.run = over.reference = NULL;
        change->over = plan_overlay(arena, &change->over, &over);
    }
}

bool plan_variant(struct arena *arena, struct diags *diags, const struct scenario *s,
                  const char *name, const struct pair **which)
{
    suggest_words words = {0};
    *which = NULL;
    if (!name || strcmp(name, "base") == 0) return true;
    for (int i = 0; i < s->variants.n; i++) {
        if (strcmp(s->variants.at[i]->key, name) == 0) *which = s->variants.at[i];
        array_push(arena, &words, s->variants.at[i]->key);
    }
    if (*which) return true;
    diags_add(diags, DIAG_ERROR, (struct place){s->path, 0, 0}, suggest(arena, name, &words),
              "there is no variant `%s`", name);
    return false;
}

/* The variants from the scenario's nearest to the wanted one. A circle, reported before, is cut. Of
 * two of one name the first counts: the other lays keys over it (overrides_scenario). */
static int chain_of(const struct scenario *s, const struct pair *variant, const struct pair **chain)
{
    int n = 0;
    while (variant && n < s->variants.n) {
        chain[n++] = variant;
        const struct node *on = node_get(variant->value, "based on");
        variant = NULL;
        for (int i = 0; !variant && on && on->kind == NODE_SCALAR && i < s->variants.n; i++)
            if (strcmp(s->variants.at[i]->key, on->text) == 0) variant = s->variants.at[i];
    }
    for (int i = 0; i < n / 2; i++) {
        const struct pair *keep = chain[i];
        chain[i] = chain[n - 1 - i];
        chain[n - 1 - i] = keep;
    }
    return n;
}

static struct draft start_of(struct arena *arena, const struct scenario *s)
{
    const struct node *root = s->root, *parts = node_get(root, "parts");
    struct node *maps = ARENA_NEW(arena, struct node);
    *maps = *parts;
    maps->n = 0;
    maps->pairs = ARENA_ARRAY(arena, struct pair, parts->n);
    for (int i = 0; i < parts->n; i++)
        if (parts->pairs[i].value->kind == NODE_MAP) maps->pairs[maps->n++] = parts->pairs[i];
    return (struct draft){maps, map_or_null(node_get(root, "mains")),
                          map_or_null(node_get(root, "run")), node_get(root, "reference")};
}

struct plan plan_make(struct arena *arena, struct diags *diags, const struct scenario *s,
                      const struct pair *variant)
{
    struct plan plan = {.variant = variant ? variant->key : "base", .start = start_of(arena, s)};
    const struct pair **chain = ARENA_ARRAY(arena, const struct pair *, s->variants.n);
    int n = chain_of(s, variant, chain);
    take_changes(arena, &plan, s->root);
    for (int i = 0; i < n; i++) {
        struct draft over = split(arena, chain[i]->value);
        check_there(arena, diags, &plan.start, &over);
        plan.start = plan_overlay(arena, &plan.start, &over);
        take_changes(arena, &plan, chain[i]->value);
    }
    struct draft now = plan.start;
    for (int i = 0; i < plan.changes.n; i++) {
        struct change *change = &plan.changes.at[i];
        if (change->over.parts) check_there(arena, diags, &now, &change->over);
        now = plan_overlay(arena, &now, &change->over);
        change->words = change_words(arena, &change->over);
    }
    return plan;
}
