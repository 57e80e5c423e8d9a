/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table shows values, marks and differences; the text below names what counts. `As built` tells
 * old sins from new ones: a set that always ran a part over its sheet did so for decades. */
#include "compare_text.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "columns.h"
#include "sort.h"
#include "summary_impl.h"
#include "trial.h"
#include "words_common.h"
#include "words_compare.h"

enum { LABEL = 30, VALUE = 9, FIRST = 10, OTHER = 15, TOLD_MOST = 6 };

#define AS_BUILT "as built"
#define WINDING_MORE 1.1   /* times the current there before: worth a look */
#define WINDING_LESS 0.5   /* relieved */
#define WINDING_LEAST 0.25 /* of a winding that is told of [A]: one for heaters */

struct telling {
    struct page *page;
    struct summary *of; /* [columns] */
    const struct comparison *c;
};

/* ---- cells ---- */

static const char *label(struct telling *t, const struct compare_row *row)
{
    const char *what = measure_words(row->measure);
    if (row->restart && row->measure == MEASURE_INRUSH_PEAK_CURRENT)
        what = words_compare_restart_peak;
    else if (row->restart) what = arena_printf(t->page->arena, words_compare_restart, what);
    return arena_printf(t->page->arena, "%s %s", row->subject, what);
}

static const char *value(struct telling *t, int column, const struct figure *f)
{
    bool rough = summary_rough(&t->of[column], f->subject, f->measure);
    return page_value_tight(t->page, f->value, f->unit, rough);
}

static const char *difference(struct telling *t, const struct judged *now,
                              const struct judged *then)
{
    if (!now || !then) return "";
    double d = now->figure.value / then->figure.value - 1;
    if (!isfinite(d) || fabs(then->figure.value) < 1e-6) return "";
    double percent = round(100 * d);
    if (percent == 0) return "=";
    if (fabs(percent) > 999) return d > 0 ? ">999%" : "<-999%";
    return arena_printf(t->page->arena, "%+.0f%%", percent);
}

static char mark(const struct judged *j)
{
    return !j ? ' ' : j->verdict == VERDICT_OVER ? '!' : j->verdict == VERDICT_NEAR ? '^' : ' ';
}

static const char *cell(void *context, int row, int column)
{
    struct telling *t = context;
    const struct compare_row *r = &t->c->rows.at[row];
    if (column < 0) return label(t, r);
    const struct judged *j = r->cell[column];
    const char *text = j ? value(t, column, &j->figure) : "-";
    text = arena_printf(t->page->arena, "%s%c", page_cell(t->page, text, -VALUE), mark(j));
    if (column == 0) return text;
    const char *change =
        compare_alike(r, column, 0) ? difference(t, j, r->cell[0]) : words_compare_each;
    return arena_printf(t->page->arena, "%s%s", text,
                        page_cell(t->page, change, VALUE + 1 - OTHER));
}

/* ---- sentences ---- */

static const char *with_limit(struct telling *t, int column, const struct judged *j)
{
    const char *text = value(t, column, &j->figure);
    if (!j->rating) return text;
    const char *limit = page_value(t->page, j->rating->limit, j->rating->unit, false);
    return arena_printf(t->page->arena, words_compare_of, text,
                        j->rating->at_least ? words_compare_at_least : "", limit);
}

static const char *beside(struct telling *t, const struct compare_row *row, int column, int other)
{
    return arena_printf(t->page->arena, words_compare_instead, label(t, row),
                        with_limit(t, column, row->cell[column]),
                        row->cell[column]->rating && row->cell[other]->rating &&
                                row->cell[column]->rating->limit == row->cell[other]->rating->limit
                            ? value(t, other, &row->cell[other]->figure)
                            : with_limit(t, other, row->cell[other]));
}

/* Of a dead set what stands at the end says nothing of better or worse. */
static bool says_nothing(const struct telling *t, const struct compare_row *row, int column,
                         int other)
{
    return (summary_dead(&t->of[column]) || summary_dead(&t->of[other])) && !row->restart &&
           measure_table[row->measure].at_end;
}

struct found {
    const struct compare_row *row;
    double size;
};

static int greater_first(const void *a, const void *b)
{
    double x = fabs(((const struct found *)a)->size), y = fabs(((const struct found *)b)->size);
    return (x < y) - (x > y);
}

/* The rows in which `column` is changed that way beside `other`, greatest change first. */
static int find_changes(const struct telling *t, int column, int other, enum change wanted,
                        struct found *found)
{
    int n = 0;
    for (int i = 0; i < t->c->rows.n; i++) {
        const struct compare_row *row = &t->c->rows.at[i];
        double size;
        if (says_nothing(t, row, column, other)) continue;
        if (compare_change(t->c, row, column, other, &size) != wanted) continue;
        found[n++] = (struct found){row, size};
    }
    sort_stable(found, n, sizeof *found, greater_first);
    return n;
}

static void tell_changes(struct telling *t, int column, int other, enum change wanted,
                         const char *first)
{
    struct found *found = ARENA_ARRAY(t->page->arena, struct found, t->c->rows.n);
    int n = find_changes(t, column, other, wanted, found);
    const char *text = "";
    for (int i = 0; i < n && i < TOLD_MOST; i++)
        text = arena_printf(t->page->arena, "%s%s%s", text, i ? "; " : "",
                            beside(t, found[i].row, column, other));
    if (n > TOLD_MOST) text = arena_printf(t->page->arena, words_compare_more, text, n - TOLD_MOST);
    if (n > 0) page_say(t->page, "  ", "%s: %s.", first, text);
}

enum over { OVER_NEW, OVER_OLD, OVER_ANY };

/* Whether a row that is over in `column` belongs to the list asked for: old ones are over in
 * `other` as well, and not worse here. */
static bool is_over(const struct telling *t, const struct compare_row *row, int column, int other,
                    enum over which)
{
    const struct judged *now = row->cell[column], *then = row->cell[other];
    if (!now || now->verdict != VERDICT_OVER || says_nothing(t, row, column, column)) return false;
    if (which == OVER_ANY) return true;
    double size;
    bool old = then && then->verdict == VERDICT_OVER &&
               compare_change(t->c, row, column, other, &size) != CHANGE_WORSE;
    return old == (which == OVER_OLD);
}

static void tell_over(struct telling *t, int column, int other, enum over which, const char *first)
{
    const char *text = "";
    for (int i = 0; i < t->c->rows.n; i++) {
        const struct compare_row *row = &t->c->rows.at[i];
        if (!is_over(t, row, column, other, which)) continue;
        const struct judged *j = row->cell[column];
        const char *when =
            isnan(j->figure.time) || row->restart || summary_of_warm(&t->of[column], j)
                ? ""
                : arena_printf(t->page->arena, words_compare_at,
                               summary_time(&t->of[column], j->figure.time));
        text = arena_printf(t->page->arena, "%s%s%s %s%s", text, *text ? "; " : "", label(t, row),
                            with_limit(t, column, j), when);
    }
    if (*text) page_say(t->page, "  ", "%s: %s.", first, text);
}

static int as_built(const struct comparison *c)
{
    for (int k = 0; k < c->columns; k++)
        if (strcmp(c->names[k], AS_BUILT) == 0) return k;
    return -1;
}

static bool any_change(const struct telling *t, int column)
{
    double size;
    for (int i = 0; i < t->c->rows.n; i++) {
        const struct compare_row *row = &t->c->rows.at[i];
        bool changed = !says_nothing(t, row, column, 0) &&
                       compare_change(t->c, row, column, 0, &size) != CHANGE_NONE;
        if (changed || is_over(t, row, column, 0, OVER_ANY)) return true;
    }
    return false;
}

/* The current of a secondary winding without a rating; NaN: the figure is another. */
static double winding_current(const struct turn_on *t, const struct judged *j)
{
    const char *dot = strchr(j->figure.subject, '.');
    if (!dot || strcmp(dot, ".primary") == 0 || j->rating ||
        j->figure.measure != MEASURE_RMS_CURRENT ||
        strcmp(j->variant, t->warm ? t->warm_name : t->setup->variant) != 0)
        return (double)NAN;
    const struct set *set = t->setup->stages.at[0].set;
    size_t n = (size_t)(dot - j->figure.subject);
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        if (strlen(part->name) == n && strncmp(part->name, j->figure.subject, n) == 0 &&
            part_is(part, ROLE_TRANSFORMER))
            return j->figure.value;
    }
    return (double)NAN;
}

/* Another tube, or silicon, changes what a winding without a rating carries. */
static void tell_windings(struct telling *t, int column)
{
    const struct turn_on *now = t->c->turn_ons[column], *then = t->c->turn_ons[0];
    for (int i = 0; i < now->judgement->all.n; i++) {
        const struct judged *j = &now->judgement->all.at[i];
        double amperes = winding_current(now, j);
        const struct figure *before =
            run_figure(then->warm ? then->warm : then->run, j->figure.subject, MEASURE_RMS_CURRENT);
        if (!before || isnan(amperes)) continue;
        const char *now_text = page_value(t->page, amperes, UNIT_AMPERE, false);
        const char *then_text = page_value(t->page, before->value, UNIT_AMPERE, false);
        if (amperes > WINDING_MORE * before->value && before->value > WINDING_LEAST)
            page_say(t->page, "  ", words_compare_winding, j->figure.subject, now_text, then_text);
        else if (amperes < WINDING_LESS * before->value && before->value > WINDING_LEAST)
            page_say(t->page, "  ", words_compare_relieved, j->figure.subject, now_text, then_text);
    }
}

/* What has opened, and whether anything comes in after it. */
static void tell_opened(struct telling *t, int column)
{
    const char *text = summary_opened(&t->of[column]);
    if (summary_dead(&t->of[column]))
        page_say(t->page, "  ", words_compare_dead, *text ? text : words_compare_nothing_in);
    else if (*text) page_say(t->page, "  ", "%s.", text);
}

/* A change that somebody asks about, and not a fault that was laid in: nothing fails, nothing
 * happens on the way. */
static bool is_repair(const struct telling *t, int column)
{
    const struct setup *setup = t->c->turn_ons[column]->setup;
    if (setup->stages.n > 1 || summary_dead(&t->of[column])) return false;
    const struct set *set = setup->stages.at[0].set;
    for (int i = 0; i < set->parts.n; i++)
        if (part_condition(set->parts.at[i])) return false;
    return true;
}

/* What uses most of its rating among what is over in `column`, newly or of old; what only stands in
 * for the peak current in a data sheet comes after all others. NULL: nothing. */
static const struct compare_row *worst_over(const struct telling *t, int column, enum over which)
{
    const struct compare_row *worst = NULL;
    for (int i = 0; i < t->c->rows.n; i++) {
        const struct compare_row *row = &t->c->rows.at[i];
        if (!is_over(t, row, column, 0, which)) continue;
        bool stands_in = measure_table[row->measure].stand_in;
        bool before = worst && measure_table[worst->measure].stand_in;
        if (!worst || (before && !stands_in) ||
            (before == stands_in && row->cell[column]->share > worst->cell[column]->share))
            worst = row;
    }
    return worst;
}

/* The plain answer: does what this column changes fit? */
static void tell_fit(struct telling *t, int column)
{
    const char *name = t->c->names[column], *limit = "";
    const struct compare_row *new_one = worst_over(t, column, OVER_NEW);
    const struct compare_row *old_one = worst_over(t, column, OVER_OLD);
    if (!is_repair(t, column)) return;
    if (new_one) limit = with_limit(t, column, new_one->cell[column]);
    if (new_one && measure_table[new_one->measure].stand_in)
        page_say(t->page, "  ", words_compare_fit_sheet, name, label(t, new_one), limit);
    else if (new_one && t->c->eased[column] > 0)
        page_say(t->page, "  ", words_compare_fit_with, name,
                 page_value(t->page, t->c->eased[column], UNIT_OHM, false), label(t, new_one),
                 limit);
    else if (new_one)
        page_say(t->page, "  ", words_compare_fit_not, name, label(t, new_one), limit);
    else if (old_one)
        page_say(t->page, "  ", words_compare_fit_as_before, name, t->c->names[0],
                 label(t, old_one));
    else page_say(t->page, "  ", words_compare_fit, name);
    if (t->of[column].setup->hot) page_say(t->page, "  ", words_compare_fit_hot);
}

static void tell_column(struct telling *t, int column, int built)
{
    page_heading(t->page, arena_printf(t->page->arena, words_compare_beside, t->c->names[column],
                                       t->c->names[0]));
    tell_opened(t, column);
    summary_passed(&t->of[column], "  ");
    tell_changes(t, column, 0, CHANGE_BETTER, words_compare_better);
    tell_changes(t, column, 0, CHANGE_WORSE, words_compare_worse);
    tell_over(t, column, 0, OVER_NEW, words_compare_over_now);
    tell_over(t, column, 0, OVER_OLD, words_compare_over_still);
    if (!any_change(t, column) && !summary_dead(&t->of[column]))
        page_say(t->page, "  ", words_compare_nothing);
    if (!summary_dead(&t->of[column])) tell_windings(t, column);
    if (built >= 0 && built != column && built != 0) {
        tell_changes(t, column, built, CHANGE_WORSE, words_compare_worse_than_built);
        tell_over(t, column, built, OVER_OLD, words_compare_over_sheet);
    }
    tell_fit(t, column);
}

/* ---- the frame ---- */

static void write_head(struct telling *t)
{
    const struct comparison *c = t->c;
    if (c->missing) page_say(t->page, "", words_compare_missing, c->missing);
    page_title(t->page, t->of[0].setup->title, NULL);
    const char *columns = c->columns == 1
                              ? words_compare_one_column
                              : arena_printf(t->page->arena, words_compare_columns, c->columns);
    bool warm = true;
    for (int k = 0; k < c->columns; k++) warm &= c->turn_ons[k]->warm != NULL;
    page_say(t->page, "", words_compare_head, columns,
             page_value(t->page, t->of[0].run->end, UNIT_SECOND, false),
             t->of[0].setup->hot ? words_common_hot : words_common_cold,
             warm ? words_compare_warm : words_compare_not_warm);
    page_gap(t->page);
}

static void write_legend(struct telling *t)
{
    bool each = false;
    for (int i = 0; i < t->c->rows.n; i++)
        for (int k = 1; k < t->c->columns; k++) each |= !compare_alike(&t->c->rows.at[i], k, 0);
    page_say(t->page, "  ", words_compare_marks, 100 * JUDGE_NEAR, t->c->names[0],
             each ? words_compare_each_note : "");
    const char *loose = "";
    for (int k = 0; k < t->c->columns; k++)
        if (!t->c->turn_ons[k]->warm && !trial_volts_settled(t->c->turn_ons[k]->run))
            loose =
                arena_printf(t->page->arena, "%s%s%s", loose, *loose ? ", " : "", t->c->names[k]);
    if (*loose) page_say(t->page, "  ", words_compare_unsettled, loose);
    for (int k = 0; k < t->c->columns; k++)
        if (t->c->turn_ons[k]->run->statistics.audit_failed)
            page_say(t->page, "!! ", words_compare_audit, t->c->names[k]);
}

static void write_table(struct telling *t)
{
    struct columns table = {.label = LABEL,
                            .first = FIRST,
                            .width = OTHER,
                            .n = t->c->columns,
                            .rows = t->c->rows.n,
                            .repeat = true,
                            .corner = "",
                            .heads = t->c->names,
                            .cell = cell,
                            .context = t};
    columns_write(t->page, &table);
    write_legend(t);
}

static void write_cautions(struct telling *t)
{
    const struct comparison *c = t->c;
    struct hazards *all = ARENA_ARRAY(t->page->arena, struct hazards, c->columns);
    for (int k = 0; k < c->columns; k++)
        all[k] = hazards_of(t->page->arena, c->turn_ons[k]->setup, c->turn_ons[k]->run,
                            OCCASION_POWER | OCCASION_REPLACE);
    cautions_text_write(t->page, all, c->columns);
}

static struct telling telling_of(struct page *page, const struct comparison *c)
{
    struct telling t = {page, ARENA_ARRAY(page->arena, struct summary, c->columns), c};
    for (int k = 0; k < c->columns; k++) t.of[k] = summary_of(page, c->turn_ons[k]);
    return t;
}

static void write_part(struct telling *t)
{
    const struct comparison *c = t->c;
    write_table(t);
    tell_over(t, 0, 0, OVER_ANY, arena_printf(t->page->arena, words_compare_over_in, c->names[0]));
    for (int k = 1; k < c->columns; k++) tell_column(t, k, as_built(c));
}

void compare_text_part(struct page *page, const struct comparison *c)
{
    struct telling t = telling_of(page, c);
    write_part(&t);
}

void compare_text_write(FILE *to, struct arena *arena, const struct comparison *c,
                        const char *figures)
{
    struct page page = page_on(to, arena);
    struct telling t = telling_of(&page, c);
    write_head(&t);
    write_part(&t);
    page_gap(&page);
    if (figures) page_path(&page, words_common_figures, figures);
    write_cautions(&t);
}
