/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIND_H
#define PRESOLDER_FIND_H

#include "failure.h"
#include "trial.h"

struct ends;

/* The value of one key for which a figure becomes what is wanted. */

/* `B+ settled-voltage = 250 V`. */
struct wish {
    const char *text, *subject, *name; /* name: of the measure, as written */
    enum measure measure;              /* MEASURE_NONE: no such name */
    char relation;                     /* '=', '<' or '>' */
    double value;
    enum unit unit;
};

/* Reads a wish. False with an error that stands under its words. */
bool wish_parse(struct arena *arena, struct diags *diags, const char *text, struct wish *wish);

/* What stands before and after the relation of a wish that is one value: a name, a value. False
 * where there is no `=`. */
bool wish_split(struct arena *arena, const char *text, const char **name, const char **value);

/* What may be changed: `R9.resistance`, or with bounds `R9.resistance=10ohm..10kohm`. */
struct changed {
    const char *text, *path;
    enum unit unit;
    double now;       /* its present value; NaN: not known */
    double low, high; /* looked at [SI] */
    const char *tail; /* words kept behind the value: `cold`, `at 60 mA`; "" */
};

/* Reads it and finds unit, present value and default bounds (a hundredth to a hundred times the
 * present value; of the mains' voltage a half to one and a half). False with errors. */
bool wish_parse_changed(struct arena *arena, struct diags *diags, const struct scenario *s,
                        const char *variant, const char *text, struct changed *changed);

enum { FIND_MOST = 2, FIND_GRID = 13, FIND_NEAR = 8, FIND_LOADS = 4 };

/* One run of a search for one value, or for FIND_MOST of them; of one the rows [1] are unused. */
struct find_point {
    double value[FIND_MOST];   /* of the keys [SI] */
    double load;               /* the loads are scaled by; 1: as they are */
    double figure[FIND_MOST];  /* of the wishes; NaN: not there */
    const struct trial *trial; /* lives in the finding's arena */
};

enum find_outcome {
    FIND_VALUE,  /* found */
    FIND_ANY,    /* every value looked at does */
    FIND_NEVER,  /* none does: `least` and `most` tell what can be reached */
    FIND_UNKNOWN /* no such figure: error in diags */
};

struct finding {
    enum find_outcome outcome;
    enum status status;      /* not OK: a run failed or was interrupted */
    struct failure failure;  /* why */
    struct find_point *grid; /* [points] in rising order of the first value, in it of the second */
    int points;
    struct find_point least[FIND_MOST], most[FIND_MOST]; /* lowest and highest of each figure met */
    struct find_point exact;                             /* the root */
    int unbalanced;                                      /* runs whose audit failed */
    int iterations;                                      /* runs to close in */
    struct find_point near[FIND_NEAR]; /* preferred neighbours of E24 and of E12 */
    const struct ends
        *ends;       /* of `best` or the root, where somebody has looked (ends.h); else NULL */
    int nears, best; /* best: the one that suits most; -1: none does */
    struct find_point loads[FIND_LOADS]; /* with the best: -50, -25, +25, +50 % */
    int load_count;                      /* 0: no part is a load */
    int roots; /* of one value: intervals in which the figure crosses the wish */
    /* Of two: the second figure where the first meets its wish, between points of the grid; NaN:
     * nowhere. */
    double least_beside, most_beside;
    int both; /* a point of the grid that meets both wishes, which are limits; -1: none */
};

struct find_options {
    struct trial_options trial;
    int jobs; /* threads; 0: as many as there are processors */
};

/* Finds it: a grid of FIND_GRID values, evenly spaced in the logarithm, brackets the wish; the
 * crossing nearest to the present value is closed in by Brent's method (GSL) on hot runs that
 * go to their steady state (where that is not found, of one fixed length: 1.5 times what the
 * bracket needed to settle); preferred neighbours (rising) and
 * changed loads are then run. The same whatever `jobs`. Lives in `arena`. */
const struct finding *find_value(struct arena *arena, struct diags *diags, const struct scenario *s,
                                 const char *variant, const struct changed *changed,
                                 const struct wish *wish, const struct find_options *options);

/* True when a figure meets the wish; one asked for by `=` within 1e-4 of it. */
bool wish_met(const struct wish *wish, double figure);

#endif
