/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TOLERANCES_H
#define PRESOLDER_TOLERANCES_H

#include "failure.h"
#include "judge.h"
#include "tolerances_sums.h"
#include "uncertain.h"

/* Many sets that differ from the scenario as parts, line and readings may (uncertain.h): what their
 * figures are, how many pass a rating, and which uncertain value moves which figure. */

enum { TOLERANCES_MOST = 1000000 }; /* samples */

struct tolerances_options {
    long samples; /* 1..TOLERANCES_MOST */
    unsigned long seed;
    int jobs;         /* 0: as many as there are processors; changes no digit */
    bool cold;        /* turn-ons from cold with their hot restart, else steady states */
    bool only_steady; /* only steady states that are found at once: others count as failed, and the
                         volts before the tubes draw are not asked for */
    bool untimed;     /* timed changes do not happen */
    double duration;  /* of a turn-on [s]; 0: the scenario's */
    bool (*interrupted)(void); /* asked between samples and, from several threads, in turn-ons */
    void (*done)(void *context, int done, int all); /* may be NULL */
    void *done_context;
};

enum tolerances_of {
    TOLERANCES_RUN,    /* the steady state, or the turn-on */
    TOLERANCES_BEFORE, /* the highest volts before the tubes draw, without a turn-on: see below */
    TOLERANCES_RESTART /* the hot restart of a turn-on */
};

/* A figure over all samples. */
struct tolerances_row {
    enum tolerances_of of;
    const char *variant; /* as in figures.csv */
    const char *subject;
    enum measure measure;
    enum unit unit;
    const struct rating *rating; /* NULL: none */
    double nominal;              /* of the scenario as it is */
    bool nominal_over;
    struct tolerances_spread spread;
    double share_over; /* of the samples that have it; NaN: no rating */
    bool watched;      /* rated, or one that `compare` shows: its shares are wanted */
    bool has_shares;
    double *share, *error; /* [groups] tolerances_sums.h */
    double explained;
};

struct tolerances {
    enum status status; /* OK, INTERRUPTED (what was done is there), else nothing is */
    struct failure why; /* not OK */
    const struct scenario *scenario;
    const struct setup *setup; /* of the scenario as it is */
    const char *variant;
    struct uncertain_list list;
    struct tolerances_options options;
    long asked, done;     /* samples; done: those with figures */
    long failed;          /* whose solution or audit failed; they count nowhere else */
    struct failure first; /* why, of the first of them */
    long restless;        /* of which no steady state was found: they may run away, or trip */
    bool race;            /* rectifier and tubes warm up together: volts before the tubes draw
                               depend on who is first, which only turn-ons tell */
    long over;            /* samples with any figure over its rating */
    ARRAY(struct tolerances_row) rows;
};

/* Without `cold` the figures are of the steady state of hours, so of first pulses there are none.
 * The highest volts of the capacitors before the tubes draw are then those of the steady state with
 * every load that waits for a heater open, times the ratio of a turn-on of the scenario as it is to
 * such a state: exact where the rectifier is there long before the tubes, else an estimate. Missing
 * where no load waits, a change comes later in the run, or the ratio is far from 1.
 *
 * Everything lives in `arena`; mistakes of the scenario are in `diags`. Never NULL. */
struct tolerances *tolerances_make(struct arena *arena, struct diags *diags,
                                   const struct scenario *s, const char *variant,
                                   const struct tolerances_options *options);

/* The bands in which sound sets like this one lie when warm: the 5 and 95 % of TOLERANCES_BANDS
 * samples. Of the options jobs, only_steady (without it runs wait where no steady state is found at
 * once, some ten seconds of processor time), untimed and interrupted count. NULL where nothing is
 * uncertain, more than a quarter of the samples have no figures, or the study was interrupted. */
enum { TOLERANCES_BANDS = 64 };
const struct tolerances *tolerances_bands(struct arena *arena, const struct scenario *s,
                                          const char *variant,
                                          const struct tolerances_options *options);

/* The first row of a figure of the run; NULL: there is none. */
const struct tolerances_row *tolerances_find(const struct tolerances *t, const char *subject,
                                             enum measure measure);

/* The group with the largest share of a row; -1: none. `nth` 0: the largest, 1: the second ... */
int tolerances_foremost(const struct tolerances *t, const struct tolerances_row *row, int nth);

#endif
