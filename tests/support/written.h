/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WRITTEN_H
#define PRESOLDER_WRITTEN_H

#include "run.h"

/* Sets written as scenarios in a test, run as they stand: no catalogue, mains close at zero unless
 * the text says otherwise. */
struct written {
    struct arena *arena;
    const struct setup *setup;
    const struct result *r;
};

/* Runs `text` (the `parts:` of a scenario and all that stands beside it; `format: 1` and the
 * reference `0` are put before). Fails the test when text, run or audit are wrong. */
struct written written_run(const char *text);
void written_free(struct written *w);

/* A part of the first stage; fails the test when absent. */
const struct part *written_part(const struct written *w, const char *name);

#endif
