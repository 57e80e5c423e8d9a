/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "keep_text.h"

#include <math.h>

#include "words_keep.h"

enum { NAME = 14, WHAT = 12 };

/* It lies across what alternates: its mean tells nothing. */
static bool swings(const struct keep_row *k)
{
    return k->highest > 10 * fabs(k->volts);
}

static const char *volts(struct page *page, const struct keep_row *k)
{
    if (isnan(k->volts)) return "";
    if (swings(k) && k->rated > 0)
        return arena_printf(page->arena, words_keep_peaks,
                            page_value(page, k->highest, UNIT_VOLT, false),
                            page_value(page, k->rated, UNIT_VOLT, false));
    const char *value = page_value(page, k->volts, UNIT_VOLT, false);
    const char *text = k->rated > 0 ? arena_printf(page->arena, words_keep_volts, value,
                                                   page_value(page, k->rated, UNIT_VOLT, false))
                                    : arena_printf(page->arena, words_keep_volts_alone, value);
    if (!(k->surge > 0) || !(k->highest > k->rated)) return text;
    return arena_printf(page->arena, "%s%s", text,
                        arena_printf(page->arena, words_keep_highest,
                                     page_value(page, k->highest, UNIT_VOLT, false),
                                     page_value(page, k->surge, UNIT_VOLT, false)));
}

static const char *why(struct page *page, const struct keep_row *k)
{
    if (k->why == KEEP_FAULTY) return arena_printf(page->arena, words_keep_faulty, k->condition);
    if (k->why == KEEP_RIPPLE)
        return arena_printf(page->arena, words_keep_ripple,
                            page_value(page, k->amperes, UNIT_AMPERE, false),
                            page_value(page, k->rated_amperes, UNIT_AMPERE, false));
    return words_keep_why[k->why];
}

static void write_row(struct page *page, const struct keep_row *k)
{
    const char *can = isnan(k->kelvin)
                          ? ""
                          : arena_printf(page->arena, words_keep_can,
                                         page_value(page, k->kelvin, UNIT_CELSIUS, false));
    page_say(page,
             arena_printf(page->arena, "  %s%s", page_cell(page, k->name, NAME),
                          page_cell(page, words_keep_what[k->what], WHAT)),
             words_keep_row, k->make_given ? words_keep_make[k->make] : words_keep_make_unknown,
             volts(page, k), can, why(page, k));
}

/* The first of them for which the same is to be said. */
static bool is_first(const struct keep_list *list, int at)
{
    for (int i = 0; i < at; i++)
        if (list->rows.at[i].what == list->rows.at[at].what &&
            list->rows.at[i].why == list->rows.at[at].why)
            return false;
    return true;
}

void keep_text_brief(struct page *page, const struct keep_list *list)
{
    const char *first = words_keep_brief_first;
    if (list->rows.n > 0) page_gap(page);
    for (int i = 0; i < list->rows.n; i++) {
        const struct keep_row *k = &list->rows.at[i];
        const char *names = "";
        if (!is_first(list, i)) continue;
        for (int n = i; n < list->rows.n; n++) {
            const struct keep_row *o = &list->rows.at[n];
            if (o->what != k->what || o->why != k->why) continue;
            names = arena_printf(page->arena, "%s%s%s", names, *names ? ", " : "", o->name);
        }
        const char *because = k->why == KEEP_OLD ? "" : why(page, k);
        if (k->what == KEEP_TEST) page_say(page, first, words_keep_brief_test, names, because);
        else page_say(page, first, words_keep_brief, words_keep_what[k->what], names, because);
        first = words_keep_brief_next;
    }
}

void keep_text_write(struct page *page, const struct keep_list *list)
{
    bool reform = false;
    if (list->rows.n > 0) page_heading(page, words_keep_heading);
    for (int i = 0; i < list->rows.n; i++) {
        const struct keep_row *k = &list->rows.at[i];
        reform |= k->what == KEEP_REFORM;
        write_row(page, k);
    }
    if (reform) page_say(page, "  ", words_keep_reform);
}
