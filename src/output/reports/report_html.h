/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_REPORT_HTML_H
#define PRESOLDER_REPORT_HTML_H

#include "bench_sheet.h"
#include "buy_list.h"
#include "compare.h"
#include "html.h"
#include "page.h"
#include "tolerances.h"
#include "writer.h"

/* The report for the shop's folder: one file of HTML with everything in it. */

/* A picture among the writer's partial files. */
struct report_picture {
    const char *name;  /* plots/NAME.svg */
    const char *point; /* whose volts it compares; NULL: it is one of plot_names */
};

/* One set, or variants of it beside one another, and what goes with each. */
struct report {
    int n;
    const struct turn_on *const *turn_ons; /* [n] */
    const char *const *names;              /* [n] variants */
    const struct comparison *comparison;   /* NULL for one */
    const struct buy_list *const *buy;     /* [n]; NULL: not wanted; so the next two */
    const struct bench_sheet *const *bench;
    const struct tolerances *const *tolerances;
    ARRAY(struct report_picture) pictures;
    const char *without; /* why there are no pictures, in words; NULL: there are */
    const char *date;    /* 2026-11-30 */
    const char *version; /* of the program */
    const char *file;    /* of the scenario, without folder */
    bool black_and_white, zigzag;
};

/* Writes it as the file `name` of the writer; scratch memory comes from `arena`. */
void report_html_write(struct writer *w, struct arena *arena, const char *name,
                       const struct report *report);

/* The section with what the meter should read at one set: expect, you read, why
 * (report_readings.c).
 */
void report_readings_write(struct html *h, struct page *page, const struct turn_on *t);

/* The schematic of one set as a figure: on a wide screen and in print the whole, on a narrow one in
 * strips (report_pictures.c). */
void report_schematic_write(struct html *h, struct arena *arena, const struct turn_on *t,
                            const struct report *report, const char *which);

/* The section with the pictures, or why there are none. */
void report_pictures_write(struct html *h, struct arena *arena, const struct report *report);

#endif
