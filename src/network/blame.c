/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "blame.h"

#include <math.h>
#include <string.h>

#include "numbers.h"

enum { NAMED_MOST = 6, POINTS_MOST = 2 };

const char *blame_unknowns(struct arena *arena, const struct network *network,
                           const struct assembly *m, const double *vector, const char *what)
{
    const struct circuit *c = network->circuit;
    const char *text = what;
    double most = 0;
    for (int i = 0; i < m->na; i++) most = larger(most, fabs(vector[i]));
    if (!(most > 0)) return what;
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
        text = arena_printf(arena, "%s%s %s", text, named > 1 ? "," : ":", subject);
    }
    for (int p = 0; p < c->points.n && points < POINTS_MOST; p++)
        if (fabs(vector[p]) > 0.1 * most)
            text = arena_printf(arena, "%s%s point %s", text, named + points++ ? "," : ":",
                                c->points.at[p]);
    return text;
}

bool blame_marked(struct arena *arena, const struct network *network, const struct assembly *m,
                  struct reduced *r, const bool *marked, const char *do_what)
{
    const struct element *elements = network->circuit->elements.at;
    double *unknown = ARENA_ARRAY(arena, double, m->na);
    const char *text =
        arena_printf(arena, "the equations %s some currents and potentials", do_what);
    int named = 0;
    for (int i = 0; i < r->nw && named < NAMED_MOST; i++)
        if (!marked || marked[i])
            text = arena_printf(arena, "%s%s %s", text, named++ ? "," : ":",
                                elements[network->y_element[r->w_of[i]]].subject);
    for (int i = 0; marked && i < m->na; i++) unknown[i] = marked[r->nw + i];
    if (named == 0) text = blame_unknowns(arena, network, m, unknown, text);
    r->fault = arena_printf(arena,
                            "%s; nothing joins them to the rest of the set, or their values are so "
                            "far apart that one is lost beside the other",
                            text);
    return false;
}
