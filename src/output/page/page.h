/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PAGE_H
#define PRESOLDER_PAGE_H

#include <stdbool.h>
#include <stdio.h>

#include "arena.h"
#include "quantity.h"

/* What the terminal shows is written on a page: plain text of at most PAGE_COLUMNS columns, ASCII
 * but for the user's own names. Errors of writing stay in the stream: ask ferror.
 *
 * With `html` the same calls write a part of a page of HTML (page_html.h): lines made of page_cell
 * become rows of a table, bullets items of a list. */

struct html;
struct page_html;

enum { PAGE_COLUMNS = 80 };

struct page {
    FILE *to;               /* NULL: nothing is written, lines are only counted */
    struct arena *arena;    /* texts of the page live here */
    int *lines;             /* counts the lines; NULL: nobody asks */
    struct page_html *html; /* NULL: plain text */
};

/* How much all pages tell. Set once, before the first page; all are zero before. */
struct page_style {
    bool full;         /* a summary with all it knows, not one of one and a half screens */
    bool cautions;     /* every caution in full, not in a few words */
    struct html *html; /* what page_on writes goes there as HTML; NULL: as plain text */
};
void page_style_set(struct page_style style);
struct page_style page_style(void);

/* The page of a whole report: on `to`, or on the HTML of the style. */
struct page page_on(FILE *to, struct arena *arena);

/* What a report is of; on HTML nothing, since the title stands there already. Either may be NULL,
 * and the variant `base` is none. */
void page_title(const struct page *p, const char *title, const char *variant);

/* Writes a paragraph: `first` before its first line, blanks as wide before the others, broken at
 * blanks. A control character of the user's becomes `?`; \x1f is a blank that is not broken at. */
void page_say(const struct page *p, const char *first, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The same, the lines after the first `hang` columns further in. */
void page_hang(const struct page *p, const char *first, int hang, const char *text);

/* A line as it is, without the blanks at its end. */
void page_line(const struct page *p, const char *text);

/* The next line holds the heads of a table; where it is said again, a second line of them. */
void page_heads(const struct page *p);

/* An empty line. */
void page_gap(const struct page *p);

/* `text path`, the path on a line of its own where both are too long for one: it is never broken,
 * for it is copied. On HTML nothing: who includes it knows the files. */
void page_path(const struct page *p, const char *text, const char *path);

/* A line of its own, a blank line before it. */
void page_heading(const struct page *p, const char *text);

/* The same; on HTML the section is of that class, for who looks for it: `first`, what to look at
 * before all else, and `cautions`. */
void page_heading_of(const struct page *p, const char *class, const char *text);

/* --- texts for it; their blanks are not broken at --- */

/* A value for running text: `359 V`, `about 350 V` (rough: two digits). Less than any meter shows
 * is 0. */
const char *page_value(const struct page *p, double value, enum unit unit, bool rough);

/* The same for a tight column: `359 V`, `~350 V`. */
const char *page_value_tight(const struct page *p, double value, enum unit unit, bool rough);

/* A value to so many digits. */
const char *page_number(const struct page *p, double value, enum unit unit, int digits);

/* A share as per cent: `94 %`; never rounded over the border of 100. */
const char *page_percent(const struct page *p, double share);

/* One cell of a table, clipped with `..` and filled up to `width` columns; width < 0: to the right.
 * The last cell of a line may be plain text. */
const char *page_cell(const struct page *p, const char *text, int width);

#endif
