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

static const char *const closing[] = {"", " at crest", " at zero"}; /* by enum trial_of */

/* Length and I2t stand behind the peak they belong to. */
static const char *head_of(struct choosing *c, const char *subject, enum measure measure,
                           enum trial_of of)
{
    const struct measure_row *row = &measure_table[measure];
    if (of != TRIAL_RUN && row->restart != RESTART_FOREMOST) return row->head;
    return arena_printf(c->arena, "%s %s%s", subject, row->head, closing[of]);
}

static void add(struct choosing *c, const char *subject, enum measure measure, enum trial_of of)
{
    const struct judged *j =
        judge_worst(c->t->judgement, trial_variant(c->t, of), subject, measure);
    if (!j) return;
    bool rated = j->rating && !j->rating->at_least;
    struct trial_column column = {
        .head = head_of(c, subject, measure, of),
        .key = arena_printf(c->arena, "%s %s%s", subject, measure_table[measure].name, closing[of]),
        .subject = copied(c->arena, subject),
        .measure = measure,
        .of = of,
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
            if (r->measure != MEASURE_SETTLED_VOLTAGE || strcmp(r->subject, p->subject) != 0)
                continue;
            if (r->at_least || (!isnan(column->limit) && r->limit >= column->limit)) continue;
            column->limit = r->limit;
            column->limit_of = copied(c->arena, r->subject);
        }
    }
}

static bool is_direct(const struct choosing *c, const struct probe *p)
{
    if (!(p->flags & PROBE_POINT) || p->flags & PROBE_DRAWN || p->kind != PROBE_VOLTAGE)
        return false;
    const struct figure *mean = run_figure(c->t->run, p->subject, MEASURE_SETTLED_VOLTAGE);
    const struct figure *ripple = run_ripple(c->t->run, p->subject);
    return mean && ripple &&
           circuit_direct(c->stage->circuit, p->subject, mean->value, ripple->value);
}

static void add_points(struct choosing *c, enum measure measure)
{
    int n = 0;
    for (int i = 0; i < c->stage->circuit->probes.n && n < POINTS_MOST; i++) {
        const struct probe *p = &c->stage->circuit->probes.at[i];
        if (!is_direct(c, p)) continue;
        int before = c->table->columns.n;
        add(c, p->subject, measure, TRIAL_RUN);
        n += c->table->columns.n - before;
        if (measure == MEASURE_SETTLED_VOLTAGE && c->table->columns.n > before)
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
        add(c, part->name, MEASURE_HIGHEST_VOLTAGE, TRIAL_RUN);
        n++;
    }
}

static void add_rectifier(struct choosing *c, const char *part)
{
    add(c, part, MEASURE_RUNNING_PEAK_CURRENT, TRIAL_RUN);
    add(c, part, MEASURE_AVERAGE_CURRENT, TRIAL_RUN);
    add(c, part, MEASURE_INRUSH_PEAK_CURRENT, TRIAL_CREST);
    add(c, part, MEASURE_PEAK_DURATION, TRIAL_CREST);
    add(c, part, MEASURE_PEAK_I2T, TRIAL_CREST);
    if (c->t->zero) {
        add(c, part, MEASURE_INRUSH_PEAK_CURRENT, TRIAL_ZERO);
        add(c, part, MEASURE_PEAK_DURATION, TRIAL_ZERO);
        add(c, part, MEASURE_PEAK_I2T, TRIAL_ZERO);
    }
    add(c, part, MEASURE_INVERSE_VOLTAGE, TRIAL_RUN);
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
        const struct figure *volts = run_figure(c->t->run, p->subject, MEASURE_RMS_VOLTAGE);
        if (!volts || volts->value < PLATE_VOLTS) continue;
        size_t n = strlen(p->subject);
        if (n > 2 && p->subject[n - 2] == ' ' && strchr("12", p->subject[n - 1])) n -= 2;
        const char *winding = arena_text(c->arena, p->subject, n);
        bool told = false;
        for (int k = 0; k < c->table->columns.n && !told; k++)
            told = strcmp(c->table->columns.at[k].subject, winding) == 0;
        if (!told) add(c, winding, MEASURE_RMS_CURRENT, TRIAL_RUN);
    }
}

void trial_table_begin(struct arena *arena, struct trial_table *table, const struct trial *first,
                       bool cold)
{
    struct choosing c = {arena, table, first, &first->setup->stages.at[0], cold};
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES; m++)
        if (measure_table[m].compared & COMPARED_POINT) add_points(&c, m);
    add_capacitors(&c);
    add_rectifiers(&c);
    add_windings(&c);
}

/* ---- rows ---- */

static void note_worst(struct arena *arena, struct trial_row *row, const struct judgement *j)
{
    for (int i = 0; i < j->all.n; i++) {
        const struct judged *one = &j->all.at[i];
        if (isnan(one->share) || !(isnan(row->share) || one->share > row->share)) continue;
        row->share = one->share;
        row->worst_subject = copied(arena, one->figure.subject);
        row->worst_measure = one->figure.measure;
    }
}

static bool of_rectifier(const struct trial *t, const char *subject)
{
    const struct set *set = t->setup->stages.at[0].set;
    size_t n = strcspn(subject, ".");
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        if (strlen(part->name) == n && strncmp(part->name, subject, n) == 0)
            return part_is(part, ROLE_RECTIFIER);
    }
    return false;
}

static void note_rectifier(struct trial_row *row, const struct trial *t)
{
    row->rectifier_share = (double)NAN;
    for (int i = 0; i < t->judgement->all.n; i++) {
        const struct judged *j = &t->judgement->all.at[i];
        if (isnan(j->share) || j->share <= row->rectifier_share || j->rating->at_least ||
            measure_table[j->figure.measure].stand_in || !of_rectifier(t, j->figure.subject))
            continue;
        row->rectifier_share = j->share;
        row->rectifier_measure = j->figure.measure;
        row->rectifier_value = j->figure.value;
        row->rectifier_limit = j->rating->limit;
        row->rectifier_derived = judge_derived(j->rating);
    }
}

void trial_table_add(struct arena *arena, struct trial_table *table, const struct trial *trial)
{
    int n = table->columns.n;
    struct trial_row row = {.label = copied(arena, trial->setup->variant),
                            .cells = ARENA_ARRAY(arena, struct trial_cell, n),
                            .share = (double)NAN,
                            .over = trial->judgement->over,
                            .settled = trial_volts_settled(trial->run),
                            .balanced = trial_balanced(trial)};
    for (int i = 0; i < n; i++) {
        const struct trial_column *c = &table->columns.at[i];
        const struct judged *j =
            judge_worst(trial->judgement, trial_variant(trial, c->of), c->subject, c->measure);
        row.cells[i].value = j ? j->figure.value : (double)NAN;
        row.cells[i].verdict = j ? j->verdict : VERDICT_NONE;
    }
    note_worst(arena, &row, trial->judgement);
    note_rectifier(&row, trial);
    array_push(arena, &table->rows, row);
}
