/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SUMMARY_BENCH_H
#define PRESOLDER_SUMMARY_BENCH_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "summary.h"

/* A small set and the results of its run, made by hand, and the summary written of them. All values
 * are invented. */

#define NEVER ((double)NAN)
#define ENDLESS ((double)INFINITY)

struct bench {
    struct arena *arena;
    struct diags *diags;
    struct circuit *c;
    struct set *set;
    struct setup setup;
    struct result run, restart;
    struct turn_on t;
    bool restarts;       /* there is a hot restart */
    bool brief;          /* the summary is to be brief */
    const char *figures; /* path of figures.csv; NULL: none */
    char *raw, *plain;   /* what came out; the same with single blanks */
};

/* `first filter` (with C1) and `B+` on `chassis`, `line` and `neutral` apart; T1 with a primary for
 * 117 V on 117 V, V6, C1; 60 s, settled, no figures yet. */
struct bench bench_new(void);
void bench_free(struct bench *b);

/* A part of a kind with its keys as YAML. */
void bench_part(struct bench *b, const char *kind, const char *name, const char *map);

/* One more stage with the same set. */
void bench_stage(struct bench *b, double time, const char *change);

/* An upper limit, `scenario` its source, its harm that of a lamp; and that rating. */
void bench_rate(struct bench *b, const char *subject, enum measure measure, double limit,
                enum unit unit);
struct rating *bench_last_rating(struct bench *b);

/* A figure with its instant; one of the run without. */
void bench_at(struct bench *b, struct result *r, const char *subject, enum measure measure,
              double value, enum unit unit, double time);
void bench_put(struct bench *b, const char *subject, enum measure measure, double value,
               enum unit unit);

/* A point's mean and ripple [V], settled by 21.26 s. */
void bench_point(struct bench *b, const char *name, double volts, double ripple);

/* A guess, between half and double. */
void bench_guess(struct bench *b, const char *subject, const char *key, double value,
                 enum unit unit);

/* A chart value, or a reading of the meter. */
void bench_reading(struct bench *b, const char *subject, double value, enum unit unit,
                   bool measured);

/* Judges, writes into raw and plain; fails the test when a line is longer than 80 columns, ends in
 * a blank or holds a control character. */
void bench_write(struct bench *b);

/* How often `what` stands in `text`. */
int bench_count(const char *text, const char *what);

#define has(b, text)                                                                               \
    do {                                                                                           \
        if (!strstr((b)->plain, (text))) fail_msg("`%s` is not in:\n%s", (text), (b)->raw);        \
    } while (0)
#define has_not(b, text)                                                                           \
    do {                                                                                           \
        if (strstr((b)->plain, (text))) fail_msg("`%s` is in:\n%s", (text), (b)->raw);             \
    } while (0)
#define has_line(b, text)                                                                          \
    do {                                                                                           \
        if (!strstr((b)->raw, "\n" text "\n")) fail_msg("no line `%s` in:\n%s", (text), (b)->raw); \
    } while (0)

#endif
