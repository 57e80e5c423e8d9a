/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_RESPONSES_H
#define PRESOLDER_RESPONSES_H

#include "questions.h"
#include "status.h"
#include "uncertain.h"

/* What the set would read with each cause, at each of its severities, and how far the tolerances of
 * the sound parts move that. Hot steady states (steady.h); transformers, coils and cans stand as
 * warm as a hot start has them, since readings are taken within minutes. In a set of readings taken
 * DIAGNOSE_WARMED after switching on or later they are as warm as their own watts make them. */

enum answer {
    ANSWER_ABSENT, /* the set cannot be so: it does not count */
    ANSWER_NONE,   /* no steady state */
    ANSWER_MADE
};

struct answers {
    enum answer made[CAUSE_NODES]; /* the least of all situations asked for */
    double *at;               /* [nodes * width] reads, then signs; NaN: not asked, or nothing */
    bool sloped[CAUSE_NODES]; /* nodes at which `slope` was taken */
    double *slope; /* [nodes * tolerances * reads] of each read by one step: to the quantile 84 % */
};

/* One uncertain value, or several that move together. */
struct tolerance_moved {
    int group;            /* in the list */
    double per_deviation; /* standard deviation, in steps of the slopes */
    double shift;         /* where its mean lies, in standard deviations from what is written */
    double width;         /* how much wider than it is written that deviation was made */
    int known;            /* its number among what is known of them; -1: none */
};

/* What readings of the healthy set leave of the tolerances of a scenario that was moved to them:
 * their covariance is L L' in standard deviations. */
struct known {
    int n;
    const char **key; /* [n] of the group of values */
    double *shift;    /* [n] where their means lie, in standard deviations from what is written */
    double *factor;   /* [n*n] L, a lower triangle */
};

struct responses {
    const struct scenario *scenario;
    const char *variant;
    const struct set *set; /* of the setup of the scenario, its first stage */
    struct questions q;
    cause_list causes;
    struct uncertain_list uncertain;
    ARRAY(struct tolerance_moved) tolerances; /* that move any reading of the sound set */
    const struct known *known;                /* NULL: nothing */
    int width;                                /* reads and signs */
    struct answers *of;                       /* [causes] */
    const struct steady **near;               /* [situations] of the sound set; NULL */
    long runs, failed;
};

struct responses_options {
    const struct known *known;                   /* of the tolerances; NULL: nothing */
    int jobs;                                    /* threads; 0: as many as there are processors */
    int (*progress)(void *context, double done); /* as in run_options; from several threads */
    void (*done)(void *context, int done, int all); /* in the caller's thread; may be NULL */
    void *done_context;
};

/* With scenario, variant, set, q, causes and uncertain filled: runs the sound set, notes in q.reads
 * what that reads, and chooses the tolerances that matter. False with the status, and with errors
 * in diags for readings that name nothing. */
bool responses_begin(struct arena *arena, struct diags *diags, struct responses *r,
                     const struct responses_options *options, enum status *status);

/* Fills the answers of n causes for situations from..to-1 (-1: the set dead). Of the nodes those
 * that `wanted` (NULL: all) says; at those that `sloped` (NULL: none) says the tolerances are
 * moved too. False when interrupted or out of memory. */
struct responses_task {
    const int *cause; /* [n] */
    int n;
    int from, to; /* situations */
    bool (*wanted)(void *context, int cause, int node);
    bool (*sloped)(void *context, int cause, int node);
    void *context;
};
bool responses_fill(struct arena *arena, struct responses *r, const struct responses_task *task,
                    const struct responses_options *options);

/* The slopes [tolerances * reads] of a node. */
const double *responses_slope(const struct responses *r, int cause, int node);

/* A single set, as no cause alone describes it. */
struct responses_single {
    const struct cause *cause[2]; /* NULL: none */
    double severity[2];
    const double *values; /* of r->uncertain.values [SI]; NULL: as written */
    void (*lay)(struct overrides *o, void *context);         /* more keys; NULL */
    void (*alter)(const struct setup *setup, void *context); /* what keys cannot say; NULL */
    void *context;
};

/* What it reads, dead and in the situations before `situations`, into y [width]. False: no steady
 * state. */
bool responses_single(struct arena *arena, const struct responses *r,
                      const struct responses_single *single, int situations, double *y);

#endif
