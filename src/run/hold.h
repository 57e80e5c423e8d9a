/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_HOLD_H
#define PRESOLDER_HOLD_H

#include "session.h"

/* Holding what is slow. Temperatures of heaters, cathodes, windings and cans take many cycles to
 * change, but integrating them with the network makes every step three times as dear. A state that
 * changes little in a cycle is held: for the coming cycle it goes along a straight line, whose slope
 * continues those of the last two cycles, and at its end it is advanced by its rate at the middle of
 * the cycle, with the mean squares of its port volts (the explicit midpoint rule: second order in
 * the cycle over its time constant). Held conductances become part of the network. A state that
 * moves swings with the watts of the moment; its line goes through the middle of that.
 *
 * The error of the line, rate found less slope, is watched: where it passes HOLD_ERROR the state
 * moves again. Near a gate that looks at a state, after a timed change, and while nothing is known
 * of a state's rate it moves. */

/* A held state changes by so much of its range in a cycle at most; and half its heating alone would
 * change it by so much: its ripple within the cycle, which the line leaves out. */
#define HOLD_SHARE 1e-2
#define HOLD_RIPPLE 5e-3
#define HOLD_ERROR 2e-4 /* of its range */

struct hold;

/* NULL when `hold` of the options is negative. */
struct hold *hold_new(struct session *s);

/* Where a state whose line stands at `line` is at the end of a cycle, and, in *top, the highest it
 * was in the cycle, as far as the line and the heating tell. One that moves is its own line. h may be
 * NULL. */
double hold_now(const struct hold *h, int state, double line, double period, double *top);

/* Whether any state is held; h may be NULL. */
bool hold_holds(const struct hold *h);

/* A step of so many seconds has led to the states as they are; the equations are solved there. */
void hold_step(struct session *s, double step);

/* A stage begins, its pattern is in force. With `hold` of the options infinite, all that may be held
 * stays where it is, for good. */
void hold_begin(struct session *s);

/* Which states of a hot set may stay where they are for good, by the same bounds. */
void hold_choose(const struct session *s, bool *held);

/* From here on the states with held[k] stay where they are now, for good, and all others move; NULL:
 * all move, and what is held is chosen anew from cycle to cycle. The pattern is to be put in force
 * anew (session_settle). */
void hold_still(struct session *s, const bool *held);

/* A whole period has ended: advances what is held, and chooses anew what is. The moments of the
 * period are complete. */
void hold_cycle(struct session *s);

/* From here on all states move, those held being advanced to now; nothing is known of their rates.
 * Before whatever does not go on as it did. */
void hold_release(struct session *s);

/* How much more a change of the state counts than its range tells. */
double hold_weight(const struct session *s, int state);

/* Slopes of the rates of what was held in the last cycle by all states [ns*ns], rows of other states zero
 * [1/s]; of a cycle along which s->flow was followed. NULL: nothing was held. */
const double *hold_slopes(const struct session *s);

/* Over a leap what is held, s->states, changed in its last two cycles so. Then, with s->t and all else
 * there, hold_land puts it in force. */
void hold_leap(struct session *s, const double *last, const double *before);
void hold_land(struct session *s);

#endif
