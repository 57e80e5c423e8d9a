/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cautions_text.h"

void cautions_text_list(const struct page *page, const struct hazards *all, int n)
{
    for (int i = 0; i < cautions_count(); i++) {
        const struct caution *c = caution_at(i);
        bool applies = false;
        for (int k = 0; k < n && !applies; k++) applies = c->applies(&all[k]);
        if (applies) page_say(page, "  * ", "%s: %s", c->name, c->text);
    }
}

void cautions_text_write(const struct page *page, const struct hazards *all, int n)
{
    page_heading(page, "Cautions");
    cautions_text_list(page, all, n);
}
