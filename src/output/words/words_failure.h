/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_FAILURE_H
#define PRESOLDER_WORDS_FAILURE_H

#include "failure.h"

/* Why a study has no answer. */

/* which run, why */
static const char words_failure_of[] = "%s: %s";

/* Of a cause other than FAILURE_NONE; of FAILURE_RUN where nothing is known of the run. */
const char *words_failure(enum failure_cause cause);

/* The same with all that is known. Lives in `arena`, or for ever. */
const char *words_failure_why(struct arena *arena, const struct failure *f);

/* Which run, or of what; NULL: the only one. Lives in `arena`, or for ever, or is the name. */
const char *words_failure_which(struct arena *arena, const struct failure *f);

/* What can be done about it, as far as it is not the run's; NULL: nothing is known. */
const char *words_failure_hint(struct arena *arena, enum failure_cause cause);

#endif
