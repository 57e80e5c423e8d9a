/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cautions_text.h"

#include "words_cautions.h"

void cautions_text_list(const struct page *page, const struct hazards *all, int n)
{
    for (enum caution c = 0; c < CAUTIONS; c++) {
        bool applies = false;
        for (int k = 0; k < n && !applies; k++) applies = cautions_apply(c, &all[k]);
        if (applies)
            page_say(page, "  * ", "%s: %s", words_cautions_name(c),
                     words_cautions_text(page->arena, c));
    }
}

void cautions_text_write(const struct page *page, const struct hazards *all, int n)
{
    page_heading(page, words_cautions_heading);
    cautions_text_list(page, all, n);
}
