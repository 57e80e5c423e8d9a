/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCHEMATIC_SVG_H
#define PRESOLDER_SCHEMATIC_SVG_H

#include "schematic_readings.h"
#include "writer.h"

struct schematic_options {
    bool zigzag;          /* resistors as IEEE 315 has them */
    bool black_and_white; /* no colour; shapes tell the same */
    bool narrow;          /* in strips for the width of a telephone */
    bool embedded;        /* inside a page of HTML: without the head of a file */
};

struct schematic_size {
    double width, height; /* [mm] */
};

/* Adds the schematic of a setup to the running file of the writer, as one <svg> element with title
 * and description for screen readers: the drawing; the numbered column with the volts of each point
 * (without any when `readings` is NULL) and what is over its rating; what changes during the run;
 * the cautions that belong to it. `result`: that of the run, for the cautions; NULL: not known, the
 * worst is taken. Labels are SCHEMATIC_CAPITAL high at its own size. */
struct schematic_size schematic_svg_write(struct writer *w, struct arena *arena,
                                          const struct setup *setup,
                                          const struct schematic_readings *readings,
                                          const struct result *result,
                                          const struct schematic_options *options);

/* The size it will have. */
struct schematic_size schematic_svg_size(struct arena *arena, const struct setup *setup,
                                         const struct schematic_readings *readings,
                                         const struct result *result, bool narrow);

#endif
