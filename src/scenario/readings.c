/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chart and meter: a name and a value. Which unit belongs there follows from what the name stands
 * for. */
#include <string.h>

#include "scenario_impl.h"

struct readings {
    struct arena *arena;
    struct diags *diags;
    const struct reading_names *points, *parts;
    struct setup *setup;
};

static bool one_of(const char *word, const suggest_words *words)
{
    for (int i = 0; i < words->n; i++)
        if (strcmp(words->at[i], word) == 0) return true;
    return false;
}

static void complain_name(const struct readings *r, const struct pair *p)
{
    suggest_words words = {0};
    for (int i = 0; i < r->points->known.n; i++)
        array_push(r->arena, &words, r->points->known.at[i]);
    for (int i = 0; i < r->parts->known.n; i++) array_push(r->arena, &words, r->parts->known.at[i]);
    diags_add(r->diags, DIAG_ERROR, p->at, suggest(r->arena, p->key, &words),
              "no point or part is called `%s`", p->key);
}

static bool read_quantity(const struct readings *r, const struct pair *p, enum unit unit,
                          double *value)
{
    struct complaint why;
    if (p->value->kind != NODE_SCALAR) {
        diags_add(r->diags, DIAG_ERROR, p->at, "write it as in `B+: 250 V`", "`%s` takes one value",
                  p->key);
        return false;
    }
    if (strcmp(p->value->text, "unknown") == 0) return false;
    if (quantity_parse(p->value->text, unit, value, &why)) return true;
    const char *hint =
        unit == UNIT_AMPERE ? "a part is read in amperes, a point in volts" : why.hint;
    diags_add(r->diags, DIAG_ERROR, p->value->at, hint, "%s", why.message);
    return false;
}

static void read_one(const struct readings *r, const struct pair *p, bool measured)
{
    bool part = one_of(p->key, &r->parts->known);
    const struct reading_names *names = part ? r->parts : r->points;
    struct reading reading = {p->key, 0, part ? UNIT_AMPERE : UNIT_VOLT, measured, p->at};
    if (!one_of(p->key, &names->known)) complain_name(r, p);
    else if (read_quantity(r, p, reading.unit, &reading.value) && one_of(p->key, &names->here))
        array_push(r->arena, &r->setup->readings, reading);
}

static void read_map(const struct readings *r, const struct scenario *s, const char *key,
                     bool measured)
{
    const struct node *map = node_get(s->root, key);
    for (int i = 0; map && map->kind == NODE_MAP && i < map->n; i++)
        read_one(r, &map->pairs[i], measured);
}

void readings_read(struct arena *arena, struct diags *diags, const struct scenario *s,
                   const struct reading_names *points, const struct reading_names *parts,
                   struct setup *setup)
{
    const struct readings r = {arena, diags, points, parts, setup};
    read_map(&r, s, "chart", false);
    read_map(&r, s, "measured", true);
}
