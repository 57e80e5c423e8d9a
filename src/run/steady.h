/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_STEADY_H
#define PRESOLDER_STEADY_H

#include "run.h"

/* The steady state of a setup long after the last timed change, at once: what a run of hours ends
 * at, without its first pulses. */

struct steady_search;

struct steady_options {
    double tolerance; /* of the integrator; 0: the default of runs */
    /* Transformers, coil copper and capacitor cans stay at the temperatures that a hot start gives
     * them; else they are as warm as their own watts make them. */
    bool bodies_stay;
    int (*progress)(void *context, double done); /* as in run_options, with nothing done */
    void *progress_context;
    bool bleed; /* the times to bleed down are wanted */
    /* Where to begin: a steady state of a setup that differs from this one in numbers only; NULL,
     * or of another shape: from a hot start. It changes nothing but the cost, and the last digits:
     * so for equal digits let all runs of a study begin at the same one. */
    const struct steady *near;
};

struct steady {
    enum status status; /* OK, INTERRUPTED, or SOLUTION: there is none, or it was not found */
    /* Figures of one cycle: those of a run but for first pulses, settling times and times to a
     * limit; `settled` is 1. NULL unless status is OK. */
    const struct result *result;
    long cycles;                        /* simulated, the measured one included */
    const struct steady_search *search; /* for those who begin here */
};

/* Everything in the result lives in `arena`. */
const struct steady *steady_solve(struct arena *arena, const struct setup *setup,
                                  const struct steady_options *options);

#endif
