/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "timeline.h"

#include <math.h>

#include "numbers.h"
#include "words_pictures.h"

#define LEFT 0.4   /* share of the axis that the first seconds have when the scale changes */
#define CROWD 0.09 /* marks nearer than this share of the axis would run into one another */

static void set_part(struct timeline *line, double start, double end, int most, double period)
{
    double cycles = (end - start) / period;
    double width = cycles < most / 10 ? (end - start) / most : ceil(cycles / most - 1e-9) * period;
    int bins = (int)ceil((end - start) / width - 1e-9);
    line->part[line->parts].start = start;
    line->part[line->parts].width = width;
    line->part[line->parts++].bins = bins;
    line->bins += bins;
}

struct timeline timeline_of(double end, double frequency)
{
    struct timeline line = {.end = end, .split = end, .squeeze = 1};
    const double period = 1 / frequency;
    if (end <= TIMELINE_LONG) {
        set_part(&line, 0, end, CURVE_BINS, period);
        return line;
    }
    line.split = TIMELINE_FIRST;
    line.squeeze = TIMELINE_FIRST * (1 - LEFT) / LEFT / (end - TIMELINE_FIRST);
    set_part(&line, 0, TIMELINE_FIRST, (int)(LEFT * CURVE_BINS), period);
    set_part(&line, TIMELINE_FIRST, end, (int)((1 - LEFT) * CURVE_BINS), period);
    return line;
}

double timeline_time(const struct timeline *line, int k)
{
    int p = k >= line->part[0].bins;
    if (p) k -= line->part[0].bins;
    double end = p + 1 < line->parts ? line->split : line->end;
    return smaller(line->part[p].start + (k + 0.5) * line->part[p].width, end);
}

double timeline_share(const struct timeline *line, double t)
{
    double whole = line->split + (line->end - line->split) * line->squeeze;
    return (smaller(t, line->split) + larger(0, t - line->split) * line->squeeze) / whole;
}

void timeline_envelope(const struct timeline *line, struct sheet *s, const struct result *result,
                       const struct curve *curve, double *low, double *mean, double *high)
{
    for (int p = 0, at = 0; p < line->parts; at += line->part[p++].bins)
        curve_envelope(result, curve, line->part[p].bins, line->part[p].start, line->part[p].width,
                       low + at, mean + at, high + at);
    for (int k = 0; k < line->bins; k++) {
        double t = timeline_time(line, k);
        if (t > result->end && k > 0) return;
        sheet_reach(s, low[k], high[k]);
        sheet_cover(s, timeline_share(line, t), low[k], high[k]);
    }
}

/* The smallest usual step that leaves room between marks. */
static double tic_step(const struct timeline *line)
{
    static const double steps[] = {60, 120, 300, 600, 900, 1200, 1800, 3600, 7200, 10800, 21600};
    const int n = sizeof steps / sizeof steps[0];
    for (int i = 0; i < n; i++)
        if (timeline_share(line, line->split + steps[i]) - LEFT >= CROWD) return steps[i];
    return ceil((line->end - line->split) * CROWD / (1 - LEFT) / 86400) * 86400;
}

static void add_tic(struct sheet *s, double t, const char *name)
{
    struct fill *row = template_row(s->fill, "TICS");
    template_number(row, "AT", t);
    template_quoted(row, "NAME", name);
}

void timeline_fill(const struct timeline *line, struct sheet *s)
{
    template_number(s->fill, "END", line->end);
    template_number(s->fill, "SPLIT", line->split);
    template_number(s->fill, "SQUEEZE", line->squeeze);
    template_quoted(s->fill, "ALONG",
                    line->parts > 1 ? words_pictures_time_long : words_pictures_time_short);
    template_list(s->fill, "TICS");
    if (line->parts < 2) return;
    for (double t = 0; t <= line->split; t += 10)
        add_tic(s, t, arena_printf(s->arena, words_pictures_seconds, t));
    const double step = tic_step(line);
    const bool hours = step >= 3600;
    for (double t = step; t <= line->end * (1 + 1e-9); t += step)
        if (timeline_share(line, t) - LEFT >= CROWD)
            add_tic(s, t,
                    arena_printf(s->arena, hours ? words_pictures_hours : words_pictures_minutes,
                                 t / (hours ? 3600 : 60)));
}
