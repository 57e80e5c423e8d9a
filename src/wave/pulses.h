/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PULSES_H
#define PRESOLDER_PULSES_H

#include <stdbool.h>

#include "arena.h"
#include "wave.h"

/* The pulses above zero of one channel, a set for each closing of the mains. */
struct pulses;

/* Of the pulses that rise above all before them at most this many are kept at a time. */
enum { PULSES_KEPT = 512 };

/* An empty record in `arena`; nothing is allocated afterwards. */
struct pulses *pulses_new(struct arena *arena);

/* One step from t0 to t1 > t0 [s] with its samples at the four nodes. */
void pulses_step(struct pulses *p, double t0, double t1, const double v[WAVE_NODES]);

/* One side of a jump at t [s]: raises the peak of a running pulse. */
void pulses_instant(struct pulses *p, double t, double v);

/* What comes at t [s] does not follow what was last taken in: a running pulse ends. */
void pulses_cut(struct pulses *p, double t);

/* A new set begins at t [s]; a running pulse is cut there and ends the old set. */
void pulses_closing(struct pulses *p, double t);

/* The first pulse of set `closing` that exceeds 1 % of the highest of that set; false when there
 * was none. */
bool pulses_first(const struct pulses *p, int closing, struct wave_pulse *pulse);

#endif
