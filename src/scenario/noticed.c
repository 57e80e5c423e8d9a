/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was seen, heard or felt, in words. */
#include <string.h>

#include "readings_impl.h"

static const struct {
    const char *subject; /* before the word; "": a part, a can or a transformer */
    const char *word[NOTICED_WORDS];
} table[NOTICED_KINDS] = {
    [NOTICED_LAMP] = {"lamp", {"dark", "dim", "bright"}},
    [NOTICED_FUSE] = {"fuse", {"holds", "opens after seconds", "opens at once"}},
    [NOTICED_HUM] = {"hum", {"none", "low", "raspy"}},
    [NOTICED_WARMTH] = {"", {"cool", "warm", "too hot to hold"}},
    [NOTICED_PLATES] = {"plates", {"dark", "red", "blue between"}},
    [NOTICED_HEATERS] = {"heaters", {"lit", "dark", NULL}},
};

const char *noticed_word(enum noticed_kind kind, int word)
{
    return word < NOTICED_WORDS ? table[kind].word[word] : NULL;
}

const char *noticed_subject(enum noticed_kind kind)
{
    return table[kind].subject;
}

/* `text` without `tail` and the blank before it; NULL: it does not end so. */
static const char *without_tail(struct arena *arena, const char *text, const char *tail)
{
    size_t n = strlen(text), m = strlen(tail);
    if (n <= m + 1 || strcmp(text + n - m, tail) != 0 || text[n - m - 1] != ' ') return NULL;
    return arena_text(arena, text, n - m - 1);
}

static bool understood(const struct readings *r, const char *text, struct noticed *noticed)
{
    for (int kind = 0; kind < NOTICED_KINDS; kind++)
        for (int word = 0; word < NOTICED_WORDS && table[kind].word[word]; word++) {
            const char *subject = without_tail(r->arena, text, table[kind].word[word]);
            bool part = subject && kind == NOTICED_WARMTH && suggest_has(&r->parts->known, subject);
            if (!subject || (!part && strcmp(subject, table[kind].subject) != 0)) continue;
            *noticed = (struct noticed){(enum noticed_kind)kind, part ? subject : NULL, word};
            return true;
        }
    return false;
}

/* `C7 warm` where no part is called C7. */
static bool complain_part(const struct readings *r, const struct node *node)
{
    const char *part = NULL;
    suggest_words words = {0};
    for (int word = 0; word < NOTICED_WORDS && !part && node->kind == NODE_SCALAR; word++)
        part = without_tail(r->arena, node->text, table[NOTICED_WARMTH].word[word]);
    if (!part) return false;
    for (int i = 0; i < r->parts->known.n; i++) array_push(r->arena, &words, r->parts->known.at[i]);
    diags_add(r->diags, DIAG_ERROR, node->at, suggest(r->arena, part, &words),
              "no part is called `%s`", part);
    return true;
}

static void read_phrase(const struct readings *r, const struct node *node, struct reading_set *set)
{
    struct noticed noticed;
    suggest_words words = {0};
    if (node->kind == NODE_SCALAR && understood(r, node->text, &noticed)) {
        array_push(r->arena, &set->noticed, noticed);
        return;
    }
    if (complain_part(r, node)) return;
    for (int kind = 0; kind < NOTICED_KINDS; kind++)
        for (int word = 0; word < NOTICED_WORDS && table[kind].word[word]; word++)
            array_push(r->arena, &words,
                       arena_printf(r->arena, "%s %s",
                                    kind == NOTICED_WARMTH ? "C1" : table[kind].subject,
                                    table[kind].word[word]));
    const char *text = node->kind == NODE_SCALAR ? node->text : "";
    const char *hint = suggest_nearest(r->arena, text, &words);
    diags_add(r->diags, DIAG_ERROR, node->at,
              hint ? hint
                   : "write `lamp dim`, `fuse opens at once`, `hum low`, `C1 warm`, `plates red`, "
                     "`heaters dark`",
              "`%s` is nothing that can be noticed", text);
}

void noticed_read(const struct readings *r, const struct node *node, struct reading_set *set)
{
    if (node->kind != NODE_LIST) read_phrase(r, node, set);
    for (int i = 0; node->kind == NODE_LIST && i < node->n; i++)
        read_phrase(r, node->items[i], set);
}
