/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Symbols are drawn with their axis downwards and turned; mirrored where that puts what stands at
 * their side where the layout has room for it. */
#include "schematic_ink.h"

void schematic_ink_text(struct writer *w, const char *text)
{
    for (const char *c = text; *c; c++) {
        const char *out = *c == '&'   ? "&amp;"
                          : *c == '<' ? "&lt;"
                          : *c == '>' ? "&gt;"
                          : *c == '"' ? "&quot;"
                                      : NULL;
        char one = (unsigned char)*c < 0x20 ? '?' : *c;
        if (out) writer_text(w, out);
        else writer_bytes(w, &one, 1);
    }
}

/* ---- shapes of two ends, from (0, -length/2) to (0, length/2) ---- */

static const char *const paths[SHAPES] = {
    [SHAPE_RESISTOR] = "M0-6V-5M-2-5H2V5H-2ZM0 5V6",
    [SHAPE_CAPACITOR] = "M0-3V-1.2M-4.5-1.2H4.5M-4.5 1.2H4.5M0 1.2V3",
    [SHAPE_ELECTROLYTIC] = "M0-3V-1.2M-4.5-1.2H4.5M-4.5 1.2H4.5M0 1.2V3",
    [SHAPE_COIL] =
        "M0-7V-6a1.5 1.5 0 0 1 0 3a1.5 1.5 0 0 1 0 3a1.5 1.5 0 0 1 0 3a1.5 1.5 0 0 1 0 3V7",
    [SHAPE_FUSE] = "M0-5V5M-1.8-4H1.8V4H-1.8Z",
    [SHAPE_LAMP] = "M-4 0a4 4 0 1 1 8 0a4 4 0 1 1-8 0M-2.83-2.83L2.83 2.83M-2.83 2.83L2.83-2.83",
    [SHAPE_SWITCH] = "M0-5V-3M0 5V3L-2.8-3",
    [SHAPE_BATTERY] = "M0-3.2V-1M-5-1H5M-2.4 1H2.4M0 1V3.2",
    [SHAPE_LIMITER] = "M0-6V-5M-2-5H2V5H-2ZM0 5V6M-4 5.4V3.6L4-4.6",
    [SHAPE_HEATER] = "M-4.5 0a4.5 4.5 0 1 1 9 0a4.5 4.5 0 1 1-9 0M0-4.5V-2.8L2.6 0L0 2.8V4.5",
    [SHAPE_LOAD] = "M-5-7.5H5V7.5H-5ZM0-4.6V4M-1.6 1L0 4.6L1.6 1",
    [SHAPE_DIODE] = "M0-3.4V3.4M-3-2.6H3L0 2.6ZM-3 2.6H3",
    [SHAPE_SINE] = "M-5 0a5 5 0 1 1 10 0a5 5 0 1 1-10 0M-3 0c1-3.4 2-3.4 3 0c1 3.4 2 3.4 3 0",
    [SHAPE_SQUARE] = "M-5 0a5 5 0 1 1 10 0a5 5 0 1 1-10 0M-3 0V-2H0V2H3V0",
};
static const char zigzag_path[] = "M0-6V-5L2-4.2L-2-2.5L2-0.8L-2 0.9L2 2.6L-2 4.2L0 5V6";

static void put_path(struct writer *w, const char *path)
{
    writer_format(w, "<path d=\"%s\"/>", path);
}

static void put_dot(struct writer *w, double x, double y)
{
    writer_format(w, "<circle class=\"full\" cx=\"%g\" cy=\"%g\" r=\"0.7\"/>", x, y);
}

/* ---- tubes ---- */

/* Plate above, cathode below; the heater's leads leave on the left. */
static void put_tube(struct writer *w, const struct schematic_symbol *s)
{
    put_path(w, "M-6.5 0a6.5 7.5 0 1 1 13 0a6.5 7.5 0 1 1-13 0M0-7.5V-3.4M-3.6-3.4H3.6");
    if (s->cathode == CATHODE_HEATED) put_path(w, "M-3.4 2.9V1.9H3.4M0 1.9V7.5");
    if (s->cathode == CATHODE_COLD)
        put_path(w, "M0 7.5V3.2M-1.2 2a1.2 1.2 0 1 1 2.4 0a1.2 1.2 0 1 1-2.4 0");
    if (s->cathode == CATHODE_FILAMENT) put_path(w, "M-3.2 3.2H-1.6L0 4.6L-1.6 6H-3.2M0 4.6V7.5");
    else if (s->heater) put_path(w, "M-3.2 3.2H-2.4L-0.9 4.6L-2.4 6H-3.2");
    if (s->gas) put_dot(w, 3.4, 4.4);
}

/* Plates on the left, the cathode on the right; the heater's leads leave below. */
static void put_two_plates(struct writer *w, const struct schematic_symbol *s)
{
    put_path(w, "M-8-2a8 8 0 0 1 16 0V2a8 8 0 0 1-16 0ZM-8-4.5H-3.4M-3.4-7.3V-1.7"
                "M-8 4.5H-3.4M-3.4 1.7V7.3");
    if (s->cathode == CATHODE_HEATED) put_path(w, "M1-6V6M1-4.5H8");
    if (s->cathode == CATHODE_COLD)
        put_path(w, "M8-4.5H2.2M-0.2-4.5a1.2 1.2 0 1 1 2.4 0a1.2 1.2 0 1 1-2.4 0");
    if (s->cathode == CATHODE_FILAMENT) put_path(w, "M2.6 10V2L4-4.5L5.4 2V10M4-4.5H8");
    else if (s->heater) put_path(w, "M2.6 10V3.4L4-0.6L5.4 3.4V10");
    if (s->gas) put_dot(w, -0.6, 7);
}

/* ---- transformers, the reference ---- */

/* Half rings towards the core: on the right of a coil that runs up, on the left of others. */
static void put_winding(struct writer *w, const struct schematic_symbol *s)
{
    int turns = (int)(s->length / 3.2) / 2 * 2;
    double r = s->length / turns / 2;
    writer_format(w, "<path d=\"M0 %g", -s->length / 2);
    for (int i = 0; i < turns; i++)
        writer_format(w, "a%.4g %.4g 0 0 %d 0 %.6g", r, r, s->turn == 2 ? 1 : 0, 2 * r);
    writer_text(w, "\"/>");
}

static void put_core(struct writer *w, const struct schematic_symbol *s)
{
    writer_format(w, "<path d=\"M-0.8 %gV%gM0.8 %gV%g\"/>", -s->length / 2, s->length / 2,
                  -s->length / 2, s->length / 2);
}

static const int angles[] = {0, -90, 180, 90};

void schematic_ink_symbol(struct writer *w, const struct schematic_symbol *s, bool zigzag)
{
    bool turns = s->shape < SHAPE_TWO_PLATES;
    writer_format(w, "<g transform=\"translate(%g %g)", s->x, s->y);
    if (turns && s->turn) writer_format(w, " rotate(%d)", angles[s->turn]);
    if (turns && s->turn >= 2) writer_text(w, " scale(-1 1)");
    writer_text(w, "\">");
    switch (s->shape) {
    case SHAPE_TUBE: put_tube(w, s); break;
    case SHAPE_TWO_PLATES: put_two_plates(w, s); break;
    case SHAPE_WINDING: put_winding(w, s); break;
    case SHAPE_CORE: put_core(w, s); break;
    case SHAPE_SLIDER: put_path(w, "M0 0H5M0 0L1.8-0.9V0.9Z"); break;
    case SHAPE_REFERENCE:
        put_path(w,
                 s->tap ? "M-4-1.5H4M-4-1.5L-5.2 1.2M0-1.5L-1.2 1.2M4-1.5L2.8 1.2" : "M-4-1.5H4");
        break;
    default: put_path(w, s->shape == SHAPE_RESISTOR && zigzag ? zigzag_path : paths[s->shape]);
    }
    writer_text(w, "</g>\n");
}

/* ---- warnings ---- */

static void put_triangle(struct writer *w, double x, double y, double size, const char *inside)
{
    writer_format(w,
                  "<g transform=\"translate(%g %g) scale(%g)\"><path class=\"warn\" d=\"M0.5 0H9.5"
                  "L5-9Z\"/><path class=\"full\" d=\"%s\"/></g>\n",
                  x, y, size / 9, inside);
}

void schematic_ink_bolt(struct writer *w, double x, double y, double size)
{
    put_triangle(w, x, y, size, "M5.6-7L3.6-3.6H5L4.2-0.7L6.6-4.4H5.2Z");
}

void schematic_ink_mark(struct writer *w, double x, double y, double size)
{
    put_triangle(w, x, y, size, "M4.4-6.4H5.6L5.3-2.8H4.7ZM4.5-2.1H5.5V-1.1H4.5Z");
}
