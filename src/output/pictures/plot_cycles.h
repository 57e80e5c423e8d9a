/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Some cycles at full resolution: plates, currents, first capacitor, one panel each. */
#ifndef PLOT_CYCLES_H
#define PLOT_CYCLES_H

#include "curves.h"
#include "sheet.h"

/* Fills the rows of the template's list with the curves, each in its part's style. */
void plot_curves(struct sheet *s, const char *list, const curves *all);

/* The template reads of the CSV the rows from one time to another [s] and one beyond at each end:
 * gnuplot reads them once for each curve. */
void plot_csv_rows(struct sheet *s, double from, double to);

/* Fill the sheet; return the template's name, owned by nobody, or NULL where there is nothing to
 * draw. Where the first cycles show nothing, those of the hot restart stand in for them. */
const char *plot_first_cycles(struct sheet *s);
const char *plot_last_cycles(struct sheet *s);

/* Where the last cycles drawn begin [s]. */
double plot_last_from(const struct sheet *s);

#endif
