/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WAVE_H
#define PRESOLDER_WAVE_H

#include <stdbool.h>

#include "arena.h"
#include "lobatto.h"

/* Online measuring of many channels over a run: nothing is taken from a stored trace. The caller
 * hands in every step as samples at the four Gauss-Lobatto nodes (Abramowitz & Stegun 25.4.32,
 * table 25.6), tells where periods end, and reads the figures at the end. Memory does not grow with
 * the length of the run. Samples must be finite. */

enum { WAVE_NODES = LOBATTO_NODES, WAVE_WINDOW = 12, WAVE_HARMONICS = 6 };

/* So many closings of the mains are told apart; the pulses after a further one belong to the last
 * set. */
enum { WAVE_CLOSINGS = 64 };

/* The sums linear in a channel u: integrals of u, tau u, u cos(h w t), u sin(h w t), h = 1 ..; tau =
 * time from the middle of the period, t = time from its start [s]. */
enum wave_sum {
    WAVE_PLAIN,
    WAVE_MOMENT,
    WAVE_COSINE,
    WAVE_SINE = WAVE_COSINE + WAVE_HARMONICS,
    WAVE_SUMS = WAVE_SINE + WAVE_HARMONICS
};

/* Per-channel choices. */
enum wave_flag {
    WAVE_PULSES = 1, /* follow pulses above zero: peak, duration, integral of the square */
    WAVE_GIVEN = 2,  /* linear sums are handed in with wave_give, not taken from the samples */
    WAVE_MEAN = 4,   /* only the mean is followed, from wave_give: no samples. After all others. */
    WAVE_SWING = 8,  /* alternates by nature: no ripple_pp is followed */
};

struct wave_extreme {
    double value;
    double time; /* [s]; of equal values the first */
};

/* A contiguous stretch above zero. A sample of exactly zero bounds it. */
struct wave_pulse {
    double peak, peak_time; /* highest value of the pulse, when [s] */
    double start, end;      /* where it leaves and comes back to zero [s]; while it runs, so far */
    double square_integral; /* integral of the square over the pulse (A2s for a current) */
};

/* What one channel showed. "window" = the last WAVE_WINDOW whole periods (fewer when the run was
 * shorter; of a run shorter than one period, all there is, without harmonics). The linear drift
 * removed is that of the period means, so that a steady ripple of any shape passes whole; before
 * two periods are complete none is removed. settling_time: periods are remembered one by one up to
 * MEANS_BLOCKS (means.h), then in blocks, so that it may come late by up to 1/512 of the run, never
 * early. */
struct wave_figures {
    /* whole run */
    struct wave_extreme highest, lowest; /* from the cubic through each step's four samples */
    double integral, square_integral;
    /* window */
    double mean, rms;
    double ripple_rms; /* mean and drift removed: drift = slope of the line fitted to its means */
    double window_highest, window_lowest;
    double harmonic[WAVE_HARMONICS]; /* amplitude at 1..6 times the period's frequency, drift
                                        removed */
    int strongest; /* 1..6: the strongest of them; 0 when there is none: ripple_rms at most 1e-9 of
                      the mean or below `floor`, or no whole period yet */
    bool settled; /* period means in a full window all within 1e-4 of the last one, or in `floor` */
    double settling_time; /* end of the last period whose mean was outside that band [s]; the start
                             when none was; inf when not settled */
    /* last whole period */
    double ripple_pp; /* highest minus lowest, drift between the last two means removed */
    double final_mean;
};

struct wave;

/* Measures `channels` channels with the given period [s]; `floor[c]` is the absolute band of
 * `settled` (1 mV, 1 uA) and `flags[c]` a sum of enum wave_flag. Both are copied. Lives in `arena`;
 * nothing is allocated afterwards. */
struct wave *wave_new(struct arena *arena, int channels, double period, const double *floor,
                      const unsigned *flags);

/* Time of the first instant [s]; periods count from here. Call once before the first step. */
void wave_start(struct wave *w, double t);

/* One step from t0 to t1: samples[node * stride + channel]. A step never reaches over the end of
 * a period (within 1e-9 of a period): ask wave_period_end and stop there. A step of no length
 * counts for the extremes only. */
void wave_step(struct wave *w, double t0, double t1, const double *samples, int stride);

/* What the values at the four nodes of a step from t0 to t1 in the running period weigh in each
 * sum. */
typedef double wave_weights[WAVE_NODES][WAVE_SUMS];
void wave_weigh(const struct wave *w, double t0, double t1, wave_weights k);

/* Sums of a channel over a stretch of the running period, and the same sums of 1 over it; handed in
 * before the step that ends the period. */
void wave_give(struct wave *w, int channel, const double sums[WAVE_SUMS],
               const double ones[WAVE_SUMS]);

/* Whether a step that ends at t [s] ends the running period. */
bool wave_ends(const struct wave *w, double t);

/* The end of the running period [s]. Computed as start + k * period, k counted, so that no rounding
 * adds up. */
double wave_period_end(const struct wave *w);

/* The start of the running period [s], likewise. */
double wave_period_start(const struct wave *w);

/* At the end of a measured period: the next `periods` periods (> 0) are not measured, while all
 * drifts slowly. When the one after them has been, means, integrals and settling of the leapt ones are
 * those of the parabola through it, the last one and one that came `back` periods earlier than that:
 * 1: the one just before; more: the last before the leap before. The window holds measured
 * periods only: WAVE_WINDOW of them after a leap, and it is one stretch again. */
void wave_leap(struct wave *w, int periods, int back);

/* Weights of these three, from the earliest on, in the sum over the leapt ones. */
void wave_leap_weights(int back, int periods, double weights[3]);

/* Values on one side of a jump at t [s] (both sides of every event are extremes too):
 * samples[channel]. */
void wave_instant(struct wave *w, double t, const double *samples);

/* The mains closed at t [s]: a new set of pulses begins. Pulses before the first closing are not
 * recorded; a pulse that runs across t is cut in two. */
void wave_closing(struct wave *w, double t);

/* Figures of one channel so far. */
void wave_read(const struct wave *w, int channel, struct wave_figures *figures);

/* The last whole period of a channel. False before the first is complete. */
struct wave_cycle {
    double mean, rms, highest, lowest;
};
bool wave_cycle(const struct wave *w, int channel, struct wave_cycle *cycle);

/* For a channel with WAVE_PULSES: of closing k (from 0) the first pulse that exceeds 1 % of the
 * highest pulse of that closing. False when there was none. (Should more than 512 pulses within
 * that span each rise above all before them, it may be a later one, higher by less than 2 %.) */
bool wave_first_pulse(const struct wave *w, int channel, int closing, struct wave_pulse *pulse);
int wave_closings(const struct wave *w);

#endif
