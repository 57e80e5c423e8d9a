/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_HTML_H
#define PRESOLDER_HTML_H

#include <stdbool.h>
#include <stddef.h>

#include "writer.h"

/* Writes one page of HTML that needs nothing but itself: no network, no script, its style inside.
 * It reads on a screen (18 px, light or dark, down to 360 px wide) and prints on A4 and Letter (12
 * pt); WCAG 2.2 AA. Texts are escaped; in them \x1f is a blank that is not broken at, what stands
 * between two backquotes is set as code, a control character becomes `?`. What was begun (a list, a
 * table, a section) ends by itself when something else begins. Errors stay in the writer. */
struct html;

/* How something is set. Every style differs from the others by shape or weight, not by colour
 * alone.
 */
enum html_style {
    HTML_PLAIN,
    HTML_LEAD, /* the answer: larger */
    HTML_WARN, /* a frame and bold; a row: bold, with `!` before its head */
    HTML_NOTE  /* what is said below a table: indented */
};

struct html_options {
    const char *title;    /* of the page, and its first heading */
    bool black_and_white; /* no colour, on the screen either, and no dark mode */
    bool compact;         /* one printed page: less space between the lines */
};

/* Begins the file `name` of the writer. Lives in the writer's arena; never NULL. */
struct html *html_begin(struct writer *w, const char *name, const struct html_options *options);

/* Begins a part of a page that somebody else writes: sections and what stands in them, without head
 * and title. */
struct html *html_part(struct writer *w);

/* Ends all that is open in it. */
void html_part_end(struct html *h);

/* Ends all that is open, and the page. The writer's file stays the running one. */
void html_end(struct html *h);

/* The writer, for what is written as it is: SVG inside a figure. */
struct writer *html_writer(struct html *h);

/* Text, escaped. */
void html_text(struct html *h, const char *text);

/* A section with its heading. */
void html_section(struct html *h, const char *heading);

/* The same, of a class; NULL: of none. */
void html_section_of(struct html *h, const char *class, const char *heading);

/* A heading inside a section. */
void html_subheading(struct html *h, const char *heading);

/* A paragraph. */
void html_paragraph(struct html *h, enum html_style style, const char *text);

/* An item of a list; those that follow each other are one list. `name` (may be NULL) is set bold
 * before it. */
void html_item(struct html *h, const char *name, const char *text);

struct html_column {
    const char *head; /* NULL or empty: a column without a head */
    bool number;      /* to the right */
};

/* A line of code or of a file; those that follow each other are one block, blanks and all. */
void html_code(struct html *h, const char *line);

/* A table with a caption, which is not seen where it repeats the heading above. Rows follow.
 * Without any head it has no line of heads. Where it is wider than the screen it is moved sideways,
 * by the keyboard too; in print its rows are never cut, and its heads stand on every page. */
void html_table(struct html *h, const char *caption, const struct html_column *columns, int n);

/* A row of the running table: n cells, the first of which is the row's head. NULL: a blank to write
 * in by hand. */
void html_row(struct html *h, enum html_style style, const char *const *cells);

/* A figure with its caption below; between both calls goes an SVG, by html_svg or html_writer.
 * `wide`: on a printed sheet of its own, laid lengthwise. */
void html_figure(struct html *h, bool wide);
void html_figure_end(struct html *h, const char *caption);

/* An SVG as gnuplot writes it: without its head, as wide as there is room, its ids made unique in
 * the page, with `alt` as its text for who does not see it. False, and nothing is written, where
 * `svg` is none. */
bool html_svg(struct html *h, const char *svg, size_t bytes, const char *alt);

/* What is shown only on wide or only on narrow screens (under 700 px), until html_block_end; print
 * shows the wide one. */
void html_wide(struct html *h);
void html_narrow(struct html *h);

/* A frame that is not cut in print, until html_block_end. Blocks may lie in blocks. */
void html_card(struct html *h);

/* A grid of cards to be cut out, two side by side in print, until html_block_end. */
void html_cards(struct html *h);

/* Empty lines to write on; a dashed line with a word on it, to fold or cut along. */
void html_lines(struct html *h, int n);
void html_cut(struct html *h, const char *word);

/* What lies folded below `summary` until it is opened, by mouse or keyboard, until html_block_end;
 * print shows it only when opened. */
void html_fold(struct html *h, const char *summary);
void html_block_end(struct html *h);

/* In print the next thing begins a page. */
void html_page_break(struct html *h);

#endif
