/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tolerances_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cautions_text.h"
#include "columns.h"
#include "numbers.h"
#include "tolerances_rows.h"
#include "words_common.h"
#include "words_failure.h"
#include "words_known_by.h"
#include "words_tolerances.h"

enum {
    LABEL = 24,
    WIDTH = 8,
    OVER_MOST = 10,
    NEAR_MOST = 5,
    MOVED_MOST = 8,
    READINGS_MOST = 3,
    ROWS_MOST = 64
};

#define WORTH 0.05 /* a share below is not told */
#define RARE 0.01  /* nor what moves a figure that is over its rating in fewer of the sets */

struct telling {
    struct page *page;
    const struct tolerances *t;
    const struct tolerances_row *rows[ROWS_MOST]; /* of the table at hand */
    int n;
};

static const char *figure_words(struct telling *w, const struct tolerances_row *row)
{
    return tolerances_rows_figure(w->page->arena, row);
}

/* ---- which rows ---- */

/* Which stand together in the table of readings, from the top; -1: none of it. */
static int reading_block(struct telling *w, const struct tolerances_row *row)
{
    if (row->spread.n == 0 || row->of == TOLERANCES_RESTART) return -1;
    if (row->of == TOLERANCES_BEFORE) return 1;
    if (row->measure == measure_on(RANGE_AC))
        return tolerances_rows_direct(w->t, row->subject) ? 2 : -1;
    switch (row->measure) {
    case MEASURE_SETTLED_VOLTAGE: return tolerances_rows_point(w->t, row) ? 0 : -1;
    case MEASURE_HIGHEST_VOLTAGE: return tolerances_rows_highest(w->t, row) ? 1 : -1;
    case MEASURE_LINE_CURRENT:
    case MEASURE_LINE_POWER: return 3;
    default: return -1;
    }
}

/* Letters of the subject without the number of a plate or half. */
static size_t stem(const char *subject)
{
    size_t n = strlen(subject);
    bool numbered = n > 2 && subject[n - 1] >= '1' && subject[n - 1] <= '2' &&
                    (subject[n - 2] == '.' || subject[n - 2] == ' ');
    return numbered ? n - 2 : n;
}

static bool alike(const struct tolerances_row *a, const struct tolerances_row *b)
{
    size_t n = stem(a->subject);
    return a->measure == b->measure && a->of == b->of && n == stem(b->subject) &&
           strncmp(a->subject, b->subject, n) == 0;
}

/* Of the limit used at the end that matters; more than 1: over. */
static double pressure(const struct tolerances_row *row)
{
    const struct rating *r = row->rating;
    if (!r || r->limit == 0) return 0;
    return r->at_least ? r->limit / row->spread.p05 : row->spread.p95 / r->limit;
}

static int by_pressure(const void *a, const void *b)
{
    const struct tolerances_row *x = *(const struct tolerances_row *const *)a,
                                *y = *(const struct tolerances_row *const *)b;
    if (x->share_over != y->share_over) return x->share_over < y->share_over ? 1 : -1;
    double p = pressure(x), q = pressure(y);
    if (p != q) return p < q ? 1 : -1;
    return x < y ? -1 : 1;
}

/* The rated rows, those over in most sets first; of two plates or halves the worse one. */
static const struct tolerances_row **rated_rows(struct telling *w, int *n)
{
    const struct tolerances *t = w->t;
    const struct tolerances_row **all =
        ARENA_ARRAY(w->page->arena, const struct tolerances_row *, t->rows.n + 1);
    int count = 0, kept = 0;
    for (int i = 0; i < t->rows.n; i++)
        if (t->rows.at[i].rating && t->rows.at[i].spread.n > 0) all[count++] = &t->rows.at[i];
    qsort(all, (size_t)count, sizeof *all, by_pressure);
    for (int i = 0; i < count; i++) {
        bool told = false;
        for (int k = 0; k < kept && !told; k++) told = alike(all[k], all[i]);
        if (!told) all[kept++] = all[i];
    }
    *n = kept;
    return all;
}

/* ---- the answer ---- */

static void say_answer(struct telling *w)
{
    const struct tolerances *t = w->t;
    int n;
    const struct tolerances_row **rated = rated_rows(w, &n), *worst = n > 0 ? rated[0] : NULL;
    const struct tolerances_row *typed = NULL;
    for (int i = 0; i < n && !typed; i++)
        if (rated[i]->nominal_over) typed = rated[i];
    const char *share = page_percent(w->page, (double)t->over / (double)t->done);
    if (!worst) page_say(w->page, "", words_tolerances_unrated);
    else if (typed) page_say(w->page, "", words_tolerances_nominal, figure_words(w, typed), share);
    else if (t->over > 0)
        page_say(w->page, "", words_tolerances_some, share, figure_words(w, worst),
                 page_percent(w->page, worst->share_over));
    else page_say(w->page, "", words_tolerances_hold, t->done);
}

static void say_how(struct telling *w)
{
    const struct tolerances *t = w->t;
    double duration = t->options.duration > 0 ? t->options.duration : t->setup->duration;
    page_say(w->page, "", words_tolerances_drawn, t->done, t->list.values.n,
             t->list.groups.n < t->list.values.n ? words_tolerances_drawn_together : "",
             t->options.seed);
    if (t->options.cold)
        page_say(w->page, "", words_tolerances_cold,
                 page_number(w->page, duration, UNIT_SECOND, 4));
    else page_say(w->page, "", words_tolerances_hot);
    if (t->failed > 0)
        page_say(w->page, "!! ", words_tolerances_failed, t->failed,
                 words_failure_why(w->page->arena, &t->first));
    if (t->restless > 0) page_say(w->page, "!! ", words_tolerances_restless, t->restless);
}

/* ---- tables ---- */

static double chart_of(struct telling *w, const struct tolerances_row *row)
{
    const struct setup *setup = w->t->setup;
    for (int i = 0; i < setup->readings.n; i++) {
        const struct reading *r = &setup->readings.at[i];
        if (row->measure == MEASURE_SETTLED_VOLTAGE && r->unit == UNIT_VOLT && !r->measured &&
            strcmp(r->subject, row->subject) == 0)
            return r->value;
    }
    return (double)NAN;
}

static const char *number(struct telling *w, double value, enum unit unit)
{
    return isnan(value) ? "-" : page_value(w->page, value, unit, false);
}

static const char *reading_cell(void *context, int row, int column)
{
    struct telling *w = context;
    const struct tolerances_row *r = w->rows[row];
    const struct tolerances_spread *s = &r->spread;
    const double values[] = {r->nominal, s->least, s->p05, s->p50, s->p95, s->most, chart_of(w, r)};
    return column < 0 ? tolerances_rows_short(w->page->arena, r)
                      : number(w, values[column], r->unit);
}

static void write_readings(struct telling *w)
{
    static const char *const heads[] = {
        words_tolerances_typed, words_tolerances_least, words_tolerances_p05,  words_tolerances_p50,
        words_tolerances_p95,   words_tolerances_most,  words_tolerances_chart};
    w->n = 0;
    for (int block = 0; block < 4; block++)
        for (int i = 0; i < w->t->rows.n && w->n < ROWS_MOST; i++)
            if (reading_block(w, &w->t->rows.at[i]) == block) w->rows[w->n++] = &w->t->rows.at[i];
    if (w->n == 0) return;
    page_heading(w->page, words_tolerances_readings);
    columns_write(w->page, &(struct columns){.label = LABEL,
                                             .first = WIDTH,
                                             .width = WIDTH,
                                             .n = 7,
                                             .rows = w->n,
                                             .corner = "",
                                             .heads = heads,
                                             .cell = reading_cell,
                                             .context = w});
    page_say(w->page, "  ", words_tolerances_columns);
    for (int i = 0; i < w->n; i++) {
        if (w->rows[i]->of != TOLERANCES_BEFORE) continue;
        page_say(w->page, "  ", words_tolerances_before);
        if (w->t->race) page_say(w->page, "  !! ", words_tolerances_race);
        break;
    }
}

static const char *rated_cell(void *context, int row, int column)
{
    struct telling *w = context;
    const struct tolerances_row *r = w->rows[row];
    const struct tolerances_spread *s = &r->spread;
    const double values[] = {r->nominal, s->p05, s->p50, s->p95, r->rating->limit};
    if (column < 0) return tolerances_rows_short(w->page->arena, r);
    if (column == 5) return page_percent(w->page, r->share_over);
    return number(w, values[column], r->unit);
}

static void write_rated(struct telling *w)
{
    static const char *const heads[] = {words_tolerances_typed, words_tolerances_p05,
                                        words_tolerances_p50,   words_tolerances_p95,
                                        words_tolerances_limit, words_tolerances_share};
    int n, over = 0;
    const struct tolerances_row **rated = rated_rows(w, &n);
    while (over < n && rated[over]->share_over > 0) over++;
    if (n == 0) return;
    int most = over > 0 ? OVER_MOST : NEAR_MOST, all = over > 0 ? over : n;
    w->n = all < most ? all : most;
    for (int i = 0; i < w->n; i++) w->rows[i] = rated[i];
    page_heading(w->page, over > 0 ? words_tolerances_over : words_tolerances_near);
    columns_write(w->page, &(struct columns){.label = LABEL + 2,
                                             .first = WIDTH + 1,
                                             .width = WIDTH + 1,
                                             .n = 6,
                                             .rows = w->n,
                                             .corner = "",
                                             .heads = heads,
                                             .cell = rated_cell,
                                             .context = w});
    if (over > w->n) page_say(w->page, "  ", words_tolerances_more_over, over - w->n);
}

/* ---- what moves what ---- */

static bool is_there(struct telling *w, const struct tolerances_row *row)
{
    for (int i = 0; i < w->n; i++)
        if (tolerances_rows_alike(w->rows[i], row)) return true;
    return false;
}

/* Settled volts of points, and what is over its rating in some sets. */
static void choose_watched(struct telling *w)
{
    int n;
    const struct tolerances_row **rated = rated_rows(w, &n);
    w->n = 0;
    for (int i = 0; i < w->t->rows.n && w->n < MOVED_MOST; i++)
        if (tolerances_rows_point(w->t, &w->t->rows.at[i]) && w->t->rows.at[i].has_shares)
            w->rows[w->n++] = &w->t->rows.at[i];
    for (int i = 0; i < n && w->n < MOVED_MOST; i++)
        if (rated[i]->has_shares && !is_there(w, rated[i]) &&
            (rated[i]->share_over >= RARE || pressure(rated[i]) > 1))
            w->rows[w->n++] = rated[i];
}

static void write_influence(struct telling *w)
{
    page_heading(w->page, words_tolerances_influence);
    choose_watched(w);
    if (w->n == 0) {
        page_say(w->page, "  ", words_tolerances_too_few,
                 tolerances_sums_needed(w->t->list.groups.n));
        return;
    }
    for (int i = 0; i < w->n; i++) {
        const struct tolerances_row *row = w->rows[i];
        const char *text = arena_printf(w->page->arena, "%s:", figure_words(w, row));
        for (int nth = 0; nth < 3; nth++) {
            int g = tolerances_foremost(w->t, row, nth);
            if (g < 0 || (nth > 0 && row->share[g] < WORTH)) break;
            const char *one = arena_printf(w->page->arena, words_tolerances_moved, nth ? ", " : " ",
                                           tolerances_rows_group(w->page->arena, w->t, g),
                                           100 * row->share[g], ceil(100 * row->error[g]));
            text = arena_printf(w->page->arena, "%s%s", text, one);
        }
        page_hang(w->page, "  ", 2, text);
    }
    page_say(w->page, "  ", words_tolerances_method);
}

/* ---- which reading ---- */

/* The mean share of the figures at hand; one that is held against a rating weighs as much as there
 * are sets over it. */
static double benefit(struct telling *w, int g)
{
    double sum = 0, weights = 0;
    for (int i = 0; i < w->n; i++) {
        double weight = w->rows[i]->rating ? w->rows[i]->share_over : 1;
        sum += weight * w->rows[i]->share[g];
        weights += weight;
    }
    return weights > 0 ? sum / weights : 0;
}

/* Of a band; of temperatures in kelvins. */
static const char *width(struct telling *w, double value, enum unit unit)
{
    if (unit == UNIT_CELSIUS) return arena_printf(w->page->arena, "%.2g\x1fK", value);
    return page_number(w->page, value, unit, 2);
}

/* The reading that replaces it; NULL: none does. */
static const char *reading_of(struct telling *w, int g)
{
    const struct uncertain_group *group = &w->t->list.groups.at[g];
    if (group->together == TOGETHER_AC || group->together == TOGETHER_DC)
        return words_tolerances_better_meter;
    if (group->from == UNCERTAIN_LINE)
        return circuit_vibrates(w->t->setup->stages.at[0].circuit) ? words_tolerances_at_battery
                                                                   : words_tolerances_at_outlet;
    return words_known_by(group->known_by);
}

static int best_group(struct telling *w, const bool *taken)
{
    int best = -1;
    for (int g = 0; g < w->t->list.groups.n; g++) {
        if (!reading_of(w, g) || taken[g]) continue;
        if (best < 0 || benefit(w, g) > benefit(w, best)) best = g;
    }
    return best;
}

/* The figure it narrows most, as a band of nine of ten sets. */
static void say_narrows(struct telling *w, int g)
{
    const struct tolerances_row *most = w->rows[0];
    for (int i = 1; i < w->n; i++)
        if (w->rows[i]->share[g] > most->share[g]) most = w->rows[i];
    double band = most->spread.p95 - most->spread.p05;
    double left = band * sqrt(larger(1 - most->share[g], 0));
    page_say(w->page, "     ", words_tolerances_narrows, figure_words(w, most),
             width(w, left, most->unit), width(w, band, most->unit));
}

static void write_readings_first(struct telling *w)
{
    bool *taken = ARENA_ARRAY(w->page->arena, bool, w->t->list.groups.n);
    int told = 0;
    if (w->n == 0) return;
    page_heading(w->page, words_tolerances_first);
    for (; told < READINGS_MOST; told++) {
        int g = best_group(w, taken);
        if (g < 0 || benefit(w, g) < WORTH) break;
        taken[g] = true;
        page_say(w->page, arena_printf(w->page->arena, "  %d. ", told + 1), words_tolerances_take,
                 tolerances_rows_group(w->page->arena, w->t, g), reading_of(w, g));
        say_narrows(w, g);
    }
    if (told == 0) page_say(w->page, "  ", words_tolerances_none);
}

/* ---- what moves together ---- */

static void write_together(struct telling *w)
{
    static const char *const words[] = {[TOGETHER_BATCH] = words_tolerances_batch,
                                        [TOGETHER_AGE] = words_tolerances_age,
                                        [TOGETHER_AC] = words_tolerances_ac,
                                        [TOGETHER_DC] = words_tolerances_dc};
    const struct uncertain_list *list = &w->t->list;
    bool any = false;
    for (int g = 0; g < list->groups.n; g++) any |= list->groups.at[g].n > 1;
    if (any) page_heading(w->page, words_tolerances_together);
    for (int g = 0; g < list->groups.n; g++) {
        enum uncertain_together together = list->groups.at[g].together;
        if (list->groups.at[g].n < 2) continue;
        bool meter = together == TOGETHER_AC || together == TOGETHER_DC;
        const char *names =
            meter ? list->groups.at[g].key : tolerances_rows_group(w->page->arena, w->t, g);
        page_hang(w->page, "  ", 2, arena_printf(w->page->arena, "%s: %s", names, words[together]));
    }
    const char *kept = "";
    for (int i = 0; i < list->kept.n; i++)
        kept = arena_printf(w->page->arena, "%s%s%s %s", kept, i ? ", " : "",
                            list->kept.at[i]->part, list->kept.at[i]->key);
    if (*kept) page_gap(w->page), page_say(w->page, "", words_tolerances_kept, kept);
}

void tolerances_text_part(struct page *page, const struct tolerances *t)
{
    struct telling w = {.page = page, .t = t};
    if (t->list.groups.n == 0) {
        page_say(page, "", words_tolerances_exact);
        return;
    }
    page_gap(page);
    say_answer(&w);
    page_gap(page);
    say_how(&w);
    write_readings(&w);
    write_rated(&w);
    write_influence(&w);
    write_readings_first(&w);
    write_together(&w);
}

void tolerances_text_write(FILE *to, struct arena *arena, const struct tolerances *t,
                           const char *folder)
{
    struct page page = page_on(to, arena);
    page_title(&page, scenario_title(t->scenario), t->variant);
    if (t->status == STATUS_INTERRUPTED)
        page_say(&page, "", words_tolerances_interrupted, t->done, t->asked);
    tolerances_text_part(&page, t);
    if (t->list.groups.n == 0) return;
    page_gap(&page);
    page_say(&page, "", words_common_not_safe);
    page_gap(&page);
    page_path(&page, words_tolerances_file, arena_printf(arena, "%s/tolerances.csv", folder));
    page_path(&page, words_tolerances_influence_file,
              arena_printf(arena, "%s/influence.csv", folder));
    page_path(&page, words_tolerances_ranges_file, arena_printf(arena, "%s/ranges.csv", folder));
    struct hazards h = hazards_of(arena, t->setup, NULL, OCCASION_POWER);
    cautions_text_write(&page, &h, 1);
}
