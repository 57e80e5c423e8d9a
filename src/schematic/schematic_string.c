/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Strings of heaters and the like: parts one behind the other with nothing between. */
#include <math.h>

#include "schematic_walk.h"

enum { STRING_LEAST = 3 };

/* Neighbours of an inner net of a string: exactly one before, one behind; -1: it is no such net. */
static int behind(const struct walk *w, int before, int net)
{
    const struct net *n = &w->s->nets.at[net];
    int next = -1;
    if (n->duos.n + n->transformers.n > 0) return -1;
    for (int i = 0; i < n->ways.n; i++) {
        const struct way *way = &w->s->ways.at[n->ways.at[i]];
        int other = schematic_graph_other(way, net);
        if (other == before) continue;
        if (walk_rectifies(way) || (next >= 0 && next != other)) return -1;
        next = other;
    }
    return next;
}

bool schematic_string_find(struct walk *w, int net, int next, struct string *string)
{
    *string = (struct string){.net = {net, next}, .n = 2};
    while (string->n <= STRING) {
        int last = string->net[string->n - 1];
        int after = behind(w, string->net[string->n - 2], last);
        if (after < 0) return false;
        string->net[string->n++] = after;
        bool ends = walk_placed(w, after) || schematic_bottom_link(w, after) >= 0;
        if (ends) return string->n > STRING_LEAST && after != net;
    }
    return false;
}

void schematic_string_keep(struct walk *w, const struct string *string)
{
    array_push(w->s->arena, &w->strings, *string);
    for (int i = 1; i < string->n - 1; i++) w->s->nets.at[string->net[i]].weight = -1;
}

/* Below everything: down from its start, along, and up into its end. */
void schematic_string_draw(struct walk *w, const struct string *string)
{
    struct space *s = w->s;
    int row = schematic_order_row(s, s->rows.at[s->rows.n - 1], true), ways[WAYS_PARALLEL];
    int start = walk_trunk(w, string->net[0]), end = walk_trunk(w, string->net[string->n - 1]);
    if (start < 0 || end < 0) return;
    int left = schematic_order_trunk(s, string->net[0], row);
    bool first = string->net[0] == s->hot;
    int place = first ? 0 : (int)floor(s->trunks.at[start].low) + 1;
    schematic_order_riser(s, start, left, place);
    int at = (int)ceil(s->trunks.at[end].high) + 1;
    for (int i = 1; i < string->n; i++) {
        bool last = i == string->n - 1;
        int n = schematic_bottom_parallel(s, string->net[i - 1], string->net[i], ways);
        if (last && n == 1) {
            schematic_order_down(s, ways[0], end, left, at++);
            return;
        }
        int right = schematic_order_trunk(s, string->net[i], row);
        schematic_order_across(s, ways, n, left, right, row, at++);
        left = right;
    }
    schematic_order_riser(s, end, left, at);
}
