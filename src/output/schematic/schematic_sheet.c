/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet: title, drawing, column on its right where A4 has room for it and below where not, then
 * notes and cautions. Its height is known only when all is laid out. */
#include "schematic_sheet.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "words_cautions.h"
#include "words_schematic.h"

#define NARROW 100.0  /* of a telephone's page: letters are then some 10 px high [mm] */
#define A4_LONG 287.0 /* between edges of SHEET_EDGE [mm] */
#define A4_SHORT 190.0
#define OVER_LEAST 92.0 /* width of a row of what is over its rating */

/* ---- what is over ---- */

static bool belongs(const char *subject, const char *part)
{
    size_t n = strlen(part);
    return strncmp(subject, part, n) == 0 && (subject[n] == 0 || subject[n] == '.');
}

bool schematic_sheet_over(const struct schematic_readings *r, const struct part *part)
{
    for (int i = 0; r && i < r->all.n; i++)
        if (r->all.at[i].over && belongs(r->all.at[i].subject, part->name)) return true;
    return false;
}

static int over_parts(struct schematic_sheet *p, const struct part **over)
{
    const struct set *set = p->setup->stages.at[0].set;
    int n = 0;
    for (int i = 0; i < set->parts.n; i++)
        if (schematic_sheet_over(p->readings, set->parts.at[i])) over[n++] = set->parts.at[i];
    return n;
}

/* ---- the column ---- */

/* Less than any meter shows is nothing. */
static const char *value_text(struct arena *arena, double value, enum unit unit)
{
    char text[40];
    if (isnan(value)) return "\xE2\x80\x93";
    if (fabs(value) < (unit == UNIT_VOLT ? 1e-3 : 1e-6) &&
        (unit == UNIT_VOLT || unit == UNIT_AMPERE))
        value = 0;
    return arena_printf(arena, "%s", quantity_text(value, unit, 3, text, sizeof text));
}

/* Less than a two-hundredth of what lies beside it is nothing. */
static void read_row(struct schematic_sheet *p, struct sheet_row *row)
{
    row->dc = row->ac = "";
    if (!p->readings) return;
    double dc = schematic_readings_point(p->readings, p->setup->stages.at[0].set, row->name);
    double ac = schematic_readings_find(p->readings, row->name, measure_on(RANGE_AC));
    if (fabs(dc) < ac / 200 || fabs(dc) < 1e-3) dc = 0;
    if (ac < 1e-3) ac = 0;
    row->dc = value_text(p->arena, dc, UNIT_VOLT);
    row->ac = value_text(p->arena, ac, UNIT_VOLT);
    p->gaps |= isnan(ac);
}

/* The house joins its earth to one side of the line. */
static const char *shown_name(const struct schematic_sheet *p, const char *name)
{
    const struct set *set = p->setup->stages.at[0].set;
    bool earthed = circuit_find_point(set->circuit, "earth") >= 0 && set->line[1] &&
                   strcmp(name, set->line[1]) == 0;
    return earthed ? arena_printf(p->arena, words_schematic_earthed, name) : name;
}

static void plan_rows(struct schematic_sheet *p)
{
    p->name_width = schematic_text_width(words_schematic_point) + 3;
    for (int i = 0; i < p->drawing->calls.n; i++) {
        const struct schematic_call *c = &p->drawing->calls.at[i];
        struct sheet_row row = {.number = c->number, .name = p->drawing->nets.at[c->net].name};
        read_row(p, &row);
        row.name = shown_name(p, row.name);
        p->name_width = fmax(p->name_width, schematic_text_width(row.name) + 3);
        array_push(p->arena, &p->rows, row);
    }
}

double schematic_sheet_column(const struct schematic_sheet *p)
{
    return SHEET_NUMBER + p->name_width + (p->readings ? 2 * SHEET_VALUE : 0) + 6;
}

static void plan_column(struct schematic_sheet *p)
{
    double one = schematic_sheet_column(p), right = p->drawing->width;
    p->columns = 1;
    p->per_column = p->rows.n;
    p->column_x = SHEET_EDGE + right;
    p->column_y = p->y;
    double tall = (p->rows.n + 1) * SHEET_ROW;
    bool beside = right + one <= p->most && tall <= fmax(p->drawing->height, 0.6 * A4_SHORT);
    if (!beside) {
        p->column_x = SHEET_EDGE;
        p->column_y = p->y + p->drawing->height + 2;
        p->columns = (int)(fmax(right, fmin(p->most, A4_SHORT)) / one);
        if (p->columns < 1) p->columns = 1;
        p->per_column = (p->rows.n + p->columns - 1) / p->columns;
        if (p->per_column < 4 && p->rows.n > 4) p->per_column = 4;
        if (p->per_column > 0) p->columns = (p->rows.n + p->per_column - 1) / p->per_column;
    }
    p->width = fmax(p->column_x + p->columns * one, SHEET_EDGE + right) + SHEET_EDGE;
    p->height = fmax(p->y + p->drawing->height, p->column_y + (p->per_column + 1) * SHEET_ROW);
}

/* ---- lines of text ---- */

/* The next blank where a line may end: none between a number and its unit. */
static size_t word_end(const char *text, size_t n)
{
    n += strcspn(text + n, " ");
    bool number = n > 0 && text[n - 1] >= '0' && text[n - 1] <= '9';
    return number && text[n] && strspn(text + n + 1, "0123456789(") == 0
               ? n + 1 + strcspn(text + n + 1, " ")
               : n;
}

/* Broken at blanks to fit between x and `right`; `sign` before the first line. */
static void add_block(struct schematic_sheet *p, double x, double right, double *y,
                      const char *text, const char *class, char sign)
{
    double at = x + (sign ? SHEET_SIGN : 0), room = right - at;
    bool title = strcmp(class, "title") == 0, name = strcmp(class, "name") == 0;
    double scale = title ? SHEET_TITLE * 1.08 : name ? 1.08 : SHEET_NOTE;
    room /= scale;
    for (bool first = true; *text; first = false) {
        size_t n = 0, fits = 0;
        do {
            n = word_end(text, n);
            const char *head = arena_text(p->arena, text, n);
            if (fits > 0 && schematic_text_width(head) > room) break;
            fits = n;
            n += text[n] == ' ';
        } while (text[fits]);
        *y += (SCHEMATIC_LINE + 0.3) * (title ? 1 : scale);
        array_push(p->arena, &p->lines,
                   (struct sheet_line){arena_text(p->arena, text, fits), at, *y, class,
                                       first ? sign : (char)0});
        text += fits;
        text += strspn(text, " ");
    }
}

static void add_text(struct schematic_sheet *p, double *y, const char *text, const char *class,
                     char sign)
{
    add_block(p, SHEET_EDGE, p->width - SHEET_EDGE, y, text, class, sign);
}

static bool told_before(const struct schematic_sheet *p, int i)
{
    const struct schematic_reading *r = &p->readings->all.at[i];
    for (int k = 0; k < i; k++) {
        const struct schematic_reading *o = &p->readings->all.at[k];
        if (o->over && o->measure == r->measure && strcmp(o->subject, r->subject) == 0) return true;
    }
    return false;
}

/* In as many columns as there is room for. */
static void add_over(struct schematic_sheet *p, double *y)
{
    ARRAY(const char *) rows = {0};
    for (int i = 0; p->readings && i < p->readings->all.n; i++) {
        const struct schematic_reading *r = &p->readings->all.at[i];
        const struct measure_row *m = &measure_table[r->measure];
        if (!r->over || told_before(p, i)) continue;
        array_push(
            p->arena, &rows,
            arena_printf(p->arena,
                         r->value < r->limit ? words_schematic_under_row : words_schematic_over_row,
                         r->subject, m->words, value_text(p->arena, r->value, m->unit),
                         value_text(p->arena, r->limit, m->unit)));
    }
    if (rows.n == 0) return;
    *y += 1.5;
    add_text(p, y, words_schematic_over, "name", 0);
    int columns = (int)((p->width - 2 * SHEET_EDGE) / OVER_LEAST);
    if (columns > rows.n) columns = rows.n;
    if (columns < 1) columns = 1;
    int lines = (rows.n + columns - 1) / columns;
    double one = (p->width - 2 * SHEET_EDGE) / columns, top = *y;
    for (int i = 0; i < rows.n; i++) {
        double x = SHEET_EDGE + i / lines * one, at = i % lines == 0 ? top : p->under;
        add_block(p, x, x + one, &at, rows.at[i], "note over", 'M');
        p->under = at;
        *y = fmax(*y, at);
    }
}

/* The reference has no number at the ends of strips. */
static void add_ends(struct schematic_sheet *p, double *y)
{
    const struct schematic *d = p->drawing;
    int i = 0;
    while (i < d->ends.n &&
           (d->nets.at[d->ends.at[i].net].number != 0 || d->nets.at[d->ends.at[i].net].letter))
        i++;
    if (i < d->ends.n)
        add_text(p, y,
                 arena_printf(p->arena, words_schematic_ends, d->nets.at[d->ends.at[i].net].name),
                 "text", 0);
}

static void add_changes(struct schematic_sheet *p, double *y)
{
    for (int i = 1; i < p->setup->stages.n; i++) {
        const struct stage *s = &p->setup->stages.at[i];
        add_text(p, y,
                 arena_printf(p->arena, words_schematic_change,
                              value_text(p->arena, s->time, UNIT_SECOND), s->change),
                 "text", 0);
    }
}

static void add_origin(struct schematic_sheet *p, double *y)
{
    const struct set *set = p->setup->stages.at[0].set;
    const char *reference = set->circuit->reference;
    if (!p->readings) {
        add_text(p, y, arena_printf(p->arena, words_schematic_reference, reference), "text", 0);
        return;
    }
    const char *text = arena_printf(p->arena, words_schematic_to, reference);
    double line = schematic_readings_find(p->readings, "mains", MEASURE_RMS_VOLTAGE);
    if (!isnan(line) && !circuit_square(set->circuit, p->setup->stages.at[0].mains_source))
        text = arena_printf(p->arena, words_schematic_line, text,
                            value_text(p->arena, line, UNIT_VOLT));
    const char *from = p->readings->from
                           ? arena_printf(p->arena, words_schematic_last_run, p->readings->from)
                           : arena_printf(p->arena, words_schematic_run,
                                          value_text(p->arena, p->readings->seconds, UNIT_SECOND));
    text = arena_printf(p->arena, "%s %s", text, from);
    if (p->gaps && p->readings->from)
        text = arena_printf(p->arena, words_schematic_gaps_file, text, reference);
    else if (p->gaps) text = arena_printf(p->arena, words_schematic_gaps, text, reference);
    add_text(p, y, text, "text", 0);
}

static void add_cautions(struct schematic_sheet *p, double *y, const struct hazards *h)
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

const char *schematic_sheet_heading(const struct schematic_sheet *p)
{
    const struct setup *s = p->setup;
    if (strcmp(s->variant, "base") == 0) return s->title;
    return arena_printf(p->arena, words_schematic_variant, s->title, s->variant);
}

struct schematic_sheet schematic_sheet_plan(struct arena *arena, const struct setup *setup,
                                            const struct schematic_readings *readings,
                                            const struct result *result, bool narrow)
{
    struct schematic_sheet p = {
        .arena = arena, .setup = setup, .readings = readings, .x = SHEET_EDGE};
    const struct part **over =
        ARENA_ARRAY(arena, const struct part *, setup->stages.at[0].set->parts.n + 1);
    int n = over_parts(&p, over);
    p.most = narrow ? NARROW : A4_LONG;
    p.drawing = schematic_make(arena, setup, over, n, p.most);
    p.width = fmin(A4_SHORT, p.most) + 2 * SHEET_EDGE;
    double title = SHEET_EDGE - 3;
    plan_rows(&p);
    p.y = SHEET_EDGE;
    plan_column(&p);
    add_text(&p, &title, schematic_sheet_heading(&p), "title", 0);
    p.y = title + 3;
    plan_column(&p);
    double y = p.height;
    struct hazards h = hazards_of(arena, setup, result, OCCASION_POWER);
    add_origin(&p, &y);
    add_ends(&p, &y);
    add_changes(&p, &y);
    add_over(&p, &y);
    add_cautions(&p, &y, &h);
    p.height = y + 3;
    return p;
}
