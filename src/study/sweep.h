/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SWEEP_H
#define PRESOLDER_SWEEP_H

#include "scenario.h"

/* Values to try, as told on the command line: `C1.value=4.7uF,10uF,22uF`,
 * `R9.resistance=100ohm..1kohm/7` (seven values in equal steps, both ends included), or both mixed;
 * words too: `V6.type=80,5Y3-GT`. Commas inside [ ] and { } part nothing. */

enum { SWEEP_MOST = 10000 };

struct sweep_value {
    const char *text; /* as it goes into the scenario: `4.7 uF` */
    double value;     /* SI; NaN: no quantity */
};

struct sweep {
    const char *argument, *path; /* the whole, and `C1.value` */
    bool numeric;                /* every value is a quantity of `unit` */
    enum unit unit;
    ARRAY(struct sweep_value) values;
};

/* Reads one argument. False with errors, which stand under the argument: no `=`, nothing behind it,
 * an empty value, a range without a number of steps, reversed, of two units or of one step only,
 * the same value twice, more than SWEEP_MOST. */
bool sweep_parse(struct arena *arena, struct diags *diags, const char *argument,
                 struct sweep *sweep);

/* `C1.value=4.7 uF`, with two sweeps `C1.value=4.7 uF, R9.resistance=100 ohm`. Pieces are counted
 * with the last sweep fastest. */
const char *sweep_label(struct arena *arena, const struct sweep *sweeps, int n, int piece);

/* How many runs it makes. */
int sweep_pieces(const struct sweep *sweeps, int n);

/* Which value of sweep k the piece has. */
int sweep_index(const struct sweep *sweeps, int n, int k, int piece);

/* The scenario with the piece laid over a variant, as one more variant called by its label; NULL
 * with errors. */
const struct scenario *sweep_scenario(struct arena *arena, struct diags *diags,
                                      const struct scenario *s, const char *variant,
                                      const struct sweep *sweeps, int n, int piece);

/* Sets up one piece over a variant (NULL: the scenario itself), called by its label. */
const struct setup *sweep_setup(struct arena *arena, struct diags *diags, const struct scenario *s,
                                const char *variant, const struct sweep *sweeps, int n, int piece);

#endif
