/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A transformer: the primary on the left, the core, the other windings one below the other. The
 * ends of a winding go straight up and down to their rows where nothing lies between; others go
 * round on the right. A winding that only feeds heaters ends in two short leads with its letter. */
#include <math.h>

#include "schematic_impl.h"

#define AXIS 6.0  /* from the core to the middle of a winding */
#define HALF 2.4  /* half width of a winding */
#define LEAD 3.5  /* at both ends */
#define SHORT 8.0 /* length of a winding on letters */
#define LONG 13.0 /* of one with two ends */
#define TAPPED 24.0
#define BETWEEN 4.0
#define CHANNEL 3.0 /* between uprights on the right */

static double body(const struct winding_of *w)
{
    return w->nets == 0 ? SHORT : w->nets == 3 ? TAPPED : LONG;
}

/* Numbers of the windings from top to bottom: named ones by the row of their upper end, the others
 * below the first. */
static int sort(const struct space *s, const struct item *item, const struct transformer_of *t,
                int *order, int *low, int *high)
{
    int n = 0, term = 2;
    for (int k = 0; k < t->windings.n; k++) {
        const struct winding_of *w = &t->windings.at[k];
        low[k] = s->rows.n, high[k] = -1;
        for (int j = 0; j < w->nets; j++, term++) {
            int level = schematic_order_level(s, item->terms.at[term].trunk);
            if (w->nets == 3 && j == 1) continue;
            low[k] = level < low[k] ? level : low[k];
            high[k] = level > high[k] ? level : high[k];
        }
        if (w->nets == 0) continue;
        int i = n++;
        for (; i > 0 && low[order[i - 1]] > low[k]; i--) order[i] = order[i - 1];
        order[i] = k;
    }
    int first = n > 0 ? 1 : 0;
    for (int k = t->windings.n - 1; k >= 0; k--) {
        if (t->windings.at[k].nets) continue;
        for (int i = n++; i > first; i--) order[i] = order[i - 1];
        order[first] = k;
    }
    return n;
}

void schematic_coil_rows(const struct space *s, const struct item *item, void *context,
                         void (*need)(void *context, int low, int high, double room))
{
    const struct transformer_of *t = &s->transformers.at[item->other];
    int n = t->windings.n, *order = ARENA_ARRAY(s->arena, int, n + 1),
        *low = ARENA_ARRAY(s->arena, int, n + 1), *high = ARENA_ARRAY(s->arena, int, n + 1);
    sort(s, item, t, order, low, high);
    int from = -1, bottom = s->row_at.at[s->bottom];
    double room = 0;
    for (int i = 0; i < n; i++) {
        const struct winding_of *w = &t->windings.at[order[i]];
        double length = body(w) + 2 * LEAD;
        if (w->nets == 0) {
            room += SHORT + 2 * BETWEEN;
            continue;
        }
        if (from >= 0 && low[order[i]] > from) need(context, from, low[order[i]], room + BETWEEN);
        need(context, low[order[i]], high[order[i]], length);
        from = high[order[i]];
        room = 0;
    }
    if (from >= 0 && from < bottom && room > 0) need(context, from, bottom, room + BETWEEN);
    int a = schematic_order_level(s, item->terms.at[0].trunk),
        b = schematic_order_level(s, item->terms.at[1].trunk);
    need(context, a < b ? a : b, a < b ? b : a, LONG + 2 * LEAD);
}

/* ---- drawing ---- */

struct stack {
    struct space *s;
    struct item *item;
    const struct part *part;
    double cursor; /* the y down to which the axis is taken */
    double right;  /* x up to which letters reach */
    int channels;
    struct term *round[DEVICE_PORTS * 2]; /* ends that go round, and from where */
    double from[DEVICE_PORTS * 2];
};

static void go_round(struct stack *k, struct term *term, double y)
{
    if (k->channels == DEVICE_PORTS * 2) return;
    k->round[k->channels] = term;
    k->from[k->channels++] = y;
}

/* An end above (or below) the body: straight to its row, or round. */
static void draw_end(struct stack *k, struct term *term, double body_end, bool upper, double limit)
{
    double row = schematic_piece_y(k->s, term->trunk);
    bool straight =
        upper ? row <= body_end && row >= limit - 1e-9 : row >= body_end && row <= limit;
    term->dx = AXIS;
    if (straight) {
        schematic_piece_wire(k->s, k->item, AXIS, row, AXIS, body_end, term->trunk);
        return;
    }
    double y = upper ? body_end - 1.5 : body_end + 1.5;
    schematic_piece_wire(k->s, k->item, AXIS, body_end, AXIS, y, -1);
    go_round(k, term, y);
}

static void draw_letters(struct stack *k, const struct winding_of *w, double top, double bottom)
{
    for (int i = 0; i < 2; i++) {
        double y = i ? bottom : top;
        schematic_piece_wire(k->s, k->item, AXIS, y, AXIS + 5, y, -1);
        if (!w->letter) continue;
        struct schematic_label label = {.text = arena_printf(k->s->arena, "%c", w->letter),
                                        .part = k->part,
                                        .style = LABEL_VALUE,
                                        .x = AXIS + 6.6,
                                        .y = y + 1,
                                        .width = 2.6,
                                        .centred = true};
        schematic_piece_label(k->s, k->item, label);
    }
}

/* Returns the y of its end. */
static double draw_winding(struct stack *k, const struct winding_of *w, int term, double next)
{
    struct space *s = k->s;
    struct lines l = schematic_graph_winding_lines(s, w);
    double length = body(w), top = k->cursor;
    struct term *terms = &k->item->terms.at[term], *up = terms, *down = terms + w->nets - 1;
    if (w->nets) {
        if (schematic_piece_y(s, up->trunk) > schematic_piece_y(s, down->trunk))
            up = down, down = terms;
        top = fmax(k->cursor, schematic_piece_y(s, up->trunk)) + LEAD;
        double foot = schematic_piece_y(s, down->trunk) - LEAD;
        if (foot > top + length && foot <= next) top = (top + foot - length) / 2;
        if (w->nets == 2 && foot > next && next - LEAD - length > top) top = top + BETWEEN;
    } else {
        top += BETWEEN;
    }
    struct schematic_symbol symbol = {.shape = SHAPE_WINDING,
                                      .part = k->part,
                                      .x = AXIS,
                                      .y = top + length / 2,
                                      .length = length,
                                      .turn = 0,
                                      .tap = w->nets == 3};
    schematic_piece_symbol(s, k->item, symbol, HALF);
    double text = AXIS + HALF + 2, bottom = top + length;
    if (w->nets == 0) draw_letters(k, w, top, bottom), text = AXIS + 9.5;
    if (w->nets) {
        draw_end(k, up, top, true, k->cursor);
        draw_end(k, down, bottom, false, next);
    }
    if (w->nets == 3) {
        schematic_piece_wire(s, k->item, AXIS, top + length / 2, AXIS + 2, top + length / 2, -1);
        go_round(k, terms + 1, top + length / 2);
        if (w->letter) {
            l.text[1] = arena_printf(s->arena, "%s, to %c", l.text[1], w->letter);
        }
    }
    double half = w->nets == 3 ? top + length / 4 : top + length / 2;
    if (w->nets == 2 && w->letter)
        l.text[1] = arena_printf(s->arena, "%s, to %c", l.text[1], w->letter);
    schematic_piece_lines(s, k->item, &l, k->part, text, half + SCHEMATIC_LINE + 0.3, false);
    k->right = fmax(k->right, text + l.width + 2);
    bool straight = w->nets && schematic_piece_y(s, down->trunk) >= bottom &&
                    schematic_piece_y(s, down->trunk) <= next;
    return straight ? schematic_piece_y(s, down->trunk) : bottom + (w->nets ? 1.5 : 0);
}

/* Ends that go round, uprights side by side: of those that go down the upper one furthest out. */
static void draw_rounds(struct stack *k)
{
    for (int i = 0; i < k->channels; i++) {
        int n = 0;
        bool down = schematic_piece_y(k->s, k->round[i]->trunk) > k->from[i];
        for (int j = 0; j < k->channels; j++) {
            bool other = schematic_piece_y(k->s, k->round[j]->trunk) > k->from[j];
            n += j != i &&
                 (down ? other && k->from[j] > k->from[i] : other || k->from[j] < k->from[i]);
        }
        double x = k->right + CHANNEL * n, y = k->from[i];
        double row = schematic_piece_y(k->s, k->round[i]->trunk);
        k->round[i]->dx = x;
        schematic_piece_wire(k->s, k->item, AXIS, y, x, y, -1);
        schematic_piece_wire(k->s, k->item, x, row, x, y, k->round[i]->trunk);
    }
}

/* Returns the y of its middle. */
static double draw_primary(struct space *s, struct item *item, const struct part *part, double top,
                           double foot)
{
    struct term *up = &item->terms.at[0], *down = &item->terms.at[1];
    double a = schematic_piece_y(s, up->trunk), b = schematic_piece_y(s, down->trunk);
    if (a > b) {
        struct term *swap = up;
        up = down, down = swap;
        a = schematic_piece_y(s, up->trunk), b = schematic_piece_y(s, down->trunk);
    }
    double y = fmin(fmax((top + foot) / 2, a + LEAD + LONG / 2), b - LEAD - LONG / 2);
    struct schematic_symbol coil = {
        .shape = SHAPE_WINDING, .part = part, .x = -AXIS, .y = y, .length = LONG, .turn = 2};
    up->dx = down->dx = -AXIS;
    schematic_piece_symbol(s, item, coil, HALF);
    schematic_piece_wire(s, item, -AXIS, a, -AXIS, y - LONG / 2, up->trunk);
    schematic_piece_wire(s, item, -AXIS, b, -AXIS, y + LONG / 2, down->trunk);
    struct lines l = schematic_graph_lines(s, part, part->name);
    schematic_piece_lines(s, item, &l, part, -AXIS - HALF - 2 - l.width,
                          y + l.n * SCHEMATIC_LINE / 2 + 0.6, false);
    return y;
}

/* A winding with a sliding tap; the set's return is that of the wall. */
static void draw_slider(struct space *s, struct item *item, const struct part *part, double top,
                        double foot)
{
    const double lead = 5;
    double y = draw_primary(s, item, part, top, foot), x = HALF - AXIS;
    struct schematic_symbol slider = {
        .shape = SHAPE_SLIDER, .part = part, .x = x, .y = y, .length = lead, .turn = 1};
    struct term *out = &item->terms.at[2];
    schematic_piece_symbol(s, item, slider, 1.5);
    out->dx = x + lead;
    schematic_piece_wire(s, item, x + lead, schematic_piece_y(s, out->trunk), x + lead, y,
                         out->trunk);
    item->terms.at[3].dx = -AXIS;
}

void schematic_coil_fill(struct space *s, struct item *item)
{
    const struct transformer_of *t = &s->transformers.at[item->other];
    int n = t->windings.n, *order = ARENA_ARRAY(s->arena, int, n + 1),
        *low = ARENA_ARRAY(s->arena, int, n + 1), *high = ARENA_ARRAY(s->arena, int, n + 1),
        *term = ARENA_ARRAY(s->arena, int, n + 1);
    term[0] = 2;
    for (int k = 0; k < n; k++) term[k + 1] = term[k] + t->windings.at[k].nets;
    sort(s, item, t, order, low, high);
    double a = schematic_piece_y(s, item->terms.at[0].trunk),
           b = schematic_piece_y(s, item->terms.at[1].trunk);
    if (t->slides) {
        draw_slider(s, item, t->part, fmin(a, b), fmax(a, b));
        return;
    }
    struct stack stack = {.s = s, .item = item, .part = t->part, .right = AXIS + 6};
    double top = n > 0 && t->windings.at[order[0]].nets ? s->y[low[order[0]]] : fmin(a, b);
    stack.cursor = top;
    for (int i = 0; i < n; i++) {
        double next = HUGE_VAL;
        for (int j = i + 1; j < n && isinf(next); j++)
            next = t->windings.at[order[j]].nets ? s->y[low[order[j]]] : stack.cursor + 1e3;
        if (i + 1 < n && t->windings.at[order[i + 1]].nets == 0)
            next = t->windings.at[order[i]].nets ? s->y[high[order[i]]] : next;
        stack.cursor = draw_winding(&stack, &t->windings.at[order[i]], term[order[i]], next);
    }
    draw_rounds(&stack);
    double foot = fmax(stack.cursor, fmax(a, b) - LEAD);
    struct schematic_symbol core = {.shape = SHAPE_CORE,
                                    .part = t->part,
                                    .y = (top + foot) / 2,
                                    .length = fmax(foot - top, LONG),
                                    .turn = 0};
    schematic_piece_symbol(s, item, core, 1);
    draw_primary(s, item, t->part, top, foot);
}
