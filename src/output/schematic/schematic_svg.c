/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "schematic_svg.h"

#include "schematic_ink.h"
#include "schematic_sheet.h"
#include "words_schematic.h"

static const char style[] =
    "<style>.ps{fill:none;stroke:#000;stroke-width:.4;stroke-linecap:round;stroke-linejoin:round}"
    ".ps text{stroke:none;fill:#000;font-family:Helvetica,Arial,'Liberation Sans',sans-serif;"
    "font-size:%.3gpx}.ps .name,.ps .title{font-weight:bold}.ps .title{font-size:%.3gpx}"
    ".ps .state{font-style:italic}.ps .full{fill:#000;stroke:none}"
    ".ps .sheet{fill:#fff;stroke:none}.ps .rule{stroke-width:.2}"
    ".ps .call{fill:#fff;stroke:%s;stroke-width:.3}.ps .number{fill:%s}"
    ".ps .text,.ps .note{font-size:%.3gpx}.ps text.over{fill:%s}.ps "
    ".warn{fill:%s;stroke-width:.5}</style>\n";

static void put_label(struct writer *w, double x, double y, const char *class, bool centred,
                      const char *text)
{
    writer_format(w, "<text x=\"%.2f\" y=\"%.2f\" class=\"%s\"%s>", x, y, class,
                  centred ? " text-anchor=\"middle\"" : "");
    schematic_ink_text(w, text);
    writer_text(w, "</text>\n");
}

static void put_ring(struct writer *w, double x, double y, int number)
{
    writer_format(w, "<circle class=\"call\" cx=\"%.2f\" cy=\"%.2f\" r=\"%g\"/>", x, y,
                  SCHEMATIC_CALL);
    writer_format(
        w, "<text x=\"%.2f\" y=\"%.2f\" class=\"number\" text-anchor=\"middle\"%s>%d</text>\n", x,
        y + 1.4, number > 99 ? " font-size=\"3\"" : "", number);
}

/* A part in words: name, values, ends. */
static const char *describe(struct arena *arena, const struct set *set, const struct part *part)
{
    const char *shown[4], *text = part->name;
    struct part_way way;
    int n = part_shown(arena, part, shown, 4);
    for (int i = 0; i < n; i++) text = arena_printf(arena, "%s%s %s", text, i ? "," : "", shown[i]);
    for (int k = 0; part_way(set, part, k, &way); k++)
        if (way.points >= 2)
            text = arena_printf(arena, words_schematic_between, text, way.point[0],
                                way.point[way.points - 1]);
    return text;
}

static void put_head(struct writer *w, const struct schematic_sheet *p,
                     const struct schematic_options *o)
{
    const struct set *set = p->setup->stages.at[0].set;
    const char *line = o->black_and_white ? "#000" : "#00539c";
    if (!o->embedded) writer_text(w, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    writer_format(
        w,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"ps\" role=\"img\" width=\"%.1fmm\" "
        "height=\"%.1fmm\" viewBox=\"0 0 %.1f %.1f\">\n<title>",
        p->width, p->height, p->width, p->height);
    schematic_ink_text(w,
                       arena_printf(p->arena, words_schematic_title, schematic_sheet_heading(p)));
    writer_text(w, "</title>\n<desc>");
    const char *parts = "";
    for (int i = 0; i < set->parts.n; i++)
        parts = arena_printf(p->arena, "%s%s%s", parts, i ? "; " : "",
                             describe(p->arena, set, set->parts.at[i]));
    schematic_ink_text(w, arena_printf(p->arena, words_schematic_describes, parts));
    writer_text(w, "</desc>\n");
    writer_format(w, style, SCHEMATIC_FONT, SHEET_TITLE * SCHEMATIC_FONT, line, line,
                  SHEET_NOTE * SCHEMATIC_FONT, o->black_and_white ? "#000" : "#a8001a",
                  o->black_and_white ? "#fff" : "#ffd21f");
    writer_format(w, "<rect class=\"sheet\" width=\"%.1f\" height=\"%.1f\"/>\n", p->width,
                  p->height);
}

static void put_label_of(struct writer *w, const struct schematic_sheet *p,
                         const struct schematic_label *l)
{
    static const char *const classes[] = {"name", "value", "state", "name"};
    const char *text = l->text, *class = classes[l->style];
    bool marked = l->style == LABEL_NAME && l->part && schematic_sheet_over(p->readings, l->part);
    put_label(w, l->x, l->y, marked ? "name over" : class, l->centred, text);
}

/* A wire that goes on in another strip: an arrow and the number of its point. */
static void put_end(struct writer *w, const struct schematic *d, const struct schematic_end *e)
{
    double tip = e->right ? e->x + 2 : e->x;
    writer_format(w, "<path class=\"full\" d=\"M%.2f %.2fl-2-1.2v2.4z\"/>\n", tip, e->y);
    const struct schematic_net *net = &d->nets.at[e->net];
    if (net->number == 0 && !net->letter) return;
    writer_format(w, "<text x=\"%.2f\" y=\"%.2f\" class=\"number\" text-anchor=\"%s\">",
                  e->right ? e->x + 3 : e->x - 3, e->y + 1.4, e->right ? "start" : "end");
    if (net->letter) writer_format(w, "%c</text>\n", net->letter);
    else writer_format(w, "%d</text>\n", net->number);
}

static void put_drawing(struct writer *w, const struct schematic_sheet *p,
                        const struct schematic_options *o)
{
    const struct schematic *d = p->drawing;
    writer_format(w, "<g transform=\"translate(%.2f %.2f)\">\n<path d=\"", p->x, p->y);
    for (int i = 0; i < d->wires.n; i++) {
        const struct schematic_wire *l = &d->wires.at[i];
        writer_format(w, "M%.2f %.2fL%.2f %.2f", l->x1, l->y1, l->x2, l->y2);
    }
    writer_text(w, "\"/>\n");
    for (int i = 0; i < d->dots.n; i++)
        writer_format(w, "<circle class=\"full\" cx=\"%.2f\" cy=\"%.2f\" r=\"0.8\"/>\n",
                      d->dots.at[i].x, d->dots.at[i].y);
    for (int i = 0; i < d->symbols.n; i++) schematic_ink_symbol(w, &d->symbols.at[i], o->zigzag);
    for (int i = 0; i < d->calls.n; i++) {
        const struct schematic_call *c = &d->calls.at[i];
        writer_format(w, "<path class=\"call\" d=\"M%.2f %.2fV%.2f\"/>", c->x,
                      c->y + SCHEMATIC_CALL, c->tip);
        put_ring(w, c->x, c->y, c->number);
    }
    for (int i = 0; i < d->ends.n; i++) put_end(w, d, &d->ends.at[i]);
    for (int i = 0; i < d->labels.n; i++) put_label_of(w, p, &d->labels.at[i]);
    writer_text(w, "</g>\n");
}

static void put_right(struct writer *w, double x, double y, const char *class, const char *text)
{
    writer_format(w, "<text x=\"%.2f\" y=\"%.2f\" class=\"%s\" text-anchor=\"end\">", x, y, class);
    schematic_ink_text(w, text);
    writer_text(w, "</text>\n");
}

static void put_column(struct writer *w, const struct schematic_sheet *p)
{
    double one = schematic_sheet_column(p);
    for (int i = 0; i < p->rows.n; i++) {
        const struct sheet_row *row = &p->rows.at[i];
        int line = i % p->per_column;
        double x = p->column_x + i / p->per_column * one, y = p->column_y + (line + 1) * SHEET_ROW;
        double name = x + SHEET_NUMBER, dc = name + p->name_width + SHEET_VALUE - 3,
               ac = dc + SHEET_VALUE;
        if (line == 0) {
            put_label(w, name, y - SHEET_ROW + 2.6, "name", false, words_schematic_point);
            if (p->readings) {
                put_right(w, dc, y - SHEET_ROW + 2.6, "name", words_schematic_dc);
                put_right(w, ac, y - SHEET_ROW + 2.6, "name", words_schematic_ac);
            }
        }
        put_ring(w, x + SCHEMATIC_CALL + 1, y + 1, row->number);
        put_label(w, name, y + 2.6, "value", false, row->name);
        put_right(w, dc, y + 2.6, "value", row->dc);
        put_right(w, ac, y + 2.6, "value", row->ac);
    }
}

struct schematic_size schematic_svg_write(struct writer *w, struct arena *arena,
                                          const struct setup *setup,
                                          const struct schematic_readings *readings,
                                          const struct result *result,
                                          const struct schematic_options *options)
{
    struct schematic_sheet p =
        schematic_sheet_plan(arena, setup, readings, result, options->narrow);
    put_head(w, &p, options);
    put_drawing(w, &p, options);
    if (p.per_column > 0) put_column(w, &p);
    for (int i = 0; i < p.lines.n; i++) {
        const struct sheet_line *l = &p.lines.at[i];
        if (l->sign == 'B') schematic_ink_bolt(w, l->x - SHEET_SIGN, l->y + 0.6, SHEET_BOLT);
        if (l->sign == 'M') schematic_ink_mark(w, l->x - SHEET_SIGN, l->y + 0.6, SHEET_BOLT);
        put_label(w, l->x, l->y, l->class, false, l->text);
    }
    writer_text(w, "</svg>\n");
    return (struct schematic_size){p.width, p.height};
}

struct schematic_size schematic_svg_size(struct arena *arena, const struct setup *setup,
                                         const struct schematic_readings *readings,
                                         const struct result *result, bool narrow)
{
    struct schematic_sheet p = schematic_sheet_plan(arena, setup, readings, result, narrow);
    return (struct schematic_size){p.width, p.height};
}
