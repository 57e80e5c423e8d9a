/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_HEAT_H
#define PRESOLDER_HEAT_H

#include "meter.h"

/* The slow record of a run: watts of every part that turns any into heat, as means of a cycle, and
 * the temperatures that are followed, one row a cycle, thinned as a trace is. Internal to the
 * layer. */
struct heat;

/* For a run of `duration` [s]. */
struct heat *heat_new(struct arena *arena, const struct meter *m, double duration);

/* A cycle has ended at t [s]. */
void heat_cycle(struct heat *h, const struct meter *m, double t);

/* Enters the record into the result. */
void heat_report(struct heat *h, struct result *result);

#endif
