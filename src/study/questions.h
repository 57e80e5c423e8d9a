/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_QUESTIONS_H
#define PRESOLDER_QUESTIONS_H

#include "causes.h"
#include "dead_ohms.h"
#include "readings.h"
#include "run.h"

/* What is read, or might be read next, and what a run of the set gives for it. */

/* How the set is fed while it is read. */
struct situation {
    const char *name;
    const struct reading_set *set; /* NULL: as the scenario runs */
    const char *lamp;              /* in series with the plug; NULL: as the scenario or the set */
};

struct read {
    struct meter_reading what; /* value NaN: not read yet */
    int situation;             /* -1: the set dead */
    const char *label;         /* `B+, DC`, `first filter to chassis, ohms` */
    enum unit unit;
    /* of one that may come next */
    enum diagnose_class class;
    enum diagnose_work work;
    /* found with the sound set */
    double sound;               /* what that reads, as compared */
    bool ripple;                /* of the alternating part beside direct volts */
    struct dead_shares assumed; /* in what a dead one reads */
};

/* Something noticed, by what of a run speaks for it. */
struct sign {
    struct noticed what;
    int situation;
};

typedef ARRAY(struct read) read_list;
typedef ARRAY(struct sign) sign_list;

/* What is asked of every run, in this order: reads, then signs. */
struct questions {
    ARRAY(struct situation) situations;
    read_list reads;
    int lamp; /* the situation on a lamp yet to be chosen; -1: none */
    int read; /* so many of `reads` were read, the others may be read next */
    int sets; /* so many of `situations` are sets that were read */
    sign_list signs;
    const struct meter_used *meter;
};

/* What was read in the sets of readings of the setup: in the one called `name`; NULL: in all, but where
 * some have a date only in those of the latest, since a set is not the same before and after a
 * repair. */
struct questions questions_of(struct arena *arena, const struct setup *setup, const char *name);

/* Adds what may be read next: dead, at full line, on a lamp in the plug. */
void questions_add_next(struct arena *arena, struct questions *q, const struct setup *setup);

/* Lays the conditions of a situation. */
void question_lay(struct overrides *o, const struct set *set, const struct questions *q,
                  const struct situation *situation);

/* `B+ DC`, `first filter to chassis`, `C1 capacitance`. */
const char *question_label(struct arena *arena, const struct meter_reading *m);

/* Readings are compared as they are [SI], ohms and leakages by their logarithms. */
double question_compared(const struct read *read, double value);
bool question_by_decades(const struct read *read);
double question_shown(const struct read *read, double compared);

/* What a run (NULL: there is none; of a dead read none is needed) gives for a read, as compared.
 * NaN: nothing. */
double question_read(struct arena *arena, const struct questions *q, const struct read *read,
                     const struct set *set, const struct result *result);

/* Whether a meter between plug and wall reads it: no lead touches the set. */
bool question_by_plug(const struct read *read);

/* What is not known well in what a dead read gives of a set. */
struct dead_shares question_assumed(struct arena *arena, const struct read *read,
                                    const struct set *set);

/* The quantity that speaks for a sign: amperes, volts or watts [SI]. */
double question_sign(const struct sign *sign, const struct set *set, const struct result *result);

/* How likely the word is where the run gives `now` and that of the sound set `sound`. */
double question_sign_likelihood(const struct sign *sign, double now, double sound, bool gas);

/* The standard deviation of a reading by its meter and by the model's error, where `expected` is
 * expected, all as compared. */
double question_deviation(const struct questions *q, const struct read *read, double expected);

/* Covariance of the model's errors of two readings, of which `a` and `b` are expected. */
double question_together(const struct read *one, double a, const struct read *other, double b);

/* The same where nothing is known of what it reads. */
double question_anywhere(const struct read *read);

#endif
