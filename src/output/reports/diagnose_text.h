/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DIAGNOSE_TEXT_H
#define PRESOLDER_DIAGNOSE_TEXT_H

#include "diagnose.h"
#include "match_healthy.h"
#include "writer.h"

/* What a diagnosis tells: the answer, causes, readings beside what they let expect, what to read
 * next. `csv`: where diagnosis.csv will be. */
void diagnose_text_write(FILE *to, struct arena *arena, const struct diagnosis *d, const char *csv);

/* What stands before it where the set was matched to healthy readings of the file `path`. */
void diagnose_text_matched(FILE *to, struct arena *arena, const struct match *match,
                           const char *path);

/* The columns rank, part, cause, severity, unit, share, misfit, group: one row a cause, likeliest
 * first; group 1 for those that cannot be told apart from the first, else 0. The severity of a type
 * or point is that word, without a unit. Pairs stand behind, without rank and share. */
void diagnose_csv_write(struct writer *w, const char *name, const struct diagnosis *d);

/* `C1 leaky`, for tables and pictures. */
const char *diagnose_text_cause(struct arena *arena, const struct cause *c);

/* What is to be read and how: `DC voltage at B+, at full line voltage`. */
const char *diagnose_text_ask(struct arena *arena, const struct responses *r,
                              const struct read *read);

/* What was or would be read, as compared: `181 V`, `open`; NaN: `-`. */
const char *diagnose_text_value(struct arena *arena, const struct read *read, double compared);

#endif
