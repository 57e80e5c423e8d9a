/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The main lines of the drawing, in the order in which a current from the mains passes the parts:
 * from point to point, first what lies between a point and the bottom, then its side branches on a
 * row below, at last its heaviest neighbour on the same row. Resistors and coils between the return
 * of the rectifier and the reference lie in the bottom row. Long strings of heaters go below. */
#include <math.h>

#include "schematic_walk.h"

static void walk_on(struct walk *w, int net);

/* ---- what is told of nets ---- */

/* ---- from a point to what is placed already ---- */

static int rank(const struct way *way)
{
    static const int ranks[SHAPES] = {
        [SHAPE_BATTERY] = -1, [SHAPE_RESISTOR] = 1, [SHAPE_HEATER] = 2, [SHAPE_LOAD] = 3};
    return ranks[way->shape];
}

static void draw_down(struct walk *w, int net, int id)
{
    struct space *s = w->s;
    int other = schematic_graph_other(&s->ways.at[id], net), link = schematic_bottom_link(w, other);
    if (link >= 0 && link < w->at) return;
    if (link >= 0) {
        schematic_bottom_advance(w, link);
        schematic_bottom_trunk(w, link);
    }
    int a = schematic_walk_trunk(w, net), b = schematic_walk_trunk(w, other);
    double at = s->order.n;
    if (b < 0 || schematic_order_level(s, a) == schematic_order_level(s, b)) return;
    if (!schematic_order_free(s, a, at) || !schematic_order_free(s, b, at)) return;
    if (link < 0 && schematic_order_crossed(s, s->trunks.at[a].row, s->trunks.at[b].row, at) > 0)
        return;
    schematic_order_down(s, id, a, b, -1);
}

static void draw_shunts(struct walk *w, int net)
{
    const struct net *n = &w->s->nets.at[net];
    for (int r = -1; r <= 3; r++)
        for (int i = 0; i < n->ways.n; i++) {
            const struct way *way = &w->s->ways.at[n->ways.at[i]];
            int other = schematic_graph_other(way, net);
            bool ready = schematic_walk_placed(w, other) || schematic_bottom_link(w, other) >= 0;
            if (!way->done && ready && rank(way) == r) draw_down(w, net, n->ways.at[i]);
        }
}

/* ---- neighbours ---- */

static double weigh(struct walk *w, int net, int mark)
{
    static const double weights[SHAPES] = {
        [SHAPE_LOAD] = 10, [SHAPE_DIODE] = 20, [SHAPE_TUBE] = 20};
    struct net *n = &w->s->nets.at[net];
    if (n->mark == mark || n->trunk >= 0 || schematic_bottom_link(w, net) >= 0) return 0;
    n->mark = mark;
    double sum = 25 * n->duos.n + 15 * n->transformers.n;
    for (int i = 0; i < n->ways.n; i++) {
        const struct way *way = &w->s->ways.at[n->ways.at[i]];
        sum += 1 + weights[way->shape] + weigh(w, schematic_graph_other(way, net), mark);
    }
    for (int i = 0; i < n->duos.n; i++) sum += weigh(w, w->s->duos.at[n->duos.at[i]].cathode, mark);
    return sum;
}

/* ---- rectifiers with two plates ---- */

static void draw_duo(struct walk *w, int net, struct duo *d)
{
    struct space *s = w->s;
    int second = d->plate[0] == net ? d->plate[1] : d->plate[0], row = schematic_walk_row(w, net);
    if (!schematic_walk_placed(w, second))
        schematic_order_trunk(s, second, schematic_order_row(s, row, true));
    struct item item = {.form = ITEM_DUO, .row = row, .other = (int)(d - s->duos.at)};
    schematic_order_trunk(s, d->cathode, row);
    schematic_order_term(s, &item, schematic_walk_trunk(w, net), -1);
    schematic_order_term(s, &item, schematic_walk_trunk(w, second), -1);
    schematic_order_term(s, &item, schematic_walk_trunk(w, d->cathode), 1);
    d->done = true;
    schematic_order_item(s, item, -1);
    walk_on(w, d->cathode);
}

/* ---- transformers ---- */

/* The ends of a winding get rows of their own below `row`, but for the top of the main one. */
static int place_ends(struct walk *w, const struct winding_of *o, int row, bool top)
{
    struct space *s = w->s;
    for (int k = 0; k < o->nets; k++)
        top &= !schematic_walk_placed(w, o->net[k]) || schematic_walk_row(w, o->net[k]) != s->top;
    for (int k = 0; k < o->nets; k++) {
        int link = schematic_bottom_link(w, o->net[k]);
        if (schematic_walk_placed(w, o->net[k])) continue;
        if (link >= 0) {
            if (link >= w->at) schematic_bottom_advance(w, link);
            schematic_bottom_trunk(w, link);
            continue;
        }
        bool onto = top && schematic_order_row_free(s, s->top, s->order.n - 0.6);
        if (!onto) row = schematic_order_row(s, row, true);
        else row = s->top;
        top = false;
        schematic_order_trunk(s, o->net[k], row);
    }
    return row;
}

static double winding_weight(struct walk *w, const struct winding_of *o, int mark)
{
    double sum = 0;
    for (int k = 0; k < o->nets; k++) sum += weigh(w, o->net[k], mark);
    return sum;
}

/* The chain of the island that the windings belong to: that of the mains, or a new one. */
static void enter_island(struct walk *w, const struct transformer_of *t)
{
    struct space *s = w->s;
    for (int k = 0; k < t->windings.n; k++)
        for (int j = 0; j < t->windings.at[k].nets; j++)
            if (schematic_walk_placed(w, t->windings.at[k].net[j]) ||
                schematic_bottom_link(w, t->windings.at[k].net[j]) >= 0)
                return;
    for (int k = 0; k < t->windings.n; k++) {
        const struct winding_of *o = &t->windings.at[k];
        if (o->nets == 0) continue;
        for (int i = 0; i < s->nets.n; i++) s->nets.at[i].mark = 0;
        schematic_bottom_flood(s, o->net[0], -1);
        bool earthed = s->nets.at[s->reference].mark == -1;
        if (!earthed && k + 1 < t->windings.n) continue;
        schematic_bottom_find(w, earthed ? s->reference : o->net[o->nets == 3 ? 1 : o->nets - 1]);
        return;
    }
}

/* The trunk of a placed net that reaches to the right end; where another wire bars its way a new
 * one below everything, to be joined to it. */
static int approach(struct walk *w, int net)
{
    struct space *s = w->s;
    int trunk = schematic_walk_trunk(w, net);
    if (schematic_order_free(s, trunk, s->order.n - 0.25)) return trunk;
    return schematic_order_trunk(s, net, schematic_order_row(s, s->rows.at[s->rows.n - 1], true));
}

/* True when the net begins with that item. */
static bool begins(const struct walk *w, int net, int item)
{
    const struct trunk *t = &w->s->trunks.at[schematic_walk_trunk(w, net)];
    return t->low > w->s->items.at[item].place && schematic_bottom_link(w, net) < 0;
}

static void draw_transformer(struct walk *w, int id)
{
    struct space *s = w->s;
    struct transformer_of *t = &s->transformers.at[id];
    struct item item = {.form = ITEM_TRANSFORMER, .other = id};
    int main = -1, row = s->top;
    double most = 0;
    bool fresh = false;
    t->done = true;
    for (int k = 0; k < 2; k++) {
        if (!schematic_walk_placed(w, t->net[k]))
            schematic_order_trunk(s, t->net[k], schematic_order_row(s, s->top, true));
        int trunk = approach(w, t->net[k]);
        if (s->trunks.at[trunk].low > s->trunks.at[trunk].high) fresh = true;
        schematic_order_term(s, &item, trunk, -1);
    }
    if (fresh) row = s->trunks.at[item.terms.at[1].trunk].row;
    enter_island(w, t);
    for (int i = 0; i < s->nets.n; i++) s->nets.at[i].mark = 0;
    for (int k = 0; k < t->windings.n; k++) {
        double weight = winding_weight(w, &t->windings.at[k], k + 1);
        if (weight > most) main = k, most = weight;
    }
    for (int k = -1; k < t->windings.n; k++)
        if (k != main && (k >= 0 || main >= 0))
            row = place_ends(w, &t->windings.at[k < 0 ? main : k], row, k < 0 && !fresh);
    for (int k = 0; k < t->windings.n; k++)
        for (int j = 0; j < t->windings.at[k].nets; j++)
            schematic_order_term(s, &item, approach(w, t->windings.at[k].net[j]), 1);
    int drawn = schematic_order_item(s, item, -1);
    for (int k = 0; k < item.terms.n; k++) schematic_insert_join(s, item.terms.at[k].trunk);
    for (int k = t->windings.n - 1; k >= -1; k--)
        if (k != main && (k >= 0 || main >= 0)) {
            const struct winding_of *o = &t->windings.at[k < 0 ? main : k];
            int j = 0;
            while (j < o->nets && !begins(w, o->net[j], drawn)) j++;
            if (j < o->nets) walk_on(w, o->net[j]);
        }
}

/* ---- from point to point ---- */

struct neighbours {
    int net[WAYS_PARALLEL * 4];
    int n, main;
};

static void add_neighbour(struct walk *w, struct neighbours *list, int net, double *most)
{
    for (int i = 0; i < list->n; i++)
        if (list->net[i] == net) return;
    if (list->n == WAYS_PARALLEL * 4) return;
    for (int i = 0; i < w->s->nets.n; i++) w->s->nets.at[i].mark = 0;
    double weight = weigh(w, net, -2);
    if (weight > *most) *most = weight, list->main = net;
    list->net[list->n++] = net;
}

static struct neighbours neighbours_of(struct walk *w, int net)
{
    struct space *s = w->s;
    struct neighbours list = {.main = -1};
    struct string string;
    double most = 0;
    for (int i = 0; i < s->nets.at[net].ways.n; i++) {
        const struct way *way = &s->ways.at[s->nets.at[net].ways.at[i]];
        int other = schematic_graph_other(way, net);
        if (way->done || schematic_walk_placed(w, other) || schematic_bottom_link(w, other) >= 0)
            continue;
        if (s->nets.at[other].weight < 0) continue;
        if (schematic_string_find(w, net, other, &string)) schematic_string_keep(w, &string);
        else add_neighbour(w, &list, other, &most);
    }
    return list;
}

/* A free row between that of a net and the bottom, or a new one. */
static int branch_row(struct walk *w, int net)
{
    struct space *s = w->s;
    int level = s->row_at.at[schematic_walk_row(w, net)];
    for (int i = level + 1; i < s->row_at.at[w->row]; i++)
        if (schematic_order_row_free(s, s->rows.at[i], s->order.n - 0.6)) return s->rows.at[i];
    return schematic_order_row(s, schematic_walk_row(w, net), true);
}

static void draw_branch(struct walk *w, int net, int other)
{
    struct space *s = w->s;
    int ways[WAYS_PARALLEL], n = schematic_bottom_parallel(s, net, other, ways);
    schematic_order_trunk(s, other, branch_row(w, net));
    for (int i = 0; i < n; i++)
        schematic_order_down(s, ways[i], schematic_walk_trunk(w, net),
                             schematic_walk_trunk(w, other), -1);
    walk_on(w, other);
}

static void draw_main(struct walk *w, int net, int other)
{
    struct space *s = w->s;
    int ways[WAYS_PARALLEL], n = schematic_bottom_parallel(s, net, other, ways),
                             row = schematic_walk_row(w, net);
    schematic_order_trunk(s, other, row);
    schematic_order_across(s, ways, n, schematic_walk_trunk(w, net), schematic_walk_trunk(w, other),
                           row, -1);
    walk_on(w, other);
}

static void walk_on(struct walk *w, int net)
{
    struct space *s = w->s;
    draw_shunts(w, net);
    struct neighbours list = neighbours_of(w, net);
    bool duo = false;
    for (int i = 0; i < s->nets.at[net].duos.n; i++) {
        const struct duo *d = &s->duos.at[s->nets.at[net].duos.at[i]];
        duo |= !d->done && !schematic_walk_placed(w, d->cathode);
    }
    for (int i = 0; i < list.n; i++)
        if ((duo || list.net[i] != list.main) && !schematic_walk_placed(w, list.net[i]))
            draw_branch(w, net, list.net[i]);
    bool open = schematic_order_free(s, schematic_walk_trunk(w, net), s->order.n);
    for (int i = 0; i < s->nets.at[net].duos.n && open; i++) {
        struct duo *d = &s->duos.at[s->nets.at[net].duos.at[i]];
        if (d->done || schematic_walk_placed(w, d->cathode)) continue;
        draw_duo(w, net, d);
        open = false;
    }
    if (list.main >= 0 && !schematic_walk_placed(w, list.main) && open)
        draw_main(w, net, list.main);
    for (int i = 0; i < s->nets.at[net].transformers.n; i++)
        if (!s->transformers.at[s->nets.at[net].transformers.at[i]].done)
            draw_transformer(w, s->nets.at[net].transformers.at[i]);
}

/* ---- the whole ---- */

static void start_at(struct walk *w, int way)
{
    struct space *s = w->s;
    int hot = s->ways.at[way].net[0], cold = s->ways.at[way].net[1];
    for (int i = 0; i < s->nets.n; i++) s->nets.at[i].mark = 0;
    schematic_bottom_flood(s, cold, -1);
    schematic_bottom_find(w, s->nets.at[s->reference].mark == -1 ? s->reference : cold);
    schematic_order_trunk(s, hot, s->top);
    int link = schematic_bottom_link(w, cold);
    if (link < 0 && cold != hot)
        schematic_order_trunk(s, cold, schematic_order_row(s, s->top, true));
    if (link >= 0) {
        schematic_bottom_advance(w, link);
        schematic_bottom_trunk(w, link);
    }
    schematic_order_down(s, way, schematic_walk_trunk(w, hot), schematic_walk_trunk(w, cold), -1);
    walk_on(w, hot);
    for (int i = 0; i < s->transformers.n; i++)
        for (int k = 0; k < 2; k++)
            if (!s->transformers.at[i].done &&
                schematic_walk_placed(w, s->transformers.at[i].net[k]))
                draw_transformer(w, i);
}

void schematic_skeleton(struct space *s)
{
    struct walk w = {.s = s};
    int start = s->source;
    s->top = schematic_order_row(s, -1, false);
    s->bottom = schematic_order_row(s, s->top, true);
    w.row = s->bottom;
    for (int i = 0; i < s->ways.n && start < 0; i++)
        if (s->ways.at[i].shape == SHAPE_BATTERY) start = i;
    if (start < 0) start = 0;
    start_at(&w, start);
    for (int i = 0; i < w.strings.n; i++) schematic_string_draw(&w, &w.strings.at[i]);
}
