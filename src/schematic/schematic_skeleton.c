/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The main lines of the drawing, in the order in which a current from the mains passes the parts:
 * from point to point, first what lies between a point and the bottom, then its side branches on a
 * row below, at last its heaviest neighbour on the same row. Resistors and coils between the return
 * of the rectifier and the reference lie in the bottom row. Long strings of heaters go below. */
#include <math.h>

#include "schematic_impl.h"

enum { CHAIN = 8, STRING = 24, STRING_LEAST = 3 };

struct string {
    int net[STRING + 1]; /* from its start to its end */
    int n;
};

struct walk {
    struct space *s;
    int chain[CHAIN]; /* nets of the bottom row from left to right */
    int links, at;    /* so many of them; the one that the bottom row has come to */
    int row;          /* of the chain */
    ARRAY(struct string) strings;
};

static void walk_on(struct walk *w, int net);

/* ---- what is told of nets ---- */

static bool placed(const struct walk *w, int net)
{
    return w->s->nets.at[net].trunk >= 0;
}

static int trunk_of(const struct walk *w, int net)
{
    return w->s->nets.at[net].trunk;
}

static int row_of(const struct walk *w, int net)
{
    return w->s->trunks.at[trunk_of(w, net)].row;
}

static int chain_index(const struct walk *w, int net)
{
    for (int i = 0; i < w->links; i++)
        if (w->chain[i] == net) return i;
    return -1;
}

static bool rectifies(const struct way *way)
{
    return way->shape == SHAPE_DIODE || way->shape == SHAPE_TUBE;
}

static bool resistive(const struct way *way)
{
    return way->shape == SHAPE_RESISTOR || way->shape == SHAPE_COIL || way->shape == SHAPE_SWITCH ||
           way->shape == SHAPE_FUSE || way->shape == SHAPE_LIMITER;
}

/* Marks all nets joined to one, transformers not counted. */
static void flood(struct space *s, int net, int mark)
{
    if (s->nets.at[net].mark == mark) return;
    s->nets.at[net].mark = mark;
    for (int i = 0; i < s->ways.n; i++)
        for (int k = 0; k < 2; k++)
            if (s->ways.at[i].net[k] == net) flood(s, s->ways.at[i].net[1 - k], mark);
    for (int i = 0; i < s->duos.n; i++) {
        const struct duo *d = &s->duos.at[i];
        if (d->plate[0] != net && d->plate[1] != net && d->cathode != net) continue;
        for (int k = 0; k < 2; k++) flood(s, d->plate[k], mark);
        flood(s, d->cathode, mark);
    }
    for (int i = 0; i < s->transformers.n; i++)
        for (int k = 0; k < s->transformers.at[i].windings.n; k++) {
            const struct winding_of *o = &s->transformers.at[i].windings.at[k];
            for (int j = 0; j < o->nets; j++)
                if (o->net[j] == net)
                    for (int m = 0; m < o->nets; m++) flood(s, o->net[m], mark);
        }
}

/* ---- the bottom ---- */

/* Where a rectifier's current comes back to: a tap or end of a winding, a plate, the mains. */
static bool is_return(const struct space *s, int net)
{
    if (net == s->cold) return true;
    for (int i = 0; i < s->transformers.n; i++)
        for (int k = 0; k < s->transformers.at[i].windings.n; k++) {
            const struct winding_of *o = &s->transformers.at[i].windings.at[k];
            if (o->letter) continue;
            if (o->nets == 3 && o->net[1] == net) return true;
            if (o->nets == 2 && (o->net[0] == net || o->net[1] == net)) return true;
        }
    for (int i = 0; i < s->ways.n; i++)
        if (rectifies(&s->ways.at[i]) && s->ways.at[i].net[0] == net) return true;
    return false;
}

/* The way through resistors and coils from the nearest return to the ground net. */
static void find_chain(struct walk *w, int ground)
{
    struct space *s = w->s;
    int *from = ARENA_ARRAY(s->arena, int, s->nets.n), *queue = ARENA_ARRAY(s->arena, int, s->nets.n);
    int head = 0, tail = 0, end = ground;
    for (int i = 0; i < s->nets.n; i++) from[i] = -1;
    from[ground] = ground;
    queue[tail++] = ground;
    while (head < tail && !is_return(s, end)) {
        int net = end = queue[head++];
        for (int i = 0; i < s->nets.at[net].ways.n && !is_return(s, net); i++) {
            const struct way *way = &s->ways.at[s->nets.at[net].ways.at[i]];
            int other = schematic_other(way, net);
            if (!resistive(way) || from[other] >= 0 || other == s->hot || placed(w, other))
                continue;
            from[other] = net;
            queue[tail++] = other;
        }
    }
    w->links = w->at = 0;
    if (!is_return(s, end)) end = ground;
    for (int net = end; w->links < CHAIN; net = from[net]) {
        w->chain[w->links++] = net;
        if (net == ground) return;
    }
    w->chain[0] = ground;
    w->links = 1;
}

/* Joined ways of two nets that are not drawn yet. */
static int parallel(const struct space *s, int a, int b, int *ways)
{
    int n = 0;
    for (int i = 0; i < s->nets.at[a].ways.n; i++) {
        int id = s->nets.at[a].ways.at[i];
        const struct way *way = &s->ways.at[id];
        if (!way->done && schematic_other(way, a) == b && n < WAYS_PARALLEL) ways[n++] = id;
    }
    return n;
}

static void ground_trunk(struct walk *w, int link)
{
    struct space *s = w->s;
    if (placed(w, w->chain[link])) return;
    if (link == 0) {
        w->row = s->bottom;
        if (!schematic_row_free(s, s->bottom, s->order.n - 0.6))
            w->row = schematic_row(s, s->bottom, false);
    }
    schematic_trunk(s, w->chain[link], w->row);
}

static void advance(struct walk *w, int link)
{
    int ways[WAYS_PARALLEL];
    while (w->at < link) {
        int a = w->chain[w->at], b = w->chain[w->at + 1];
        ground_trunk(w, w->at);
        ground_trunk(w, w->at + 1);
        int n = parallel(w->s, a, b, ways);
        schematic_across(w->s, ways, n, trunk_of(w, a), trunk_of(w, b), w->row, -1);
        w->at++;
    }
}

/* ---- from a point to what is placed already ---- */

static int rank(const struct way *way)
{
    static const int ranks[SHAPES] = {[SHAPE_BATTERY] = -1, [SHAPE_RESISTOR] = 1,
                                      [SHAPE_HEATER] = 2,   [SHAPE_LOAD] = 3};
    return ranks[way->shape];
}

static void draw_down(struct walk *w, int net, int id)
{
    struct space *s = w->s;
    int other = schematic_other(&s->ways.at[id], net), link = chain_index(w, other);
    if (link >= 0 && link < w->at) return;
    if (link >= 0) {
        advance(w, link);
        ground_trunk(w, link);
    }
    int a = trunk_of(w, net), b = trunk_of(w, other);
    double at = s->order.n;
    if (b < 0 || schematic_level(s, a) == schematic_level(s, b)) return;
    if (!schematic_free(s, a, at) || !schematic_free(s, b, at)) return;
    if (link < 0 && schematic_crossed(s, s->trunks.at[a].row, s->trunks.at[b].row, at) > 0) return;
    schematic_down(s, id, a, b, -1);
}

static void draw_shunts(struct walk *w, int net)
{
    const struct net *n = &w->s->nets.at[net];
    for (int r = -1; r <= 3; r++)
        for (int i = 0; i < n->ways.n; i++) {
            const struct way *way = &w->s->ways.at[n->ways.at[i]];
            int other = schematic_other(way, net);
            bool ready = placed(w, other) || chain_index(w, other) >= 0;
            if (!way->done && ready && rank(way) == r) draw_down(w, net, n->ways.at[i]);
        }
}

/* ---- neighbours ---- */

static double weigh(struct walk *w, int net, int mark)
{
    static const double weights[SHAPES] = {[SHAPE_LOAD] = 10, [SHAPE_DIODE] = 20,
                                           [SHAPE_TUBE] = 20};
    struct net *n = &w->s->nets.at[net];
    if (n->mark == mark || n->trunk >= 0 || chain_index(w, net) >= 0) return 0;
    n->mark = mark;
    double sum = 25 * n->duos.n + 15 * n->transformers.n;
    for (int i = 0; i < n->ways.n; i++) {
        const struct way *way = &w->s->ways.at[n->ways.at[i]];
        sum += 1 + weights[way->shape] + weigh(w, schematic_other(way, net), mark);
    }
    for (int i = 0; i < n->duos.n; i++)
        sum += weigh(w, w->s->duos.at[n->duos.at[i]].cathode, mark);
    return sum;
}

/* Neighbours of an inner net of a string: exactly one before, one behind; -1: it is no such net. */
static int behind(const struct walk *w, int before, int net)
{
    const struct net *n = &w->s->nets.at[net];
    int next = -1;
    if (n->duos.n + n->transformers.n > 0) return -1;
    for (int i = 0; i < n->ways.n; i++) {
        const struct way *way = &w->s->ways.at[n->ways.at[i]];
        int other = schematic_other(way, net);
        if (other == before) continue;
        if (rectifies(way) || (next >= 0 && next != other)) return -1;
        next = other;
    }
    return next;
}

/* A string from `net` over `next` that ends on a net that is placed, or at the bottom. */
static bool find_string(struct walk *w, int net, int next, struct string *string)
{
    *string = (struct string){.net = {net, next}, .n = 2};
    while (string->n <= STRING) {
        int last = string->net[string->n - 1];
        int after = behind(w, string->net[string->n - 2], last);
        if (after < 0) return false;
        string->net[string->n++] = after;
        bool ends = placed(w, after) || chain_index(w, after) >= 0;
        if (ends) return string->n > STRING_LEAST && after != net;
    }
    return false;
}

static void keep_string(struct walk *w, const struct string *string)
{
    array_push(w->s->arena, &w->strings, *string);
    for (int i = 1; i < string->n - 1; i++) w->s->nets.at[string->net[i]].weight = -1;
}

/* ---- rectifiers with two plates ---- */

static void draw_duo(struct walk *w, int net, struct duo *d)
{
    struct space *s = w->s;
    int second = d->plate[0] == net ? d->plate[1] : d->plate[0], row = row_of(w, net);
    if (!placed(w, second)) schematic_trunk(s, second, schematic_row(s, row, true));
    struct item item = {.form = ITEM_DUO, .row = row, .other = (int)(d - s->duos.at)};
    schematic_trunk(s, d->cathode, row);
    schematic_term(s, &item, trunk_of(w, net), -1);
    schematic_term(s, &item, trunk_of(w, second), -1);
    schematic_term(s, &item, trunk_of(w, d->cathode), 1);
    d->done = true;
    schematic_item(s, item, -1);
    walk_on(w, d->cathode);
}

/* ---- transformers ---- */

/* The ends of a winding get rows of their own below `row`, but for the top of the main one. */
static int place_ends(struct walk *w, const struct winding_of *o, int row, bool top)
{
    struct space *s = w->s;
    for (int k = 0; k < o->nets; k++) {
        int link = chain_index(w, o->net[k]);
        if (placed(w, o->net[k])) continue;
        if (link >= 0) {
            if (link >= w->at) advance(w, link);
            ground_trunk(w, link);
            continue;
        }
        bool onto = top && schematic_row_free(s, s->top, s->order.n - 0.6);
        if (!onto) row = schematic_row(s, row, true);
        else row = s->top;
        top = false;
        schematic_trunk(s, o->net[k], row);
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
            if (placed(w, t->windings.at[k].net[j]) ||
                chain_index(w, t->windings.at[k].net[j]) >= 0)
                return;
    for (int k = 0; k < t->windings.n; k++) {
        const struct winding_of *o = &t->windings.at[k];
        if (o->nets == 0) continue;
        for (int i = 0; i < s->nets.n; i++) s->nets.at[i].mark = 0;
        flood(s, o->net[0], -1);
        bool earthed = s->nets.at[s->reference].mark == -1;
        if (!earthed && k + 1 < t->windings.n) continue;
        find_chain(w, earthed ? s->reference : o->net[o->nets == 3 ? 1 : o->nets - 1]);
        return;
    }
}

static void draw_transformer(struct walk *w, int id)
{
    struct space *s = w->s;
    struct transformer_of *t = &s->transformers.at[id];
    struct item item = {.form = ITEM_TRANSFORMER, .other = id};
    int main = -1, row = s->top;
    double most = 0;
    t->done = true;
    for (int k = 0; k < 2; k++) {
        if (!placed(w, t->net[k])) schematic_trunk(s, t->net[k], schematic_row(s, s->top, true));
        schematic_term(s, &item, trunk_of(w, t->net[k]), -1);
    }
    enter_island(w, t);
    for (int i = 0; i < s->nets.n; i++) s->nets.at[i].mark = 0;
    for (int k = 0; k < t->windings.n; k++) {
        double weight = winding_weight(w, &t->windings.at[k], k + 1);
        if (weight > most) main = k, most = weight;
    }
    for (int k = -1; k < t->windings.n; k++)
        if (k != main && (k >= 0 || main >= 0))
            row = place_ends(w, &t->windings.at[k < 0 ? main : k], row, k < 0);
    for (int k = 0; k < t->windings.n; k++)
        for (int j = 0; j < t->windings.at[k].nets; j++)
            schematic_term(s, &item, trunk_of(w, t->windings.at[k].net[j]), 1);
    schematic_item(s, item, -1);
    for (int k = t->windings.n - 1; k >= -1; k--)
        if (k != main && (k >= 0 || main >= 0)) {
            const struct winding_of *o = &t->windings.at[k < 0 ? main : k];
            int j = 0;
            while (j < o->nets && chain_index(w, o->net[j]) >= 0) j++;
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
        int other = schematic_other(way, net);
        if (way->done || placed(w, other) || chain_index(w, other) >= 0) continue;
        if (s->nets.at[other].weight < 0) continue;
        if (find_string(w, net, other, &string)) keep_string(w, &string);
        else add_neighbour(w, &list, other, &most);
    }
    return list;
}

/* A free row between that of a net and the bottom, or a new one. */
static int branch_row(struct walk *w, int net)
{
    struct space *s = w->s;
    int level = s->row_at.at[row_of(w, net)];
    for (int i = level + 1; i < s->row_at.at[w->row]; i++)
        if (schematic_row_free(s, s->rows.at[i], s->order.n - 0.6)) return s->rows.at[i];
    return schematic_row(s, row_of(w, net), true);
}

static void draw_branch(struct walk *w, int net, int other)
{
    struct space *s = w->s;
    int ways[WAYS_PARALLEL], n = parallel(s, net, other, ways);
    schematic_trunk(s, other, branch_row(w, net));
    for (int i = 0; i < n; i++)
        schematic_down(s, ways[i], trunk_of(w, net), trunk_of(w, other), -1);
    walk_on(w, other);
}

static void draw_main(struct walk *w, int net, int other)
{
    struct space *s = w->s;
    int ways[WAYS_PARALLEL], n = parallel(s, net, other, ways), row = row_of(w, net);
    schematic_trunk(s, other, row);
    schematic_across(s, ways, n, trunk_of(w, net), trunk_of(w, other), row, -1);
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
        duo |= !d->done && !placed(w, d->cathode);
    }
    for (int i = 0; i < list.n; i++)
        if ((duo || list.net[i] != list.main) && !placed(w, list.net[i]))
            draw_branch(w, net, list.net[i]);
    bool open = schematic_free(s, trunk_of(w, net), s->order.n);
    for (int i = 0; i < s->nets.at[net].duos.n && open; i++) {
        struct duo *d = &s->duos.at[s->nets.at[net].duos.at[i]];
        if (d->done || placed(w, d->cathode)) continue;
        draw_duo(w, net, d);
        open = false;
    }
    if (list.main >= 0 && !placed(w, list.main) && open) draw_main(w, net, list.main);
    for (int i = 0; i < s->nets.at[net].transformers.n; i++)
        if (!s->transformers.at[s->nets.at[net].transformers.at[i]].done)
            draw_transformer(w, s->nets.at[net].transformers.at[i]);
}

/* ---- strings ---- */

/* Below everything: down from its start, along, and up into its end. */
static void draw_string(struct walk *w, const struct string *string)
{
    struct space *s = w->s;
    int row = schematic_row(s, s->rows.at[s->rows.n - 1], true), ways[WAYS_PARALLEL];
    int start = trunk_of(w, string->net[0]), end = trunk_of(w, string->net[string->n - 1]);
    if (start < 0 || end < 0) return;
    int left = schematic_trunk(s, string->net[0], row);
    bool first = string->net[0] == s->hot;
    int place = first ? 0 : (int)floor(s->trunks.at[start].low) + 1;
    schematic_riser(s, start, left, place);
    int at = (int)ceil(s->trunks.at[end].high) + 1;
    for (int i = 1; i < string->n; i++) {
        bool last = i == string->n - 1;
        int n = parallel(s, string->net[i - 1], string->net[i], ways);
        if (last && n == 1) {
            schematic_down(s, ways[0], end, left, at++);
            return;
        }
        int right = schematic_trunk(s, string->net[i], row);
        schematic_across(s, ways, n, left, right, row, at++);
        left = right;
    }
    schematic_riser(s, end, left, at);
}

/* ---- the whole ---- */

static void start_at(struct walk *w, int way)
{
    struct space *s = w->s;
    int hot = s->ways.at[way].net[0], cold = s->ways.at[way].net[1];
    for (int i = 0; i < s->nets.n; i++) s->nets.at[i].mark = 0;
    flood(s, cold, -1);
    find_chain(w, s->nets.at[s->reference].mark == -1 ? s->reference : cold);
    schematic_trunk(s, hot, s->top);
    int link = chain_index(w, cold);
    if (link < 0 && cold != hot) schematic_trunk(s, cold, schematic_row(s, s->top, true));
    if (link >= 0) {
        advance(w, link);
        ground_trunk(w, link);
    }
    schematic_down(s, way, trunk_of(w, hot), trunk_of(w, cold), -1);
    walk_on(w, hot);
}

void schematic_skeleton(struct space *s)
{
    struct walk w = {.s = s};
    int start = s->source;
    s->top = schematic_row(s, -1, false);
    s->bottom = schematic_row(s, s->top, true);
    w.row = s->bottom;
    for (int i = 0; i < s->ways.n && start < 0; i++)
        if (s->ways.at[i].shape == SHAPE_BATTERY) start = i;
    if (start < 0) start = 0;
    start_at(&w, start);
    for (int i = 0; i < w.strings.n; i++) draw_string(&w, &w.strings.at[i]);
}
