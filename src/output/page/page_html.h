/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PAGE_HTML_H
#define PRESOLDER_PAGE_HTML_H

#include "array.h"
#include "html.h"
#include "page.h"

/* A page as HTML: what page.c hands on. Headings begin sections (or are those inside one), a line
 * of cells is a row, the first ones after page_heads have that for heads, paragraphs are what their
 * first characters say: `* ` an item, `!! ` a warning, a name an item called so, cells a row. */

/* Ends of cells in a line. */
#define PAGE_HTML_LEFT '\x1e'
#define PAGE_HTML_RIGHT '\x1d'

struct page_html {
    struct html *html;
    bool inner;                      /* headings are those inside the running section */
    const char *caption;             /* of tables: the last heading */
    bool table;                      /* one is running */
    bool heads_next;                 /* the next line is heads */
    ARRAY(struct html_column) heads; /* told and not yet written */
    int columns;
};

/* A page on that HTML; lives in `arena`. */
struct page page_html_on(struct html *h, struct arena *arena, bool inner);

/* The last table ends, and so do heads without rows: before something is written to `html` itself.
 */
void page_html_gap(const struct page *p);

void page_html_heading(const struct page *p, const char *class, const char *text);
void page_html_say(const struct page *p, const char *first, const char *text);
void page_html_line(const struct page *p, const char *text);
void page_html_heads(const struct page *p);

/* The cells of a text as one, blanks between them. */
const char *page_html_joined(struct arena *arena, const char *text);

#endif
