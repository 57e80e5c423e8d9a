/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tolerances_csv.h"

#include <math.h>

#include "words_known_by.h"

static void field(struct writer *w, const char *text)
{
    writer_field(w, text ? text : "");
    writer_text(w, ",");
}

static void number(struct writer *w, double value)
{
    if (!isnan(value)) writer_number(w, value);
    writer_text(w, ",");
}

static void figure(struct writer *w, const struct tolerances_row *row)
{
    field(w, row->variant);
    field(w, row->subject);
    field(w, measure_table[row->measure].name);
}

static void write_figures(struct writer *w, const struct tolerances *t)
{
    writer_file(w, "tolerances.csv");
    writer_text(w, "variant,subject,measure,least,p05,p50,p95,most,unit,limit,share_over\n");
    if (t->status == STATUS_INTERRUPTED) {
        field(w, t->variant);
        field(w, "set");
        field(w, measure_table[MEASURE_INTERRUPTED_AT].name);
        for (int i = 0; i < 5; i++) number(w, (double)t->done);
        field(w, "");
        number(w, (double)t->asked);
        writer_text(w, "\n");
    }
    for (int i = 0; i < t->rows.n; i++) {
        const struct tolerances_row *row = &t->rows.at[i];
        const struct tolerances_spread *s = &row->spread;
        const double five[] = {s->least, s->p05, s->p50, s->p95, s->most};
        if (s->n == 0) continue;
        figure(w, row);
        for (int k = 0; k < 5; k++) number(w, five[k]);
        field(w, quantity_symbol(row->unit));
        number(w, row->rating ? row->rating->limit : (double)NAN);
        if (row->rating) writer_number(w, row->share_over);
        writer_text(w, "\n");
    }
}

static void write_influence(struct writer *w, const struct tolerances *t)
{
    writer_file(w, "influence.csv");
    writer_text(w, "variant,subject,measure,value,share,standard_error,reading\n");
    for (int i = 0; i < t->rows.n; i++) {
        const struct tolerances_row *row = &t->rows.at[i];
        for (int nth = 0, g; (g = tolerances_foremost(t, row, nth)) >= 0; nth++) {
            const struct uncertain_group *group = &t->list.groups.at[g];
            figure(w, row);
            field(w, group->key);
            number(w, row->share[g]);
            number(w, row->error[g]);
            writer_field(w, words_known_by(group->known_by) ? words_known_by(group->known_by) : "");
            writer_text(w, "\n");
        }
    }
}

static void write_ranges(struct writer *w, const struct tolerances *t)
{
    static const char *const kinds[] = {[UNCERTAIN_STATED] = "stated",
                                        [UNCERTAIN_TOLERANCE] = "part",
                                        [UNCERTAIN_READING] = "reading",
                                        [UNCERTAIN_LINE] = "line",
                                        [UNCERTAIN_GUESS] = "guess"};
    writer_file(w, "ranges.csv");
    writer_text(w, "part,key,value,low,high,unit,spread,kind,moves_with,source\n");
    for (int i = 0; i < t->list.values.n; i++) {
        const struct uncertain *v = &t->list.values.at[i];
        const struct uncertain_group *group = &t->list.groups.at[v->group];
        field(w, v->part);
        field(w, v->key);
        number(w, v->value);
        number(w, v->low);
        number(w, v->high);
        field(w, quantity_symbol(v->unit));
        field(w, v->spread == SPREAD_LOG ? "log" : "even");
        field(w, kinds[v->from]);
        field(w, group->n > 1 ? group->key : "");
        writer_field(w, v->source ? v->source : "");
        writer_text(w, "\n");
    }
}

void tolerances_csv_write(struct writer *w, const struct tolerances *t)
{
    write_figures(w, t);
    write_influence(w, t);
    write_ranges(w, t);
}
