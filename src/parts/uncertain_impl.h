/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_UNCERTAIN_IMPL_H
#define PRESOLDER_UNCERTAIN_IMPL_H

#include "uncertain_part.h"

/* Inside uncertain*.c only. */

/* A value as it stands in the scenario: one text, or a list of one per half of a winding. */
struct uncertain_text {
    int pieces;
    bool list;
    struct {
        struct token token[QUANTITY_TOKENS];
        int n, which; /* tokens, the one that moves */
    } piece[UNCERTAIN_PART_TEXTS];
};

/* What is known of a key that is given. */
struct uncertain_rule {
    const char *kind, *key; /* the key without the maps around it */
    const char *make;       /* of a capacitor; NULL: any */
    enum unit unit;         /* of the token that moves; UNIT_NUMBER: the first */
    double low, high;       /* shares of the value */
    enum uncertain_spread spread;
    enum uncertain_from from;
    enum uncertain_together together;
    enum known_by known_by;
    const char *source;
};

/* The first rule that fits; NULL: none, the value is taken as exact. `make` of a part without one:
 * NULL. */
const struct uncertain_rule *uncertain_table_rule(const char *kind, const char *make,
                                                  const char *key);

/* The range of a line of so many volts and hertz, and the standard it is from. */
const char *uncertain_table_line(double volts, double frequency, double *low, double *high);

/* Whether a guess at this key is a value of the set and not a limit, a word, or a length of the
 * run. */
bool uncertain_table_varies(const struct assumption *a);

#endif
