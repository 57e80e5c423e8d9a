/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_GUESSES_H
#define PRESOLDER_GUESSES_H

#include "run.h"

/* What a set leaves to guesses, and which figures they move. */

struct guesses {
    ARRAY(const struct assumption *) list; /* each once, in the order of the parts */
    int defaults;                          /* assumptions of the first stage that are no guesses */
};

/* Those of all stages. Lives in `arena`. */
struct guesses guesses_of(struct arena *arena, const struct setup *setup);

/* True when a guess of weight moves this figure. `run` tells windings for heaters from others. */
bool guesses_move(const struct guesses *g, const struct result *run, const char *subject,
                  enum measure measure);

#endif
