/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "diagnose_text.h"

static void put_severity(struct writer *w, const struct cause *c, double severity)
{
    if (c->discrete) writer_field(w, c->choice[(int)lround(severity)]);
    else if (!isnan(severity)) writer_number(w, severity * c->times);
    writer_text(w, ",");
    if (!c->discrete && !isnan(severity)) writer_field(w, quantity_symbol(c->unit));
}

static void put_cause(struct writer *w, const struct diagnosis *d, int rank)
{
    const int at = d->order[rank];
    const struct cause *c = &d->r.causes.at[at];
    writer_format(w, "%d,", rank + 1);
    writer_field(w, c->part);
    writer_text(w, ",");
    writer_field(w, c->name);
    writer_text(w, ",");
    put_severity(w, c, d->placed[at].severity[d->of[at].best]);
    writer_text(w, ",");
    writer_number(w, d->of[at].share);
    writer_text(w, ",");
    writer_number(w, d->of[at].misfit);
    writer_format(w, ",%d\n", rank < d->group);
}

static void put_pair(struct writer *w, const struct diagnosis *d, const struct diagnosed_pair *p)
{
    for (int k = 0; k < 2; k++) {
        const struct cause *c = &d->r.causes.at[p->cause[k]];
        writer_text(w, ",");
        writer_field(w, c->part);
        writer_text(w, ",");
        writer_field(w, c->name);
        writer_text(w, ",");
        put_severity(w, c, p->severity[k]);
        writer_text(w, ",,");
        writer_number(w, p->misfit);
        writer_text(w, ",\n");
    }
}

void diagnose_csv_write(struct writer *w, const char *name, const struct diagnosis *d)
{
    writer_file(w, name);
    writer_text(w, "rank,part,cause,severity,unit,share,misfit,group\n");
    for (int i = 0; i < d->r.causes.n; i++) put_cause(w, d, i);
    for (int i = 0; i < d->pair_count; i++) put_pair(w, d, &d->pairs[i]);
}
