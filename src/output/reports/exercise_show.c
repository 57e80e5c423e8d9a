/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The demonstration: blanks for the class, then what is shown, for the trainer. */
#include <math.h>
#include <string.h>

#include "bench_parts.h"
#include "exercise_pages.h"
#include "exercise_plot.h"
#include "html.h"
#include "page.h"
#include "words_exercise.h"

enum { FIGURES_MOST = 8, SHOWN_MOST = 2 };

/* A figure that is predicted. */
struct shown {
    const char *name;
    const char *subject;
    enum measure measure;
    bool settled; /* of the warm set, where there is one */
};

struct showing {
    const struct exercise_pages *p;
    struct html *h;
    struct page page;
    const struct exercise *e;
    struct shown figures[FIGURES_MOST];
    int n;
};

static const char *value(const struct showing *s, const struct turn_on *t, const struct shown *f,
                         bool warm)
{
    const struct result *from = f->settled && warm ? t->warm : t->run;
    if (f->measure == MEASURE_INRUSH_PEAK_CURRENT && t->restart) from = t->restart;
    const struct figure *found = run_figure(from, f->subject, f->measure);
    if (!found) return "-";
    return page_value(&s->page, found->value, found->unit, false);
}

static void add(struct showing *s, const char *name, const char *subject, enum measure measure,
                bool settled)
{
    if (s->n < FIGURES_MOST && run_figure(s->e->sound->run, subject, measure))
        s->figures[s->n++] = (struct shown){name, subject, measure, settled};
}

/* First and last point of the filter, the first capacitor, the line. */
static void choose(struct showing *s)
{
    struct arena *arena = s->p->arena;
    const struct bench_parts parts = bench_parts_find(arena, s->e->r.set);
    const char *last = s->e->r.q.reads.at[s->e->first_look].what.subject;
    const char *point[2] = {parts.first_point, last};
    for (int i = 0; i < 2; i++) {
        if (!point[i] || (i == 1 && point[0] && strcmp(point[0], last) == 0)) continue;
        add(s, arena_printf(arena, words_exercise_show_volts, point[i]), point[i],
            MEASURE_SETTLED_VOLTAGE, true);
        add(s, arena_printf(arena, words_exercise_show_highest, point[i]), point[i],
            MEASURE_HIGHEST_VOLTAGE, false);
        add(s, arena_printf(arena, words_exercise_show_ripple, point[i]), point[i],
            measure_on(RANGE_AC), true);
    }
    if (parts.first)
        add(s, arena_printf(arena, words_exercise_show_watts, parts.first), parts.first,
            MEASURE_DISSIPATION, true);
    add(s, words_exercise_show_power, "mains", MEASURE_LINE_POWER, true);
}

struct demonstration {
    const char *title, *absent, *says;
    const char *shown[SHOWN_MOST]; /* heads of the columns beside the sound set */
    enum exercise_show show[SHOWN_MOST];
    int n;
};

/* Only sets in one state can be compared: warm, or at the end of the run. */
static bool all_warm(const struct showing *s, const struct demonstration *d)
{
    bool warm = s->e->sound->warm != NULL;
    for (int k = 0; k < d->n; k++) warm &= s->e->show[d->show[k]].run->warm != NULL;
    return warm;
}

static void tell_end(struct showing *s)
{
    html_paragraph(s->h, HTML_NOTE,
                   arena_printf(s->p->arena, words_exercise_show_end,
                                page_value(&s->page, s->e->sound->run->end, UNIT_SECOND, false)));
}

static void write_blanks(struct showing *s, const struct demonstration *d)
{
    struct html_column columns[2 * SHOWN_MOST + 3] = {{words_exercise_show_figure, false},
                                                      {words_exercise_show_now, true}};
    const bool warm = all_warm(s, d);
    int n = 2;
    for (int k = 0; k < d->n; k++) {
        columns[n++].head = arena_printf(s->p->arena, words_exercise_show_guess, d->shown[k]);
        if (d->n == 1) columns[n++].head = words_exercise_show_shown;
    }
    columns[n++].head = words_exercise_show_why;
    html_table(s->h, d->title, columns, n);
    for (int i = 0; i < s->n; i++) {
        const char *cells[2 * SHOWN_MOST + 3] = {s->figures[i].name,
                                                 value(s, s->e->sound, &s->figures[i], warm)};
        html_row(s->h, HTML_PLAIN, cells);
    }
    if (!warm) tell_end(s);
}

static void write_answers(struct showing *s, const struct demonstration *d)
{
    struct html_column columns[SHOWN_MOST + 2] = {{words_exercise_show_figure, false},
                                                  {words_exercise_show_now, true}};
    for (int k = 0; k < d->n; k++) columns[k + 2] = (struct html_column){d->shown[k], true};
    const bool warm = all_warm(s, d);
    html_table(s->h, d->title, columns, d->n + 2);
    for (int i = 0; i < s->n; i++) {
        const char *cells[SHOWN_MOST + 2] = {s->figures[i].name,
                                             value(s, s->e->sound, &s->figures[i], warm)};
        for (int k = 0; k < d->n; k++)
            cells[k + 2] = value(s, s->e->show[d->show[k]].run, &s->figures[i], warm);
        html_row(s->h, HTML_PLAIN, cells);
    }
    if (!warm) tell_end(s);
    html_paragraph(s->h, HTML_PLAIN, d->says);
}

static void write_picture(struct showing *s, const struct demonstration *d)
{
    struct arena *arena = s->p->arena;
    const int seen = exercise_show_seen(s->e, d->show[0]);
    const char *point = s->e->r.q.reads.at[seen].what.subject;
    const char *name = exercise_plot_show(d->show[0]);
    size_t bytes;
    const char *svg = exercise_pages_picture(s->p, name, &bytes);
    const char *caption = arena_printf(arena, words_exercise_show_picture, point);
    if (!svg) {
        html_paragraph(
            s->h, HTML_NOTE,
            arena_printf(arena, words_exercise_no_picture, arena_printf(arena, "%s.gp", name)));
        return;
    }
    html_figure(s->h, false);
    html_svg(s->h, svg, bytes, caption);
    html_figure_end(s->h, caption);
}

static void write_all(struct showing *s, const struct demonstration *all, int n, bool answers)
{
    for (int i = 0; i < n; i++) {
        const struct demonstration *d = &all[i];
        if (!s->e->show[d->show[d->n - 1]].run) {
            html_paragraph(s->h, HTML_PLAIN, d->absent);
            continue;
        }
        if (!answers) {
            write_blanks(s, d);
            continue;
        }
        write_answers(s, d);
        write_picture(s, d);
    }
}

void exercise_show_write(const struct exercise_pages *p)
{
    struct arena *arena = p->arena;
    const struct exercise *e = p->e;
    const struct html_options options = {
        .title = arena_printf(arena, words_exercise_show_title, e->setup->title),
        .black_and_white = !p->colour,
        .compact = true};
    const char *tube = e->show[SHOW_SILICON].part, *old = e->show[SHOW_OLD].part;
    const struct demonstration all[] = {
        {.title = arena_printf(arena, words_exercise_show_silicon, tube ? tube : ""),
         .absent = words_exercise_show_no_silicon,
         .says = words_exercise_show_say_silicon,
         .shown = {words_exercise_show_with_silicon},
         .show = {SHOW_SILICON},
         .n = 1},
        {.title = arena_printf(arena, words_exercise_show_old, old ? old : ""),
         .absent = words_exercise_show_no_old,
         .says = words_exercise_show_say_old,
         .shown = {words_exercise_show_with_old, words_exercise_show_with_new},
         .show = {SHOW_OLD, SHOW_BRIDGED},
         .n = 2},
    };
    struct showing s = {.p = p, .page = {.arena = arena}, .e = e};
    choose(&s);
    s.h = html_begin(p->w, "demonstration.html", &options);
    html_section(s.h, words_exercise_show_class);
    html_paragraph(s.h, HTML_PLAIN, words_exercise_show_predict);
    write_all(&s, all, 2, false);
    html_page_break(s.h);
    html_section(s.h, words_exercise_show_trainer);
    html_paragraph(s.h, HTML_WARN, words_exercise_show_live);
    write_all(&s, all, 2, true);
    html_end(s.h);
}
