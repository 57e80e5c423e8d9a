/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SEVERAL_H
#define PRESOLDER_SEVERAL_H

#include "turn_on.h"

/* Turn-ons of several setups at a time, one thread each; each lives in an arena of its own that is
 * given back with `arena`. */

struct several_options {
    struct run_options run; /* of every one; its progress may be called from several threads */
    int jobs;               /* threads; 0: as many as there are processors */
    /* Called in the caller's thread after every turn-on, with how many are done; may be NULL. */
    void (*done)(void *context, int done, int all);
    void *done_context;
};

/* turn_ons[i] of setups[i], in order; they are the same whatever `jobs`. NULL where the work was
 * stopped before its turn, after one that did not end well. Returns the status of the first that
 * did not, else STATUS_OK. */
enum status several_turn_on(struct arena *arena, const struct setup *const *setups, int n,
                            const struct several_options *options, const struct turn_on **turn_ons);

#endif
