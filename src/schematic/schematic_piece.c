/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each item shows, about its own x. Proportions are our own; shapes are those of IEC 60617. */
#include <math.h>
#include <string.h>

#include "schematic_impl.h"

enum { LETTERS = 3 };

static const struct size {
    double length, width; /* halves */
} sizes[SHAPES] = {
    [SHAPE_RESISTOR] = {6, 2},   [SHAPE_CAPACITOR] = {3, 4.5}, [SHAPE_ELECTROLYTIC] = {3, 4.5},
    [SHAPE_COIL] = {7, 2.4},     [SHAPE_FUSE] = {5, 1.8},      [SHAPE_LAMP] = {4, 4},
    [SHAPE_SWITCH] = {5, 3.2},   [SHAPE_BATTERY] = {3.2, 5},   [SHAPE_LIMITER] = {6, 4},
    [SHAPE_HEATER] = {4.5, 4.5}, [SHAPE_LOAD] = {7.5, 5},      [SHAPE_DIODE] = {3.4, 3},
    [SHAPE_TUBE] = {7.5, 6.5},   [SHAPE_SINE] = {5, 5},        [SHAPE_SQUARE] = {5, 5},
};

#define GAP 1.6         /* between a symbol and letters */
#define PLATES 9.0      /* from plate to plate */
#define TUBE_SIDE 8.0   /* half width of a tube with two plates */
#define TUBE_TOP 5.5    /* over its upper plate */
#define HEATER_LEAD 4.0 /* of heater leads out of a tube */
#define LETTER 2.6      /* width of a lead's letter */

/* ---- adding ---- */

static void add_box(struct space *s, struct item *item, double x1, double y1, double x2, double y2,
                    int trunk)
{
    array_push(s->arena, &item->boxes, (struct box){x1, y1, x2, y2, trunk});
}

void schematic_piece_symbol(struct space *s, struct item *item, struct schematic_symbol symbol,
                            double half_width)
{
    double along = symbol.length / 2, w = half_width;
    array_push(s->arena, &item->symbols, symbol);
    if (symbol.turn % 2)
        add_box(s, item, symbol.x - along, symbol.y - w, symbol.x + along, symbol.y + w, -1);
    else add_box(s, item, symbol.x - w, symbol.y - along, symbol.x + w, symbol.y + along, -1);
}

void schematic_piece_label(struct space *s, struct item *item, struct schematic_label label)
{
    double left = label.centred ? label.x - label.width / 2 : label.x;
    array_push(s->arena, &item->labels, label);
    add_box(s, item, left, label.y - SCHEMATIC_CAPITAL - 0.3, left + label.width, label.y + 1, -1);
}

void schematic_piece_lines(struct space *s, struct item *item, const struct lines *lines,
                           const struct part *part, double x, double bottom, bool centred)
{
    for (int i = 0; i < lines->n; i++) {
        struct schematic_label label = {.text = lines->text[i],
                                        .part = part,
                                        .style = lines->style[i],
                                        .x = x,
                                        .y = bottom - 1 - SCHEMATIC_LINE * (lines->n - 1 - i),
                                        .centred = centred};
        label.width = schematic_text_width(label.text) * (label.style == LABEL_NAME ? 1.08 : 1);
        schematic_piece_label(s, item, label);
    }
}

/* A wire; `trunk`: the one that its first end lies on (-1: none), where no other may lie. */
void schematic_piece_wire(struct space *s, struct item *item, double x1, double y1, double x2,
                          double y2, int trunk)
{
    const double half = 0.3, end = 0.5;
    if (x1 == x2 && y1 == y2) return;
    array_push(s->arena, &item->wires, (struct schematic_wire){x1, y1, x2, y2, trunk});
    double low = fmin(y1, y2), high = fmax(y1, y2);
    if (x1 == x2 && trunk >= 0 && high - low > 2 * end) {
        low += y1 < y2 ? end : 0;
        high -= y1 > y2 ? end : 0;
    }
    add_box(s, item, fmin(x1, x2) - half, low - (y1 == y2 ? half : 0), fmax(x1, x2) + half,
            high + (y1 == y2 ? half : 0), -1);
}

/* From a terminal's row to where its lead ends. */
static void add_lead(struct space *s, struct item *item, int k, double y)
{
    struct term *t = &item->terms.at[k];
    double row = schematic_piece_y(s, t->trunk);
    schematic_piece_wire(s, item, t->dx, row, t->dx, y, t->trunk);
}

static void add_terms(struct space *s, struct item *item)
{
    const double half = 0.5;
    for (int k = 0; k < item->terms.n; k++) {
        const struct term *t = &item->terms.at[k];
        double y = schematic_piece_y(s, t->trunk);
        add_box(s, item, t->dx - half, y - half, t->dx + half, y + half, t->trunk);
    }
}

/* ---- what a part adds to its symbol ---- */

static struct lines lines_of(const struct space *s, const struct way *w)
{
    return w->part ? schematic_graph_lines(s, w->part, w->title) : schematic_graph_mains_lines(s);
}

static int letters_of(const struct space *s, const struct part *part, char *letters)
{
    return part ? schematic_graph_letters(s, part, letters, LETTERS) : 0;
}

/* Short leads with the letter of the winding that they come from. */
static void add_letter(struct space *s, struct item *item, const struct part *part, char letter,
                       double x, double y)
{
    struct schematic_label label = {.text = arena_printf(s->arena, "%c", letter),
                                    .part = part,
                                    .style = LABEL_VALUE,
                                    .x = x,
                                    .y = y,
                                    .width = LETTER,
                                    .centred = true};
    schematic_piece_label(s, item, label);
}

static void add_sign(struct space *s, struct item *item, const struct part *part, const char *sign,
                     double x, double y)
{
    struct schematic_label label = {.text = sign,
                                    .part = part,
                                    .style = LABEL_SIGN,
                                    .x = x,
                                    .y = y + 1.3,
                                    .width = 2.4,
                                    .centred = true};
    array_push(s->arena, &item->labels, label);
    add_box(s, item, x - 1.2, y - 1.3, x + 1.2, y + 1.3, -1);
}

static bool signed_shape(enum schematic_shape shape)
{
    return shape == SHAPE_ELECTROLYTIC || shape == SHAPE_BATTERY;
}

static struct schematic_symbol symbol_of(const struct way *w, double x, double y, int turn)
{
    struct schematic_symbol symbol = {.shape = w->shape,
                                      .part = w->part,
                                      .x = x,
                                      .y = y,
                                      .length = 2 * sizes[w->shape].length,
                                      .turn = turn};
    if (!w->part) return symbol;
    symbol.cathode = part_is(w->part, ROLE_FILAMENT)  ? CATHODE_FILAMENT
                     : part_is(w->part, ROLE_CATHODE) ? CATHODE_HEATED
                                                      : CATHODE_COLD;
    symbol.gas = part_is(w->part, ROLE_GAS_FILLED);
    return symbol;
}

/* ---- forms ---- */

struct extent schematic_piece_extent(const struct space *s, const struct item *item)
{
    struct extent e = {.above = 0};
    char letters[LETTERS];
    if (item->form == ITEM_CALL) {
        bool reference = item->other == s->reference;
        return (struct extent){.above = reference ? 0 : 2 * SCHEMATIC_CALL + 3.4,
                               .below = reference ? 9 : 0};
    }
    if (item->form == ITEM_DUO) {
        const struct part *part = s->duos.at[item->other].part;
        struct lines l = schematic_graph_lines(s, part, part->name);
        bool fed = letters_of(s, part, letters) > 0;
        return (struct extent){.above = TUBE_TOP + GAP + l.n * SCHEMATIC_LINE,
                               .below = PLATES + TUBE_TOP + (fed ? HEATER_LEAD + 6 : 2)};
    }
    for (int i = 0; i < item->n; i++) {
        const struct way *w = &s->ways.at[item->ways[i]];
        struct lines l = lines_of(s, w);
        const struct size *size = &sizes[w->shape];
        if (item->form == ITEM_DOWN) {
            e.across = fmax(2 * size->length, l.n * SCHEMATIC_LINE) + 7;
            return e;
        }
        bool fed = letters_of(s, w->part, letters) > 0;
        if (i == 0) e.below = size->width + (fed ? HEATER_LEAD + 6 : 1.5);
        else e.above += size->width + 1.5;
        e.above += size->width + GAP + l.n * SCHEMATIC_LINE;
    }
    return e;
}

static void pieces_down(struct space *s, struct item *item, double low, double high)
{
    const struct way *w = &s->ways.at[item->ways[0]];
    const struct size *size = &sizes[w->shape];
    struct term *first = &item->terms.at[0], *second = &item->terms.at[1];
    bool turned = s->trunks.at[first->trunk].net != w->net[0];
    bool down = schematic_order_level(s, first->trunk) < schematic_order_level(s, second->trunk);
    double y = (low + high) / 2;
    char letters[LETTERS];
    struct lines l = lines_of(s, w);
    struct schematic_symbol symbol = symbol_of(w, 0, y, down != turned ? 0 : 2);
    add_lead(s, item, 0, down ? y - size->length : y + size->length);
    add_lead(s, item, 1, down ? y + size->length : y - size->length);
    int n = letters_of(s, w->part, letters);
    symbol.heater = n > 0;
    schematic_piece_symbol(s, item, symbol, size->width);
    schematic_piece_lines(s, item, &l, w->part, size->width + GAP,
                          y + l.n * SCHEMATIC_LINE / 2 + 0.6, false);
    double sign = symbol.turn == 0 ? -1 : 1;
    if (signed_shape(w->shape)) {
        add_sign(s, item, w->part, "+", -3, y + sign * (size->length + 0.4));
        add_sign(s, item, w->part, "\xE2\x88\x92", -3, y - sign * (size->length + 0.4));
    }
    bool tube = w->shape == SHAPE_TUBE;
    for (int k = 0; k < n && k < 1; k++)
        for (int i = -1; i <= 1; i += 2) {
            double at = tube ? y - sign * 4.5 + i * 1.2 : y + i * 2.6;
            double from = tube ? 3.0 : size->width, to = size->width + (tube ? HEATER_LEAD : 2.5);
            if (tube) at = y - sign * (i < 0 ? 3.2 : 6.0);
            schematic_piece_wire(s, item, -from, at, -to, at, -1);
            add_letter(s, item, w->part, letters[k], -to - LETTER / 2 - 0.6, at + 1);
        }
}

static void pieces_across(struct space *s, struct item *item)
{
    double y = s->y[s->row_at.at[item->row]], at = y, half = 0;
    bool several = item->n > 1;
    char letters[LETTERS];
    for (int i = 0; i < item->n; i++) {
        const struct way *w = &s->ways.at[item->ways[i]];
        half = fmax(half, fmax(sizes[w->shape].length, lines_of(s, w).width / 2));
    }
    half += several ? 3 : 1;
    item->terms.at[0].dx = -half;
    item->terms.at[1].dx = half;
    for (int i = 0; i < item->n; i++) {
        const struct way *w = &s->ways.at[item->ways[i]];
        const struct size *size = &sizes[w->shape];
        struct lines l = lines_of(s, w);
        bool turned = s->trunks.at[item->terms.at[0].trunk].net != w->net[0];
        struct schematic_symbol symbol = symbol_of(w, 0, at, turned ? 3 : 1);
        if (i > 0) at -= size->width + 1.5;
        symbol.y = at;
        int n = letters_of(s, w->part, letters);
        symbol.heater = n > 0;
        schematic_piece_symbol(s, item, symbol, size->width);
        schematic_piece_wire(s, item, -half, at, -size->length, at, -1);
        schematic_piece_wire(s, item, size->length, at, half, at, -1);
        if (i > 0) {
            schematic_piece_wire(s, item, -half, y, -half, at, item->terms.at[0].trunk);
            schematic_piece_wire(s, item, half, y, half, at, item->terms.at[1].trunk);
        }
        double plus = turned ? 1 : -1;
        if (signed_shape(w->shape)) {
            add_sign(s, item, w->part, "+", plus * (size->length + 0.4), at + 3);
            add_sign(s, item, w->part, "\xE2\x88\x92", -plus * (size->length + 0.4), at + 3);
        }
        for (int k = 0; k < n && k < 1 && w->shape == SHAPE_TUBE; k++)
            for (int j = 0; j < 2; j++) {
                double x = -plus * (j ? 6.0 : 3.2);
                schematic_piece_wire(s, item, x, at + 3, x, at + size->width + HEATER_LEAD, -1);
                add_letter(s, item, w->part, letters[k], x, at + size->width + HEATER_LEAD + 4);
            }
        schematic_piece_lines(s, item, &l, w->part, 0, at - size->width - GAP + 0.6, true);
        at -= size->width + GAP + l.n * SCHEMATIC_LINE;
    }
    add_lead(s, item, 0, y);
    add_lead(s, item, 1, y);
}

static void pieces_duo(struct space *s, struct item *item)
{
    const struct duo *d = &s->duos.at[item->other];
    double y = s->y[s->row_at.at[item->row]];
    struct lines l = schematic_graph_lines(s, d->part, d->part->name);
    struct way as_way = {.part = d->part, .shape = SHAPE_TWO_PLATES};
    struct schematic_symbol symbol = symbol_of(&as_way, 0, y + PLATES / 2, 1);
    char letters[LETTERS];
    int n = letters_of(s, d->part, letters);
    bool swap = schematic_order_level(s, item->terms.at[0].trunk) >
                schematic_order_level(s, item->terms.at[1].trunk);
    symbol.length = 2 * TUBE_SIDE;
    symbol.heater = n > 0;
    schematic_piece_symbol(s, item, symbol, PLATES / 2 + TUBE_TOP);
    double lead = TUBE_SIDE + 3;
    item->terms.at[0].dx = item->terms.at[1].dx = -lead;
    item->terms.at[2].dx = lead;
    for (int k = 0; k < 2; k++) {
        double at = y + ((k == 0) != swap ? 0 : PLATES);
        schematic_piece_wire(s, item, -lead, at, -TUBE_SIDE, at, -1);
        add_lead(s, item, k, at);
    }
    schematic_piece_wire(s, item, TUBE_SIDE, y, lead, y, -1);
    add_lead(s, item, 2, y);
    double foot = y + PLATES + TUBE_TOP;
    for (int j = 0; j < 2 && n > 0; j++) {
        double x = j ? 5.4 : 2.6;
        schematic_piece_wire(s, item, x, foot, x, foot + HEATER_LEAD, -1);
        add_letter(s, item, d->part, letters[0], x, foot + HEATER_LEAD + 4);
    }
    schematic_piece_lines(s, item, &l, d->part, 0, y - TUBE_TOP - GAP + 0.6, true);
}

static void pieces_call(struct space *s, struct item *item)
{
    double y = schematic_piece_y(s, item->terms.at[0].trunk);
    const struct net *net = &s->nets.at[item->other];
    if (item->other != s->reference) {
        double r = SCHEMATIC_CALL, top = y - 2 * r - 2;
        add_box(s, item, -r, top, r, y - 1, -1);
        return;
    }
    struct schematic_symbol symbol = {.shape = SHAPE_REFERENCE,
                                      .y = y + 4.5,
                                      .length = 3,
                                      .tap = strcmp(net->name, "chassis") == 0};
    schematic_piece_wire(s, item, 0, y, 0, y + 3, item->terms.at[0].trunk);
    schematic_piece_symbol(s, item, symbol, 4);
    struct schematic_label label = {.text = net->name,
                                    .style = LABEL_NAME,
                                    .x = 4 + GAP,
                                    .y = y + 6.5,
                                    .width = 1.08 * schematic_text_width(net->name)};
    schematic_piece_label(s, item, label);
}

void schematic_piece_fill(struct space *s, struct item *item, double low, double high)
{
    switch (item->form) {
    case ITEM_DOWN: pieces_down(s, item, low, high); break;
    case ITEM_ACROSS: pieces_across(s, item); break;
    case ITEM_DUO: pieces_duo(s, item); break;
    case ITEM_TRANSFORMER: schematic_coil_fill(s, item); break;
    case ITEM_RISER: add_lead(s, item, 0, schematic_piece_y(s, item->terms.at[1].trunk)); break;
    case ITEM_CALL: pieces_call(s, item); break;
    }
    add_terms(s, item);
}
