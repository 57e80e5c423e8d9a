/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bottom row: the reference, and what lies in the lead to it. */
#include "schematic_walk.h"

int schematic_bottom_link(const struct walk *w, int net)
{
    for (int i = 0; i < w->links; i++)
        if (w->chain[i] == net) return i;
    return -1;
}

static bool resistive(const struct way *way)
{
    return way->shape == SHAPE_RESISTOR || way->shape == SHAPE_COIL || way->shape == SHAPE_SWITCH ||
           way->shape == SHAPE_FUSE || way->shape == SHAPE_LIMITER;
}

void schematic_bottom_flood(struct space *s, int net, int mark)
{
    if (s->nets.at[net].mark == mark) return;
    s->nets.at[net].mark = mark;
    for (int i = 0; i < s->ways.n; i++)
        for (int k = 0; k < 2; k++)
            if (s->ways.at[i].net[k] == net)
                schematic_bottom_flood(s, s->ways.at[i].net[1 - k], mark);
    for (int i = 0; i < s->duos.n; i++) {
        const struct duo *d = &s->duos.at[i];
        if (d->plate[0] != net && d->plate[1] != net && d->cathode != net) continue;
        for (int k = 0; k < 2; k++) schematic_bottom_flood(s, d->plate[k], mark);
        schematic_bottom_flood(s, d->cathode, mark);
    }
    for (int i = 0; i < s->transformers.n; i++)
        for (int k = 0; k < s->transformers.at[i].windings.n; k++) {
            const struct winding_of *o = &s->transformers.at[i].windings.at[k];
            for (int j = 0; j < o->nets; j++)
                if (o->net[j] == net)
                    for (int m = 0; m < o->nets; m++) schematic_bottom_flood(s, o->net[m], mark);
        }
}

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
        if (schematic_walk_rectifies(&s->ways.at[i]) && s->ways.at[i].net[0] == net) return true;
    return false;
}

void schematic_bottom_find(struct walk *w, int ground)
{
    struct space *s = w->s;
    int *from = ARENA_ARRAY(s->arena, int, s->nets.n),
        *queue = ARENA_ARRAY(s->arena, int, s->nets.n);
    int head = 0, tail = 0, end = ground;
    for (int i = 0; i < s->nets.n; i++) from[i] = -1;
    from[ground] = ground;
    queue[tail++] = ground;
    while (head < tail && !is_return(s, end)) {
        int net = end = queue[head++];
        for (int i = 0; i < s->nets.at[net].ways.n && !is_return(s, net); i++) {
            const struct way *way = &s->ways.at[s->nets.at[net].ways.at[i]];
            int other = schematic_graph_other(way, net);
            if (!resistive(way) || from[other] >= 0 || other == s->hot ||
                schematic_walk_placed(w, other))
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

int schematic_bottom_parallel(const struct space *s, int a, int b, int *ways)
{
    int n = 0;
    for (int i = 0; i < s->nets.at[a].ways.n; i++) {
        int id = s->nets.at[a].ways.at[i];
        const struct way *way = &s->ways.at[id];
        if (!way->done && schematic_graph_other(way, a) == b && n < WAYS_PARALLEL) ways[n++] = id;
    }
    return n;
}

void schematic_bottom_trunk(struct walk *w, int link)
{
    struct space *s = w->s;
    if (schematic_walk_placed(w, w->chain[link])) return;
    if (link == 0) {
        w->row = s->bottom;
        if (!schematic_order_row_free(s, s->bottom, s->order.n - 0.6))
            w->row = schematic_order_row(s, s->bottom, false);
    }
    schematic_order_trunk(s, w->chain[link], w->row);
}

void schematic_bottom_advance(struct walk *w, int link)
{
    int ways[WAYS_PARALLEL];
    while (w->at < link) {
        int a = w->chain[w->at], b = w->chain[w->at + 1];
        schematic_bottom_trunk(w, w->at);
        schematic_bottom_trunk(w, w->at + 1);
        int n = schematic_bottom_parallel(w->s, a, b, ways);
        schematic_order_across(w->s, ways, n, schematic_walk_trunk(w, a),
                               schematic_walk_trunk(w, b), w->row, -1);
        w->at++;
    }
}
