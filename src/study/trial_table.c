/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns are found by name in every trial, so a trial with another part in its place fills those
 * it has. */
#include "trial_table.h"

#include <math.h>
#include <string.h>

enum { POINTS_MOST = 3, PARTS_MOST = 2, CAPACITORS_MOST = 3 };

#define PLATE_VOLTS 40 /* no winding below feeds plates [V] */

struct choosing {
    struct arena *arena;
    struct trial_table *table;
    const struct trial *t;
    const struct stage *stage; /* the first */
    bool cold;
};

static const char *copied(struct arena *arena, const char *text)
{
    return arena_text(arena, text, strlen(text));
}

const char *trial_variant(const struct trial *t, enum trial_of of)
{
    return of == TRIAL_ZERO ? t->zero_name : of == TRIAL_CREST ? t->crest_name : t->setup->variant;
}

static void add(struct choosing *c, const char *head, const char *subject, const char *measure,
                enum trial_of of, enum trial_group group)
{
    const struct judged *j =
        judge_worst(c->t->judgement, trial_variant(c->t, of), subject, measure);
    if (!j) return;
    static const char *const closing[] = {"", " at crest", " at zero"};
    bool rated = j->rating && !j->rating->at_least;
    struct trial_column column = {
        .head =
            strncmp(head, "its ", 4) == 0 ? head : arena_printf(c->arena, "%s %s", subject, head),
        .key = arena_printf(c->arena, "%s %s%s", subject, measure, closing[of]),
        .subject = copied(c->arena, subject),
        .measure = copied(c->arena, measure),
        .of = of,
        .group = group,
        .unit = j->figure.unit,
        .limit = rated ? j->rating->limit : (double)NAN,
        .limit_of = copied(c->arena, subject)};
    array_push(c->arena, &c->table->columns, column);
}

/* ---- points ---- */

/* The rated volts of a capacitor from the point to the reference: the least. */
static void limit_by_capacitor(struct choosing *c, struct trial_column *column, const char *point)
{
    const struct circuit *circuit = c->stage->circuit;
    int at = circuit_find_point(circuit, point);
    for (int i = 0; i < circuit->probes.n; i++) {
        const struct probe *p = &circuit->probes.at[i];
        if (!(p->flags & PROBE_CAPACITOR) || p->kind != PROBE_VOLTAGE || p->from != at) continue;
        if (p->to >= 0 && strcmp(circuit->points.at[p->to], circuit->reference) != 0) continue;
        for (int k = 0; k < c->stage->set->ratings.n; k++) {
            const struct rating *r = &c->stage->set->ratings.at[k];
            if (strcmp(r->measure, "settled-voltage") != 0 || strcmp(r->subject, p->subject) != 0)
                continue;
            if (r->at_least || (!isnan(column->limit) && r->limit >= column->limit)) continue;
            column->limit = r->limit;
            column->limit_of = copied(c->arena, r->subject);
        }
    }
}

static bool is_direct(const struct choosing *c, const struct probe *p)
{
    if (!(p->flags & PROBE_POINT) || p->kind != PROBE_VOLTAGE) return false;
    const struct figure *mean = result_find(c->t->run, p->subject, "settled-voltage");
    const struct figure *ripple = result_find(c->t->run, p->subject, "ripple-rms");
    return mean && ripple && fabs(mean->value) > ripple->value;
}

static void add_points(struct choosing *c, const char *head, const char *measure,
                       enum trial_group group)
{
    int n = 0;
    for (int i = 0; i < c->stage->circuit->probes.n && n < POINTS_MOST; i++) {
        const struct probe *p = &c->stage->circuit->probes.at[i];
        if (!is_direct(c, p)) continue;
        int before = c->table->columns.n;
        add(c, head, p->subject, measure, TRIAL_RUN, group);
        n += c->table->columns.n - before;
        if (group == GROUP_VOLTS && c->table->columns.n > before)
            limit_by_capacitor(c, &c->table->columns.at[before], p->subject);
    }
}

/* ---- parts ---- */

static void add_capacitors(struct choosing *c)
{
    int n = 0;
    for (int i = 0; i < c->stage->set->parts.n && c->cold && n < CAPACITORS_MOST; i++) {
        const struct part *part = c->stage->set->parts.at[i];
        if (!part_is(part, ROLE_CAPACITOR)) continue;
        add(c, "highest volts", part->name, "highest-voltage", TRIAL_RUN, GROUP_OTHER);
        n++;
    }
}

static void add_rectifier(struct choosing *c, const char *part)
{
    add(c, "running peak", part, "running-peak-current", TRIAL_RUN, GROUP_PEAKS);
    add(c, "mean", part, "average-current", TRIAL_RUN, GROUP_OTHER);
    add(c, "hot at crest", part, "inrush-peak-current", TRIAL_CREST, GROUP_PEAKS);
    add(c, "its length", part, "peak-duration", TRIAL_CREST, GROUP_OTHER);
    add(c, "its I2t", part, "peak-i2t", TRIAL_CREST, GROUP_OTHER);
    if (c->t->zero) {
        add(c, "hot at zero", part, "inrush-peak-current", TRIAL_ZERO, GROUP_PEAKS);
        add(c, "its length", part, "peak-duration", TRIAL_ZERO, GROUP_OTHER);
        add(c, "its I2t", part, "peak-i2t", TRIAL_ZERO, GROUP_OTHER);
    }
    add(c, "inverse volts", part, "inverse-voltage", TRIAL_RUN, GROUP_OTHER);
}

static void add_rectifiers(struct choosing *c)
{
    int n = 0;
    for (int i = 0; i < c->stage->set->parts.n && n < PARTS_MOST; i++) {
        const struct part *part = c->stage->set->parts.at[i];
        if (!part_is(part, ROLE_RECTIFIER)) continue;
        add_rectifier(c, part->name);
        n++;
    }
}

/* Halves of a winding are one column. */
static void add_windings(struct choosing *c)
{
    for (int i = 0; i < c->stage->circuit->probes.n; i++) {
        const struct probe *p = &c->stage->circuit->probes.at[i];
        const char *dot = strchr(p->subject, '.');
        if (!(p->flags & PROBE_WINDING) || p->kind != PROBE_CURRENT || !dot) continue;
        if (strcmp(dot, ".primary") == 0) continue;
        const struct figure *volts = result_find(c->t->run, p->subject, "rms-voltage");
        if (!volts || volts->value < PLATE_VOLTS) continue;
        size_t n = strlen(p->subject);
        if (n > 2 && p->subject[n - 2] == ' ' && strchr("12", p->subject[n - 1])) n -= 2;
        const char *winding = arena_text(c->arena, p->subject, n);
        bool told = false;
        for (int k = 0; k < c->table->columns.n && !told; k++)
            told = strcmp(c->table->columns.at[k].subject, winding) == 0;
        if (!told) add(c, "RMS", winding, "rms-current", TRIAL_RUN, GROUP_WINDING);
    }
}

void trial_table_begin(struct arena *arena, struct trial_table *table, const struct trial *first,
                       bool cold)
{
    struct choosing c = {arena, table, first, &first->setup->stages.at[0], cold};
    add_points(&c, "volts", "settled-voltage", GROUP_VOLTS);
    add_points(&c, "ripple RMS", "ripple-rms", GROUP_RIPPLE);
    add_capacitors(&c);
    add_rectifiers(&c);
    add_windings(&c);
}

/* ---- rows ---- */

static void note_worst(struct arena *arena, struct trial_row *row, const struct judgement *j)
{
    for (int i = 0; i < j->all.n; i++) {
        const struct judged *one = &j->all.at[i];
        if (one->verdict == VERDICT_NONE || !(isnan(row->share) || one->share > row->share))
            continue;
        row->share = one->share;
        row->worst = arena_printf(arena, "%s %s", one->figure.subject, one->figure.measure);
    }
}

static bool balanced(const struct trial *t)
{
    return !t->run->statistics.audit_failed && !(t->crest && t->crest->statistics.audit_failed) &&
           !(t->zero && t->zero->statistics.audit_failed);
}

void trial_table_add(struct arena *arena, struct trial_table *table, const struct trial *trial)
{
    int n = table->columns.n;
    struct trial_row row = {.label = copied(arena, trial->setup->variant),
                            .cells = ARENA_ARRAY(arena, struct trial_cell, n),
                            .share = (double)NAN,
                            .worst = "",
                            .over = trial->judgement->over,
                            .settled = volts_settled(trial->run),
                            .balanced = balanced(trial)};
    for (int i = 0; i < n; i++) {
        const struct trial_column *c = &table->columns.at[i];
        const struct judged *j =
            judge_worst(trial->judgement, trial_variant(trial, c->of), c->subject, c->measure);
        row.cells[i].value = j ? j->figure.value : (double)NAN;
        row.cells[i].verdict = j ? j->verdict : VERDICT_NONE;
    }
    note_worst(arena, &row, trial->judgement);
    array_push(arena, &table->rows, row);
}
