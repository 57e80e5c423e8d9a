/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_INDEPENDENT_H
#define PRESOLDER_INDEPENDENT_H

#include "network.h"

/* Second roads to the same waveforms, for comparison only. */

/* Called at every instant asked for: values[n] = capacitor volts, then inductor amperes, in the order of the circuit's elements. */
typedef void independent_observer(void *context, double t, const double *values);

struct independent_cost {
    long steps, residuals; /* accepted steps; evaluations of the equations */
    double seconds;        /* processor time */
};

/* SUNDIALS IDA on the unreduced equations: potentials, coil, source and winding currents, device states; assembled here from the list
 * of elements by code that shares nothing with the network layer. Only tubes may rectify (smooth laws). Starts cold or hot at t = 0 with
 * the sources' phase as written, so all must be zero then. Every `every` seconds up to `stop`. False when IDA gives up. */
bool independent_ida(const struct circuit *c, bool hot, double stop, double every, double tolerance,
                     independent_observer *observe, void *context, struct independent_cost *cost);

/* GSL odeiv2 (stepper by name: "msbdf", "rk8pd", "bsimp") on the reduced equations, events found by halving the step. Tubes only. */
bool independent_odeiv2(const struct circuit *c, const char *stepper, bool hot, double stop, double every,
                        double tolerance, independent_observer *observe, void *context,
                        struct independent_cost *cost);

#endif
