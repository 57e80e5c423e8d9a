/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_ROWS_H
#define PRESOLDER_TOLERANCES_ROWS_H

#include "tolerances.h"

/* What is shown of a study, by the terminal and the pictures. */

/* The name of a group in words: `line voltage`, `C1, C2 value`, `tubes current`. */
const char *tolerances_rows_group(struct arena *arena, const struct tolerances *t, int group);

/* The name of a figure in words: `B+ voltage`, `C1 highest voltage before the tubes draw`. */
const char *tolerances_rows_figure(struct arena *arena, const struct tolerances_row *row);

/* The same where there is little room: `C1 before the tubes draw`. */
const char *tolerances_rows_short(struct arena *arena, const struct tolerances_row *row);

/* Volts before the tubes draw that are the same within 1 %: capacitors on one choke, which the same
 * values move. */
bool tolerances_rows_alike(const struct tolerances_row *a, const struct tolerances_row *b);

/* Whether there are direct volts at a point (circuit_direct). */
bool tolerances_rows_direct(const struct tolerances *t, const char *point);

/* Direct volts of a point that are worth a line. */
bool tolerances_rows_point(const struct tolerances *t, const struct tolerances_row *row);

/* The highest volts of a capacitor, before the tubes draw or in turn-ons. */
bool tolerances_rows_highest(const struct tolerances *t, const struct tolerances_row *row);

#endif
