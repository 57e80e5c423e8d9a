/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cautions_text.h"

#include "words_cautions.h"

enum { CAUTIONS_HANG = 2 - (int)(sizeof words_cautions_brief_head - 1) };

static bool applies(enum caution c, const struct hazards *all, int n)
{
    for (int k = 0; k < n; k++)
        if (cautions_apply(c, &all[k])) return true;
    return false;
}

void cautions_text_list(const struct page *page, const struct hazards *all, int n)
{
    for (enum caution c = 0; c < CAUTIONS; c++)
        if (applies(c, all, n))
            page_say(page, "  * ", "%s: %s", words_cautions_name(c),
                     words_cautions_text(page->arena, c));
}

void cautions_text_brief(const struct page *page, const char *first, const struct hazards *all,
                         int n)
{
    const char *text = first;
    for (enum caution c = 0; c < CAUTIONS; c++) {
        const char *brief = words_cautions_brief(page->arena, c);
        if (c == CAUTION_UNPLUGGED && *first) continue; /* which says it */
        if (brief && applies(c, all, n))
            text = arena_printf(page->arena, "%s%s%s", text, *text ? " " : "", brief);
    }
    page_hang(page, words_cautions_brief_head, CAUTIONS_HANG,
              arena_printf(page->arena, "%s%s", text, words_cautions_all));
}

static bool any(const struct hazards *all, int n)
{
    for (int k = 0; k < n; k++)
        if (cautions_any(&all[k])) return true;
    return false;
}

void cautions_text_write(const struct page *page, const struct hazards *all, int n)
{
    if (page_style().cautions) {
        cautions_text_all(page, all, n);
        return;
    }
    if (!any(all, n)) return;
    page_gap(page);
    cautions_text_brief(page, "", all, n);
}

void cautions_text_all(const struct page *page, const struct hazards *all, int n)
{
    if (!any(all, n)) return;
    page_heading_of(page, "cautions", words_cautions_heading);
    cautions_text_list(page, all, n);
}
