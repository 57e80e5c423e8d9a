/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EQUATIONS_H
#define PRESOLDER_EQUATIONS_H

#include "network.h"

/* The equations of one run as y' = f(t, y) within one pattern: y = the states w of the reduced
 * network, then all device states s. Port volts and currents follow from y by Newton's method. One
 * workspace a run; nothing is allocated after _new. */
struct equations {
    const struct network *network;
    const struct circuit *circuit;
    const struct reduced *r; /* the pattern in force */
    int ns;                  /* device states */
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
    long newton;          /* iterations so far */
    struct {
        bool good;
        double *y, shift, between; /* of the instant last solved */
    } solved;
    double *work; /* scratch */
    int *pivot;
};

struct equations *equations_new(struct arena *arena, const struct network *network);

/* Puts a pattern in force (its `fault` must be NULL). Ports that stay keep their volts as the first
 * guess. */
void equations_pattern(struct equations *eq, const struct reduced *r);

/* Number of y now: r->nw + ns. */
int equations_size(const struct equations *eq);

/* Sources u, u', u'' at t alone. */
void equations_sources(struct equations *eq, double t);

/* Solves sources and ports at (t, y). 0, or 1 when Newton's method did not converge. */
int equations_solve(struct equations *eq, double t, const double *y);

/* f[size], and dfdy[size*size] row-major with dfdt[size], at (t, y). 0, or 1 as above. */
int equations_derivative(struct equations *eq, double t, const double *y, double *f);
int equations_jacobian(struct equations *eq, double t, const double *y, double *dfdy, double *dfdt);

/* After equations_solve: one output. Kind: 0 element volts, 1 element current, 2 point potential.
 */
enum output { OUTPUT_VOLTS, OUTPUT_CURRENT, OUTPUT_POTENTIAL };
double equations_output(const struct equations *eq, enum output what, int index);

/* After equations_solve: all of them, out[2*elements + points]. */
void equations_outputs(const struct equations *eq, double *out);

/* After equations_solve: the event function of a gate: crosses zero upwards when the gate should
 * change. For a rectifier its volts over its starting voltage (not before its cathode is ready) or
 * minus its current; for a gated port its volts or minus its volts; for a switch that trips what is
 * left to its value; other switches, and one that has tripped, do not change by themselves: -1. */
double equations_gate(const struct equations *eq, int gate, const double *y);

#endif
