/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BENCH_RUNS_H
#define PRESOLDER_BENCH_RUNS_H

#include "bench_sheet.h"

/* The runs of a bench sheet, several at a time; internal to the study. */

struct bench_piece {
    const struct setup *setup;
    double duration;       /* [s] */
    bool hot;              /* warm cathodes */
    bool settle;           /* ends when settled */
    bool may_fail;         /* a run without solution is only not told */
    struct bench_row *row; /* NULL: readings are not wanted */
    double *ohms;          /* of the ohmmeter; NULL: there is none */
    bool ratio, line;      /* windings are read with BENCH_RATIO, at full line */
};

struct bench_runs {
    struct arena *arena;
    struct bench_sheet *sheet;
    const struct bench_options *options;
    const char *meter; /* the name of the part that is the ohmmeter */
    ARRAY(struct bench_piece) pieces;
    struct bench_slot {
        struct arena *arena;
        const struct result *result;
        bool last;
    } * slots; /* [pieces + 1] */
};

/* The ohmmeter: a part laid over the scenario, volts behind ohms too few to turn anything on. */
#define BENCH_METER_VOLTS 0.5
#define BENCH_METER_OHMS 100.0

/* Where a reading comes from: a figure of this subject, where there is none of the other (NULL: no
 * other). Subject NULL: this set has no such reading. */
struct bench_figure {
    const char *subject, *otherwise;
    enum measure measure;
};
void bench_runs_figure(const struct bench_parts *p, enum bench_reading reading,
                       struct bench_figure *f);

/* Makes all pieces, fills what they point to, and forgets them. False with the sheet's status and
 * failure when one failed that may not. */
bool bench_runs_make(struct bench_runs *b);

#endif
