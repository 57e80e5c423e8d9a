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
        if (schematic_walk_rectifies(way) || (next >= 0 && next != other)) return -1;
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
        bool ends = schematic_walk_placed(w, after) || schematic_bottom_link(w, after) >= 0;
        if (ends) return string->n > STRING_LEAST && after != net;
    }
    return false;
}

void schematic_string_keep(struct walk *w, const struct string *string)
{
    array_push(w->s->arena, &w->strings, *string);
    for (int i = 1; i < string->n - 1; i++) w->s->nets.at[string->net[i]].weight = -1;
}

static void reverse(struct string *string)
{
    for (int i = 0; i < string->n / 2; i++) {
        int net = string->net[i];
        string->net[i] = string->net[string->n - 1 - i];
        string->net[string->n - 1 - i] = net;
    }
}

/* Where its two ends leave what is drawn already: the first on the left. */
static void find_places(struct walk *w, struct string *string, int place[2])
{
    struct space *s = w->s;
    for (int i = 0; i < 2; i++) {
        int net = string->net[i ? string->n - 1 : 0], trunk = schematic_walk_trunk(w, net);
        const struct trunk *t = &s->trunks.at[trunk];
        if (net == s->hot) place[i] = 0;
        else if (i == 0) place[i] = (int)floor(t->low) + 1;
        else place[i] = (int)ceil(t->high) + 1;
        place[i] = schematic_insert_leave(s, trunk, place[i], i == 0 ? 1 : -1);
    }
    if (place[0] <= place[1]) return;
    int swap = place[0];
    place[0] = place[1];
    place[1] = swap;
    reverse(string);
}

/* Below everything: down from its start, along, and up into its end. */
void schematic_string_draw(struct walk *w, const struct string *kept)
{
    struct space *s = w->s;
    struct string string = *kept;
    int ways[WAYS_PARALLEL], place[2], last = string.n - 1;
    if (!schematic_walk_placed(w, string.net[0]) || !schematic_walk_placed(w, string.net[last]))
        return;
    find_places(w, &string, place);
    int row = schematic_order_row(s, s->rows.at[s->rows.n - 1], true);
    int end = schematic_walk_trunk(w, string.net[last]),
        left = schematic_order_trunk(s, string.net[0], row);
    schematic_order_riser(s, schematic_walk_trunk(w, string.net[0]), left, place[0]);
    int at = place[1] + 1;
    for (int i = 1; i <= last; i++) {
        int n = schematic_bottom_parallel(s, string.net[i - 1], string.net[i], ways);
        if (i == last && n == 1) {
            schematic_order_down(s, ways[0], end, left, at);
            return;
        }
        int right = schematic_order_trunk(s, string.net[i], row);
        schematic_order_across(s, ways, n, left, right, row, at++);
        left = right;
    }
    schematic_order_riser(s, end, left, at);
}
