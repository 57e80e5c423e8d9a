/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_COMPARE_TEXT_H
#define PRESOLDER_COMPARE_TEXT_H

#include <stdio.h>

#include "compare.h"
#include "page.h"

/* What the terminal shows of a comparison: the table in blocks of at most 100 columns, then for
 * each column what is better and worse than in the first, what is over its rating, and beside a
 * column named `as built` what is worse than there; last the cautions. Errors stay in the stream;
 * scratch memory comes from `arena`; `figures` as for summary_write. */
void compare_text_write(FILE *to, struct arena *arena, const struct comparison *c,
                        const char *figures);

/* The same as part of another page: without head, path and cautions. */
void compare_text_part(struct page *page, const struct comparison *c);

#endif
