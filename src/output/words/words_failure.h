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

/* Of a run other than FAILURE_NAMED. */
const char *words_failure_run(enum failure_run run);

#endif
