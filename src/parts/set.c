/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of one stage and what they say about themselves. Lists only grow, in the order of the
 * file and of stamping. */
#include "part.h"

#include <assert.h>
#include <string.h>

struct part *set_find(const struct set *set, const char *name)
{
    for (int i = 0; i < set->parts.n; i++)
        if (strcmp(set->parts.at[i]->name, name) == 0) return set->parts.at[i];
    return NULL;
}

bool set_absent(const struct set *set, const char *name)
{
    for (int i = 0; i < set->absent.n; i++)
        if (strcmp(set->absent.at[i], name) == 0) return true;
    return false;
}

bool set_winding(const struct set *set, const char *name, const char **from, const char **to,
                 double *volts)
{
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        if (part->kind->winding && part->kind->winding(set, part, name, from, to, volts))
            return true;
    }
    return false;
}

void set_assume(struct set *set, struct assumption assumption)
{
    array_push(set->arena, &set->assumptions, assumption);
}

void set_rate(struct set *set, struct rating rating)
{
    assert(rating.subject && rating.measure && rating.source);
    rating.unit = measure_table[rating.measure].unit;
    array_push(set->arena, &set->ratings, rating);
}

void set_fix(struct set *set, struct fixed_figure figure)
{
    assert(figure.subject && figure.measure);
    array_push(set->arena, &set->fixed, figure);
}
