/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EQUATIONS_H
#define PRESOLDER_EQUATIONS_H

#include "network.h"

/* The equations of one run as y' = f(t, y) within one pattern: y = the states w of the reduced
 * network, then the device states that move. The others are held: for a while they go along
 * straight lines that the caller states. Port volts and currents follow from y by Newton's method.
 * One workspace a run; nothing is allocated after _new. */
/* What a port's current is asked of. */
struct port_use {
    double (*current)(const void *par, int port, const double *c, double v, double *g);
    const void *par;
    int port;
};

struct equations {
    const struct network *network;
    const struct circuit *circuit;
    const struct reduced *r; /* the pattern in force */
    int ns;                  /* device states in all */
    int moving;              /* those in y */
    int *moves;              /* [moving] their numbers, rising */
    int *place;              /* [ns] place among them; -1: held */
    int seen, *sees;         /* held ones that laws and gates look at */
    double *state;           /* [ns] those that move or are looked at, at the instant last solved */
    double *from, *slope;    /* [ns] lines of the held ones: from + slope (t - origin) */
    double origin;           /* [s] */
    double t;                /* instant last solved [s] */
    double shift;   /* the sources' time is t + shift [s]: the angle at which the mains closed */
    double between; /* an instant between the corners of square sources around t [s]: tells their
                       level */
    double *lit;    /* [gates] until when a gas rectifier still glows [s]; set by the run */
    double *u, *u1, *u2;  /* [nu] sources and their derivatives */
    double *v, *i, *g;    /* [np] port volts, currents, slopes at the instant */
    double *c;            /* [np * PORT_COEFFICIENTS], by slot */
    double *column;       /* [columns] w, u, u', i: what `out` is multiplied with */
    int straights, bents; /* ports with straight laws, and the others */
    int *straight, *bent; /* their slots */
    struct port_use *use; /* [np] */
    double *was;          /* [elements] volts of ports in the pattern before */
    /* Devices by what they ask for in this pattern and hold. */
    int active, rated, lined; /* counts */
    int *active_device;       /* coefficients of the instant: a state they look at moves */
    int *rated_device;        /* with states that move */
    int *lined_slot;          /* slots whose coefficients go along lines */
    double *line[2];          /* [np * PORT_COEFFICIENTS] value at origin, slope */
    double *device_line[2];   /* the same by [devices * DEVICE_PORTS] */
    struct {
        bool good;
        double *g, *dv; /* [np], [np*(size+1)]: slopes of the port currents by their volts, of these
                           by y and t */
    } tangent;          /* of the last Jacobian */
    struct {
        bool good; /* what else is here is of it */
        double t, *y, *v, shift, between;
    } solved;    /* the instant last solved; with the tangent the first guess for the next */
    long newton; /* iterations so far */
    struct border *border; /* of equations_factor */
    double *work;          /* scratch */
    int *pivot;
};

/* Nothing is held. */
struct equations *equations_new(struct arena *arena, const struct network *network);

/* From t [s] on the states with held[k] go along state[k] + slope[k] (t' - t), until `span` [s]
 * later at least (devices that look at none but these have their coefficients on straight lines
 * over that time). `held` NULL: all move. y and the pattern are to be set anew. */
void equations_hold(struct equations *eq, double t, double span, const bool *held,
                    const double *state, const double *slope);

/* Puts a pattern in force (its `fault` must be NULL). Ports that stay keep their volts as the first
 * guess. */
void equations_pattern(struct equations *eq, const struct reduced *r);

/* Number of y now: r->nw + moving. */
int equations_size(const struct equations *eq);

/* All device states at (t, y) [ns]. */
void equations_states(const struct equations *eq, double t, const double *y, double *state);

/* Sources u, u', u'' at t alone. */
void equations_sources(struct equations *eq, double t);

/* Solves sources and ports at (t, y). 0, or 1 when Newton's method did not converge. */
int equations_solve(struct equations *eq, double t, const double *y);

/* f[size], and dfdy[size*size] row-major with dfdt[size], at (t, y). 0, or 1 as above. */
int equations_derivative(struct equations *eq, double t, const double *y, double *f);
int equations_jacobian(struct equations *eq, double t, const double *y, double *dfdy, double *dfdt);

/* What steps need of the Jacobian where the pattern has modes, at a cost in proportion to them
 * (ode.h): `prepare` at (t, y) gives dfdt[size], 0 or 1 as above; `factor` is false when the matrix
 * is singular; `back` turns x[size] from (per_step - dfdy) times something into that. */
int equations_prepare(struct equations *eq, double t, const double *y, double *dfdt);
bool equations_factor(struct equations *eq, double per_step);
void equations_back(struct equations *eq, double *x);

/* The greatest change of any potential or port's volts [V] that a change of y by `off` [size]
 * makes, by the slopes of the last Jacobian. */
double equations_volts_error(struct equations *eq, const double *off);

/* After equations_solve: one output. Kind: 0 element volts, 1 element current, 2 point potential.
 */
enum output { OUTPUT_VOLTS, OUTPUT_CURRENT, OUTPUT_POTENTIAL };
double equations_output(const struct equations *eq, enum output what, int index);

/* The row of `out` of such an output in a pattern [columns]. */
const double *equations_row(const struct equations *eq, const struct reduced *r, enum output what,
                            int index);

/* After equations_solve: the event function of a gate: crosses zero upwards when the gate should
 * change. For a rectifier its volts over its starting voltage (not before its cathode is ready) or
 * minus its current; for a gated port its volts or minus its volts; for a switch that trips what is
 * left to its value; other switches, and one that has tripped, do not change by themselves: -1. */
double equations_gate(const struct equations *eq, int gate);

#endif
