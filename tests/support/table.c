/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two records of the worst deviation, one a tolerance; every row is run before anything fails. */
#include "table.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>

struct table table_new(const char *name)
{
    return (struct table){.name = name};
}

void table_row(struct table *t, const char *format, ...)
{
    va_list rest;
    va_start(rest, format);
    vsnprintf(t->row, sizeof t->row, format, rest);
    va_end(rest);
}

static void take(const struct table *t, struct worst *w, const char *quantity, double value,
                 double wanted)
{
    char text[sizeof w->row];
    assert(wanted != 0);
    snprintf(text, sizeof text, "%s, %s", t->row, quantity);
    worst_take(w, value, wanted, text);
}

void table_level(struct table *t, const char *quantity, double value, double wanted)
{
    take(t, &t->level, quantity, value, wanted);
}

void table_peak(struct table *t, const char *quantity, double value, double wanted)
{
    take(t, &t->peak, quantity, value, wanted);
}

void table_end(const struct table *t)
{
    char text[96];
    if (t->level.row[0] || !t->peak.row[0]) {
        snprintf(text, sizeof text, "%s, volts and amperes", t->name);
        worst_check(&t->level, text, TABLE_LEVEL_PPM * 1e-6);
    }
    if (t->peak.row[0]) {
        snprintf(text, sizeof text, "%s, ripple and peaks", t->name);
        worst_check(&t->peak, text, TABLE_PEAK_PPM * 1e-6);
    }
}
