/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CAUTIONS_TEXT_H
#define PRESOLDER_CAUTIONS_TEXT_H

#include "cautions.h"
#include "page.h"

/* The cautions with which every report ends. */

/* Those that apply to any of n sets, each once. */
void cautions_text_list(const struct page *page, const struct hazards *all, int n);

/* The same below a heading of theirs. */
void cautions_text_write(const struct page *page, const struct hazards *all, int n);

#endif
