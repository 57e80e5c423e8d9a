/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows go downwards: the first is at height 0, the next at -1. */
#include "tolerances_plot.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "numbers.h"
#include "sheet.h"
#include "tolerances_rows.h"
#include "words_pictures.h"
#include "words_tolerances.h"

enum { BANDS_MOST = 12, FIGURES_MOST = 5, BARS_MOST = 4, NAME_MOST = 34 };

#define WORTH 0.02 /* a share below has no bar */

struct chosen {
    const struct tolerances_row *at[BANDS_MOST];
    int n;
};

static bool is_band(const struct tolerances *t, const struct tolerances_row *row)
{
    return isfinite(row->spread.most) &&
           (tolerances_rows_highest(t, row) || tolerances_rows_point(t, row));
}

static struct chosen choose(const struct tolerances *t, bool shares, int most)
{
    struct chosen c = {.n = 0};
    for (int i = 0; i < t->rows.n && c.n < most; i++) {
        const struct tolerances_row *row = &t->rows.at[i];
        bool told = false;
        for (int k = 0; k < c.n && shares; k++) told |= tolerances_rows_alike(c.at[k], row);
        if (is_band(t, row) && !told && (!shares || row->has_shares)) c.at[c.n++] = row;
    }
    return c;
}

static const char *whole(struct arena *arena, int n)
{
    return arena_printf(arena, "%d", n);
}

static void add_name(struct sheet *s, const char *list, const char *blank, const char *name,
                     double at)
{
    struct fill *row = template_row(s->fill, list);
    template_quoted(row, blank, sheet_shortened(s->arena, name, NAME_MOST));
    template_number(row, "AT", at);
}

/* ---- bands ---- */

/* The rating held against the volts of a row: its own, of a point that of the capacitor there. */
static const struct rating *rating_of(const struct tolerances *t, const struct tolerances_row *row)
{
    const struct set *set = t->setup->stages.at[0].set;
    if (row->rating || row->of != TOLERANCES_RUN) return row->rating;
    for (int i = 0; i < t->rows.n; i++) {
        const struct tolerances_row *other = &t->rows.at[i];
        const struct part *part = other->rating ? set_find(set, other->subject) : NULL;
        struct part_way way;
        if (other->of == row->of && other->measure == row->measure && part &&
            part_is(part, ROLE_CAPACITOR) && part_way(set, part, 0, &way) &&
            strcmp(way.point[0], row->subject) == 0 &&
            strcmp(way.point[1], set->circuit->reference) == 0)
            return other->rating;
    }
    return NULL;
}

static void add_limit(struct sheet *s, const struct rating *rating, double at, double right)
{
    char text[64];
    struct fill *row = template_row(s->fill, "LIMITS");
    bool far = rating->limit > 0.8 * right, near = rating->limit < 0.5 * right;
    quantity_text(rating->limit, rating->unit, 3, text, sizeof text);
    template_number(row, "AT", at);
    template_number(row, "LEVEL", rating->limit);
    template_quoted(row, "LABEL", text);
    template_text(row, "ALIGN", far ? "right" : near ? "left" : "center");
    template_text(row, "SHIFT", far || near ? "0.5" : "0");
    template_text(row, "RISE",
                  near ? "-0.3" : "0.42"); /* on the left the names are above the bands */
}

static void add_band(struct sheet *s, const struct tolerances *t, const struct tolerances_row *row,
                     int at)
{
    const struct tolerances_spread *b = &row->spread;
    char text[200];
    snprintf(text, sizeof text, "%d %.6g %.6g %.6g %.6g %.6g %.6g", at, b->least, b->p05, b->p50,
             b->p95, b->most, row->nominal);
    template_text(template_row(s->fill, "ROWS"), "ROW", text);
    add_name(s, "NAMES", "NAME",
             tolerances_rows_point(t, row) ? row->subject : tolerances_rows_short(s->arena, row),
             at);
    sheet_reach(s, smaller(b->least, row->nominal), larger(b->most, row->nominal));
}

static bool write_bands(struct sheet *s, const struct tolerances *t, struct writer *w,
                        struct diags *diags)
{
    struct chosen c = choose(t, false, BANDS_MOST);
    if (c.n == 0) return false;
    sheet_begin(s, scenario_title(t->scenario) ? scenario_title(t->scenario) : "", NULL, "bands");
    template_list(s->fill, "LIMITS");
    for (int i = 0; i < c.n; i++) add_band(s, t, c.at[i], -i);
    for (int i = 0; i < c.n; i++) {
        const struct rating *r = rating_of(t, c.at[i]);
        if (r && r->limit <= SHEET_SIGHT * s->high) sheet_reach(s, r->limit, r->limit);
    }
    for (int i = 0; i < c.n; i++) {
        const struct rating *r = rating_of(t, c.at[i]);
        if (r && r->limit <= s->high) add_limit(s, r, -i, s->high);
    }
    sheet_range(s, "LEFT", "RIGHT");
    template_number(s->fill, "BOTTOM", 0.4 - c.n);
    template_quoted(s->fill, "ALONG", words_tolerances_volts_axis);
    template_quoted(s->fill, "BAND_KEY", words_tolerances_band_key);
    template_quoted(s->fill, "EXTREMES_KEY", words_tolerances_extremes_key);
    template_quoted(s->fill, "HALF_KEY", words_tolerances_half_key);
    template_quoted(s->fill, "TYPED_KEY", words_tolerances_typed_key);
    template_quoted(s->fill, "LIMIT_KEY", words_pictures_rated);
    writer_file(w, "plots/bands.gp");
    return template_write(w, diags, s->options->templates, "bands.gp", s->fill);
}

/* ---- bars ---- */

/* Returns the height below the last bar. */
static int add_bars(struct sheet *s, const struct tolerances *t, const struct tolerances_row *row,
                    int at)
{
    add_name(s, "HEADS", "HEAD", tolerances_rows_short(s->arena, row), at--);
    for (int nth = 0; nth < BARS_MOST; nth++) {
        int g = tolerances_foremost(t, row, nth);
        if (g < 0 || (nth > 0 && row->share[g] < WORTH)) break;
        template_text(template_row(s->fill, "ROWS"), "ROW",
                      arena_printf(s->arena, "%s %.6g %.6g", whole(s->arena, at),
                                   100 * row->share[g], 100 * row->error[g]));
        add_name(s, "NAMES", "NAME", tolerances_rows_group(s->arena, t, g), at--);
    }
    return at;
}

static bool write_bars(struct sheet *s, const struct tolerances *t, struct writer *w,
                       struct diags *diags)
{
    struct chosen c = choose(t, true, FIGURES_MOST);
    int at = 0;
    if (c.n == 0) return false;
    sheet_begin(s, scenario_title(t->scenario) ? scenario_title(t->scenario) : "", NULL,
                "influence");
    for (int i = 0; i < c.n; i++) at = add_bars(s, t, c.at[i], at);
    template_number(s->fill, "BOTTOM", at + 0.4);
    template_quoted(s->fill, "ALONG", words_tolerances_share_axis);
    writer_file(w, "plots/influence.gp");
    return template_write(w, diags, s->options->templates, "influence.gp", s->fill);
}

plot_list tolerances_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                                const struct tolerances *t, const struct plot_options *options)
{
    static const char *const endings[] = {"gp", "svg", "png"};
    struct sheet s = {.arena = arena, .options = options};
    plot_list names = {0};
    for (int k = 0; k < 3; k++) {
        writer_retire(w, arena_printf(arena, "plots/bands.%s", endings[k]));
        writer_retire(w, arena_printf(arena, "plots/influence.%s", endings[k]));
    }
    if (write_bands(&s, t, w, diags)) array_push(arena, &names, "bands");
    if (write_bars(&s, t, w, diags)) array_push(arena, &names, "influence");
    writer_pause(w);
    return names;
}
