/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCHEMATIC_H
#define PRESOLDER_SCHEMATIC_H

#include "scenario.h"

/* Where everything of a drawn supply lies, from the parts alone: mains on the left, load on the
 * right, the main direct voltage on top, the reference at the bottom. Lengths in millimetres, x to
 * the right, y down, from the top left corner of the drawing. The same set gives the same drawing.
 *
 * Every point lies on level lines (rows), each part stands between two of them or lies in one, so
 * wires are level or upright, and cross only where an upright passes a level one. */

/* Letters are so high (capitals), their lines so far apart. */
#define SCHEMATIC_CAPITAL 3.0
#define SCHEMATIC_FONT (SCHEMATIC_CAPITAL / 0.716) /* capitals of Helvetica: 0.716 of the size */
#define SCHEMATIC_LINE 4.8
#define SCHEMATIC_SIDE 11.0 /* beside a cut, for what tells where a wire goes on */
#define SCHEMATIC_CALL 3.1  /* radius of a call-out */

enum schematic_shape {
    SHAPE_RESISTOR,
    SHAPE_CAPACITOR,
    SHAPE_ELECTROLYTIC,
    SHAPE_COIL,
    SHAPE_FUSE,
    SHAPE_LAMP,
    SHAPE_SWITCH,
    SHAPE_BATTERY,
    SHAPE_LIMITER, /* thermistor, barretter: resistance that moves by itself */
    SHAPE_HEATER,
    SHAPE_LOAD,
    SHAPE_DIODE,
    SHAPE_TUBE, /* one plate */
    SHAPE_SINE, /* sources */
    SHAPE_SQUARE,
    SHAPE_TWO_PLATES, /* a tube with two plates and one cathode; the ones below have no two ends */
    SHAPE_WINDING,
    SHAPE_CORE,
    SHAPE_REFERENCE,
    SHAPE_SLIDER, /* of a variable transformer, on its winding at x, y; its lead at x + length */
    SHAPES
};

enum schematic_cathode { CATHODE_COLD, CATHODE_HEATED, CATHODE_FILAMENT };

/* One symbol. Its axis runs from its first end to its second, its middle is at x, y. */
struct schematic_symbol {
    enum schematic_shape shape;
    const struct part *part; /* NULL: the mains */
    double x, y;
    double length; /* end to end; of a core its height */
    int turn;      /* direction of the axis: 0 down, 1 right, 2 up, 3 left */
    enum schematic_cathode cathode;
    bool heater; /* drawn, with two leads */
    bool gas;
    bool tap;
};

struct schematic_wire {
    double x1, y1, x2, y2;
    int net;
};

struct schematic_dot {
    double x, y;
};

enum schematic_style { LABEL_NAME, LABEL_VALUE, LABEL_STATE, LABEL_SIGN };

/* One line of letters; x is its left end, or its middle when centred, y the line it stands on. */
struct schematic_label {
    const char *text;
    const struct part *part; /* NULL: the mains or a point */
    enum schematic_style style;
    double x, y, width;
    bool centred;
};

/* A numbered ring over the point it belongs to. */
struct schematic_call {
    int number;
    int net;
    double x, y; /* of the ring */
    double tip;  /* y of the wire it points at */
};

/* Where a wire goes on in the strip below (right) or comes from the one above. */
struct schematic_end {
    double x, y;
    int net;
    bool right;
};

struct schematic_net {
    const char *name;
    int number;  /* of its call-out; 0: the reference, or an inner point */
    char letter; /* of an inner point where the drawing is cut; 0: none */
};

struct schematic {
    ARRAY(struct schematic_symbol) symbols;
    ARRAY(struct schematic_wire) wires;
    ARRAY(struct schematic_dot) dots;
    ARRAY(struct schematic_label) labels;
    ARRAY(struct schematic_call) calls; /* by number */
    ARRAY(struct schematic_net) nets;
    ARRAY(struct schematic_end) ends;
    ARRAY(double) cuts; /* x at which it was cut, before it was folded */
    int strips;
    double width, height;
    int crossings;
};

/* Lays out the parts of a setup as they stand at its beginning. `over` (n names; may be NULL) are
 * parts to be marked, which their names leave room for. A drawing wider than `width` is cut where
 * only level wires pass, and goes on in strips below (0: never). Lives in `arena`. */
const struct schematic *schematic_make(struct arena *arena, const struct setup *setup,
                                       const struct part *const *over, int n, double width);

/* Width of a text in letters of SCHEMATIC_FONT, on the wide side [mm]. */
double schematic_text_width(const char *text);

#endif
