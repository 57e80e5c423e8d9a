/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PORTS_H
#define PRESOLDER_PORTS_H

#include "equations.h"

/* Port volts and currents of one instant; internal to the layer. eq->u, eq->u1 and the port
 * coefficients eq->c are those of the instant; y as of equations_solve. Sets eq->v, eq->i, eq->g.
 * 0, or 1 when Newton's method did not converge. */
int ports_solve(struct equations *eq, const double *y);

/* I - Z g at the present slopes into m[np*np]. */
void ports_matrix(const struct equations *eq, double *m);

#endif
