/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DISCHARGE_TEXT_H
#define PRESOLDER_DISCHARGE_TEXT_H

#include <stdio.h>

#include "discharge.h"
#include "writer.h"

/* What `discharge` shows: what each capacitor holds and how it empties by itself, the tool to empty
 * it with, what creeps back, limits that are exceeded, cautions. `file`: where the table was
 * written to. At most 80 columns. */
void discharge_text_write(FILE *to, struct arena *arena, const struct discharge *d,
                          const char *file);

/* The whole table: a row a capacitor, SI units. */
void discharge_csv_write(struct writer *w, const char *name, const struct discharge *d);

#endif
