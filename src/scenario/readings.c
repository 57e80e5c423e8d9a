/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chart and meter: names and values. Which unit belongs there follows from what the name stands
 * for. */
#include <math.h>
#include <string.h>

#include "readings_impl.h"

/* ---- the chart: points in volts, parts in amperes ---- */

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

static void read_chart(const struct readings *r, const struct pair *p)
{
    bool part = suggest_has(&r->parts->known, p->key);
    const struct reading_names *names = part ? r->parts : r->points;
    struct reading reading = {p->key, 0, part ? UNIT_AMPERE : UNIT_VOLT, false, p->at};
    if (!suggest_has(&names->known, p->key)) complain_name(r, p);
    else if (read_quantity(r, p, reading.unit, &reading.value) && suggest_has(&names->here, p->key))
        array_push(r->arena, &r->setup->readings, reading);
}

/* ---- what was measured ---- */

static bool as_it_runs(const struct reading_set *set)
{
    return isnan(set->line) && !set->lamp && set->out.n == 0;
}

/* ISO 8601 sorts as it is written. */
static bool is_later(const struct reading_set *set, const struct reading_set *than)
{
    return set->date && (!than->date || strcmp(set->date, than->date) > 0);
}

/* What stands beside the chart: direct volts of points, amperes of parts, of the latest set that was
 * taken as the scenario runs; without dates the first. */
static void copy_plain(const struct readings *r)
{
    const struct reading_set *found = NULL;
    for (int i = 0; i < r->measured->sets.n; i++) {
        const struct reading_set *set = &r->measured->sets.at[i];
        if (as_it_runs(set) && (!found || is_later(set, found))) found = set;
    }
    for (int k = 0; found && k < found->readings.n; k++) {
        const struct meter_reading *m = &found->readings.at[k];
        bool volts = m->measure == MEASURE_SETTLED_VOLTAGE;
        bool amperes = m->measure == MEASURE_NONE && m->unit == UNIT_AMPERE;
        if (m->kind == READING_FIGURE && (volts || amperes))
            array_push(r->arena, &r->setup->readings,
                       (struct reading){m->subject, m->value, m->unit, true, m->place});
    }
}

void readings_read(struct arena *arena, struct diags *diags, const struct scenario *s,
                   const struct reading_names *points, const struct reading_names *parts,
                   struct setup *setup)
{
    struct measured *measured = ARENA_NEW(arena, struct measured);
    const struct readings r = {arena, diags, points, parts, setup, measured};
    const struct node *chart = node_get(s->root, "chart");
    for (int i = 0; chart && chart->kind == NODE_MAP && i < chart->n; i++)
        read_chart(&r, &chart->pairs[i]);
    reading_sets_read(&r, s);
    copy_plain(&r);
    setup->measured = measured;
}

/* ---- readings from elsewhere ---- */

static const char *const own_keys[] = {"measured", "meter", "noticed", NULL};

static bool has_key(const struct pair *keys, int n, const char *key)
{
    for (int i = 0; i < n; i++)
        if (strcmp(keys[i].key, key) == 0) return true;
    return false;
}

/* The scenario with these keys in place of its own readings. */
static const struct scenario *with_keys(struct arena *arena, const struct scenario *s,
                                        const struct pair *keys, int n)
{
    struct scenario *copy = ARENA_NEW(arena, struct scenario);
    struct node *root = ARENA_NEW(arena, struct node);
    *copy = *s;
    *root = *s->root;
    root->n = 0;
    root->pairs = ARENA_ARRAY(arena, struct pair, s->root->n + n);
    for (int i = 0; i < s->root->n; i++) {
        const struct pair *p = &s->root->pairs[i];
        /* the meter stays the same unless another is told */
        bool replaced = suggest_in(p->key, own_keys) &&
                        (strcmp(p->key, "meter") != 0 || has_key(keys, n, "meter"));
        if (!replaced) root->pairs[root->n++] = *p;
    }
    for (int i = 0; i < n; i++) root->pairs[root->n++] = keys[i];
    copy->root = root;
    return copy;
}

static const struct scenario *laid_over(struct arena *arena, struct diags *diags,
                                        const struct scenario *s, const struct node *root)
{
    int errors = diags_errors(diags);
    if (!root) return NULL;
    if (root->kind != NODE_MAP) {
        diags_add(diags, DIAG_ERROR, root->at, "write `measured:` and below it `B+: 181 V`",
                  "a file of readings holds `measured`, `meter` and `noticed`");
        return NULL;
    }
    suggest_words words = {0};
    suggest_list(arena, &words, own_keys);
    for (int i = 0; i < root->n; i++)
        if (!suggest_in(root->pairs[i].key, own_keys))
            diags_add(diags, DIAG_ERROR, root->pairs[i].at,
                      suggest(arena, root->pairs[i].key, &words), "unknown key `%s`",
                      root->pairs[i].key);
    return diags_errors(diags) > errors ? NULL : with_keys(arena, s, root->pairs, root->n);
}

const struct scenario *readings_from_file(struct arena *arena, struct diags *diags,
                                          const struct scenario *s, const char *path)
{
    return laid_over(arena, diags, s, doc_read(arena, diags, path));
}

const struct scenario *readings_parse(struct arena *arena, struct diags *diags,
                                      const struct scenario *s, const char *name, const char *text)
{
    return laid_over(arena, diags, s, doc_parse(arena, diags, name, text, strlen(text)));
}

const struct scenario *readings_instead(struct arena *arena, const struct scenario *s, int n,
                                        const char *const *text, const char *const *name,
                                        const char *const *value)
{
    struct node *map = ARENA_NEW(arena, struct node);
    struct pair *measured = ARENA_NEW(arena, struct pair);
    *map = (struct node){.kind = NODE_MAP, .at = {s->path, 0, 0}, .text = "", .n = n};
    map->pairs = ARENA_ARRAY(arena, struct pair, n);
    for (int i = 0; i < n; i++) {
        struct node *scalar = ARENA_NEW(arena, struct node);
        const struct place at = {text[i], 0, 0};
        *scalar = (struct node){.kind = NODE_SCALAR, .at = at, .text = value[i]};
        map->pairs[i] = (struct pair){name[i], at, scalar};
    }
    *measured = (struct pair){"measured", map->at, map};
    return with_keys(arena, s, measured, 1);
}
