/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Looking up keys and laying one tree over another. Nodes are never changed: what an overlay leaves
 * alone is shared. */
#include "doc.h"

#include <string.h>

const struct pair *node_pair(const struct node *map, const char *key)
{
    if (!map || map->kind != NODE_MAP) return NULL;
    for (int i = 0; i < map->n; i++)
        if (strcmp(map->pairs[i].key, key) == 0) return &map->pairs[i];
    return NULL;
}

const struct node *node_get(const struct node *map, const char *key)
{
    const struct pair *pair = node_pair(map, key);
    return pair ? pair->value : NULL;
}

static bool both_maps(const struct node *a, const struct node *b)
{
    return a->kind == NODE_MAP && b->kind == NODE_MAP;
}

/* Where a key is replaced, its new position counts; where it is merged, the first one. */
static struct pair overlay_pair(struct arena *arena, const struct pair *base,
                                const struct pair *over)
{
    if (!over) return *base;
    if (!both_maps(base->value, over->value)) return *over;
    return (struct pair){base->key, base->at, node_overlay(arena, base->value, over->value)};
}

const struct node *node_overlay(struct arena *arena, const struct node *base,
                                const struct node *over)
{
    if (!base || !over) return base ? base : over;
    if (!both_maps(base, over)) return over;
    struct node *merged = ARENA_NEW(arena, struct node);
    *merged = *base;
    merged->pairs = ARENA_ARRAY(arena, struct pair, base->n + over->n);
    for (int i = 0; i < base->n; i++) {
        const struct pair *pair = &base->pairs[i];
        merged->pairs[i] = overlay_pair(arena, pair, node_pair(over, pair->key));
    }
    for (int i = 0; i < over->n; i++)
        if (!node_pair(base, over->pairs[i].key)) merged->pairs[merged->n++] = over->pairs[i];
    return merged;
}
