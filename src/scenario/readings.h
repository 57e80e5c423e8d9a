/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_READINGS_H
#define PRESOLDER_READINGS_H

#include "scenario.h"

/* What was read at the set and how: the keys `measured`, `meter` and `noticed` of a scenario, or of
 * a file of readings alone.
 *
 * `measured` is a map of readings, or a list of such maps, each with a name and the conditions
 * under which it was taken. A reading is `B+: 181 V`, `B+: {DC: 181 V, AC: 3 V}`, `mains: {current:
 * 0.4 A, power: 45 W}`, any measure of figures.csv (`C1 rms-current: 80 mA`), `B+ to chassis: 22
 * kohm` or the same below `ohms:` with the set dead, `C1: {capacitance: 3 uF, series resistance: 20
 * ohm, leakage: 2 mA at 450 V}` with a capacitor tester. `+-1 %` behind a value is its accuracy. */

enum reading_kind {
    READING_FIGURE,      /* a measure of a subject, under power */
    READING_OHMS,        /* from one point to another, plus lead first, the set dead */
    READING_CAPACITANCE, /* the next three with a tester, one lead of the part lifted */
    READING_SERIES,
    READING_LEAKAGE
};

struct meter_reading {
    enum reading_kind kind;
    const char *subject;  /* point, part, winding; of ohms the point of the plus lead */
    const char *minus;    /* of ohms; else NULL */
    enum measure measure; /* of a figure; MEASURE_NONE: as its unit and subject say */
    bool alternating;     /* read on AC: ripple where there are direct volts, else RMS */
    double at;            /* of a leakage [V] */
    double value;         /* SI */
    double accuracy;      /* share of it; NaN: that of the meter */
    enum unit unit;
    struct place place;
};

/* What was seen, heard or felt. Not looked at: not told. */
enum noticed_kind {
    NOTICED_LAMP,    /* dark, dim, bright */
    NOTICED_FUSE,    /* opens at once, opens after seconds, holds */
    NOTICED_HUM,     /* none, low, raspy */
    NOTICED_WARMTH,  /* cool, warm, too hot to hold: of a part */
    NOTICED_PLATES,  /* dark, red, blue between them */
    NOTICED_HEATERS, /* lit, dark */
    NOTICED_KINDS
};
enum { NOTICED_WORDS = 3 };

struct noticed {
    enum noticed_kind kind;
    const char *part; /* of warmth; else NULL */
    int word;         /* 0 .. NOTICED_WORDS - 1, in the order above */
};

/* The words of `noticed:`, "opens at once"; NULL beyond the last. */
const char *noticed_word(enum noticed_kind kind, int word);
/* What stands before the word: "fuse"; of warmth "". */
const char *noticed_subject(enum noticed_kind kind);

/* Readings taken under the same conditions. */
struct reading_set {
    const char *name;
    double line;      /* [V]; NaN: as the scenario has it */
    const char *lamp; /* in series with the plug, `60 W 120 V`; NULL: as the scenario has it */
    ARRAY(const char *) out; /* parts taken out */
    double after;            /* of being on [s], a minute or more; NaN: not told */
    const char *date;        /* 2026-11-28; NULL: not told */
    ARRAY(struct meter_reading) readings;
    ARRAY(struct noticed) noticed;
    struct place place;
};

/* The meter. Accuracies are shares. */
struct meter_used {
    double ohms;   /* input resistance [ohm] */
    double dc, ac; /* accuracies */
    bool average;  /* on AC it reads the mean of the rectified volts, marked as RMS of a sine */
    bool through;  /* AC is read through a capacitor that keeps the direct volts away */
    double rated;  /* volts that meter and leads may carry */
    bool isolated; /* the set is fed through an isolating transformer */
};

struct measured {
    struct meter_used meter;
    ARRAY(struct reading_set) sets;
};

/* The scenario with the readings of the file `path` in place of its own. NULL with errors. */
const struct scenario *readings_from_file(struct arena *arena, struct diags *diags,
                                          const struct scenario *s, const char *path);

/* The same for a text in memory (tests). */
const struct scenario *readings_parse(struct arena *arena, struct diags *diags,
                                      const struct scenario *s, const char *name, const char *text);

/* The scenario with one set of readings in place of its own: `name[i]` = `value[i]`, complained of
 * under `text[i]`. */
const struct scenario *readings_instead(struct arena *arena, const struct scenario *s, int n,
                                        const char *const *text, const char *const *name,
                                        const char *const *value);

#endif
