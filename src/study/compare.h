/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_COMPARE_H
#define PRESOLDER_COMPARE_H

#include "trial.h"

/* Turn-ons beside one another: which figures are worth a row, and what changed for better and
 * worse.
 */

/* One figure of all columns. Of the plates of a rectifier, or the halves of a winding, the worse
 * one stands for both: highest share of its rating, without rating the greatest magnitude. */
struct compare_row {
    const char *subject; /* V6 for V6.1 and V6.2 */
    enum measure measure;
    bool restart;               /* of the hot restart */
    int rank;                   /* order in the table */
    const struct judged **cell; /* [columns] NULL: not there */
};

struct comparison {
    int columns;
    const struct turn_on *const *turn_ons; /* [columns] */
    const char *const *names;              /* [columns] */
    const char *missing; /* columns that were interrupted or not begun, told; NULL: none */
    ARRAY(struct compare_row) rows;
    double *eased; /* [columns] so many ohms in each plate lead make it fit; 0: not so [ohm] */
};

/* How one column differs from another in one row. */
enum change { CHANGE_NONE, CHANGE_BETTER, CHANGE_WORSE };

/* The comparison of n finished turn-ons; lives in `arena`, names and turn-ons are kept by pointer.
 */
struct comparison *compare_make(struct arena *arena, const struct turn_on *const *turn_ons,
                                const char *const *names, int n);

/* Whether `column` is better or worse than `beside` in that row. A figure with a rating in both: by
 * the share of it, from 5 % of the rating on; ripple without one: by its value, from 5 % on;
 * settled volts of a point on the chart: by their distance from the chart, from 2 % of it on.
 * Anything else is neither, and what no longer works (5 % of the value beside) is not better for
 * it. *size orders changes: difference of shares, or of value over value. */
enum change compare_change(const struct comparison *c, const struct compare_row *row, int column,
                           int beside, double *size);

/* Whether a column fits with LIMIT_EASING in each plate lead of the rectifier whose peaks are over
 * their rating in it: one more turn-on, made only where that can be all that is wrong, and told in
 * c->eased. */
void compare_ease(struct arena *arena, struct comparison *c, int column, const struct scenario *s,
                  const char *variant, const struct trial_options *options);

/* Whether two columns say the same thing in that row: direct current of a whole tube, or of each of
 * two diodes. */
bool compare_alike(const struct compare_row *row, int a, int b);

/* The chart's reading of a point in the column's setup [V]; NaN: none. */
double compare_chart(const struct turn_on *t, const char *point);

#endif
