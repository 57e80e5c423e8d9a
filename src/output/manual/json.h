/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_JSON_H
#define PRESOLDER_JSON_H

#include <stdbool.h>
#include <stdio.h>

/* Writes JSON (RFC 8259), a line an item. Commas and depth are looked after here. */

enum { JSON_DEEPEST = 32 };

struct json {
    FILE *to;
    int depth;
    bool items[JSON_DEEPEST]; /* at each depth: something has been written already */
};

/* Begins an object ('{') or array ('[') as the value of a key of the object around it; NULL: as an
 * item of an array, or the whole. At most JSON_DEEPEST - 1 within each other. */
void json_open(struct json *j, const char *key, char bracket);

/* Ends the innermost with '}' or ']'. */
void json_close(struct json *j, char bracket);

/* A text, in UTF-8, which is escaped. */
void json_text(struct json *j, const char *key, const char *text);

/* A number or true, false, null, as written. */
void json_bare(struct json *j, const char *key, const char *word);

#endif
