/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SKIP_H
#define PRESOLDER_SKIP_H

#include "session.h"

/* Leaping over cycles. One cycle of the mains is a map of all capacitor volts, coil currents and device
 * states; while they drift slowly from cycle to cycle the map is advanced over many cycles at once
 * ("envelope following": L. Petzold, "An efficient numerical method for highly oscillatory ordinary
 * differential equations", SIAM J. Numer. Anal. 18, 1981; from memory). Two cycles are simulated and
 * measured between two leaps. What fades within cycles follows the map's slope, which the second
 * cycle's own Jacobians carry along (flow.h) and the heat balances of what is held (balance.h), whatever
 * its time constants: so a leap may be longer than they are (an exponential method, as in M. Hochbruck,
 * A. Ostermann, J. Schweitzer, "Exponential Rosenbrock-type methods", SIAM J. Numer. Anal. 47, 2009,
 * for a map and in several steps; from memory). What else moves the drift goes on as it did since the
 * leap before. The first cycle behind a leap tells what it made wrong, which sets the length of the
 * next one and is made good by it. Means and what is summed up (watt-seconds, charges) of the cycles
 * leapt over lie on a parabola through the measured ones (wave.h); audits leave them out, since
 * nothing was simulated there, and hold for all others. */

/* Leaps only in runs longer than this [s]; in those that end once all has settled not before then: until
 * it has, each twelve cycles in a row must be. */
#define SKIP_RUN 4
#define SKIP_AFTER 20

/* What a leap makes wrong, in ranges of each state, is to be no more than this; a long one half of
 * it, as many of them lie behind a settled figure. */
#define SKIP_TOLERANCE 2e-5

/* The highest and the lowest values of a run are not left out by more than this, in ranges. */
#define SKIP_HUMP 1e-5

/* NULL when every cycle is to be simulated: asked for, a short run, or sources that are no whole
 * multiples of the period. */
struct skip *skip_new(struct session *s);

/* A stage begins; the session is in force. `skip` of the session may be NULL in all of these. */
void skip_stage(struct session *s);

/* True while the last leap is nearer than the window of the figures. */
bool skip_recent(const struct skip *k);

/* No more leaps from now on. */
void skip_hold(struct skip *k);

/* At the end of a cycle: takes note of it, and leaps when that is worth it, never to less than three
 * dozen cycles before an instant waited for. False when the run failed. */
bool skip_ahead(struct session *s, struct stops *next);

#endif
