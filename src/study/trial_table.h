/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRIAL_TABLE_H
#define PRESOLDER_TRIAL_TABLE_H

#include "trial.h"

/* What is kept of each trial of a study: the figures of a few columns. */

enum trial_of { TRIAL_RUN, TRIAL_CREST, TRIAL_ZERO };

struct trial_column {
    const char *head; /* words over it */
    const char *key;  /* one word for files: "B+ settled-voltage" */
    const char *subject;
    enum measure measure;
    enum trial_of of;
    enum unit unit;
    double
        limit; /* rating in the first trial; for a point that of the capacitor there; NaN: none */
    const char *limit_of; /* part the limit belongs to */
};

struct trial_cell {
    double value; /* NaN: not there */
    enum verdict verdict;
};

struct trial_row {
    const char *label;
    struct trial_cell *cells;  /* [columns] */
    double share;              /* of its rating, of the figure that stands worst; NaN: none rated */
    const char *worst_subject; /* of that figure; NULL: none */
    enum measure worst_measure;
    int over;               /* figures over their rating */
    double rectifier_share; /* of the highest of the ratings of rectifiers that a capacitor can
                               pass, without the sheet's stand-ins; NaN: none */
    enum measure rectifier_measure;
    double rectifier_value, rectifier_limit; /* SI */
    bool rectifier_derived;                  /* that limit is derived, no maker's */
    bool settled, balanced;                  /* volts settled; no audit failed */
};

struct trial_table {
    ARRAY(struct trial_column) columns;
    ARRAY(struct trial_row) rows;
};

/* Chooses columns by the first trial: direct volts and ripple, highest volts of capacitors when it
 * is cold, rectifiers' peaks (running, hot restart at crest and zero with length and I2t) and mean,
 * inverse volts, RMS of the windings that feed plates. Texts are copied. */
void trial_table_begin(struct arena *arena, struct trial_table *table, const struct trial *first,
                       bool cold);

/* Adds a row; nothing of the trial is needed afterwards. */
void trial_table_add(struct arena *arena, struct trial_table *table, const struct trial *trial);

/* The name of a trial's run in its judgement. */
const char *trial_variant(const struct trial *t, enum trial_of of);

#endif
