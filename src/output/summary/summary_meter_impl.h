/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SUMMARY_METER_IMPL_H
#define PRESOLDER_SUMMARY_METER_IMPL_H

#include "summary_impl.h"
#include "tolerances.h"

/* What the two files of the meter's table share. */

#define SUMMARY_METER_WARM                                                                         \
    25.0 /* parallel heaters settle by then [s]; common practice, no source */

struct meter_row {
    const char *subject;
    double expected, warm; /* NaN: not known */
    double ripple;         /* alternating part beside direct volts, RMS [V]; NaN: none */
    enum unit unit;
    bool alternating, moving, rough, floats;
    double chart, measured;            /* NaN: none */
    const struct tolerances_row *band; /* of sound sets; NULL: none */
};

struct meter_table {
    struct summary *s;
    const int *island;    /* of the first stage's circuit */
    int reference;        /* its point; -1: none */
    bool chart, measured; /* some reading is of that kind */
    ARRAY(struct meter_row) rows;
};

/* --- its rows (summary_meter.c) --- */

/* The table with all its rows. */
struct meter_table summary_meter_whole(struct summary *s);

/* What readings are held against. */
double summary_meter_value(const struct meter_row *row);

/* The row of a subject with that unit; NULL: none. */
struct meter_row *summary_meter_find(struct meter_table *t, const char *subject, enum unit unit);

/* Nothing joins the point to the reference, not even a capacitor. */
bool summary_meter_floats(const struct meter_table *t, const char *subject);

/* Whether a vibrator feeds the set. */
bool summary_meter_vibrator(const struct summary *s);

/* The part a subject belongs to; NULL: none. */
const struct part *summary_meter_part(struct summary *s, const char *subject);

/* --- how it is written (summary_meter_table.c) --- */

/* How far the value is from a reading: `+3 %`. */
const char *summary_meter_against(struct summary *s, const struct meter_row *row, double reading);

/* A value; empty when it is not known. */
const char *summary_meter_text(struct summary *s, double value, enum unit unit);

/* Whether the run ended before its tubes were warm. */
bool summary_meter_warming(const struct summary *s);

/* The table, and what is to be said about it. */
void summary_meter_table(struct meter_table *t);

#endif
