/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_UNCERTAIN_PART_H
#define PRESOLDER_UNCERTAIN_PART_H

#include "part.h"

/* The values of a set that are not known exactly, each with its range, how it is spread over
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

/* Where a value is laid, for those who know more of it than its part does: may change both names.
 * False: nowhere. */
typedef bool uncertain_part_place(void *context, const char **part, const char **key);

/* Finds them in turn, into one list. */
struct uncertain_part_finder;
struct uncertain_part_finder *uncertain_part_begin(struct arena *arena, const struct set *set,
                                                   struct uncertain_list *list,
                                                   uncertain_part_place *place, void *context);

/* A value of the mains: its key, its text, and the words of a tolerance (NULL: none). Without one
 * only the voltage is uncertain. */
void uncertain_part_mains(struct uncertain_part_finder *f, const char *key, const char *text,
                          const char *tolerance);

/* All that the parts of the set give, then what was assumed of them. */
void uncertain_part_all(struct uncertain_part_finder *f);

enum { UNCERTAIN_PART_TEXTS = 2 };

/* How the value [SI] is written in the place of the present one: one text, or those of a list.
 * Returns how many. */
int uncertain_part_texts(struct arena *arena, const struct uncertain *v, double value,
                         const char *texts[UNCERTAIN_PART_TEXTS], bool *list);

#endif
