/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SHEET_H
#define PRESOLDER_SHEET_H

#include "array.h"
#include "plot.h"
#include "template.h"

/* What all pictures share: heading, the range of the upright axis, levels across with their labels.
 */

/* A rating far above everything drawn would press the curves flat: it is left out beyond this. */
#define SHEET_SIGHT 2.5

/* A level across the picture with its label. */
struct level_line {
    double level;
    const char *label;
    bool rating; /* false: only worth knowing */
};

/* One picture being filled in. */
struct sheet {
    struct arena *arena;
    const struct turn_on *t; /* of pictures of one turn-on, else NULL */
    const struct result *run;
    const struct trace *csv; /* what trace.csv holds */
    const struct plot_options *options;
    struct fill *fill;
    double close;     /* share of the upright axis that a label takes */
    double low, high; /* of everything drawn against the upright axis */
    ARRAY(struct level_line) lines;
};

/* Begins the fill of a picture `name`: TITLE with `second` on a line of its own (NULL: none), NAME,
 * FORMAT, BLACK_AND_WHITE, no LINES. */
void sheet_begin(struct sheet *s, const char *title, const char *second, const char *name);

/* Widens the range of what is drawn. */
void sheet_reach(struct sheet *s, double low, double high);

/* Sets the two ends of the axis with a little air above and below. */
void sheet_range(struct sheet *s, const char *low, const char *high);

/* Adds a level; it is in the range then. */
void sheet_line(struct sheet *s, double level, bool rating, const char *label);

/* Fills LINES: LEVEL, LABEL, LINE, RISE, SIDE and ALIGN of each, labels out of one another's
 * way. */
void sheet_place_lines(struct sheet *s);

/* At most so many characters (not bytes) of a text. */
const char *sheet_shortened(struct arena *arena, const char *text, int most);

#endif
