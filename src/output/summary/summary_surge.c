/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A capacitor beyond its volts for a time only: how long, and whether it is the time before the
 * tubes draw. */
#include <math.h>
#include <string.h>

#include "capacitor_surge.h"
#include "summary_impl.h"
#include "words_stop.h"

const char *summary_reversed(struct summary *s, const char *capacitor, double limit)
{
    double seconds = capacitor_surge_below(s->run, capacitor, limit);
    if (!(seconds > 0)) return NULL;
    const struct figure *settled = run_figure(s->run, capacitor, MEASURE_SETTLED_VOLTAGE);
    bool rough = summary_rough(s, capacitor, MEASURE_SETTLED_VOLTAGE);
    return arena_printf(s->arena, words_stop_reversed,
                        page_value(s->page, seconds, UNIT_SECOND, true),
                        page_value(s->page, settled->value, UNIT_VOLT, rough));
}

static const char *settled_text(struct summary *s, const struct capacitor_surge *g)
{
    return page_value(s->page, g->settled, UNIT_VOLT,
                      summary_rough(s, g->name, MEASURE_SETTLED_VOLTAGE));
}

const char *summary_surge(struct summary *s, const char *capacitor)
{
    struct capacitor_surge g;
    if (!capacitor_surge_find(s->setup, s->run, capacitor, &g)) return NULL;
    const char *span = g.lasts > 0
                           ? arena_printf(s->arena, words_stop_in_all,
                                          page_value(s->page, g.lasts, UNIT_SECOND, true))
                           : arena_printf(s->arena, words_stop_around, summary_time(s, g.time));
    return arena_printf(
        s->arena, words_stop_surge, page_value(s->page, g.working, UNIT_VOLT, false),
        g.warming ? words_stop_draw_soon : words_stop_a_while, span, settled_text(s, &g));
}

typedef ARRAY(struct capacitor_surge) surge_list;

/* One sentence can tell of both. */
static bool alike(const struct capacitor_surge *a, const struct capacitor_surge *b)
{
    bool limits = a->allowed == b->allowed || (isnan(a->allowed) && isnan(b->allowed));
    return limits && a->working == b->working && a->warming == b->warming;
}

/* What a capacitor may see for a short time is mostly assumed; so much it might be at least where
 * that would put it over [V]; NaN: it would not. */
static double assumed_least(const struct summary *s, const struct capacitor_surge *g)
{
    for (int i = 0; i < s->set->assumptions.n; i++) {
        const struct assumption *a = &s->set->assumptions.at[i];
        if (strcmp(a->key, "surge") == 0 && strcmp(a->part, g->name) == 0 && a->low < g->highest)
            return a->low;
    }
    return (double)NAN;
}

/* `inside the 495 V they may see for a short time` */
static const char *within(struct summary *s, const struct capacitor_surge *worst, bool many,
                          double lasts)
{
    if (isnan(worst->allowed)) return "";
    double least = assumed_least(s, worst);
    const char *rest = "";
    if (!isnan(least))
        rest = arena_printf(s->arena, words_stop_if_assumed,
                            page_value(s->page, least, UNIT_VOLT, false));
    const char *test = lasts > CAPACITOR_SURGE_TEST
                           ? arena_printf(s->arena, words_stop_surge_test, CAPACITOR_SURGE_TEST)
                           : "";
    return arena_printf(s->arena, words_stop_within,
                        page_value(s->page, worst->allowed, UNIT_VOLT, false),
                        many ? words_stop_they : words_stop_it, rest, test);
}

static void tell_group(struct summary *s, const surge_list *list,
                       const struct capacitor_surge *first)
{
    const char *names = "", *ends = "";
    const struct capacitor_surge *worst = first;
    double lasts = 0;
    int n = 0;
    for (int i = 0; i < list->n; i++) {
        const struct capacitor_surge *g = &list->at[i];
        if (!alike(first, g)) continue;
        names = arena_printf(s->arena, "%s%s%s", names, n ? ", " : "", g->name);
        ends = arena_printf(s->arena, "%s%s%s", ends, n++ ? ", " : "", settled_text(s, g));
        if (g->highest > worst->highest) worst = g;
        if (g->lasts > lasts) lasts = g->lasts;
    }
    bool many = n > 1, rough = summary_rough(s, worst->name, MEASURE_HIGHEST_VOLTAGE);
    const char *span = lasts > 0 ? arena_printf(s->arena, words_stop_for_in_all,
                                                page_value(s->page, lasts, UNIT_SECOND, true))
                                 : "";
    page_say(s->page, "  * ", words_stop_surges, names, many ? "" : words_stop_surges_one,
             many ? words_stop_their : words_stop_its,
             page_value(s->page, first->working, UNIT_VOLT, false),
             first->warming ? words_stop_draw : words_stop_while,
             page_value(s->page, worst->highest, UNIT_VOLT, rough), summary_time(s, worst->time),
             span, within(s, worst, many, lasts), ends);
}

int summary_surges(struct summary *s, bool (*skip)(const struct summary *, const char *))
{
    surge_list list = {0};
    for (int i = 0; i < s->set->parts.n; i++) {
        const struct part *part = s->set->parts.at[i];
        struct capacitor_surge g;
        if (!part_is(part, ROLE_CAPACITOR) || skip(s, part->name)) continue;
        if (capacitor_surge_find(s->setup, s->run, part->name, &g)) array_push(s->arena, &list, g);
    }
    for (int i = 0; i < list.n; i++) {
        bool told = false;
        for (int k = 0; k < i; k++) told |= alike(&list.at[k], &list.at[i]);
        if (!told) tell_group(s, &list, &list.at[i]);
    }
    return list.n;
}
