/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "page_html.h"

#include <string.h>

enum { CELLS_MOST = 40, CODE_INDENT = 8, CONTINUES = 5 };

#define BLANKS " \x1f\n"
static const char blank_to_fill[] = "____";

struct page page_html_on(struct html *h, struct arena *arena, bool inner)
{
    struct page page = {.arena = arena, .html = ARENA_NEW(arena, struct page_html)};
    page.html->html = h;
    page.html->inner = inner;
    page.html->caption = "";
    return page;
}

static const char *trimmed(struct arena *arena, const char *text, size_t n)
{
    while (n > 0 && strchr(BLANKS, *text)) text++, n--;
    while (n > 0 && strchr(BLANKS, text[n - 1])) n--;
    return arena_text(arena, text, n);
}

static bool has_cells(const char *text)
{
    return strchr(text, PAGE_HTML_LEFT) || strchr(text, PAGE_HTML_RIGHT);
}

const char *page_html_joined(struct arena *arena, const char *text)
{
    char *joined = arena_text(arena, text, strlen(text));
    for (char *c = joined; *c; c++)
        if (*c == PAGE_HTML_LEFT || *c == PAGE_HTML_RIGHT) *c = ' ';
    return trimmed(arena, joined, strlen(joined));
}

/* ---- rows ---- */

struct cell {
    const char *text;
    bool right;
};

/* What stands behind the last end is a cell too, unless it is empty. */
static int split(struct arena *arena, const char *text, struct cell cells[CELLS_MOST])
{
    int n = 0;
    while (*text && n < CELLS_MOST) {
        size_t bytes = strcspn(text, "\x1d\x1e");
        cells[n] = (struct cell){trimmed(arena, text, bytes), text[bytes] == PAGE_HTML_RIGHT};
        if (text[bytes] || *cells[n].text) n++;
        text += bytes + (text[bytes] != 0);
    }
    return n;
}

void page_html_gap(const struct page *p)
{
    p->html->table = false;
    p->html->heads.n = 0;
}

void page_html_heads(const struct page *p)
{
    if (p->html->table) page_html_gap(p);
    p->html->heads_next = true;
}

/* Heads of several lines are put together. */
static void take_heads(const struct page *p, const char *text)
{
    struct page_html *h = p->html;
    struct cell cells[CELLS_MOST];
    int n = split(p->arena, text, cells);
    h->heads_next = false;
    for (int i = 0; i < n; i++) {
        if (i >= h->heads.n) {
            struct html_column column = {cells[i].text, cells[i].right};
            array_push(p->arena, &h->heads, column);
            continue;
        }
        struct html_column *old = &h->heads.at[i];
        old->head = trimmed(p->arena, arena_printf(p->arena, "%s %s", old->head, cells[i].text),
                            strlen(old->head) + strlen(cells[i].text) + 1);
    }
}

/* As wide as its heads or its first row. */
static void begin_table(struct page_html *h, struct arena *arena, const struct cell *cells, int n)
{
    for (int i = h->heads.n; i < n; i++) {
        struct html_column column = {NULL, cells[i].right};
        array_push(arena, &h->heads, column);
    }
    h->columns = h->heads.n;
    h->table = true;
    html_table(h->html, h->caption, h->heads.at, h->heads.n);
    h->heads.n = 0;
}

static void put_row(const struct page *p, const char *line)
{
    struct page_html *h = p->html;
    struct cell cells[CELLS_MOST];
    const char *texts[CELLS_MOST];
    int n = split(p->arena, line, cells);
    if (!h->table) begin_table(h, p->arena, cells, n);
    for (int i = 0; i < h->columns; i++) {
        texts[i] = i < n ? cells[i].text : "";
        if (strncmp(texts[i], blank_to_fill, sizeof blank_to_fill - 1) == 0) texts[i] = NULL;
    }
    bool over = h->columns > 0 && texts[0] && strncmp(texts[0], "! ", 2) == 0;
    if (over) texts[0] += 1 + strspn(texts[0] + 1, " ");
    html_row(h->html, over ? HTML_WARN : HTML_PLAIN, texts);
}

/* ---- what page.c hands on ---- */

void page_html_heading(const struct page *p, const char *class, const char *text)
{
    struct page_html *h = p->html;
    page_html_gap(p);
    h->caption = text;
    if (h->inner) html_subheading(h->html, text);
    else html_section_of(h->html, class, text);
}

void page_html_line(const struct page *p, const char *text)
{
    if (has_cells(text)) {
        if (p->html->heads_next) take_heads(p, text);
        else put_row(p, text);
        return;
    }
    size_t indent = strspn(text, " ");
    page_html_gap(p);
    if (indent >= CODE_INDENT && text[indent]) html_code(p->html->html, text + CODE_INDENT);
    else if (text[indent]) html_paragraph(p->html->html, HTML_PLAIN, text + indent);
}

void page_html_say(const struct page *p, const char *first, const char *text)
{
    struct html *h = p->html->html;
    const char *name = trimmed(p->arena, first, strlen(first));
    if (has_cells(first)) {
        put_row(p, arena_printf(p->arena, "%s%s", first, text));
        return;
    }
    page_html_gap(p);
    if (strcmp(name, "*") == 0) html_item(h, NULL, text);
    else if (strncmp(name, "* ", 2) == 0) html_item(h, name + 2, text);
    else if (strcmp(name, "!!") == 0) html_paragraph(h, HTML_WARN, text);
    else if (*name) html_item(h, name, text);
    else html_paragraph(h, strlen(first) >= CONTINUES ? HTML_NOTE : HTML_PLAIN, text);
}
