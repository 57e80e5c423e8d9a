/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trouble.h"

#include <math.h>
#include <string.h>

#include "session.h"

enum { LAWS_MOST = 6 }; /* parts named */

struct trouble trouble_copy(struct arena *arena, const struct trouble *t)
{
    struct trouble copy = *t;
    if (t->names) copy.names = arena_text(arena, t->names, strlen(t->names));
    return copy;
}

/* The element whose charge or flux y[i] is, the greatest in the mode that it is, or a port of the
 * device whose state it is; NULL: there is none. */
static const struct element *element_of(const struct session *s, int i)
{
    const struct circuit *c = s->network->circuit;
    const struct reduced *r = s->now.r;
    if (i >= r->nw) {
        const int state = s->eq->moves[i - r->nw];
        for (int d = 0; d < c->devices.n; d++) {
            const struct device *device = &c->devices.at[d];
            if (state < device->state0 || state >= device->state0 + device->states) continue;
            return device->ports > 0 ? &c->elements.at[device->element[0]] : NULL;
        }
        return NULL;
    }
    int most = i < r->modal ? 0 : r->w_of[i];
    for (int k = 0; i < r->modal && k < r->ny; k++)
        if (fabs(r->q[k * r->nw + i]) > fabs(r->q[most * r->nw + i])) most = k;
    return &c->elements.at[s->network->y_element[most]];
}

const char *trouble_part(const struct session *s, int i)
{
    if (i < 0) return NULL;
    if (i < s->now.r->nw) return element_of(s, i)->part;
    return s->network->circuit->states.at[s->eq->moves[i - s->now.r->nw]].part;
}

const char *trouble_place(const struct session *s, int i)
{
    const char *part = trouble_part(s, i);
    const struct element *e = part ? element_of(s, i) : NULL;
    const char *const *points = s->network->circuit->points.at;
    return e ? arena_printf(s->arena, "%s, %s, %s", part, points[e->from], points[e->to]) : part;
}

const char *trouble_laws(const struct session *s)
{
    const struct circuit *c = s->network->circuit;
    const char *names = NULL;
    for (int d = 0, n = 0; d < c->devices.n && n < LAWS_MOST; d++) {
        const struct device *device = &c->devices.at[d];
        if (device->law->straight || device->ports == 0) continue;
        names = n++ ? arena_printf(s->arena, "%s, %s", names, device->part) : device->part;
    }
    return names;
}
