/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What others ask of a part, answered by its kind. */
#include <string.h>

#include "part.h"

bool part_is(const struct part *part, unsigned roles)
{
    const struct part_kind *kind = part->kind;
    return kind->roles & roles || (kind->also && kind->also(part) & roles);
}

static const char *word(const struct part *part, const char *key)
{
    const struct node *node = part_node(part, key);
    return node && node->kind == NODE_SCALAR ? node->text : NULL;
}

const char *part_type(const struct part *part)
{
    return word(part, "type");
}

const char *part_condition(const struct part *part)
{
    return word(part, "condition");
}

const struct part *part_with(const struct set *set, unsigned roles)
{
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], roles)) return set->parts.at[i];
    return NULL;
}

double part_ohms(const struct part *part, double volts)
{
    return part->kind->ohms ? part->kind->ohms(part, volts) : 0;
}

double part_volts(const struct part *part)
{
    return part->kind->volts ? part->kind->volts(part) : 0;
}

bool part_way(const struct set *set, const struct part *part, int k, struct part_way *way)
{
    *way = (struct part_way){.points = 0};
    if (part->kind->way) return part->kind->way(set, part, k, way);
    if (k > (part->kind->line_output ? 1 : 0)) return false;
    const struct node *across = part_node(part, k == 0 ? "across" : "output");
    if (!across || across->kind != NODE_LIST || across->n != 2) return false;
    way->points = 2;
    for (int i = 0; i < 2; i++) way->point[i] = across->items[i]->text;
    return true;
}

bool part_turns(const struct set *set, const struct part *part, int k, struct part_winding *winding)
{
    return part->kind->turns && part->kind->turns(set, part, k, winding);
}

bool part_primary(const struct set *set, const struct part *part, struct part_way *way)
{
    *way = (struct part_way){.points = 0};
    return part->kind->primary && part->kind->primary(set, part, way);
}

/* A number alone says nothing without its key: `2 in series`. */
int part_shown(struct arena *arena, const struct part *part, const char **texts, int most)
{
    int n = 0;
    const char *type = part_type(part);
    if (type && n < most) texts[n++] = type;
    for (const struct key *k = part->kind->keys; k->name && n < most; k++) {
        const struct node *node = node_get(part->own, k->name);
        bool text = k->use & KEY_SHOWN && node && node->kind == NODE_SCALAR && node->text[0];
        if (!text || strcmp(node->text, "unknown") == 0) continue;
        bool number = node->text[strspn(node->text, "0123456789.")] == 0;
        texts[n++] = number ? arena_printf(arena, "%s %s", node->text, k->name) : node->text;
    }
    return n;
}

bool part_ends_at(const struct set *set, const struct part *part, const char *point)
{
    struct part_way way;
    for (int k = 0; part_way(set, part, k, &way); k++)
        if (way.points > 0 &&
            (strcmp(way.point[0], point) == 0 || strcmp(way.point[way.points - 1], point) == 0))
            return true;
    return false;
}

bool part_kind_has_model(const struct part_kind *kind, const struct model *model)
{
    return strcmp(model->kind, kind->name) == 0;
}

bool part_model_is(const struct model *model, unsigned roles)
{
    const struct part_kind *kind = kind_find(model->kind);
    return kind && kind->roles & roles;
}
