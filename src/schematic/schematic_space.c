/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Millimetres: rows as far apart as what lies between them needs, then every item as far to the
 * left as those before it let it; at last what belongs to points. */
#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "schematic_impl.h"

#define ROW_LEAST 6.0
#define APART 1.9 /* between items */
#define DOTS 2.5  /* between dots */
#define MARGIN 2.0

/* ---- rows ---- */

struct need {
    int low, high;
    double room;
};

struct needs {
    struct arena *arena;
    ARRAY(struct need) list;
};

static void add_need(void *context, int low, int high, double room)
{
    struct needs *n = context;
    if (low >= 0 && low < high) array_push(n->arena, &n->list, (struct need){low, high, room});
}

/* The rows between which the symbol of an upright may lie: no other wire runs there. */
static void interval(const struct space *s, const struct item *item, int *low, int *high)
{
    int a = schematic_order_level(s, item->terms.at[0].trunk),
        b = schematic_order_level(s, item->terms.at[1].trunk);
    int from = a < b ? a : b, end = a < b ? b : a;
    *low = *high = from;
    for (int level = from + 1; level <= end; level++) {
        bool covered = level == end;
        for (int i = 0; i < s->trunks.n && !covered; i++) {
            const struct trunk *t = &s->trunks.at[i];
            covered =
                s->row_at.at[t->row] == level && t->low < item->place && t->high > item->place;
        }
        if (!covered) continue;
        if (level - from >= *high - *low) *low = from, *high = level;
        from = level;
    }
}

static void place_rows(struct space *s)
{
    struct needs needs = {.arena = s->arena};
    double top = MARGIN;
    for (int i = 1; i < s->rows.n; i++) add_need(&needs, i - 1, i, ROW_LEAST);
    for (int i = 0; i < s->items.n; i++) {
        const struct item *item = &s->items.at[i];
        int low, high;
        if (item->form == ITEM_TRANSFORMER) {
            schematic_coil_rows(s, item, &needs, add_need);
            continue;
        }
        if (item->form == ITEM_RISER) continue;
        struct extent e = schematic_piece_extent(s, item);
        if (item->form == ITEM_DOWN) {
            interval(s, item, &low, &high);
            add_need(&needs, low, high, e.across);
            continue;
        }
        int level = item->form == ITEM_CALL ? schematic_order_level(s, item->terms.at[0].trunk)
                                            : s->row_at.at[item->row];
        add_need(&needs, level - 1, level, e.above + 1.5);
        if (level + 1 < s->rows.n) add_need(&needs, level, level + 1, e.below + 1.5);
        if (level == 0) top = fmax(top, e.above + MARGIN);
    }
    s->y = ARENA_ARRAY(s->arena, double, s->rows.n);
    s->y[0] = top;
    for (int i = 1; i < s->rows.n; i++)
        for (int k = 0; k < needs.list.n; k++)
            if (needs.list.at[k].high == i)
                s->y[i] = fmax(s->y[i], s->y[needs.list.at[k].low] + needs.list.at[k].room);
}

/* ---- items ---- */

static double must(const struct item *before, const struct item *item)
{
    double x = -HUGE_VAL;
    for (int i = 0; i < before->boxes.n; i++)
        for (int k = 0; k < item->boxes.n; k++) {
            const struct box *a = &before->boxes.at[i], *b = &item->boxes.at[k];
            if (a->y2 <= b->y1 || b->y2 <= a->y1) continue;
            if (a->trunk >= 0 && a->trunk == b->trunk) continue;
            x = fmax(x, before->x + a->x2 + APART - b->x1);
        }
    return x;
}

/* A call-out stays at its wire: not left of its first end. The reference hangs on the last one. */
static double hang(const struct space *s, const struct item *call, int placed)
{
    bool reference = call->other == s->reference;
    double x = reference ? -HUGE_VAL : HUGE_VAL;
    for (int i = 0; i < placed; i++) {
        const struct item *item = &s->items.at[s->order.at[i]];
        for (int k = 0; k < item->terms.n; k++) {
            double at = item->x + item->terms.at[k].dx;
            if (item->terms.at[k].trunk != call->terms.at[0].trunk) continue;
            x = reference ? fmax(x, at) : fmin(x, at);
        }
    }
    return isinf(x) ? -HUGE_VAL : x;
}

/* Ends on one wire, from above and from below, at nearly the same place. */
static bool crowds(const struct space *s, const struct item *item, int placed)
{
    for (int i = 0; i < placed && item->form != ITEM_CALL; i++) {
        const struct item *other = &s->items.at[s->order.at[i]];
        for (int k = 0; k < item->terms.n; k++)
            for (int j = 0; j < other->terms.n && other->form != ITEM_CALL; j++) {
                const struct term *a = &item->terms.at[k], *b = &other->terms.at[j];
                double apart = item->x + a->dx - other->x - b->dx;
                if (a->trunk == b->trunk && fabs(apart) < DOTS) return true;
            }
    }
    return false;
}

static void fill_items(struct space *s)
{
    for (int i = 0; i < s->items.n; i++) {
        int low = 0, high = 0;
        if (s->items.at[i].form == ITEM_DOWN) interval(s, &s->items.at[i], &low, &high);
        schematic_piece_fill(s, &s->items.at[i], s->y[low], s->y[high]);
    }
}

static double right_of(const struct item *item)
{
    double x = -HUGE_VAL;
    for (int k = 0; k < item->boxes.n; k++) x = fmax(x, item->x + item->boxes.at[k].x2);
    return x;
}

/* Item number i of the order, no further to the left than `least`. */
static void place_item(struct space *s, int i, double least)
{
    struct item *item = &s->items.at[s->order.at[i]];
    item->x = least;
    for (int k = 0; k < item->boxes.n; k++) item->x = fmax(item->x, least - item->boxes.at[k].x1);
    if (item->form == ITEM_CALL) item->x = fmax(item->x, hang(s, item, i));
    for (int k = 0; k < i; k++) item->x = fmax(item->x, must(&s->items.at[s->order.at[k]], item));
    item->x = ceil(2 * item->x) / 2;
    while (crowds(s, item, i)) item->x += DOTS;
}

/* All items from left to right; a strip ends before the item that would pass `width` (0: none). */
static double place_items(struct space *s, double width)
{
    double least = MARGIN, right = MARGIN;
    for (int i = 0; i < s->order.n; i++) {
        const struct item *item = &s->items.at[s->order.at[i]];
        place_item(s, i, least);
        double side = SCHEMATIC_SIDE * (least > MARGIN ? 2 : 1);
        if (width > 0 && right > least && right_of(item) - least > width - side) {
            double cut = right + MARGIN;
            array_push(s->arena, &s->out->cuts, cut);
            least = cut + MARGIN;
            place_item(s, i, least);
        }
        right = fmax(right, right_of(item));
    }
    return right + MARGIN;
}

/* ---- what comes out ---- */

static void put_item(struct space *s, const struct item *item)
{
    struct schematic *out = s->out;
    for (int k = 0; k < item->symbols.n; k++) {
        struct schematic_symbol symbol = item->symbols.at[k];
        symbol.x += item->x;
        array_push(s->arena, &out->symbols, symbol);
    }
    for (int k = 0; k < item->wires.n; k++) {
        struct schematic_wire w = item->wires.at[k];
        int net = w.net < 0 ? -1 : s->trunks.at[w.net].net;
        w = (struct schematic_wire){w.x1 + item->x, w.y1, w.x2 + item->x, w.y2, net};
        array_push(s->arena, &out->wires, w);
    }
    for (int k = 0; k < item->labels.n; k++) {
        struct schematic_label label = item->labels.at[k];
        label.x += item->x;
        array_push(s->arena, &out->labels, label);
    }
    for (int k = 0; k < item->boxes.n; k++)
        out->height = fmax(out->height, item->boxes.at[k].y2 + MARGIN);
}

struct touch {
    double x;
    bool above, below, side;
};

static int by_x(const void *a, const void *b)
{
    const struct touch *p = a, *q = b;
    return (p->x > q->x) - (p->x < q->x);
}

/* The level wire, and a dot where three ways meet. */
static void put_trunk(struct space *s, int trunk)
{
    double y = schematic_piece_y(s, trunk);
    ARRAY(struct touch) at = {0};
    for (int i = 0; i < s->items.n; i++) {
        const struct item *item = &s->items.at[i];
        for (int k = 0; k < item->terms.n && item->form != ITEM_CALL; k++) {
            struct touch t = {.x = item->x + item->terms.at[k].dx};
            if (item->terms.at[k].trunk != trunk) continue;
            for (int w = 0; w < item->wires.n; w++) {
                const struct schematic_wire *o = &item->wires.at[w];
                bool here =
                    fabs(o->x1 + item->x - t.x) < 1e-6 || fabs(o->x2 + item->x - t.x) < 1e-6;
                if (!here || (fabs(o->y1 - y) > 1e-6 && fabs(o->y2 - y) > 1e-6)) continue;
                t.side |= o->y1 == o->y2;
                t.above |= fmin(o->y1, o->y2) < y - 1e-6;
                t.below |= fmax(o->y1, o->y2) > y + 1e-6;
            }
            array_push(s->arena, &at, t);
        }
        if (item->form == ITEM_CALL && item->terms.at[0].trunk == trunk)
            array_push(s->arena, &at,
                       (struct touch){.x = item->x, .below = item->other == s->reference});
    }
    if (at.n == 0) return;
    qsort(at.at, (size_t)at.n, sizeof *at.at, by_x);
    double left = at.at[0].x, right = at.at[at.n - 1].x;
    if (right > left)
        array_push(s->arena, &s->out->wires,
                   (struct schematic_wire){left, y, right, y, s->trunks.at[trunk].net});
    for (int i = 0; i < at.n; i++) {
        struct touch t = at.at[i];
        for (; i + 1 < at.n && at.at[i + 1].x - t.x < 1e-6; i++) {
            t.above |= at.at[i + 1].above;
            t.below |= at.at[i + 1].below;
            t.side |= at.at[i + 1].side;
        }
        int ways = t.above + t.below + (t.x > left + 1e-6) + (t.x < right - 1e-6);
        if (t.side && (t.x < left + 1e-6 || t.x > right - 1e-6)) ways++;
        if (ways >= 3) array_push(s->arena, &s->out->dots, (struct schematic_dot){t.x, y});
    }
}

static int by_place(const void *a, const void *b)
{
    const struct schematic_call *p = a, *q = b;
    if (p->x != q->x) return p->x < q->x ? -1 : 1;
    return (p->tip > q->tip) - (p->tip < q->tip);
}

static void put_calls(struct space *s)
{
    struct schematic *out = s->out;
    for (int i = 0; i < s->nets.n; i++)
        array_push(s->arena, &out->nets, (struct schematic_net){.name = s->nets.at[i].name});
    for (int i = 0; i < s->items.n; i++) {
        const struct item *item = &s->items.at[i];
        if (item->form != ITEM_CALL || item->other == s->reference) continue;
        double tip = schematic_piece_y(s, item->terms.at[0].trunk);
        array_push(
            s->arena, &out->calls,
            (struct schematic_call){
                .net = item->other, .x = item->x, .y = tip - SCHEMATIC_CALL - 2, .tip = tip});
    }
    if (out->calls.n > 0)
        qsort(out->calls.at, (size_t)out->calls.n, sizeof *out->calls.at, by_place);
    for (int i = 0; i < out->calls.n; i++) {
        out->calls.at[i].number = i + 1;
        out->nets.at[out->calls.at[i].net].number = i + 1;
    }
}

void schematic_space(struct space *s, double width)
{
    place_rows(s);
    fill_items(s);
    s->out->width = place_items(s, 0);
    if (width > 0 && s->out->width > width) s->out->width = place_items(s, width);
    for (int i = 0; i < s->items.n; i++) put_item(s, &s->items.at[i]);
    for (int i = 0; i < s->trunks.n; i++) put_trunk(s, i);
    put_calls(s);
    s->out->crossings = schematic_order_crossings(s);
}
