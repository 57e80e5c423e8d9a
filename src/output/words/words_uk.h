/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_UK_H
#define PRESOLDER_WORDS_UK_H

#include "arena.h"

/* `text` in the words of the trade in the UK: valves for tubes, anodes for plates, HT for B+. What
 * is between two backquotes and the user's own `names` (ends with NULL) stay as they are. `text`
 * itself where nothing changes. */
const char *words_uk(struct arena *arena, const char *const *names, const char *text);

#endif
