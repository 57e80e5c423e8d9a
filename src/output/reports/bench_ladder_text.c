/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two pages of the bench sheet that need no lamp: up on a variable transformer, and which lead of a
 * transformer is which. */
#include "bench_ladder_text.h"

#include <math.h>

#include "words_bench.h"

enum { LABEL = 24, CELL = 10 };

#define FED 6.0 /* volts AC from a heater transformer */

static const char *plain(struct page *page, double value)
{
    if (isnan(value)) return "-";
    return arena_printf(page->arena, fabs(value) < 10 ? "%.1f" : "%.0f", value);
}

/* ---- the ladder ---- */

static const enum bench_reading columns[] = {BENCH_LINE_AMPERES, BENCH_LINE_WATTS,
                                             BENCH_HEATER_VOLTS, BENCH_FIRST_VOLTS,
                                             BENCH_SECOND_VOLTS};
enum { COLUMNS = sizeof columns / sizeof columns[0] };

static const char *head(struct page *page, const struct bench_sheet *sheet, enum bench_reading k)
{
    const struct bench_parts *p = &sheet->parts;
    switch (k) {
    case BENCH_LINE_AMPERES: return words_bench_line_amperes;
    case BENCH_LINE_WATTS: return words_bench_line_watts;
    case BENCH_HEATER_VOLTS: return p->heater ? words_bench_heater_volts : NULL;
    case BENCH_FIRST_VOLTS:
        return p->first ? arena_printf(page->arena, words_bench_point_volts, p->first) : NULL;
    default:
        return p->second ? arena_printf(page->arena, words_bench_point_volts, p->second) : NULL;
    }
}

void bench_ladder_write(struct page *page, const struct bench_sheet *sheet)
{
    const char *line =
        arena_printf(page->arena, "  %s", page_cell(page, words_bench_dial_set, -CELL));
    for (int k = 0; k < COLUMNS; k++) {
        const char *text = head(page, sheet, columns[k]);
        if (text) line = arena_printf(page->arena, "%s  %s", line, page_cell(page, text, -CELL));
    }
    page_heads(page);
    page_line(page, line);
    for (int i = 0; i < BENCH_LADDER; i++) {
        const struct bench_row *row = &sheet->ladder[i];
        if (!row->told) continue;
        line =
            arena_printf(page->arena, "  %s",
                         page_cell(page, plain(page, bench_ladder_volts(i, sheet->line)), -CELL));
        for (int k = 0; k < COLUMNS; k++) {
            double value = row->value[columns[k]];
            if (columns[k] == BENCH_LINE_AMPERES) value *= 1e3;
            if (head(page, sheet, columns[k]))
                line = arena_printf(page->arena, "%s  %s", line,
                                    page_cell(page, plain(page, value), -CELL));
        }
        page_line(page, line);
    }
    page_say(page, "  ", words_bench_dial_note);
}

/* ---- leads ---- */

static void write_lead(struct page *page, const char *name, double ohms, double volts)
{
    page_line(page,
              arena_printf(page->arena, "  %s%s%s", page_cell(page, name, LABEL),
                           page_cell(page, page_value(page, ohms, UNIT_OHM, false), -CELL - 4),
                           page_cell(page, page_value(page, volts, UNIT_VOLT, false), -CELL - 4)));
}

void bench_ladder_leads(struct page *page, const struct bench_sheet *sheet)
{
    const struct set *set = sheet->setup->stages.at[0].set;
    const struct part *transformer = part_with(set, ROLE_TRANSFORMER);
    struct part_winding w;
    if (!transformer || !part_turns(set, transformer, 0, &w)) return;
    const char *fed = page_value(page, FED, UNIT_VOLT, false);
    page_heads(page);
    page_line(page, arena_printf(page->arena, "  %s%s  %s", page_cell(page, "", LABEL),
                                 page_cell(page, words_bench_leads_ohms, -CELL - 4),
                                 arena_printf(page->arena, words_bench_leads_fed, fed)));
    write_lead(page, words_bench_leads_primary, w.primary_ohms, FED);
    for (int k = 0; part_turns(set, transformer, k, &w); k++)
        for (int i = 0; i < w.halves; i++)
            write_lead(page, w.subject[i], w.ohms[i], FED * w.volts[i] / w.line);
    page_say(page, "  ", words_bench_leads_note, fed, w.line / FED,
             page_value(page, w.line, UNIT_VOLT, false));
}
