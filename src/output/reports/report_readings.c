/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why a reading is taken follows from what lies at its point. */
#include <string.h>

#include "bench_parts.h"
#include "page_html.h"
#include "report_html.h"
#include "summary_impl.h"
#include "words_report.h"

enum {
    COLUMNS = sizeof words_report_readings_heads / sizeof words_report_readings_heads[0],
    READ = COLUMNS - 2
};

/* Whether the point is the plus of that capacitor. */
static bool is_plus(const struct set *set, const char *capacitor, const char *point)
{
    struct part_way way;
    const struct part *part = capacitor ? set_find(set, capacitor) : NULL;
    return part && part_way(set, part, 0, &way) && strcmp(way.point[0], point) == 0;
}

/* Whether the subject is a winding that feeds plates. */
static bool feeds_plates(const struct set *set, const char *subject)
{
    struct part_winding w;
    for (int i = 0; i < set->parts.n; i++)
        for (int k = 0; part_turns(set, set->parts.at[i], k, &w); k++)
            for (int half = 0; half < w.halves; half++)
                if (strcmp(w.subject[half], subject) == 0) return w.feeds_plates;
    return false;
}

static bool is_heater(const struct circuit *c, const struct set *set, const char *subject)
{
    struct part_winding w;
    for (int i = 0; i < c->probes.n; i++)
        if (c->probes.at[i].flags & PROBE_HEATER && strcmp(c->probes.at[i].subject, subject) == 0)
            return true;
    for (int i = 0; i < set->parts.n; i++)
        for (int k = 0; part_turns(set, set->parts.at[i], k, &w); k++)
            if (w.heater_amperes > 0 && strcmp(w.subject[0], subject) == 0) return true;
    return false;
}

static const char *why(const struct summary *s, const struct bench_parts *parts,
                       const struct summary_reading *r)
{
    if (r->unit == UNIT_AMPERE) return words_report_why_current;
    if (r->unit == UNIT_WATT) return words_report_why_power;
    const struct part *part = set_find(s->set, r->subject);
    if (part && part_is(part, ROLE_LAMP))
        return part->in_plug ? words_report_why_plug_lamp : words_report_why_lamp;
    if (is_heater(s->circuit, s->set, r->subject)) return words_report_why_heater;
    if (r->alternating) return feeds_plates(s->set, r->subject) ? words_report_why_plates : "";
    if (is_plus(s->set, parts->first, r->subject)) return words_report_why_first;
    if (is_plus(s->set, parts->second, r->subject)) return words_report_why_second;
    return r->value < 0 ? words_report_why_bias : words_report_why_point;
}

/* Not said twice in a row. */
static const char *same(const char *text, const char *before)
{
    return *text && strcmp(text, before) == 0 ? words_report_why_same : text;
}

/* A row of cells without those of columns that are left out; how many are left. */
static int keep_used(const bool used[COLUMNS], size_t size, void *cells)
{
    char *at = cells;
    int n = 0;
    for (int i = 0; i < COLUMNS; i++)
        if (used[i]) memmove(at + (size_t)n++ * size, at + (size_t)i * size, size);
    return n;
}

void report_readings_write(struct html *h, struct page *page, const struct turn_on *t)
{
    struct summary s = summary_of(page, t);
    struct bench_parts parts = bench_parts_find(page->arena, s.set);
    struct summary_reading *rows;
    struct html_column columns[COLUMNS];
    bool used[COLUMNS] = {false};
    int n = summary_readings(&s, &rows);
    page_heading(page, words_report_readings);
    if (n == 0) return;
    const char *before = "",
               *(*cells)[COLUMNS] = arena_alloc(page->arena, (size_t)n * sizeof *cells);
    for (int k = 0; k < n; k++) {
        const struct summary_reading *r = &rows[k];
        const char *text = why(&s, &parts, r);
        const char *row[COLUMNS] = {r->name,           r->expect, r->band,
                                    r->ripple,         r->chart,  *r->measured ? r->measured : NULL,
                                    same(text, before)};
        before = text;
        for (int i = 0; i < COLUMNS; i++) used[i] |= !row[i] || *row[i];
        memcpy(cells[k], row, sizeof row);
    }
    used[READ] = true;
    for (int i = 0; i < COLUMNS; i++)
        columns[i] = (struct html_column){words_report_readings_heads[i], i > 0 && i < READ};
    const char *caption = t->warm ? words_report_readings_warm : words_report_readings_end;
    html_table(h, caption, columns, keep_used(used, sizeof *columns, columns));
    for (int k = 0; k < n; k++) {
        keep_used(used, sizeof cells[k][0], cells[k]);
        html_row(h, HTML_PLAIN, cells[k]);
    }
    summary_meter_notes(&s);
    page_say(page, "", words_report_why_source);
}
