/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIND_RUNS_H
#define PRESOLDER_FIND_RUNS_H

#include "find.h"
#include "preferred.h"

/* The runs of a search: the scenario with a few values laid over it, several runs at a time. */

struct find_runs {
    struct arena *arena;
    struct diags *diags;
    const struct scenario *s;
    const char *variant;
    struct trial_options trial;
    int jobs;
    const struct changed *changed; /* [changes] */
    int changes;
    const char *const *loads; /* names of the parts that are loads, once looked for */
    int load_count;
    enum status status;  /* not OK: a run failed or was interrupted */
    const char *message; /* which, and why */
};

struct find_runs find_runs_new(struct arena *arena, struct diags *diags, const struct scenario *s,
                               const char *variant, const struct changed *changed, int changes,
                               const struct find_options *options);

/* One run: the changes' values [SI], and what the loads are scaled by (1: as they are). */
struct find_ask {
    double values[FIND_MOST];
    double load;
};

/* trials[i] of asks[i]; they live in the arena. False when one failed. The same whatever `jobs`. */
bool find_runs_make(struct find_runs *r, const struct find_ask *asks, int n,
                    const struct trial **trials);

/* Runs of one length from here on, so that figures are smooth in the values: LONGER (1.5) times
 * the longest of the n trials, unless the length is told. */
void find_runs_fix_length(struct find_runs *r, const struct trial *const *trials, int n);

/* The value of the wished figure in a trial; NaN: not there. */
double find_figure(const struct trial *trial, const struct wish *wish);

/* Whether the trial has such a figure in the wish's unit; else an error that names the nearest. */
bool find_figure_known(struct find_runs *r, const struct trial *trial, const struct wish *wish);

/* Looks for the parts that are loads and can be scaled. */
void find_runs_loads(struct find_runs *r, const struct trial *trial);

/* Value number i (rising from 0) of n between the bounds, evenly spaced in the logarithm and
 * rounded to three digits. */
double find_grid_value(const struct changed *changed, int i, int n);

/* The preferred neighbours of a value in a series, rising: 1 when it is one itself, else 2; 0 when
 * it is nothing that is bought by preferred numbers. */
int find_neighbours(const struct changed *changed, enum preferred_series series, double value,
                    double near[2]);

#endif
