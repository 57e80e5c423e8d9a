/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRANSFORMER_TEXT_H
#define PRESOLDER_TRANSFORMER_TEXT_H

#include "buy_list.h"
#include "page.h"

/* What a power transformer in place of the set's must have: volts of each winding, direct current,
 * heater amperes. Nothing for a set without one. */
void transformer_text_write(struct page *page, const struct buy_list *list);

#endif
