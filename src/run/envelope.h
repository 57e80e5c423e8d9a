/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ENVELOPE_H
#define PRESOLDER_ENVELOPE_H

#include "meter.h"

/* Least, mean and highest voltage of every traced point in each cycle, one row a cycle, thinned as
 * a trace is. A trace keeps extremes and so tells no mean over longer spans; this does. Internal to
 * the layer. */
struct envelope;

/* For a run of `duration` [s]; NULL: no point is traced. */
struct envelope *envelope_new(struct arena *arena, const struct meter *m, double duration);

/* A cycle has ended at t [s]. */
void envelope_cycle(struct envelope *e, const struct meter *m, double t);

/* Enters the record into the result. */
void envelope_report(struct envelope *e, struct result *result);

#endif
