/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LOBATTO_H
#define PRESOLDER_LOBATTO_H

/* The four Gauss-Lobatto nodes of a step (Abramowitz & Stegun 25.4.32, table 25.6), exact for
 * polynomials of degree 5. Places 0..1: 0, (1-1/sqrt5)/2, (1+1/sqrt5)/2, 1; weights (sum 1): 1/12,
 * 5/12, 5/12, 1/12; slope[k][m]: weight of the value at node m in the derivative by the place, at
 * node k, of the cubic through all four. */
enum { LOBATTO_NODES = 4 };

extern const double lobatto_node[LOBATTO_NODES];
extern const double lobatto_weight[LOBATTO_NODES];
extern const double lobatto_slope[LOBATTO_NODES][LOBATTO_NODES];

#endif
