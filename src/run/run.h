/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_RUN_H
#define PRESOLDER_RUN_H

#include <stdbool.h>

#include "equations.h"
#include "scenario.h"
#include "status.h"
#include "trouble.h"
#include "trace.h"

/* One figure of a run, as a row of figures.csv. Texts live in the arena of the run or the setup. */
struct figure {
    const char *subject;
    enum measure measure;
    double value; /* SI; inf = never or unlimited */
    enum unit unit;
    double time; /* when it happened [s]; NaN: not bound to an instant */
};

/* A rating passed during the run, judged cycle by cycle: its mean or RMS where the rating is of
 * such, else its extreme. */
struct excess {
    const struct rating *rating;
    double first, last; /* ends of the first and the last cycle above it [s] */
    double seconds;     /* in all */
    double worst;       /* SI, of a cycle */
    double worst_time;  /* end of that cycle [s] */
};

/* The residuals its audit lets a run have; figures audit-energy and audit-charge of `set`. */
#define RUN_AUDITED 1e-6

/* Volts that a capacitor may keep: common practice, no source. */
#define RUN_BLED 30.0

/* What the run cost and how well it balances. */
struct statistics {
    long steps, rejected, shrunk, derivatives, jacobians, newton, events, switches;
    int patterns;             /* reductions made */
    double smallest_step;     /* [s] */
    double energy_drawn;      /* from all sources [J]; these in the cycles that were simulated */
    double energy_heat;       /* turned to heat in all parts [J] */
    double energy_stored;     /* change of stored energy [J] */
    double energy_booked;     /* lost in sudden changes [J] */
    double energy_residual;   /* |drawn - heat - stored - booked| over the energy drawn */
    double charge_residual;   /* worst point: |sum of charges that came in| over the charge that
                                 passed */
    const char *charge_point; /* that point */
    double tolerance;         /* of the integrator */
    int repeated; /* so often made again at a tenth of the tolerance, the audit having failed */
    bool audit_failed;  /* a residual above RUN_AUDITED, or none */
    long leaps;         /* over cycles (skip.h); 0: every cycle was simulated */
    long cycles, leapt; /* of the run in all, and leapt over */
    bool steady;        /* its settled figures are of the periodic steady state, searched for */
    double
        leap_error; /* the most that a leap made wrong, estimated, in ranges of the worst state */
};

/* Called at every accepted step's end (never inside a step): current instant's equations are solved
 * at t. */
typedef void run_observer(void *context, double t, const struct equations *eq, const double *y);

/* What makes a run as fast or slow as it is, as of the running period. */
struct run_pace {
    long steps, switches; /* so far in it */
    double time, step;    /* where it is, and the last step [s] */
    const char *part;     /* whose state asks for so short steps; NULL: volts somewhere */
};

struct run_options {
    double duration;  /* [s]; 0: the scenario's */
    double tolerance; /* of the integrator, of the range of each capacitor; 0: the default */
    int hot;          /* 1: start hot whatever the scenario says */
    double angle;     /* closing angle of the first closing [rad]; NaN: the scenario's (worst is
                         searched for) */
    double hold;      /* what device states may change in a cycle and still be held (hold.h), as a
                         multiple of the default; 0: the default; negative: all are integrated;
                         infinite: all that may be held stays where it is */
    bool trace;       /* keep a trace */
    bool every_cycle; /* leap over none (skip.h) */
    bool pulses_only; /* nothing but the currents of rectifiers is measured, nothing audited */
    bool no_bleed;    /* the times to bleed down are not wanted */
    bool steady;      /* hot, with until_settled: when half a second has shown the first pulses, go
                         to the periodic steady state at once where it can be found (steady.h) */
    bool until_settled; /* end before `duration` once the volts of all capacitors (without any:
                            every watched quantity) have settled in the last stage */
    /* Called at the end of every period but the last with the share of the work done, 0..1, and within
     * periods that take long; a nonzero answer interrupts the run there: the result is that of a run
     * of this length, with `interrupted-at` of `set` among its figures. */
    int (*progress)(void *context, double done);
    void *progress_context;
    struct run_pace *pace; /* filled before `progress` is called; NULL: not wanted */
    run_observer *observe; /* may be NULL */
    void *observe_context;
    double observe_every; /* [s]: steps are made to end at multiples of it; 0: no call */
};

/* Options with nothing chosen (all defaults). */
struct run_options run_defaults(void);

struct result {
    enum status status;     /* OK, SOLUTION or INTERRUPTED (partial) */
    struct trouble trouble; /* not OK: what, where, when */
    const struct setup *setup;
    double end;           /* time reached [s] */
    double closing_angle; /* of the first closing [rad] */
    bool settled;         /* every watched quantity, in a run that balances */
    ARRAY(struct figure) figures;
    ARRAY(struct excess) excesses; /* in order of `first` */
    struct statistics statistics;
    const struct trace *trace;        /* NULL: none kept */
    ARRAY(const char *) columns;      /* of the trace: `B+ [V]`, `V6.1 [A]`, ... */
    const struct trace *heat;         /* a row a cycle; NULL: none kept */
    ARRAY(const char *) heat_columns; /* `C1 [W]` (mean of the cycle), `C1 [degC]` */
    const struct trace *envelope;     /* a row at the end of each cycle; NULL: none kept */
    ARRAY(const char *)
    envelope_columns; /* as in `columns`; three values each: least, mean and
                                             highest of the cycle */
};

/* Simulates a setup. Everything in the result lives in `arena`. */
struct result *run_simulate(struct arena *arena, const struct setup *setup,
                            const struct run_options *options);

/* The share of a run's work that is done at t [s], about: cycles leapt over cost little. */
double run_done(const struct run_options *options, double t);

/* The closing angle of 0, 15, ... 345 degrees with the highest rectifier peak in a short hot run of
 * the first stage [rad]; crest (90 degrees) when no rectifier carries current. The
 * runs take passing memory, which goes with `arena`'s. The progress of `options` (NULL: none) is asked
 * meanwhile, with nothing done; where it wants an end the angle is that of those looked at. */
double run_worst_angle(struct arena *arena, const struct setup *setup,
                       const struct run_options *options);

/* The same result seen as if its record of heat were its trace. */
struct result run_heat(const struct result *result);

/* A figure of a result; NULL when absent. */
const struct figure *run_figure(const struct result *result, const char *subject,
                                enum measure measure);

/* The RMS ripple of a point or capacitor [V]; NULL when absent. */
const struct figure *run_ripple(const struct result *result, const char *subject);

#endif
