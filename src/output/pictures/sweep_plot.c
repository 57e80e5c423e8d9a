/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values that are no quantities stand evenly along the axis under their names; a list of quantities
 * over eightfold or more stands on a logarithmic axis. */
#include "sweep_plot.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "numbers.h"
#include "sheet.h"
#include "sort.h"
#include "words_pictures.h"

enum { NAMES_MOST = 24, NAME_MOST = 40, TICS_MOST = 8, POINTS_MOST = 60, COVERS = 16 };

static const struct picture {
    const char *name, *upright;
    enum measure_panel panel;
    double scale; /* of the upright axis */
} pictures[SWEEP_PLOTS] = {{"volts", words_pictures_settled_volts, PANEL_VOLTS, 1},
                           {"ripple", words_pictures_ripple, PANEL_RIPPLE, 1},
                           {"peaks", words_pictures_peaks, PANEL_PEAKS, 1},
                           {"winding", words_pictures_winding, PANEL_WINDING, 1e3}};

struct curve_of {
    int column; /* of the table */
    int second; /* value of the second sweep */
    const char *name;
};

struct sweep_picture {
    struct sheet sheet;
    const struct try_study *study;
    const struct picture *picture;
    struct curve_of curve[SWEEP_CURVES];
    int n;
    double left, right; /* of the axis along */
    bool wide;          /* it is logarithmic */
};

/* ---- the axis along ---- */

struct along {
    double scale;
    const char *unit;
};

static struct along along_of(enum unit unit)
{
    switch (unit) {
    case UNIT_FARAD: return (struct along){1e6, "uF"};
    case UNIT_AMPERE: return (struct along){1e3, "mA"};
    case UNIT_CELSIUS: return (struct along){1, "K"};
    default: return (struct along){1, quantity_symbol(unit)};
    }
}

/* A mark's name is a format to gnuplot. */
static const char *mark_name(struct arena *arena, const char *text)
{
    char *name = arena_alloc(arena, 2 * strlen(text) + 1), *to = name;
    for (const char *s = text; *s; s++) {
        if (*s == '%') *to++ = '%';
        *to++ = *s;
    }
    return name;
}

static void add_axis(struct sweep_picture *p)
{
    const struct sweep *first = &p->study->sweeps[0];
    struct arena *arena = p->sheet.arena;
    struct along along = along_of(first->unit);
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (int i = 0; i < first->values.n; i++) {
        low = smaller(low, first->values.at[i].value * along.scale);
        high = larger(high, first->values.at[i].value * along.scale);
    }
    bool wide = first->numeric && low > 0 && high > 8 * low;
    const char *title = first->path;
    if (first->numeric && along.unit[0])
        title = arena_printf(arena, "%s [%s]", first->path, along.unit);
    template_quoted(p->sheet.fill, "ALONG", title);
    template_text(p->sheet.fill, "LOGARITHMIC", wide ? "1" : "0");
    double air = first->values.n > 1 ? 0.02 * (high - low) : 0.1 * fabs(high) + 0.1;
    if (!first->numeric) low = 0, high = first->values.n - 1, air = 0.5;
    p->wide = wide;
    p->left = wide ? low / 1.05 : low - air;
    p->right = wide ? high * 1.05 : high + air;
    template_number(p->sheet.fill, "LEFT", p->left);
    template_number(p->sheet.fill, "RIGHT", p->right);
    bool at_values = !first->numeric || (wide && first->values.n <= TICS_MOST);
    template_list(p->sheet.fill, "NAMES");
    for (int i = 0; at_values && i < first->values.n && i < NAMES_MOST; i++) {
        const struct sweep_value *v = &first->values.at[i];
        struct fill *row = template_row(p->sheet.fill, "NAMES");
        template_quoted(row, "NAME",
                        first->numeric ? arena_printf(arena, "%.4g", v->value * along.scale)
                                       : mark_name(arena, sheet_shortened(arena, v->text, 16)));
        template_number(row, "AT", first->numeric ? v->value * along.scale : i);
    }
    template_text(p->sheet.fill, "OWN_TICS", at_values ? "1" : "0");
}

/* ---- curves ---- */

static void choose_curves(struct sweep_picture *p)
{
    const struct try_study *y = p->study;
    int second = y->n > 1 ? y->sweeps[1].values.n : 1;
    p->n = 0;
    for (int i = 0; i < y->table->columns.n; i++) {
        const struct trial_column *c = &y->table->columns.at[i];
        const enum measure_panel panel = measure_table[c->measure].panel;
        if (panel != p->picture->panel) continue;
        if (y->n == 1 && p->n < SWEEP_CURVES) p->curve[p->n++] = (struct curve_of){i, 0, c->head};
        else if (y->n > 1 && (p->n == 0 || panel == PANEL_VOLTS || panel == PANEL_RIPPLE))
            p->curve[0].column = i, p->n = 1;
    }
    if (y->n == 1 || p->n == 0) return;
    int column = p->curve[0].column, shown = second < SWEEP_CURVES ? second : SWEEP_CURVES;
    for (p->n = 0; p->n < shown; p->n++) {
        int k = shown > 1 ? p->n * (second - 1) / (shown - 1) : 0;
        p->curve[p->n] = (struct curve_of){column, k,
                                           arena_printf(p->sheet.arena, "%s=%s", y->sweeps[1].path,
                                                        y->sweeps[1].values.at[k].text)};
    }
}

static double value_of(const struct sweep_picture *p, int i, const struct curve_of *curve)
{
    const struct try_study *y = p->study;
    int second = y->n > 1 ? y->sweeps[1].values.n : 1, row = i * second + curve->second;
    return y->table->rows.at[row].cells[curve->column].value * p->picture->scale;
}

struct place_of {
    double x;
    int row;
};

static int compare_places(const void *a, const void *b)
{
    double x = ((const struct place_of *)a)->x, y = ((const struct place_of *)b)->x;
    return (x > y) - (x < y);
}

static double share(const struct sweep_picture *p, double x)
{
    return p->wide ? log(x / p->left) / log(p->right / p->left)
                   : (x - p->left) / (p->right - p->left);
}

/* Labels keep out of the way of the straight lines between points. */
static void cover(struct sweep_picture *p, const struct curve_of *curve,
                  const struct place_of *places, int i)
{
    double to = share(p, places[i].x), at = i > 0 ? share(p, places[i - 1].x) : to,
           v = value_of(p, places[i].row, curve),
           before = i > 0 ? value_of(p, places[i - 1].row, curve) : v;
    for (int k = 1; k <= COVERS && isfinite(before) && isfinite(v); k++) {
        double part = (double)k / COVERS, level = before + part * (v - before);
        sheet_cover(&p->sheet, at + part * (to - at), level, level);
    }
}

/* Rows in the order of the values, so that a list out of order still makes a curve. */
static void add_rows(struct sweep_picture *p)
{
    const struct sweep *first = &p->study->sweeps[0];
    double scale = along_of(first->unit).scale;
    int n = first->values.n;
    struct place_of *places = ARENA_ARRAY(p->sheet.arena, struct place_of, n);
    for (int i = 0; i < n; i++)
        places[i] = (struct place_of){first->numeric ? first->values.at[i].value * scale : i, i};
    sort_stable(places, n, sizeof *places, compare_places);
    for (int i = 0; i < n; i++) {
        char text[24 * (SWEEP_CURVES + 1)];
        int at = snprintf(text, sizeof text, "%.9g", places[i].x);
        for (int k = 0; k < p->n; k++) {
            double v = value_of(p, places[i].row, &p->curve[k]);
            bool good = isfinite(v);
            if (good) sheet_reach(&p->sheet, v, v);
            cover(p, &p->curve[k], places, i);
            at += good ? snprintf(text + at, sizeof text - (size_t)at, " %.6g", v)
                       : snprintf(text + at, sizeof text - (size_t)at, " ?");
        }
        template_text(template_row(p->sheet.fill, "ROWS"), "ROW", text);
    }
}

static void add_curves(struct sweep_picture *p)
{
    size_t longest = 0;
    for (int k = 0; k < p->n; k++) {
        struct fill *row = template_row(p->sheet.fill, "COLUMNS");
        template_quoted(row, "NAME", sheet_shortened(p->sheet.arena, p->curve[k].name, NAME_MOST));
        template_text(row, "STYLE", arena_printf(p->sheet.arena, "%d", k + 1));
        template_text(row, "COLUMN", arena_printf(p->sheet.arena, "%d", k + 2));
        if (strlen(p->curve[k].name) > longest) longest = strlen(p->curve[k].name);
    }
    sheet_key(&p->sheet, p->n, longest < NAME_MOST ? longest : NAME_MOST);
    bool few = p->study->sweeps[0].values.n <= POINTS_MOST;
    template_text(p->sheet.fill, "WITH", few ? "linespoints" : "lines");
}

/* One line a rating; those in sight only. */
static void add_limits(struct sweep_picture *p)
{
    for (int k = 0; k < p->n; k++) {
        const struct trial_column *c = &p->study->table->columns.at[p->curve[k].column];
        double level = c->limit * p->picture->scale;
        if (isnan(level) || (k > 0 && p->study->n > 1)) continue;
        const enum measure_panel panel = p->picture->panel;
        const char *what = panel == PANEL_VOLTS ? words_pictures_rated
                           : c->of == TRIAL_RUN && panel == PANEL_PEAKS &&
                                   c->measure == MEASURE_RUNNING_PEAK_CURRENT
                               ? words_pictures_running_rated
                           : panel == PANEL_PEAKS ? words_pictures_restart_rated
                                                  : words_pictures_rated;
        sheet_rating(&p->sheet, level, c->limit_of, c->limit, c->unit, what);
    }
    sheet_ratings(&p->sheet);
}

static bool write_picture(struct sweep_picture *p, struct writer *w, struct diags *diags)
{
    struct sheet *s = &p->sheet;
    const struct try_study *y = p->study;
    const char *upright = p->picture->upright;
    sheet_begin(s, y->title ? y->title : "", NULL, p->picture->name);
    add_axis(p);
    add_rows(p);
    add_curves(p);
    add_limits(p);
    sheet_place_lines(s);
    sheet_range(s, "BOTTOM", "TOP");
    if (y->n > 1)
        upright = arena_printf(s->arena, "%s [%s]", y->table->columns.at[p->curve[0].column].head,
                               p->picture->scale > 1              ? "mA"
                               : p->picture->panel == PANEL_PEAKS ? "A"
                                                                  : "V");
    template_quoted(s->fill, "UPRIGHT", upright);
    writer_file(w, arena_printf(s->arena, "plots/%s.gp", p->picture->name));
    return template_write(w, diags, s->options->templates, "sweep.gp", s->fill);
}

plot_list sweep_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                           const struct try_study *study, const struct plot_options *options)
{
    struct sweep_picture p = {.sheet = {.arena = arena, .options = options}, .study = study};
    plot_list names = {0};
    for (int i = 0; i < SWEEP_PLOTS; i++) {
        p.picture = &pictures[i];
        choose_curves(&p);
        if (p.n == 0 || study->sweeps[0].values.n < 2) continue;
        if (write_picture(&p, w, diags)) array_push(arena, &names, p.picture->name);
    }
    writer_pause(w);
    return names;
}
