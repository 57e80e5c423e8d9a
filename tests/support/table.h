/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TABLE_H
#define PRESOLDER_TABLE_H

#include "near.h"

/* A table of supplies held against the program: 0.02 % of voltages, currents and inverse volts
 * ("level"), 0.1 % of ripple, peaks and angles ("peak"). */
struct table {
    const char *name;
    char row[64];
    struct worst level, peak;
};

enum { TABLE_LEVEL_PPM = 200, TABLE_PEAK_PPM = 1000 };

struct table table_new(const char *name);

/* Names the row that the next values belong to (printf). */
void table_row(struct table *t, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* One comparison; wanted must not be 0. */
void table_level(struct table *t, const char *quantity, double value, double wanted);
void table_peak(struct table *t, const char *quantity, double value, double wanted);

/* Prints the worst deviations of what was compared; fails over a limit, or when nothing was. */
void table_end(const struct table *t);

#endif
