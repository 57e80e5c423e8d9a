/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts are known by their kind and the names of their points. Of inner points nothing is asked: no
 * probe reaches them by name. */
#include "bench_parts.h"

#include <string.h>

#include "capacitor.h"

enum { ENDS = 3 };

static bool is_a(const struct part *p, const char *kind)
{
    return strcmp(p->kind->name, kind) == 0;
}

static bool is_coil(const struct part *p)
{
    return is_a(p, "choke") || is_a(p, "field coil");
}

/* The names under a key: a word or a list. */
static int ends_of(const struct node *map, const char *key, const char *names[ENDS])
{
    const struct node *node = node_get(map, key);
    int n = 0;
    if (node && node->kind == NODE_SCALAR) names[n++] = node->text;
    for (int i = 0; node && node->kind == NODE_LIST && i < node->n && n < ENDS; i++)
        if (node->items[i]->kind == NODE_SCALAR) names[n++] = node->items[i]->text;
    return n;
}

static bool has_end(const struct node *map, const char *key, const char *point)
{
    const char *names[ENDS];
    for (int i = ends_of(map, key, names) - 1; i >= 0; i--)
        if (strcmp(names[i], point) == 0) return true;
    return false;
}

static const char *plus_of(const struct part *p)
{
    const char *names[ENDS];
    return ends_of(p->map, "across", names) > 0 ? names[0] : "";
}

/* ---- filters ---- */

static bool at_cathode(const struct set *set, const char *point)
{
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (is_a(p, "rectifier") &&
            (has_end(p->map, "cathode", point) || has_end(p->map, "cathodes", point)))
            return true;
    }
    return false;
}

/* Something that passes direct current joins the two points. */
static bool joined(const struct set *set, const char *a, const char *b)
{
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if ((is_coil(p) || is_a(p, "resistor")) && has_end(p->map, "across", a) &&
            has_end(p->map, "across", b))
            return true;
    }
    return false;
}

static void find_filters(struct arena *arena, struct bench_parts *b, const struct set *set)
{
    const struct part *first = NULL, *second = NULL;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (!is_a(p, "capacitor") || capacitor_farads(p) < BENCH_FILTER) continue;
        array_push(arena, &b->filters, p);
        if (!first && at_cathode(set, plus_of(p))) first = p;
    }
    if (!first && b->filters.n > 0) first = b->filters.at[0];
    for (int i = 0; i < b->filters.n && !second; i++)
        if (b->filters.at[i] != first && joined(set, plus_of(first), plus_of(b->filters.at[i])))
            second = b->filters.at[i];
    for (int i = 0; i < b->filters.n && !second; i++)
        if (b->filters.at[i] != first) second = b->filters.at[i];
    b->first = first ? first->name : NULL;
    b->second = second ? second->name : NULL;
    if (first && has_end(first->map, "across", set->circuit->reference))
        b->first_point = plus_of(first);
}

/* ---- pairs for the ohmmeter ---- */

static void add_pair(struct arena *arena, struct bench_parts *b, const char *part, int kind,
                     const char *title, const char *plus, const char *minus)
{
    struct bench_pair pair = {.what = arena_printf(arena, "%s: %s to %s", title, plus, minus),
                              .part = part,
                              .plus = plus,
                              .minus = minus,
                              .kind = kind};
    array_push(arena, &b->pairs, pair);
}

/* Minus at the outer end, so that a rectifier there blocks. */
static void add_windings(struct arena *arena, struct bench_parts *b, const struct part *p)
{
    const struct node *windings = node_get(p->map, "windings");
    for (int i = 0; windings && windings->kind == NODE_MAP && i < windings->n; i++) {
        const char *names[ENDS];
        int n = ends_of(windings->pairs[i].value, "across", names);
        const char *title = arena_printf(arena, "%s %s", p->name, windings->pairs[i].key);
        if (n == 3) add_pair(arena, b, p->name, PAIR_WINDING, title, names[1], names[0]);
        if (n >= 2) add_pair(arena, b, p->name, PAIR_WINDING, title, names[n - 2], names[n - 1]);
    }
}

static void add_across(struct arena *arena, struct bench_parts *b, const struct part *p, int kind)
{
    const char *names[ENDS];
    if (ends_of(p->map, "across", names) == 2)
        add_pair(arena, b, p->name, kind, p->name, names[0], names[1]);
}

static void find_pairs(struct arena *arena, struct bench_parts *b, const struct set *set)
{
    add_pair(arena, b, NULL, PAIR_PLUG, "plug", set->line[0], set->line[1]);
    for (int i = 0; i < set->parts.n; i++)
        if (is_a(set->parts.at[i], "power transformer")) add_windings(arena, b, set->parts.at[i]);
    for (int i = 0; i < b->filters.n; i++) add_across(arena, b, b->filters.at[i], PAIR_CAPACITOR);
    for (int i = 0; i < set->parts.n; i++)
        if (is_coil(set->parts.at[i])) add_across(arena, b, set->parts.at[i], PAIR_COIL);
    for (int i = 0; i < set->parts.n; i++)
        if (is_a(set->parts.at[i], "heater")) add_across(arena, b, set->parts.at[i], PAIR_HEATER);
}

/* ---- the rest ---- */

/* The heater of an amplifying tube is preferred to the rectifier's. */
static const char *find_heater(const struct set *set, const char *rectifier)
{
    const char *found = NULL;
    for (int i = 0; i < set->circuit->probes.n; i++) {
        const struct probe *p = &set->circuit->probes.at[i];
        if (!(p->flags & PROBE_HEATER) || p->kind != PROBE_VOLTAGE) continue;
        const struct part *part =
            set_find(set, arena_text(set->arena, p->subject, strcspn(p->subject, ".")));
        if (!part || is_a(part, "lamp")) continue;
        size_t n = rectifier ? strlen(rectifier) : 0;
        bool own = n > 0 && strncmp(p->subject, rectifier, n) == 0;
        if (!own) return p->subject;
        if (!found) found = p->subject;
    }
    return found;
}

struct bench_parts bench_parts_find(struct arena *arena, const struct set *set)
{
    struct bench_parts b = {0};
    find_filters(arena, &b, set);
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (!b.transformer && is_a(p, "power transformer")) b.transformer = p->name;
        if (!b.rectifier && is_a(p, "rectifier")) b.rectifier = p->name;
        if (!b.coil && is_coil(p)) b.coil = p->name;
    }
    b.heater = find_heater(set, b.rectifier);
    find_pairs(arena, &b, set);
    return b;
}
