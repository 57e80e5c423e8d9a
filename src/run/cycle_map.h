/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CYCLE_MAP_H
#define PRESOLDER_CYCLE_MAP_H

#include "session.h"

/* One cycle of the mains as a map z -> z + F(z) of all capacitor volts, coil currents and device
 * states, in this order. Trial cycles are simulated from given states at the instant kept; sources
 * repeat with the cycle, so their answer holds at any number of cycles ahead. */
struct cycle_map {
    int n;
    double *start, *drift, *size; /* [n] z0, F(z0), ranges */
    double *map;                  /* [n*n] 1 + dF/dz */
    struct flow *flow;            /* follows the map along a cycle */
    double *to, *after;           /* [n] a trial's start and end; `to` is the caller's scratch */
    struct moving *was;           /* at the start */
    struct stops next;
};

/* For the stage in force, in the session's arena. */
struct cycle_map *cycle_map_new(struct session *s);

/* Whether all sources of all stages repeat with the cycle. */
bool cycle_map_exists(const struct session *s);

/* Takes the state in force as z0, with all that trials may change. The meter must be asleep during
 * the trials. */
void cycle_map_keep(struct cycle_map *m, struct session *s, const struct stops *next);

/* z0 in force again, as before the trials. False when it could not be found again. */
bool cycle_map_back(const struct cycle_map *m, struct session *s);

/* Puts a state in force at s->now.t; the pattern is looked for from that of z0. */
bool cycle_map_put(const struct cycle_map *m, struct session *s, const double *z);

/* One cycle from z into `after`. False when it is not like the one from z0: another pattern at its
 * ends, a switch that trips. */
bool cycle_map_trial(struct cycle_map *m, struct session *s, const double *z);

/* Fills drift, and map where it is asked for, as the cycle's own Jacobians carry it along (flow.h);
 * false as above. */
bool cycle_map_drift(struct cycle_map *m, struct session *s, bool map);

#endif
