/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the meter should read at the end of the run and in the warm set, which readings and charts
 * are held against: first the points and parts for which the user
 * gave a reading, in his order, then what else has direct volts, then windings and heaters, then
 * the line. */
#include <math.h>
#include <string.h>

#include "islands.h"
#include "numbers.h"
#include "summary_impl.h"
#include "words_meter.h"
#include "words_stop.h"

enum { ROWS_MOST = 24, POINT_WIDTH = 19 };

#define A_MINUTE 60.0
#define WARM_AFTER 25.0   /* parallel heaters settle by then [s]; common practice, no source */
#define WORTH_TELLING 0.1 /* [V] */
#define MOSTLY_AC 0.5     /* of its alternating part: with less direct volts a point counts as AC */

struct row {
    const char *subject;
    double expected, warm; /* NaN: not known */
    double ripple;         /* alternating part beside direct volts, RMS [V]; NaN: none */
    enum unit unit;
    bool alternating, moving, rough, floats;
    double chart, measured; /* NaN: none */
};

struct table {
    struct summary *s;
    const int *island;    /* of the first stage's circuit */
    int reference;        /* its point; -1: none */
    bool chart, measured; /* some reading is of that kind */
    ARRAY(struct row) rows;
};

static double figure(const struct result *run, const char *subject, enum measure measure)
{
    const struct figure *f = run ? run_figure(run, subject, measure) : NULL;
    return f ? f->value : (double)NAN;
}

/* What readings are held against. */
static double told_value(const struct row *row)
{
    return isnan(row->warm) ? row->expected : row->warm;
}

/* --- what is expected --- */

/* RMS of what alternates beside the mean [V]. */
static double alternating(const struct result *r, const char *subject)
{
    double mean = figure(r, subject, MEASURE_SETTLED_VOLTAGE);
    double rms = figure(r, subject, MEASURE_RMS_VOLTAGE);
    const struct figure *ripple = r ? run_ripple(r, subject) : NULL;
    if (ripple) return ripple->value;
    return rms * rms > mean * mean ? sqrt(rms * rms - mean * mean) : 0;
}

static double volts_read(const struct result *r, const struct row *row)
{
    double mean = figure(r, row->subject, MEASURE_SETTLED_VOLTAGE);
    if (!row->alternating) return mean;
    return isnan(mean) ? figure(r, row->subject, MEASURE_RMS_VOLTAGE)
                       : alternating(r, row->subject);
}

/* A meter on DC reads the mean; where that is little beside the alternating part it is set to AC.
 */
static void expect_volts(const struct summary *s, struct row *row)
{
    const struct result *r = s->t->warm ? s->t->warm : s->run;
    double mean = figure(r, row->subject, MEASURE_SETTLED_VOLTAGE);
    double ripple = alternating(r, row->subject);
    row->alternating = isnan(mean) || fabs(mean) < MOSTLY_AC * ripple;
    if (!row->alternating) row->ripple = ripple;
    row->expected = volts_read(s->run, row);
    row->warm = volts_read(s->t->warm, row);
    row->rough =
        summary_rough(s, row->subject, isnan(mean) ? MEASURE_RMS_VOLTAGE : MEASURE_SETTLED_VOLTAGE);
    row->moving = figure(s->run, row->subject, MEASURE_SETTLED) == 0;
}

static void expect_amperes(const struct summary *s, struct row *row)
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
}

static void expect_watts(const struct summary *s, struct row *row)
{
    enum measure measure =
        strcmp(row->subject, "mains") == 0 ? MEASURE_LINE_POWER : MEASURE_DISSIPATION;
    row->expected = figure(s->run, row->subject, measure);
    row->warm = figure(s->t->warm, row->subject, measure);
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
                      .warm = (double)NAN,
                      .ripple = (double)NAN,
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
        *(r->measured ? &t->measured : &t->chart) = true;
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
        if (f->measure != MEASURE_SETTLED_VOLTAGE || !is_user_point(t, f->subject)) continue;
        struct row row = {.subject = f->subject};
        expect_volts(t->s, &row);
        if (row.alternating || !(fabs(told_value(&row)) >= WORTH_TELLING) || floats(t, f->subject))
            continue;
        add_row(t, f->subject, UNIT_VOLT);
    }
}

static const struct part *part_of(struct summary *s, const char *subject)
{
    return set_find(s->set, summary_part(s, subject));
}

/* The heater of a tube that reads what the winding behind it reads. */
static bool repeats_winding(struct summary *s, const struct figure *f)
{
    const char *dot = strchr(f->subject, '.');
    if (!dot || strncmp(dot, ".heater", 7) != 0) return false;
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *w = &s->run->figures.at[i];
        if (w->measure != f->measure || w->value != f->value) continue;
        const struct part *part = set_find(s->set, summary_part(s, w->subject));
        if (part && part_is(part, ROLE_TRANSFORMER)) return true;
    }
    return false;
}

static bool is_heater(const struct table *t, const char *subject)
{
    const struct circuit *c = t->s->circuit;
    for (int i = 0; i < c->probes.n; i++)
        if (c->probes.at[i].flags & PROBE_HEATER && strcmp(c->probes.at[i].subject, subject) == 0)
            return true;
    return false;
}

/* Windings and heaters; the primary has the line's volts. */
static void add_windings(struct table *t)
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

static bool has_vibrator(const struct summary *s)
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

static void add_drain(struct table *t)
{
    double watts, warm_watts = (double)NAN, warm = (double)NAN;
    double amperes = drain(t->s, t->s->run, &watts);
    if (t->s->t->warm) warm = drain(t->s, t->s->t->warm, &warm_watts);
    struct row *row = add_row(t, "mains", UNIT_AMPERE);
    row->expected = amperes;
    row->warm = warm;
    row->alternating = false;
    row = add_row(t, "mains", UNIT_WATT);
    row->expected = watts;
    row->warm = warm_watts;
}

static void add_line(struct table *t)
{
    if (has_vibrator(t->s)) {
        add_drain(t);
        return;
    }
    if (run_figure(t->s->run, "mains", MEASURE_LINE_CURRENT)) add_row(t, "mains", UNIT_AMPERE);
    if (run_figure(t->s->run, "mains", MEASURE_LINE_POWER)) add_row(t, "mains", UNIT_WATT);
}

/* --- writing --- */

static const char *against(struct summary *s, const struct row *row, double reading)
{
    double value = told_value(row), difference = 100 * (value / reading - 1);
    if (!isfinite(difference) || row->floats) return "";
    if (value * reading < 0 && fabs(value) >= WORTH_TELLING)
        return row->alternating ? "" : words_meter_reverse;
    if (fabs(difference) > 999) return words_meter_far_off;
    if (fabs(difference) < 0.5) return "0\x1f%";
    return arena_printf(s->arena, "%+.0f\x1f%%", difference);
}

static const char *told(struct summary *s, double value, enum unit unit)
{
    return isnan(value) ? "" : page_value(s->page, value, unit, false);
}

static const char *value_cell(struct summary *s, const struct row *row, double value)
{
    const char *text = page_value_tight(s->page, value, row->unit, row->rough);
    return arena_printf(s->arena, "%s%s", text, row->alternating ? words_meter_alternating : "");
}

static const char *expected(struct summary *s, const struct row *row)
{
    if (row->floats) return words_meter_floating;
    if (isnan(row->expected)) return words_meter_not_watched;
    return arena_printf(s->arena, "%s%s", value_cell(s, row, row->expected),
                        row->moving ? " *" : "");
}

static const char *warm(struct summary *s, const struct row *row)
{
    return row->floats || isnan(row->warm) ? "" : value_cell(s, row, row->warm);
}

/* No room for it beside both kinds of readings. */
static bool tells_ripple(const struct table *t)
{
    bool any = false;
    for (int i = 0; i < t->rows.n; i++)
        any |= !t->rows.at[i].floats && !isnan(t->rows.at[i].ripple);
    return any && !(t->chart && t->measured);
}

static const char *ripple(struct summary *s, const struct row *row)
{
    if (isnan(row->ripple) || row->floats) return "";
    const struct figure *f = run_ripple(s->t->warm ? s->t->warm : s->run, row->subject);
    bool rough = f && summary_rough(s, f->subject, f->measure);
    return page_value_tight(s->page, row->ripple, UNIT_VOLT, rough);
}

enum { EXPECTED, WARM, CHART, CHART_OFF, MEASURED, MEASURED_OFF, RIPPLE, CELLS };

/* Columns of readings that nobody gave are left out. */
static void write_line(const struct table *t, const char *point, const char *const cell[CELLS])
{
    struct arena *arena = t->s->arena;
    const char *line = arena_printf(arena, "  %s  %s", page_cell(t->s->page, point, POINT_WIDTH),
                                    page_cell(t->s->page, cell[EXPECTED], -12));
    if (t->s->t->warm)
        line = arena_printf(arena, "%s %s", line, page_cell(t->s->page, cell[WARM], -10));
    if (t->chart)
        line = arena_printf(arena, "%s  %s %s", line, page_cell(t->s->page, cell[CHART], -8),
                            page_cell(t->s->page, cell[CHART_OFF], -6));
    if (t->measured)
        line = arena_printf(arena, "%s  %s %s", line, page_cell(t->s->page, cell[MEASURED], -8),
                            page_cell(t->s->page, cell[MEASURED_OFF], -6));
    if (tells_ripple(t))
        line = arena_printf(arena, "%s  %s", line, page_cell(t->s->page, cell[RIPPLE], -9));
    page_line(t->s->page, line);
}

/* The name without what comes before its first blank or dot: ` heater`. */
static const char *ending(const char *subject)
{
    return subject + strcspn(subject, " .");
}

static bool no_readings(const struct row *row)
{
    return isnan(row->chart) && isnan(row->measured) && isnan(row->ripple) && !row->floats;
}

/* Both would show the same: heaters of one kind in a string. */
static bool alike(struct summary *s, const struct row *a, const struct row *b)
{
    return no_readings(a) && no_readings(b) && *ending(a->subject) &&
           strcmp(ending(a->subject), ending(b->subject)) == 0 &&
           strcmp(expected(s, a), expected(s, b)) == 0 && strcmp(warm(s, a), warm(s, b)) == 0;
}

/* `V1, V2, V3 heater` for as many rows from the `at`th on as are alike. */
static const char *alike_rows(const struct table *t, int at, int *n)
{
    struct arena *arena = t->s->arena;
    const struct row *first = &t->rows.at[at];
    const char *names = "";
    for (*n = 0; at + *n < t->rows.n && alike(t->s, first, &t->rows.at[at + *n]); ++*n) {
        const char *name = t->rows.at[at + *n].subject;
        const char *more = arena_printf(arena, "%s%s%s", names, *n ? ", " : "",
                                        arena_text(arena, name, strcspn(name, " .")));
        if (*n && strlen(more) + strlen(ending(name)) > POINT_WIDTH) break;
        names = more;
    }
    if (*n < 2) {
        *n = 1;
        return first->subject;
    }
    return arena_printf(arena, "%s%s", names, ending(first->subject));
}

static void write_row(const struct table *t, const struct row *row, const char *name)
{
    struct summary *s = t->s;
    bool line = strcmp(row->subject, "mains") == 0;
    bool battery = has_vibrator(s);
    const char *power = row->unit == UNIT_WATT
                            ? (battery ? words_meter_battery_power : words_meter_line_power)
                            : (battery ? words_meter_battery_drain : words_meter_line_current);
    write_line(t, line && row->unit != UNIT_VOLT ? power : name,
               (const char *[]){expected(s, row), warm(s, row), told(s, row->chart, row->unit),
                                against(s, row, row->chart), told(s, row->measured, row->unit),
                                against(s, row, row->measured), ripple(s, row)});
}

/* --- how far it can be trusted --- */

static bool still_warming(const struct summary *s)
{
    return summary_warms(s) && s->run->end < WARM_AFTER && s->setup->stages.n == 1;
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
    if (s->brief && s->t->warm) {
        page_say(s->page, "  ", *names ? words_meter_moving_brief : words_meter_currents_brief, end,
                 longer);
        return;
    }
    if (*names) page_say(s->page, "  ", words_meter_moving, end, names, longer);
    else if (!s->t->warm) page_say(s->page, "  ", words_meter_currents_moving, end, longer);
}

/* How warm the bodies of the warm set are. */
static const char *temperatures(struct summary *s)
{
    const char *text = "";
    for (int i = 0; i < s->t->warm->figures.n; i++) {
        const struct figure *f = &s->t->warm->figures.at[i];
        const struct part *part = part_of(s, f->subject);
        if (f->measure != MEASURE_TEMPERATURE || !part) continue;
        if (!part_is(part, ROLE_TRANSFORMER | ROLE_COIL | ROLE_CAPACITOR)) continue;
        text = arena_printf(s->arena, "%s%s%s %s", text, *text ? ", " : "", f->subject,
                            page_value(s->page, f->value, UNIT_CELSIUS, false));
    }
    return text;
}

/* Which body of the warm set is the warmest. */
static void tell_warm_briefly(struct summary *s)
{
    const struct figure *most = NULL;
    for (int i = 0; i < s->t->warm->figures.n; i++) {
        const struct figure *f = &s->t->warm->figures.at[i];
        const struct part *part = part_of(s, f->subject);
        if (f->measure != MEASURE_TEMPERATURE || !part) continue;
        if (!part_is(part, ROLE_TRANSFORMER | ROLE_COIL | ROLE_CAPACITOR)) continue;
        if (!most || f->value > most->value) most = f;
    }
    page_say(s->page, "  ", words_meter_warm_brief,
             page_value(s->page, s->set->ambient, UNIT_CELSIUS, false),
             most ? arena_printf(s->arena, words_meter_warmest, most->subject,
                                 page_value(s->page, most->value, UNIT_CELSIUS, false))
                  : "");
}

static void write_trust(const struct table *t)
{
    struct summary *s = t->s;
    const char *end = page_value(s->page, s->run->end, UNIT_SECOND, false);
    if (!s->run->settled) write_unsettled(t, end);
    if (still_warming(s) && !(s->brief && s->t->warm))
        page_say(s->page, "  ", words_meter_warming, WARM_AFTER, end);
    if (!s->t->warm) {
        if (s->run->status == STATUS_OK) page_say(s->page, "  ", words_meter_no_warm);
        return;
    }
    if (s->brief) {
        tell_warm_briefly(s);
        return;
    }
    const char *bodies = temperatures(s);
    page_say(s->page, "  ", words_meter_warm_note,
             page_value(s->page, s->set->ambient, UNIT_CELSIUS, false),
             *bodies ? words_meter_bodies : "", bodies);
}

/* In brief only what has a row: that a transformer keeps the line apart is as it should be. */
static void write_floating(struct table *t)
{
    struct summary *s = t->s;
    const char *names = "";
    int n = 0;
    for (int i = 0; i < s->circuit->points.n; i++) {
        const char *name = s->circuit->points.at[i];
        if (s->circuit->inner.at[i] || !floats(t, name)) continue;
        if (s->brief && !find_row(t, name, UNIT_VOLT)) continue;
        names = arena_printf(s->arena, "%s%s%s", names, n++ ? ", " : "", name);
    }
    if (n > 0)
        page_say(s->page, "  ", words_meter_floats, names, s->circuit->reference,
                 n == 1 ? words_meter_it : words_meter_them);
}

/* What the columns mean. */
static void write_legend(const struct table *t)
{
    if (t->s->brief) {
        if (t->measured) page_say(t->s->page, "  ", words_meter_reading_wins);
        return;
    }
    if (t->chart || t->measured) page_say(t->s->page, "  ", words_meter_difference);
    if (t->measured) page_say(t->s->page, "  ", words_meter_reading_wins);
    if (tells_ripple(t)) page_say(t->s->page, "  ", words_meter_ripple_note);
}

static void write_rows(const struct table *t)
{
    struct summary *s = t->s;
    write_line(t, words_meter_point,
               (const char *[]){arena_printf(s->arena, words_meter_after,
                                             page_value(s->page, s->run->end, UNIT_SECOND, false)),
                                words_meter_warm, words_meter_chart, words_meter_off,
                                words_meter_measured, words_meter_off, words_meter_ripple});
    int most = ROWS_MOST > s->setup->readings.n ? ROWS_MOST : s->setup->readings.n;
    for (int i = 0, n = 1; i < t->rows.n && i < most; i += n) {
        const struct row *row = &t->rows.at[i];
        write_row(t, row, s->brief ? alike_rows(t, i, &n) : row->subject);
    }
    if (t->rows.n > most) {
        const char *rest = arena_printf(s->arena, words_meter_more, t->rows.n - most);
        if (s->figures) page_path(s->page, arena_printf(s->arena, "%s:", rest), s->figures);
        else page_line(s->page, rest);
    }
    write_legend(t);
}

static struct table table_of(struct summary *s)
{
    const struct circuit *c = s->circuit;
    return (struct table){.s = s,
                          .island = islands_of(s->arena, c, true),
                          .reference = c->reference ? circuit_find_point(c, c->reference) : -1};
}

/* --- off the chart --- */

const char *summary_off_chart(struct summary *s)
{
    struct table t = table_of(s);
    const char *names = "";
    if ((still_warming(s) && !s->t->warm) || s->run->status != STATUS_OK) return names;
    add_readings(&t);
    for (int i = 0; i < t.rows.n; i++) {
        const struct row *row = &t.rows.at[i];
        const char *off = against(s, row, row->chart);
        if ((row->moving && !s->t->warm && s->run->end < WARM_AFTER) || !*off ||
            fabs(told_value(row) / row->chart - 1) <= SUMMARY_OFF_CHART)
            continue;
        names =
            arena_printf(s->arena, "%s%s%s\x1f%s", names, *names ? ", " : "", row->subject, off);
    }
    return names;
}

const char *summary_off_measured(struct summary *s)
{
    struct table t = table_of(s);
    const char *text = "";
    if ((still_warming(s) && !s->t->warm) || s->run->status != STATUS_OK) return text;
    add_readings(&t);
    for (int i = 0; i < t.rows.n; i++) {
        const struct row *row = &t.rows.at[i];
        double off = told_value(row) / row->measured - 1;
        if (row->floats || isnan(row->measured) || !(fabs(off) > SUMMARY_OFF_CHART)) continue;
        if (row->moving && !s->t->warm) continue;
        const char *name = strcmp(row->subject, "mains") == 0 ? words_meter_line : row->subject;
        text = arena_printf(s->arena, words_stop_disagrees, text, *text ? "; " : "", name,
                            told(s, row->measured, row->unit), told(s, told_value(row), row->unit),
                            100 * off);
    }
    return text;
}

void summary_meter(struct summary *s)
{
    struct table t = table_of(s);
    page_heading(s->page, words_meter_heading);
    add_readings(&t);
    add_points(&t);
    add_windings(&t);
    add_line(&t);
    if (t.rows.n == 0) {
        page_say(s->page, "  ", words_meter_nothing,
                 s->run->figures.n > 0 ? words_meter_none_watched : words_meter_no_figures);
        return;
    }
    write_rows(&t);
    write_trust(&t);
    write_floating(&t);
}
