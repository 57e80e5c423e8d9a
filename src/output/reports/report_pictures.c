/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>
#include <sys/stat.h>

#include "file.h"
#include "plot.h"
#include "report_html.h"
#include "schematic_svg.h"
#include "words_report.h"

#define PORTRAIT 190.0 /* as wide as A4 and Letter both are between their edges [mm] */

static void write_drawing(struct html *h, struct arena *arena, const struct turn_on *t,
                          const struct schematic_readings *readings, const struct report *report,
                          bool narrow)
{
    const struct schematic_options options = {.embedded = true,
                                              .narrow = narrow,
                                              .zigzag = report->zigzag,
                                              .black_and_white = report->black_and_white};
    schematic_svg_write(html_writer(h), arena, t->setup, readings, t->run, &options);
}

void report_schematic_write(struct html *h, struct arena *arena, const struct turn_on *t,
                            const struct report *report, const char *which)
{
    struct schematic_readings readings = schematic_readings_of(arena, t->judgement, t->run->end);
    struct schematic_size size = schematic_svg_size(arena, t->setup, &readings, t->run, false);
    const char *caption = arena_printf(arena, words_report_schematic_caption, which);
    html_wide(h);
    html_figure(h, size.width > PORTRAIT);
    write_drawing(h, arena, t, &readings, report, false);
    html_figure_end(h, caption);
    html_block_end(h);
    html_narrow(h);
    html_figure(h, false);
    write_drawing(h, arena, t, &readings, report, true);
    html_figure_end(h, caption);
    html_block_end(h);
}

/* ---- gnuplot's ---- */

static const char *question(struct arena *arena, const struct report_picture *p)
{
    for (int i = 0; i < PLOTS && !p->point; i++)
        if (strcmp(plot_names[i], p->name) == 0) return tongue_says(words_report_questions[i]);
    return arena_printf(arena, words_report_question_point, p->point);
}

/* The whole file; NULL: there is none. */
static const char *picture_text(struct arena *arena, const char *path, size_t *n)
{
    struct stat st;
    if (stat(path, &st) != 0 || st.st_size <= 0) return NULL;
    char *text = arena_alloc(arena, (size_t)st.st_size);
    return file_read(path, text, (size_t)st.st_size, n) == 0 ? text : NULL;
}

static void write_picture(struct html *h, struct arena *arena, const struct report_picture *p)
{
    size_t n = 0;
    const char *text = picture_text(
        arena, arena_printf(arena, "%s/plots/%s.svg", writer_partial(html_writer(h)), p->name), &n);
    const char *asks = question(arena, p);
    html_figure(h, false);
    if (!text || !html_svg(h, text, n, arena_printf(arena, words_report_alt, asks)))
        html_paragraph(h, HTML_WARN, arena_printf(arena, words_report_not_drawn, p->name));
    html_figure_end(h, asks);
}

void report_pictures_write(struct html *h, struct arena *arena, const struct report *report)
{
    html_section(h, words_report_pictures);
    if (report->without) html_paragraph(h, HTML_PLAIN, report->without);
    for (int i = 0; i < report->pictures.n && !report->without; i++)
        write_picture(h, arena, &report->pictures.at[i]);
}
