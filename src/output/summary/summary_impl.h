/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SUMMARY_IMPL_H
#define PRESOLDER_SUMMARY_IMPL_H

#include "summary.h"

/* What the files of the summary share. */

enum { SUMMARY_COLUMNS = 80 };

struct summary {
    FILE *to;
    struct arena *arena;
    const struct turn_on *t;
    const struct setup *setup;
    const struct set *set;         /* of the first stage */
    const struct circuit *circuit; /* of the first stage */
    const struct result *run;
    const char *figures;         /* path of figures.csv; NULL: none */
    const struct judged **worst; /* rated figures, worst first, twins left out */
    int count;
    ARRAY(const struct assumption *) guesses;
    int defaults; /* assumptions that are no guesses */
};

struct hazards;

/* What the sections of one turn-on begin with: all but `figures` and `worst`. */
struct summary summary_of(FILE *to, struct arena *arena, const struct turn_on *t);

/* The cautions that apply to any of n sets, each once. */
void summary_cautions(struct summary *s, const struct hazards *all, int n);

/* --- text (summary_text.c) --- */

/* Writes a paragraph: `first` before its first line, blanks as wide before the others, broken at
 * blanks. A control character of the user's becomes `?`; \x1f is a blank that is not broken at. */
void summary_say(struct summary *s, const char *first, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A line as it is, without the blanks at its end. */
void summary_line(struct summary *s, const char *text);

/* `text path`, the path on a line of its own where both are too long for one: it is never broken,
 * for it is copied. */
void summary_path(struct summary *s, const char *text, const char *path);

/* A line of its own, a blank line before it. */
void summary_heading(struct summary *s, const char *text);

/* A value for running text: `359 V`, `about 350 V` (rough: two digits). The blanks do not break. */
const char *summary_value(struct summary *s, double value, enum unit unit, bool rough);

/* True when cathodes warm up in this run. */
bool summary_warms(const struct summary *s);

/* An instant of the run. Two digits where warming tubes decide when it comes: nobody knows better.
 */
const char *summary_time(struct summary *s, double t);

/* One cell of a table, clipped with `..` and filled up to `width` columns; width < 0: to the right.
 */
const char *summary_cell(struct summary *s, const char *text, int width);

/* A share as per cent: `94 %`; never rounded over the border of 100. */
const char *summary_percent(struct summary *s, double share);

/* The part a subject belongs to: `V6.1` -> `V6`. */
const char *summary_part(struct summary *s, const char *subject);

/* --- weight (summary_weight.c) --- */

/* True when a guess of weight hangs on this figure. */
bool summary_rough(const struct summary *s, const char *subject, enum measure measure);

/* --- the rows (summary_margins.c) --- */

/* Rated figures, worst first. Of alike ones (the plates of a rectifier, the halves of a winding, a
 * figure of the restart that the run itself surpasses) only the worst. */
void summary_gather(struct summary *s);

/* True when the row belongs to the restart. */
bool summary_of_restart(const struct summary *s, const struct judged *row);

/* --- sections --- */

void summary_stop(struct summary *s);    /* what to stop for (summary_stop.c) */
void summary_order(struct summary *s);   /* what gives way first (summary_order.c) */
void summary_meter(struct summary *s);   /* what the meter should read (summary_meter.c) */
void summary_heat(struct summary *s);    /* where the heat goes (summary_heat.c) */
void summary_margins(struct summary *s); /* margins (summary_margins.c) */
void summary_peaks(struct summary *s);   /* one sentence a rectifier (summary_peaks.c) */

/* What is to be said of a capacitor that stands above its working voltage only for a time; NULL:
 * nothing (summary_surge.c). */
const char *summary_surge(struct summary *s, const char *capacitor);

/* For how long a capacitor is below `limit` [V], when it is not so at the end; NULL: nothing. */
const char *summary_reversed(struct summary *s, const char *capacitor, double limit);

/* A bullet for the capacitors that do so within their surge voltage, those alike in one; `skip`
 * tells which are left out. How many were told. */
int summary_surges(struct summary *s, bool (*skip)(const struct summary *, const char *));

/* `B+ +18 %, ...`: points whose expected volts lie far off the chart; empty: none, or the run does
 * not tell (summary_meter.c). */
const char *summary_off_chart(struct summary *s);

/* `mains fuse opened at 47 s`: what opened in the run; "": nothing. */
const char *summary_opened(struct summary *s);

/* Whether nothing comes in from the mains at the end. */
bool summary_dead(const struct summary *s);

#endif
