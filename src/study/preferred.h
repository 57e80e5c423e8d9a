/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PREFERRED_H
#define PRESOLDER_PREFERRED_H

#include <stdbool.h>

/* Preferred numbers for resistors and capacitors, IEC 60063 (the series E12 and E24), and customary
 * sizes. */

enum preferred_series { PREFERRED_E12 = 12, PREFERRED_E24 = 24 };

/* The values of one decade, 1.0 to below 10; as many as the series' number. */
const double *preferred_decade(enum preferred_series series);

/* The greatest value of the series that is not above, and the least that is not below `value`
 * (> 0, any unit). A value within 1e-9 of a preferred one is that. */
double preferred_below(enum preferred_series series, double value);
double preferred_above(enum preferred_series series, double value);

/* Whether the value is one of the series. */
bool preferred_is(enum preferred_series series, double value);

/* The least customary rating of a resistor that is not below `watts`: 1/4, 1/2, 1, 2, 3, 5, 7, 10,
 * 15, 20, 25, 50, 100 W (common practice, no source); inf beyond. */
double preferred_watts(double watts);

#endif
