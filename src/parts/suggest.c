/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The nearest word when one is near; otherwise the words themselves, as far as they fit into one
 * line. */
#include "suggest.h"

#include <string.h>

#include "hint.h"

enum { SHOWN_MOST = 12 };

const char *suggest_nearest(struct arena *arena, const char *word, const suggest_words *words)
{
    const char *near = hint_nearest(word, words->at, words->n);
    return near ? arena_printf(arena, "did you mean `%s`?", near) : NULL;
}

const char *suggest(struct arena *arena, const char *word, const suggest_words *words)
{
    const char *near = suggest_nearest(arena, word, words);
    if (near) return near;
    const char *all = NULL;
    int shown = 0;
    for (int i = 0; i < words->n && shown < SHOWN_MOST; i++) {
        if (!words->at[i]) continue;
        all = shown++ ? arena_printf(arena, "%s, %s", all, words->at[i])
                      : arena_printf(arena, "known here: %s", words->at[i]);
    }
    return all && words->n > SHOWN_MOST ? arena_printf(arena, "%s ...", all) : all;
}

void suggest_keys(struct arena *arena, suggest_words *words, const struct node *map)
{
    if (!map || map->kind != NODE_MAP) return;
    for (int i = 0; i < map->n; i++) array_push(arena, words, map->pairs[i].key);
}

void suggest_list(struct arena *arena, suggest_words *words, const char *const list[])
{
    for (int i = 0; list && list[i]; i++) array_push(arena, words, list[i]);
}

bool suggest_in(const char *word, const char *const list[])
{
    for (int i = 0; list[i]; i++)
        if (strcmp(list[i], word) == 0) return true;
    return false;
}

bool suggest_has(const suggest_words *words, const char *word)
{
    for (int i = 0; i < words->n; i++)
        if (words->at[i] && strcmp(words->at[i], word) == 0) return true;
    return false;
}

void suggest_table(struct arena *arena, suggest_words *words, const struct key keys[])
{
    for (; keys && keys->name; keys++) array_push(arena, words, keys->name);
}
