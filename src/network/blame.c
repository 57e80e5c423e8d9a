/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "blame.h"

#include <math.h>
#include <string.h>

#include "numbers.h"

enum { NAMED_MOST = 6, POINTS_MOST = 2 };

static const char *add(struct arena *arena, const char *names, const char *name)
{
    return names ? arena_printf(arena, "%s, %s", names, name) : name;
}

const char *blame_unknowns(struct arena *arena, const struct network *network,
                           const struct assembly *m, const double *vector)
{
    const struct circuit *c = network->circuit;
    const char *text = NULL;
    double most = 0;
    for (int i = 0; i < m->na; i++) most = larger(most, fabs(vector[i]));
    if (!(most > 0)) return NULL;
    const char *subjects[NAMED_MOST];
    int named = 0, points = 0;
    for (int k = 0; k < c->elements.n && named < NAMED_MOST; k++) {
        const int own = m->current[k];
        if (own < m->ny || fabs(vector[own - m->ny]) < 0.1 * most) continue;
        const char *subject = c->elements.at[k].subject;
        int i = 0;
        while (i < named && strcmp(subjects[i], subject) != 0) i++;
        if (i < named) continue;
        subjects[named++] = subject;
        text = add(arena, text, subject);
    }
    for (int p = 0; p < c->points.n && points < POINTS_MOST; p++) {
        if (fabs(vector[p]) <= 0.1 * most) continue;
        points++;
        text = add(arena, text, c->points.at[p]);
    }
    const double *cores = vector + m->cores - m->ny;
    for (int k = 0; k < c->elements.n && !text; k++) {
        const struct element *e = &c->elements.at[k];
        if (e->kind == ELEMENT_WINDING && fabs(cores[e->group]) >= 0.1 * most) text = e->part;
    }
    return text;
}

bool blame_marked(struct arena *arena, const struct network *network, const struct assembly *m,
                  struct reduced *r, const bool *marked, enum network_fault fault)
{
    const struct element *elements = network->circuit->elements.at;
    double *unknown = ARENA_ARRAY(arena, double, m->na);
    int named = 0;
    r->fault = fault;
    r->at_fault = NULL;
    for (int i = 0; i < r->nw && named < NAMED_MOST; i++) {
        if (marked && !marked[i]) continue;
        named++;
        r->at_fault = add(arena, r->at_fault, elements[network->y_element[r->w_of[i]]].subject);
    }
    for (int i = 0; marked && i < m->na; i++) unknown[i] = marked[r->nw + i];
    if (named == 0) r->at_fault = blame_unknowns(arena, network, m, unknown);
    return false;
}
