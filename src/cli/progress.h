/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PROGRESS_H
#define PRESOLDER_PROGRESS_H

#include <stdio.h>

/* One line on a terminal that shows how far the work is and how long it may still take. */
struct progress {
    FILE *to;     /* NULL: nobody looks, nothing is shown */
    double begun; /* [s] of the clock */
    long shown;   /* what stands there: tenths of a per cent and seconds left, as one number */
};

struct progress progress_begin(FILE *to);

/* done: share of the work, 0..1. The time left is that of an even pace since the beginning. */
void progress_show(struct progress *p, double done);

/* Takes the line away. */
void progress_clear(const struct progress *p);

#endif
