/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_STOCK_TEXT_H
#define PRESOLDER_STOCK_TEXT_H

#include "page.h"
#include "stock.h"
#include "writer.h"

/* A table of what to order: what the drawer has of it, what is left, and room for a price. */
void stock_text_write(struct page *page, const struct stock *stock);

/* The same as the file `name`: part, buy, pieces, drawer, line (of the drawer's file; empty: none),
 * order, price (empty). Uses `arena` for scratch. */
void stock_csv_write(struct writer *w, struct arena *arena, const char *name,
                     const struct stock *stock);

#endif
