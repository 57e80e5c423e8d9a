/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CAUSES_H
#define PRESOLDER_CAUSES_H

#include "diagnose_table.h"
#include "overrides.h"

/* What may be wrong with a set: the faults that its parts list, the line, and that nothing is, or
 * something else. */

enum { CAUSE_NODES = 9 };

struct cause {
    enum diagnose_special special;
    const char *part; /* `mains` of the line; `set` of no fault, and of what is outside */
    const char *name; /* of the fault */
    const struct part_fault *fault; /* NULL: a special one */
    bool dangerous, overloads;
    double prior; /* share of all; they add up to 1 */

    /* Severities at which the set is run. `discrete`: one of these and nothing between. */
    int nodes;
    bool discrete, logarithmic;
    double severity[CAUSE_NODES];    /* [SI] in the unit of the fault */
    const char *choice[CAUSE_NODES]; /* discrete: a type, a point; else NULL */
    enum unit unit;                  /* of what is told */
    double times;                    /* what is told is severity times this [SI] */
};

typedef ARRAY(struct cause) cause_list;

/* All causes of the set, no fault first, outside last. Texts live in the arena or as long as the
 * set. */
cause_list causes_of(struct arena *arena, const struct set *set);

/* Lays a cause at a severity (of a discrete one the node) over the scenario. */
void cause_lay(struct overrides *o, const struct set *set, const struct cause *cause,
               double severity);

/* Where a severity lies between the first node and the last, 0..1, and back. */
double cause_place(const struct cause *cause, double severity);
double cause_severity(const struct cause *cause, double place);

/* What is told of a severity: `3.1 uF`, `12 kohm`, a type; "" where there is none. */
const char *cause_severity_text(struct arena *arena, const struct cause *cause, double severity);

#endif
