/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything of gnuplot's language stands in the templates; here the values for their blanks are
 * chosen. Each picture first asks whether there is something to draw. */
#include "plot.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "curves.h"
#include "gnuplot.h"
#include "numbers.h"
#include "plot_cycles.h"
#include "timeline.h"
#include "words_pictures.h"

#define CRESTS                                                                                     \
    2.8 /* twice the crest of a sine over its RMS: what a rectifier into a capacitor holds back */

const char *const plot_names[PLOTS] = {"turn-on", "first-cycles", "last-cycles", "inverse-voltage",
                                       "heat"};

enum { EVENT_CHARACTERS = 40 };

#define MINUS_MOST 0.1 /* of the limit */

#define LEAST_WATTS 0.1 /* what is less warms nothing */

/* ---- small things ---- */

static void add_event(struct sheet *s, double time, const char *label)
{
    if (!(time < s->run->end)) return;
    struct fill *row = template_row(s->fill, "EVENTS");
    template_number(row, "TIME", time);
    template_quoted(row, "LABEL", sheet_shortened(s->arena, label, EVENT_CHARACTERS));
}

/* Timed changes, and what tripped. */
static void add_events(struct sheet *s)
{
    template_list(s->fill, "EVENTS");
    for (int i = 1; i < s->t->setup->stages.n; i++) {
        const struct stage *stage = &s->t->setup->stages.at[i];
        if (stage->change) add_event(s, stage->time, stage->change);
    }
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *f = &s->run->figures.at[i];
        bool opens = f->measure == MEASURE_OPENS_AT;
        if (opens || f->measure == MEASURE_SHORTS_AT)
            add_event(s, f->value,
                      arena_printf(s->arena, "%s %s", f->subject,
                                   opens ? words_pictures_opens : words_pictures_shorts));
    }
}

static void begin(struct sheet *s, int plot)
{
    const struct setup *setup = s->t->setup;
    bool base = strcmp(setup->variant, "base") == 0;
    const char *title = setup->title ? setup->title : "";
    if (s->t->run->status == STATUS_INTERRUPTED)
        title = arena_printf(s->arena, words_pictures_interrupted, title);
    sheet_begin(s, title, base ? NULL : setup->variant, plot_names[plot]);
}

/* ---- ratings as lines ---- */

/* Mean potential at the end of the run; a point that is not in the trace is the reference. */
static double level_of(const struct sheet *s, const char *point)
{
    struct curve curve = curve_point(s->run, point);
    double mean = 0, alternating = 0;
    if (curve.plus >= 0)
        curve_mean(s->run, &curve, s->run->end - TRACE_TAIL / s->t->setup->frequency, &mean,
                   &alternating);
    return mean;
}

/* Rated and surge volts of the capacitors, laid on the mean potential of their minus; where that
 * moves the level much, as in a doubler, it would be wrong at the turn-on, and none is drawn. */
static void add_capacitors(struct sheet *s)
{
    const struct stage *stage = &s->t->setup->stages.at[0];
    for (int i = 0; i < stage->set->ratings.n; i++) {
        const struct rating *r = &stage->set->ratings.at[i];
        bool settled = r->measure == MEASURE_SETTLED_VOLTAGE;
        if (r->at_least || (!settled && r->measure != MEASURE_HIGHEST_VOLTAGE)) continue;
        const struct figure *highest = run_figure(s->run, r->subject, MEASURE_HIGHEST_VOLTAGE);
        if (!highest || r->limit > SHEET_SIGHT * highest->value) continue;
        for (int k = 0; k < stage->circuit->probes.n; k++) {
            const struct probe *p = &stage->circuit->probes.at[k];
            if (p->kind != PROBE_VOLTAGE || !(p->flags & PROBE_CAPACITOR) ||
                strcmp(p->subject, r->subject) != 0)
                continue;
            const char *to = p->to >= 0 ? stage->circuit->points.at[p->to] : NULL;
            const char *word = settled ? words_pictures_rated : words_pictures_surge;
            double minus = to ? level_of(s, to) : 0;
            if (fabs(minus) > MINUS_MOST * r->limit) continue;
            if (minus != 0) word = arena_printf(s->arena, words_pictures_above, word, to);
            sheet_rating(s, minus + r->limit, r->subject, r->limit, r->unit, word);
        }
    }
}

/* ---- the overview ---- */

static void add_rows(struct sheet *s, const struct timeline *line, const curves *all,
                     const double *values)
{
    for (int k = 0; k < line->bins; k++) {
        char text[24 * (3 * CURVES_MOST + 1)];
        int n = snprintf(text, sizeof text, "%.6g", timeline_time(line, k));
        for (int i = 0; i < 3 * all->n; i++)
            n += snprintf(text + n, sizeof text - (size_t)n, " %.5g", values[i * CURVE_BINS + k]);
        template_text(template_row(s->fill, "ENVELOPE"), "ROW", text);
    }
}

static void add_envelopes(struct sheet *s, const struct timeline *line, const curves *all)
{
    double *values = ARENA_ARRAY(s->arena, double, 3 * all->n * CURVE_BINS);
    for (int i = 0; i < all->n; i++) {
        double *low = values + 3 * i * CURVE_BINS;
        int style = sheet_style(s, all->at[i].name);
        timeline_envelope(line, s, s->run, &all->at[i], low, low + CURVE_BINS,
                          low + 2 * CURVE_BINS);
        struct fill *row = template_row(s->fill, "POINTS");
        template_quoted(row, "NAME", all->at[i].name);
        template_text(row, "STYLE", arena_printf(s->arena, "%d", style));
        template_text(row, "BAND", arena_printf(s->arena, "%d", style + SHEET_BAND));
        template_text(row, "LOW", arena_printf(s->arena, "%d", 3 * i + 2));
        template_text(row, "MEAN", arena_printf(s->arena, "%d", 3 * i + 3));
        template_text(row, "HIGH", arena_printf(s->arena, "%d", 3 * i + 4));
    }
    add_rows(s, line, all, values);
    size_t longest = 0;
    for (int i = 0; i < all->n; i++)
        if (strlen(all->at[i].name) > longest) longest = strlen(all->at[i].name);
    sheet_key(s, all->n, longest);
}

static const char *turn_on_sheet(struct sheet *s)
{
    curves points = curves_direct(s->arena, s->run);
    if (points.n == 0) return NULL;
    const struct timeline line = timeline_of(s->run->end, s->t->setup->frequency);
    timeline_fill(&line, s);
    const char *reference = s->t->setup->stages.at[0].circuit->reference;
    template_quoted(s->fill, "UPRIGHT",
                    arena_printf(s->arena, words_pictures_volts_to,
                                 reference ? reference : words_pictures_chassis));
    add_events(s);
    add_envelopes(s, &line, &points);
    add_capacitors(s);
    sheet_ratings(s);
    sheet_place_lines(s);
    sheet_range(s, "BOTTOM", "TOP");
    return "turn-on.gp";
}

/* ---- inverse voltage ---- */

static void add_inverse(struct sheet *s)
{
    const struct stage *stage = &s->t->setup->stages.at[0];
    for (int i = 0; i < stage->set->ratings.n; i++) {
        const struct rating *r = &stage->set->ratings.at[i];
        if (r->measure == MEASURE_INVERSE_VOLTAGE)
            sheet_rating(s, r->limit, r->subject, r->limit, r->unit, words_pictures_rated);
    }
}

static const char *volts(struct arena *arena, double value)
{
    char text[40];
    return arena_printf(arena, "%s", quantity_text(value, UNIT_VOLT, 3, text, sizeof text));
}

/* The trade's rule for a capacitor behind a half-wave or centre-tap rectifier: sqrt(8) times the
 * RMS volts of the plate. It holds where the plate swings evenly about the reference, so not in a
 * bridge. */
static void add_rule(struct sheet *s)
{
    curves plates = curves_plates(s->arena, s->run);
    double most = 0, from = s->run->end - TRACE_TAIL / s->t->setup->frequency;
    for (int i = 0; i < plates.n; i++) {
        double mean = 0, alternating = 0;
        curve_mean(s->run, &plates.at[i], larger(0, from), &mean, &alternating);
        if (fabs(mean) < 0.05 * alternating) most = larger(most, alternating);
    }
    if (most > 0)
        sheet_line(s, CRESTS * most, false,
                   arena_printf(s->arena, words_pictures_crest, CRESTS, volts(s->arena, most),
                                volts(s->arena, CRESTS * most)));
}

static void add_highest(struct sheet *s, const curves *all)
{
    const struct figure *worst = NULL;
    for (int i = 0; i < all->n; i++) {
        const struct figure *f = run_figure(s->run, all->at[i].name, MEASURE_INVERSE_VOLTAGE);
        if (f && (!worst || f->value > worst->value)) worst = f;
    }
    if (!worst || !(worst->value > 0) || isinf(worst->value)) return;
    const char *when = "";
    if (!isnan(worst->time)) when = arena_printf(s->arena, words_pictures_at, worst->time);
    sheet_line(s, worst->value, false,
               arena_printf(s->arena, words_pictures_highest, volts(s->arena, worst->value), when));
}

enum { INVERSE_BINS = 200 }; /* in which the curves are looked at for labels */

static const char *inverse_sheet(struct sheet *s)
{
    const curves sections = curves_inverse(s->arena, s->run);
    if (sections.n == 0) return NULL;
    double from = plot_last_from(s), width = (s->run->end - from) / INVERSE_BINS;
    double low[INVERSE_BINS], mean[INVERSE_BINS], high[INVERSE_BINS];
    const curves all = curves_apart(s->arena, s->run, &sections, from, s->run->end);
    for (int i = 0; i < all.n; i++) {
        curve_envelope(s->run, &all.at[i], INVERSE_BINS, from, width, low, mean, high);
        for (int k = 0; k < INVERSE_BINS; k++) {
            sheet_reach(s, low[k], high[k]);
            sheet_cover(s, (k + 0.5) / INVERSE_BINS, low[k], high[k]);
        }
    }
    template_number(s->fill, "FROM", from);
    template_number(s->fill, "SPAN", 1e3 * (s->run->end - from));
    plot_csv_rows(s, from, s->run->end);
    template_quoted(s->fill, "ALONG", arena_printf(s->arena, words_pictures_time_from, from));
    template_quoted(s->fill, "UPRIGHT", words_pictures_inverse);
    plot_curves(s, "INVERSE", &all);
    add_highest(s, &sections);
    add_rule(s);
    add_inverse(s);
    sheet_ratings(s);
    sheet_place_lines(s);
    sheet_range(s, "BOTTOM", "TOP");
    return "inverse-voltage.gp";
}

/* ---- heat ---- */

/* Limits of the bodies drawn. */
static void add_warmth(struct sheet *s, const curves *bodies)
{
    for (int k = 0; k < s->t->setup->stages.n; k++) {
        const struct set *set = s->t->setup->stages.at[k].set;
        for (int i = 0; i < set->ratings.n; i++) {
            const struct rating *r = &set->ratings.at[i];
            bool drawn = false;
            for (int j = 0; j < bodies->n && r->measure == MEASURE_TEMPERATURE; j++)
                drawn |= strcmp(bodies->at[j].name, r->subject) == 0;
            if (drawn)
                sheet_rating(s, r->limit - ZERO_CELSIUS, r->subject, r->limit, r->unit,
                             words_pictures_limit);
        }
    }
}

/* The hottest bodies and their limits; without any, the watts have the whole sheet. */
static void add_bodies(struct sheet *s, const struct timeline *line, const struct result *record)
{
    curves bodies = curves_hottest(s->arena, record, "degC");
    double low[CURVE_BINS], mean[CURVE_BINS], high[CURVE_BINS];
    plot_curves(s, "BODIES", &bodies);
    template_list(s->fill, "PANEL");
    template_text(s->fill, "PANELS", bodies.n > 0 ? "0.50" : "0.90");
    s->low = HUGE_VAL;
    for (int i = 0; i < bodies.n; i++)
        timeline_envelope(line, s, record, &bodies.at[i], low, mean, high);
    if (bodies.n == 0) s->low = s->high = 0;
    else template_row(s->fill, "PANEL");
    add_warmth(s, &bodies);
    sheet_ratings(s);
    s->high = larger(s->high, s->low + 10);
    s->close = 0.11;
    s->letter = 0.0114 / (sheet_beside(s, 0.72) - 0.14);
    sheet_place_lines(s);
    sheet_range(s, "BODIES_LOW", "BODIES_HIGH");
}

static const char *heat_sheet(struct sheet *s)
{
    struct result record = run_heat(s->run);
    if (!record.trace || trace_rows(record.trace) < 2) return NULL;
    curves watts = curves_hottest(s->arena, &record, "W");
    double high = 0, low, most;
    for (int i = 0; i < watts.n; i++)
        if (curve_range(&record, &watts.at[i], 0, record.end, &low, &most))
            high = larger(high, most);
    if (!(high > LEAST_WATTS)) return NULL;
    const struct timeline line = timeline_of(record.end, s->t->setup->frequency);
    timeline_fill(&line, s);
    add_events(s);
    plot_curves(s, "WATTS", &watts);
    template_number(s->fill, "WATTS_LOW", LEAST_WATTS);
    template_number(s->fill, "WATTS_HIGH", 1.5 * high);
    add_bodies(s, &line, &record);
    return "heat.gp";
}

/* ---- all of them ---- */

struct plots plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                        const struct turn_on *t, const struct trace *csv,
                        const struct trace *restart_csv, const struct plot_options *options)
{
    static const char *(*const sheets[PLOTS])(struct sheet *) = {
        turn_on_sheet, plot_first_cycles, plot_last_cycles, inverse_sheet, heat_sheet};
    struct plots plots = {.format = options->format};
    struct sheet s = {.arena = arena,
                      .t = t,
                      .run = t->run,
                      .csv = csv,
                      .restart_csv = restart_csv,
                      .file = "../trace.csv",
                      .options = options};
    bool any = t->run->trace && trace_rows(t->run->trace) >= 2;
    for (int k = 0; k < PLOTS; k++) {
        begin(&s, k);
        const char *template = any ? sheets[k](&s) : NULL;
        if (!template) continue;
        writer_file(w, arena_printf(arena, "plots/%s.gp", plot_names[k]));
        plots.written[k] = template_write(w, diags, options->templates, template, s.fill);
    }
    writer_pause(w);
    return plots;
}

/* A process each: the svg terminal carries pens over from one picture into the next even after
 * `reset session` (gnuplot 5.4), and a start costs but some 15 ms. */
const char *plot_draw_scripts(struct writer *w, struct arena *arena, const char *const *names,
                              int n, const char *format, const char *gnuplot, bool (*stop)(void))
{
    const char *folder = arena_printf(arena, "%s/plots", writer_partial(w)), *failed = NULL;
    for (int k = 0; k < n && !writer_message(w); k++) {
        const char *script = arena_printf(arena, "%s.gp", names[k]);
        int did = gnuplot_run(gnuplot, folder, script, GNUPLOT_SECONDS, stop);
        bool drawn =
            did == 0 && writer_adopt(w, arena_printf(arena, "plots/%s.%s", names[k], format));
        if (!drawn && !failed) failed = script;
        if (did == GNUPLOT_ENDED || (stop && stop())) break;
    }
    return failed;
}

const char *plot_draw(struct writer *w, struct arena *arena, const struct plots *plots,
                      const char *gnuplot)
{
    const char *names[PLOTS];
    int n = 0;
    for (int k = 0; k < PLOTS; k++)
        if (plots->written[k]) names[n++] = plot_names[k];
    return plot_draw_scripts(w, arena, names, n, plots->format, gnuplot, NULL);
}
