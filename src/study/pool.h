/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_POOL_H
#define PRESOLDER_POOL_H

#include <stdbool.h>

#include "arena.h"

/* Many independent pieces of work on several processors, taken in order: whatever the number of
 * threads, what is taken is the same in the same order. */

/* Does piece i. Called from several threads at once, once for each i; may touch nothing shared that
 * changes. */
typedef void pool_work(void *context, int i);

/* Takes the finished piece i; called in the caller's thread, i = 0, 1, ... in order. False: the
 * rest is not wanted, no further piece is begun. */
typedef bool pool_take(void *context, int i);

/* Does pieces 0 .. n-1 with `jobs` threads (at most POOL_JOBS), and returns when all that were
 * begun are done. No piece is begun further than `ahead` (at least `jobs`) beyond the last one
 * taken, which bounds what is kept. False when `take` said so, or no thread could be started. */
enum { POOL_JOBS = 256 };
bool pool_run(int n, int jobs, int ahead, pool_work *work, pool_take *take, void *context);

/* The same where `take` needs memory of `arena`: when that runs out the threads end first, and only
 * then it goes where the arena goes. */
bool pool_run_in(struct arena *arena, int n, int jobs, int ahead, pool_work *work, pool_take *take,
                 void *context);

/* For the work of a piece: make(context, i) where memory of the piece's own arena is needed. When
 * that runs out this comes back early, with what `make` was to set last not set. `arena` NULL:
 * nothing is done. */
void pool_within(struct arena *arena, pool_work *make, void *context, int i);

/* Processors of this machine that may be used, at least 1. */
int pool_processors(void);

#endif
