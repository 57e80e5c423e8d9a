/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Union of points over elements. A point leads to a lower one or to itself; the lowest of an island
 * is its name. */
#include "islands.h"

static int lowest(int *leads, int point)
{
    while (leads[point] != point) point = leads[point] = leads[leads[point]];
    return point;
}

const int *islands_of(struct arena *arena, const struct circuit *c, bool capacitors)
{
    int *leads = ARENA_ARRAY(arena, int, c->points.n);
    for (int i = 0; i < c->points.n; i++) leads[i] = i;
    for (int i = 0; i < c->elements.n; i++) {
        const struct element *e = &c->elements.at[i];
        if (e->kind == ELEMENT_CAPACITOR && !capacitors) continue;
        int a = lowest(leads, e->from), b = lowest(leads, e->to);
        if (a < b) leads[b] = a;
        else leads[a] = b;
    }
    for (int i = 0; i < c->points.n; i++) leads[i] = lowest(leads, i);
    return leads;
}
