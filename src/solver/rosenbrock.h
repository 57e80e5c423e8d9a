/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ROSENBROCK_H
#define PRESOLDER_ROSENBROCK_H

#include <stdbool.h>

#include "arena.h"
#include "ode.h"

/* Stiff integrator: linearly implicit (Rosenbrock) method of order 5 with embedded order 4, eight
 * stages, stiffly accurate, L-stable, dense output of order 4: G. Steinebach, "Construction of
 * Rosenbrock-Wanner method Rodas5P and numerical benchmarks within the Julia Differential Equations
 * package", BIT Numer. Math. 63:27 (2023). Events are located on the dense output and looked for
 * inside the step too: at its Gauss-Lobatto nodes, and where a function turns toward zero between them.
 * Nothing is allocated after _new. */
struct rosenbrock;

struct rosenbrock_stats {
    long steps;       /* accepted */
    long rejected;    /* by the error test, or because something was not finite */
    long shrunk;      /* because a callback asked for it or the iteration matrix was singular */
    long derivatives; /* calls of the derivative */
    long jacobians; /* calls of the Jacobian; factorisations = steps + rejected + shrunk at most */
    long located;   /* events located; several functions that fire at one instant count once */
    double
        smallest; /* smallest accepted step [s] that was not cut short by a stop time or an event */
};

enum rosenbrock_result {
    ROSENBROCK_STEP,    /* a step was made */
    ROSENBROCK_EVENT,   /* a step was made and ends at an event */
    ROSENBROCK_STOPPED, /* a callback said stop */
    ROSENBROCK_TINY,    /* the step became too small to go on: below 4 ulp of time (or span) */
    ROSENBROCK_SINGULAR /* the iteration matrix stayed singular however small the step */
};

/* A solver for problems of up to `states` states and `events` event functions, living in `arena`.
 */
struct rosenbrock *rosenbrock_new(struct arena *arena, int states, int events);

/* Sets the tolerance: the error estimate of state i, divided by scale[i], must stay below
 * `tolerance` (a mean over the states would let a set of many heaters be careless of a filter).
 * `scale` (length = states of the problem, each above zero, in the unit of its state) is read at
 * every step and may be changed by the caller between steps: it is the range seen of that state.
 * `longest` [s] bounds the step. */
void rosenbrock_accuracy(struct rosenbrock *s, double tolerance, const double *scale,
                         double longest);

/* Begins (or begins again after a discontinuity) at t [s], y[ode->n]. `first` > 0 is the step to
 * try first [s]; 0 = find one. Event functions that are at or above zero at the start are asleep
 * until they have been below zero; one that is below, be it by a rounding, fires at the first
 * instant it is seen at or above zero. y is copied and may be rosenbrock_state(s). The problem must
 * outlive the solver's use of it. Statistics run on. */
void rosenbrock_begin(struct rosenbrock *s, const struct ode *ode, double t, const double *y,
                      double first);

/* Steps that did well along a stretch that comes again and again, as the conduction of a rectifier in
 * every cycle: the next time none is tried that failed there the time before. */
struct rosenbrock_track;
struct rosenbrock_track *rosenbrock_track_new(struct arena *arena);

/* A stretch begins at the time of the solver: its steps are held against those of `track`, the same
 * stretch before, and noted there. It lasts until the next call; NULL: nothing is noted. */
void rosenbrock_follow(struct rosenbrock *s, struct rosenbrock_track *track);

/* What the problem's functions give has changed a little, and the state is y[ode->n] now: they are
 * asked again at the begin of the next step, which is as long as it would have been. */
void rosenbrock_refresh(struct rosenbrock *s, const double *y);

/* The solver stands at t [s] now, and the running stretch began as much later: over whole cycles of what
 * comes again and again. rosenbrock_refresh is to follow. */
void rosenbrock_move(struct rosenbrock *s, double t);

/* Makes one step, never beyond `stop` (> current t) [s], ending exactly at `stop` when that is near
 * enough. At an event the step ends there; the functions that fired are at or above zero at that
 * state (save by a rounding) and asleep until they have been below it again, so going on without
 * _begin is allowed. On any other result than STEP and EVENT time, state and dense output stay
 * those of the step before. */
enum rosenbrock_result rosenbrock_step(struct rosenbrock *s, double stop);

double rosenbrock_time(const struct rosenbrock *s);         /* now, end of the last step [s] */
double rosenbrock_previous(const struct rosenbrock *s);     /* start of the last step [s] */
const double *rosenbrock_state(const struct rosenbrock *s); /* y at the end of the last step */

/* y at t [s] inside the last step (previous <= t <= time), by dense output; exact at both ends. */
void rosenbrock_dense(const struct rosenbrock *s, double t, double *y);

/* After ROSENBROCK_EVENT: event functions that crossed zero at this instant (within rounding of the
 * same time): 1 or 0 for each. All 0 after any other result. */
const unsigned char *rosenbrock_fired(const struct rosenbrock *s);

/* The state whose error was the largest against its scale, or was not finite, in the step that was
 * tried last; where its matrix was singular the one whose rate has the steepest slope, or one that
 * is not finite. -1: none was. */
int rosenbrock_worst(const struct rosenbrock *s);

/* The Jacobian at the end of the last step [n*n], row-major; asked for now where it is not known, and
 * used again by the next step. NULL when the problem could not give it. */
const double *rosenbrock_jacobian(struct rosenbrock *s);

/* The step the error control would take next [s] (not shortened by stop or events): remembered
 * across events. 0 after _begin with first = 0. */
double rosenbrock_next(const struct rosenbrock *s);

const struct rosenbrock_stats *rosenbrock_statistics(const struct rosenbrock *s);

#endif
