/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DOC_H
#define PRESOLDER_DOC_H

#include <stdbool.h>

#include "arena.h"
#include "diag.h"

/* A YAML document as plain nodes with positions. Every scalar stays text. */

enum node_kind { NODE_SCALAR, NODE_MAP, NODE_LIST };

struct pair;

struct node {
    enum node_kind kind;
    struct place at;
    const char *text;          /* scalar: its text, never NULL ("" for an empty value) */
    int n;                     /* map: number of pairs; list: number of items */
    struct pair *pairs;        /* map, in file order */
    const struct node **items; /* list */
};

struct pair {
    const char *key;
    struct place at; /* of the key */
    const struct node *value;
};

/* Largest file read [bytes]; a larger one is refused by its size before it is opened. */
enum { DOC_MAX_BYTES = 4 * 1024 * 1024 };

/* Longest text of a value, and of a key [bytes]. */
enum { DOC_TEXT_BYTES = 4000, DOC_KEY_BYTES = 200 };

/* Reads a file into nodes living in `arena` and registers its text with `diags` (for quoting). NULL
 * when it cannot be used: missing, a directory, too large, binary, not UTF-8, empty, tabs used for
 * indenting (with hint), YAML syntax, duplicate keys in one map, aliases or tags, more than 64
 * levels: each is one diagnostic with position and hint. All duplicates, aliases and tags of a file
 * are told at once, a syntax error ends the reading. */
const struct node *doc_read(struct arena *arena, struct diags *diags, const char *path);

/* The same for a text in memory; `name` stands for the file name in messages. */
const struct node *doc_parse(struct arena *arena, struct diags *diags, const char *name,
                             const char *text, size_t bytes);

/* The value of `key` in a map; NULL when `map` is NULL, not a map, or has no such key. */
const struct node *node_get(const struct node *map, const char *key);

/* The pair of that key, for its position; NULL when absent. */
const struct pair *node_pair(const struct node *map, const char *key);

/* `over` laid on `base`: maps are merged key by key to any depth, in base's order with new keys
 * behind; anything else is replaced. Either may be NULL. Neither is changed. */
const struct node *node_overlay(struct arena *arena, const struct node *base,
                                const struct node *over);

#endif
