/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was assumed, and what would replace it. */
#include <math.h>
#include <string.h>

#include "summary_impl.h"
#include "words_guesses.h"
#include "words_known_by.h"

static const char *range(struct summary *s, const struct assumption *a)
{
    if (!(a->low < a->high) || !isfinite(a->low) || !isfinite(a->high)) return "";
    return arena_printf(s->arena, words_guesses_range, page_value(s->page, a->low, a->unit, false),
                        page_value(s->page, a->high, a->unit, false));
}

void summary_guesses(struct summary *s)
{
    int n = s->guesses.list.n;
    const char *names = "";
    page_gap(s->page);
    for (int i = 0; i < n; i++) {
        const struct assumption *a = s->guesses.list.at[i];
        names = arena_printf(s->arena, "%s%s%s %s (%s)", names, i > 0 ? ", " : "", a->part, a->key,
                             page_value(s->page, a->value, a->unit, false));
    }
    if (n == 0) page_say(s->page, "", words_guesses_none);
    else if (n == 1) page_say(s->page, "", words_guesses_one, names);
    else page_say(s->page, "", words_guesses_several, n, names);
    if (n > 0)
        page_say(s->page, "", words_guesses_about,
                 n == 1 ? words_guesses_it : words_guesses_one_of_them);
    if (s->guesses.defaults > 0)
        page_say(s->page, "", words_guesses_defaults, s->guesses.defaults,
                 s->guesses.defaults == 1 ? "" : words_guesses_default_many,
                 s->guesses.defaults == 1 ? words_guesses_it : words_guesses_them);
}

static bool same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

/* `10 H, could be 5 H to 20 H (common practice, no source)`; the basis only where it is not that of
 * the guess before. */
static const char *taken(struct summary *s, const struct assumption *a, const char *before)
{
    const char *basis = a->basis ? a->basis : words_guesses_no_basis;
    return arena_printf(s->arena, "%s%s%s", page_value(s->page, a->value, a->unit, false),
                        range(s, a),
                        same_text(basis, before) ? "" : arena_printf(s->arena, " (%s)", basis));
}

/* The guesses that the same reading would replace, from the `at`th on. */
static void tell_reading(struct summary *s, int at)
{
    enum known_by known_by = s->guesses.list.at[at]->known_by;
    const char *names = "", *values = "", *basis = NULL;
    for (int i = at; i < s->guesses.list.n; i++) {
        const struct assumption *a = s->guesses.list.at[i];
        if (a->known_by != known_by) continue;
        names = arena_printf(s->arena, "%s%s%s %s", names, *names ? ", " : "", a->part, a->key);
        values = arena_printf(s->arena, "%s%s%s", values, *values ? "; " : "", taken(s, a, basis));
        basis = a->basis ? a->basis : words_guesses_no_basis;
    }
    page_say(s->page, "  * ", words_guesses_reading, names, words_known_by(known_by), values);
}

static void tell_unmeasurable(struct summary *s)
{
    const char *text = "";
    for (int i = 0; i < s->guesses.list.n; i++) {
        const struct assumption *a = s->guesses.list.at[i];
        if (a->known_by != KNOWN_BY_NOTHING) continue;
        text = arena_printf(s->arena, "%s%s%s %s %s", text, *text ? "; " : "", a->part, a->key,
                            taken(s, a, NULL));
    }
    if (*text) page_say(s->page, "  * ", words_guesses_unmeasurable, text);
}

void summary_better(struct summary *s)
{
    if (s->guesses.list.n == 0) return;
    page_heading(s->page, words_guesses_heading);
    for (int i = 0; i < s->guesses.list.n; i++) {
        enum known_by known_by = s->guesses.list.at[i]->known_by;
        bool told = known_by == KNOWN_BY_NOTHING;
        for (int k = 0; k < i && !told; k++) told = s->guesses.list.at[k]->known_by == known_by;
        if (!told) tell_reading(s, i);
    }
    tell_unmeasurable(s);
}

/* --- in few words --- */

static bool part_before(struct summary *s, int at)
{
    const char *part = summary_part(s, s->guesses.list.at[at]->part);
    for (int i = 0; i < at; i++)
        if (strcmp(summary_part(s, s->guesses.list.at[i]->part), part) == 0) return true;
    return false;
}

void summary_guesses_brief(struct summary *s)
{
    const char *names = "";
    int n = s->guesses.list.n, defaults = s->guesses.defaults;
    for (int i = 0; i < n; i++)
        if (!part_before(s, i))
            names = arena_printf(s->arena, "%s%s%s", names, *names ? ", " : "",
                                 summary_part(s, s->guesses.list.at[i]->part));
    const char *many = defaults == 1 ? "" : words_guesses_default_many;
    if (n == 0) page_say(s->page, "", words_guesses_brief_none, defaults, many);
    else
        page_say(s->page, "", words_guesses_brief, n, n == 1 ? "" : words_guesses_brief_many, names,
                 defaults, many);
}
