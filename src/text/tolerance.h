/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCE_H
#define PRESOLDER_TOLERANCE_H

#include "quantity.h"

/* How far a value may be off, as written behind it or at the key `tolerance`: `+-5 %`, `+-3 V`,
 * `-20/+100 %`, `exact`, and the colours of a resistor's last band, `gold` and `silver`. */

struct tolerance {
    double low, high; /* low <= 0 <= high: shares of the value, or SI */
    bool relative;    /* shares */
    enum unit unit;   /* when not relative */
};

/* Reads one; behind a value it begins with a sign, at a key of its own `5 %` means `+-5 %`. False
 * with the complaint filled. */
bool tolerance_parse(const char *text, struct tolerance *tolerance, struct complaint *why);

/* Where the tolerance begins that stands behind a value, `117 V +-5 %`; NULL: none stands there. */
const char *tolerance_behind(const char *text);

/* The range of a value [SI]. */
void tolerance_range(const struct tolerance *tolerance, double value, double *low, double *high);

#endif
