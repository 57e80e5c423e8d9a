/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCHEMATIC_INK_H
#define PRESOLDER_SCHEMATIC_INK_H

#include "schematic.h"
#include "writer.h"

/* A text in XML: `& < > "` written out, control characters as `?`. */
void schematic_ink_text(struct writer *w, const char *text);

/* One symbol as SVG, about the origin of the drawing. Shapes are those of IEC 60617; `zigzag`:
 * resistors as IEEE 315 has them. */
void schematic_ink_symbol(struct writer *w, const struct schematic_symbol *symbol, bool zigzag);

/* The sign of ISO 7010 W012 (a bolt) and that of W001 (an exclamation mark) in their triangle,
 * `size` high, its lower left corner at x, y. */
void schematic_ink_bolt(struct writer *w, double x, double y, double size);
void schematic_ink_mark(struct writer *w, double x, double y, double size);

#endif
