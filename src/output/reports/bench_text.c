/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything stands in tables of 80 columns: a cell holds one value or a band. */
#include "bench_text.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "numbers.h"
#include "summary_impl.h"

enum { LABEL = 19, CELL = 9, GLOW = -1, WIDE = 46 };

#define NOT_SHORTED 15e3 /* ohms across a filter, at least; common practice, no source */
#define CLIMBS 50e3 /* at and above this a filter counts as sound; common practice, no source */

struct page {
    struct summary *s;
    const struct bench_sheet *sheet;
    int section; /* last number given */
};

/* ---- cells ---- */

/* Milliamperes; volts and watts to three digits at most. */
static const char *number(struct page *p, double value, enum unit unit)
{
    if (isnan(value)) return "-";
    if (unit == UNIT_AMPERE) value *= 1e3;
    double size = fabs(value);
    if (size < 0.05) return "0";
    return arena_printf(p->s->arena, size < 10 ? "%.1f" : "%.0f", value);
}

static bool is_outside(const struct bench_row *healthy, double value, int k)
{
    return value < healthy->least[k] || value > healthy->most[k];
}

/* A band, or with `healthy` the value of a fault with its mark. */
static const char *cell(struct page *p, const struct bench_row *row,
                        const struct bench_row *healthy, int k)
{
    if (k == GLOW) return row->glow ? row->glow : "-";
    enum unit unit;
    bench_reading_name((enum bench_reading)k, &unit);
    if (healthy)
        return arena_printf(p->s->arena, "%s%s", number(p, row->value[k], unit),
                            is_outside(healthy, row->value[k], k) ? "!" : " ");
    const char *least = number(p, row->least[k], unit), *most = number(p, row->most[k], unit);
    if (strcmp(least, most) == 0) return arena_printf(p->s->arena, "%s ", least);
    return arena_printf(p->s->arena, "%s-%s ", least, most);
}

static const char *head(struct page *p, int k)
{
    const struct bench_parts *parts = &p->sheet->parts;
    switch (k) {
    case GLOW: return "glow";
    case BENCH_LAMP_VOLTS: return "lamp V";
    case BENCH_LINE_AMPERES: return "line mA";
    case BENCH_LINE_WATTS: return "line W";
    case BENCH_HEATER_VOLTS: return "heater V";
    case BENCH_FIRST_VOLTS: return arena_printf(p->s->arena, "%s V", parts->first);
    case BENCH_SECOND_VOLTS: return arena_printf(p->s->arena, "%s V", parts->second);
    default: return "ripple V";
    }
}

static bool has(const struct page *p, int k)
{
    if (k == BENCH_FIRST_VOLTS || k == BENCH_RIPPLE) return p->sheet->parts.first != NULL;
    if (k == BENCH_SECOND_VOLTS) return p->sheet->parts.second != NULL;
    return k != BENCH_HEATER_VOLTS || p->sheet->parts.heater;
}

static int width(int k)
{
    return k == GLOW ? -(CELL + 2) : -CELL;
}

static void write_heads(struct page *p, const char *corner, const int *columns, int n)
{
    const char *line = arena_printf(p->s->arena, "  %s", summary_cell(p->s, corner, LABEL - 2));
    for (int i = 0; i < n; i++)
        if (has(p, columns[i]))
            line = arena_printf(p->s->arena, "%s%s ", line,
                                summary_cell(p->s, head(p, columns[i]), width(columns[i]) + 1));
    summary_line(p->s, line);
}

static void write_row(struct page *p, const char *what, const struct bench_row *row,
                      const struct bench_row *healthy, const int *columns, int n)
{
    const char *line = arena_printf(p->s->arena, "  %s", summary_cell(p->s, what, LABEL - 2));
    for (int i = 0; i < n; i++) {
        if (!has(p, columns[i])) continue;
        const char *text = cell(p, row, healthy, columns[i]);
        if (columns[i] == GLOW) text = arena_printf(p->s->arena, "%s ", text);
        line = arena_printf(p->s->arena, "%s%s", line, summary_cell(p->s, text, width(columns[i])));
    }
    summary_line(p->s, line);
}

static const char *value(struct page *p, double v, enum unit unit)
{
    return summary_value(p->s, v, unit, false);
}

/* A row to be filled in by hand. */
static void write_blank(struct page *p, const char *what, const char *expected)
{
    summary_line(p->s,
                 arena_printf(p->s->arena, "  %s %s  ________", summary_cell(p->s, what, WIDE),
                              summary_cell(p->s, expected, -20)));
}

static void heading(struct page *p, const char *text)
{
    summary_heading(p->s, arena_printf(p->s->arena, "%d. %s", ++p->section, text));
}

/* ---- the sections ---- */

static const char *ohms(struct page *p, double v)
{
    if (!(v < 1e6)) return "over 1\x1fMohm";
    return value(p, v, UNIT_OHM);
}

static void write_ohms(struct page *p)
{
    const struct bench_sheet *sheet = p->sheet;
    heading(p, "Before power: ohms, plug out of the wall, switch on, capacitors empty");
    bool filters = false;
    for (int i = 0; i < sheet->parts.pairs.n; i++) {
        const struct bench_pair *pair = &sheet->parts.pairs.at[i];
        const char *at = pair->kind == PAIR_COIL ? " (in place)" : "";
        filters |= pair->kind == PAIR_CAPACITOR;
        write_blank(p, arena_printf(p->s->arena, "%s%s", pair->what, at), ohms(p, sheet->ohms[i]));
    }
    summary_say(p->s, "  ",
                "All as the set is wired and cold, plus of the meter at the point named "
                "first. Open: no way; near 0: a short.");
    if (filters)
        summary_say(p->s, "  ",
                    "Across a filter capacitor wait until it has charged: above %s it is not "
                    "shorted; below %s give no power (common practice, no source), unless a "
                    "bleeder makes it less here. A good reading at the meter's few volts says "
                    "nothing of working volts.",
                    value(p, CLIMBS, UNIT_OHM), value(p, NOT_SHORTED, UNIT_OHM));
    if (!sheet->parts.transformer && sheet->parts.heater && sheet->ohms[0] < 1e6)
        summary_say(p->s, "  ",
                    "The heaters are one string: %s at the plug means that one of them, or a "
                    "part in series with them, is open.",
                    ohms(p, HUGE_VAL));
    if (sheet->parts.transformer)
        summary_say(p->s, "  ",
                    "Halves differ a little, the outer one is longer. A few shorted "
                    "turns no ohmmeter shows: the next two steps do.");
}

static void write_ratio(struct page *p)
{
    const struct bench_sheet *sheet = p->sheet;
    const char *low = value(p, BENCH_RATIO, UNIT_VOLT);
    heading(p, "Ratio test: all tubes out, a small AC voltage on the plug");
    for (int i = 0; i < sheet->windings.n; i++) {
        const struct bench_winding *w = &sheet->windings.at[i];
        write_blank(p, w->subject,
                    arena_printf(p->s->arena, "%s AC", value(p, w->ratio, UNIT_VOLT)));
    }
    summary_say(
        p->s, "  ",
        "With %s AC on the plug; with 6.3 V they are %.2f of that. Each plate to the centre "
        "tap, never plate to plate: at full line that is beyond many a meter.",
        low, 6.3 / BENCH_RATIO);
}

static void write_alone(struct page *p)
{
    const struct bench_row *good = &p->sheet->alone, *bad = &p->sheet->alone_shorted;
    heading(p, "Transformer alone: all tubes out, full line (through a lamp first)");
    write_blank(p, "line power", value(p, good->value[BENCH_LINE_WATTS], UNIT_WATT));
    write_blank(p, "line current", value(p, good->value[BENCH_LINE_AMPERES], UNIT_AMPERE));
    for (int i = 0; i < p->sheet->windings.n; i++) {
        const struct bench_winding *w = &p->sheet->windings.at[i];
        write_blank(p, w->subject,
                    arena_printf(p->s->arena, "%s AC", value(p, w->line, UNIT_VOLT)));
    }
    if (bad->told)
        summary_say(
            p->s, "  ",
            "With 5 %% of a winding's turns shorted: %s and %s after five seconds, falling as "
            "they heat. Watts well above the first line: stop, the transformer burns.",
            value(p, bad->value[BENCH_LINE_WATTS], UNIT_WATT),
            value(p, bad->value[BENCH_LINE_AMPERES], UNIT_AMPERE));
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

static const struct bench_row *recommended(const struct bench_sheet *sheet)
{
    return &sheet->steps[sheet->recommended];
}

static void write_choice(struct page *p)
{
    const struct bench_sheet *sheet = p->sheet;
    const struct bench_row *row = recommended(sheet), *full = &sheet->steps[BENCH_LAMPS];
    int share = (int)lround(100 * BENCH_SHARE);
    summary_say(p->s, "  ",
                sheet->enough
                    ? "Take the %d W %.0f V lamp: the smallest that leaves the sound set %d %% of "
                      "the line at every corner of its tolerances."
                    : "Take the %d W %.0f V lamp, the largest here; it leaves the sound set less "
                      "than %d %% of the line at the worst corner of its tolerances.",
                bench_lamp_watts(sheet->recommended), sheet->lamp_volts, share);
    summary_say(p->s, "  ",
                "The set takes %s at full line; the trade takes a lamp of about that or somewhat "
                "more (common practice, no source).",
                value(p, full->value[BENCH_LINE_WATTS], UNIT_WATT));
    if (row->highest_time > 1 && row->highest > 1.05 * row->most[BENCH_FIRST_VOLTS])
        summary_say(p->s, "  ",
                    "From cold %s first climbs to %s at %s and falls when the tubes draw; if it "
                    "does not fall, they do not draw.",
                    sheet->parts.first, value(p, row->highest, UNIT_VOLT),
                    value(p, round(row->highest_time), UNIT_SECOND));
}

static void write_live(struct page *p, const struct hazards *h)
{
    if (!h->hot_chassis) return;
    const char *reference = p->sheet->setup->stages.at[0].circuit->reference;
    summary_say(p->s, "  ",
                "%s may be live, on the lamp as well: an isolating transformer goes between the "
                "wall and the lamp. All direct volts are read from %s, never from earth.",
                reference, reference);
}

static void write_steps(struct page *p, const struct hazards *h)
{
    const struct bench_sheet *sheet = p->sheet;
    heading(p, "Up the ladder: a lamp in series with the plug, the sound set");
    write_live(p, h);
    if (sheet->no_rectifier.told && sheet->parts.transformer && sheet->parts.heater) {
        const struct bench_row *n = &sheet->no_rectifier;
        summary_say(p->s, "  ",
                    "First all tubes in but %s, on the %d W lamp: %s on the lamp (%s) after "
                    "%d s, %s, heater %s. A lamp that stays brighter: a heater or plate short.",
                    sheet->parts.rectifier, bench_lamp_watts(sheet->recommended),
                    value(p, n->value[BENCH_LAMP_VOLTS], UNIT_VOLT), n->glow ? n->glow : "-",
                    BENCH_COLD, value(p, n->value[BENCH_LINE_WATTS], UNIT_WATT),
                    value(p, n->value[BENCH_HEATER_VOLTS], UNIT_VOLT));
    }
    summary_say(p->s, "  ", "With all parts in, after %d s:", BENCH_COLD);
    write_heads(p, "", on_lamp, COLUMNS);
    for (int i = 0; i < BENCH_STEPS; i++) {
        const char *name = i == sheet->recommended
                               ? arena_printf(p->s->arena, "%s <", sheet->steps[i].what)
                               : sheet->steps[i].what;
        write_row(p, name, &sheet->steps[i], NULL, on_lamp, COLUMNS);
    }
    write_choice(p);
}

static const char *telling(struct page *p, const struct bench_row *row)
{
    if (row->telling < 0) return NULL;
    enum unit unit;
    const char *name = bench_reading_name((enum bench_reading)row->telling, &unit);
    return arena_printf(p->s->arena, "%s: %s %s\x1f%s", row->what, name,
                        number(p, row->value[row->telling], unit),
                        unit == UNIT_AMPERE ? "mA" : quantity_symbol(unit));
}

static void write_faults(struct page *p, int at, const struct bench_row *healthy,
                         const int columns[COLUMNS])
{
    const char *tells = "", *alike = "";
    write_heads(p, "", columns, COLUMNS);
    write_row(p, "sound", healthy, NULL, columns, COLUMNS);
    for (int i = 0; i < BENCH_FAULTS; i++) {
        const struct bench_row *row = &p->sheet->faults[at][i];
        if (!row->told) continue;
        write_row(p, row->what, row, healthy, columns, COLUMNS);
        const char *text = telling(p, row);
        if (text) tells = arena_printf(p->s->arena, "%s%s%s", tells, *tells ? "; " : "", text);
        else alike = arena_printf(p->s->arena, "%s%s%s", alike, *alike ? ", " : "", row->what);
    }
    summary_say(p->s, "  ", "! outside the sound set's band. What tells most: %s.", tells);
    if (*alike) summary_say(p->s, "  ", "Not told from a sound set here: %s.", alike);
}

/* Half way from the sound set's greatest to the short's lamp volts. */
static void write_switch_off(struct page *p)
{
    const struct bench_sheet *sheet = p->sheet;
    const struct bench_row *row = recommended(sheet), *bad = &sheet->faults[0][0];
    if (!sheet->parts.first || !bad->told) return;
    double most = row->most[BENCH_LAMP_VOLTS], shorted = bad->value[BENCH_LAMP_VOLTS];
    if (shorted > most)
        summary_say(p->s, "  ",
                    "SWITCH OFF when after %d s the lamp still stands above %s, or at once at red "
                    "plates, smoke, smell or a warm can.",
                    BENCH_COLD, value(p, (most + shorted) / 2, UNIT_VOLT));
    double sound = sheet->steps[BENCH_LAMPS].winding;
    if (bad->winding > sound)
        summary_say(p->s, "  ",
                    "Do not wait for it when the lamp stays bright for 5 s: on this "
                    "lamp a short loads the winding more than the sound set does.");
    if (!isnan(bad->winding))
        summary_say(p->s, "  ",
                    "With %s the high voltage carries %s on the lamp, %s on the bare line; the "
                    "sound set %s.",
                    bad->what, value(p, bad->winding, UNIT_AMPERE),
                    value(p, sheet->faults[1][0].winding, UNIT_AMPERE),
                    value(p, sound, UNIT_AMPERE));
}

static void write_notes(struct page *p)
{
    const struct bench_sheet *sheet = p->sheet;
    summary_heading(p->s, "How these were found");
    summary_say(p->s, "  ",
                "%d runs of the scenario. Lamp steps and their faults: from cold, read at %d s; "
                "full line: warm set, settled. The bands take in line +-5 %%, "
                "capacitors -20/+50 %%%s (common practice, no source), found with the warm set. "
                "Timed changes of the scenario are left out.",
                sheet->runs, BENCH_COLD,
                sheet->loads > 0 ? ", load +-15 %" : "; no load can be scaled");
    if (sheet->parts.heater)
        summary_say(p->s, "  ",
                    "On small lamps cathodes stay cool and warm up slowly: their volts "
                    "still move after %d s.",
                    BENCH_COLD);
    if (sheet->parts.heater)
        summary_say(p->s, "  ", "heater V: %s, AC. ripple V: AC across %s.", sheet->parts.heater,
                    sheet->parts.first ? sheet->parts.first : "-");
    if (sheet->unbalanced > 0)
        summary_say(p->s, "!! ", "THE AUDIT OF %d RUN%s FAILED: do not rely on their figures (%s).",
                    sheet->unbalanced, sheet->unbalanced == 1 ? "" : "S", sheet->unbalanced_runs);
}

void bench_text_write(FILE *to, struct arena *arena, const struct bench_sheet *sheet,
                      const char *file, const char *figures)
{
    struct summary s = {.to = to, .arena = arena, .setup = sheet->setup};
    struct page p = {&s, sheet, 0};
    struct hazards h = hazards_of(arena, sheet->setup, NULL, OCCASION_POWER | OCCASION_DISCHARGE);
    if (sheet->setup->title) summary_say(&s, "", "%s", sheet->setup->title);
    if (strcmp(sheet->setup->variant, "base") != 0)
        summary_say(&s, "", "Variant: %s", sheet->setup->variant);
    summary_say(&s, "",
                "Bench sheet for a line of %s. Local codes and licensed practice go before "
                "it; a measured reading wins.",
                value(&p, sheet->line, UNIT_VOLT));
    write_ohms(&p);
    if (sheet->parts.transformer) write_ratio(&p), write_alone(&p);
    write_steps(&p, &h);
    heading(&p, arena_printf(arena,
                             "On the %d W lamp, after %d s: sound, and what each "
                             "fault reads",
                             bench_lamp_watts(sheet->recommended), BENCH_COLD));
    write_faults(&p, 0, recommended(sheet), with_ripple);
    write_switch_off(&p);
    heading(&p, "At full line: sound, and what each fault reads");
    write_faults(&p, 1, &sheet->steps[BENCH_LAMPS], at_line);
    write_notes(&p);
    fputc('\n', to);
    summary_path(&s, "The sheet as a table:", file);
    summary_path(&s, "All figures:", figures);
    summary_cautions(&s, &h, 1);
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
        csv_plain(w, "before power", "ohms", sheet->parts.pairs.at[i].what, UNIT_OHM,
                  sheet->ohms[i]);
    for (int i = 0; i < sheet->windings.n; i++) {
        const struct bench_winding *v = &sheet->windings.at[i];
        csv_plain(w, "tubes out", "ratio test", v->subject, UNIT_VOLT, v->ratio);
        csv_plain(w, "tubes out", "full line", v->subject, UNIT_VOLT, v->line);
    }
    csv_row(w, "tubes out", "full line", "sound", &sheet->alone, NULL, false);
    csv_row(w, "tubes out", "full line", "5 % of the turns shorted", &sheet->alone_shorted, NULL,
            false);
    csv_row(w, "rectifier out", recommended(sheet)->what, "sound", &sheet->no_rectifier, NULL,
            false);
    for (int i = 0; i < BENCH_STEPS; i++)
        csv_row(w, "tubes in", sheet->steps[i].what, "sound", &sheet->steps[i], NULL, true);
    for (int at = 0; at < 2; at++)
        for (int i = 0; i < BENCH_FAULTS; i++) {
            const struct bench_row *healthy = at ? &sheet->steps[BENCH_LAMPS] : recommended(sheet);
            csv_row(w, "tubes in", healthy->what, sheet->faults[at][i].what, &sheet->faults[at][i],
                    healthy, false);
        }
}
