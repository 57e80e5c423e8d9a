/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRY_TEXT_H
#define PRESOLDER_TRY_TEXT_H

#include <stdio.h>

#include "ends.h"
#include "limit.h"
#include "sweep.h"
#include "trial_table.h"
#include "writer.h"

/* What `try` shows: how it ran, the table, what is over its rating, the limit of a first
 * capacitor. */

struct try_study {
    const char *title;
    const struct setup *setup; /* without the values: for the cautions */
    const struct sweep *sweeps;
    int n; /* of sweeps */
    bool cold;
    const struct trial_table *table;
    const char *rectifier;      /* of the limits; NULL: none were sought */
    const struct limit *limits; /* [2] without and with a resistor per plate */
    double ohms;                /* of that [ohm] */
    const struct ends *ends;    /* of row `ends_row`; NULL: nobody has looked */
    int ends_row;
};

enum { TRY_ROWS = 60 }; /* shown at most */

/* Heading, table and sentences; further values than TRY_ROWS stand in `file` only. `figures` as for
 * summary_write. */
void try_text_write(FILE *to, struct arena *arena, const struct try_study *study,
                    const char *figures, const char *file);

/* The whole table as a file: one row a value, SI units, the value's own text where it is no
 * quantity; the columns are named by subject and measure. */
void try_csv_write(struct writer *w, const char *name, const struct try_study *study);

#endif
