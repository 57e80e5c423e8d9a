/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WEIGH_H
#define PRESOLDER_WEIGH_H

#include "responses.h"

/* How likely each cause is by what was read. The share of a cause is its prior times the likelihood
 * of the readings, integrated over the prior of its severity. The readings are normal about what the
 * cause gives, their covariance that of meter, model and tolerances, S = D + J J', D with what the
 * model's errors have in common, J at the cause's own state, by one standard deviation of each
 * tolerance:
 * ln p = -(z' S^-1 z + ln det S + n ln 2 pi) / 2. */

enum { WEIGH_PLACES = 49 }; /* of a severity between the first node and the last */

/* What the causes give at places along their severities: one of a cause without severity, the nodes
 * of a discrete one, else WEIGH_PLACES, between the nodes by a monotone cubic. */
struct placed {
    int n;
    double severity[WEIGH_PLACES];
    double *at; /* [n * width], as answers.at */
};
const struct placed *weigh_place(struct arena *arena, const struct responses *r);

struct weighed {
    double share;                /* of all causes */
    double evidence;             /* ln of the likelihood integrated over severity */
    int best;                    /* place of the greatest likelihood */
    double misfit;               /* z' S^-1 z there */
    double low, high;            /* severities between which four fifths of its share lie */
    double weight[WEIGH_PLACES]; /* shares of all; they add up to `share` */
};

/* The readings by which causes are weighed. */
struct evidence {
    int n;
    const int *read;     /* [n] in the reads */
    const double *value; /* [n] as compared */
    bool signs;          /* what was noticed counts as well */
};

/* One weighed for each cause. */
struct weighed *weigh(struct arena *arena, const struct responses *r, const struct placed *placed,
                      const struct evidence *e);

/* Mean and standard deviation of one more read where the cause is this, at that place, and the
 * others were read so. False where nothing is known of it. Takes passing memory from the arena. */
bool weigh_next(struct arena *arena, const struct responses *r, const struct placed *placed,
                const struct evidence *e, int cause, int place, int next, double *mean,
                double *deviation);

/* Standardised residuals z[n], each of a reading by what all others let expect. */
void weigh_residuals(struct arena *arena, const struct responses *r, const struct placed *placed,
                     const struct evidence *e, int cause, int place, double *z);

#endif
