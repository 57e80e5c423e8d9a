/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DIAGNOSE_H
#define PRESOLDER_DIAGNOSE_H

#include "weigh.h"

/* What is wrong, by what was read: causes ranked, and the reading that would tell them apart
 * best. */

enum { DIAGNOSE_GROUP = 5, DIAGNOSE_TOLD = 8, DIAGNOSE_NEXT = 3, DIAGNOSE_PAIRS = 3 };

/* Causes of which the first is less than so many times likelier cannot be told apart by these
 * readings. */
#define DIAGNOSE_APART 3.0

/* A dangerous fault that holds more than this share is not excluded. */
#define DIAGNOSE_EXCLUDED 0.01

/* A cause of less than this share is not looked at when the next reading is chosen. */
#define DIAGNOSE_ASKED 1e-3

/* A cause serves when readings that lie as far off it or farther come about so often by chance. */
#define DIAGNOSE_SERVES 1e-2

/* What may come next. */
struct next_reading {
    int read;          /* in the reads */
    double gain;       /* entropy that it takes away, as expected [bit] */
    double per_minute; /* gain over effort */
};

/* Why nothing under power is proposed. */
enum next_limit {
    NEXT_ANY,
    NEXT_NOT_ISOLATED, /* no transformer between the line and the set, and none in the plug */
    NEXT_NO_FULL_LINE  /* a dangerous fault is among the leaders */
};

/* Two faults at once. */
struct diagnosed_pair {
    int cause[2];
    double severity[2];
    double misfit;
    double *expected; /* [reads] as compared */
};

struct diagnosis {
    const struct setup *setup;
    struct responses r;
    const struct placed *placed;
    const struct weighed *of; /* [causes] */
    int *order;               /* [causes] likeliest first */
    int group;                /* so many of the first cannot be told apart */
    struct evidence evidence;
    bool serves;              /* the likeliest single cause */
    int odd;                  /* the reading that fits nothing, in evidence; -1: none */
    int odd_cause, odd_place; /* what explains all the others */
    int danger; /* the likeliest dangerous cause, of more than DIAGNOSE_EXCLUDED; -1: none */
    enum next_limit limit;
    struct next_reading next[DIAGNOSE_NEXT];
    int nexts;
    struct diagnosed_pair pairs[DIAGNOSE_PAIRS];
    int pair_count;
    enum status status;
};

/* Diagnoses the readings of the scenario, those of one set of them or of all that belong together
 * (questions_of). Lives in the arena. STATUS_SCENARIO with errors in diags
 * when it cannot be set up, nothing was read, or a reading names nothing. */
struct diagnosis *diagnose(struct arena *arena, struct diags *diags, const struct scenario *s,
                           const char *variant, const char *set,
                           const struct responses_options *options);

/* What a cause at a place gives for a read, as compared; NaN: nothing, or no steady state. */
double diagnose_expected(const struct diagnosis *d, int cause, int place, int read);

/* The causes in order of their shares; how many of the first cannot be told apart. */
int *diagnose_order(struct arena *arena, const struct weighed *of, int n);
int diagnose_group(const struct weighed *of, const int *order, int n);

#endif
