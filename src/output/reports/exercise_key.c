/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "diagnose_text.h"
#include "exercise_pages.h"
#include "exercise_plot.h"
#include "html.h"
#include "page.h"
#include "words_exercise.h"

enum { HARM_ROWS = 8 };
#define COLLAPSED 0.3
#define POINTS_PART "3"
#define POINTS_KIND "2"
#define POINTS_ONE "1"

struct key_page {
    const struct exercise_pages *p;
    struct html *h;
    struct page page;
    const struct exercise *e;
    const struct exercise_sheet *sheet;
};

static const struct read *read_at(const struct key_page *k, int i)
{
    return &k->e->r.q.reads.at[i];
}

static const char *value(const struct key_page *k, int i, double compared)
{
    return exercise_pages_value(k->p, i, compared);
}

static const char *cause_name(const struct key_page *k, int fault)
{
    return diagnose_text_cause(k->p->arena, exercise_cause(k->e, k->sheet, fault));
}

/* That of the fault which allows least. */
static enum exercise_class class_of(const struct exercise_sheet *sheet)
{
    enum exercise_class class = sheet->fault[0].row->class;
    for (int f = 1; f < sheet->faults; f++)
        if (sheet->fault[f].row->class < class) class = sheet->fault[f].row->class;
    return class;
}

/* ---- all at once ---- */

static void write_all(struct key_page *k)
{
    static const struct html_column columns[] = {{words_exercise_all_sheet, true},
                                                 {words_exercise_all_fault, false},
                                                 {words_exercise_all_class, false},
                                                 {words_exercise_all_owner, false}};
    html_section(k->h, words_exercise_all);
    html_table(k->h, words_exercise_all, columns, 4);
    for (int i = 0; i < k->e->pupils; i++) {
        const struct exercise_sheet *sheet = &k->e->sheets[i];
        const char *cells[] = {
            arena_printf(k->p->arena, "%d", sheet->number), exercise_pages_fault(k->p, sheet),
            words_exercise_class(class_of(sheet)), exercise_pages_owner(k->p, sheet)};
        html_row(k->h, HTML_PLAIN, cells);
    }
    html_subheading(k->h, words_exercise_use);
    html_item(k->h, NULL, words_exercise_use_print);
    html_item(k->h, NULL, words_exercise_use_readings);
    html_item(k->h, NULL, words_exercise_use_class);
    html_item(k->h, NULL, arena_printf(k->p->arena, words_exercise_use_again, k->p->command));
}

/* ---- a sheet ---- */

static void write_fault(struct key_page *k)
{
    struct arena *arena = k->p->arena;
    for (int f = 0; f < k->sheet->faults; f++) {
        const struct exercise_fault *fault = &k->sheet->fault[f];
        const char *severity = exercise_pages_severity(k->p, fault);
        html_paragraph(
            k->h, HTML_LEAD,
            arena_printf(arena, words_exercise_fault, cause_name(k, f),
                         *severity ? arena_printf(arena, words_exercise_in_brackets, severity) : "",
                         fault_says(exercise_cause(k->e, k->sheet, f)->fault)));
        html_paragraph(k->h, fault->row->class == EXERCISE_PAPER ? HTML_WARN : HTML_PLAIN,
                       arena_printf(arena, words_exercise_shown,
                                    words_exercise_class(fault->row->class),
                                    words_exercise_reason(fault->row->reason),
                                    words_exercise_how(fault->row->class,
                                                       circuit_vibrates(k->e->r.set->circuit))));
    }
    if (k->sheet->faults > 1)
        html_paragraph(
            k->h, HTML_PLAIN,
            arena_printf(arena, words_exercise_together, words_exercise_class(class_of(k->sheet))));
}

static void add_reason(struct key_page *k, int read, bool holds)
{
    if (!holds || read < 0) return;
    html_item(k->h, NULL,
              arena_printf(k->p->arena, words_exercise_from, read_at(k, read)->label,
                           value(k, read, k->sheet->read[read]),
                           value(k, read, read_at(k, read)->sound)));
}

/* Loads that take next to nothing, which no card shows. */
static void add_idle(struct key_page *k)
{
    const struct responses *r = &k->e->r;
    for (int i = SIGNS; i < r->q.signs.n; i++) {
        const int at = r->q.reads.n + i;
        if (!exercise_idles(k->e, k->sheet->read, i)) continue;
        html_item(k->h, NULL,
                  arena_printf(
                      k->p->arena, words_exercise_from,
                      arena_printf(k->p->arena, words_exercise_takes, r->q.signs.at[i].what.part),
                      page_value(&k->page, k->sheet->read[at], UNIT_WATT, false),
                      page_value(&k->page, r->of[0].at[at], UNIT_WATT, false)));
    }
}

/* The reads that his words follow from. */
static void write_reason(struct key_page *k)
{
    const struct exercise_complaint *c = &k->sheet->complaint;
    const int first = k->e->first_look;
    add_reason(k, first, c->dead || c->weak || c->faint || c->strained);
    add_reason(k, exercise_read_at(k->e, first, true), c->hum_low || c->hum_raspy);
    if (c->faint) add_idle(k);
    for (int i = 0; i < k->e->r.q.reads.n; i++) {
        const struct read *read = read_at(k, i);
        bool line = read->situation == k->e->line && read->what.kind == READING_FIGURE;
        bool less = c->faint && k->sheet->read[i] < read->sound;
        add_reason(k, i, line && read->unit == UNIT_AMPERE && (c->blows || c->burns || less));
        add_reason(k, i, line && read->what.measure == MEASURE_RMS_VOLTAGE && c->dark);
    }
}

static void write_owner(struct key_page *k)
{
    struct arena *arena = k->p->arena;
    html_subheading(k->h, words_exercise_owner_from);
    html_paragraph(k->h, HTML_PLAIN, exercise_pages_owner(k->p, k->sheet));
    write_reason(k);
    if (k->e->level == 2)
        html_paragraph(k->h, HTML_PLAIN,
                       arena_printf(arena, words_exercise_misleads,
                                    diagnose_text_cause(arena, &k->e->r.causes.at[k->sheet->first]),
                                    page_percent(&k->page, k->sheet->first_share),
                                    page_percent(&k->page, k->sheet->own_share)));
    html_paragraph(k->h, HTML_PLAIN,
                   k->e->level == 3 ? words_exercise_found_pair
                   : k->sheet->rank == 0
                       ? arena_printf(arena, words_exercise_found, k->e->r.causes.n)
                       : arena_printf(arena, words_exercise_found_group, k->sheet->rank + 1,
                                      k->e->r.causes.n));
}

static bool is_across(const struct key_page *k, const struct part *part, const struct read *read)
{
    struct part_way way;
    for (int i = 0; part_way(k->e->r.set, part, i, &way); i++) {
        int at = 0;
        for (int n = 0; n < way.points && n < 3; n++)
            at += strcmp(way.point[n], read->what.subject) == 0 ||
                  strcmp(way.point[n], read->what.minus) == 0;
        if (at >= 2) return true;
    }
    return false;
}

static enum exercise_what what_of(const struct read *read)
{
    const struct meter_reading *m = &read->what;
    if (strcmp(m->subject, "mains") == 0) return EXERCISE_LINE;
    if (m->alternating) return EXERCISE_RIPPLE;
    return m->measure == MEASURE_RMS_VOLTAGE ? EXERCISE_HEATER : EXERCISE_DC;
}

/* So little direct voltage is left at the point of a ripple that there is nothing to ripple. */
static bool has_collapsed(const struct key_page *k, int i)
{
    const int direct = exercise_read_at(k->e, i, false);
    return direct >= 0 &&
           fabs(k->sheet->read[direct]) < COLLAPSED * fabs(read_at(k, direct)->sound);
}

/* As the fault works on this reading: below the reference volts go with the whole current, and in a
 * string what comes after the heater goes dark. */
static enum exercise_effect effect_on(const struct key_page *k, int i, int mover, bool up)
{
    const struct exercise_fault *fault = &k->sheet->fault[mover];
    const struct set *set = k->e->r.set;
    const struct part *part = set_find(set, exercise_cause(k->e, k->sheet, mover)->part);
    const enum exercise_what what = what_of(read_at(k, i));
    const enum exercise_effect effect = fault->row->effect;
    if (what == EXERCISE_DC && read_at(k, i)->sound < 0)
        return up ? EXERCISE_DRAWS_MORE : EXERCISE_DRAWS_LESS;
    if (what != EXERCISE_LINE && part_is(part, ROLE_HEATER) && !part_with(set, ROLE_TRANSFORMER))
        return EXERCISE_DARK;
    if (what == EXERCISE_DC && (effect == EXERCISE_DRAWS_MORE) == up &&
        (effect == EXERCISE_DRAWS_MORE || effect == EXERCISE_DRAWS_LESS))
        return EXERCISE_NOTHING;
    if (what == EXERCISE_RIPPLE && effect == EXERCISE_DRAWS_MORE && !up && !has_collapsed(k, i))
        return EXERCISE_NOTHING;
    return effect;
}

static const char *why(const struct key_page *k, int i)
{
    const struct read *read = read_at(k, i);
    const int mover = exercise_mover(k->e, k->sheet, i);
    const struct cause *cause = exercise_cause(k->e, k->sheet, mover);
    const struct part *part = set_find(k->e->r.set, cause->part);
    const double now = k->sheet->read[i];
    const bool string = !part_with(k->e->r.set, ROLE_TRANSFORMER);
    const char *text;
    if (isnan(now)) text = words_exercise_why_gone;
    else if (read->what.kind == READING_OHMS)
        text = is_across(k, part, read) ? words_exercise_why_itself : words_exercise_why_beside;
    else if (read->what.kind != READING_FIGURE) text = words_exercise_why_tester;
    else if (what_of(read) == EXERCISE_HEATER && string) text = words_exercise_why_string;
    else {
        bool volts = read->what.measure == MEASURE_SETTLED_VOLTAGE;
        bool up = volts ? fabs(now) > fabs(read->sound) : now > read->sound;
        text = words_exercise_why(effect_on(k, i, mover, up), what_of(read), up);
    }
    return k->sheet->faults < 2
               ? text
               : arena_printf(k->p->arena, words_exercise_why_of, cause_name(k, mover), text);
}

static void write_moved(struct key_page *k)
{
    static const struct html_column columns[] = {{words_exercise_list_card, true},
                                                 {words_exercise_list_reading, false},
                                                 {words_exercise_moved_sound, true},
                                                 {words_exercise_moved_now, true},
                                                 {words_exercise_moved_why, false}};
    struct arena *arena = k->p->arena;
    const char *unmoved = NULL;
    html_table(k->h, words_exercise_moved, columns, 5);
    for (int i = 0; i < k->e->r.q.reads.n; i++) {
        const char *card = arena_printf(arena, "%d", i + 1);
        if (!exercise_moved(k->e, k->sheet, i)) {
            unmoved = unmoved ? arena_printf(arena, "%s, %s", unmoved, card) : card;
            continue;
        }
        const char *cells[] = {card, diagnose_text_ask(arena, &k->e->r, read_at(k, i)),
                               value(k, i, read_at(k, i)->sound), value(k, i, k->sheet->read[i]),
                               why(k, i)};
        html_row(k->h, HTML_PLAIN, cells);
    }
    html_paragraph(k->h, HTML_NOTE,
                   unmoved ? arena_printf(arena, words_exercise_unmoved, unmoved)
                           : words_exercise_all_moved);
}

static const char *volts_at_end(const struct key_page *k, const struct turn_on *t,
                                const char *point)
{
    const struct figure *f = run_figure(t->run, point, MEASURE_SETTLED_VOLTAGE);
    return page_value(&k->page, f ? f->value : (double)NAN, UNIT_VOLT, false);
}

static void write_picture(struct key_page *k)
{
    struct arena *arena = k->p->arena;
    const char *point = read_at(k, exercise_best_seen(k->e, k->sheet))->what.subject;
    const char *name = exercise_plot_sheet(arena, k->sheet->number);
    size_t bytes;
    const char *svg = exercise_pages_picture(k->p, name, &bytes);
    const char *alt =
        arena_printf(arena, words_exercise_picture_alt, point, volts_at_end(k, k->e->sound, point),
                     volts_at_end(k, k->sheet->run, point));
    html_subheading(k->h, words_exercise_before);
    if (!svg) {
        html_paragraph(k->h, HTML_NOTE, alt);
        html_paragraph(
            k->h, HTML_NOTE,
            arena_printf(arena, words_exercise_no_picture, arena_printf(arena, "%s.gp", name)));
        return;
    }
    html_figure(k->h, false);
    html_svg(k->h, svg, bytes, alt);
    html_figure_end(k->h, arena_printf(arena, words_exercise_picture, point, k->sheet->number));
}

static void write_harm(struct key_page *k)
{
    static const struct html_column columns[] = {{words_exercise_harm_time, true},
                                                 {words_exercise_harm_what, false}};
    struct exercise_harm rows[HARM_ROWS];
    int n = exercise_pages_harm(k->p, k->sheet, rows, HARM_ROWS);
    if (n == 0) {
        html_subheading(k->h, words_exercise_harm);
        html_paragraph(k->h, HTML_PLAIN, words_exercise_harm_none);
        return;
    }
    html_table(k->h, words_exercise_harm, columns, 2);
    for (int i = 0; i < n && i < HARM_ROWS; i++) {
        const char *cells[] = {page_number(&k->page, rows[i].time, UNIT_SECOND, 2), rows[i].what};
        html_row(k->h, HTML_PLAIN, cells);
    }
    const char *more =
        n > HARM_ROWS ? arena_printf(k->p->arena, words_exercise_harm_more, n - HARM_ROWS) : NULL;
    html_paragraph(k->h, HTML_NOTE,
                   more ? arena_printf(k->p->arena, "(%s) %s", more, words_exercise_harm_nobody)
                        : words_exercise_harm_nobody);
}

static const char *band(const struct key_page *k, double right, enum unit unit)
{
    double low, high;
    exercise_band(right, &low, &high);
    return arena_printf(
        k->p->arena, words_exercise_marking_band, page_value(&k->page, right, unit, false),
        page_value(&k->page, low, unit, false), page_value(&k->page, high, unit, false));
}

static void mark(struct key_page *k, const char *question, const char *right, const char *points)
{
    const char *cells[] = {question, right, points};
    html_row(k->h, HTML_PLAIN, cells);
}

/* Ohms and farads; nobody reads how many turns are shorted. */
static bool can_be_read(const struct cause *c)
{
    return c->nodes > 1 && !c->discrete && (c->unit == UNIT_OHM || c->unit == UNIT_FARAD);
}

static void write_marking(struct key_page *k)
{
    static const struct html_column columns[] = {{words_exercise_marking_question, false},
                                                 {words_exercise_marking_right, false},
                                                 {words_exercise_marking_points, true}};
    struct arena *arena = k->p->arena;
    html_table(k->h, words_exercise_marking, columns, 3);
    mark(k, words_exercise_safe, words_exercise_marking_safe, POINTS_ONE);
    for (int f = 0; f < k->sheet->faults; f++) {
        const struct cause *c = exercise_cause(k->e, k->sheet, f);
        double told = k->sheet->fault[f].severity * c->times;
        mark(k, words_exercise_part, c->part, POINTS_PART);
        mark(k, words_exercise_kind, c->name, POINTS_KIND);
        mark(k, words_exercise_severity,
             can_be_read(c) ? band(k, told, c->unit) : words_exercise_marking_severity, POINTS_ONE);
    }
    for (int i = 0; i < EXERCISE_MARKED; i++) {
        const int at = k->e->marked[i];
        if (at < 0) continue;
        mark(k,
             arena_printf(arena, words_exercise_after,
                          diagnose_text_ask(arena, &k->e->r, read_at(k, at))),
             band(k, read_at(k, at)->sound, read_at(k, at)->unit), POINTS_ONE);
    }
    html_paragraph(k->h, HTML_NOTE,
                   arena_printf(arena, words_exercise_marking_how, 100 * EXERCISE_MARKING));
}

void exercise_key_write(const struct exercise_pages *p)
{
    struct arena *arena = p->arena;
    const struct html_options options = {
        .title = arena_printf(arena, words_exercise_key_title, p->e->setup->title),
        .black_and_white = !p->colour,
        .compact = true};
    struct key_page k = {
        .p = p, .h = html_begin(p->w, "key.html", &options), .page = {.arena = arena}, .e = p->e};
    html_paragraph(k.h, HTML_WARN, words_exercise_key_keep);
    html_paragraph(k.h, HTML_PLAIN,
                   arena_printf(arena, words_exercise_made, p->e->pupils,
                                p->e->pupils == 1 ? "" : "s", p->e->level, p->e->seed, p->series));
    write_all(&k);
    for (int i = 0; i < p->e->pupils; i++) {
        k.sheet = &p->e->sheets[i];
        html_page_break(k.h);
        html_section(k.h, arena_printf(arena, words_exercise_key_sheet, k.sheet->number));
        write_fault(&k);
        write_owner(&k);
        write_moved(&k);
        write_picture(&k);
        write_harm(&k);
        write_marking(&k);
    }
    html_end(k.h);
}
