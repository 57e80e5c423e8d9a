/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EQUATIONS_IMPL_H
#define PRESOLDER_EQUATIONS_IMPL_H

/* Shared by the sources of the equations only: equations.c solves an instant, equations_hold.c
 * keeps what moves and what the pattern asks for, equations_slopes.c has the Jacobian,
 * equations_border.c the steps' matrix where many states are modes. */

#include <string.h>

#include "equations.h"

enum { EQUATIONS_PORT_ROW = DEVICE_PORTS * PORT_COEFFICIENTS };

/* The foreign states of a device, of all states s. */
static inline void equations_foreign(const struct device *d, const double *s, double *x)
{
    for (int k = 0; k < d->foreign; k++) x[k] = s[d->foreign_state[k]];
}

/* Volts and coefficients of a device's ports at the instant solved; 0 volts, and nothing, where one
 * is absent. */
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

/* The slopes that the Jacobian is made of. */
struct equations_slopes {
    double *i_s; /* [np * (moving + 1)] port currents by moving states and, last, time, at constant
                         port volts */
    double *h_v; /* [moving * np] rates by port volts */
    double *by_state; /* [moving * moving] rates by moving states at constant port volts: rows */
    int stride;       /* so far apart */
    double *by_time;  /* [moving] the same by time */
    double *dv;       /* [np * (size + 1)] port volts by y and t */
};

/* All of it at the instant solved, with by_state of the caller, at zero, added to; dfdt[size] but
 * for what the ports' currents do. 1: singular. What it leaves lies in eq->work. */
int equations_find_slopes(struct equations *eq, struct equations_slopes *to, double *dfdt);

/* Then: dv becomes port currents by y and t, and dfdt is made whole. */
void equations_slopes_amperes(const struct equations *eq, const struct equations_slopes *of,
                              double *dfdt);

/* Room of equations_border.c. */
struct border;
struct border *equations_border_new(struct arena *arena, int modes, int rest);

static inline double equations_dot(int n, const double *a, const double *b)
{
    double sum = 0;
    for (int j = 0; j < n; j++) sum += a[j] * b[j];
    return sum;
}

#endif
