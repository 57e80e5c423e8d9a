/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tolerances_rows.h"

#include <math.h>
#include <string.h>

#include "words_tolerances.h"

/* ---- names ---- */

static const char *value_words(struct arena *arena, const struct tolerances *t,
                               const struct uncertain *v)
{
    const char *key = v->key, *dot;
    bool mains = strcmp(v->part, "mains") == 0,
         battery = circuit_vibrates(t->setup->stages.at[0].circuit);
    if (mains && strcmp(key, "voltage") == 0)
        return battery ? words_tolerances_battery : words_tolerances_line;
    if (mains && strcmp(key, "resistance") == 0)
        return battery ? words_tolerances_leads : words_tolerances_wiring;
    if (strcmp(v->part, "run") == 0) return words_tolerances_room;
    if (strcmp(key, "draws") == 0 || strcmp(key, "scaled by") == 0) key = words_tolerances_current;
    if (strncmp(key, "windings.", 9) == 0) key += 9;
    char *words = arena_printf(arena, "%s %s", v->part, key);
    while ((dot = strchr(words, '.'))) words[dot - words] = ' ';
    return words;
}

/* `C1, C2 value`. */
static const char *group_words(struct arena *arena, const struct tolerances *t, int g)
{
    const char *parts = "", *key = "";
    for (int i = 0; i < t->list.values.n; i++) {
        const struct uncertain *v = &t->list.values.at[i];
        if (v->group != g) continue;
        parts = arena_printf(arena, "%s%s%s", parts, *parts ? ", " : "", v->part);
        key = v->key;
    }
    return arena_printf(arena, "%s %s", parts, key);
}

const char *tolerances_rows_group(struct arena *arena, const struct tolerances *t, int g)
{
    const struct uncertain_group *group = &t->list.groups.at[g];
    if (group->together == TOGETHER_AC) return words_tolerances_meter_ac;
    if (group->together == TOGETHER_DC) return words_tolerances_meter_dc;
    if (group->n == 1) return value_words(arena, t, &t->list.values.at[group->first]);
    return group_words(arena, t, g);
}

const char *tolerances_rows_figure(struct arena *arena, const struct tolerances_row *row)
{
    const char *name = arena_printf(arena, "%s %s", row->subject, measure_words(row->measure));
    if (row->of == TOLERANCES_BEFORE) return arena_printf(arena, words_tolerances_of_before, name);
    if (row->of == TOLERANCES_RESTART)
        return arena_printf(arena, words_tolerances_of_restart, name);
    return name;
}

const char *tolerances_rows_short(struct arena *arena, const struct tolerances_row *row)
{
    if (row->of != TOLERANCES_BEFORE) return tolerances_rows_figure(arena, row);
    return arena_printf(arena, words_tolerances_of_before, row->subject);
}

bool tolerances_rows_alike(const struct tolerances_row *a, const struct tolerances_row *b)
{
    return a->of == TOLERANCES_BEFORE && b->of == TOLERANCES_BEFORE &&
           fabs(a->nominal - b->nominal) < 0.01 * fabs(a->nominal);
}

/* ---- which are shown ---- */

bool tolerances_rows_direct(const struct tolerances *t, const char *point)
{
    const struct tolerances_row *volts = tolerances_find(t, point, MEASURE_SETTLED_VOLTAGE),
                                *ripple = tolerances_find(t, point, measure_on(RANGE_AC));
    const struct circuit *circuit = t->setup->stages.at[0].circuit;
    return circuit_find_point(circuit, point) >= 0 && volts && volts->spread.n > 0 &&
           (!ripple || circuit_direct(circuit, point, volts->nominal, ripple->nominal));
}

bool tolerances_rows_point(const struct tolerances *t, const struct tolerances_row *row)
{
    return row->of == TOLERANCES_RUN && row->measure == MEASURE_SETTLED_VOLTAGE &&
           tolerances_rows_direct(t, row->subject);
}

bool tolerances_rows_highest(const struct tolerances *t, const struct tolerances_row *row)
{
    if (row->of == TOLERANCES_BEFORE) return row->spread.n > 0;
    return t->options.cold && row->of == TOLERANCES_RUN && row->rating &&
           row->measure == MEASURE_HIGHEST_VOLTAGE && row->spread.n > 0;
}
