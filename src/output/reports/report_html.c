/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections of the summary and of the studies on one page of HTML, and what only a report has:
 * the answer on top, readings with room to write, pictures, how it was made. */
#include "report_html.h"

#include <string.h>

#include "bench_text.h"
#include "buy_list_text.h"
#include "cautions_text.h"
#include "compare_text.h"
#include "ends.h"
#include "keep_text.h"
#include "page_html.h"
#include "summary_impl.h"
#include "tolerances_text.h"
#include "words_report.h"

struct reporting {
    struct html *h;
    struct arena *arena;
    const struct report *r;
};

static bool is_base(const char *name)
{
    return strcmp(name, "base") == 0;
}

static const char *shown_name(const char *name)
{
    return is_base(name) ? words_report_as_drawn : name;
}

/* ---- the answer ---- */

static bool unbalanced(const struct turn_on *t)
{
    return t->run->statistics.audit_failed || (t->restart && t->restart->statistics.audit_failed);
}

static const char *answer(struct summary *s)
{
    int over = 0;
    if (unbalanced(s->t)) return words_report_unbalanced;
    if (s->count == 0) return words_report_unknown;
    for (int i = 0; i < s->count; i++) over += s->worst[i]->verdict == VERDICT_OVER;
    const char *part = s->worst[0]->figure.subject, *much = summary_how_much(s, s->worst[0]);
    if (over == 0 && s->t->ends && s->t->ends->turns.n > 0)
        return arena_printf(s->arena, words_report_if, part, much);
    if (over == 0) return arena_printf(s->arena, words_report_yes, part, much);
    if (over == 1) return arena_printf(s->arena, words_report_no_one, part, much);
    return arena_printf(s->arena, words_report_no, over, part, much);
}

static const char *answer_of(struct page *page, const struct turn_on *t)
{
    struct summary s = summary_of(page, t);
    summary_gather(&s);
    return arena_printf(page->arena, "%s%s", answer(&s), summary_dead(&s) ? words_report_dead : "");
}

static void write_answer(struct reporting *p, struct page *page)
{
    const struct report *r = p->r;
    if (r->n == 1) {
        html_paragraph(
            p->h, HTML_LEAD,
            arena_printf(p->arena, "%s %s", words_report_one, answer_of(page, r->turn_ons[0])));
        return;
    }
    html_paragraph(p->h, HTML_LEAD, arena_printf(p->arena, words_report_many, r->n));
    for (int k = 0; k < r->n; k++)
        html_item(p->h, arena_printf(p->arena, "%s:", shown_name(r->names[k])),
                  answer_of(page, r->turn_ons[k]));
}

/* ---- one set ---- */

/* `inner`: below the heading of its variant. In print a wide schematic takes a sheet of its own, so
 * what fills the first one comes before it. */
static void write_set(struct reporting *p, const struct turn_on *t, const char *which, bool inner)
{
    struct page page = page_html_on(p->h, p->arena, inner);
    struct summary s = summary_of(&page, t);
    s.rows_most = SUMMARY_ROWS;
    summary_gather(&s);
    summary_run(&s);
    summary_stop(&s);
    summary_order(&s);
    summary_margins(&s);
    page_heading(&page, words_report_schematic);
    report_schematic_write(p->h, p->arena, t, p->r, which);
    report_readings_write(p->h, &page, t);
    const struct keep_list keep = keep_list(p->arena, t->setup, t->judgement);
    keep_text_write(&page, &keep);
    summary_heat(&s);
    page_heading(&page, words_report_assumed);
    summary_guesses(&s);
    summary_better(&s);
}

static void write_sets(struct reporting *p)
{
    const struct report *r = p->r;
    if (r->n == 1) {
        write_set(p, r->turn_ons[0], "", false);
        return;
    }
    struct page page = page_html_on(p->h, p->arena, true);
    html_section(p->h, words_report_side_by_side);
    page.html->caption = words_report_side_by_side;
    compare_text_part(&page, r->comparison);
    for (int k = 0; k < r->n; k++) {
        const char *name = shown_name(r->names[k]);
        html_section(p->h, name);
        write_set(p, r->turn_ons[k], arena_printf(p->arena, ": %s", name), true);
    }
}

/* ---- included sheets ---- */

static struct page begin_sheet(struct reporting *p, int k, const char *what)
{
    const char *name = p->r->names[k];
    struct page page = page_html_on(p->h, p->arena, true);
    html_section(p->h,
                 is_base(name) && p->r->n == 1
                     ? what
                     : arena_printf(p->arena, words_report_with_variant, what, shown_name(name)));
    return page;
}

static void write_sheets(struct reporting *p)
{
    const struct report *r = p->r;
    for (int k = 0; k < r->n; k++) {
        struct page page;
        if (r->buy) {
            page = begin_sheet(p, k, words_report_shopping);
            buy_list_part(&page, is_base(r->names[k]) ? NULL : r->names[k], r->buy[k]);
        }
        if (r->bench) {
            page = begin_sheet(p, k, words_report_bench);
            bench_text_part(&page, r->bench[k]);
        }
        if (r->tolerances) {
            page = begin_sheet(p, k, words_report_tolerances);
            tolerances_text_part(&page, r->tolerances[k]);
        }
    }
}

/* ---- the end ---- */

static void write_cautions(struct reporting *p, struct page *page)
{
    const struct report *r = p->r;
    unsigned occasion = OCCASION_POWER | OCCASION_DISCHARGE | (r->buy ? OCCASION_REPLACE : 0u);
    struct hazards *all = ARENA_ARRAY(p->arena, struct hazards, r->n);
    for (int k = 0; k < r->n; k++)
        all[k] = hazards_of(p->arena, r->turn_ons[k]->setup, r->turn_ons[k]->run, occasion);
    cautions_text_all(page, all, r->n);
}

static void write_audit(struct reporting *p, const char *name, const struct result *run)
{
    const struct statistics *st = &run->statistics;
    html_row(p->h, st->audit_failed ? HTML_WARN : HTML_PLAIN,
             (const char *const[]){name, arena_printf(p->arena, "%.3g", run->end),
                                   arena_printf(p->arena, "%.1e", st->energy_residual),
                                   arena_printf(p->arena, "%.1e", st->charge_residual),
                                   st->audit_failed ? words_report_failed : words_report_passed});
}

static void write_made(struct reporting *p, struct page *page)
{
    enum { COLUMNS = sizeof words_report_audit_heads / sizeof words_report_audit_heads[0] };
    const struct report *r = p->r;
    struct html_column columns[COLUMNS];
    page_heading(page, words_report_made);
    page_say(page, "", words_report_made_with, r->date, r->version, r->file);
    for (int i = 0; i < COLUMNS; i++)
        columns[i] = (struct html_column){words_report_audit_heads[i], i > 0 && i < COLUMNS - 1};
    html_table(p->h, words_report_audit, columns, COLUMNS);
    for (int k = 0; k < r->n; k++) {
        const char *name = shown_name(r->names[k]);
        const struct turn_on *t = r->turn_ons[k];
        write_audit(p, arena_printf(p->arena, "%s, %s", name, words_report_run), t->run);
        if (t->restart)
            write_audit(p, arena_printf(p->arena, "%s, %s", name, words_report_hot_restart),
                        t->restart);
    }
    page_say(page, "", words_report_audit_note, 100 * RUN_AUDITED);
}

void report_html_write(struct writer *w, struct arena *arena, const char *name,
                       const struct report *report)
{
    const char *title = report->turn_ons[0]->setup->title;
    const char *variant = report->n == 1 && !is_base(report->names[0]) ? report->names[0] : NULL;
    if (!title) title = report->file;
    if (variant) title = arena_printf(arena, words_report_with_variant, title, variant);
    struct html *h = html_begin(
        w, name,
        &(struct html_options){.title = title, .black_and_white = report->black_and_white});
    struct reporting p = {h, arena, report};
    struct page page = page_html_on(h, arena, false);
    write_answer(&p, &page);
    write_sets(&p);
    write_cautions(&p, &page);
    write_made(&p, &page);
    report_pictures_write(h, arena, report);
    write_sheets(&p);
    html_end(h);
}
