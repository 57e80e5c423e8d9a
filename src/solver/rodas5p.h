/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_RODAS5P_H
#define PRESOLDER_RODAS5P_H

/* The coefficients of the Rosenbrock method Rodas5P (G. Steinebach, BIT Numer. Math. 63:27, 2023)
 * in the form that needs no product with the Jacobian J (Hairer & Wanner, Solving Ordinary
 * Differential Equations II, section IV.7). With step h and stages i = 0..7:
 *
 *   (I/(h gamma) - J) U_i = f(t + c_i h, y + sum_j<i a_ij U_j) + sum_j<i (C_ij/h) U_j + h d_i df/dt
 *   y1 = y + sum_j a_7j U_j + U_7         order 5; U_7 is the error estimate, y1 - U_7 has order 4
 *
 * Inside the step, with s from 0 at its start to 1 at its end, to order 4:
 *
 *   y(s) = (1 - s) y + s (y1 + (1 - s) (K_0 + s (K_1 + s K_2))),   K_m = sum_j bend_mj U_j
 *
 * The figures are from memory; the tests hold them against the order conditions. No units. */
enum { RODAS_STAGES = 8, RODAS_BENDS = 3 };

struct rodas5p {
    double gamma;
    double c[RODAS_STAGES];               /* time of a stage */
    double d[RODAS_STAGES];               /* factor of df/dt */
    double a[RODAS_STAGES][RODAS_STAGES]; /* state of a stage: strictly lower triangle */
    double C[RODAS_STAGES][RODAS_STAGES]; /* right-hand side of a stage: strictly lower triangle */
    double bend[RODAS_BENDS][RODAS_STAGES]; /* dense output */
};

extern const struct rodas5p rodas5p;

#endif
