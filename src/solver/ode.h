/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ODE_H
#define PRESOLDER_ODE_H

#include <stdbool.h>

/* An initial-value problem y' = f(t, y) with events, as the solver sees it. The solver never hears
 * of volts. Every callback returns 0 = good, positive = shrink the step and try again, negative =
 * stop (the context then knows why). A y that is not finite is shown to no callback; a result that
 * is not finite makes the step be tried again, shorter. */
struct ode {
    int n;      /* number of states */
    int events; /* number of event functions */
    void *context;

    /* f[n] = f(t, y) */
    int (*derivative)(void *context, double t, const double *y, double *f);

    /* dfdy[n*n], row-major: dfdy[i*n+j] = d f_i / d y_j;  dfdt[n] = partial f / partial t. Every
     * entry is to be written, zeros too. */
    int (*jacobian)(void *context, double t, const double *y, double *dfdy, double *dfdt);

    /* For large problems whose Jacobian has a structure, in place of a full one in the steps; NULL:
     * none. `prepare` takes note of the Jacobian at (t, y) and gives dfdt[n]; `factor` of 1/step
     * times the unit matrix less that Jacobian, false when it is singular; `solve` leaves in x[n]
     * what that matrix times x was. */
    int (*prepare)(void *context, double t, const double *y, double *dfdt);
    bool (*factor)(void *context, double per_step);
    void (*solve)(void *context, double *x);

    /* g[events]; an event is a crossing of zero from below to above. May be NULL when events = 0.
     */
    int (*event)(void *context, double t, const double *y, double *g);
    /* No state is like a power below 2 of the time left to an event: one step leads there. */
    bool smooth;

    /* The share of what may be wrong in anything else that hangs on the states, when these are off
     * by `off` [n] at the end of a step: 1 is the most. Asked after `jacobian` and the stages of
     * the step. NULL: nothing else. */
    double (*gauge)(void *context, const double *off);
};

#endif
