/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SUGGEST_H
#define PRESOLDER_SUGGEST_H

#include "array.h"
#include "doc.h"
#include "key.h"

/* Hints that name what the user may have meant. */

typedef ARRAY(const char *) suggest_words;

/* "did you mean `first filter`?" with the nearest of the words; when none is near, "known here: a,
 * b, c" (the first dozen); NULL when there are no words. Words that are NULL are skipped. */
const char *suggest(struct arena *arena, const char *word, const suggest_words *words);

/* Only "did you mean ...?"; NULL when none is near. */
const char *suggest_nearest(struct arena *arena, const char *word, const suggest_words *words);

/* Whether the word is in a list that ends with NULL. */
bool suggest_in(const char *word, const char *const list[]);

/* Whether it is among the words. */
bool suggest_has(const suggest_words *words, const char *word);

/* Adds the keys of a map (nothing when it is none) to the words. */
void suggest_keys(struct arena *arena, suggest_words *words, const struct node *map);

/* Adds the texts of a list that ends with NULL (nothing for NULL) to the words. */
void suggest_list(struct arena *arena, suggest_words *words, const char *const list[]);

/* Adds the names of a table of keys (nothing for NULL) to the words. */
void suggest_table(struct arena *arena, suggest_words *words, const struct key keys[]);

#endif
