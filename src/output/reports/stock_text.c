/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stock_text.h"

#include <math.h>

#include "words_stock.h"

enum { CELLS = sizeof words_stock_heads / sizeof words_stock_heads[0] };

static void put_line(struct page *page, const char *const cells[CELLS])
{
    static const int widths[CELLS - 1] = {15, 34, -7, -8, -7};
    const char *line = "";
    for (int i = 0; i < CELLS - 1; i++)
        line = arena_printf(page->arena, "%s%s", line, page_cell(page, cells[i], widths[i]));
    page_line(page, arena_printf(page->arena, "%s%s", line, cells[CELLS - 1]));
}

/* `10 uF 450 V electrolytic`; with plain blanks for a file. */
static const char *what(struct arena *arena, const struct stock_item *item)
{
    static const enum unit units[STOCK_KINDS] = {UNIT_FARAD,  UNIT_FARAD,  UNIT_OHM,
                                                 UNIT_NUMBER, UNIT_NUMBER, UNIT_AMPERE};
    char value[64] = "", rating[64] = "";
    if (!item->type) quantity_text(item->value, units[item->kind], 3, value, sizeof value);
    if (!isnan(item->rating))
        quantity_text(item->rating, item->kind == STOCK_RESISTOR ? UNIT_WATT : UNIT_VOLT, 3, rating,
                      sizeof rating);
    return arena_printf(arena, words_stock_what, item->type ? item->type : value,
                        *rating ? " " : "", rating, stock_kinds[item->kind]);
}

static const char *number(struct arena *arena, int n)
{
    return arena_printf(arena, "%d", n);
}

void stock_text_write(struct page *page, const struct stock *stock)
{
    struct arena *arena = page->arena;
    if (stock->items.n == 0) return;
    page_heading(page, arena_printf(arena, words_stock_heading, stock->path));
    page_heads(page);
    put_line(page, words_stock_heads);
    for (int i = 0; i < stock->items.n; i++) {
        const struct stock_item *item = &stock->items.at[i];
        put_line(page, (const char *const[CELLS]){
                           item->part, what(arena, item), number(arena, item->pieces),
                           item->taken > 0 ? number(arena, item->taken) : "-",
                           item->keep ? words_stock_kept : number(arena, item->order),
                           item->order > 0 ? words_stock_blank : ""});
    }
    put_line(page,
             (const char *const[CELLS]){words_stock_total, "", "", "", "", words_stock_blank});
    page_say(page, "  ", words_stock_note, 100 * STOCK_SAME_OHMS);
}

void stock_csv_write(struct writer *w, struct arena *arena, const char *name,
                     const struct stock *stock)
{
    writer_file(w, name);
    writer_text(w, "part,buy,pieces,drawer,line,order,price\n");
    for (int i = 0; i < stock->items.n; i++) {
        const struct stock_item *item = &stock->items.at[i];
        writer_field(w, item->part);
        writer_text(w, ",");
        writer_field(w, what(arena, item));
        writer_format(w, ",%d,%d,", item->pieces, item->taken);
        if (item->taken > 0) writer_format(w, "%d", item->line);
        writer_format(w, ",%d,\n", item->order);
    }
}
