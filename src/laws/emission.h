/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EMISSION_H
#define PRESOLDER_EMISSION_H

/* What a cathode gives at a temperature, relative to what it gives at its rated one. */

/* Customary working temperature of an oxide cathode [K] (near 800 deg C: S. O. Kasap, Principles of
 * Electrical Engineering Materials; common practice). */
#define EMISSION_RATED_KELVIN 1050.0

/* Saturation emission relative to rated: (T/T0)^2 exp(-(phi/k)(1/T - 1/T0)), Richardson-Dushman
 * with the oxide work function of about 1.0 eV (from memory), phi/k = 11604.5 K (CODATA 2018).
 * *slope = d/dT [1/K]. */
double emission_saturation(double kelvin, double *slope);

/* Perveance relative to rated: proportional to the cathode temperature (estimate: the potential
 * minimum moves away from a cooler cathode; no source). */
double emission_perveance(double kelvin, double *slope);

/* Share of its customary current that an amplifier tube draws, when its cathode could give
 * EMISSION_EXCESS times that current at rated temperature: perveance times the knee (1 + (1/(excess
 * saturation))^4)^(-1/4). */
double emission_share(double kelvin, double *slope);

/* Saturation emission of a cathode over its peak current rating (estimate, oxide cathodes are built
 * with ample excess; no source). */
#define EMISSION_EXCESS 10.0

#endif
