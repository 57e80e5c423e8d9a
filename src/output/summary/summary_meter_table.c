/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of what the meter should read: its cells, and how far it can be trusted. */
#include <math.h>
#include <string.h>

#include "numbers.h"
#include "summary_meter_impl.h"
#include "words_meter.h"

enum { ROWS_MOST = 24, POINT_WIDTH = 19, BAND_WIDTH = 14, OFF_WIDTH = 5 };

#define A_MINUTE 60.0
#define WORTH_TELLING 0.1 /* [V] */

const char *summary_meter_against(struct summary *s, const struct meter_row *row, double reading)
{
    double value = summary_meter_value(row), difference = 100 * (value / reading - 1);
    if (!isfinite(difference) || row->floats) return "";
    if (value * reading < 0 && fabs(value) >= WORTH_TELLING)
        return row->alternating ? "" : words_meter_reverse;
    if (fabs(difference) > 999) return words_meter_far_off;
    if (fabs(difference) < 0.5) return "0\x1f%";
    return arena_printf(s->arena, "%+.0f\x1f%%", difference);
}

/* The same in its column of five: `+12 %`, `-100%`. */
static const char *against(struct summary *s, const struct meter_row *row, double reading)
{
    const char *text = summary_meter_against(s, row, reading), *blank = strchr(text, '\x1f');
    if (!blank || strlen(text) <= OFF_WIDTH) return text;
    return arena_printf(s->arena, "%.*s%s", (int)(blank - text), text, blank + 1);
}

const char *summary_meter_text(struct summary *s, double value, enum unit unit)
{
    return isnan(value) ? "" : page_value(s->page, value, unit, false);
}

static const char *value_cell(struct summary *s, const struct meter_row *row, double value)
{
    const char *text = page_value_tight(s->page, value, row->unit, row->rough && !row->band);
    return arena_printf(s->arena, "%s%s", text, row->alternating ? words_meter_alternating : "");
}

static const char *expected(struct summary *s, const struct meter_row *row)
{
    if (row->floats) return words_meter_floating;
    if (isnan(row->expected)) return words_meter_not_watched;
    return arena_printf(s->arena, "%s%s", value_cell(s, row, row->expected),
                        row->moving ? " *" : "");
}

static const char *warm(struct summary *s, const struct meter_row *row)
{
    return row->floats || isnan(row->warm) ? "" : value_cell(s, row, row->warm);
}

/* No room for it beside both kinds of readings. */
static bool tells_ripple(const struct meter_table *t)
{
    bool any = false;
    for (int i = 0; i < t->rows.n; i++)
        any |= !t->rows.at[i].floats && !isnan(t->rows.at[i].ripple);
    return any && !(t->chart && t->measured);
}

static const char *ripple(struct summary *s, const struct meter_row *row)
{
    if (isnan(row->ripple) || row->floats) return "";
    const struct figure *f = run_ripple(s->t->warm ? s->t->warm : s->run, row->subject);
    bool rough = f && summary_rough(s, f->subject, f->measure);
    return page_value_tight(s->page, row->ripple, UNIT_VOLT, rough);
}

/* `213-252 V`, `-9.7..-12 V`, `0 V`; the lesser reading first. */
static const char *band_text(struct summary *s, double low, double high, enum unit unit, int digits)
{
    const char *from = page_number(s->page, low, unit, digits);
    const char *to = page_number(s->page, high, unit, digits);
    if (strcmp(from, to) == 0) return to;
    const char *from_unit = strchr(from, '\x1f'), *to_unit = strchr(to, '\x1f');
    bool same = from_unit && to_unit && strcmp(from_unit, to_unit) == 0;
    return arena_printf(s->arena, "%.*s%s%s", same ? (int)(from_unit - from) : (int)strlen(from),
                        from, low < 0 ? ".." : "-", to);
}

static const char *band(struct summary *s, const struct meter_row *row)
{
    if (!row->band || row->floats) return "";
    double low = row->band->spread.p05, high = row->band->spread.p95;
    if (low < 0) low = row->band->spread.p95, high = row->band->spread.p05;
    const char *text = band_text(s, low, high, row->unit, 3);
    return strlen(text) < BAND_WIDTH ? text : band_text(s, low, high, row->unit, 2);
}

enum column { EXPECTED, WARM, BAND, CHART, CHART_OFF, MEASURED, MEASURED_OFF, RIPPLE, COLUMNS };

/* How wide a column is with the blanks before it; 0: it is left out. */
static int width_of(const struct meter_table *t, enum column column)
{
    bool bands = t->s->t->bands, tight = bands && t->chart && t->measured;
    switch (column) {
    case EXPECTED: return tight && t->s->t->warm ? 0 : bands ? 11 : 14;
    case WARM: return t->s->t->warm ? 11 : 0;
    case BAND: return bands ? BAND_WIDTH : 0;
    case CHART: return t->chart ? (bands ? 8 : 10) : 0;
    case CHART_OFF: return t->chart ? (bands ? 6 : 7) : 0;
    case MEASURED: return t->measured ? (bands ? 9 : 10) : 0;
    case MEASURED_OFF: return t->measured ? (bands ? 6 : 7) : 0;
    case RIPPLE: return tells_ripple(t) ? (bands ? 8 : 11) : 0;
    case COLUMNS: break;
    }
    return 0;
}

static void write_line(const struct meter_table *t, const char *point,
                       const char *const cell[COLUMNS])
{
    struct arena *arena = t->s->arena;
    const char *line = arena_printf(arena, "  %s", page_cell(t->s->page, point, POINT_WIDTH));
    for (int i = 0; i < COLUMNS; i++) {
        int width = width_of(t, (enum column)i);
        if (width > 0)
            line = arena_printf(arena, "%s %s", line, page_cell(t->s->page, cell[i], 1 - width));
    }
    page_line(t->s->page, line);
}

/* The name without what comes before its first blank or dot: ` heater`. */
static const char *ending(const char *subject)
{
    return subject + strcspn(subject, " .");
}

static bool no_readings(const struct meter_row *row)
{
    return isnan(row->chart) && isnan(row->measured) && isnan(row->ripple) && !row->floats;
}

#define HALVES 0.01 /* two halves of a winding that differ by no more are shown once */

/* `T1.high voltage 1` and `T1.high voltage 2`. */
static bool halves(const struct meter_row *a, const struct meter_row *b)
{
    size_t n = strlen(a->subject);
    return strchr(a->subject, '.') && n == strlen(b->subject) && a->subject[n - 1] == '1' &&
           b->subject[n - 1] == '2' && strncmp(a->subject, b->subject, n - 1) == 0 &&
           no_readings(a) && no_readings(b) &&
           fabs(a->expected - b->expected) <= HALVES * fabs(a->expected);
}

/* Both would show the same: heaters of one kind in a string. */
static bool alike(struct summary *s, const struct meter_row *a, const struct meter_row *b)
{
    return no_readings(a) && no_readings(b) && *ending(a->subject) &&
           strcmp(ending(a->subject), ending(b->subject)) == 0 &&
           strcmp(expected(s, a), expected(s, b)) == 0 && strcmp(warm(s, a), warm(s, b)) == 0;
}

/* `V1, V2, V3 heater` for as many rows from the `at`th on as are alike. */
static const char *alike_rows(const struct meter_table *t, int at, int *n)
{
    struct arena *arena = t->s->arena;
    const struct meter_row *first = &t->rows.at[at];
    const char *names = "";
    if (at + 1 < t->rows.n && halves(first, first + 1)) {
        *n = 2;
        return arena_printf(arena, "%s&2", first->subject);
    }
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

static const char *row_name(struct summary *s, const struct meter_row *row)
{
    bool battery = summary_meter_vibrator(s);
    const struct part *part = summary_meter_part(s, row->subject);
    if (part && part->kind->isolates && row->unit == UNIT_VOLT) return words_meter_isolated;
    if (strcmp(row->subject, "mains") != 0 || row->unit == UNIT_VOLT) return row->subject;
    if (row->unit == UNIT_WATT)
        return battery ? words_meter_battery_power : measure_words(MEASURE_LINE_POWER);
    return battery ? words_meter_battery_drain : measure_words(MEASURE_LINE_CURRENT);
}

static void write_row(const struct meter_table *t, const struct meter_row *row, const char *name)
{
    struct summary *s = t->s;
    write_line(t, name == row->subject ? row_name(s, row) : name,
               (const char *[]){expected(s, row), warm(s, row), band(s, row),
                                summary_meter_text(s, row->chart, row->unit),
                                against(s, row, row->chart),
                                summary_meter_text(s, row->measured, row->unit),
                                against(s, row, row->measured), ripple(s, row)});
}

/* --- how far it can be trusted --- */

bool summary_meter_warming(const struct summary *s)
{
    return summary_warms(s) && s->run->end < SUMMARY_METER_WARM && s->setup->stages.n == 1;
}

/* Points that had not settled; empty: it was a current. */
static const char *still_moving(const struct meter_table *t)
{
    const char *names = "";
    for (int i = 0; i < t->rows.n; i++) {
        const struct meter_row *row = &t->rows.at[i];
        if (!row->moving || row->floats) continue;
        names = arena_printf(t->s->arena, "%s%s%s", names, *names ? ", " : "", row->subject);
    }
    return names;
}

static void write_unsettled(const struct meter_table *t, const char *end)
{
    struct summary *s = t->s;
    const char *names = still_moving(t);
    double longer = larger(A_MINUTE, 2 * ceil(s->run->end));
    if (*names) page_say(s->page, "  ", words_meter_moving, end, names, longer);
    else if (!s->t->warm) page_say(s->page, "  ", words_meter_currents_moving, end, longer);
}

/* How warm the bodies of the warm set are. */
static const char *temperatures(struct summary *s)
{
    const char *text = "";
    for (int i = 0; i < s->t->warm->figures.n; i++) {
        const struct figure *f = &s->t->warm->figures.at[i];
        const struct part *part = summary_meter_part(s, f->subject);
        if (f->measure != MEASURE_TEMPERATURE || !part) continue;
        if (!part_is(part, ROLE_TRANSFORMER | ROLE_COIL | ROLE_CAPACITOR)) continue;
        text = arena_printf(s->arena, "%s%s%s %s", text, *text ? ", " : "", f->subject,
                            page_value(s->page, f->value, UNIT_CELSIUS, false));
    }
    return text;
}

/* What still moved, and which body of the warm set is the warmest. */
static void tell_warm_briefly(const struct meter_table *t, const char *end)
{
    struct summary *s = t->s;
    const struct figure *most = NULL;
    const char *moving = "";
    if (!s->run->settled)
        moving = arena_printf(
            s->arena, *still_moving(t) ? words_meter_moving_brief : words_meter_currents_brief, end,
            larger(A_MINUTE, 2 * ceil(s->run->end)));
    for (int i = 0; i < s->t->warm->figures.n; i++) {
        const struct figure *f = &s->t->warm->figures.at[i];
        const struct part *part = summary_meter_part(s, f->subject);
        if (f->measure != MEASURE_TEMPERATURE || !part) continue;
        if (!part_is(part, ROLE_TRANSFORMER | ROLE_COIL | ROLE_CAPACITOR)) continue;
        if (!most || f->value > most->value) most = f;
    }
    page_say(s->page, "  ", words_meter_warm_brief, moving,
             page_value(s->page, s->set->ambient, UNIT_CELSIUS, false),
             most ? arena_printf(s->arena, words_meter_warmest, most->subject,
                                 page_value(s->page, most->value, UNIT_CELSIUS, false))
                  : "",
             s->t->bands ? words_meter_band_brief : "");
}

static void write_warm(struct summary *s)
{
    const char *bodies = temperatures(s);
    page_say(s->page, "  ", words_meter_warm_note,
             page_value(s->page, s->set->ambient, UNIT_CELSIUS, false),
             *bodies ? words_meter_bodies : "", bodies);
}

static void write_trust(const struct meter_table *t)
{
    struct summary *s = t->s;
    const char *end = page_value(s->page, s->run->end, UNIT_SECOND, false);
    if (s->brief && s->t->warm) {
        tell_warm_briefly(t, end);
        return;
    }
    if (!s->run->settled) write_unsettled(t, end);
    if (summary_meter_warming(s))
        page_say(s->page, "  ", words_meter_warming, SUMMARY_METER_WARM, end);
    if (s->t->warm) write_warm(s);
    else if (s->run->status == STATUS_OK && !summary_dead(s))
        page_say(s->page, "  ", words_meter_no_warm);
}

/* In brief only what has a row: that a transformer keeps the line apart is as it should be. */
static void write_floating(struct meter_table *t)
{
    struct summary *s = t->s;
    const char *names = "";
    int n = 0;
    for (int i = 0; i < s->circuit->points.n; i++) {
        const char *name = s->circuit->points.at[i];
        if (s->circuit->inner.at[i] || !summary_meter_floats(t, name)) continue;
        if (s->brief && !summary_meter_find(t, name, UNIT_VOLT)) continue;
        names = arena_printf(s->arena, "%s%s%s", names, n++ ? ", " : "", name);
    }
    if (n > 0)
        page_say(s->page, "  ", words_meter_floats, names, s->circuit->reference,
                 n == 1 ? words_meter_it : words_meter_them);
}

/* What the columns mean. */
static void write_legend(const struct meter_table *t)
{
    if (t->s->brief) {
        if (t->measured) page_say(t->s->page, "  ", words_meter_reading_wins);
        return;
    }
    if (t->chart || t->measured) page_say(t->s->page, "  ", words_meter_difference);
    if (t->measured) page_say(t->s->page, "  ", words_meter_reading_wins);
    if (tells_ripple(t)) page_say(t->s->page, "  ", words_meter_ripple_note);
    if (t->s->t->bands) page_say(t->s->page, "  ", words_meter_band_note);
}

static void write_rows(const struct meter_table *t)
{
    struct summary *s = t->s;
    page_heads(s->page);
    write_line(t, words_meter_point,
               (const char *[]){arena_printf(s->arena, words_meter_after,
                                             page_value(s->page, s->run->end, UNIT_SECOND, false)),
                                words_meter_warm, words_meter_band, words_meter_chart,
                                words_meter_off, words_meter_measured, words_meter_off,
                                words_meter_ripple});
    int most = ROWS_MOST > s->setup->readings.n ? ROWS_MOST : s->setup->readings.n;
    for (int i = 0, n = 1; i < t->rows.n && i < most; i += n) {
        const struct meter_row *row = &t->rows.at[i];
        write_row(t, row, s->brief ? alike_rows(t, i, &n) : row->subject);
    }
    if (t->rows.n > most) {
        const char *rest = arena_printf(s->arena, words_meter_more, t->rows.n - most);
        if (s->figures) page_path(s->page, arena_printf(s->arena, "%s:", rest), s->figures);
        else page_line(s->page, rest);
    }
    write_legend(t);
}

void summary_meter_table(struct meter_table *t)
{
    write_rows(t);
    write_trust(t);
    write_floating(t);
}

/* --- for a page with a form of its own --- */

int summary_readings(struct summary *s, struct summary_reading **readings)
{
    const struct meter_table t = summary_meter_whole(s);
    *readings = ARENA_ARRAY(s->arena, struct summary_reading, t.rows.n);
    for (int i = 0; i < t.rows.n; i++) {
        const struct meter_row *row = &t.rows.at[i];
        bool is_warm = !row->floats && !isnan(row->warm);
        (*readings)[i] =
            (struct summary_reading){.subject = row->subject,
                                     .name = row_name(s, row),
                                     .unit = row->unit,
                                     .alternating = row->alternating,
                                     .value = summary_meter_value(row),
                                     .expect = is_warm ? warm(s, row) : expected(s, row),
                                     .band = band(s, row),
                                     .ripple = ripple(s, row),
                                     .chart = summary_meter_text(s, row->chart, row->unit),
                                     .measured = summary_meter_text(s, row->measured, row->unit)};
    }
    return t.rows.n;
}

void summary_meter_notes(struct summary *s)
{
    struct meter_table t = summary_meter_whole(s);
    if (s->t->bands) page_say(s->page, "  ", words_meter_band_note);
    if (s->t->warm) write_warm(s);
    else write_trust(&t);
    write_floating(&t);
}
