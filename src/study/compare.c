/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows are gathered from all columns by subject and measure, then those worth telling are kept: the
 * volts, ripple and currents a repair turns on, and whatever is near or over its rating
 * somewhere. */
#include "compare.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "limit.h"
#include "sort.h"

#define SHARE_STEP 0.05  /* of a rating */
#define RIPPLE_STEP 0.05 /* of the ripple */
#define CHART_STEP 0.02  /* of the chart's volts */
#define DEAD 0.05        /* of the value beside: what no longer works is not better for it */
#define LEAST_WATTS 0.05 /* what is less warms nothing */
#define PLATE_VOLTS 40   /* no winding below feeds plates [V] */

/* ---- names ---- */

/* V6.1 -> V6, `T1.high voltage 2` -> `T1.high voltage`; points and whole parts stay. */
static const char *merged(struct arena *arena, const char *subject)
{
    size_t n = strlen(subject);
    const char *dot = strchr(subject, '.');
    if (!dot || n < 3 || !strchr("12", subject[n - 1])) return subject;
    bool section = subject + n - 2 == dot, half = subject[n - 2] == ' ';
    return section || half ? arena_text(arena, subject, n - 2) : subject;
}

static bool of_restart(const struct turn_on *t, const struct judged *row)
{
    return t->restart && strcmp(row->variant, t->restart_name) == 0;
}

/* ---- gathering ---- */

struct gathering {
    struct arena *arena;
    struct comparison *c;
};

static struct compare_row *row_of(struct gathering *g, const struct judged *j, bool restart)
{
    const char *subject = merged(g->arena, j->figure.subject);
    struct comparison *c = g->c;
    for (int i = 0; i < c->rows.n; i++) {
        struct compare_row *row = &c->rows.at[i];
        if (row->restart == restart && row->measure == j->figure.measure &&
            strcmp(row->subject, subject) == 0)
            return row;
    }
    struct compare_row row = {subject, j->figure.measure, restart, 0,
                              ARENA_ARRAY(g->arena, const struct judged *, c->columns)};
    array_push(g->arena, &c->rows, row);
    return &c->rows.at[c->rows.n - 1];
}

/* Settled figures are those of the warm set, where there is one. */
static bool replaced(const struct turn_on *t, const struct judged *j)
{
    const struct measure_row *m = &measure_table[j->figure.measure];
    bool settled = m->at_end || m->panel == PANEL_RIPPLE;
    return t->warm && settled && strcmp(j->variant, t->setup->variant) == 0;
}

static void gather_column(struct gathering *g, int column)
{
    const struct turn_on *t = g->c->turn_ons[column];
    for (int i = 0; i < t->judgement->all.n; i++) {
        const struct judged *j = &t->judgement->all.at[i];
        if (replaced(t, j)) continue;
        const struct judged **cell = &row_of(g, j, of_restart(t, j))->cell[column];
        if (!*cell || judge_counts_more(j, *cell)) *cell = j;
    }
}

/* ---- which are kept, and in which order ---- */

static const struct part *part_of(const struct turn_on *t, const char *subject)
{
    char name[128];
    size_t n = strcspn(subject, ".");
    if (n >= sizeof name) return NULL;
    memcpy(name, subject, n);
    name[n] = 0;
    return set_find(t->setup->stages.at[0].set, name);
}

static bool is_of(const struct comparison *c, const struct compare_row *row, enum role role)
{
    for (int k = 0; k < c->columns; k++) {
        const struct part *part = part_of(c->turn_ons[k], row->subject);
        if (part) return part_is(part, role);
    }
    return false;
}

/* A point that stands at direct volts in some column. */
static bool is_direct(const struct comparison *c, const struct compare_row *row)
{
    for (int k = 0; k < c->columns; k++) {
        const struct result *r = c->turn_ons[k]->run;
        if (circuit_find_point(r->setup->stages.at[0].circuit, row->subject) < 0) continue;
        const struct figure *mean = run_figure(r, row->subject, MEASURE_SETTLED_VOLTAGE);
        const struct figure *ripple = run_ripple(r, row->subject);
        if (mean && ripple &&
            circuit_direct(r->setup->stages.at[0].circuit, row->subject, mean->value,
                           ripple->value))
            return true;
    }
    return false;
}

static bool judged_tight(const struct comparison *c, const struct compare_row *row)
{
    for (int k = 0; k < c->columns; k++)
        if (row->cell[k] && row->cell[k]->verdict >= VERDICT_NEAR) return true;
    return false;
}

/* The halves that plates hang on; heaters and the primary tell nothing the line does not. */
static bool is_high(const struct comparison *c, const struct compare_row *row)
{
    const char *last = strrchr(row->subject, '.');
    if (!last || strcmp(last, ".primary") == 0 || !is_of(c, row, ROLE_TRANSFORMER)) return false;
    for (int k = 0; k < c->columns; k++) {
        if (!row->cell[k]) continue;
        const char *half = row->cell[k]->figure.subject;
        const struct figure *volts = run_figure(c->turn_ons[k]->run, half, MEASURE_RMS_VOLTAGE);
        if (volts && volts->value > PLATE_VOLTS) return true;
    }
    return false;
}

static bool is_warm(const struct comparison *c, const struct compare_row *row)
{
    for (int k = 0; k < c->columns; k++)
        if (row->cell[k] && row->cell[k]->figure.value >= LEAST_WATTS) return true;
    return false;
}

/* A row of the restart that the run itself surpasses in every column. */
static bool surpassed(const struct comparison *c, const struct compare_row *row)
{
    for (int i = 0; i < c->rows.n && row->restart; i++) {
        const struct compare_row *run = &c->rows.at[i];
        if (run->restart || run->measure != row->measure || strcmp(run->subject, row->subject) != 0)
            continue;
        bool all = true;
        for (int k = 0; k < c->columns && all; k++)
            all = !row->cell[k] || (run->cell[k] && run->cell[k]->verdict >= row->cell[k]->verdict);
        return all;
    }
    return false;
}

static bool is_kept(const struct comparison *c, const struct compare_row *row,
                    enum measure_compared subject)
{
    switch (subject) {
    case COMPARED_POINT: return is_direct(c, row);
    case COMPARED_CAPACITOR: return is_of(c, row, ROLE_CAPACITOR);
    case COMPARED_RECTIFIER: return is_of(c, row, ROLE_RECTIFIER);
    case COMPARED_WINDING: return is_high(c, row);
    case COMPARED_RESISTOR: return is_of(c, row, ROLE_RESISTOR) && is_warm(c, row);
    case COMPARED_MAINS: return strcmp(row->subject, "mains") == 0;
    }
    return false;
}

/* The place in the table, by kind of subject, then by measure, what is tight behind all; -1: not
 * told. */
static int rank_of(const struct comparison *c, const struct compare_row *row)
{
    const struct measure_row *m = &measure_table[row->measure];
    bool always = row->restart == (m->restart == RESTART_FOREMOST);
    for (int subject = COMPARED_POINT; subject <= COMPARED_MAINS && always; subject *= 2)
        if (m->compared & (unsigned)subject && is_kept(c, row, (enum measure_compared)subject))
            return subject * MEASURES + (int)row->measure;
    return judged_tight(c, row) && !surpassed(c, row) ? INT_MAX : -1;
}

static int compare_ranks(const void *a, const void *b)
{
    int x = ((const struct compare_row *)a)->rank, y = ((const struct compare_row *)b)->rank;
    return (x > y) - (x < y);
}

static void keep_worthy(struct comparison *c)
{
    int kept = 0;
    for (int i = 0; i < c->rows.n; i++) c->rows.at[i].rank = rank_of(c, &c->rows.at[i]);
    for (int i = 0; i < c->rows.n; i++)
        if (c->rows.at[i].rank >= 0) c->rows.at[kept++] = c->rows.at[i];
    c->rows.n = kept;
    sort_stable(c->rows.at, kept, sizeof *c->rows.at, compare_ranks);
}

struct comparison *compare_make(struct arena *arena, const struct turn_on *const *turn_ons,
                                const char *const *names, int n)
{
    struct comparison *c = ARENA_NEW(arena, struct comparison);
    c->columns = n;
    c->turn_ons = turn_ons;
    c->names = names;
    c->eased = ARENA_ARRAY(arena, double, n);
    struct gathering g = {arena, c};
    for (int k = 0; k < n; k++) gather_column(&g, k);
    keep_worthy(c);
    return c;
}

/* ---- better and worse ---- */

double compare_chart(const struct turn_on *t, const char *point)
{
    for (int i = 0; i < t->setup->readings.n; i++) {
        const struct reading *r = &t->setup->readings.at[i];
        if (!r->measured && r->unit == UNIT_VOLT && strcmp(r->subject, point) == 0) return r->value;
    }
    return (double)NAN;
}

static bool is_dead(const struct judged *now, const struct judged *then)
{
    return fabs(now->figure.value) < DEAD * fabs(then->figure.value);
}

static enum change by(double size, double step)
{
    if (!(fabs(size) >= step)) return CHANGE_NONE;
    return size > 0 ? CHANGE_WORSE : CHANGE_BETTER;
}

/* Ripple may fall to a hundredth and be better for it, but not where the direct volts are gone. */
static bool is_dead_point(const struct comparison *c, const struct compare_row *row, int column,
                          int beside)
{
    const enum measure volts = MEASURE_SETTLED_VOLTAGE;
    const struct figure *now = run_figure(c->turn_ons[column]->run, row->subject, volts);
    const struct figure *then = run_figure(c->turn_ons[beside]->run, row->subject, volts);
    return !now || !then || fabs(now->value) < DEAD * fabs(then->value);
}

bool compare_alike(const struct compare_row *row, int a, int b)
{
    const struct judged *x = row->cell[a], *y = row->cell[b];
    if (row->measure != MEASURE_AVERAGE_CURRENT || !x || !y) return true;
    return (strcmp(x->figure.subject, row->subject) == 0) ==
           (strcmp(y->figure.subject, row->subject) == 0);
}

enum change compare_change(const struct comparison *c, const struct compare_row *row, int column,
                           int beside, double *size)
{
    const struct judged *now = row->cell[column], *then = row->cell[beside];
    *size = 0;
    if (!now || !then || now == then || !compare_alike(row, column, beside)) return CHANGE_NONE;
    if (!isnan(now->share) && !isnan(then->share)) {
        if (isinf(now->share) && isinf(then->share)) return CHANGE_NONE;
        *size = now->share - then->share;
        if (*size < 0 && is_dead(now, then)) return CHANGE_NONE;
        bool crosses = (now->share > 1) != (then->share > 1);
        return by(*size, crosses ? 1e-6 : SHARE_STEP);
    }
    const enum measure_better better = measure_table[row->measure].better;
    if (better == BETTER_LESS) {
        if (is_dead(now, then) && is_dead_point(c, row, column, beside)) return CHANGE_NONE;
        *size = now->figure.value / then->figure.value - 1;
        return by(*size, RIPPLE_STEP);
    }
    double chart = compare_chart(c->turn_ons[beside], row->subject);
    if (better != BETTER_CHART || !(fabs(chart) > 0)) return CHANGE_NONE;
    *size = (fabs(now->figure.value - chart) - fabs(then->figure.value - chart)) / fabs(chart);
    return by(*size, CHART_STEP);
}

/* ---- resistors in the plates' leads ---- */

/* The one rectifier whose peaks are over their rating where all else is within; NULL: it is not
 * so. */
static const char *peaks_of(struct arena *arena, const struct turn_on *t)
{
    const char *name = NULL;
    for (int i = 0; i < t->judgement->all.n; i++) {
        const struct judged *j = &t->judgement->all.at[i];
        const enum measure m = j->figure.measure;
        bool peak = m == MEASURE_INRUSH_PEAK_CURRENT || m == MEASURE_RUNNING_PEAK_CURRENT ||
                    m == MEASURE_PEAK_I2T;
        if (j->verdict != VERDICT_OVER || measure_table[m].stand_in) continue;
        const char *of = merged(arena, j->figure.subject);
        if (!peak || (name && strcmp(name, of) != 0)) return NULL;
        name = of;
    }
    return name;
}

void compare_ease(struct arena *arena, struct comparison *c, int column, const struct scenario *s,
                  const char *variant, const struct trial_options *options)
{
    const struct turn_on *t = c->turn_ons[column];
    const char *rectifier = t->setup->stages.n == 1 ? peaks_of(arena, t) : NULL;
    if (!rectifier) return;
    const struct trial *eased = limit_eased(arena, s, variant, rectifier, LIMIT_EASING, options);
    if (!eased || eased->status != STATUS_OK) return;
    for (int i = 0; i < eased->judgement->all.n; i++) {
        const struct judged *j = &eased->judgement->all.at[i];
        if (j->verdict == VERDICT_OVER && !measure_table[j->figure.measure].stand_in) return;
    }
    c->eased[column] = LIMIT_EASING;
}
