/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BUY_RUNS_H
#define PRESOLDER_BUY_RUNS_H

#include "buy_list.h"

/* Sets up the worst cases and runs them side by side. Fills setup, run, judgement, label, line,
 * raised, status and failure of `list`; false unless all went well. */
bool buy_runs(struct arena *arena, struct diags *diags, const struct scenario *s,
              const char *variant, const struct buy_options *options, struct buy_list *list);

/* The set with the parts of a list in place, on the line as drawn; `bought` is the scenario it is a
 * variant of. NULL: it cannot be made so. */
const struct setup *buy_drawn(struct arena *arena, const struct scenario *s, const char *variant,
                              const struct buy_list *list, const struct scenario **bought);

/* What turns over with an assumption once the parts of a finished list are in place, on the line as
 * drawn; NULL: the set cannot be made so. */
const struct ends *buy_ends(struct arena *arena, const struct scenario *s, const char *variant,
                            const struct buy_options *options, const struct buy_list *list);

#endif
