/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FAILURE_H
#define PRESOLDER_FAILURE_H

/* Why a study has no answer, as a fact; `output/words` says it. */

enum failure_cause {
    FAILURE_NONE, /* or errors of the scenario, which are in the diagnostics */
    FAILURE_RUN,  /* a run failed: `message` of its result */
    FAILURE_SETUP,
    FAILURE_MEMORY,
    FAILURE_THREADS,
    FAILURE_UNSETTLED, /* no steady state was found */
    FAILURE_AUDIT,     /* its run does not balance */
    FAILURE_NO_EARTH,  /* without mains nothing joins the set to earth */
    FAILURE_NO_LINE,   /* no mains to put a fuse in */
    FAILURE_MAINS_OFF,
    FAILURE_CAUSES
};

/* Which run. */
enum failure_run {
    FAILURE_NAMED, /* the one called `name`; NULL: the only one */
    FAILURE_TURN_ON,
    FAILURE_HOT,
    FAILURE_SWITCHED_OFF,
    FAILURE_COLD_TUBES,
    FAILURE_RUNS
};

struct failure {
    enum failure_cause cause;
    enum failure_run run;
    const char *name;
    const char *message; /* of FAILURE_RUN; NULL: there is none */
};

#endif
