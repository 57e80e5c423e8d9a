/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_STEADY_SEARCH_H
#define PRESOLDER_STEADY_SEARCH_H

#include "session.h"

/* The periodic steady state of a session's stage: a state z that one cycle of the mains brings back
 * to itself, while temperatures and the like stay where their mean heating balances their cooling.
 * Found by Newton's method ("shooting": T. J. Aprille, T. N. Trick, "Steady-state analysis of
 * nonlinear circuits with periodic inputs", Proc. IEEE 60, 1972; from memory) instead of waiting
 * for it. What is slow is held through each cycle tried (hold.h); its balance is an equation of its
 * own (balance.h). Internal to the layer. */
struct steady_search {
    int ny, ns; /* capacitors and coils, device states; z has both, in this order */
    int gates;
    int n, *at;          /* unknowns and their places in z */
    bool *held;          /* [ns] */
    double *z;           /* [ny+ns] */
    double *size;        /* [ny+ns] ranges */
    struct moving *was;  /* where every cycle begins, but for z */
    pattern_t pattern;   /* at z, about */
    double *range, *lit; /* rows of `was`: [ny]; [gates] at z */
    double *coupled;     /* [n*n] what the Jacobian made of parts leaves out, learnt on the way */
    long cycles;         /* tried so far */
    struct search_room *room;
};

/* For a session at the end of a period, or at its begin; z is the state in force. `bodies_stay`:
 * bodies that take long (transformer, coil copper, capacitor cans) stay at their temperatures. */
struct steady_search *steady_search_new(struct session *s, bool bodies_stay);

/* Takes over where another search has ended; false when that had other states. */
bool steady_search_begin_at(struct steady_search *d, const struct steady_search *from);

/* Makes so many cycles without a search, from z into z. False when one cannot be made. */
bool steady_search_warm(struct steady_search *d, struct session *s, int cycles);

/* Heaters and cathodes in z are as cold as the room. */
void steady_search_cool(struct steady_search *d, const struct session *s);

/* Something in z is colder than the room by more than a kelvin: a root of the equations, and no state
 * that a set gets to. */
bool steady_search_frozen(const struct steady_search *d, const struct session *s);

/* Searches from z; false when nothing is found (a state runs away, something trips): z is of no use
 * then. */
bool steady_search_find(struct steady_search *d, struct session *s);

/* Puts z in force at the instant the search began at. `held`: what was held stays where it is from
 * there on; else all moves. False when no pattern agrees with it. */
bool steady_search_put(struct steady_search *d, struct session *s, bool held);

/* At the end of a cycle of a run: puts the steady state in force where it can be found, at the same
 * instant, bodies that take long standing as they are; the books go on from there, and the
 * statistics tell it. Where it cannot (a state runs away, something trips, a source that does not
 * repeat with the cycle) the state stays. False when the run failed. */
bool steady_search_jump(struct session *s, const struct stops *next);

#endif
