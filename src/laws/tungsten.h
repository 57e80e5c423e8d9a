/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TUNGSTEN_H
#define PRESOLDER_TUNGSTEN_H

/* Tungsten from room temperature to 3600 K, as smooth functions of kelvin; each also gives its
 * derivative per kelvin. Beyond either end they go on in a straight line. */

#define TUNGSTEN_DENSITY 19250.0 /* [kg/m^3], NIST */

/* Resistivity [ohm m]: Jones and Langmuir, General Electric Review 30, 1927, and Forsythe and
 * Worthing, Astrophysical Journal 61, 1925, table in steps of 100 K. */
double tungsten_resistivity(double kelvin, double *slope);

/* Specific heat [J/(kg K)]: NIST-JANAF, Shomate equation (298 to 3680 K, 0.18384 kg/mol), tabled in
 * steps of 100 K; where its two halves meet at 1900 K they differ by 0.2 % and their mean is taken.
 */
double tungsten_heat(double kelvin, double *slope);

/* Watts radiated by a square metre [W/m^2]: total emissivity times the law of Stefan and Boltzmann
 * (CODATA 2018). Emissivity -0.0266 + 1.8197e-4 T - 2.1946e-8 T^2, a fit to Forsythe and Worthing's
 * table; the fit is quoted from memory. */
double tungsten_radiance(double kelvin, double *slope);

/* The temperature [K] at which a filament has `ratio` times its resistance at `cold` kelvin; the
 * nearest of 300 to 3600 K when there is none. */
double tungsten_kelvin(double ratio, double cold);

#endif
