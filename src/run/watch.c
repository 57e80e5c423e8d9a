/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One item for each different rating of any stage that a channel or a temperature answers to. */
#include "watch.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "sort.h"

enum { SPELLS = 4 }; /* times a rating is passed that are told apart; later ones join the last */

/* So long inside its limit again, and the next time is another matter [s]. */
#define APART 1.0

struct item {
    const struct rating *rating;
    struct excess spell[SPELLS];
    int spells; /* 0: not passed so far */
    enum measure_view view;
    int index;   /* of the channel or the temperature */
    double last; /* value in the cycle before */
};

struct watch {
    struct arena *arena;
    ARRAY(struct item) items;
    double before; /* end of the cycle before [s] */
};

/* --- what a rating looks at --- */

static bool same(const char *a, const char *b)
{
    return strcmp(a, b) == 0;
}

static bool shows(const struct channel *ch, const struct rating *r)
{
    const struct measure_row *row = &measure_table[r->measure];
    if (row->unit == UNIT_WATT)
        return row->probe == PROBE_LINE ? ch->mains_power : ch->part && same(ch->part, r->subject);
    enum probe_kind kind = row->unit == UNIT_VOLT ? PROBE_VOLTAGE : PROBE_CURRENT;
    return !ch->part && !ch->mains_power && ch->probe.kind == kind &&
           same(ch->probe.subject, r->subject) && (!row->probe || ch->probe.flags & row->probe);
}

static int find_channel(const struct meter *m, const struct rating *r)
{
    for (int k = 0; k < m->channels.n; k++)
        if (shows(&m->channels.at[k], r)) return k;
    return -1;
}

static int find_temperature(const struct meter *m, const struct rating *r)
{
    for (int k = 0; k < m->temperatures.n; k++)
        if (same(meter_temperature(m, k), r->subject)) return k;
    return -1;
}

static void add(struct watch *w, const struct meter *m, const struct rating *r)
{
    struct item item = {.rating = r, .view = measure_table[r->measure].view};
    if (item.view == VIEW_NONE || r->at_least != (item.view == VIEW_LOWEST)) return;
    for (int k = 0; k < w->items.n; k++) {
        const struct rating *o = w->items.at[k].rating;
        if (same(o->subject, r->subject) && o->measure == r->measure && o->limit == r->limit)
            return;
    }
    item.index = item.view == VIEW_KELVIN ? find_temperature(m, r) : find_channel(m, r);
    if (item.index >= 0) array_push(w->arena, &w->items, item);
}

struct watch *watch_new(struct arena *arena, const struct meter *m)
{
    struct watch *w = ARENA_NEW(arena, struct watch);
    const struct setup *setup = m->session->setup;
    w->arena = arena;
    for (int k = 0; k < setup->stages.n; k++) {
        const struct set *set = setup->stages.at[k].set;
        for (int j = 0; set && j < set->ratings.n; j++) add(w, m, &set->ratings.at[j]);
    }
    return w;
}

/* --- cycles --- */

static double seen(const struct item *item, const struct meter *m)
{
    struct wave_cycle cycle;
    if (item->view == VIEW_KELVIN) return m->temperatures.at[item->index].now;
    if (!wave_cycle(m->wave, item->index, &cycle)) return (double)NAN;
    switch (item->view) {
    case VIEW_MEAN: return fabs(cycle.mean);
    case VIEW_RMS: return cycle.rms;
    case VIEW_HIGHEST: return cycle.highest;
    case VIEW_LOWEST: return cycle.lowest;
    default: return larger(fabs(cycle.highest), fabs(cycle.lowest));
    }
}

/* From x to y, shares of the time since the cycle before: the value was beyond the limit. Over a
 * leap it is taken to have gone straight from the last value to this one. */
static bool beyond(const struct item *item, double value, bool leap, double *x, double *y)
{
    const double limit = item->rating->limit, sign = item->rating->at_least ? -1 : 1;
    bool now = sign * (value - limit) > 0, then = leap ? sign * (item->last - limit) > 0 : now;
    double cross = now != then ? (limit - item->last) / (value - item->last) : 0;
    *x = then ? 0 : cross;
    *y = now ? 1 : cross;
    return now || then;
}

/* The spell that goes on or begins at t [s]. */
static struct excess *spell_of(struct item *item, double t)
{
    struct excess *now = &item->spell[item->spells - (item->spells > 0)];
    if (item->spells == SPELLS || (item->spells > 0 && t - now->last < APART)) return now;
    now = &item->spell[item->spells++];
    *now = (struct excess){.rating = item->rating, .first = t};
    return now;
}

void watch_cycle(struct watch *w, const struct meter *m, double t)
{
    const double since = t - w->before;
    bool leap = since > 1.5 * m->session->period;
    for (int k = 0; k < w->items.n; k++) {
        struct item *item = &w->items.at[k];
        double x, y, value = seen(item, m);
        bool least = item->rating->at_least, over = beyond(item, value, leap, &x, &y);
        item->last = value;
        if (!over) continue;
        struct excess *e = spell_of(item, leap ? w->before + x * since : t);
        if (y == 1 && (e->seconds == 0 || (least ? value < e->worst : value > e->worst))) {
            e->worst = value;
            e->worst_time = t;
        }
        e->seconds += (y - x) * since;
        e->last = leap ? w->before + y * since : t;
    }
    w->before = t;
}

static int earlier(const void *a, const void *b)
{
    const struct excess *x = a, *y = b;
    return (x->first > y->first) - (x->first < y->first);
}

void watch_report(struct watch *w, struct result *result)
{
    for (int k = 0; k < w->items.n; k++)
        for (int j = 0; j < w->items.at[k].spells; j++)
            array_push(w->arena, &result->excesses, w->items.at[k].spell[j]);
    sort_stable(result->excesses.at, result->excesses.n, sizeof *result->excesses.at, earlier);
}
