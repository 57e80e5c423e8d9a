/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SUMMARY_H
#define PRESOLDER_SUMMARY_H

#include <stdio.h>

#include "turn_on.h"

/* What the terminal shows of a turn-on: plain text of at most 80 columns, ASCII but for the user's
 * own names. In this order: what is wrong with the run itself; what to stop for; what the meter
 * should read; the margins, worst first; what to keep; what was guessed; the cautions. In its brief
 * form (page_style) as many margins as 36 lines have room for, and of the rest what must be known.
 * Three significant digits, two (`about`) where a guess of weight moves the value. */

/* Writes it to `to` (errors stay in the stream: ask ferror). `figures`: where all figures were
 * written to, for the reader who wants more; NULL: nowhere. Scratch memory comes from `arena`. */
void summary_write(FILE *to, struct arena *arena, const struct turn_on *t, const char *figures);

#endif
