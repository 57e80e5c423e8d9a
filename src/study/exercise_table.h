/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EXERCISE_TABLE_H
#define PRESOLDER_EXERCISE_TABLE_H

#include "part.h"

/* How each fault may be shown to a class, and which way it moves readings: judgement, common
 * practice without a source. */

enum exercise_class {
    EXERCISE_PAPER, /* on paper only */
    EXERCISE_DEAD,  /* in a dead set, with the ohmmeter */
    EXERCISE_LIVE,  /* under power behind isolation, lamp and fuse, the trainer present */
    EXERCISE_CLASSES
};

/* Why it is of that class. */
enum exercise_reason {
    EXERCISE_BURNS,     /* windings and rectifier burn within minutes */
    EXERCISE_BURSTS,    /* a can vents or bursts */
    EXERCISE_SHOCK,     /* charge or line voltage is where hands do not expect it */
    EXERCISE_FIRE,      /* what should open does not */
    EXERCISE_OVERVOLTS, /* capacitors go over their rating */
    EXERCISE_OVERLOAD,  /* tubes and transformer run over their rating, and nothing limits it */
    EXERCISE_OHMS,      /* an ohmmeter finds it: no reason for power */
    EXERCISE_GENTLE,    /* nothing goes over its rating by it, and only power shows it */
    EXERCISE_REASONS
};

/* How the fault works on the rest of the set. */
enum exercise_effect {
    EXERCISE_STORES_LESS, /* less charge is kept between pulses */
    EXERCISE_DRAWS_MORE,
    EXERCISE_DRAWS_LESS,
    EXERCISE_LESS_COMES, /* less comes from transformer, rectifier or battery */
    EXERCISE_MORE_OHMS,  /* in a way that all current takes */
    EXERCISE_FEWER_OHMS,
    EXERCISE_DARK,    /* heaters get no current */
    EXERCISE_NOTHING, /* nothing moves while all else is sound */
    EXERCISE_EFFECTS
};

struct exercise_row {
    unsigned roles; /* any of them */
    const char *fault;
    enum exercise_class class;
    enum exercise_reason reason;
    enum exercise_effect effect;
};

/* The row of a part's fault; NULL: the table does not know it. */
const struct exercise_row *exercise_row_of(const struct set *set, const struct part *part,
                                           const char *fault);

#endif
