/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRADE_NAMES_H
#define PRESOLDER_TRADE_NAMES_H

#include "doc.h"
#include "suggest.h"

/* What the trade calls by more than one name: HT and B+, reservoir and first filter, valve and
 * tube, ESR and series resistance. Common usage, no source. */

struct trade_name {
    const char *other, *name; /* the one that may be written, the one it is read as */
};

/* Of keys of parts, of kinds, and of words that a key takes; each ends with a NULL. */
extern const struct trade_name trade_names_keys[], trade_names_kinds[], trade_names_words[];

/* The scenario with the kinds, keys and words of its parts in the names that are read, and its
 * chart, readings and reference by the names that its parts give to their points. Everything keeps
 * its place in the file; names of parts and points stay as they are. The same node where nothing is
 * to be changed. */
const struct node *trade_names_read(struct arena *arena, const struct node *root);

/* The one of `known` that is another name for `name`; `name` itself where it is known, or none
 * is. */
const char *trade_names_point(const suggest_words *known, const char *name);

/* Adds the names of points and windings that the maps of parts below `node` (may be NULL) hold. */
void trade_names_gather(struct arena *arena, const struct node *node, suggest_words *names);

#endif
