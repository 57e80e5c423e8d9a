/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_MEANS_H
#define PRESOLDER_MEANS_H

#include "arena.h"

/* The means of all periods of many channels, kept as the range of each block of neighbouring
 * periods. */
struct means;

/* Up to this many periods every block is one period; after that the blocks grow by doubling. */
enum { MEANS_BLOCKS = 1024 };

/* An empty history of `channels` channels, in `arena`; nothing is allocated afterwards. */
struct means *means_new(struct arena *arena, int channels);

/* The means of the next period: mean[channels]. */
void means_push(struct means *m, const double *mean);

/* How many periods had passed at the end of the last block with a mean outside low .. high; 0 when
 * all were inside. Never too few, too many by less than one block. */
int means_last_outside(const struct means *m, int channel, double low, double high);

#endif
