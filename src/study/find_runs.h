/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIND_RUNS_H
#define PRESOLDER_FIND_RUNS_H

#include "find.h"

/* What the searches for one and for two values do alike: their runs, several at a time, the grid,
 * preferred neighbours, other loads. */

struct find_runs {
    struct arena *arena;
    struct diags *diags;
    const struct scenario *s;
    const char *variant;
    struct trial_options trial;
    int jobs;
    const struct changed *changed; /* [n] */
    const struct wish *wishes;     /* [n] */
    int n;                         /* 1 or 2 */
    double scale[FIND_MOST];       /* of what figures are off by [the wishes' units] */
    const char *const *loads;      /* names of the parts that are loads, once looked for */
    int load_count;
    struct finding *f; /* what is found; status not OK: a run failed or was interrupted */
};

/* A search with an empty finding in `arena`. */
struct find_runs find_runs_new(struct arena *arena, struct diags *diags, const struct scenario *s,
                               const char *variant, const struct changed *changed,
                               const struct wish *wishes, int n,
                               const struct find_options *options);

/* Runs points by their values and load, fills in trial and figures. False when one failed. The same
 * whatever `jobs`. */
bool find_runs_make(struct find_runs *r, struct find_point *points, int n);

/* Share by which figure w of a point is off its wish; NaN: it is not there. */
double find_runs_off(const struct find_runs *r, const struct find_point *p, int w);

/* The greater such share of all; inf when one is not there. */
double find_runs_worst_off(const struct find_runs *r, const struct find_point *p);

/* Runs the grid, `points` each way, evenly spaced in the logarithm, and notes least and most of
 * each figure. False when a run failed, or, with FIND_UNKNOWN and an error that names the nearest,
 * when there is no figure of a wish in its unit. */
bool find_runs_grid(struct find_runs *r, int points);

/* Unless all of n points reached their steady state, so that figures are smooth in the values:
 * runs of one length from here on, LONGER (1.5) times the longest of them, if none is told. */
void find_runs_fix_length(struct find_runs *r, const struct find_point *const *points, int n);

/* Runs the exact values, their preferred neighbours in E24 and E12 (what is not bought by numbers
 * stays exact), and the best of them, or else the exact, with other loads. */
void find_runs_finish(struct find_runs *r);

#endif
