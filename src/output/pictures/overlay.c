/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All curves of a picture share one grid of times, so that they stand in one block of rows; a run
 * that ended earlier has gaps there. */
#include "overlay.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "curves.h"
#include "numbers.h"
#include "timeline.h"
#include "words_pictures.h"

enum { NAME_MOST = 40 }; /* letters of a column's name */

#define CLEARANCE 0.005 /* of the highest volts, below zero; sheet_range adds its air */

struct overlay {
    struct sheet sheet;
    const struct comparison *c;
    const char *point;
    int column[OVERLAY_CURVES], n;
    struct timeline line;
};

static struct curve curve_in(const struct overlay *o, int k)
{
    return curve_point(o->c->turn_ons[o->column[k]]->run, o->point);
}

static void set_line(struct overlay *o)
{
    double end = 0;
    for (int k = 0; k < o->n; k++) end = larger(end, o->c->turn_ons[o->column[k]]->run->end);
    o->line = timeline_of(end, o->c->turn_ons[0]->setup->frequency);
}

static void add_curve(struct overlay *o, int k, double *values)
{
    const struct result *run = o->c->turn_ons[o->column[k]]->run;
    struct arena *arena = o->sheet.arena;
    struct curve curve = curve_in(o, k);
    double *low = values, *mean = low + CURVE_BINS, *high = mean + CURVE_BINS;
    timeline_envelope(&o->line, &o->sheet, run, &curve, low, mean, high);
    for (int i = 1; i < o->line.bins; i++)
        if (timeline_time(&o->line, i) > run->end) low[i] = mean[i] = high[i] = (double)NAN;
    struct fill *row = template_row(o->sheet.fill, "COLUMNS");
    template_quoted(row, "NAME", sheet_shortened(arena, o->c->names[o->column[k]], NAME_MOST));
    template_text(row, "STYLE", k ? arena_printf(arena, "%d", k + 1) : "23");
    template_text(row, "EDGE", arena_printf(arena, "%d", k + 1));
    template_text(row, "BAND", arena_printf(arena, "%d", k + 1 + SHEET_BAND));
    template_text(row, "LOW", arena_printf(arena, "%d", 3 * k + 2));
    template_text(row, "MEAN", arena_printf(arena, "%d", 3 * k + 3));
    template_text(row, "HIGH", arena_printf(arena, "%d", 3 * k + 4));
}

static void add_rows(struct overlay *o, const double *values)
{
    for (int i = 0; i < o->line.bins; i++) {
        char text[24 * (3 * OVERLAY_CURVES + 1)];
        int n = snprintf(text, sizeof text, "%.6g", timeline_time(&o->line, i));
        for (int k = 0; k < 3 * o->n; k++) {
            double v = values[k * CURVE_BINS + i];
            n += isnan(v) ? snprintf(text + n, sizeof text - (size_t)n, " ?")
                          : snprintf(text + n, sizeof text - (size_t)n, " %.5g", v);
        }
        template_text(template_row(o->sheet.fill, "ROWS"), "ROW", text);
    }
}

/* Ratings of the capacitors from this point to the reference. */
static void add_limits(struct overlay *o, const struct turn_on *t)
{
    const struct stage *stage = &t->setup->stages.at[0];
    int point = circuit_find_point(stage->circuit, o->point);
    for (int i = 0; i < stage->set->ratings.n; i++) {
        const struct rating *r = &stage->set->ratings.at[i];
        bool settled = r->measure == MEASURE_SETTLED_VOLTAGE;
        if (r->at_least || (!settled && r->measure != MEASURE_HIGHEST_VOLTAGE)) continue;
        for (int k = 0; k < stage->circuit->probes.n; k++) {
            const struct probe *p = &stage->circuit->probes.at[k];
            if (!(p->flags & PROBE_CAPACITOR) || p->kind != PROBE_VOLTAGE || p->from != point)
                continue;
            bool to_reference = p->to < 0 || strcmp(stage->circuit->points.at[p->to],
                                                    stage->circuit->reference) == 0;
            if (!to_reference || strcmp(p->subject, r->subject) != 0) continue;
            sheet_rating(&o->sheet, r->limit, r->subject, r->limit, r->unit,
                         settled ? words_pictures_rated : words_pictures_surge);
        }
    }
}

static bool write_picture(struct overlay *o, struct writer *w, struct diags *diags,
                          const char *name)
{
    struct sheet *s = &o->sheet;
    const char *title = o->c->turn_ons[0]->setup->title;
    double *values = ARENA_ARRAY(s->arena, double, 3 * OVERLAY_CURVES * CURVE_BINS);
    if (!title) title = "";
    if (o->c->missing) title = arena_printf(s->arena, words_pictures_interrupted, title);
    sheet_begin(s, title, NULL, name);
    set_line(o);
    size_t longest = 0;
    for (int k = 0; k < o->n; k++) {
        const char *column = o->c->names[o->column[k]];
        if (strlen(column) > longest) longest = strlen(column);
        add_curve(o, k, values + 3 * k * CURVE_BINS);
    }
    sheet_key(s, o->n, longest < NAME_MOST ? longest : NAME_MOST);
    add_rows(o, values);
    for (int k = 0; k < o->n; k++) add_limits(o, o->c->turn_ons[o->column[k]]);
    sheet_ratings(s);
    sheet_place_lines(s);
    sheet_reach(s, -CLEARANCE * s->high, s->high); /* a dead set's line beside the axis */
    sheet_range(s, "BOTTOM", "TOP");
    timeline_fill(&o->line, s);
    template_quoted(s->fill, "UPRIGHT", arena_printf(s->arena, "%s [V]", o->point));
    writer_file(w, arena_printf(s->arena, "plots/%s.gp", name));
    return template_write(w, diags, s->options->templates, "overlay.gp", s->fill);
}

/* Fills the picture with the first column and the next others from `from` on that have the point;
 * returns where the next picture goes on. */
static int choose_columns(struct overlay *o, int from)
{
    int k = 0;
    for (o->n = 0; k < o->c->columns && o->n < OVERLAY_CURVES; k++) {
        const struct result *run = o->c->turn_ons[k]->run;
        if (k > 0 && k < from) continue;
        if (run->trace && trace_rows(run->trace) >= 2 && curve_point(run, o->point).plus >= 0)
            o->column[o->n++] = k;
    }
    return k;
}

/* A letter that every file system takes in a name, and no shell takes for anything else. */
static char plain(char c)
{
    bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    return letter || c == '+' || (unsigned char)c >= 0x80 ? c : '-';
}

static bool is_taken(const overlay_pictures *names, const char *name)
{
    for (int i = 0; i < names->n; i++)
        if (strcmp(names->at[i].name, name) == 0) return true;
    return false;
}

/* `point-first-filter`, further ones `point-first-filter-2`; of two points that would be called
 * alike the later one has a number as well. */
static const char *picture_name(struct arena *arena, const overlay_pictures *names,
                                const char *point, int part)
{
    char *name = arena_printf(arena, "%s%.60s", OVERLAY_PREFIX, point);
    for (char *p = name + strlen(OVERLAY_PREFIX); *p; p++) *p = plain(*p);
    const char *free_name = part > 1 ? arena_printf(arena, "%s-%d", name, part) : name;
    for (int n = part + 1; is_taken(names, free_name); n++)
        free_name = arena_printf(arena, "%s-%d", name, n);
    return free_name;
}

overlay_pictures overlay_write(struct writer *w, struct diags *diags, struct arena *arena,
                               const struct comparison *c, const struct plot_options *options)
{
    struct overlay o = {.sheet = {.arena = arena, .options = options}, .c = c};
    overlay_pictures names = {0};
    const struct result *first = c->turn_ons[0]->run;
    if (!first->trace || trace_rows(first->trace) < 2) return names;
    curves points = curves_direct(arena, first);
    for (int i = 0; i < points.n && i < OVERLAY_POINTS; i++) {
        o.point = points.at[i].name;
        int from = 0;
        for (int part = 1; from < c->columns && part <= OVERLAY_PARTS; part++) {
            const char *name = picture_name(arena, &names, o.point, part);
            from = choose_columns(&o, from);
            if (o.n == 0 || (part > 1 && o.n < 2)) continue;
            struct overlay_picture picture = {name, o.point};
            if (write_picture(&o, w, diags, name)) array_push(arena, &names, picture);
        }
    }
    writer_pause(w);
    return names;
}

bool overlay_write_point(struct writer *w, struct diags *diags, struct arena *arena,
                         const struct comparison *c, const struct plot_options *options,
                         const char *point, const char *name)
{
    struct overlay o = {.sheet = {.arena = arena, .options = options}, .c = c, .point = point};
    choose_columns(&o, 0);
    bool good = o.n > 0 && write_picture(&o, w, diags, name);
    writer_pause(w);
    return good;
}
