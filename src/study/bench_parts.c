/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts are known by their roles and the names of their points. Of inner points nothing is asked:
 * no probe reaches them by name. */
#include "bench_parts.h"

#include <string.h>

#include "capacitor.h"
#include "heater.h"

static const char *plus_of(const struct set *set, const struct part *p)
{
    struct part_way way;
    return part_way(set, p, 0, &way) ? way.point[0] : "";
}

static const char *name_of(const struct part *p)
{
    return p ? p->name : NULL;
}

/* ---- filters ---- */

static bool at_cathode(const struct set *set, const char *point)
{
    for (int i = 0; i < set->parts.n; i++) {
        struct part_way way;
        for (int k = 0;
             part_is(set->parts.at[i], ROLE_RECTIFIER) && part_way(set, set->parts.at[i], k, &way);
             k++)
            if (strcmp(way.point[1], point) == 0) return true;
    }
    return false;
}

/* Something that passes direct current lies between the two points. */
static bool joined(const struct set *set, const char *a, const char *b)
{
    if (strcmp(a, b) == 0) return false;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (part_is(p, ROLE_COIL | ROLE_RESISTOR) && part_ends_at(set, p, a) &&
            part_ends_at(set, p, b))
            return true;
    }
    return false;
}

/* What is across a heater smooths its current, not B+. */
static bool across_heater(const struct set *set, const struct part *p)
{
    struct part_way way;
    if (!part_way(set, p, 0, &way)) return false;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *h = set->parts.at[i];
        if (part_is(h, ROLE_HEATER) && part_ends_at(set, h, way.point[0]) &&
            part_ends_at(set, h, way.point[1]))
            return true;
    }
    return false;
}

static void find_filters(struct arena *arena, struct bench_parts *b, const struct set *set)
{
    const struct part *first = NULL, *second = NULL;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (!part_is(p, ROLE_CAPACITOR) || capacitor_farads(p) < CAPACITOR_FILTER) continue;
        array_push(arena, &b->filters, p);
        if (!first && at_cathode(set, plus_of(set, p))) first = p;
    }
    if (!first && b->filters.n > 0) first = b->filters.at[0];
    for (int i = 0; i < b->filters.n && !second; i++)
        if (b->filters.at[i] != first && !across_heater(set, b->filters.at[i]) &&
            joined(set, plus_of(set, first), plus_of(set, b->filters.at[i])))
            second = b->filters.at[i];
    for (int i = 0; i < b->filters.n && !second; i++)
        if (b->filters.at[i] != first && !across_heater(set, b->filters.at[i]))
            second = b->filters.at[i];
    b->first = name_of(first);
    b->second = name_of(second);
    if (first && part_ends_at(set, first, set->circuit->reference))
        b->first_point = plus_of(set, first);
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
static void add_windings(struct arena *arena, struct bench_parts *b, const struct set *set,
                         const struct part *p)
{
    struct part_way w;
    for (int i = 0; part_way(set, p, i, &w); i++) {
        const char *title = arena_printf(arena, "%s %s", p->name, w.name);
        int n = w.points;
        if (n == 3) add_pair(arena, b, p->name, PAIR_WINDING, title, w.point[1], w.point[0]);
        if (n >= 2)
            add_pair(arena, b, p->name, PAIR_WINDING, title, w.point[n - 2], w.point[n - 1]);
    }
}

static void add_across(struct arena *arena, struct bench_parts *b, const struct set *set,
                       const struct part *p, int kind)
{
    struct part_way way;
    if (part_way(set, p, 0, &way))
        add_pair(arena, b, p->name, kind, p->name, way.point[0], way.point[1]);
}

static void find_pairs(struct arena *arena, struct bench_parts *b, const struct set *set)
{
    add_pair(arena, b, NULL, PAIR_PLUG, "plug", set->line[0], set->line[1]);
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_TRANSFORMER))
            add_windings(arena, b, set, set->parts.at[i]);
    for (int i = 0; i < b->filters.n; i++)
        add_across(arena, b, set, b->filters.at[i], PAIR_CAPACITOR);
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_COIL))
            add_across(arena, b, set, set->parts.at[i], PAIR_COIL);
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_HEATER))
            add_across(arena, b, set, set->parts.at[i], PAIR_HEATER);
}

/* ---- the rest ---- */

/* The heater of an amplifying tube is preferred to the rectifier's. */
static void find_heater(struct bench_parts *b, const struct set *set)
{
    for (int i = 0; i < set->circuit->probes.n; i++) {
        const struct probe *p = &set->circuit->probes.at[i];
        if (!(p->flags & PROBE_HEATER) || p->kind != PROBE_VOLTAGE) continue;
        const struct part *part =
            set_find(set, arena_text(set->arena, p->subject, strcspn(p->subject, ".")));
        if (!part || part_is(part, ROLE_LAMP)) continue;
        bool own = b->rectifier && heater_heats(part, b->rectifier);
        if (own && b->heater) continue;
        b->heater = p->subject;
        b->heater_of_rectifier = own;
        if (!own) return;
    }
}

struct bench_parts bench_parts_find(struct arena *arena, const struct set *set)
{
    struct bench_parts b = {0};
    find_filters(arena, &b, set);
    b.transformer = name_of(part_with(set, ROLE_TRANSFORMER));
    b.rectifier = name_of(part_with(set, ROLE_RECTIFIER));
    b.coil = name_of(part_with(set, ROLE_COIL));
    find_heater(&b, set);
    find_pairs(arena, &b, set);
    return b;
}
