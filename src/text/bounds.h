/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BOUNDS_H
#define PRESOLDER_BOUNDS_H

#include "quantity.h"

/* Which sizes of a value are computed with at all. Wide enough for whatever a tube set holds, and
 * narrow enough that no product or quotient of a few values leaves the range of a double. */

/* True when `value` (SI) is zero or its magnitude lies within the bounds of its unit (volts: 1 uV
 * to 100 kV, ohms: 1 uohm to 1 Tohm ...); else false with the complaint filled, which says them. */
bool bounds_hold(double value, enum unit unit, struct complaint *why);

/* The least and the greatest magnitude of a value of that unit (SI). */
void bounds_of(enum unit unit, double *least, double *most);

/* True when least <= value <= most (SI); else false with the complaint filled, which says both. */
bool bounds_between(double value, enum unit unit, double least, double most, struct complaint *why);

#endif
