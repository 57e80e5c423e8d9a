/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIGURES_CSV_H
#define PRESOLDER_FIGURES_CSV_H

#include "judge.h"
#include "writer.h"

/* Writes all judged figures as the file `name`: the columns variant, subject, measure, value, unit,
 * limit, limit_source, verdict, time_s. SI units without prefixes, 9 significant digits, `inf` for
 * never or unlimited; a limit or time that is not there is an empty field; lines end with \n. The
 * system of a rating (design-centre ...) stands in brackets behind its source. */
void figures_csv_write(struct writer *w, const char *name, const struct judgement *judgement);

/* The same in pieces, for several runs in one file: begins the file; adds the rows of one run.
 * Whatever an earlier run with figures has left in the folder goes when the writer commits. */
void figures_csv_begin(struct writer *w, const char *name);
void figures_csv_add(struct writer *w, const struct judgement *judgement);

/* A row `VARIANT,set,interrupted-at,TIME,s` for a run that was not finished; time [s]. */
void figures_csv_mark(struct writer *w, const char *variant, double time);

#endif
