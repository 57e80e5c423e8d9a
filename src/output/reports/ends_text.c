/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ends_text.h"

#include <string.h>

#include "words_known_by.h"
#include "words_stop.h"

static bool same(const struct end_turn *a, const struct end_turn *b)
{
    return a->measure == b->measure && a->restart == b->restart && a->at_least == b->at_least &&
           strcmp(a->subject, b->subject) == 0;
}

/* `T1 core loss is 19.8 W, not 9.89 W (97.2 C)` of all assumptions with which that figure turns
 * over, from the `first`th on; without readings only the first. */
static const char *turned_by(const struct page *page, const struct ends *e, int first,
                             bool readings)
{
    const char *text = "";
    int n = 0;
    for (int i = first; i < e->turns.n; i++) n += same(&e->turns.at[first], &e->turns.at[i]);
    for (int i = first; i < e->turns.n; i++) {
        const struct end_turn *t = &e->turns.at[i];
        const struct assumption *a = t->assumption;
        if (!same(&e->turns.at[first], t)) continue;
        const char *how = "";
        if (!readings && *text) return arena_printf(page->arena, words_stop_or_more, text);
        if (a->known_by != KNOWN_BY_NOTHING && (readings || n == 1))
            how = arena_printf(page->arena, words_stop_to_know, words_known_by(a->known_by));
        text = arena_printf(
            page->arena, words_stop_turn, text, *text ? words_stop_or : "", a->part, a->key,
            page_value(page, t->value, a->unit, false), page_value(page, a->value, a->unit, false),
            page_value(page, t->figure, measure_table[t->measure].unit, false), how);
    }
    return text;
}

int ends_text_items(const struct page *page, const struct ends *e, bool readings, bool write,
                    bool (*skip)(const void *context, const struct end_turn *turn),
                    const void *context)
{
    int told = 0;
    for (int i = 0; e && i < e->turns.n; i++) {
        const struct end_turn *t = &e->turns.at[i];
        bool before = skip && skip(context, t);
        for (int k = 0; k < i && !before; k++) before = same(&e->turns.at[k], t);
        if (before) continue;
        told++;
        if (!write) continue;
        page_say(page, "  * ", words_stop_turns, t->subject,
                 t->restart ? words_stop_hot_restart : "", measure_words(t->measure),
                 t->at_least ? words_stop_under : words_stop_beyond,
                 page_value(page, t->limit, measure_table[t->measure].unit, false),
                 turned_by(page, e, i, readings));
    }
    return told;
}

void ends_text_write(const struct page *page, const struct ends *e, const char *what)
{
    if (ends_text_items(page, e, true, false, NULL, NULL) == 0) return;
    page_say(page, "", words_stop_turns_of, what);
    ends_text_items(page, e, true, true, NULL, NULL);
}
