/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CAUTIONS_TEXT_H
#define PRESOLDER_CAUTIONS_TEXT_H

#include "cautions.h"
#include "page.h"

/* The cautions with which every report ends: those that apply to any of n sets, each once. */

/* Each in full, an item of a list. */
void cautions_text_list(const struct page *page, const struct hazards *all, int n);

/* What a hand must know now, in one paragraph after the sentence `first` (empty, or that unplugged
 * is not dead). */
void cautions_text_brief(const struct page *page, const char *first, const struct hazards *all,
                         int n);

/* The list below a heading of its own; nothing where none applies. */
void cautions_text_all(const struct page *page, const struct hazards *all, int n);

/* The list where the page's style asks for it, else the paragraph, each below a heading of its own;
 * nothing where none applies. */
void cautions_text_write(const struct page *page, const struct hazards *all, int n);

#endif
