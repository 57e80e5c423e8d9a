/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows from top to bottom, items from left to right, and what each level wire covers. */
#include <math.h>

#include "schematic_impl.h"

/* ---- rows ---- */

int schematic_order_row(struct space *s, int row, bool below)
{
    int id = s->rows.n, place = 0;
    if (row >= 0) place = s->row_at.at[row] + (below ? 1 : 0);
    array_push(s->arena, &s->rows, id);
    array_push(s->arena, &s->row_at, id);
    for (int i = id; i > place; i--) s->rows.at[i] = s->rows.at[i - 1];
    s->rows.at[place] = id;
    for (int i = 0; i < s->rows.n; i++) s->row_at.at[s->rows.at[i]] = i;
    return id;
}

int schematic_order_trunk(struct space *s, int net, int row)
{
    array_push(s->arena, &s->trunks,
               (struct trunk){.net = net, .row = row, .low = HUGE_VAL, .high = -HUGE_VAL});
    int id = s->trunks.n - 1;
    if (s->nets.at[net].trunk < 0) s->nets.at[net].trunk = id;
    return id;
}

/* ---- items ---- */

void schematic_order_term(struct space *s, struct item *item, int trunk, double side)
{
    array_push(s->arena, &item->terms, (struct term){.trunk = trunk, .side = side});
}

/* Where on the order an end lies. */
static double place_of(const struct item *item, const struct term *t)
{
    return item->place + 0.25 * t->side;
}

static void refresh(struct space *s)
{
    for (int i = 0; i < s->trunks.n; i++)
        s->trunks.at[i].low = HUGE_VAL, s->trunks.at[i].high = -HUGE_VAL;
    for (int i = 0; i < s->order.n; i++) {
        struct item *item = &s->items.at[s->order.at[i]];
        item->place = i;
        for (int k = 0; k < item->terms.n; k++) {
            struct trunk *t = &s->trunks.at[item->terms.at[k].trunk];
            t->low = fmin(t->low, place_of(item, &item->terms.at[k]));
            t->high = fmax(t->high, place_of(item, &item->terms.at[k]));
        }
    }
}

int schematic_order_item(struct space *s, struct item item, int place)
{
    int id = s->items.n;
    array_push(s->arena, &s->items, item);
    array_push(s->arena, &s->order, id);
    if (place < 0) place = id;
    for (int i = id; i > place; i--) s->order.at[i] = s->order.at[i - 1];
    s->order.at[place] = id;
    refresh(s);
    return id;
}

int schematic_order_down(struct space *s, int way, int a, int b, int place)
{
    struct item item = {.form = ITEM_DOWN, .ways = {way}, .n = 1};
    s->ways.at[way].done = true;
    schematic_order_term(s, &item, a, 0);
    schematic_order_term(s, &item, b, 0);
    return schematic_order_item(s, item, place);
}

int schematic_order_across(struct space *s, const int *ways, int n, int a, int b, int row,
                           int place)
{
    struct item item = {.form = ITEM_ACROSS, .row = row};
    for (int i = 0; i < n && i < WAYS_PARALLEL; i++) {
        item.ways[item.n++] = ways[i];
        s->ways.at[ways[i]].done = true;
    }
    schematic_order_term(s, &item, a, -1);
    schematic_order_term(s, &item, b, 1);
    return schematic_order_item(s, item, place);
}

int schematic_order_riser(struct space *s, int a, int b, int place)
{
    struct item item = {.form = ITEM_RISER};
    schematic_order_term(s, &item, a, 0);
    schematic_order_term(s, &item, b, 0);
    return schematic_order_item(s, item, place);
}

/* ---- what is in the way ---- */

/* The stretch of a row that an item fills by itself; false: none. */
static bool fills(const struct item *item, int row, double *low, double *high)
{
    bool lies = item->form == ITEM_ACROSS || item->form == ITEM_DUO;
    if (!lies || item->row != row) return false;
    *low = item->place - 0.2;
    *high = item->place + 0.2;
    return true;
}

bool schematic_order_free(const struct space *s, int trunk, double at)
{
    const struct trunk *t = &s->trunks.at[trunk];
    double low = fmin(t->low, at), high = fmax(t->high, at), a, b;
    for (int i = 0; i < s->trunks.n; i++) {
        const struct trunk *o = &s->trunks.at[i];
        if (i != trunk && o->row == t->row && o->low <= high && o->high >= low) return false;
    }
    for (int i = 0; i < s->items.n; i++)
        if (fills(&s->items.at[i], t->row, &a, &b) && a <= high && b >= low) return false;
    return true;
}

bool schematic_order_row_free(const struct space *s, int row, double from)
{
    double a, b;
    for (int i = 0; i < s->trunks.n; i++)
        if (s->trunks.at[i].row == row && s->trunks.at[i].high >= from) return false;
    for (int i = 0; i < s->items.n; i++)
        if (fills(&s->items.at[i], row, &a, &b) && b >= from) return false;
    return true;
}

/* ---- crossings ---- */

int schematic_order_crossed(const struct space *s, int row1, int row2, double at)
{
    int a = s->row_at.at[row1], b = s->row_at.at[row2], n = 0;
    if (a > b) return schematic_order_crossed(s, row2, row1, at);
    for (int i = 0; i < s->trunks.n; i++) {
        const struct trunk *t = &s->trunks.at[i];
        int level = s->row_at.at[t->row];
        n += level > a && level < b && t->low < at && t->high > at;
    }
    return n;
}

/* Uprights between trunks of one item; of those with many ends each end by itself. */
static int item_crossings(const struct space *s, const struct item *item)
{
    if (item->form == ITEM_CALL) return 0;
    bool two = item->form == ITEM_DOWN || item->form == ITEM_RISER;
    if (two)
        return schematic_order_crossed(s, s->trunks.at[item->terms.at[0].trunk].row,
                                       s->trunks.at[item->terms.at[1].trunk].row, item->place);
    int n = 0;
    for (int k = 0; k < item->terms.n && item->form != ITEM_TRANSFORMER; k++)
        n += schematic_order_crossed(s, item->row, s->trunks.at[item->terms.at[k].trunk].row,
                                     place_of(item, &item->terms.at[k]));
    return n;
}

int schematic_order_crossings(const struct space *s)
{
    int n = 0;
    for (int i = 0; i < s->items.n; i++) n += item_crossings(s, &s->items.at[i]);
    return n;
}
