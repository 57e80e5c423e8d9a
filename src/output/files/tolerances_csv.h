/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_CSV_H
#define PRESOLDER_TOLERANCES_CSV_H

#include "tolerances.h"
#include "writer.h"

/* The files of `tolerances`, SI units, numbers as in figures.csv.
 *
 * tolerances.csv: variant, subject, measure, least, p05, p50, p95, most, unit, limit, share_over
 * (of the sets; empty: no rating). One that was interrupted begins with the row
 * `VARIANT,set,interrupted-at` with the sets that were done, and as limit those asked for.
 *
 * influence.csv: variant, subject, measure, value (keys that move together), share, standard_error,
 * reading (that replaces it), by figure from the largest share down.
 *
 * ranges.csv: part, key, value, low, high, unit, spread (even or log), kind (stated, part, reading,
 * line, guess), moves_with, source. */
void tolerances_csv_write(struct writer *w, const struct tolerances *t);

#endif
