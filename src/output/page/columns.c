/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heads are broken greedily and stand on the line above the rows; a word too long for its column is
 * clipped like any cell. */
#include "columns.h"

#include <string.h>

#include "page_html.h"
#include "utf8.h"

enum { HEAD_LINES = 4 };

struct block {
    const struct columns *table;
    int from, to; /* columns, without the repeated one */
    bool repeats;
};

static int width_of(const struct columns *c, int column)
{
    return column == 0 ? c->first : c->width;
}

/* The columns from `from` on that fit into one block. */
static struct block block_from(const struct columns *c, int from)
{
    struct block b = {c, from, from, c->repeat && from > 0};
    int wide = c->label + (b.repeats ? c->first : 0);
    while (b.to < c->n && (b.to == from || wide + width_of(c, b.to) <= COLUMNS_WIDTH))
        wide += width_of(c, b.to++);
    return b;
}

/* Breaks a head into lines no wider than `room`; the last takes what is left. */
static int break_head(struct arena *arena, const char *head, int room,
                      const char *lines[HEAD_LINES])
{
    int n = 0;
    while (*head && n < HEAD_LINES) {
        size_t best = strcspn(head, " ");
        for (size_t i = best; head[i]; i += 1 + strcspn(head + i + 1, " ")) {
            if (utf8_count(head, i) <= room) best = i;
        }
        if (utf8_count(head, strlen(head)) <= room || n == HEAD_LINES - 1) best = strlen(head);
        lines[n++] = arena_text(arena, head, best);
        head += best + (head[best] == ' ');
    }
    return n;
}

static const char *heads_line(struct page *page, const struct block *b, int line)
{
    const struct columns *c = b->table;
    const char *text = page_cell(page, line == HEAD_LINES - 1 ? c->corner : "", c->label);
    for (int k = b->repeats ? -1 : 0; b->from + k < b->to; k++) {
        int column = k < 0 ? 0 : b->from + k, wide = width_of(c, column);
        const char *lines[HEAD_LINES];
        int n = break_head(page->arena, c->heads[column], wide - 2, lines);
        int at = line - (HEAD_LINES - n);
        const char *cell = page_cell(page, at >= 0 ? lines[at] : "", 2 - wide);
        text = arena_printf(page->arena, "%s  %s", text, cell);
    }
    return text;
}

static void write_block(struct page *page, const struct block *b)
{
    const struct columns *c = b->table;
    for (int line = 0; line < HEAD_LINES; line++) {
        const char *text = heads_line(page, b, line);
        if (text[strspn(text, " ")]) page_line(page, text);
    }
    for (int row = 0; row < c->rows; row++) {
        const char *text = page_cell(page, c->cell(c->context, row, -1), c->label);
        if (b->repeats)
            text = arena_printf(page->arena, "%s%s", text,
                                page_cell(page, c->cell(c->context, row, 0), -c->first));
        for (int k = b->from; k < b->to; k++)
            text = arena_printf(page->arena, "%s%s", text,
                                page_cell(page, c->cell(c->context, row, k), -width_of(c, k)));
        page_line(page, text);
    }
}

/* All columns beside one another: HTML is as wide as it likes. */
static void write_whole(struct page *page, const struct columns *c)
{
    const char *heads = page_cell(page, c->corner, c->label);
    for (int k = 0; k < c->n; k++)
        heads = arena_printf(page->arena, "%s%s", heads, page_cell(page, c->heads[k], -1));
    page_heads(page);
    page_line(page, heads);
    for (int row = 0; row < c->rows; row++) {
        const char *text = "";
        for (int k = -1; k < c->n; k++) {
            const char *cell = page_html_joined(page->arena, c->cell(c->context, row, k));
            text = arena_printf(page->arena, "%s%s", text, page_cell(page, cell, k < 0 ? 1 : -1));
        }
        page_line(page, text);
    }
}

void columns_write(struct page *page, const struct columns *table)
{
    if (page->html) {
        write_whole(page, table);
        return;
    }
    for (int from = 0; from < table->n;) {
        struct block b = block_from(table, from);
        if (from > 0) page_gap(page);
        write_block(page, &b);
        from = b.to;
    }
}
