/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A capacitor above its working voltage for a time only: how long, told from the trace by straight
 * lines between its rows, and whether it is the time before the tubes draw. */
#include <math.h>
#include <string.h>

#include "numbers.h"
#include "summary_impl.h"

#define SURGE_TEST 30.0 /* [s]; a charge of the surge test of IEC 60384-4, from memory */

/* What the data sheet allows for good: the least limit of its volts. */
static double working_voltage(const struct summary *s, const char *capacitor)
{
    double least = (double)INFINITY;
    for (int i = 0; i < s->set->ratings.n; i++) {
        const struct rating *r = &s->set->ratings.at[i];
        bool volts = r->measure == MEASURE_SETTLED_VOLTAGE || r->measure == MEASURE_HIGHEST_VOLTAGE;
        if (volts && !r->at_least && strcmp(r->subject, capacitor) == 0)
            least = smaller(least, r->limit);
    }
    return least;
}

/* --- the trace --- */

/* Columns of the two ends; -1: that end is the reference. */
struct ends {
    int plus, minus;
};

static bool find_column(const struct summary *s, int point, int *column)
{
    const char *name = point < 0 ? s->circuit->reference : s->circuit->points.at[point];
    *column = -1;
    if (!name || (s->circuit->reference && strcmp(name, s->circuit->reference) == 0)) return true;
    const char *wanted = arena_printf(s->arena, "%s [V]", name);
    for (int i = 0; i < s->run->columns.n; i++)
        if (strcmp(s->run->columns.at[i], wanted) == 0) *column = i;
    return *column >= 0;
}

static bool find_ends(const struct summary *s, const char *capacitor, struct ends *ends)
{
    for (int i = 0; s->run->trace && i < s->circuit->probes.n; i++) {
        const struct probe *p = &s->circuit->probes.at[i];
        if (p->kind != PROBE_VOLTAGE || !(p->flags & PROBE_CAPACITOR)) continue;
        if (strcmp(p->subject, capacitor) != 0) continue;
        return find_column(s, p->from, &ends->plus) && find_column(s, p->to, &ends->minus);
    }
    return false;
}

static double signed_volts(const double *row, struct ends e)
{
    double plus = e.plus < 0 ? 0 : row[e.plus], minus = e.minus < 0 ? 0 : row[e.minus];
    return plus - minus;
}

static double volts(const double *row, struct ends e)
{
    return fabs(signed_volts(row, e));
}

/* The part of a straight line from a to b that is above zero. */
static double above_zero(double a, double b)
{
    if (a <= 0 && b <= 0) return 0;
    if (a > 0 && b > 0) return 1;
    return larger(a, b) / fabs(b - a);
}

/* Seconds above `limit`; NaN: the trace does not tell. *last: until when. */
static double time_above(const struct summary *s, const char *capacitor, double limit, double *last)
{
    struct ends ends;
    double sum = 0;
    if (!find_ends(s, capacitor, &ends)) return (double)NAN;
    const struct trace *tr = s->run->trace;
    for (int i = 1; i < trace_rows(tr); i++) {
        double dt = trace_time(tr, i) - trace_time(tr, i - 1);
        double share = above_zero(volts(trace_values(tr, i - 1), ends) - limit,
                                  volts(trace_values(tr, i), ends) - limit);
        sum += share * dt;
        if (share > 0) *last = trace_time(tr, i);
    }
    return sum;
}

const char *summary_reversed(struct summary *s, const char *capacitor, double limit)
{
    const struct figure *settled = result_find(s->run, capacitor, MEASURE_SETTLED_VOLTAGE);
    const struct trace *tr = s->run->trace;
    struct ends ends;
    double sum = 0;
    if (!settled || settled->value < limit || !find_ends(s, capacitor, &ends)) return NULL;
    for (int i = 1; i < trace_rows(tr); i++)
        sum += (trace_time(tr, i) - trace_time(tr, i - 1)) *
               above_zero(limit - signed_volts(trace_values(tr, i - 1), ends),
                          limit - signed_volts(trace_values(tr, i), ends));
    if (!(sum > 0)) return NULL;
    bool rough = summary_rough(s, capacitor, MEASURE_SETTLED_VOLTAGE);
    return arena_printf(s->arena, "It is so for %s in all; at the end it stands at %s.",
                        summary_value(s, sum, UNIT_SECOND, true),
                        summary_value(s, settled->value, UNIT_VOLT, rough));
}

/* --- the sentence --- */

/* True when nothing but warming tubes can have brought it down again. */
static bool by_warming(const struct summary *s, double last)
{
    bool changed = s->setup->stages.n > 1 && last > s->setup->stages.at[1].time;
    return !changed && !s->setup->hot && last < s->run->end;
}

/* One capacitor above its working voltage for a time. */
struct surge {
    const char *name;
    double working, allowed; /* [V]; allowed: its surge voltage, NaN: none above the highest */
    double highest, settled; /* [V] */
    double time, lasts;      /* [s]; lasts: 0 or NaN: not known */
    bool warming;
};

static double allowed(const struct summary *s, const char *capacitor, double volts)
{
    for (int i = 0; i < s->set->ratings.n; i++) {
        const struct rating *r = &s->set->ratings.at[i];
        if (strcmp(r->subject, capacitor) == 0 && r->measure == MEASURE_HIGHEST_VOLTAGE &&
            !r->at_least && volts <= r->limit)
            return r->limit;
    }
    return (double)NAN;
}

static bool find_surge(const struct summary *s, const char *capacitor, struct surge *g)
{
    const struct figure *high = result_find(s->run, capacitor, MEASURE_HIGHEST_VOLTAGE);
    const struct figure *settled = result_find(s->run, capacitor, MEASURE_SETTLED_VOLTAGE);
    double working = working_voltage(s, capacitor);
    if (!high || !settled || !(high->value > working) || fabs(settled->value) > working)
        return false;
    double last = high->time;
    *g = (struct surge){.name = capacitor,
                        .working = working,
                        .allowed = allowed(s, capacitor, high->value),
                        .highest = high->value,
                        .settled = settled->value,
                        .time = high->time};
    g->lasts = time_above(s, capacitor, working, &last);
    g->warming = by_warming(s, last);
    return true;
}

static const char *settled_text(struct summary *s, const struct surge *g)
{
    return summary_value(s, g->settled, UNIT_VOLT,
                         summary_rough(s, g->name, MEASURE_SETTLED_VOLTAGE));
}

const char *summary_surge(struct summary *s, const char *capacitor)
{
    struct surge g;
    if (!find_surge(s, capacitor, &g)) return NULL;
    const char *span = g.lasts > 0 ? arena_printf(s->arena, "for %s in all",
                                                  summary_value(s, g.lasts, UNIT_SECOND, true))
                                   : arena_printf(s->arena, "around %s", summary_time(s, g.time));
    return arena_printf(s->arena, "It stands above its working %s only %s%s; at the end at %s.",
                        summary_value(s, g.working, UNIT_VOLT, false),
                        g.warming ? "before the tubes draw, " : "for a time, ", span,
                        settled_text(s, &g));
}

typedef ARRAY(struct surge) surge_list;

/* One sentence can tell of both. */
static bool alike(const struct surge *a, const struct surge *b)
{
    bool limits = a->allowed == b->allowed || (isnan(a->allowed) && isnan(b->allowed));
    return limits && a->working == b->working && a->warming == b->warming;
}

/* `inside the 495 V they may see for a short time` */
static const char *within(struct summary *s, const struct surge *worst, bool many, double lasts)
{
    if (isnan(worst->allowed)) return "";
    const char *test =
        lasts > SURGE_TEST ? "; the surge test of such capacitors lasts 30\x1fs" : "";
    return arena_printf(s->arena, ", inside the %s %s may see for a short time%s",
                        summary_value(s, worst->allowed, UNIT_VOLT, false), many ? "they" : "it",
                        test);
}

static void tell_group(struct summary *s, const surge_list *list, const struct surge *first)
{
    const char *names = "", *ends = "";
    const struct surge *worst = first;
    double lasts = 0;
    int n = 0;
    for (int i = 0; i < list->n; i++) {
        const struct surge *g = &list->at[i];
        if (!alike(first, g)) continue;
        names = arena_printf(s->arena, "%s%s%s", names, n ? ", " : "", g->name);
        ends = arena_printf(s->arena, "%s%s%s", ends, n++ ? ", " : "", settled_text(s, g));
        if (g->highest > worst->highest) worst = g;
        if (g->lasts > lasts) lasts = g->lasts;
    }
    bool many = n > 1, rough = summary_rough(s, worst->name, MEASURE_HIGHEST_VOLTAGE);
    const char *span = lasts > 0 ? arena_printf(s->arena, ", for %s in all",
                                                summary_value(s, lasts, UNIT_SECOND, true))
                                 : "";
    summary_say(s, "  * ", "%s stand%s above %s working %s %s: up to %s at %s%s%s. At the end: %s.",
                names, many ? "" : "s", many ? "their" : "its",
                summary_value(s, first->working, UNIT_VOLT, false),
                first->warming ? "before the tubes draw" : "for a time",
                summary_value(s, worst->highest, UNIT_VOLT, rough), summary_time(s, worst->time),
                span, within(s, worst, many, lasts), ends);
}

int summary_surges(struct summary *s, bool (*skip)(const struct summary *, const char *))
{
    surge_list list = {0};
    for (int i = 0; i < s->set->parts.n; i++) {
        const struct part *part = s->set->parts.at[i];
        struct surge g;
        if (strcmp(part->kind->name, "capacitor") != 0 || skip(s, part->name)) continue;
        if (find_surge(s, part->name, &g)) array_push(s->arena, &list, g);
    }
    for (int i = 0; i < list.n; i++) {
        bool told = false;
        for (int k = 0; k < i; k++) told |= alike(&list.at[k], &list.at[i]);
        if (!told) tell_group(s, &list, &list.at[i]);
    }
    return list.n;
}
