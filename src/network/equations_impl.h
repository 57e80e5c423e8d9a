/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EQUATIONS_IMPL_H
#define PRESOLDER_EQUATIONS_IMPL_H

/* Shared by the sources of the equations only: equations.c solves an instant, equations_hold.c keeps
 * what moves and what the pattern asks for, equations_slopes.c has the Jacobian. */

#include <string.h>

#include "equations.h"

enum { EQUATIONS_PORT_ROW = DEVICE_PORTS * PORT_COEFFICIENTS };

/* The foreign states of a device, of all states s. */
static inline void equations_foreign(const struct device *d, const double *s, double *x)
{
    for (int k = 0; k < d->foreign; k++) x[k] = s[d->foreign_state[k]];
}

/* Volts and coefficients of a device's ports at the instant solved; 0 volts, and nothing, where one is
 * absent. */
static inline void equations_port_volts(const struct equations *eq, const struct device *d,
                                        double *v)
{
    for (int p = 0; p < d->ports; p++) {
        int slot = eq->r->port_slot[d->element[p]];
        v[p] = slot >= 0 ? eq->v[slot] : 0;
    }
}

static inline void equations_port_coefficients(const struct equations *eq, const struct device *d,
                                               double *c)
{
    for (int p = 0; p < d->ports; p++) {
        int slot = eq->r->port_slot[d->element[p]];
        if (slot >= 0)
            memcpy(&c[p * PORT_COEFFICIENTS], &eq->c[slot * PORT_COEFFICIENTS],
                   PORT_COEFFICIENTS * sizeof *c);
    }
}

static inline double equations_dot(int n, const double *a, const double *b)
{
    double sum = 0;
    for (int j = 0; j < n; j++) sum += a[j] * b[j];
    return sum;
}

#endif
