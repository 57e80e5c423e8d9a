/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIND_PAIR_TEXT_H
#define PRESOLDER_FIND_PAIR_TEXT_H

#include <stdio.h>

#include "find_pair.h"

/* What `find-value` shows of two values for two wishes: what was looked at, the answer with its
 * preferred neighbours, watts or volts to buy both parts by, and how far it holds. */
void find_pair_text_write(FILE *to, struct arena *arena, const char *title,
                          const struct changed changed[2], const struct wish wishes[2],
                          const struct finding *f, bool cold, const char *figures);

/* What can be reached, of a finding without answer. */
const char *find_pair_reach(struct arena *arena, const struct changed changed[2],
                            const struct wish wishes[2], const struct finding *f);

#endif
