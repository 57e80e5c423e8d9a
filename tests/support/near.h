/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_NEAR_H
#define PRESOLDER_NEAR_H

/* Near-checks on doubles: cmocka 1.1.5 has none (its float check casts to float). On failure they
 * print name, value, wanted value, unit and tolerance and fail the running cmocka test. NaN never
 * passes. */

/* |value - wanted| <= tolerance, all in `unit` */
#define near_abs(value, wanted, tolerance, unit)                                                   \
    near_abs_at((value), (wanted), (tolerance), (unit), #value, __FILE__, __LINE__)

/* |value - wanted| <= tolerance * |wanted| */
#define near_rel(value, wanted, tolerance, unit)                                                   \
    near_rel_at((value), (wanted), (tolerance), (unit), #value, __FILE__, __LINE__)

void near_abs_at(double value, double wanted, double tolerance, const char *unit, const char *name,
                 const char *file, int line);
void near_rel_at(double value, double wanted, double tolerance, const char *unit, const char *name,
                 const char *file, int line);

/* Worst deviation of a table: keeps the largest |value/wanted - 1| and its row, for printing at the
 * end. */
struct worst {
    double deviation;
    char row[96];
};

/* Takes one comparison into the record; returns the deviation. wanted = 0 takes |value| itself. */
double worst_take(struct worst *w, double value, double wanted, const char *row);

/* Prints `table: worst deviation 1.2e-05 at ROW (limit 2e-04)` and fails when it is over the limit
 * or nothing was taken. */
void worst_check(const struct worst *w, const char *table, double limit);

#endif
