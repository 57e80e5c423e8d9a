/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_COILS_H
#define PRESOLDER_COILS_H

#include "session.h"

/* Currents of coils where conductances change at once. A held conductance that takes another value,
 * however near, would send its step of current into what stands beside a coil: kilohms, so volts that
 * never were. Fast currents follow at once instead, as they would within microseconds. Internal to
 * the layer. */
struct coils;

/* Room for the session's stage. */
struct coils *coils_new(struct session *s);

/* Takes note of the rates in force, before the change. False when they are not known. */
bool coils_note(struct coils *c, struct session *s);

/* After the change, with as many states as before: moves the currents, and books what that loses. */
void coils_follow(struct coils *c, struct session *s);

#endif
