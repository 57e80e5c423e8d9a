/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page: title, drawing, column on its right where A4 has room for it and below where not, then
 * notes and cautions. Its height is known only when all is laid out, so that comes first. */
#include "schematic_svg.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "schematic_ink.h"
#include "words_cautions.h"
#include "words_schematic.h"

#define EDGE 6.0
#define NARROW 100.0  /* of a telephone's page: letters are then some 10 px high [mm] */
#define A4_LONG 284.0 /* inside what printers leave free [mm] */
#define A4_SHORT 190.0
#define ROW 6.8
#define NUMBER 9.0 /* width of the columns */
#define VALUE 19.0
#define BOLT 5.0
#define TITLE 1.25 /* of the letters' size; bold is a twelfth wider */

struct text_line {
    const char *text;
    double x, y;
    const char *class; /* of CSS */
    char sign;         /* before it: B a bolt, M a mark; 0: none */
};

struct column_row {
    int number;
    const char *name, *dc, *ac;
};

struct page_plan {
    struct arena *arena;
    const struct setup *setup;
    const struct schematic *drawing;
    const struct schematic_readings *readings;
    double x, y; /* of the drawing */
    double width, height;
    double most; /* width */
    double column_x, column_y, name_width;
    int columns, per_column;
    ARRAY(struct column_row) rows;
    ARRAY(struct text_line) lines;
};

/* ---- what is over ---- */

static bool belongs(const char *subject, const char *part)
{
    size_t n = strlen(part);
    return strncmp(subject, part, n) == 0 && (subject[n] == 0 || subject[n] == '.');
}

static bool is_over(const struct schematic_readings *r, const struct part *part)
{
    for (int i = 0; r && i < r->all.n; i++)
        if (r->all.at[i].over && belongs(r->all.at[i].subject, part->name)) return true;
    return false;
}

static int over_parts(struct page_plan *p, const struct part **over)
{
    const struct set *set = p->setup->stages.at[0].set;
    int n = 0;
    for (int i = 0; i < set->parts.n; i++)
        if (is_over(p->readings, set->parts.at[i])) over[n++] = set->parts.at[i];
    return n;
}

/* ---- the column ---- */

static const char *value_text(struct arena *arena, double value, enum unit unit)
{
    char text[40];
    if (isnan(value)) return "";
    return arena_printf(arena, "%s", quantity_text(value, unit, 3, text, sizeof text));
}

/* Less than a two-hundredth of what lies beside it is nothing. */
static void read_row(struct page_plan *p, struct column_row *row)
{
    row->dc = row->ac = "";
    if (!p->readings) return;
    double dc = schematic_readings_find(p->readings, row->name, MEASURE_SETTLED_VOLTAGE);
    double ac = schematic_readings_find(p->readings, row->name, MEASURE_RIPPLE_RMS);
    if (fabs(dc) < ac / 200 || fabs(dc) < 1e-3) dc = 0;
    if (ac < 1e-3) ac = 0;
    row->dc = value_text(p->arena, dc, UNIT_VOLT);
    row->ac = value_text(p->arena, ac, UNIT_VOLT);
}

static void plan_rows(struct page_plan *p)
{
    p->name_width = schematic_text_width(words_schematic_point) + 3;
    for (int i = 0; i < p->drawing->calls.n; i++) {
        const struct schematic_call *c = &p->drawing->calls.at[i];
        struct column_row row = {.number = c->number, .name = p->drawing->nets.at[c->net].name};
        read_row(p, &row);
        p->name_width = fmax(p->name_width, schematic_text_width(row.name) + 3);
        array_push(p->arena, &p->rows, row);
    }
}

static double column_width(const struct page_plan *p)
{
    return NUMBER + p->name_width + (p->readings ? 2 * VALUE : 0) + 6;
}

static void plan_column(struct page_plan *p)
{
    double one = column_width(p), right = p->drawing->width;
    p->columns = 1;
    p->per_column = p->rows.n;
    p->column_x = EDGE + right;
    p->column_y = p->y;
    double tall = (p->rows.n + 1) * ROW;
    bool beside = right + one <= p->most && tall <= fmax(p->drawing->height, 0.6 * A4_SHORT);
    if (!beside) {
        p->column_x = EDGE;
        p->column_y = p->y + p->drawing->height + 2;
        p->columns = (int)(fmax(right, fmin(p->most, A4_SHORT)) / one);
        if (p->columns < 1) p->columns = 1;
        p->per_column = (p->rows.n + p->columns - 1) / p->columns;
        if (p->per_column < 4 && p->rows.n > 4) p->per_column = 4;
        if (p->per_column > 0) p->columns = (p->rows.n + p->per_column - 1) / p->per_column;
    }
    p->width = fmax(p->column_x + p->columns * one, EDGE + right) + EDGE;
    p->height = fmax(p->y + p->drawing->height, p->column_y + (p->per_column + 1) * ROW);
}

/* ---- lines of text ---- */

/* Broken at blanks to fit the page; `sign` before the first. */
static void add_text(struct page_plan *p, double *y, const char *text, const char *class, char sign)
{
    double x = EDGE + (sign ? BOLT + 2.5 : 0), room = p->width - EDGE - x;
    if (strcmp(class, "title") == 0) room /= TITLE * 1.08;
    bool first = true;
    while (*text) {
        size_t n = 0, fits = 0;
        do {
            n += strcspn(text + n, " ");
            const char *head = arena_text(p->arena, text, n);
            if (fits > 0 && schematic_text_width(head) > room) break;
            fits = n;
            n += text[n] == ' ';
        } while (text[fits]);
        *y += SCHEMATIC_LINE + 0.6;
        array_push(p->arena, &p->lines,
                   (struct text_line){arena_text(p->arena, text, fits), x, *y, class,
                                      first ? sign : (char)0});
        first = false;
        text += fits;
        text += strspn(text, " ");
    }
}

static void add_over(struct page_plan *p, double *y)
{
    bool headed = false;
    for (int i = 0; p->readings && i < p->readings->all.n; i++) {
        const struct schematic_reading *r = &p->readings->all.at[i];
        const struct measure_row *m = &measure_table[r->measure];
        if (!r->over) continue;
        if (!headed) *y += 1.5, add_text(p, y, words_schematic_over, "name", 0);
        headed = true;
        add_text(p, y,
                 arena_printf(p->arena, words_schematic_over_row, r->subject, m->words,
                              value_text(p->arena, r->value, m->unit),
                              value_text(p->arena, r->limit, m->unit)),
                 "over", 'M');
    }
}

static void add_changes(struct page_plan *p, double *y)
{
    for (int i = 1; i < p->setup->stages.n; i++) {
        const struct stage *s = &p->setup->stages.at[i];
        add_text(p, y,
                 arena_printf(p->arena, words_schematic_change,
                              value_text(p->arena, s->time, UNIT_SECOND), s->change),
                 "text", 0);
    }
}

static void add_origin(struct page_plan *p, double *y)
{
    const char *reference = p->setup->stages.at[0].circuit->reference;
    if (!p->readings) {
        add_text(p, y, arena_printf(p->arena, words_schematic_reference, reference), "text", 0);
        return;
    }
    const char *from = p->readings->from
                           ? arena_printf(p->arena, words_schematic_last_run, p->readings->from)
                           : arena_printf(p->arena, words_schematic_run,
                                          value_text(p->arena, p->setup->duration, UNIT_SECOND));
    const char *to = arena_printf(p->arena, words_schematic_to, reference);
    add_text(p, y, arena_printf(p->arena, "%s %s", to, from), "text", 0);
}

static void add_cautions(struct page_plan *p, double *y, const struct hazards *h)
{
    static const enum caution told[] = {CAUTION_LIVE_CHASSIS, CAUTION_UNPLUGGED, CAUTION_DISCHARGE,
                                        CAUTION_RULES};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        if (!cautions_apply(told[i], h)) continue;
        *y += 1.5;
        add_text(p, y,
                 arena_printf(p->arena, "%s: %s", words_cautions_name(told[i]),
                              words_cautions_text(p->arena, told[i])),
                 "text", told[i] == CAUTION_RULES ? (char)0 : 'B');
    }
}

static const char *heading(const struct page_plan *p)
{
    const struct setup *s = p->setup;
    if (strcmp(s->variant, "base") == 0) return s->title;
    return arena_printf(p->arena, words_schematic_variant, s->title, s->variant);
}

static struct page_plan plan_page(struct arena *arena, const struct setup *setup,
                                  const struct schematic_readings *readings,
                                  const struct result *result, bool narrow)
{
    struct page_plan p = {.arena = arena, .setup = setup, .readings = readings, .x = EDGE};
    const struct part **over =
        ARENA_ARRAY(arena, const struct part *, setup->stages.at[0].set->parts.n + 1);
    int n = over_parts(&p, over);
    p.most = narrow ? NARROW : A4_LONG;
    p.drawing = schematic_make(arena, setup, over, n, p.most);
    p.width = fmin(A4_SHORT, p.most) + 2 * EDGE;
    double title = EDGE - 3;
    plan_rows(&p);
    p.y = EDGE;
    plan_column(&p);
    add_text(&p, &title, heading(&p), "title", 0);
    p.y = title + 5;
    plan_column(&p);
    double y = p.height;
    struct hazards h = hazards_of(arena, setup, result, OCCASION_POWER);
    add_origin(&p, &y);
    add_changes(&p, &y);
    add_over(&p, &y);
    add_cautions(&p, &y, &h);
    p.height = y + EDGE;
    return p;
}

/* ---- writing ---- */

static const char style[] =
    "<style>.ps{fill:none;stroke:#000;stroke-width:.4;stroke-linecap:round;stroke-linejoin:round}"
    ".ps text{stroke:none;fill:#000;font-family:Helvetica,Arial,'Liberation Sans',sans-serif;"
    "font-size:%.3gpx}.ps .name,.ps .title{font-weight:bold}.ps .title{font-size:%.3gpx}"
    ".ps .state{font-style:italic}.ps .full{fill:#000;stroke:none}"
    ".ps .sheet{fill:#fff;stroke:none}.ps .rule{stroke-width:.2}"
    ".ps .call{fill:#fff;stroke:%s;stroke-width:.3}.ps .number{fill:%s}"
    ".ps text.over{fill:%s}.ps .warn{fill:%s;stroke-width:.5}</style>\n";

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

static void put_head(struct writer *w, const struct page_plan *p, const struct schematic_options *o)
{
    const struct set *set = p->setup->stages.at[0].set;
    const char *line = o->black_and_white ? "#000" : "#00539c";
    if (!o->embedded) writer_text(w, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    writer_format(
        w,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"ps\" role=\"img\" width=\"%.1fmm\" "
        "height=\"%.1fmm\" viewBox=\"0 0 %.1f %.1f\">\n<title>",
        p->width, p->height, p->width, p->height);
    schematic_ink_text(w, arena_printf(p->arena, words_schematic_title, heading(p)));
    writer_text(w, "</title>\n<desc>");
    const char *parts = "";
    for (int i = 0; i < set->parts.n; i++)
        parts = arena_printf(p->arena, "%s%s%s", parts, i ? "; " : "",
                             describe(p->arena, set, set->parts.at[i]));
    schematic_ink_text(w, arena_printf(p->arena, words_schematic_describes, parts));
    writer_text(w, "</desc>\n");
    writer_format(w, style, SCHEMATIC_FONT, TITLE * SCHEMATIC_FONT, line, line,
                  o->black_and_white ? "#000" : "#a8001a", o->black_and_white ? "#fff" : "#ffd21f");
    writer_format(w, "<rect class=\"sheet\" width=\"%.1f\" height=\"%.1f\"/>\n", p->width,
                  p->height);
}

static void put_label_of(struct writer *w, const struct page_plan *p,
                         const struct schematic_label *l)
{
    static const char *const classes[] = {"name", "value", "state", "name"};
    const char *text = l->text, *class = classes[l->style];
    bool marked = l->style == LABEL_NAME && l->part && is_over(p->readings, l->part);
    put_label(w, l->x, l->y, marked ? "name over" : class, l->centred, text);
}

/* A wire that goes on in another strip: an arrow and the number of its point. */
static void put_end(struct writer *w, const struct schematic *d, const struct schematic_end *e)
{
    double tip = e->right ? e->x + 2 : e->x;
    writer_format(w, "<path class=\"full\" d=\"M%.2f %.2fl-2-1.2v2.4z\"/>\n", tip, e->y);
    int number = d->nets.at[e->net].number;
    if (number == 0) return;
    writer_format(w, "<text x=\"%.2f\" y=\"%.2f\" class=\"number\" text-anchor=\"%s\">%d</text>\n",
                  e->right ? e->x + 3 : e->x - 3, e->y + 1.4, e->right ? "start" : "end", number);
}

static void put_drawing(struct writer *w, const struct page_plan *p,
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

static void put_column(struct writer *w, const struct page_plan *p)
{
    double one = column_width(p);
    for (int i = 0; i < p->rows.n; i++) {
        const struct column_row *row = &p->rows.at[i];
        int line = i % p->per_column;
        double x = p->column_x + i / p->per_column * one, y = p->column_y + (line + 1) * ROW;
        double name = x + NUMBER, dc = name + p->name_width + VALUE - 3, ac = dc + VALUE;
        if (line == 0) {
            put_label(w, name, y - ROW + 2.6, "name", false, words_schematic_point);
            if (p->readings) {
                put_right(w, dc, y - ROW + 2.6, "name", words_schematic_dc);
                put_right(w, ac, y - ROW + 2.6, "name", words_schematic_ac);
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
    struct page_plan p = plan_page(arena, setup, readings, result, options->narrow);
    put_head(w, &p, options);
    put_drawing(w, &p, options);
    if (p.per_column > 0) put_column(w, &p);
    for (int i = 0; i < p.lines.n; i++) {
        const struct text_line *l = &p.lines.at[i];
        if (l->sign == 'B') schematic_ink_bolt(w, EDGE, l->y + 0.6, BOLT);
        if (l->sign == 'M') schematic_ink_mark(w, EDGE, l->y + 0.6, BOLT);
        put_label(w, l->x, l->y, l->class, false, l->text);
    }
    writer_text(w, "</svg>\n");
    return (struct schematic_size){p.width, p.height};
}
