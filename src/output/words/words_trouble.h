/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_TROUBLE_H
#define PRESOLDER_WORDS_TROUBLE_H

#include "status.h"
#include "trouble.h"

/* Why a run has no answer, where and when: `at 0.5 s: the time step became too small near V6: look
 * at its values and at those of what it is joined to`. Where nothing is known of it, how it ended.
 * Lives in `arena`, or for ever. */
const char *words_trouble(struct arena *arena, enum status status, const struct trouble *t);

#endif
