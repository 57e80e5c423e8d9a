/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FLOW_H
#define PRESOLDER_FLOW_H

#include "session.h"

/* What a small change of the state becomes along a run, z -> M z: z are all capacitor volts, all
 * coil currents and the device states that move, in this order. Along a step with the Jacobians J0
 * and J1 at its ends, M goes over into
 *
 *     (1 - 2/3 hJ + 1/6 (hJ)^2)^-1 (1 + 1/3 hJ) M,   J = (J0 + J1)/2,
 *
 * the two-stage Radau method (L-stable; its third order holds for a constant J, second for one that
 * changes). At a switch it goes over as charges and fluxes do; the instant of the switch moves with
 * the state, which for a current that begins or ends at zero is the same thing. So M is good to a
 * few per cent, at a few per cent of what the steps cost: for Newton's method. Internal to the
 * layer. */
struct flow;

/* Room for the session's stage. */
struct flow *flow_new(struct session *s);

/* M = 1 at the state in force. */
void flow_start(struct session *s);

/* The integration begins (again) where the solver stands. */
void flow_begin(struct session *s);

/* The solver has made a step of so many seconds, in one pattern. */
void flow_step(struct session *s, double step);

/* The pattern in force gives way to `next`. */
void flow_switch(struct session *s, const struct reduced *next);

/* M so far [n*n], n = capacitors + coils + moving states. False when it could not be followed. */
bool flow_read(struct session *s, double *m);

#endif
