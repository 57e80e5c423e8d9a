/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why a reading is taken follows from what lies at its point. */
#include <string.h>

#include "bench_parts.h"
#include "page_html.h"
#include "report_html.h"
#include "summary_impl.h"
#include "words_report.h"

enum { COLUMNS = sizeof words_report_readings_heads / sizeof words_report_readings_heads[0] };

/* The plus of the second filter capacitor; NULL: there is none. */
static const char *second_point(const struct set *set, const struct bench_parts *parts)
{
    struct part_way way;
    const struct part *second = parts->second ? set_find(set, parts->second) : NULL;
    return second && part_way(set, second, 0, &way) ? way.point[0] : NULL;
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
    const char *second = second_point(s->set, parts);
    if (r->unit == UNIT_AMPERE) return words_report_why_current;
    if (r->unit == UNIT_WATT) return words_report_why_power;
    const struct part *part = set_find(s->set, r->subject);
    if (part && part_is(part, ROLE_LAMP)) return "";
    if (is_heater(s->circuit, s->set, r->subject)) return words_report_why_heater;
    if (r->alternating) return feeds_plates(s->set, r->subject) ? words_report_why_plates : "";
    if (parts->first_point && strcmp(parts->first_point, r->subject) == 0)
        return words_report_why_first;
    if (second && strcmp(second, r->subject) == 0) return words_report_why_second;
    return r->value < 0 ? words_report_why_bias : words_report_why_point;
}

void report_readings_write(struct html *h, struct page *page, const struct turn_on *t)
{
    struct summary s = summary_of(page, t);
    struct bench_parts parts = bench_parts_find(page->arena, s.set);
    struct summary_reading *rows;
    struct html_column columns[COLUMNS];
    int n = summary_readings(&s, &rows);
    page_heading(page, words_report_readings);
    if (n == 0) return;
    for (int i = 0; i < COLUMNS; i++)
        columns[i] = (struct html_column){words_report_readings_heads[i], i > 0 && i < COLUMNS - 2};
    html_table(h, t->warm ? words_report_readings_warm : words_report_readings_end, columns,
               COLUMNS);
    for (int i = 0; i < n; i++) {
        const char *read = *rows[i].measured ? rows[i].measured : NULL;
        html_row(h, HTML_PLAIN,
                 (const char *const[]){rows[i].name, rows[i].expect, rows[i].ripple, rows[i].chart,
                                       read, page_spoken(page, why(&s, &parts, &rows[i]))});
    }
    summary_meter_notes(&s);
    page_say(page, "", words_report_why_source);
}
