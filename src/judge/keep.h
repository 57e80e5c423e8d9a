/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_KEEP_H
#define PRESOLDER_KEEP_H

#include "capacitor.h"
#include "judge.h"

/* What to do with each capacitor as drawn: by what it sees, and by its age, which its make tells.
 * What is done with old parts is common practice, no source. */

enum keep { KEEP_IT, KEEP_REFORM, KEEP_TEST, KEEP_REPLACE };

enum keep_why {
    KEEP_SOUND,
    KEEP_FAULTY,   /* its condition says so */
    KEEP_REVERSED, /* sees the wrong sign */
    KEEP_VOLTS,    /* over its working voltage */
    KEEP_SURGE,    /* over what it may see for a short time */
    KEEP_RIPPLE,   /* over its ripple current */
    KEEP_HOT,      /* its can is over its limit */
    KEEP_WET,
    KEEP_PAPER,
    KEEP_OLD,     /* a dry electrolytic of the set's time */
    KEEP_MAKE,    /* its make is not known */
    KEEP_UNRATED, /* its rated voltage is not known */
    KEEP_WHYS
};

struct keep_row {
    const char *name, *condition; /* condition: NULL when sound */
    enum capacitor_make make;
    bool make_given;
    enum keep what;
    enum keep_why why;
    double volts, highest; /* worst magnitudes [V]; NaN: no figure */
    double rated, surge;   /* [V]; 0: not known */
    double kelvin;         /* of its can; NaN: not followed */
    double amperes;        /* of ripple, RMS; NaN: no figure */
    double rated_amperes;  /* 0: not known */
};

struct keep_list {
    ARRAY(struct keep_row) rows;
};

/* Of every capacitor of the first stage, in the order of the file, by all rows of the judgement. */
struct keep_list keep_list(struct arena *arena, const struct setup *setup,
                           const struct judgement *judgement);

/* It is found to see up to `volts` as well (in another run). */
void keep_sees(struct keep_row *row, double volts);

#endif
