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

/* A curve passes here: share of the width, and from where to where on the upright axis. */
struct cover {
    double at, low, high;
};

/* Line styles of curves in style.gp: 1 to SHEET_STYLES; the band of a curve has SHEET_BAND more. */
enum { SHEET_STYLES = 16, SHEET_BAND = 30 };

struct sheet_rating {
    double level, limit;
    enum unit unit;
    const char *parts, *word;
    const char *last; /* of the parts */
};

/* One picture being filled in. */
struct sheet {
    struct arena *arena;
    const struct turn_on *t; /* of pictures of one turn-on, else NULL */
    const struct result *run;
    const struct trace *csv, *restart_csv; /* what trace.csv and restart.csv hold */
    const char *file;                      /* where the rows of `csv` are read from */
    const struct plot_options *options;
    struct fill *fill;
    double close;     /* share of the upright axis that a label takes */
    double letter;    /* share of the width that a letter of it takes */
    double low, high; /* of everything drawn against the upright axis */
    ARRAY(struct level_line) lines;
    ARRAY(struct sheet_rating) ratings;
    ARRAY(struct cover) covers;       /* where curves are */
    const char *styled[SHEET_STYLES]; /* parts and points that have a style, in its order */
    int styles;
    int longest; /* letters of a name beside the panels */
};

/* Begins the fill of a picture `name`: TITLE with `second` on a line of its own (NULL: none), NAME,
 * FORMAT, BLACK_AND_WHITE, no LINES. */
void sheet_begin(struct sheet *s, const char *title, const char *second, const char *name);

/* Widens the range of what is drawn. */
void sheet_reach(struct sheet *s, double low, double high);

/* A curve passes there; labels keep out of its way. */
void sheet_cover(struct sheet *s, double at, double low, double high);

/* The line style of a part or point: the same in all panels of a picture. */
int sheet_style(struct sheet *s, const char *name);

/* Room under the picture for the names of n curves, the longest of so many letters: fills
 * KEY_COLUMNS. Before the lines are placed. */
void sheet_key(struct sheet *s, int n, size_t longest);

/* Where panels end so that the names of the curves so far have room beside them, at most `right`
 * (share of the sheet's width): fills RIGHT and returns it. */
double sheet_beside(struct sheet *s, double right);

/* Sets the two ends of the axis with a little air above and below. */
void sheet_range(struct sheet *s, const char *low, const char *high);

/* Adds a level; it is in the range then. */
void sheet_line(struct sheet *s, double level, bool rating, const char *label);

/* A rating `limit` of a part, to be drawn as a line at `level` on the axis: `C1, C2: 450 V rated`.
 * Those of one height and word share a line; a part with two of one height is named once. */
void sheet_rating(struct sheet *s, double level, const char *part, double limit, enum unit unit,
                  const char *word);

/* Adds the lines of those in sight: SHEET_SIGHT of the highest drawn so far. Forgets them. */
void sheet_ratings(struct sheet *s);

/* Fills LINES: LABEL of each, AT (share of the width) and HEIGHT (on the axis) of its middle, and
 * FROM, TO, LOW, HIGH of the blank ground under it; and PIECES: LEVEL, LEFT, RIGHT and LINE (style)
 * of what labels leave of each. Labels keep out of the way of curves and of one another where they
 * can. Forgets the lines and what is covered. */
void sheet_place_lines(struct sheet *s);

/* At most so many characters (not bytes) of a text. */
const char *sheet_shortened(struct arena *arena, const char *text, int most);

#endif
