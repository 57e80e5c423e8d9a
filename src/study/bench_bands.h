/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BENCH_BANDS_H
#define PRESOLDER_BENCH_BANDS_H

#include "bench_sheet.h"

/* How far the readings of sound sets lie apart at one step; internal to the study of a bench
 * sheet. */

struct bench_share {
    double least[BENCH_READINGS], most[BENCH_READINGS]; /* over what the set as typed reads warm */
};

/* Nine of ten sets like this one, warm, without timed changes: s with variant is the step, its lamp
 * laid (tolerances.h, TOLERANCES_BANDS samples). False where too many of them have no steady state
 * (with options->tolerances: not even after waiting), or when interrupted. Takes passing memory
 * from the arena. */
bool bench_bands_find(struct arena *arena, const struct scenario *s, const char *variant,
                      const struct bench_parts *parts, const struct bench_options *options,
                      struct bench_share *share);

/* Gives the row's values their bands. */
void bench_bands_lay(const struct bench_share *share, struct bench_row *row);

#endif
