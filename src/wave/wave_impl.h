/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WAVE_IMPL_H
#define PRESOLDER_WAVE_IMPL_H

#include "means.h"
#include "pulses.h"
#include "wave.h"

/* Shared by wave.c (taking in) and figures.c (reading): what is kept of the running period, the
 * window and the run. */

struct range {
    struct wave_extreme highest, lowest; /* -inf, +inf while empty */
};

/* One channel in one period. */
struct tally {
    double reference;         /* near the mean: a small ripple on it keeps its digits */
    double slope;             /* expected drift, from the two periods before [unit/s] */
    double linear[WAVE_SUMS]; /* of sample - reference */
    double square;            /* integral of u^2 */
    struct range range;       /* extremes of the samples */
    struct range level;       /* extremes of sample - slope tau: expected drift taken out */
};

struct period {
    double length;       /* taken in so far [s] */
    struct tally *tally; /* [channels] */
};

enum { WAVE_RING = WAVE_WINDOW + 1 };

/* Mean of a channel and integral of its square over one period. */
struct share {
    double mean, square;
};

/* A leap: periods that are not measured, the parabola through the first after it, the last before
 * it and one still earlier standing in for them. */
struct leap {
    int periods;         /* in it; 0: it is over */
    int back;            /* periods from the earlier one to the last before the leap */
    struct share *of[2]; /* [channels] of these two */
};

struct wave {
    int channels, sampled; /* all; those before the first with WAVE_MEAN */
    double period, start;  /* [s] */
    int done;              /* whole periods measured so far */
    int leapt;             /* and those between them that were not */
    struct leap leap;
    double *mean_of_leapt;         /* [channels], scratch */
    unsigned *flags;               /* [channels] */
    double *floor;                 /* [channels] absolute band of `settled` */
    struct period ring[WAVE_RING]; /* running: ring[done % WAVE_RING]; the window lies before */
    double *integral, *square_integral; /* [channels] of all whole periods */
    struct range *range;                /* [channels] of all whole periods */
    double *mean;                       /* [channels] of the last whole period */
    struct means *means;
    struct pulses **pulses; /* [channels], NULL where not followed */
    int closings;
};

/* The running period. */
const struct period *wave_running(const struct wave *w);

/* The period `back` before the running one, 1 .. WAVE_WINDOW. */
const struct period *wave_earlier(const struct wave *w, int back);

/* Mean of a channel over what was taken in of a period. */
double wave_period_mean(const struct period *p, int channel);

/* Integral of the square of the samples over what was taken in of a period. */
double wave_period_square(const struct period *p, int channel);

/* Widens `into` by `other`. */
void wave_widen(struct range *into, const struct range *other);

#endif
