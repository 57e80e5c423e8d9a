/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_UNIT_IMPL_H
#define PRESOLDER_UNIT_IMPL_H

/* Inside the text layer only: names of units, read in unit.c and printed in quantity_text.c. */

#include "quantity.h"

/* How a number with this unit becomes SI: value = number * 10^exponent * factor + offset. */
struct unit_match {
    enum unit unit;
    int exponent;
    double factor, offset;
};

/* Looks up the unit a person wrote behind a number (`uF`, `kohm`, `mfd.`, `microfarads`); false
 * when it is none. */
bool unit_find(const char *word, struct unit_match *match);

/* Fills the complaint about a word that unit_find does not know, behind `number` as written. */
void unit_complain(const char *number, const char *word, struct complaint *why);

/* The unit as usually written (`uF`, `mA`, `V`) and a number that goes with it, for hints. */
const char *unit_usual(enum unit unit);
const char *unit_usual_number(enum unit unit);

/* Copies at most room - 1 bytes, never half a UTF-8 character. Returns `out`. */
const char *unit_clip(const char *text, char *out, size_t room);

/* Whether two words are the same but for the case of ASCII letters. */
bool unit_same(const char *a, const char *b);

#endif
