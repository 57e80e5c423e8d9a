/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CATALOGUE_H
#define PRESOLDER_CATALOGUE_H

#include "doc.h"

/* The parts known by name (models/). A model is a map like a part of a scenario, each value with
 * its source. */
struct model {
    const char *name;
    const char *kind;           /* its `is:` */
    const struct node *values;  /* map: key -> value without the source tags; `same as` already
                                   resolved; without `is` */
    const struct node *sources; /* map: the same keys -> text of the source ("General Electric, 6X4
                                   data sheet ...") */
    struct place at;
};

struct catalogue;

/* How far a source can be trusted, the best first; of several sources of one value the worst
 * counts.
 */
enum source_grade {
    SOURCE_READ, /* in the maker's own text */
    SOURCE_SECOND_HAND,
    SOURCE_DERIVED, /* or estimated, from what is told there */
    SOURCE_MEMORY,
    SOURCE_GRADES /* not told */
};

/* By the words that a source's text holds: from memory; derived, typical; second hand; read. */
enum source_grade catalogue_grade(const char *source);

/* Reads all *.yaml of a folder in order of their names. Errors go to diags (same messages as for
 * scenarios); NULL when the folder cannot be read. Every value except is, law, same as, note must
 * carry a source tag `[tag]` defined in its file's `sources:`. */
struct catalogue *catalogue_read(struct arena *arena, struct diags *diags, const char *folder);

int catalogue_count(const struct catalogue *c);
const struct model *catalogue_at(const struct catalogue *c, int i);

/* The model of that name (exact, then ignoring case, blanks and hyphens); NULL: none. */
const struct model *catalogue_find(const struct catalogue *c, const char *name);

/* The nearest name for a hint among models of a kind (NULL: any); NULL when nothing is near. */
const char *catalogue_nearest(const struct catalogue *c, const char *name, const char *kind);

#endif
