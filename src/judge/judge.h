/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_JUDGE_H
#define PRESOLDER_JUDGE_H

#include "run.h"

/* Every figure against its rating. */

#define JUDGE_NEAR 0.9 /* of an upper limit: from there on a figure is near it */

/* No better is a limit known that no maker gives but that is derived (estimate, no source). */
#define JUDGE_BAND 1.1

/* Whether a limit is derived from others. */
bool judge_derived(const struct rating *rating);

enum verdict { VERDICT_NONE, VERDICT_WITHIN, VERDICT_NEAR, VERDICT_OVER };

/* As written in figures.csv: `no rating`, `within`, `near`, `over`. */
const char *judge_verdict_text(enum verdict verdict);

/* One figure with what it is held against. A figure with several ratings appears once for each; one
 * with a least and a most limit (heater volts) once, against the side it lies on, and its share is
 * between them the distance from the middle of the band over half its width. */
struct judged {
    const char *variant; /* `base`, a variant's name, or that with ` (hot restart)` behind it */
    struct figure figure;
    const struct rating *rating; /* NULL: no rating */
    enum verdict verdict;        /* near: over 90 % of the rating, or under 110 % of an at-least
                                  * limit; none, though rated: the figure is not a number */
                                 /* audits of a run (set): within or over, without a share */
    double share;                /* of the limit used: |value|/limit, or limit/value for an
                                  * at-least limit; of a temperature the rise over the room; NaN:
                                  * not judged */
};

struct judgement {
    ARRAY(struct judged) all;           /* in the order of the runs' figures */
    int over, near;                     /* counts */
    ARRAY(const struct rating *) unmet; /* ratings that no figure of any run belongs to */
};

/* Judges the figures of some runs of one setup; variants[i] labels runs[i]. Each is held against
 * all different ratings of its subject and measure in any stage, means of the last cycles against
 * those of the stage in which the run ends (of a set that draws nothing from the mains then, not
 * against least limits). Fixed figures (supply impedance, first capacitor) of the first stage are
 * added once, behind the first run's, under variants[0]. Lives in `arena`. */
struct judgement *judge(struct arena *arena, const struct setup *setup,
                        const struct result *const *runs, const char *const *variants, int n);

/* The judged figures with a rating, worst first (highest share; ties by subject, name of the
 * measure, order): pointers into all. */
struct judged **judge_worst_first(struct arena *arena, const struct judgement *judgement, int *n);

/* Whether one counts more than another of the same kind: by a higher share, without a rating by a
 * greater magnitude. What is equal but for rounding does not. */
bool judge_counts_more(const struct judged *a, const struct judged *b);

/* The worst row of `variant` with that measure whose subject is `subject`, or a plate or half of it
 * (V6: V6.1, V6.2; `T1.high voltage`: `T1.high voltage 1`): that counts most. NULL: none. */
const struct judged *judge_worst(const struct judgement *judgement, const char *variant,
                                 const char *subject, enum measure measure);

#endif
