/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_COLUMNS_H
#define PRESOLDER_COLUMNS_H

#include "page.h"

/* A table that may be wider than the page: it is told in blocks of at most COLUMNS_WIDTH columns,
 * the labels of the rows before each. */

enum { COLUMNS_WIDTH = PAGE_COLUMNS };

struct columns {
    int label; /* width of the labels */
    int first; /* width of the first column */
    int width; /* of the others */
    int n;     /* columns without the labels */
    int rows;
    bool repeat;              /* the first column stands in every block */
    const char *corner;       /* over the labels */
    const char *const *heads; /* [n]; broken at blanks into several lines */
    /* The text of a cell; column -1: the label of the row. Cells stand to the right. */
    const char *(*cell)(void *context, int row, int column);
    void *context;
};

/* Writes the table. */
void columns_write(struct page *page, const struct columns *table);

#endif
