/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_STEADY_H
#define PRESOLDER_STEADY_H

#include "session.h"

/* The periodic steady state: the z with F(z) = 0 of the cycle map, found by Newton's method instead
 * of waiting for it ("shooting": T. J. Aprille, T. N. Trick, "Steady-state analysis of nonlinear
 * circuits with periodic inputs", Proc. IEEE 60, 1972; from memory). Bodies that take longer than a
 * set is on before it is called hot (transformer, coil copper, capacitor cans) stand as they are.
 */

/* At the end of a cycle: puts the steady state in force where it can be found, at the same instant;
 * the books go on from there, and the statistics tell it. Where it cannot (a state runs away,
 * something trips, a source that does not repeat with the cycle) the state stays. False when the
 * run failed. */
bool steady_jump(struct session *s, const struct stops *next);

#endif
