/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EXERCISE_H
#define PRESOLDER_EXERCISE_H

#include "diagnose.h"
#include "exercise_table.h"
#include "failure.h"
#include "turn_on.h"

/* Sheets with hidden faults for a class, and what the trainer must know of them. What is read on a
 * sheet is what the diagnosis weighs: a fault is set only where its own ranking finds it by the cards.
 * Everything is drawn from the seed and the number of the sheet, so that a sheet is the same on every
 * machine, however many are made and with however many threads. */

enum { EXERCISE_LEVELS = 3, EXERCISE_PUPILS = 40, EXERCISE_FAULTS = 2, EXERCISE_MARKED = 3 };

/* An answer in figures counts when it is off by no more than this share of the right one. */
#define EXERCISE_MARKING 0.10

/* What is noticed of every run, in the order of r.q.signs; from SIGNS on a load or a speaker's field
 * coil each, by the watts it takes. */
enum exercise_sign { SIGN_HUM, SIGN_FUSE, SIGN_HEATERS, SIGNS };

/* What the owner says. */
struct exercise_complaint {
    bool blows, burns; /* the fuse opens at once; after seconds (without a fuse: it gets hot) */
    bool dark, lit;    /* no tube glows; they do. Neither: heaters are not told of */
    bool dead;         /* nothing is heard */
    bool weak;         /* the loads get far less than they should */
    bool faint;        /* they get far more and draw less, or one draws nothing */
    bool strained;     /* they get far more, and draw it */
    bool hum_low, hum_raspy;
};

struct exercise_fault {
    int cause; /* in r.causes */
    double severity;
    const struct exercise_row *row;
};

struct exercise_sheet {
    int number; /* from 1 on */
    struct exercise_fault fault[EXERCISE_FAULTS];
    int faults;
    struct exercise_complaint complaint;
    double *read; /* [r.width] what each card reads, as compared; NaN: it cannot be read */
    int first;    /* the cause that complaint and first reading point at */
    double first_share, own_share; /* by these, its share and that of the set fault */
    int rank;                      /* of a single fault by all cards, 0 first */
    const struct turn_on *run;     /* switched on cold with the fault */
    const struct setup *setup;
};

/* The demonstration: what the class predicts before it is shown. */
enum exercise_show { SHOW_SOUND, SHOW_SILICON, SHOW_OLD, SHOW_BRIDGED, EXERCISE_SHOWS };

struct exercise {
    const struct setup *setup; /* sound */
    struct responses r;
    const struct placed *placed;
    int level;
    unsigned long seed;
    int line;                    /* the situation at full line */
    int first_look;              /* the read that anybody takes first: volts of B+ */
    int marked[EXERCISE_MARKED]; /* reads of the sound set that the pupil is asked for; -1: none */
    struct exercise_sheet *sheets;
    int pupils;
    const struct turn_on *sound;
    struct {
        const struct turn_on *run; /* NULL: the set cannot be so */
        const char *part;          /* that is changed */
    } show[EXERCISE_SHOWS];
    const char *show_new; /* name of the capacitor put across the old one */
    int unbalanced;       /* runs whose audit failed */
    enum status status;
    struct failure failure; /* why not STATUS_OK, where diags say nothing */
};

struct exercise_options {
    const char *fault; /* `any`, a fault's name, or that behind a part's: `C1 leaky` */
    unsigned long seed;
    int level, pupils;
    struct responses_options common; /* threads and progress */
};

/* Draws the sheets: all but `run` and `setup` of them, `sound` and `show`. Lives in `arena`. STATUS_SCENARIO with errors in diags when
 * the scenario cannot be set up, holds a fault already, or has none of those asked for that its readings
 * can tell. */
struct exercise *exercise_make(struct arena *arena, struct diags *diags, const struct scenario *s,
                               const struct exercise_options *options);

/* Switches on cold, with each sheet's faults, sound and for the demonstration, and adds that. The
 * status is e->status as well. */
enum status exercise_switch_on(struct arena *arena, struct exercise *e,
                               const struct exercise_options *options);

/* The fault of a sheet as a cause, and its part. */
const struct cause *exercise_cause(const struct exercise *e, const struct exercise_sheet *sheet,
                                   int fault);

/* Whether a card's reading differs from that of the sound set by more than a meter could leave in
 * doubt: by two deviations. */
bool exercise_moved(const struct exercise *e, const struct exercise_sheet *sheet, int read);

/* Whether what the sign is of takes next to nothing by the answers y [r.width]: tubes are cold, nothing
 * feeds them, or a speaker has no field. */
bool exercise_idles(const struct exercise *e, const double *y, int sign);

/* Which of the faults moves a reading most (0 or 1). */
int exercise_mover(const struct exercise *e, const struct exercise_sheet *sheet, int read);

/* The read whose point shows the faults best before and after, by its direct volts and ripple. */
int exercise_best_seen(const struct exercise *e, const struct exercise_sheet *sheet);

/* The same of a demonstration: volts of B+, or where the ripple is. */
int exercise_show_seen(const struct exercise *e, enum exercise_show show);

/* The read at full line of the point of read `of`: its direct volts or its ripple; -1: none. */
int exercise_read_at(const struct exercise *e, int of, bool alternating);

/* Ends of what counts as right where `value` is. */
void exercise_band(double value, double *low, double *high);
bool exercise_right(double answer, double value);

#endif
