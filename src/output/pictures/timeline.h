/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TIMELINE_H
#define PRESOLDER_TIMELINE_H

#include "curves.h"
#include "sheet.h"

/* The time axis of a whole run. A run of more than TIMELINE_LONG has its first TIMELINE_FIRST
 * seconds on the left part of the axis and the rest, in minutes or hours, on the right part: the
 * surge stays readable beside an hour. */
#define TIMELINE_LONG 120.0 /* [s] */
#define TIMELINE_FIRST 30.0 /* [s] */

struct timeline {
    double end;     /* of the axis [s] */
    double split;   /* where the scale changes [s]; `end` when it does not */
    double squeeze; /* scale after it as a share of the scale before */
    int parts, bins;
    struct {
        double start, width; /* [s] */
        int bins;
    } part[2];
};

/* An axis up to `end` [s], cut into intervals of whole cycles of the mains where there are enough
 * of them, so that a mean does not beat with the ripple. */
struct timeline timeline_of(double end, double frequency);

/* The middle of interval k < bins [s]. */
double timeline_time(const struct timeline *line, int k);

/* Where an instant [s] lies on the axis, 0..1. */
double timeline_share(const struct timeline *line, double t);

/* Lowest, mean and highest of a curve in every interval: low[bins], mean[bins], high[bins]. They
 * are what the sheet covers (sheet_cover) and reaches. */
void timeline_envelope(const struct timeline *line, struct sheet *s, const struct result *result,
                       const struct curve *curve, double *low, double *mean, double *high);

/* Fills END, SPLIT, SQUEEZE, ALONG and TICS with AT [s] and NAME for time-axis.gp. */
void timeline_fill(const struct timeline *line, struct sheet *s);

#endif
