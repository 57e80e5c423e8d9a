/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SKIP_H
#define PRESOLDER_SKIP_H

#include "session.h"

/* Leaping over cycles. One cycle of the mains is a map z -> z + F(z) of all capacitor volts, coil
 * currents and device states; while only something slow is left (a field coil that warms), the map
 * is advanced over many cycles at once ("envelope following": L. Petzold, "An efficient numerical
 * method for highly oscillatory ordinary differential equations", SIAM J. Numer. Anal. 18, 1981;
 * from memory). The leap is an exponential one (M. Hochbruck, A. Ostermann, J. Schweitzer,
 * "Exponential Rosenbrock-type methods", SIAM J. Numer. Anal. 47, 2009, here for a map instead of a
 * differential equation; from memory): the map's Jacobian, which the cycle's own Jacobians carry
 * along (flow.h), is followed exactly, whatever its time constants; what remains of F is found at
 * the middle and the end of the leap and taken as a cubic. The next leaps go on with the same
 * Jacobian, turned to the slope found at the end of the last one, until one is not good enough.
 * With the true Jacobian the result would be exact to fourth order and its difference from the
 * third order the error estimate; ours is some per cent off, which makes that difference larger.
 * In the middle and behind every leap cycles are simulated and measured; what is summed up
 * (energies, charges, means) goes by the parabola through them. */

/* Leaps only in runs longer than this, and not before this time [s]: while cathodes warm up, few
 * cycles could be leapt over. */
#define SKIP_RUN 60
#define SKIP_AFTER 20

/* The error estimate of a leap, in ranges of each state, is at most this. */
#define SKIP_TOLERANCE 5e-6

/* The highest and the lowest values of a run are not left out by more than this, in ranges. */
#define SKIP_HUMP 5e-5

/* NULL when every cycle is to be simulated: asked for, a short run, or sources that are no whole
 * multiples of the period. */
struct skip *skip_new(struct session *s);

/* A stage begins; the session is in force. `skip` of the session may be NULL in all of these. */
void skip_stage(struct session *s);

/* True while the last leap is nearer than the window of the figures. */
bool skip_recent(const struct skip *k);

/* True from the time on at which leaps are tried. */
bool skip_begun(const struct skip *k, double t);

/* No more leaps from now on. */
void skip_hold(struct skip *k);

/* At the end of a cycle: counts it; tries a leap when it may be worth it, never nearer than a
 * second before an instant waited for. False when the run failed. */
bool skip_ahead(struct session *s, struct stops *next);

#endif
