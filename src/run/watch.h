/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WATCH_H
#define PRESOLDER_WATCH_H

#include "meter.h"

/* Ratings watched cycle by cycle, so that it can be told since when and for how long one was
 * passed; passed again after a second or more, it is told again. Figures of a whole run (inrush,
 * supply impedance) and lower limits that every cold start passes (heater volts) are left to the
 * judge. Internal to the layer. */
struct watch;

/* Watches the ratings of all stages. */
struct watch *watch_new(struct arena *arena, const struct meter *m);

/* A cycle has ended at t [s]. */
void watch_cycle(struct watch *w, const struct meter *m, double t);

/* Enters what was passed into the result. */
void watch_report(struct watch *w, struct result *result);

#endif
