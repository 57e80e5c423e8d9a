/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All sheets of a set have the same lists and the same cards in the same order, whatever the
 * fault. */
#include "cautions.h"
#include "diagnose_text.h"
#include "exercise_pages.h"
#include "html.h"
#include "page.h"
#include "schematic_svg.h"
#include "words_cautions.h"
#include "words_exercise.h"

enum { LOG_ROWS = 10, WHY_LINES = 2 };

struct sheet_writing {
    const struct exercise_pages *p;
    struct html *h;
    const struct exercise_sheet *sheet;
    struct hazards hazards;
};

static void write_blank(struct sheet_writing *s, const char *caption, const char *const *rows,
                        int n)
{
    const struct html_column columns[] = {{words_exercise_question, false}, {NULL, false}};
    html_table(s->h, caption, columns, 2);
    for (int i = 0; i < n; i++) {
        const char *cells[] = {rows[i], NULL};
        html_row(s->h, HTML_PLAIN, cells);
    }
}

static void write_chart(struct sheet_writing *s)
{
    static const struct html_column columns[] = {{words_exercise_chart_point, false},
                                                 {words_exercise_chart_volts, true}};
    const struct page page = {.arena = s->p->arena};
    const struct setup *setup = s->p->e->setup;
    int n = 0;
    for (int i = 0; i < setup->readings.n; i++) {
        const struct reading *r = &setup->readings.at[i];
        if (r->measured) continue;
        if (n++ == 0) html_table(s->h, words_exercise_chart, columns, 2);
        const char *cells[] = {r->subject, page_value(&page, r->value, r->unit, false)};
        html_row(s->h, HTML_PLAIN, cells);
    }
    if (n == 0) html_paragraph(s->h, HTML_PLAIN, words_exercise_no_chart);
}

static void write_schematic(struct sheet_writing *s)
{
    const struct exercise_pages *p = s->p;
    const struct schematic_options how = {
        .black_and_white = !p->colour, .zigzag = p->zigzag, .embedded = true};
    html_figure(s->h, true);
    schematic_svg_write(p->w, p->arena, p->e->setup, NULL, NULL, &how);
    html_figure_end(s->h, arena_printf(p->arena, words_exercise_schematic_of, p->e->setup->title));
}

static void write_cautions(struct sheet_writing *s)
{
    html_subheading(s->h, words_exercise_cautions);
    for (int c = 0; c < CAUTIONS; c++)
        if (cautions_apply((enum caution)c, &s->hazards))
            html_item(s->h, arena_printf(s->p->arena, "%s:", words_cautions_name((enum caution)c)),
                      words_cautions_text(s->p->arena, (enum caution)c));
}

static const char *ask(const struct sheet_writing *s, int card)
{
    const struct responses *r = &s->p->e->r;
    return diagnose_text_ask(s->p->arena, r, &r->q.reads.at[card]);
}

static void write_list(struct sheet_writing *s)
{
    static const struct html_column columns[] = {{words_exercise_list_card, true},
                                                 {words_exercise_list_reading, false},
                                                 {words_exercise_list_minutes, true}};
    const struct questions *q = &s->p->e->r.q;
    html_table(s->h, words_exercise_list, columns, 3);
    for (int i = 0; i < q->reads.n; i++) {
        const char *cells[] = {
            arena_printf(s->p->arena, "%d", i + 1), ask(s, i),
            arena_printf(s->p->arena, "%.0f", diagnose_effort(q->reads.at[i].work))};
        html_row(s->h, HTML_PLAIN, cells);
    }
}

static void write_log(struct sheet_writing *s)
{
    static const struct html_column columns[] = {{words_exercise_log_card, false},
                                                 {words_exercise_log_why, false},
                                                 {words_exercise_log_read, false},
                                                 {words_exercise_log_follows, false}};
    static const char *const blank[] = {NULL, NULL, NULL, NULL};
    html_table(s->h, words_exercise_log, columns, 4);
    for (int i = 0; i < LOG_ROWS; i++) html_row(s->h, HTML_PLAIN, blank);
}

static void write_answer(struct sheet_writing *s)
{
    const struct exercise *e = s->p->e;
    const bool two = e->level == 3;
    const char *rows[EXERCISE_MARKED + 5];
    int n = 0;
    rows[n++] = words_exercise_safe;
    rows[n++] = two ? words_exercise_part_both : words_exercise_part;
    rows[n++] = two ? words_exercise_kind_both : words_exercise_kind;
    rows[n++] = words_exercise_severity;
    for (int i = 0; i < EXERCISE_MARKED; i++)
        if (e->marked[i] >= 0)
            rows[n++] = arena_printf(s->p->arena, words_exercise_after, ask(s, e->marked[i]));
    rows[n++] = words_exercise_minutes;
    write_blank(s, words_exercise_answer, rows, n);
}

static void write_cards(struct sheet_writing *s)
{
    const struct questions *q = &s->p->e->r.q;
    struct arena *arena = s->p->arena;
    html_page_break(s->h);
    html_subheading(s->h,
                    arena_printf(arena, words_exercise_cards, s->sheet->number, s->p->series));
    html_paragraph(s->h, HTML_NOTE, words_exercise_cards_how);
    html_cards(s->h);
    for (int i = 0; i < q->reads.n; i++) {
        html_card(s->h);
        html_paragraph(s->h, HTML_PLAIN,
                       arena_printf(arena, words_exercise_card, s->sheet->number, i + 1));
        html_paragraph(s->h, HTML_PLAIN, ask(s, i));
        html_paragraph(s->h, HTML_PLAIN, words_exercise_log_why);
        html_lines(s->h, WHY_LINES);
        html_cut(s->h, words_exercise_fold);
        html_paragraph(s->h, HTML_LEAD,
                       arena_printf(arena, words_exercise_reads,
                                    exercise_pages_value(s->p, i, s->sheet->read[i])));
        html_block_end(s->h);
    }
    html_block_end(s->h);
}

static void write_sheet(struct sheet_writing *s)
{
    struct arena *arena = s->p->arena;
    if (s->sheet->number > 1) html_page_break(s->h);
    html_section(s->h, arena_printf(arena, words_exercise_sheet, s->sheet->number, s->p->series));
    html_paragraph(s->h, HTML_PLAIN, words_exercise_name);
    html_lines(s->h, 1);
    html_paragraph(
        s->h, HTML_LEAD,
        arena_printf(arena, "%s: %s", words_exercise_owner, exercise_pages_owner(s->p, s->sheet)));
    html_subheading(s->h, words_exercise_task);
    html_paragraph(s->h, HTML_PLAIN,
                   s->p->e->level == 3 ? words_exercise_task_two : words_exercise_task_one);
    html_paragraph(s->h, HTML_PLAIN, words_exercise_rules);
    write_chart(s);
    write_cautions(s);
    write_schematic(s);
    write_list(s);
    write_log(s);
    write_answer(s);
    write_cards(s);
}

void exercise_pupils_write(const struct exercise_pages *p)
{
    const struct exercise *e = p->e;
    const struct html_options options = {
        .title = arena_printf(p->arena, words_exercise_pupils_title, e->setup->title),
        .black_and_white = !p->colour,
        .compact = true};
    struct sheet_writing s = {
        .p = p,
        .h = html_begin(p->w, "pupils.html", &options),
        .hazards = hazards_of(p->arena, e->setup, NULL, OCCASION_POWER | OCCASION_DISCHARGE)};
    for (int i = 0; i < e->pupils; i++) {
        s.sheet = &e->sheets[i];
        write_sheet(&s);
    }
    html_end(s.h);
}
