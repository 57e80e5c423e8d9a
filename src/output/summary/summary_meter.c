/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the meter should read at the end of the run and in the warm set, which readings and charts
 * are held against: first the points and parts for which the user
 * gave a reading, in his order, then what else has direct volts, then windings and heaters, then
 * the line. */
#include <math.h>
#include <string.h>

#include "islands.h"
#include "numbers.h"
#include "summary_meter_impl.h"
#include "words_meter.h"
#include "words_stop.h"

#define WORTH_TELLING 0.1 /* [V] */
#define MOSTLY_AC 0.5     /* of its alternating part: with less direct volts a point counts as AC */

static double figure(const struct result *run, const char *subject, enum measure measure)
{
    const struct figure *f = run ? run_figure(run, subject, measure) : NULL;
    return f ? f->value : (double)NAN;
}

/* What readings are held against. */
double summary_meter_value(const struct meter_row *row)
{
    return isnan(row->warm) ? row->expected : row->warm;
}

/* --- what is expected --- */

static const struct tolerances_row *band_of(const struct summary *s, const struct meter_row *row,
                                            enum measure measure)
{
    if (!s->t->bands) return NULL;
    const struct tolerances_row *band = tolerances_find(s->t->bands, row->subject, measure);
    return band && band->spread.n > 0 ? band : NULL;
}

/* RMS of what alternates beside the mean [V]. */
static double alternating(const struct result *r, const char *subject)
{
    double mean = figure(r, subject, MEASURE_SETTLED_VOLTAGE);
    double rms = figure(r, subject, MEASURE_RMS_VOLTAGE);
    const struct figure *ripple = r ? run_ripple(r, subject) : NULL;
    if (ripple) return ripple->value;
    return rms * rms > mean * mean ? sqrt(rms * rms - mean * mean) : 0;
}

static double volts_read(const struct result *r, const struct meter_row *row)
{
    double mean = figure(r, row->subject, MEASURE_SETTLED_VOLTAGE);
    if (!row->alternating) return mean;
    return isnan(mean) ? figure(r, row->subject, MEASURE_RMS_VOLTAGE)
                       : alternating(r, row->subject);
}

/* A meter on DC reads the mean; where that is little beside the alternating part it is set to AC.
 */
static void expect_volts(const struct summary *s, struct meter_row *row)
{
    const struct result *r = s->t->warm ? s->t->warm : s->run;
    double mean = figure(r, row->subject, MEASURE_SETTLED_VOLTAGE);
    double ripple = alternating(r, row->subject);
    row->alternating = isnan(mean) || fabs(mean) < MOSTLY_AC * ripple;
    if (!row->alternating) row->ripple = ripple;
    row->expected = volts_read(s->run, row);
    row->warm = volts_read(s->t->warm, row);
    enum measure measure = isnan(mean) ? MEASURE_RMS_VOLTAGE : MEASURE_SETTLED_VOLTAGE;
    row->rough = summary_rough(s, row->subject, measure);
    if (isnan(mean) || !row->alternating) row->band = band_of(s, row, measure);
    row->moving = figure(s->run, row->subject, MEASURE_SETTLED) == 0;
}

static void expect_amperes(const struct summary *s, struct meter_row *row)
{
    const struct result *r = s->t->warm ? s->t->warm : s->run;
    enum measure measure = MEASURE_LINE_CURRENT;
    row->alternating = true;
    if (isnan(figure(r, row->subject, measure))) {
        double rms = figure(r, row->subject, MEASURE_RMS_CURRENT);
        double mean = figure(r, row->subject, MEASURE_AVERAGE_CURRENT);
        row->alternating = isnan(mean) || fabs(mean) < rms / 2;
        measure = row->alternating ? MEASURE_RMS_CURRENT : MEASURE_AVERAGE_CURRENT;
    }
    row->expected = figure(s->run, row->subject, measure);
    row->warm = figure(s->t->warm, row->subject, measure);
    row->rough = summary_rough(s, row->subject, measure);
    row->band = band_of(s, row, measure);
}

static void expect_watts(const struct summary *s, struct meter_row *row)
{
    enum measure measure =
        strcmp(row->subject, "mains") == 0 ? MEASURE_LINE_POWER : MEASURE_DISSIPATION;
    row->expected = figure(s->run, row->subject, measure);
    row->warm = figure(s->t->warm, row->subject, measure);
    row->rough = summary_rough(s, row->subject, measure);
    row->band = band_of(s, row, measure);
}

/* Nothing joins the point to the reference, not even a capacitor. */
bool summary_meter_floats(const struct meter_table *t, const char *subject)
{
    int point = circuit_find_point(t->s->circuit, subject);
    return point >= 0 && t->reference >= 0 && t->island[point] != t->island[t->reference];
}

struct meter_row *summary_meter_find(struct meter_table *t, const char *subject, enum unit unit)
{
    for (int i = 0; i < t->rows.n; i++)
        if (t->rows.at[i].unit == unit && strcmp(t->rows.at[i].subject, subject) == 0)
            return &t->rows.at[i];
    return NULL;
}

static struct meter_row *add_row(struct meter_table *t, const char *subject, enum unit unit)
{
    struct meter_row *old = summary_meter_find(t, subject, unit);
    if (old) return old;
    struct meter_row row = {.subject = subject,
                            .unit = unit,
                            .expected = (double)NAN,
                            .warm = (double)NAN,
                            .ripple = (double)NAN,
                            .chart = (double)NAN,
                            .measured = (double)NAN};
    if (unit == UNIT_VOLT) expect_volts(t->s, &row);
    else if (unit == UNIT_AMPERE) expect_amperes(t->s, &row);
    else if (unit == UNIT_WATT) expect_watts(t->s, &row);
    row.floats = unit == UNIT_VOLT && summary_meter_floats(t, subject);
    array_push(t->s->arena, &t->rows, row);
    return &t->rows.at[t->rows.n - 1];
}

/* --- which rows --- */

static void add_readings(struct meter_table *t)
{
    for (int i = 0; i < t->s->setup->readings.n; i++) {
        const struct reading *r = &t->s->setup->readings.at[i];
        struct meter_row *row = add_row(t, r->subject, r->unit);
        *(r->measured ? &t->measured : &t->chart) = true;
        if (r->measured) row->measured = r->value;
        else row->chart = r->value;
    }
}

static bool is_user_point(const struct meter_table *t, const char *subject)
{
    const struct circuit *c = t->s->circuit;
    int point = circuit_find_point(c, subject);
    for (int i = 0; i < c->probes.n; i++)
        if (c->probes.at[i].flags & PROBE_DRAWN && c->probes.at[i].from == point) return false;
    return point >= 0 && point != t->reference && !c->inner.at[point];
}

static void add_points(struct meter_table *t)
{
    for (int i = 0; i < t->s->run->figures.n; i++) {
        const struct figure *f = &t->s->run->figures.at[i];
        if (f->measure != MEASURE_SETTLED_VOLTAGE || !is_user_point(t, f->subject)) continue;
        struct meter_row row = {.subject = f->subject};
        expect_volts(t->s, &row);
        if (row.alternating || !(fabs(summary_meter_value(&row)) >= WORTH_TELLING) ||
            summary_meter_floats(t, f->subject))
            continue;
        add_row(t, f->subject, UNIT_VOLT);
    }
}

const struct part *summary_meter_part(struct summary *s, const char *subject)
{
    return set_find(s->set, summary_part(s, subject));
}

/* The heater of a tube that reads what the winding behind it reads. */
static bool repeats_winding(struct summary *s, const struct figure *f)
{
    const char *dot = strchr(f->subject, '.');
    const struct part *own = set_find(s->set, summary_part(s, f->subject));
    if (!dot || strncmp(dot, ".heater", 7) != 0) return false;
    if (own && part_is(own, ROLE_TRANSFORMER)) return false;
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *w = &s->run->figures.at[i];
        if (w->measure != f->measure || w->value != f->value) continue;
        const struct part *part = set_find(s->set, summary_part(s, w->subject));
        if (part && part_is(part, ROLE_TRANSFORMER)) return true;
    }
    return false;
}

static bool is_heater(const struct meter_table *t, const char *subject)
{
    const struct circuit *c = t->s->circuit;
    for (int i = 0; i < c->probes.n; i++)
        if (c->probes.at[i].flags & PROBE_HEATER && strcmp(c->probes.at[i].subject, subject) == 0)
            return true;
    return false;
}

/* Windings and heaters; the primary has the line's volts. */
static void add_windings(struct meter_table *t)
{
    for (int i = 0; i < t->s->run->figures.n; i++) {
        const struct figure *f = &t->s->run->figures.at[i];
        const char *dot = strchr(f->subject, '.');
        if (f->measure != MEASURE_RMS_VOLTAGE || (dot && strcmp(dot, ".primary") == 0)) continue;
        if (strcmp(f->subject, "mains") == 0 || repeats_winding(t->s, f)) continue;
        if (isnan(figure(t->s->run, f->subject, MEASURE_SETTLED_VOLTAGE)) ||
            is_heater(t, f->subject))
            add_row(t, f->subject, UNIT_VOLT);
    }
}

bool summary_meter_vibrator(const struct summary *s)
{
    return circuit_square(s->circuit, s->setup->stages.at[0].mains_source);
}

/* A vibrator takes direct current from its battery, and the others give what they give: the watts
 * of the square wave over its volts, and the mean of each battery. */
static double drain(const struct summary *s, const struct result *run, double *watts)
{
    const struct waveform *wave = circuit_square(s->circuit, s->setup->stages.at[0].mains_source);
    double lost = figure(run, "mains", MEASURE_DISSIPATION), amperes;
    *watts = figure(run, "mains", MEASURE_LINE_POWER) + (isnan(lost) ? 0 : lost);
    amperes = *watts / fabs(wave->peak);
    for (int i = 0; i < s->set->parts.n; i++) {
        const struct part *part = s->set->parts.at[i];
        double direct = fabs(figure(run, part->name, MEASURE_AVERAGE_CURRENT));
        if (!part_is(part, ROLE_SOURCE) || isnan(direct)) continue;
        amperes += direct;
        *watts += direct * part_volts(part);
    }
    return amperes;
}

static void add_drain(struct meter_table *t)
{
    double watts, warm_watts = (double)NAN, warm = (double)NAN;
    double amperes = drain(t->s, t->s->run, &watts);
    if (t->s->t->warm) warm = drain(t->s, t->s->t->warm, &warm_watts);
    struct meter_row *row = add_row(t, "mains", UNIT_AMPERE);
    row->expected = amperes;
    row->warm = warm;
    row->alternating = false;
    row->band = NULL; /* it is of the vibrator alone */
    row = add_row(t, "mains", UNIT_WATT);
    row->expected = watts;
    row->warm = warm_watts;
    row->band = NULL;
}

static void add_line(struct meter_table *t)
{
    if (summary_meter_vibrator(t->s)) {
        add_drain(t);
        return;
    }
    if (run_figure(t->s->run, "mains", MEASURE_LINE_CURRENT)) add_row(t, "mains", UNIT_AMPERE);
    if (run_figure(t->s->run, "mains", MEASURE_LINE_POWER)) add_row(t, "mains", UNIT_WATT);
}

static struct meter_table table_of(struct summary *s)
{
    const struct circuit *c = s->circuit;
    return (struct meter_table){.s = s,
                                .island = islands_of(s->arena, c, true),
                                .reference =
                                    c->reference ? circuit_find_point(c, c->reference) : -1};
}

/* --- off the chart --- */

const char *summary_off_chart(struct summary *s)
{
    struct meter_table t = table_of(s);
    const char *names = "";
    if ((summary_meter_warming(s) && !s->t->warm) || s->run->status != STATUS_OK) return names;
    add_readings(&t);
    for (int i = 0; i < t.rows.n; i++) {
        const struct meter_row *row = &t.rows.at[i];
        const char *off = summary_meter_against(s, row, row->chart);
        if ((row->moving && !s->t->warm && s->run->end < SUMMARY_METER_WARM) || !*off ||
            fabs(summary_meter_value(row) / row->chart - 1) <= SUMMARY_OFF_CHART)
            continue;
        names =
            arena_printf(s->arena, "%s%s%s\x1f%s", names, *names ? ", " : "", row->subject, off);
    }
    return names;
}

const char *summary_off_measured(struct summary *s)
{
    struct meter_table t = table_of(s);
    const char *text = "";
    if ((summary_meter_warming(s) && !s->t->warm) || s->run->status != STATUS_OK) return text;
    add_readings(&t);
    for (int i = 0; i < t.rows.n; i++) {
        const struct meter_row *row = &t.rows.at[i];
        double off = summary_meter_value(row) / row->measured - 1;
        if (row->floats || isnan(row->measured) || !(fabs(off) > SUMMARY_OFF_CHART)) continue;
        if (row->moving && !s->t->warm) continue;
        const char *name = strcmp(row->subject, "mains") == 0 ? words_meter_line : row->subject;
        const char *by = isinf(off) ? "" : arena_printf(s->arena, words_stop_off_by, 100 * off);
        text = arena_printf(s->arena, words_stop_disagrees, text, *text ? "; " : "", name,
                            summary_meter_text(s, row->measured, row->unit),
                            summary_meter_text(s, summary_meter_value(row), row->unit), by);
    }
    return text;
}

struct meter_table summary_meter_whole(struct summary *s)
{
    struct meter_table t = table_of(s);
    add_readings(&t);
    add_points(&t);
    add_windings(&t);
    add_line(&t);
    return t;
}

void summary_meter(struct summary *s)
{
    struct meter_table t = summary_meter_whole(s);
    page_heading(s->page, words_meter_heading);
    if (t.rows.n == 0) {
        page_say(s->page, "  ", words_meter_nothing,
                 s->run->figures.n > 0 ? words_meter_none_watched : words_meter_no_figures);
        return;
    }
    summary_meter_table(&t);
}
