/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LAMP_LAW_H
#define PRESOLDER_LAMP_LAW_H

#include "laws.h"

/* What is printed on a lamp, and what its filament is like. */
struct lamp_rating {
    double volts, amperes;
    double kelvin;   /* filament at rated volts */
    double gas_loss; /* part of the rated watts that the filling carries off, 0..1 */
};

/* The filament that takes its rated watts at its rated volts and temperature in a room of 25 deg C:
 * length and thickness follow from resistivity and radiation, its mass from both. Coiled, it
 * radiates with 0.65 of its surface (customary, no source). */
struct lamp_law lamp_law_of(const struct lamp_rating *rating, double ambient);

/* Temperature [K] of the filament once it has settled at `volts` RMS. */
double lamp_settled_kelvin(const struct lamp_law *law, double volts);

/* Temperature [K] after `seconds` without current. */
double lamp_cooled_kelvin(const struct lamp_law *law, double kelvin, double seconds);

/* How a bare filament looks. Nothing glows below 798 K (J. W. Draper, Philosophical Magazine 30,
 * 1847); the other limits (1200, 1800 and 2400 K) are common practice, no source. */
enum lamp_glow {
    LAMP_NONE, /* there is no lamp */
    LAMP_DARK,
    LAMP_DULL_RED,
    LAMP_ORANGE,
    LAMP_DIM_YELLOW,
    LAMP_BRIGHT
};
enum lamp_glow lamp_glow(double kelvin);

#endif
