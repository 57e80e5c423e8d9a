/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CUBIC_H
#define PRESOLDER_CUBIC_H

/* The cubic through the samples of one step at its four Gauss-Lobatto nodes, on x = -1 .. 1 over
 * the step: p(x) = c0 + c1 x + c2 x^2 + c3 x^3. */
struct cubic {
    double c0, c1, c2, c3; /* unit of the samples */
};

/* Between the samples the cubic leaves their range by at most this fraction of the range on either
 * side: half of (Lebesgue constant - 1), and that constant is 3/2 for these four nodes. */
#define CUBIC_OVERSHOOT 0.25

/* Positions of the four nodes on -1 .. 1. */
extern const double cubic_node[4];

/* The cubic through v[0..3]. */
struct cubic cubic_through(const double v[4]);

double cubic_at(const struct cubic *p, double x);

/* The points of from < x < to where the slope is zero, ascending; returns how many (0 .. 2). */
int cubic_stationary(const struct cubic *p, double from, double to, double x[2]);

/* The highest value on from .. to, both ends with it. */
double cubic_highest(const struct cubic *p, double from, double to);

/* A point in a .. b where the sign changes from that at a; the cubic must be of opposite signs (or
 * zero) at the two. */
double cubic_crossing(const struct cubic *p, double a, double b);

/* Integral of p^2 over x = a .. b, exact (Gauss-Legendre with four points, Abramowitz & Stegun
 * 25.4.30). */
double cubic_square_integral(const struct cubic *p, double a, double b);

#endif
