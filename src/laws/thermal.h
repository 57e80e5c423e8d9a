/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_THERMAL_H
#define PRESOLDER_THERMAL_H

#include "circuit.h"

/* Bodies that take heat and pass it on by conduction, each at one temperature. A state that is such
 * a body's temperature names it (`struct state`, body); its links lead to the foreign states of its
 * device, in their order. */

/* Watts that a body at t [K] passes on to the room and to the bodies at x [K]. */
double thermal_flow(const struct thermal_body *body, double t, const double *x);

/* Derivatives of its rate -flow/heat: by its own temperature (returned) and by x (`by_x`) [1/s]. */
double thermal_slopes(const struct thermal_body *body, double *by_x);

/* Watts that heat the body of `state` while all temperatures stand at kelvin[states] and its own
 * rises by `rate` [K/s]. 0 for states that are no body's. */
double thermal_watts(const struct circuit *c, int state, const double *kelvin, double rate);

/* Seconds until `state` passes its limit, when all bodies stand at kelvin[states] now and go on to
 * be heated by watts[states] (each as of thermal_watts); copper's watts grow with its ohms at the
 * same current. 0: it is over already; inf: never within a day. Trapezoidal rule, good to 0.1 %. */
double thermal_time_to_limit(const struct circuit *c, const double *kelvin, const double *watts,
                             int state);

/* Where all bodies end when they go on to be heated so: fills kelvin[states] of the bodies, which
 * on entry holds the temperatures that belong to the watts. False, with kelvin as it was, when they
 * end nowhere. */
bool thermal_settled(const struct circuit *c, double *kelvin, const double *watts);

#endif
