/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ENDS_TEXT_H
#define PRESOLDER_ENDS_TEXT_H

#include "ends.h"
#include "page.h"

/* The worse end of what was assumed, where a verdict turns over with it. */

/* An item for each figure, with all assumptions that turn it over, and with the readings that would
 * settle them (`readings`, or where there is one alone). `skip` (may be NULL) tells which are left
 * out. How many figures there are; with `write` false nothing is written. `e` may be NULL. */
int ends_text_items(const struct page *page, const struct ends *e, bool readings, bool write,
                    bool (*skip)(const void *context, const struct end_turn *turn),
                    const void *context);

/* The same below a sentence on `what` ("10 uF"): it fits only if what was assumed is about right.
 * Nothing where nothing turns over. */
void ends_text_write(const struct page *page, const struct ends *e, const char *what);

#endif
