/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BALANCE_H
#define PRESOLDER_BALANCE_H

#include "session.h"

/* Heat balances of device states over a stretch of a run, from the mean squares of port volts.
 * Internal to the layer. */

/* The root of the mean square of every port's volts of a device over the stretch of `span` [s] that
 * the moments hold; they are settled. */
void balance_volts(const struct session *s, const struct device *d, double span, double *v);

/* Rates and their slopes, and scratch. */
struct balance {
    double *rate;  /* [states] mean rates [1/s] */
    double *slope; /* [states*states] by each other [1/s] */
    struct own *own;
};

/* Room for the session's stage. */
struct balance *balance_new(struct session *s);

/* Rates of the states with held[k], which have stayed at s->states over the stretch of `span` [s]
 * that the moments hold; they are settled. In the slopes is how conductances share volts and
 * currents among themselves, not how capacitors and coils answer. */
void balance_read(struct balance *b, struct session *s, const bool *held, double span);

#endif
