/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything stands in tables of 80 columns: a cell holds one value or a band. */
#include "bench_text.h"

#include <math.h>
#include <string.h>

#include "bench_ladder_text.h"
#include "cautions_text.h"
#include "numbers.h"
#include "page.h"
#include "tolerances.h"
#include "words_bench.h"
#include "words_common.h"
#include "words_number.h"

enum { LABEL = 19, CELL = 9, GLOW = -1, WIDE = 46 };

#define NOT_SHORTED 15e3 /* ohms across a filter, at least; common practice, no source */
#define CLIMBS 50e3 /* at and above this a filter counts as sound; common practice, no source */

struct telling {
    struct page *page;
    const struct bench_sheet *sheet;
    int section; /* last number given */
};

/* ---- cells ---- */

/* Milliamperes; volts and watts to three digits at most. */
static const char *number(struct telling *t, double value, enum unit unit)
{
    if (isnan(value)) return "-";
    if (unit == UNIT_AMPERE) value *= 1e3;
    double size = fabs(value);
    if (size < 0.05) return "0";
    return arena_printf(t->page->arena, size < 10 ? "%.1f" : "%.0f", value);
}

static bool is_outside(const struct bench_row *healthy, double value, int k)
{
    return value < healthy->least[k] || value > healthy->most[k];
}

static const char *glow(const struct bench_row *row)
{
    static const char *const words[] = {[LAMP_NONE] = "-",
                                        [LAMP_DARK] = words_bench_dark,
                                        [LAMP_DULL_RED] = words_bench_dull_red,
                                        [LAMP_ORANGE] = words_bench_orange,
                                        [LAMP_DIM_YELLOW] = words_bench_dim_yellow,
                                        [LAMP_BRIGHT] = words_bench_bright_lamp};
    return words[row->glow];
}

/* A band, or with `healthy` the value of a fault with its mark. */
static const char *cell(struct telling *t, const struct bench_row *row,
                        const struct bench_row *healthy, int k)
{
    if (k == GLOW) return glow(row);
    enum unit unit;
    bench_reading_name((enum bench_reading)k, &unit);
    if (healthy)
        return arena_printf(t->page->arena, "%s%s", number(t, row->value[k], unit),
                            is_outside(healthy, row->value[k], k) ? "!" : " ");
    const char *least = number(t, row->least[k], unit), *most = number(t, row->most[k], unit);
    if (strcmp(least, most) == 0) return arena_printf(t->page->arena, "%s ", least);
    return arena_printf(t->page->arena, "%s-%s ", least, most);
}

static const char *head(struct telling *t, int k)
{
    const struct bench_parts *parts = &t->sheet->parts;
    switch (k) {
    case GLOW: return words_bench_glow;
    case BENCH_LAMP_VOLTS: return words_bench_lamp_volts;
    case BENCH_LINE_AMPERES: return words_bench_line_amperes;
    case BENCH_LINE_WATTS: return words_bench_line_watts;
    case BENCH_HEATER_VOLTS: return words_bench_heater_volts;
    case BENCH_FIRST_VOLTS:
        return arena_printf(t->page->arena, words_bench_point_volts, parts->first);
    case BENCH_SECOND_VOLTS:
        return arena_printf(t->page->arena, words_bench_point_volts, parts->second);
    default: return words_bench_ripple;
    }
}

static bool has(const struct telling *t, int k)
{
    if (k == BENCH_FIRST_VOLTS || k == BENCH_RIPPLE) return t->sheet->parts.first != NULL;
    if (k == BENCH_SECOND_VOLTS) return t->sheet->parts.second != NULL;
    return k != BENCH_HEATER_VOLTS || t->sheet->parts.heater;
}

static int width(int k)
{
    return k == GLOW ? -(CELL + 2) : -CELL;
}

static void write_heads(struct telling *t, const char *corner, const int *columns, int n)
{
    const char *line = arena_printf(t->page->arena, "  %s", page_cell(t->page, corner, LABEL - 2));
    for (int i = 0; i < n; i++)
        if (has(t, columns[i]))
            line = arena_printf(t->page->arena, "%s%s ", line,
                                page_cell(t->page, head(t, columns[i]), width(columns[i]) + 1));
    page_heads(t->page);
    page_line(t->page, line);
}

static void write_row(struct telling *t, const char *what, const struct bench_row *row,
                      const struct bench_row *healthy, const int *columns, int n)
{
    const char *line = arena_printf(t->page->arena, "  %s", page_cell(t->page, what, LABEL - 2));
    for (int i = 0; i < n; i++) {
        if (!has(t, columns[i])) continue;
        const char *text = cell(t, row, healthy, columns[i]);
        if (columns[i] == GLOW) text = arena_printf(t->page->arena, "%s ", text);
        line =
            arena_printf(t->page->arena, "%s%s", line, page_cell(t->page, text, width(columns[i])));
    }
    page_line(t->page, line);
}

static const char *value(struct telling *t, double v, enum unit unit)
{
    return page_value(t->page, v, unit, false);
}

/* A row to be filled in by hand. */
static void write_blank(struct telling *t, const char *what, const char *expected)
{
    page_line(t->page,
              arena_printf(t->page->arena, "  %s %s  ________", page_cell(t->page, what, WIDE),
                           page_cell(t->page, expected, -20)));
}

static void heading(struct telling *t, const char *text)
{
    page_heading(t->page, arena_printf(t->page->arena, "%d. %s", ++t->section, text));
}

/* On paper the blanks say it themselves. */
static void heading_blanks(struct telling *t, const char *text)
{
    heading(t, text);
    if (!t->page->html) return;
    page_heads(t->page);
    page_line(t->page,
              arena_printf(t->page->arena, "%s%s%s", page_cell(t->page, words_bench_reading, WIDE),
                           page_cell(t->page, words_bench_expect, -20), words_bench_you_read));
}

/* ---- the sections ---- */

static const char *ohms(struct telling *t, double v)
{
    if (!(v < 1e6)) return words_bench_megohm;
    return value(t, v, UNIT_OHM);
}

static void write_ohms(struct telling *t)
{
    const struct bench_sheet *sheet = t->sheet;
    heading_blanks(t, words_bench_ohms);
    bool filters = false;
    for (int i = 0; i < sheet->parts.pairs.n; i++) {
        const struct bench_pair *pair = &sheet->parts.pairs.at[i];
        const char *at = pair->kind == PAIR_COIL ? words_bench_in_place : "";
        filters |= pair->kind == PAIR_CAPACITOR;
        if (isnan(sheet->ohms[i])) continue;
        write_blank(t, arena_printf(t->page->arena, "%s%s", pair->what, at),
                    ohms(t, sheet->ohms[i]));
    }
    page_say(t->page, "  ", words_bench_ohms_note);
    if (filters)
        page_say(t->page, "  ", words_bench_filter_note, value(t, CLIMBS, UNIT_OHM),
                 value(t, NOT_SHORTED, UNIT_OHM));
    if (!sheet->parts.transformer && sheet->parts.heater && sheet->ohms[0] < 1e6)
        page_say(t->page, "  ", words_bench_string, ohms(t, HUGE_VAL));
    if (sheet->parts.transformer) page_say(t->page, "  ", words_bench_halves);
}

static void write_ratio(struct telling *t)
{
    const struct bench_sheet *sheet = t->sheet;
    const char *low = value(t, BENCH_RATIO, UNIT_VOLT);
    heading_blanks(t, words_bench_ratio);
    for (int i = 0; i < sheet->windings.n; i++) {
        const struct bench_winding *w = &sheet->windings.at[i];
        write_blank(
            t, w->subject,
            arena_printf(t->page->arena, words_bench_alternating, value(t, w->ratio, UNIT_VOLT)));
    }
    page_say(t->page, "  ", words_bench_ratio_note, low, 6.3 / BENCH_RATIO);
}

static void write_alone(struct telling *t)
{
    const struct bench_row *good = &t->sheet->alone, *bad = &t->sheet->alone_shorted;
    heading_blanks(t, words_bench_alone);
    write_blank(t, measure_words(MEASURE_LINE_POWER),
                value(t, good->value[BENCH_LINE_WATTS], UNIT_WATT));
    write_blank(t, measure_words(MEASURE_LINE_CURRENT),
                value(t, good->value[BENCH_LINE_AMPERES], UNIT_AMPERE));
    for (int i = 0; i < t->sheet->windings.n; i++) {
        const struct bench_winding *w = &t->sheet->windings.at[i];
        write_blank(
            t, w->subject,
            arena_printf(t->page->arena, words_bench_alternating, value(t, w->line, UNIT_VOLT)));
    }
    if (bad->told)
        page_say(t->page, "  ", words_bench_turns_shorted, 100 * BENCH_TURNS,
                 value(t, bad->value[BENCH_LINE_WATTS], UNIT_WATT),
                 value(t, bad->value[BENCH_LINE_AMPERES], UNIT_AMPERE), words_number(BENCH_ALONE));
}

static const int on_lamp[] = {BENCH_LAMP_VOLTS,  GLOW,
                              BENCH_LINE_WATTS,  BENCH_HEATER_VOLTS,
                              BENCH_FIRST_VOLTS, BENCH_SECOND_VOLTS};
static const int with_ripple[] = {BENCH_LAMP_VOLTS,   GLOW,
                                  BENCH_HEATER_VOLTS, BENCH_FIRST_VOLTS,
                                  BENCH_SECOND_VOLTS, BENCH_RIPPLE};
static const int at_line[] = {BENCH_LINE_AMPERES, BENCH_LINE_WATTS,   BENCH_HEATER_VOLTS,
                              BENCH_FIRST_VOLTS,  BENCH_SECOND_VOLTS, BENCH_RIPPLE};
enum { COLUMNS = 6 };

static const char *step_words(const struct bench_sheet *sheet, int i)
{
    return i == BENCH_LAMPS ? words_bench_full_line : sheet->steps[i].what;
}

/* NULL where the runs were interrupted before it was known. */
static const struct bench_row *recommended(const struct bench_sheet *sheet)
{
    return sheet->recommended < 0 ? NULL : &sheet->steps[sheet->recommended];
}

static void write_choice(struct telling *t)
{
    const struct bench_sheet *sheet = t->sheet;
    const struct bench_row *row = recommended(sheet), *full = &sheet->steps[BENCH_LAMPS];
    int share = (int)lround(100 * BENCH_SHARE);
    page_say(t->page, "  ", sheet->enough ? words_bench_take_lamp : words_bench_largest_lamp,
             bench_lamp_watts(sheet->recommended), sheet->lamp_volts, share);
    page_say(t->page, "  ", words_bench_lamp_rule,
             value(t, full->value[BENCH_LINE_WATTS], UNIT_WATT));
    if (row->highest_time > 1 && row->highest > 1.05 * row->most[BENCH_FIRST_VOLTS])
        page_say(t->page, "  ", words_bench_climbs, sheet->parts.first,
                 value(t, row->highest, UNIT_VOLT),
                 value(t, round(row->highest_time), UNIT_SECOND));
}

static void write_live(struct telling *t, const struct hazards *h)
{
    if (!h->hot_chassis) return;
    const char *reference = t->sheet->setup->stages.at[0].circuit->reference;
    page_say(t->page, "  ", words_bench_live, reference, reference);
}

static void write_steps(struct telling *t, const struct hazards *h)
{
    const struct bench_sheet *sheet = t->sheet;
    heading(t, words_bench_ladder);
    write_live(t, h);
    if (sheet->no_rectifier.told && sheet->parts.transformer && sheet->parts.heater) {
        const struct bench_row *n = &sheet->no_rectifier;
        page_say(t->page, "  ", words_bench_no_rectifier, sheet->parts.rectifier,
                 bench_lamp_watts(sheet->recommended),
                 value(t, n->value[BENCH_LAMP_VOLTS], UNIT_VOLT), glow(n), BENCH_COLD,
                 value(t, n->value[BENCH_LINE_WATTS], UNIT_WATT),
                 value(t, n->value[BENCH_HEATER_VOLTS], UNIT_VOLT));
    }
    page_say(t->page, "  ", sheet->wide ? words_bench_all_wide : words_bench_all_parts, BENCH_COLD);
    write_heads(t, "", on_lamp, COLUMNS);
    for (int i = 0; i < BENCH_STEPS; i++) {
        if (!sheet->steps[i].told) continue;
        const char *name = step_words(sheet, i);
        if (i == sheet->recommended) name = arena_printf(t->page->arena, "%s <", name);
        write_row(t, name, &sheet->steps[i], NULL, on_lamp, COLUMNS);
    }
    if (recommended(sheet)) write_choice(t);
}

static const char *giveaway(struct telling *t, const struct bench_row *row)
{
    if (row->telling < 0) return NULL;
    enum unit unit;
    bench_reading_name((enum bench_reading)row->telling, &unit);
    const char *name = tongue_says(words_bench_readings[row->telling]);
    return arena_printf(t->page->arena, "%s: %s %s\x1f%s", row->what, name,
                        number(t, row->value[row->telling], unit),
                        unit == UNIT_AMPERE ? words_bench_milliamperes : quantity_symbol(unit));
}

static void write_faults(struct telling *t, int at, const struct bench_row *healthy,
                         const int columns[COLUMNS])
{
    const char *tells = "", *alike = "";
    write_heads(t, "", columns, COLUMNS);
    write_row(t, words_bench_sound, healthy, NULL, columns, COLUMNS);
    for (int i = 0; i < BENCH_FAULTS; i++) {
        const struct bench_row *row = &t->sheet->faults[at][i];
        if (!row->told) continue;
        write_row(t, row->what, row, healthy, columns, COLUMNS);
        const char *text = giveaway(t, row);
        if (text) tells = arena_printf(t->page->arena, "%s%s%s", tells, *tells ? "; " : "", text);
        else alike = arena_printf(t->page->arena, "%s%s%s", alike, *alike ? ", " : "", row->what);
    }
    page_say(t->page, "  ", words_bench_outside, tells);
    if (*alike) page_say(t->page, "  ", words_bench_alike, alike);
}

/* Half way from the sound set's greatest to the short's lamp volts. */
static void write_switch_off(struct telling *t)
{
    const struct bench_sheet *sheet = t->sheet;
    const struct bench_row *row = recommended(sheet), *bad = &sheet->faults[0][0];
    if (!sheet->parts.first || !bad->told) return;
    double most = row->most[BENCH_LAMP_VOLTS], shorted = bad->value[BENCH_LAMP_VOLTS];
    if (shorted > most)
        page_say(t->page, "  ", words_bench_switch_off, BENCH_COLD,
                 value(t, (most + shorted) / 2, UNIT_VOLT));
    double sound = sheet->steps[BENCH_LAMPS].winding;
    if (bad->winding > sound) page_say(t->page, "  ", words_bench_bright);
    if (!isnan(bad->winding))
        page_say(t->page, "  ", words_bench_plates, bad->what, value(t, bad->winding, UNIT_AMPERE),
                 value(t, sheet->faults[1][0].winding, UNIT_AMPERE), value(t, sound, UNIT_AMPERE));
}

static void write_bands(struct telling *t)
{
    const struct bench_sheet *sheet = t->sheet;
    const char *about = "";
    int n = 0;
    for (int i = 0; i < BENCH_STEPS; i++) {
        if (!sheet->about[i]) continue;
        about =
            arena_printf(t->page->arena, "%s%s%s", about, n++ ? ", " : "", step_words(sheet, i));
    }
    if (sheet->wide) page_say(t->page, "  ", words_bench_wide, 100 * BENCH_WIDE);
    else if (n < BENCH_STEPS) page_say(t->page, "  ", words_bench_bands, TOLERANCES_BANDS);
    if (n == 0) return;
    page_say(t->page, "  ", words_bench_about, about, 100 * BENCH_LINE_BAND,
             100 * BENCH_FARADS_DOWN, 100 * BENCH_FARADS_UP,
             sheet->loads > 0
                 ? arena_printf(t->page->arena, words_bench_load_band, 100 * BENCH_LOAD_BAND)
                 : words_bench_no_load,
             sheet->waited ? "" : words_bench_at_once);
}

static void write_notes(struct telling *t)
{
    const struct bench_sheet *sheet = t->sheet;
    page_heading(t->page, words_bench_found);
    page_say(t->page, "  ", words_bench_runs, sheet->runs, BENCH_COLD);
    write_bands(t);
    if (sheet->parts.heater) page_say(t->page, "  ", words_bench_small_lamps, BENCH_COLD);
    if (sheet->parts.heater)
        page_say(t->page, "  ", words_bench_columns, sheet->parts.heater,
                 sheet->parts.first ? sheet->parts.first : "-");
    if (sheet->unbalanced > 0)
        page_say(t->page, "!! ", words_bench_audit, sheet->unbalanced,
                 sheet->unbalanced == 1 ? "" : words_bench_audit_many, sheet->unbalanced_runs);
}

static bool any_told(const struct bench_row *rows, int n)
{
    while (n > 0 && !rows[n - 1].told) n--;
    return n > 0;
}

void bench_text_part(struct page *page, const struct bench_sheet *sheet)
{
    struct telling t = {page, sheet, 0};
    struct arena *arena = page->arena;
    struct hazards h = hazards_of(arena, sheet->setup, NULL, OCCASION_POWER | OCCASION_DISCHARGE);
    page_say(page, "", words_bench_head, value(&t, sheet->line, UNIT_VOLT));
    if (sheet->status == STATUS_INTERRUPTED) page_say(page, "!! ", words_bench_interrupted);
    write_ohms(&t);
    if (sheet->windings.n > 0) write_ratio(&t);
    if (sheet->alone.told) write_alone(&t);
    if (sheet->steps[0].told) write_steps(&t, &h);
    if (any_told(sheet->ladder, BENCH_LADDER)) {
        heading(&t, words_bench_dial);
        bench_ladder_write(page, sheet);
    }
    if (any_told(sheet->faults[0], BENCH_FAULTS)) {
        heading(&t, arena_printf(arena, words_bench_lamp_faults,
                                 bench_lamp_watts(sheet->recommended), BENCH_COLD));
        write_faults(&t, 0, recommended(sheet), with_ripple);
        write_switch_off(&t);
    }
    if (any_told(sheet->faults[1], BENCH_FAULTS)) {
        heading(&t, words_bench_line_faults);
        write_faults(&t, 1, &sheet->steps[BENCH_LAMPS], at_line);
    }
    if (sheet->parts.transformer) {
        heading(&t, words_bench_leads);
        bench_ladder_leads(page, sheet);
    }
    write_notes(&t);
}

void bench_text_write(FILE *to, struct arena *arena, const struct bench_sheet *sheet,
                      const char *file, const char *figures)
{
    struct page page = page_on(to, arena);
    struct hazards h = hazards_of(arena, sheet->setup, NULL, OCCASION_POWER | OCCASION_DISCHARGE);
    page_title(&page, sheet->setup->title, sheet->setup->variant);
    bench_text_part(&page, sheet);
    page_gap(&page);
    page_path(&page, words_bench_table, file);
    page_path(&page, words_common_figures, figures);
    cautions_text_all(&page, &h, 1);
}

/* ---- the file ---- */

static void begin_row(struct writer *w, const char *section, const char *step,
                      const char *condition, const char *reading, enum unit unit, double v)
{
    const char *const words[] = {section, step, condition, reading, quantity_symbol(unit)};
    for (int i = 0; i < 5; i++) {
        writer_field(w, words[i]);
        writer_text(w, ",");
    }
    writer_number(w, v);
}

static void csv_row(struct writer *w, const char *section, const char *step, const char *condition,
                    const struct bench_row *row, const struct bench_row *healthy, bool band)
{
    for (int k = 0; k < BENCH_READINGS && row->told; k++) {
        enum unit unit;
        const char *name = bench_reading_name((enum bench_reading)k, &unit);
        if (isnan(row->value[k])) continue;
        begin_row(w, section, step, condition, name, unit, row->value[k]);
        writer_text(w, ",");
        if (band) writer_number(w, row->least[k]);
        writer_text(w, ",");
        if (band) writer_number(w, row->most[k]);
        writer_format(w, ",%s\n",
                      !healthy                                ? ""
                      : is_outside(healthy, row->value[k], k) ? "1"
                                                              : "0");
    }
}

static void csv_plain(struct writer *w, const char *section, const char *step, const char *reading,
                      enum unit unit, double v)
{
    begin_row(w, section, step, "sound", reading, unit, v);
    writer_text(w, ",,,\n");
}

void bench_csv_write(struct writer *w, const char *name, const struct bench_sheet *sheet)
{
    writer_file(w, name);
    writer_text(w, "section,step,condition,reading,unit,value,least,most,outside\n");
    for (int i = 0; i < sheet->parts.pairs.n; i++)
        if (!isnan(sheet->ohms[i]))
            csv_plain(w, "before power", "ohms", sheet->parts.pairs.at[i].what, UNIT_OHM,
                      sheet->ohms[i]);
    for (int i = 0; i < sheet->windings.n; i++) {
        const struct bench_winding *v = &sheet->windings.at[i];
        csv_plain(w, "tubes out", "ratio test", v->subject, UNIT_VOLT, v->ratio);
        if (sheet->alone.told)
            csv_plain(w, "tubes out", "full line", v->subject, UNIT_VOLT, v->line);
    }
    csv_row(w, "tubes out", "full line", "sound", &sheet->alone, NULL, false);
    csv_row(w, "tubes out", "full line", "5 % of the turns shorted", &sheet->alone_shorted, NULL,
            false);
    const struct bench_row *lamp = recommended(sheet);
    if (lamp) csv_row(w, "rectifier out", lamp->what, "sound", &sheet->no_rectifier, NULL, false);
    for (int i = 0; i < BENCH_STEPS; i++)
        csv_row(w, "tubes in", sheet->steps[i].what, "sound", &sheet->steps[i], NULL, true);
    for (int i = 0; i < BENCH_LADDER; i++)
        csv_row(w, "variable transformer", sheet->ladder[i].what, "sound", &sheet->ladder[i], NULL,
                false);
    for (int at = 0; at < 2 && lamp; at++)
        for (int i = 0; i < BENCH_FAULTS; i++) {
            const struct bench_row *healthy = at ? &sheet->steps[BENCH_LAMPS] : lamp;
            csv_row(w, "tubes in", healthy->what, sheet->faults[at][i].what, &sheet->faults[at][i],
                    healthy, false);
        }
}
