/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TROUBLE_H
#define PRESOLDER_TROUBLE_H

#include "network.h"

/* Why a run has no answer, or not all of it, as facts; `output/words` says it. */

enum trouble_cause {
    TROUBLE_NONE,
    TROUBLE_INTERRUPTED, /* at `time` of `until` */
    TROUBLE_EQUATIONS, /* could not be solved; near the part and points `names`, NULL: not known */
    TROUBLE_TINY_STEP, /* likewise */
    TROUBLE_SINGULAR,  /* likewise */
    TROUBLE_SWITCHED,  /* could not be solved where the gates `names` switch */
    TROUBLE_NETWORK,   /* the network of a pattern has a `fault`, of `names` */
    TROUBLE_PATTERN,   /* no pattern agrees with itself: the gates `names` */
    TROUBLE_SWITCHING, /* the gates `names` turn over without end */
    TROUBLE_LEAP,      /* over many cycles went wrong */
    TROUBLE_BACK,      /* the state before a trial could not be found again */
    TROUBLE_CAUSES
};

struct trouble {
    enum trouble_cause cause;
    enum network_fault fault;
    const char *names;  /* `V6.1, V6.2`, `lamp, line, tap`; NULL: none */
    double time, until; /* [s] */
};

/* With names in `arena`. */
struct trouble trouble_copy(struct arena *arena, const struct trouble *t);

/* The part whose charge, flux, temperature ... state i of a session's equations is, of a mode the
 * one that has most of it; NULL: none. And the same with its points: `lamp, line, tap`. */
struct session;
const char *trouble_part(const struct session *s, int i);
const char *trouble_place(const struct session *s, int i);

/* The parts whose currents are no straight lines: `V6, output`; NULL: there are none. */
const char *trouble_laws(const struct session *s);

#endif
