/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_KEY_H
#define PRESOLDER_KEY_H

#include <stdbool.h>

#include "arena.h"

/* The keys a map of a scenario may have, as a table: for reading, help, manual pages, completion
 * and the schema. */

enum key_use {
    KEY_NEEDED = 1,  /* an error when missing (unless the model gives it) */
    KEY_MODEL = 2,   /* usually comes from the model: not asked for by `new` */
    KEY_POINTS = 4,  /* names points; `across`, `plates`, `cathode`, `cathodes` do at any depth,
                        unmarked */
    KEY_UNKNOWN = 8, /* needed, but `unknown` will do: a guess is taken */
    KEY_SHOWN = 16,  /* stands beside the part's symbol in a drawing */
    KEY_WORDS = 32,  /* takes one of the words that `takes` lists: `good, open or shorted; ...` */
    KEY_LIST = 64,   /* takes a list, or one item alone */
    KEY_MAP = 128,   /* takes keys of its own; with key_inner those of a table */
    KEY_OR_MAP = 256 /* takes one value, or keys of its own */
};

struct key {
    const char *name;  /* as written in a scenario */
    const char *takes; /* what it takes, for help and messages: "farads, e.g. 8 uF" */
    unsigned use;      /* sum of enum key_use */
};

/* The keys inside a KEY_MAP or KEY_OR_MAP key. */
struct key_inner {
    const char *key;
    const struct key *keys; /* ends with a NULL name */
    bool named; /* it takes names of the user's own, and each of them these keys (windings) */
};

/* The key of that name in a table that ends with a NULL name; NULL: none. */
const struct key *key_find(const struct key keys[], const char *name);

/* What is inside a key, by a table that ends with a NULL key or is NULL; NULL: nothing. */
const struct key_inner *key_inside(const struct key_inner inner[], const char *name);

/* The word i, from 0, of those a KEY_WORDS key takes; NULL beyond the last, and for other keys. */
const char *key_word(struct arena *arena, const struct key *key, int i);

#endif
