/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BENCH_SHEET_H
#define PRESOLDER_BENCH_SHEET_H

#include "bench_parts.h"
#include "failure.h"
#include "judge.h"
#include "lamp_law.h"

/* What the meters read at each step of a careful first power-up, healthy and with the likely
 * faults.
 *
 * The healthy value of a lamp step is the scenario from cold, BENCH_COLD seconds after switching on,
 * at full line the warm set. Its band is that of nine of ten sets with parts, line and readings
 * somewhere in their ranges (bench_bands.h), found with the warm set as shares of what that reads.
 * Where too few of these have a steady state at once, it is about: least and greatest of the corners
 * line +-5 %, capacitors -20/+50 %, load +-15 % (common practice, no source). In large sets
 * (ends_take_long) neither is run unless asked for: a band is then +-20 % of the reading. */

enum bench_reading {
    BENCH_LAMP_VOLTS,
    BENCH_LINE_AMPERES,
    BENCH_LINE_WATTS,
    BENCH_HEATER_VOLTS,
    BENCH_FIRST_VOLTS,  /* direct volts across the first filter capacitor */
    BENCH_SECOND_VOLTS, /* and across the second */
    BENCH_RIPPLE,       /* RMS across the first */
    BENCH_READINGS
};

enum { BENCH_LADDER = 5 }; /* settings of a variable transformer */

enum { BENCH_LAMPS = 5, BENCH_STEPS = BENCH_LAMPS + 1, BENCH_FAULTS = 7, BENCH_COLD = 30 };

/* Share of the line volts that the recommended lamp leaves a healthy set. */
#define BENCH_SHARE 0.6

#define BENCH_LINE_BAND 0.05 /* tolerances of the corners; common practice, no source */
#define BENCH_LOAD_BAND 0.15
#define BENCH_FARADS_DOWN 0.2 /* of a capacitor's value */
#define BENCH_FARADS_UP 0.5
#define BENCH_WIDE 0.2   /* what a reading may be off by service data; common practice, no source */
#define BENCH_TURNS 0.05 /* of a winding's turns that a fault shorts */
#define BENCH_ALONE 5.0  /* what a transformer with shorted turns takes is read then [s] */

/* Readings of one run; NaN: there is none. */
struct bench_row {
    const char *what;
    bool told;                                          /* the run could be made */
    double value[BENCH_READINGS];                       /* SI */
    double least[BENCH_READINGS], most[BENCH_READINGS]; /* of a healthy step */
    enum lamp_glow glow;                                /* of the lamp; LAMP_NONE: there is none */
    int telling;                  /* fault: the reading farthest outside the band; -1: none */
    double winding;               /* RMS amperes of the high voltage's worse half; NaN */
    double highest, highest_time; /* volts of the first capacitor, and when [s] */
};

/* Volts of one winding, or of its half. */
struct bench_winding {
    const char *subject;
    double ratio, line; /* RMS, with BENCH_RATIO on the primary, at full line */
};

#define BENCH_RATIO 10.0 /* [V] */

struct bench_sheet {
    const struct setup *setup; /* the scenario's own */
    struct bench_parts parts;
    double line, lamp_volts; /* RMS [V] */
    double *ohms;            /* of each of parts.pairs; NaN: not read */
    ARRAY(struct bench_winding) windings;
    struct bench_row alone, alone_shorted;    /* transformer without tubes; with shorted turns */
    struct bench_row no_rectifier;            /* on the recommended lamp */
    struct bench_row steps[BENCH_STEPS];      /* lamps, then full line */
    struct bench_row ladder[BENCH_LADDER];    /* warm, on a variable transformer; no bands */
    bool about[BENCH_STEPS];                  /* the band is that of the corners */
    bool wide;                                /* the set is large: bands are BENCH_WIDE */
    bool waited;                              /* for sets that do not settle at once */
    int recommended;                          /* -1: interrupted before it was known */
    bool enough;                              /* the recommended lamp leaves BENCH_SHARE */
    struct bench_row faults[2][BENCH_FAULTS]; /* at the recommended lamp, at full line */
    int loads;                                /* that can be scaled */
    int runs, unbalanced;                     /* unbalanced: those whose audit failed */
    const char *unbalanced_runs;              /* their names; NULL: none */
    enum status status;
    struct failure failure; /* why not STATUS_OK */
};

struct bench_options {
    int jobs;                  /* threads; 0: as many as there are processors */
    bool tolerances;           /* bands of nine of ten sets even where that takes long */
    bool (*interrupted)(void); /* asked while bands are found; may be NULL */
    int (*progress)(void *context, double done);    /* as in run_options; from several threads */
    void (*done)(void *context, int done, int all); /* in the caller's thread; may be NULL */
    void *done_context;
    void (*judged)(void *context, const struct judgement *judgement); /* after every run, in order;
                                                                       * may be NULL */
    void *judged_context;
};

/* The volts of setting i of a variable transformer on a line of `line` volts: 40, 60, 80, 100 and
 * all of a North American one, twice these of a European one; 0: no less than the line. */
double bench_ladder_volts(int i, double line);

/* Watts of lamp i. */
int bench_lamp_watts(int i);

/* Name and unit of a reading: "first filter". */
const char *bench_reading_name(enum bench_reading reading, enum unit *unit);

/* Makes all runs. Lives in `arena`. STATUS_SCENARIO with errors in diags when the scenario cannot
 * be set up or is not fed from the line. A fault that the set cannot have is not told.
 * STATUS_INTERRUPTED: what was read by then is told, a step only where its band is known. */
struct bench_sheet *bench_sheet_make(struct arena *arena, struct diags *diags,
                                     const struct scenario *s, const char *variant,
                                     const struct bench_options *options);

#endif
