/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DIAGNOSE_TABLE_H
#define PRESOLDER_DIAGNOSE_TABLE_H

#include "fault.h"

/* Everything of a diagnosis that is judgement and not physics, in one place. Sources stand in
 * diagnose_table.c. */

/* How often a fault is met, beside the others of this table; only their ratios count. Ranges of
 * severity are those of the parts' faults (fault.h), every ratio within as likely as any other where
 * they span a factor of three or more, else every value. */
double diagnose_prior(const struct set *set, const struct part *part, const char *fault);

/* Causes that no part has. */
enum diagnose_special {
    SPECIAL_NONE,     /* a fault of a part */
    SPECIAL_SOUND,    /* no fault found */
    SPECIAL_OUTSIDE,  /* outside the supply, or not in this list */
    SPECIAL_LINE_LOW, /* severity: share of the line's volts */
    SPECIAL_LINE_HIGH,
    SPECIAL_OTHER_TYPE,   /* another rectifier in the socket */
    SPECIAL_WRONG_RETURN, /* minus of a capacitor joined to another point */
    SPECIALS
};
double diagnose_special_prior(enum diagnose_special special);

/* Range of a line that is wrong, as shares of what the scenario says. */
#define DIAGNOSE_LINE_LEAST 0.75
#define DIAGNOSE_LINE_LOW 0.94
#define DIAGNOSE_LINE_HIGH 1.06
#define DIAGNOSE_LINE_MOST 1.2

/* Errors of the model, as shares; of volts, currents and watts under power, of ripple and other
 * alternating parts beside direct volts, of ohms of the dead set. */
#define DIAGNOSE_MODEL 0.02
#define DIAGNOSE_MODEL_RIPPLE 0.10
#define DIAGNOSE_MODEL_LINE 0.05 /* amperes and watts from the line: iron and heaters */
#define DIAGNOSE_MODEL_OHMS 0.03

/* A leakage that nobody has told is a maker's limit or a guess: so many times more or less, one
 * standard deviation. More than four times a limit is a fault. From memory. */
#define DIAGNOSE_LEAKAGE_TIMES 2.0

/* Ohms of a heater or filament at room temperature beside those hot: types differ, one standard
 * deviation. From five to ten times less is met; from memory. */
#define DIAGNOSE_FILAMENT 0.2

/* Share of the model's variance that two direct voltages of one situation, or two ripples, have in
 * common: a flattened line, a wrong transformer or tube moves all of them alike. Estimate. */
#define DIAGNOSE_MODEL_ALIKE 0.75

/* Customary tolerances are from memory, and sets of another scatter are met: so much wider they are
 * weighed, those that the scenario states or that healthy readings leave apart. Chosen with the sets
 * for tuning (tests/bench/diagnose_rates.c). */
#define DIAGNOSE_WIDER 1.3

/* What the tolerances of sound parts do on a series lamp, where they are not run one by one. */
#define DIAGNOSE_LAMP 0.10

/* Accuracies of what is no volt meter, as shares. */
#define DIAGNOSE_WATTMETER 0.05
#define DIAGNOSE_WATTMETER_FLOOR 2.0 /* [W] */
#define DIAGNOSE_OHMMETER 0.05
#define DIAGNOSE_TESTER 0.10
#define DIAGNOSE_TESTER_LEAKAGE 0.3
#define DIAGNOSE_TESTER_LEAST 10e-6 /* [A] that it makes of nothing; from memory */

/* Least error of a reading, so that a dead set is no proof of ohms: share of what the sound set
 * reads, and units. */
#define DIAGNOSE_FLOOR 0.005
double diagnose_floor(enum unit unit);

/* Of what is outside the list nothing is known: readings lie about those of the sound set with this
 * standard deviation, as a share of them. */
#define DIAGNOSE_ANYWHERE 0.5
#define DIAGNOSE_ANYWHERE_RIPPLE 3.0
#define DIAGNOSE_ANYWHERE_TIMES 30.0 /* ohms and leakages: so many times more or less */

/* What has no steady state (something runs away, a fuse opens) was hardly read in peace: so much
 * less likely than what is outside the list. From memory. */
#define DIAGNOSE_UNSTEADY 0.1

/* Seconds on, from which a transformer is nearer to its final warmth than to cold: 0.69 of a time
 * constant of an hour; from memory. Cans are sooner. */
#define DIAGNOSE_WARMED 2400.0

/* Kinds of work for one more reading. */
enum diagnose_class { CLASS_DEAD, CLASS_LAMP, CLASS_LINE };

/* Minutes that one more reading takes, with what must be done before it. */
enum diagnose_work {
    WORK_OHMS,    /* set dead, discharged: two leads */
    WORK_TESTER,  /* the same, and a lead of the part lifted */
    WORK_DC,      /* clip on, power, read, off */
    WORK_RIPPLE,  /* the same on AC */
    WORK_WINDING, /* the same at a socket's heater pins */
    WORK_LINE,    /* a plug-in meter between plug and outlet */
    WORK_LAMP     /* a lamp in series, beside what is read */
};
double diagnose_effort(enum diagnose_work work);

#endif
