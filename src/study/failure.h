/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FAILURE_H
#define PRESOLDER_FAILURE_H

#include "run.h"

/* Why a study has no answer, as a fact; `output/words` says it. */

enum failure_cause {
    FAILURE_NONE,  /* or errors of the scenario, which are in the diagnostics */
    FAILURE_RUN,   /* a run failed: its `trouble` */
    FAILURE_SETUP, /* the reader complained: the first `message`, NULL: it is in the diagnostics */
    FAILURE_MEMORY,
    FAILURE_THREADS,
    FAILURE_UNSETTLED, /* no steady state was found */
    FAILURE_SOUND,     /* nor one of the set without a fault */
    FAILURE_AUDIT,     /* its run does not balance */
    FAILURE_NO_EARTH,  /* without mains nothing joins the set to earth */
    FAILURE_NO_LINE,   /* no mains to put a fuse in */
    FAILURE_MAINS_OFF,
    FAILURE_NO_LAMP,   /* a bench sheet's series lamp is for sets fed from the line */
    FAILURE_NO_FILTER, /* no filter capacitor to buy in the variant `name` */
    FAILURE_CAUSES
};

/* Which run. */
enum failure_run {
    FAILURE_NAMED, /* the one called `name`; NULL: the only one */
    FAILURE_TURN_ON,
    FAILURE_HOT,
    FAILURE_SWITCHED_OFF,
    FAILURE_COLD_TUBES,
    FAILURE_TOUCH, /* of a touch at the point `name` */
    FAILURE_RUNS
};

struct failure {
    enum failure_cause cause;
    enum failure_run run;
    const char *name;
    bool reversed, on;      /* of FAILURE_TOUCH: the plug; the set's switch */
    struct trouble trouble; /* of FAILURE_RUN */
    const char *message;    /* of FAILURE_SETUP */
};

/* Of a run that failed, copied into `arena`; NULL: it had no memory. */
struct failure failure_of_run(struct arena *arena, const struct result *r, enum failure_run run,
                              const char *name);

#endif
