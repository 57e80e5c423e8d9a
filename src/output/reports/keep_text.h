/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_KEEP_TEXT_H
#define PRESOLDER_KEEP_TEXT_H

#include "keep.h"
#include "page.h"

/* Heading and one row for each capacitor; nothing when there is none. */
void keep_text_write(struct page *page, const struct keep_list *list);

/* In few words: those to keep by their names, the others with the reason. */
void keep_text_brief(struct page *page, const struct keep_list *list);

#endif
