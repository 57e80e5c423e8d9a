/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CURVES_H
#define PRESOLDER_CURVES_H

#include "run.h"

/* Which columns of a trace are worth a picture, and what lies in them. */

/* A column of the trace, or the difference of two. Columns count from 0 without the time; -1: none.
 */
struct curve {
    const char *name; /* point or part */
    int plus, minus;
};

typedef ARRAY(struct curve) curves;

/* At most so many are chosen for one picture: more lines cannot be told apart. */
enum { CURVES_MOST = 6 };

/* Points at capacitors whose mean at the end is at least the alternating part there. */
curves curves_direct(struct arena *arena, const struct result *result);

/* Potentials of the rectifiers' plates, each point once. */
curves curves_plates(struct arena *arena, const struct result *result);

/* Currents of the rectifier sections, of the line when `line`. */
curves curves_currents(struct arena *arena, const struct result *result, bool line);

/* Volts of the capacitor at the first rectifier's cathode, or of the first capacitor there is;
 * empty when there is none. */
curves curves_first_capacitor(struct arena *arena, const struct result *result);

/* Cathode minus plate of every rectifier section. */
curves curves_inverse(struct arena *arena, const struct result *result);

/* Columns of a unit, `W` or `degC`, those with the highest values; heaters, which are no news, and
 * less than half a watt are left out. For the record of heat. */
curves curves_hottest(struct arena *arena, const struct result *result, const char *unit);

/* The potential of a point as a curve; plus is -1 when it is not in the trace. */
struct curve curve_point(const struct result *result, const char *point);

/* The value of a curve in one row of the trace. */
double curve_value(const struct curve *curve, const double *row);

/* Time-weighted mean [as the column] and RMS of the rest over the trace from t [s] to its end. */
void curve_mean(const struct result *result, const struct curve *curve, double t, double *mean,
                double *alternating);

/* Extremes between two instants [s]; false when no row lies there. */
bool curve_range(const struct result *result, const struct curve *curve, double from, double to,
                 double *lowest, double *highest);

/* Lowest, time-weighted mean and highest of a curve in intervals of `width` [s] from the start of
 * the trace: low[bins], mean[bins], high[bins], at most CURVE_BINS. Between two rows the curve
 * counts as a straight line, so no interval up to the end is empty; those behind it repeat the
 * last. Over a leap of more than CURVE_LEAP periods the band goes straight from what stands before
 * to what stands behind. */
enum { CURVE_BINS = 400, CURVE_LEAP = 60 };
void curve_envelope(const struct result *result, const struct curve *curve, int bins, double width,
                    double *low, double *mean, double *high);

#endif
