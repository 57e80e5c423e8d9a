/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SUMMARY_IMPL_H
#define PRESOLDER_SUMMARY_IMPL_H

#include "guesses.h"
#include "page.h"
#include "summary.h"

/* What the files of the summary share. */

/* One and a half screens of 24 lines; rows of the margins: those that there are room for, and those
 * that are told in any case. */
enum { SUMMARY_LINES = 35, SUMMARY_ROWS = 12, SUMMARY_ROWS_LEAST = 1 };

struct summary {
    struct page *page;
    struct arena *arena; /* of the page */
    const struct turn_on *t;
    const struct setup *setup;
    const struct set *set;         /* of the first stage */
    const struct circuit *circuit; /* of the first stage */
    const struct result *run;
    const char *figures;         /* path of figures.csv; NULL: none */
    const struct judged **worst; /* rated figures, worst first, twins left out */
    int count;
    struct guesses guesses;
    bool brief;    /* only what must be known, on one and a half screens where it can be */
    int rows_most; /* of the margins */
};

/* What the sections of one turn-on begin with: all but `figures` and `worst`. */
struct summary summary_of(struct page *page, const struct turn_on *t);

/* True when cathodes warm up in this run. */
bool summary_warms(const struct summary *s);

/* An instant of the run. Two digits where warming tubes decide when it comes: nobody knows better.
 */
const char *summary_time(struct summary *s, double t);

/* The part a subject belongs to: `V6.1`->`V6`. */
const char *summary_part(struct summary *s, const char *subject);

/* True when a guess of weight moves this figure. */
bool summary_rough(const struct summary *s, const char *subject, enum measure measure);

/* --- the rows (summary_margins.c) --- */

/* Rated figures, worst first. Of alike ones (the plates of a rectifier, the halves of a winding, a
 * figure of the restart that the run itself surpasses) only the worst. */
void summary_gather(struct summary *s);

/* True when the row belongs to the restart. */
bool summary_of_restart(const struct summary *s, const struct judged *row);

/* True when the row belongs to the set that has been on for hours. */
bool summary_of_warm(const struct summary *s, const struct judged *row);

/* --- sections --- */

void summary_run(struct summary *s);     /* what was run, and what is wrong with that */
void summary_stop(struct summary *s);    /* what to stop for (summary_stop.c) */
void summary_order(struct summary *s);   /* what gives way first (summary_order.c) */
void summary_guesses(struct summary *s); /* what was assumed (summary_guesses.c) */
void summary_better(struct summary *s);  /* the readings that would replace it */
void summary_guesses_brief(struct summary *s);
void summary_meter(struct summary *s);   /* what the meter should read (summary_meter.c) */
void summary_heat(struct summary *s);    /* where the heat goes (summary_heat.c) */
void summary_margins(struct summary *s); /* margins (summary_margins.c) */
void summary_peaks(struct summary *s);   /* one sentence a rectifier (summary_peaks.c) */

/* What is to be said of a capacitor that stands above its working voltage only for a time; NULL:
 * nothing (summary_surge.c). */
const char *summary_surge(struct summary *s, const char *capacitor);

/* For how long a capacitor is below `limit` [V], when it is not so at the end; NULL: nothing. */
const char *summary_reversed(struct summary *s, const char *capacitor, double limit);

/* A paragraph for each part that was over its rating for a time and is within it at the end,
 * `first` before its first line; how many (summary_order.c). */
int summary_passed(struct summary *s, const char *first);

/* A bullet for the capacitors that do so within their surge voltage, those alike in one; `skip`
 * tells which are left out. How many were told. */
int summary_surges(struct summary *s, bool (*skip)(const struct summary *, const char *));

/* Says which measured readings disagree with what is calculated, and what current a measured drop
 * tells. False: none does. */
bool summary_disagrees(struct summary *s);

/* Of which parts no rating is known, so that nothing judged them: `D1 (first peak)`; empty:
 * none. */
const char *summary_unrated(struct summary *s);

/* `highest voltage 493 V at 8.3 s, 110 % of its 450 V` (summary_stop.c). */
const char *summary_how_much(struct summary *s, const struct judged *row);

/* A row of what the meter should read, in words; "" where there is nothing to be said. */
struct summary_reading {
    const char *subject; /* as in figures.csv */
    const char *name;    /* in words */
    enum unit unit;
    bool alternating;
    double value;       /* expected, SI */
    const char *expect; /* of the warm set, else at the end of the run */
    const char *band;   /* in which nine of ten such sets lie */
    const char *ripple, *chart, *measured;
};

/* All rows; how many. summary_meter_notes says what must be known of them.
 * (summary_meter_table.c) */
int summary_readings(struct summary *s, struct summary_reading **readings);
void summary_meter_notes(struct summary *s);

#define SUMMARY_OFF_CHART 0.1 /* customary tolerance of chart values; common practice, no source */

/* `B+ +18 %, ...`: points whose expected volts lie far off the chart; empty: none, or the run does
 * not tell (summary_meter.c). */
const char *summary_off_chart(struct summary *s);

/* `B+ reads 158 V where 243 V is calculated (+54 %), ...`: measured readings that disagree; empty:
 * none does, or the run does not tell (summary_meter.c). */
const char *summary_off_measured(struct summary *s);

/* `mains fuse opened at 47 s`: what opened in the run; "": nothing. */
const char *summary_opened(struct summary *s);

/* Whether nothing comes in from the mains at the end. */
bool summary_dead(const struct summary *s);

#endif
