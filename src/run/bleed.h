/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BLEED_H
#define PRESOLDER_BLEED_H

#include "session.h"

/* How the capacitors empty by themselves when the mains are cut now and all tubes are cold. Only
 * what was typed in counts as a way: no leakage that was assumed, nothing the network puts across
 * ports for its own sake. Fuses and switches other than the mains' stay as they are; batteries are
 * taken out; windings let direct current through. */
#define BLEED_LONGEST 1048576.0 /* 2^20 s, twelve days; beyond, insulation no one knows decides */

/* Seconds until each capacitor of the session's network is below volts[k], 0 <= k < levels, for
 * good, from the session's state in force: times[capacitor * levels + k], capacitors in the order
 * of the network. 0 when it is already and stays so, inf when not within BLEED_LONGEST. Exact to
 * about a microsecond for the linear network that is left, w(t) = exp(A t) w(0); where the volts
 * swing, crossings between two doublings of the time may be missed. `times` is the caller's. False
 * when the run was interrupted meanwhile: there are none then. */
bool bleed_times(struct session *s, const double *volts, int levels, double *times);

#endif
