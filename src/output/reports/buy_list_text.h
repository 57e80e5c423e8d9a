/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BUY_LIST_TEXT_H
#define PRESOLDER_BUY_LIST_TEXT_H

#include <stdio.h>

#include "buy_list.h"
#include "page.h"
#include "stock.h"
#include "writer.h"

/* What `buy-list` shows: the runs it rests on, tables of capacitors and resistors, what is to be
 * said of each part, rectifiers, fuse, cautions. `csv`: where the list and all figures were written
 * to; NULL: nowhere. `stock`: what is in the drawer; NULL: not told. */
void buy_list_write(FILE *to, struct arena *arena, const char *title, const char *variant,
                    const struct buy_list *list, const struct stock *stock, const char *csv);

/* The same as part of another page: without title, path and cautions. */
void buy_list_part(struct page *page, const char *variant, const struct buy_list *list);

/* One row a recommendation: part, quantity, buy, needed, unit, run (variant in figures.csv), rule.
 * SI units; `inf`: nothing sold is enough, an empty field: not known or none. Uses `arena` for
 * scratch. */
void buy_list_csv(struct writer *w, struct arena *arena, const char *name,
                  const struct buy_list *list);

#endif
