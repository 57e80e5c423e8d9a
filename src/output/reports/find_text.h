/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIND_TEXT_H
#define PRESOLDER_FIND_TEXT_H

#include <stdio.h>

#include "find.h"

/* What `find-value` shows: what was looked at, the answer with its preferred neighbours, watts or
 * volts to buy it by, and how far it holds when the load changes; or what can be reached. */
void find_text_write(FILE *to, struct arena *arena, const char *title,
                     const struct changed *changed, const struct wish *wish,
                     const struct finding *f, bool cold, const char *figures);

/* `B+ settled-voltage goes from 120 V (R9.resistance=100 kohm) to 270 V (R9.resistance=10 ohm)`. */
const char *find_reach(struct arena *arena, const struct changed *changed, const struct wish *wish,
                       const struct finding *f);

#endif
