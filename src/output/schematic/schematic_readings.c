/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "schematic_readings.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "csv.h"

struct schematic_readings schematic_readings_of(struct arena *arena,
                                                const struct judgement *judgement, double seconds)
{
    struct schematic_readings r = {.seconds = seconds};
    for (int i = 0; i < judgement->all.n; i++) {
        const struct judged *row = &judgement->all.at[i];
        array_push(
            arena, &r.all,
            (struct schematic_reading){.subject = row->figure.subject,
                                       .measure = row->figure.measure,
                                       .value = row->figure.value,
                                       .limit = row->rating ? row->rating->limit : (double)NAN,
                                       .over = row->verdict == VERDICT_OVER});
    }
    return r;
}

double schematic_readings_find(const struct schematic_readings *r, const char *subject,
                               enum measure measure)
{
    for (int i = 0; i < r->all.n; i++)
        if (r->all.at[i].measure == measure && strcmp(r->all.at[i].subject, subject) == 0)
            return r->all.at[i].value;
    return (double)NAN;
}

double schematic_readings_point(const struct schematic_readings *r, const struct set *set,
                                const char *point)
{
    double own = schematic_readings_find(r, point, MEASURE_SETTLED_VOLTAGE);
    for (int i = 0; i < set->parts.n && isnan(own); i++) {
        struct part_way way;
        const struct part *part = set->parts.at[i];
        if (!part_way(set, part, 0, &way) || way.points != 2) continue;
        bool first = strcmp(way.point[0], point) == 0;
        if (!first && strcmp(way.point[1], point) != 0) continue;
        const char *other = way.point[first ? 1 : 0];
        double across = schematic_readings_find(r, part->name, MEASURE_SETTLED_VOLTAGE);
        double there = strcmp(other, set->circuit->reference) == 0
                           ? 0
                           : schematic_readings_find(r, other, MEASURE_SETTLED_VOLTAGE);
        own = there + (first ? across : -across);
    }
    return own;
}

/* ---- from a file (RFC 4180) ---- */

enum { VARIANT, SUBJECT, MEASURE, VALUE, UNIT, LIMIT, SOURCE, VERDICT, TIME, FIELDS };

/* NULL when it cannot be read. */
static char *read_file(struct arena *arena, const char *path)
{
    FILE *f = fopen(path, "rb");
    long size = f && fseek(f, 0, SEEK_END) == 0 ? ftell(f) : -1;
    char *text = size > 0 ? arena_alloc(arena, (size_t)size + 1) : NULL;
    if (text) {
        rewind(f);
        if (fread(text, 1, (size_t)size, f) != (size_t)size) text = NULL;
    }
    if (f) fclose(f);
    return text;
}

static double number(const char *text)
{
    char *end;
    double value = strtod(text, &end);
    return end == text ? (double)NAN : value;
}

/* Rows of the hot restart count for what is over. */
bool schematic_readings_read(struct arena *arena, const char *path, const char *variant,
                             struct schematic_readings *r)
{
    char *text = read_file(arena, path), *field[FIELDS];
    struct csv csv = {text, ',', 1};
    struct csv_record record;
    const char *restart = arena_printf(arena, "%s (hot restart)", variant);
    bool head = true, found = false;
    const char *slash = strrchr(path, '/');
    *r = (struct schematic_readings){.from = slash ? slash + 1 : path};
    while (text && csv_next(&csv, field, NULL, FIELDS, &record)) {
        if (head && strcmp(field[SUBJECT], "subject") != 0) return false;
        bool own = strcmp(field[VARIANT], variant) == 0;
        enum measure measure = measure_find(field[MEASURE]);
        if (head || (!own && strcmp(field[VARIANT], restart) != 0) || measure == MEASURE_NONE) {
            head = false;
            continue;
        }
        found |= own;
        array_push(arena, &r->all,
                   (struct schematic_reading){
                       field[SUBJECT], measure, number(field[VALUE]), number(field[LIMIT]),
                       strcmp(field[VERDICT], judge_verdict_text(VERDICT_OVER)) == 0});
    }
    return found;
}
