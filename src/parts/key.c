/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `takes` is both what a user reads and the list of words: `good, open or shorted; more about
 * it`. */
#include "key.h"

#include <string.h>

const struct key *key_find(const struct key keys[], const char *name)
{
    for (; keys && keys->name; keys++)
        if (strcmp(keys->name, name) == 0) return keys;
    return NULL;
}

const struct key_inner *key_inside(const struct key_inner inner[], const char *name)
{
    for (; inner && inner->key; inner++)
        if (strcmp(inner->key, name) == 0) return inner;
    return NULL;
}

/* Where the word at `s` ends: before a comma, ` or `, a semicolon, or the end. */
static size_t word_length(const char *s)
{
    size_t n = 0;
    while (s[n] && s[n] != ',' && s[n] != ';' && strncmp(s + n, " or ", 4) != 0) n++;
    return n;
}

const char *key_word(struct arena *arena, const struct key *key, int i)
{
    const char *s = key->takes;
    if (!(key->use & KEY_WORDS)) return NULL;
    for (;;) {
        size_t n = word_length(s);
        if (i-- == 0) return arena_text(arena, s, n);
        s += n;
        if (!*s || *s == ';') return NULL;
        s += *s == ',' ? 1 : strlen(" or");
        s += *s == ' ';
        if (strncmp(s, "or ", 3) == 0) s += 3;
    }
}
