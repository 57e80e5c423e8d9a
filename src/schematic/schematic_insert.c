/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the skeleton left out goes where it crosses least. A way whose ends lie in one row goes
 * over a row of its own; a point that is new gets the row where its ways cross least. */
#include <math.h>
#include <stdlib.h>

#include "schematic_impl.h"

#define CROSSING 6.0 /* so many places further along cost as much */

struct spot {
    int a, b;  /* trunks */
    int place; /* -1: none */
    double cost;
};

/* ---- an upright ---- */

static double reach(const struct trunk *t, double at)
{
    return t->low > t->high ? 0 : at < t->low ? t->low - at : at > t->high ? at - t->high : 0;
}

/* Uprights that a trunk would cross anew if it reached over `at`. */
static int swept(const struct space *s, const struct trunk *t, double at)
{
    double low = fmin(at, t->low), high = fmax(at, t->high);
    int n = 0, level = s->row_at.at[t->row];
    if (t->low > t->high) return 0;
    for (int i = 0; i < s->order.n; i++) {
        const struct item *item = &s->items.at[s->order.at[i]];
        bool inside = item->place >= t->low && item->place <= t->high;
        if (item->place <= low || item->place >= high || inside || item->terms.n < 2) continue;
        int a = s->rows.n, b = -1;
        for (int k = 0; k < item->terms.n; k++) {
            int l = schematic_order_level(s, item->terms.at[k].trunk);
            a = l < a ? l : a;
            b = l > b ? l : b;
        }
        n += a < level && level < b;
    }
    return n;
}

static void try_spot(const struct space *s, int a, int b, int place, struct spot *best)
{
    double at = place - 0.5;
    if (!schematic_order_free(s, a, at) || !schematic_order_free(s, b, at)) return;
    const struct trunk *ta = &s->trunks.at[a], *tb = &s->trunks.at[b];
    int crossed =
        schematic_order_crossed(s, ta->row, tb->row, at) + swept(s, ta, at) + swept(s, tb, at);
    double cost = CROSSING * crossed + reach(ta, at) + reach(tb, at);
    if (best->place >= 0 && cost >= best->cost - 1e-9) return;
    *best = (struct spot){a, b, place, cost};
}

/* The best place for an upright between two nets, over all their trunks. */
static struct spot best_upright(const struct space *s, int net1, int net2)
{
    struct spot best = {.place = -1};
    for (int a = 0; a < s->trunks.n; a++)
        for (int b = 0; b < s->trunks.n && s->trunks.at[a].net == net1; b++) {
            if (s->trunks.at[b].net != net2 || s->trunks.at[a].row == s->trunks.at[b].row) continue;
            for (int place = 0; place <= s->order.n; place++) try_spot(s, a, b, place, &best);
        }
    return best;
}

/* ---- over a row of its own ---- */

int schematic_insert_leave(const struct space *s, int trunk, int wish, int step)
{
    for (int place = wish; place >= 0 && place <= s->order.n; place += step)
        if (schematic_order_free(s, trunk, place - 0.5)) return place;
    for (int place = wish; place >= 0 && place <= s->order.n; place -= step)
        if (schematic_order_free(s, trunk, place - 0.5)) return place;
    return -1;
}

static int last_row(struct space *s)
{
    return schematic_order_row(s, s->rows.at[s->rows.n - 1], true);
}

/* Up or down from one trunk, along a new row, and back to the other. */
static void detour(struct space *s, int way)
{
    int a = s->nets.at[s->ways.at[way].net[0]].trunk, b = s->nets.at[s->ways.at[way].net[1]].trunk;
    if (s->trunks.at[a].low > s->trunks.at[b].low) {
        int swap = a;
        a = b, b = swap;
    }
    int first = schematic_insert_leave(s, a, (int)floor(s->trunks.at[a].high) + 1, -1),
        last = schematic_insert_leave(s, b, (int)ceil(s->trunks.at[b].low), 1);
    if (first > last) {
        int swap = first;
        first = last, last = swap;
        swap = a;
        a = b, b = swap;
    }
    bool near = s->trunks.at[a].row == s->trunks.at[b].row;
    int row = near ? schematic_order_row(s, s->trunks.at[a].row, false) : last_row(s);
    int left = schematic_order_trunk(s, s->trunks.at[a].net, row),
        right = schematic_order_trunk(s, s->trunks.at[b].net, row);
    schematic_order_riser(s, a, left, first);
    schematic_order_across(s, &way, 1, left, right, row, first + 1);
    schematic_order_riser(s, right, b, last + 2);
}

static void insert_way(struct space *s, int way)
{
    struct way *w = &s->ways.at[way];
    struct spot spot = best_upright(s, w->net[0], w->net[1]);
    if (spot.place >= 0) schematic_order_down(s, way, spot.a, spot.b, spot.place);
    else detour(s, way);
}

/* ---- points that are new ---- */

static bool placed(const struct space *s, int net)
{
    return s->nets.at[net].trunk >= 0;
}

/* What a net's ways to placed nets would cost, were it in a new row above place `level`. */
static double row_cost(const struct space *s, int net, int level)
{
    double sum = 0;
    for (int i = 0; i < s->nets.at[net].ways.n; i++) {
        int other = schematic_graph_other(&s->ways.at[s->nets.at[net].ways.at[i]], net);
        int t = s->nets.at[other].trunk;
        double best = HUGE_VAL;
        for (int place = 0; t >= 0 && place <= s->order.n; place++) {
            double at = place - 0.5;
            int n = 0, to = schematic_order_level(s, t);
            if (!schematic_order_free(s, t, at)) continue;
            for (int k = 0; k < s->trunks.n; k++) {
                const struct trunk *o = &s->trunks.at[k];
                int l = s->row_at.at[o->row];
                bool between = to >= level ? l >= level && l < to : l < level && l > to;
                n += between && o->low < at && o->high > at;
            }
            best = fmin(best, CROSSING * n + reach(&s->trunks.at[t], at));
        }
        if (t >= 0) sum += isinf(best) ? 10 * CROSSING : best;
    }
    return sum;
}

/* The new net with the most ways to placed ones; -1: all are placed. */
static int next_net(const struct space *s)
{
    int best = -1, most = -1;
    for (int i = 0; i < s->nets.n; i++) {
        if (placed(s, i)) continue;
        int n = 0;
        for (int k = 0; k < s->nets.at[i].ways.n; k++)
            n += placed(s, schematic_graph_other(&s->ways.at[s->nets.at[i].ways.at[k]], i));
        if (n > most) best = i, most = n;
    }
    return best;
}

static void place_net(struct space *s, int net)
{
    double least = HUGE_VAL;
    int best = s->rows.n;
    for (int level = 0; level <= s->rows.n; level++) {
        double cost = row_cost(s, net, level) + 0.01 * abs(level - s->row_at.at[s->bottom]);
        if (cost < least) best = level, least = cost;
    }
    int row = best == s->rows.n ? schematic_order_row(s, s->rows.at[s->rows.n - 1], true)
                                : schematic_order_row(s, s->rows.at[best], false);
    schematic_order_trunk(s, net, row);
}

/* ---- parts with many ends ---- */

/* Where other wires bar the way it goes over a row of its own. */
void schematic_insert_join(struct space *s, int trunk)
{
    int net = s->trunks.at[trunk].net, first = s->nets.at[net].trunk;
    if (first == trunk || s->trunks.at[first].low > s->trunks.at[first].high) return;
    struct spot best = {.place = -1};
    for (int place = 0; place <= s->order.n; place++) try_spot(s, first, trunk, place, &best);
    if (best.place < 0) {
        int over = schematic_order_trunk(s, net, last_row(s));
        int out = schematic_insert_leave(s, trunk, (int)ceil(s->trunks.at[trunk].low), 1);
        schematic_order_riser(s, trunk, over, out);
        for (int place = 0; place <= s->order.n; place++) try_spot(s, first, over, place, &best);
        trunk = over;
    }
    schematic_order_riser(s, first, trunk, best.place);
}

static void insert_duo(struct space *s, int id)
{
    struct duo *d = &s->duos.at[id];
    int row = last_row(s), below = last_row(s);
    int a = schematic_order_trunk(s, d->plate[0], row),
        b = schematic_order_trunk(s, d->plate[1], below),
        k = schematic_order_trunk(s, d->cathode, row);
    struct item item = {.form = ITEM_DUO, .row = row, .other = id};
    schematic_order_term(s, &item, a, -1);
    schematic_order_term(s, &item, b, -1);
    schematic_order_term(s, &item, k, 1);
    d->done = true;
    schematic_order_item(s, item, -1);
    schematic_insert_join(s, a);
    schematic_insert_join(s, b);
    schematic_insert_join(s, k);
}

static void insert_transformer(struct space *s, int id)
{
    struct transformer_of *t = &s->transformers.at[id];
    struct item item = {.form = ITEM_TRANSFORMER, .other = id};
    ARRAY(int) trunks = {0};
    t->done = true;
    for (int k = 0; k < 2; k++)
        array_push(s->arena, &trunks, schematic_order_trunk(s, t->net[k], last_row(s)));
    for (int k = 0; k < t->windings.n; k++)
        for (int j = 0; j < t->windings.at[k].nets; j++)
            array_push(s->arena, &trunks,
                       schematic_order_trunk(s, t->windings.at[k].net[j], last_row(s)));
    for (int k = 0; k < trunks.n; k++) schematic_order_term(s, &item, trunks.at[k], k < 2 ? -1 : 1);
    schematic_order_item(s, item, -1);
    for (int k = 0; k < trunks.n; k++) schematic_insert_join(s, trunks.at[k]);
}

/* ---- rows that can be one ---- */

static bool disjoint(const struct space *s, int row1, int row2)
{
    for (int i = 0; i < s->trunks.n; i++)
        for (int k = 0; k < s->trunks.n; k++) {
            const struct trunk *a = &s->trunks.at[i], *b = &s->trunks.at[k];
            if (a->row != row1 || b->row != row2) continue;
            if (a->low <= b->high + 0.3 && b->low <= a->high + 0.3) return false;
        }
    return true;
}

static bool joined(const struct space *s, int row1, int row2)
{
    for (int i = 0; i < s->items.n; i++) {
        const struct item *item = &s->items.at[i];
        bool one = false, two = false,
             many = item->form == ITEM_DUO || item->form == ITEM_TRANSFORMER;
        for (int k = 0; k < item->terms.n; k++) {
            int row = s->trunks.at[item->terms.at[k].trunk].row;
            one |= row == row1;
            two |= row == row2;
        }
        if (one && two) return true;
        if (many && (one || two)) return true;
    }
    return false;
}

static void merge(struct space *s, int row, int into)
{
    int place = s->row_at.at[row];
    for (int i = 0; i < s->trunks.n; i++)
        if (s->trunks.at[i].row == row) s->trunks.at[i].row = into;
    for (int i = 0; i < s->items.n; i++)
        if (s->items.at[i].row == row) s->items.at[i].row = into;
    if (s->bottom == row) s->bottom = into;
    if (s->top == row) s->top = into;
    s->rows.n--;
    for (int i = place; i < s->rows.n; i++) s->rows.at[i] = s->rows.at[i + 1];
    for (int i = 0; i < s->rows.n; i++) s->row_at.at[s->rows.at[i]] = i;
}

static void merge_rows(struct space *s)
{
    for (int i = 0; i + 1 < s->rows.n;) {
        int a = s->rows.at[i], b = s->rows.at[i + 1];
        if (disjoint(s, a, b) && !joined(s, a, b)) merge(s, b, a);
        else i++;
    }
}

/* ---- the whole ---- */

void schematic_insert(struct space *s)
{
    for (int net = 0; net >= 0;) {
        for (int i = 0; i < s->ways.n; i++) {
            const struct way *w = &s->ways.at[i];
            if (!w->done && placed(s, w->net[0]) && placed(s, w->net[1])) insert_way(s, i);
        }
        net = next_net(s);
        if (net >= 0) place_net(s, net);
    }
    for (int i = 0; i < s->duos.n; i++)
        if (!s->duos.at[i].done) insert_duo(s, i);
    for (int i = 0; i < s->transformers.n; i++)
        if (!s->transformers.at[i].done) insert_transformer(s, i);
    merge_rows(s);
}

/* ---- call-outs ---- */

static int items_of(const struct space *s, int trunk)
{
    int n = 0;
    for (int i = 0; i < s->items.n; i++)
        for (int k = 0; k < s->items.at[i].terms.n; k++)
            n += s->items.at[i].terms.at[k].trunk == trunk;
    return n;
}

/* One for each point but the reference: on the trunk with the most ends, as far to the left as
 * nothing lies there. */
void schematic_insert_calls(struct space *s)
{
    for (int net = 0; net < s->nets.n; net++) {
        if (s->nets.at[net].inner) continue;
        int best = -1;
        for (int t = 0; t < s->trunks.n; t++)
            if (s->trunks.at[t].net == net && (best < 0 || items_of(s, t) > items_of(s, best)))
                best = t;
        if (best < 0 || s->trunks.at[best].low > s->trunks.at[best].high) continue;
        struct item item = {.form = ITEM_CALL, .other = net};
        schematic_order_term(s, &item, best, 0);
        int place =
            net == s->reference
                ? schematic_insert_leave(s, best, (int)ceil(s->trunks.at[best].high) + 1, -1)
                : schematic_insert_leave(s, best, (int)floor(s->trunks.at[best].low) + 1, 1);
        schematic_order_item(s, item, place);
    }
}
