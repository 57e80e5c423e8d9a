/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_INDEPENDENT_H
#define PRESOLDER_INDEPENDENT_H

#include "network.h"

/* Second roads to the same waveforms, for comparison only. Rectifiers must be tubes (3/2 law),
 * switches stay as they start, and the sources must stand at zero volts at t = 0. */

/* What is asked for and what it cost. */
struct independent {
    const struct circuit *circuit;
    bool hot;         /* cathodes at their hot temperatures at t = 0, else cold */
    double stop;      /* [s] */
    double from;      /* instants asked for: from, from + every, ... up to stop [s] */
    double every;     /* [s] */
    double tolerance; /* relative to 300 V, 0.1 A and the ranges of the device states */

    /* Called at every instant asked for: values[n] of the list below, n = independent_count. */
    void (*observe)(void *context, double t, const double *values);
    void *context;

    long steps, calls; /* accepted steps; evaluations of the equations */
    double seconds;    /* processor time */
};

/* The values, in the order of the circuit's elements: capacitor volts, then inductor amperes, then
 * amperes of the tubes' plates. */
int independent_count(const struct circuit *c);

/* SUNDIALS IDA on the unreduced equations: potentials, coil, source and winding currents, device
 * states; assembled here from the list of elements by code that shares nothing with the network
 * layer. False when IDA gives up. */
bool independent_ida(struct independent *job);

/* GSL odeiv2 (stepper by name: "msbdf", "rk8pd", "bsimp") on the reduced equations. */
bool independent_odeiv2(struct independent *job, const char *stepper);

#endif
