/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_UNCERTAIN_H
#define PRESOLDER_UNCERTAIN_H

#include "overrides.h"

/* The values of a scenario that are not known exactly, each with its range, how it is spread over
 * it, and who says so. Values that move together (the line, parts of one batch, readings of one
 * meter) are one group: one number between 0 and 1 moves them all.
 *
 * What counts, the first that fits: a `tolerance:` or `+-5 %` beside the value, `exact` among them;
 * the catalogue's tolerance of a type; the table of uncertain_table.c by kind, make and key; for
 * what was not given, the range of the assumption (set_assume). Limits, faults' words and what no
 * key can set are not varied. */

enum uncertain_spread {
    SPREAD_EVEN, /* every value within the range is as likely as any other */
    SPREAD_LOG,  /* every ratio is: ranges of one to two and more */
};

enum uncertain_from {
    UNCERTAIN_STATED,    /* the scenario states its tolerance */
    UNCERTAIN_TOLERANCE, /* of a part as made, or aged */
    UNCERTAIN_READING,   /* of the meter it was read with, or the chart */
    UNCERTAIN_LINE,      /* of the mains */
    UNCERTAIN_GUESS      /* nobody gave it */
};

struct uncertain {
    const char *part, *key; /* as for overrides_text: `T1`, `primary.resistance` */
    enum unit unit;
    double value, low, high; /* [SI]; of a list of two that of the first */
    enum uncertain_spread spread;
    enum uncertain_from from;
    const char *source;     /* of the range: a standard, or "common practice, no source" */
    enum known_by known_by; /* the reading that replaces a guess */
    int group;              /* in `groups` */
    const struct uncertain_text *text; /* how it is written; NULL: a plain value */
};

/* What moves together, and why. */
enum uncertain_together {
    TOGETHER_ALONE, /* a single value */
    TOGETHER_BATCH, /* the same key of parts alike in make, value and rated volts */
    TOGETHER_AGE,   /* the same key of parts of one make */
    TOGETHER_AC,    /* readings of AC volts with one meter */
    TOGETHER_DC     /* readings of DC volts with one meter */
};

struct uncertain_group {
    const char *key; /* `C1.value`, of several `C1.value, C2.value` */
    enum uncertain_together together;
    enum uncertain_from from; /* these of its first value */
    enum known_by known_by;
    int first, n;     /* its first value, how many */
    const char *mark; /* for uncertain.c */
};

struct uncertain_list {
    ARRAY(struct uncertain) values;
    ARRAY(struct uncertain_group) groups;  /* at least one value each */
    ARRAY(const struct assumption *) kept; /* guesses that no key can set: not varied */
};

/* The uncertain values of a variant (NULL: the scenario itself), whose setup this is; those of its
 * first stage. Texts live in `arena` or as long as scenario and setup. */
struct uncertain_list uncertain_of(struct arena *arena, const struct scenario *s,
                                   const char *variant, const struct setup *setup);

/* The value at quantile u (0..1) of its spread [SI], and the standard deviation and mean of it. */
double uncertain_quantile(const struct uncertain *v, double u);
double uncertain_deviation(const struct uncertain *v);
double uncertain_mean(const struct uncertain *v);

/* values[i] for each value of the list from u[g] of its group. */
void uncertain_values(const struct uncertain_list *list, const double *u, double *values);

/* Lays value i [SI] over the scenario; what its text says beside it (`at 225 V`, `cold`, the other
 * half of a winding in proportion) stays. */
void uncertain_lay(struct overrides *o, const struct uncertain *v, double value);

/* Lays all values of the list. Lay faults after it: what is laid later wins. */
void uncertain_lay_all(struct overrides *o, const struct uncertain_list *list,
                       const double *values);

#endif
