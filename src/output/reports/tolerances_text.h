/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_TEXT_H
#define PRESOLDER_TOLERANCES_TEXT_H

#include <stdio.h>

#include "page.h"
#include "tolerances.h"

/* The answer of `tolerances` for the terminal, at most 80 columns: whether the figures hold, what
 * the meter may read, what passes its rating in how many sets, which value moves what, which
 * reading to take first. `folder`: where its files are. */
void tolerances_text_write(FILE *to, struct arena *arena, const struct tolerances *t,
                           const char *folder);

/* The same as part of another page: without title, paths and cautions. */
void tolerances_text_part(struct page *page, const struct tolerances *t);

#endif
