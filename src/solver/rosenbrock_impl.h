/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ROSENBROCK_IMPL_H
#define PRESOLDER_ROSENBROCK_IMPL_H

/* Shared by the sources of the integrator only: rosenbrock.c steps and controls, rosenbrock_stage.c
 * solves one step, rosenbrock_event.c looks for events in it, rosenbrock_track.c remembers steps.
 * Functions that return int pass on what a callback returned: 0 = good, positive = shrink the step,
 * negative = stop. */

#include "lobatto.h"
#include "rodas5p.h"
#include "rosenbrock.h"

/* Instants of a step at which event functions are looked at. */
enum { EVENT_SAMPLES = LOBATTO_NODES };

/* The solution over one step as dense output has it. */
struct piece {
    double start, end, length; /* [s]; length = end - start */
    double *from, *to;         /* y at both ends [states] */
    double *bend[RODAS_BENDS]; /* K of rodas5p.h [states] */
};

struct rosenbrock {
    int states, events; /* room; the problem may be smaller */
    const struct ode *ode;
    double tolerance, longest; /* [-], [s] */
    const double *scale;       /* of the caller */

    double time;        /* now [s] */
    double *y;          /* now [states] */
    double next;        /* step to try next [s]; 0 = to be found */
    double behind;      /* the same behind an event whose way was split; 0 = no such event ahead */
    double last_error;  /* norm of the last accepted step / tolerance; 0 = none yet */
    double last_length; /* of that step [s] */
    double error;       /* the same of the step on trial; NaN when it has none */
    bool singular;      /* the iteration matrix of the step on trial */

    /* What is known at (time, y), so that a repeated step need not ask again. */
    bool derivative_known, jacobian_known, event_known;
    double *derivative;  /* f [states] */
    double *dfdy, *dfdt; /* [states * states], [states] */

    double *matrix; /* I/(h gamma) - dfdy, factored [states * states] */
    int *pivot;
    double *stage;    /* U [RODAS_STAGES * states] */
    double *argument; /* state at which a callback is asked [states] */
    double *past;     /* sum of C_ij/h U_j over the stages before [states] */
    struct piece pieces[2], *trial, *done;

    double *sample[EVENT_SAMPLES]; /* event functions at the samples [events]; [0] = now */
    double *probe, *first; /* the same at an instant between, and at the earliest crossing */
    double *since;         /* below zero from then on, until the earliest crossing [s] */
    unsigned char *fired;

    struct rosenbrock_track *track; /* NULL: none */
    double origin;                  /* where its stretch begins [s] */

    struct rosenbrock_stats stats;
};

/* The step [s] that would just have met the tolerance where the stretch before was as far; inf: not
 * known. And what is found now about a step from `start` [s]. */
double rosenbrock_track_step(const struct rosenbrock *s);
void rosenbrock_track_note(struct rosenbrock *s, double start, double step);

/* When the running stretch ends if it ends as the one before, with an event [s]; inf: not known.
 * And an event is where the solver is now. */
double rosenbrock_track_event(const struct rosenbrock *s);
void rosenbrock_track_end(struct rosenbrock *s);

/* Solves the step from (time, y) over s->trial, whose start, end and length are set: fills the rest
 * of the piece and s->error. A number that is not finite gives an error of NaN and is shown to no
 * callback. */
int rosenbrock_solve(struct rosenbrock *s);

/* A first step [s] for a problem about which nothing is known, at most `span` [s]. */
int rosenbrock_start(struct rosenbrock *s, double span, double *step);

/* y[n] at t by dense output. */
void rosenbrock_interpolate(const struct piece *p, int n, double t, double *y);

/* Looks for the first event in s->trial: *found and its time *when [s], s->fired and s->first, else
 * the last of s->sample. */
int rosenbrock_find_event(struct rosenbrock *s, bool *found, double *when);

#endif
