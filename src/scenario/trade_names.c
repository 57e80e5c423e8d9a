/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tree is copied as far as something in it changes its name. Names of parts and points are the
 * user's own: only where a reading names a point that no part has, its other names are looked
 * for. */
#include "trade_names.h"

#include <string.h>

const struct trade_name trade_names_keys[] = {
    {"ESR", "series resistance"}, {"esr", "series resistance"}, {"anodes", "plates"},
    {"capacitance", "value"},     {"valves", "lineup"},         {NULL, NULL}};

const struct trade_name trade_names_kinds[] = {{"mains transformer", "power transformer"},
                                               {"valve rectifier", "rectifier"},
                                               {"rectifier valve", "rectifier"},
                                               {"rectifier tube", "rectifier"},
                                               {"condenser", "capacitor"},
                                               {"electrolytic", "capacitor"},
                                               {"reservoir", "capacitor"},
                                               {"reservoir capacitor", "capacitor"},
                                               {"smoothing capacitor", "capacitor"},
                                               {"filter capacitor", "capacitor"},
                                               {"smoothing choke", "choke"},
                                               {"filter choke", "choke"},
                                               {"mains dropper", "resistor"},
                                               {"dropper", "resistor"},
                                               {"energised loudspeaker", "field coil"},
                                               {"valves", "load"},
                                               {"tubes", "load"},
                                               {NULL, NULL}};

const struct trade_name trade_names_words[] = {{"valves", "tubes"}, {NULL, NULL}};

/* Names of one point, a group ends with NULL; the last group is empty. */
static const char *const points[] = {"B+",
                                     "HT",
                                     "HT+",
                                     "HT line",
                                     NULL, /* - */
                                     "first filter",
                                     "reservoir",
                                     "raw HT",
                                     "reservoir capacitor",
                                     NULL, /* - */
                                     "B-",
                                     "HT-",
                                     "HT negative",
                                     NULL, /* - */
                                     NULL};

static const char *find(const struct trade_name *list, const char *text)
{
    for (; list->other; list++)
        if (strcmp(list->other, text) == 0) return list->name;
    return NULL;
}

/* ---- the tree ---- */

static struct node *copy_map(struct arena *arena, const struct node *map)
{
    struct node *copy = ARENA_NEW(arena, struct node);
    *copy = *map;
    copy->pairs = ARENA_ARRAY(arena, struct pair, map->n);
    for (int i = 0; i < map->n; i++) copy->pairs[i] = map->pairs[i];
    return copy;
}

static const struct node *with_text(struct arena *arena, const struct node *node, const char *text)
{
    if (!text) return node;
    struct node *copy = ARENA_NEW(arena, struct node);
    *copy = *node;
    copy->text = text;
    return copy;
}

static const struct node *read_part(struct arena *arena, const struct node *map)
{
    if (map->kind != NODE_MAP) return map;
    struct node *copy = copy_map(arena, map);
    for (int i = 0; i < copy->n; i++) {
        struct pair *p = &copy->pairs[i];
        const char *key = find(trade_names_keys, p->key);
        if (key && !node_get(map, key)) p->key = key;
        if (p->value->kind != NODE_SCALAR) continue;
        if (strcmp(p->key, "is") == 0)
            p->value = with_text(arena, p->value, find(trade_names_kinds, p->value->text));
        if (strcmp(p->key, "like") == 0)
            p->value = with_text(arena, p->value, find(trade_names_words, p->value->text));
    }
    return copy;
}

static bool is_own(const char *name)
{
    static const char *const own[] = {"mains", "run", "reference", "based on", NULL};
    return suggest_in(name, own);
}

/* The parts of a map of them; those of a variant's timed changes one level further in. */
static const struct node *read_parts(struct arena *arena, const struct node *map, bool variant)
{
    if (!map || map->kind != NODE_MAP) return map;
    struct node *copy = copy_map(arena, map);
    for (int i = 0; i < copy->n; i++) {
        struct pair *p = &copy->pairs[i];
        if (variant && strncmp(p->key, "at ", 3) == 0)
            p->value = read_parts(arena, p->value, false);
        else if (!is_own(p->key)) p->value = read_part(arena, p->value);
    }
    return copy;
}

static const struct node *read_variants(struct arena *arena, const struct node *map)
{
    if (map->kind != NODE_MAP) return map;
    struct node *copy = copy_map(arena, map);
    for (int i = 0; i < copy->n; i++)
        copy->pairs[i].value = read_parts(arena, copy->pairs[i].value, true);
    return copy;
}

/* ---- points ---- */

static void gather_text(struct arena *arena, const struct node *node, suggest_words *names)
{
    if (node->kind == NODE_SCALAR && node->text[0]) array_push(arena, names, node->text);
    for (int i = 0; node->kind == NODE_LIST && i < node->n; i++)
        gather_text(arena, node->items[i], names);
}

void trade_names_gather(struct arena *arena, const struct node *node, suggest_words *names)
{
    static const char *const at[] = {"across", "plates", "cathode", "cathodes", "output",
                                     "plate",  "grid",   "tap",     NULL};
    for (int i = 0; node && node->kind == NODE_MAP && i < node->n; i++) {
        const struct pair *p = &node->pairs[i];
        if (strcmp(p->key, "windings") == 0) suggest_keys(arena, names, p->value);
        if (p->value->kind == NODE_MAP) trade_names_gather(arena, p->value, names);
        else if (suggest_in(p->key, at)) gather_text(arena, p->value, names);
    }
}

const char *trade_names_point(const suggest_words *known, const char *name)
{
    if (suggest_has(known, name)) return name;
    for (const char *const *group = points; *group;) {
        bool member = false;
        const char *other = NULL;
        for (; *group; group++) {
            member |= strcmp(*group, name) == 0;
            if (!other && suggest_has(known, *group)) other = *group;
        }
        if (member && other) return other;
        group++;
    }
    return name;
}

static const struct node *read_names(struct arena *arena, const suggest_words *known,
                                     const struct node *node)
{
    if (node->kind == NODE_SCALAR)
        return with_text(arena, node, trade_names_point(known, node->text));
    if (node->kind != NODE_MAP) return node;
    struct node *copy = copy_map(arena, node);
    for (int i = 0; i < copy->n; i++) {
        const char *name = trade_names_point(known, copy->pairs[i].key);
        if (!node_get(node, name)) copy->pairs[i].key = name;
    }
    return copy;
}

const struct node *trade_names_read(struct arena *arena, const struct node *root)
{
    const struct node *parts = node_get(root, "parts");
    suggest_words known = {0};
    if (!parts || parts->kind != NODE_MAP) return root;
    trade_names_gather(arena, parts, &known);
    suggest_keys(arena, &known, parts);
    struct node *copy = copy_map(arena, root);
    for (int i = 0; i < copy->n; i++) {
        struct pair *p = &copy->pairs[i];
        if (strcmp(p->key, "parts") == 0) p->value = read_parts(arena, p->value, false);
        else if (strcmp(p->key, "variants") == 0) p->value = read_variants(arena, p->value);
        else if (strcmp(p->key, "chart") == 0 || strcmp(p->key, "reference") == 0 ||
                 strcmp(p->key, "measured") == 0)
            p->value = read_names(arena, &known, p->value);
    }
    return copy;
}
