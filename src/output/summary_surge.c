/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A capacitor above its working voltage for a time only: how long, told from the trace by straight
 * lines between its rows, and whether it is the time before the tubes draw. */
#include <math.h>
#include <string.h>

#include "numbers.h"
#include "summary_impl.h"

/* What the data sheet allows for good: the least limit of its volts. */
static double working_voltage(const struct summary *s, const char *capacitor)
{
    double least = (double)INFINITY;
    for (int i = 0; i < s->set->ratings.n; i++) {
        const struct rating *r = &s->set->ratings.at[i];
        bool volts = strcmp(r->measure, "settled-voltage") == 0 ||
                     strcmp(r->measure, "highest-voltage") == 0;
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

static double volts(const double *row, struct ends e)
{
    double plus = e.plus < 0 ? 0 : row[e.plus], minus = e.minus < 0 ? 0 : row[e.minus];
    return fabs(plus - minus);
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

/* --- the sentence --- */

/* True when nothing but warming tubes can have brought it down again. */
static bool by_warming(const struct summary *s, double last)
{
    bool changed = s->setup->stages.n > 1 && last > s->setup->stages.at[1].time;
    return !changed && !s->setup->hot && last < s->run->end;
}

const char *summary_surge(struct summary *s, const char *capacitor)
{
    const struct figure *high = result_find(s->run, capacitor, "highest-voltage");
    const struct figure *settled = result_find(s->run, capacitor, "settled-voltage");
    double limit = working_voltage(s, capacitor);
    if (!high || !settled || !(high->value > limit) || fabs(settled->value) > limit) return NULL;
    double last = high->time, lasts = time_above(s, capacitor, limit, &last);
    const char *span = lasts > 0 ? arena_printf(s->arena, "for %s in all",
                                                summary_value(s, lasts, UNIT_SECOND, true))
                                 : arena_printf(s->arena, "around %s", summary_time(s, high->time));
    bool rough = summary_rough(s, capacitor, "settled-voltage");
    return arena_printf(s->arena, "It stands above its working %s only %s%s; at the end at %s.",
                        summary_value(s, limit, UNIT_VOLT, false),
                        by_warming(s, last) ? "before the tubes draw, " : "for a time, ", span,
                        summary_value(s, settled->value, UNIT_VOLT, rough));
}
