/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_TEXT_H
#define PRESOLDER_TOLERANCES_TEXT_H

#include <stdio.h>

#include "tolerances.h"

/* The answer of `tolerances` for the terminal, at most 80 columns: whether the figures hold, what
 * the meter may read, what passes its rating in how many sets, which value moves what, which
 * reading to take first. `folder`: where its files are. */
void tolerances_text_write(FILE *to, struct arena *arena, const struct tolerances *t,
                           const char *folder);

/* What is shown of a study, by the terminal and the pictures. */

/* The name of a group in words: `line voltage`, `C1, C2 value`, `tubes current`. */
const char *tolerances_text_group(struct arena *arena, const struct tolerances *t, int group);

/* The name of a figure in words: `B+ voltage`, `C1 highest voltage before the tubes draw`. */
const char *tolerances_text_figure(struct arena *arena, const struct tolerances_row *row);

/* The same where there is little room: `C1 before the tubes draw`. */
const char *tolerances_text_short(struct arena *arena, const struct tolerances_row *row);

/* Volts before the tubes draw that are the same within 1 %: capacitors on one choke, which the same
 * values move. */
bool tolerances_text_alike(const struct tolerances_row *a, const struct tolerances_row *b);

/* Direct volts of a point that are worth a line. */
bool tolerances_text_point(const struct tolerances *t, const struct tolerances_row *row);

/* The highest volts of a capacitor, before the tubes draw or in turn-ons. */
bool tolerances_text_highest(const struct tolerances *t, const struct tolerances_row *row);

#endif
