/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCHEMATIC_SHEET_H
#define PRESOLDER_SCHEMATIC_SHEET_H

#include "schematic.h"
#include "schematic_svg.h"

/* What stands where on the sheet of a schematic. Inside this room only. */

#define SHEET_EDGE 5.0
#define SHEET_ROW 6.5
#define SHEET_NUMBER 9.0 /* width of the columns */
#define SHEET_VALUE 21.0
#define SHEET_BOLT 4.2
#define SHEET_SIGN (SHEET_BOLT + 2.2) /* from a bolt or mark to its text */
#define SHEET_NOTE 0.85               /* of the letters' size: notes and cautions */
#define SHEET_TITLE 1.25              /* of the letters' size; bold is a twelfth wider */

struct sheet_line {
    const char *text;
    double x, y;
    const char *class; /* of CSS */
    char sign;         /* before it: B a bolt, M a mark; 0: none */
};

struct sheet_row {
    int number;
    const char *name, *dc, *ac;
};

struct schematic_sheet {
    struct arena *arena;
    const struct setup *setup;
    const struct schematic *drawing;
    const struct schematic_readings *readings;
    double x, y; /* of the drawing */
    double width, height;
    double most; /* width */
    double column_x, column_y, name_width;
    int columns, per_column;
    bool gaps;    /* a point without figures */
    double under; /* scratch */
    ARRAY(struct sheet_row) rows;
    ARRAY(struct sheet_line) lines;
};

/* All of it; `result` as for schematic_svg_write. */
struct schematic_sheet schematic_sheet_plan(struct arena *arena, const struct setup *setup,
                                            const struct schematic_readings *readings,
                                            const struct result *result, bool narrow);

/* Whether a rating of the part is exceeded. */
bool schematic_sheet_over(const struct schematic_readings *readings, const struct part *part);

/* Width of one column of points [mm]. */
double schematic_sheet_column(const struct schematic_sheet *sheet);

/* Title and variant. */
const char *schematic_sheet_heading(const struct schematic_sheet *sheet);

#endif
