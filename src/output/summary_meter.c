/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the meter should read at the end of the run: first the points and parts for which the user
 * gave a reading, in his order, then what else has direct volts, then windings and heaters, then
 * the line. */
#include <math.h>
#include <string.h>

#include "islands.h"
#include "numbers.h"
#include "summary_impl.h"

enum { ROWS_MOST = 24, POINT_WIDTH = 20 };

#define A_MINUTE 60.0
#define WARM_AFTER 25.0   /* parallel heaters settle by then [s]; common practice, no source */
#define WORTH_TELLING 0.1 /* [V] */

struct row {
    const char *subject;
    double expected; /* NaN: not known */
    enum unit unit;
    bool alternating, moving, rough, floats;
    double chart, measured; /* NaN: none */
};

struct table {
    struct summary *s;
    const int *island; /* of the first stage's circuit */
    int reference;     /* its point; -1: none */
    ARRAY(struct row) rows;
};

static double figure(const struct summary *s, const char *subject, const char *measure)
{
    const struct figure *f = result_find(s->run, subject, measure);
    return f ? f->value : (double)NAN;
}

/* --- what is expected --- */

/* A meter on DC reads the mean; where the alternating part is the larger one it is set to AC. */
static void expect_volts(const struct summary *s, struct row *row)
{
    double mean = figure(s, row->subject, "settled-voltage");
    double rms = figure(s, row->subject, "rms-voltage");
    double ripple = figure(s, row->subject, "ripple-rms");
    const char *measure = "settled-voltage";
    if (isnan(ripple)) ripple = rms * rms > mean * mean ? sqrt(rms * rms - mean * mean) : 0;
    if (isnan(mean) || fabs(mean) < ripple) {
        row->alternating = true;
        row->expected = isnan(mean) ? rms : ripple;
        measure = isnan(mean) ? "rms-voltage" : "settled-voltage";
    } else {
        row->expected = mean;
    }
    row->rough = summary_rough(s, row->subject, measure);
    row->moving = figure(s, row->subject, "settled") == 0;
}

static void expect_amperes(const struct summary *s, struct row *row)
{
    const char *measure = "line-current";
    double rms = figure(s, row->subject, "rms-current");
    double mean = figure(s, row->subject, "average-current");
    row->expected = figure(s, row->subject, measure);
    row->alternating = true;
    if (isnan(row->expected)) {
        row->alternating = isnan(mean) || fabs(mean) < rms / 2;
        measure = row->alternating ? "rms-current" : "average-current";
        row->expected = row->alternating ? rms : mean;
    }
    row->rough = summary_rough(s, row->subject, measure);
}

static void expect_watts(const struct summary *s, struct row *row)
{
    const char *measure = strcmp(row->subject, "mains") == 0 ? "line-power" : "dissipation";
    row->expected = figure(s, row->subject, measure);
    row->rough = summary_rough(s, row->subject, measure);
}

/* Nothing joins the point to the reference, not even a capacitor. */
static bool floats(const struct table *t, const char *subject)
{
    int point = circuit_find_point(t->s->circuit, subject);
    return point >= 0 && t->reference >= 0 && t->island[point] != t->island[t->reference];
}

static struct row *find_row(struct table *t, const char *subject, enum unit unit)
{
    for (int i = 0; i < t->rows.n; i++)
        if (t->rows.at[i].unit == unit && strcmp(t->rows.at[i].subject, subject) == 0)
            return &t->rows.at[i];
    return NULL;
}

static struct row *add_row(struct table *t, const char *subject, enum unit unit)
{
    struct row *old = find_row(t, subject, unit);
    if (old) return old;
    struct row row = {.subject = subject,
                      .unit = unit,
                      .expected = (double)NAN,
                      .chart = (double)NAN,
                      .measured = (double)NAN};
    if (unit == UNIT_VOLT) expect_volts(t->s, &row);
    else if (unit == UNIT_AMPERE) expect_amperes(t->s, &row);
    else if (unit == UNIT_WATT) expect_watts(t->s, &row);
    row.floats = unit == UNIT_VOLT && floats(t, subject);
    array_push(t->s->arena, &t->rows, row);
    return &t->rows.at[t->rows.n - 1];
}

/* --- which rows --- */

static void add_readings(struct table *t)
{
    for (int i = 0; i < t->s->setup->readings.n; i++) {
        const struct reading *r = &t->s->setup->readings.at[i];
        struct row *row = add_row(t, r->subject, r->unit);
        if (r->measured) row->measured = r->value;
        else row->chart = r->value;
    }
}

static bool is_user_point(const struct table *t, const char *subject)
{
    int point = circuit_find_point(t->s->circuit, subject);
    return point >= 0 && point != t->reference && !t->s->circuit->inner.at[point];
}

static void add_points(struct table *t)
{
    for (int i = 0; i < t->s->run->figures.n; i++) {
        const struct figure *f = &t->s->run->figures.at[i];
        if (strcmp(f->measure, "settled-voltage") != 0 || !is_user_point(t, f->subject)) continue;
        struct row row = {.subject = f->subject};
        expect_volts(t->s, &row);
        if (row.alternating || fabs(row.expected) < WORTH_TELLING || floats(t, f->subject))
            continue;
        add_row(t, f->subject, UNIT_VOLT);
    }
}

/* Windings and heaters; the primary has the line's volts. */
static void add_windings(struct table *t)
{
    for (int i = 0; i < t->s->run->figures.n; i++) {
        const struct figure *f = &t->s->run->figures.at[i];
        const char *dot = strchr(f->subject, '.');
        if (strcmp(f->measure, "rms-voltage") != 0 || (dot && strcmp(dot, ".primary") == 0))
            continue;
        if (strcmp(f->subject, "mains") == 0) continue;
        if (isnan(figure(t->s, f->subject, "settled-voltage"))) add_row(t, f->subject, UNIT_VOLT);
    }
}

static void add_line(struct table *t)
{
    if (result_find(t->s->run, "mains", "line-current")) add_row(t, "mains", UNIT_AMPERE);
    if (result_find(t->s->run, "mains", "line-power")) add_row(t, "mains", UNIT_WATT);
}

/* --- writing --- */

static const char *against(struct summary *s, const struct row *row, double reading)
{
    double difference = 100 * (row->expected / reading - 1);
    if (!isfinite(difference) || row->floats) return "";
    if (fabs(difference) > 999) return "far off";
    return arena_printf(s->arena, "%+.0f %%", fabs(difference) < 0.5 ? 0 : difference);
}

static const char *told(struct summary *s, double value, enum unit unit)
{
    return isnan(value) ? "" : summary_value(s, value, unit, false);
}

static const char *expected(struct summary *s, const struct row *row)
{
    if (row->floats) return "floating";
    if (isnan(row->expected)) return "not watched";
    const char *value = summary_value(s, row->expected, row->unit, row->rough);
    return arena_printf(s->arena, "%s%s%s", value, row->alternating ? " AC" : "",
                        row->moving ? " *" : "");
}

static void write_line(struct summary *s, const char *point, const char *const cell[5])
{
    summary_line(s, arena_printf(s->arena, "  %s  %s  %s %s  %s %s",
                                 summary_cell(s, point, POINT_WIDTH), summary_cell(s, cell[0], -16),
                                 summary_cell(s, cell[1], -9), summary_cell(s, cell[2], -7),
                                 summary_cell(s, cell[3], -9), summary_cell(s, cell[4], -7)));
}

static void write_row(struct summary *s, const struct row *row)
{
    bool line = strcmp(row->subject, "mains") == 0;
    const char *power = row->unit == UNIT_WATT ? "line power" : "line current";
    write_line(s, line && row->unit != UNIT_VOLT ? power : row->subject,
               (const char *[]){expected(s, row), told(s, row->chart, row->unit),
                                against(s, row, row->chart), told(s, row->measured, row->unit),
                                against(s, row, row->measured)});
}

/* --- how far it can be trusted --- */

static double settled_since(const struct summary *s)
{
    double last = 0;
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *f = &s->run->figures.at[i];
        if (strcmp(f->measure, "settling-time") == 0 && isfinite(f->value))
            last = larger(last, f->value);
    }
    return last;
}

/* Points that had not settled; empty: it was a current. */
static const char *still_moving(const struct table *t)
{
    const char *names = "";
    for (int i = 0; i < t->rows.n; i++) {
        const struct row *row = &t->rows.at[i];
        if (!row->moving || row->floats) continue;
        names = arena_printf(t->s->arena, "%s%s%s", names, *names ? ", " : "", row->subject);
    }
    return names;
}

static void write_unsettled(const struct table *t, const char *end)
{
    struct summary *s = t->s;
    const char *names = still_moving(t);
    double longer = larger(A_MINUTE, 2 * ceil(s->run->end));
    if (*names)
        summary_say(s, "  ",
                    "Not settled after %s: %s still moved (*). What stands here is the mean of the "
                    "last cycles, not what the meter reads after a minute; a longer run tells "
                    "(--for %.0fs).",
                    end, names, longer);
    else
        summary_say(s, "  ",
                    "Not wholly settled after %s: these volts had, but some current still moved. A "
                    "longer run tells what is left (--for %.0fs).",
                    end, longer);
}

static void write_trust(const struct table *t)
{
    struct summary *s = t->s;
    const char *end = summary_value(s, s->run->end, UNIT_SECOND, false);
    if (!s->run->settled) write_unsettled(t, end);
    else if (s->run->end < A_MINUTE)
        summary_say(s, "  ",
                    "The run lasted %s; everything had settled by %s, so after a minute it reads "
                    "the same but for what warms slowly.",
                    end, summary_time(s, settled_since(s)));
    if (summary_warms(s) && s->run->end < WARM_AFTER && s->setup->stages.n == 1)
        summary_say(
            s, "  ",
            "Tubes take up to %.0f s to warm, in a series string longer: after %s these are "
            "the volts of a set still warming, mostly higher than those it runs at.",
            WARM_AFTER, end);
}

static void write_floating(const struct table *t)
{
    struct summary *s = t->s;
    const char *names = "";
    for (int i = 0; i < s->circuit->points.n; i++) {
        const char *name = s->circuit->points.at[i];
        if (s->circuit->inner.at[i] || !floats(t, name)) continue;
        names = arena_printf(s->arena, "%s%s%s", names, *names ? ", " : "", name);
    }
    if (*names)
        summary_say(s, "  ",
                    "Floating (nothing joins them to %s, so they have no volts to it): %s.",
                    s->circuit->reference, names);
}

static void write_rows(const struct table *t)
{
    struct summary *s = t->s;
    write_line(s, "point", (const char *[]){"expected", "chart", "diff.", "measured", "diff."});
    int most = ROWS_MOST > s->setup->readings.n ? ROWS_MOST : s->setup->readings.n;
    for (int i = 0; i < t->rows.n && i < most; i++) write_row(s, &t->rows.at[i]);
    if (t->rows.n > most)
        summary_say(s, "  ", "and %d more%s%s", t->rows.n - most, s->figures ? ": " : "",
                    s->figures ? s->figures : "");
    if (s->setup->readings.n > 0)
        summary_say(s, "  ",
                    "diff.: how far the expected value lies above (+) or below (-) the reading. A "
                    "measured reading wins: where they differ, ask first for the values typed in.");
}

void summary_meter(struct summary *s)
{
    const struct circuit *c = s->circuit;
    struct table t = {.s = s,
                      .island = islands_of(s->arena, c, true),
                      .reference = c->reference ? circuit_find_point(c, c->reference) : -1};
    summary_heading(s, "What the meter should read after a minute");
    add_readings(&t);
    add_points(&t);
    add_windings(&t);
    add_line(&t);
    if (t.rows.n == 0) {
        summary_say(s, "  ", "Nothing: %s.",
                    s->run->figures.n > 0 ? "no volts or amperes were watched"
                                          : "the run gave no figures");
        return;
    }
    write_rows(&t);
    write_trust(&t);
    write_floating(&t);
}
