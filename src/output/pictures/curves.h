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
    const char *part; /* whose it is: curves of one part look alike; NULL: as the name */
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

/* Those of the list that differ between two instants [s]: of some that lie on one another, as two
 * arms of a bridge do, the first under all their names. */
curves curves_apart(struct arena *arena, const struct result *result, const curves *all,
                    double from, double to);

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

/* Lowest, time-weighted mean and highest of a curve in intervals of `width` [s] from `start` [s]
 * on: low[bins], mean[bins], high[bins], at most CURVE_BINS. From a period on an interval is filled
 * from the record of cycles, a shorter one from the trace; between two rows the values go straight,
 * over leaps too. Intervals after the end of the run repeat the last before it. */
enum { CURVE_BINS = 400 };
void curve_envelope(const struct result *result, const struct curve *curve, int bins, double start,
                    double width, double *low, double *mean, double *high);

#endif
