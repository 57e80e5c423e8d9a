/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One row a figure, in the order they were judged in. */
#include "figures_csv.h"

#include <math.h>
#include <stdio.h>

#include "overlay.h"

static void write_rating(struct writer *w, const struct rating *rating)
{
    if (rating) writer_number(w, rating->limit);
    writer_text(w, ",");
    if (!rating || !rating->source) return;
    if (!rating->system || !rating->system[0]) {
        writer_field(w, rating->source);
        return;
    }
    char source[512];
    int n = snprintf(source, sizeof source, "%s (%s)", rating->source, rating->system);
    writer_field(w, n > 0 && (size_t)n < sizeof source ? source : rating->source);
}

static void write_row(struct writer *w, const struct judged *row)
{
    const struct figure *f = &row->figure;
    writer_field(w, row->variant);
    writer_text(w, ",");
    writer_field(w, f->subject);
    writer_text(w, ",");
    writer_field(w, measure_table[f->measure].name);
    writer_text(w, ",");
    writer_number(w, f->value);
    writer_text(w, ",");
    writer_field(w, quantity_symbol(f->unit));
    writer_text(w, ",");
    write_rating(w, row->rating);
    writer_text(w, ",");
    writer_field(w, judge_verdict_text(row->verdict));
    writer_text(w, ",");
    if (!isnan(f->time)) writer_number(w, f->time);
    writer_text(w, "\n");
}

/* Whatever a run with figures writes, so that nothing of an earlier one stands beside new ones. */
static void retire_run(struct writer *w)
{
    static const char *const files[] = {"trace.csv",       "heat.csv",        "restart.csv",
                                        "try.csv",         "interrupted.csv", "buy-list.csv",
                                        "bench-sheet.csv", "order.csv"};
    static const char *const plots[] = {"turn-on",         "first-cycles", "last-cycles",
                                        "inverse-voltage", "heat",         "volts",
                                        "ripple",          "peaks",        "winding"};
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) writer_retire(w, files[i]);
    for (size_t i = 0; i < sizeof plots / sizeof plots[0]; i++) writer_retire_plot(w, plots[i]);
    writer_retire_plots(w, OVERLAY_PREFIX);
}

void figures_csv_begin(struct writer *w, const char *name)
{
    retire_run(w);
    writer_file(w, name);
    writer_text(w, "variant,subject,measure,value,unit,limit,limit_source,verdict,time_s\n");
}

void figures_csv_add(struct writer *w, const struct judgement *judgement)
{
    for (int i = 0; i < judgement->all.n; i++) write_row(w, &judgement->all.at[i]);
}

void figures_csv_mark(struct writer *w, const char *variant, double time)
{
    struct judged row = {.variant = variant,
                         .figure = {.subject = "set",
                                    .measure = MEASURE_INTERRUPTED_AT,
                                    .value = time,
                                    .unit = UNIT_SECOND,
                                    .time = (double)NAN}};
    write_row(w, &row);
}

void figures_csv_write(struct writer *w, const char *name, const struct judgement *judgement)
{
    figures_csv_begin(w, name);
    figures_csv_add(w, judgement);
}
