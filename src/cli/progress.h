/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PROGRESS_H
#define PRESOLDER_PROGRESS_H

#include <stdio.h>

#include "run.h"

/* One line on a terminal that shows how far the work is and how long it may still take; and a note
 * when it takes long. */
struct progress {
    FILE *to;             /* NULL: nobody looks, the line is not shown */
    FILE *note;           /* NULL: no note either */
    struct run_pace pace; /* of the run in hand, for the note */
    double begun, first;  /* [s] of the clock, and the share done, when it was first told */
    long shown; /* what stands there: tenths of a per cent and seconds left, as one number */
    bool told;  /* the note */
};

struct progress progress_begin(FILE *to, FILE *note);

/* done: share of the work, 0..1. The time left is that of an even pace since the first
 * call with something done. */
void progress_show(struct progress *p, double done);

enum { PROGRESS_LINE = 64 }; /* characters it is wide at most */

double progress_now(void); /* [s] of a clock that never goes back */

/* Takes the line away. */
void progress_clear(const struct progress *p);

#endif
