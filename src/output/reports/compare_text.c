/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table shows values, marks and differences; the text below names what counts. `As built` tells
 * old sins from new ones: a set that always ran a part over its sheet did so for decades. */
#include "compare_text.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "columns.h"
#include "trial.h"

enum { LABEL = 30, VALUE = 9, FIRST = 10, OTHER = 15, TOLD_MOST = 6 };

#define AS_BUILT "as built"
#define WINDING_MORE 1.1   /* times the current there before: worth a look */
#define WINDING_LESS 0.5   /* relieved */
#define WINDING_LEAST 0.25 /* of a winding that is told of [A]: one for heaters */

struct telling {
    struct summary *s;  /* of the first column: where to write */
    struct summary *of; /* [columns] */
    const struct comparison *c;
};

/* ---- cells ---- */

static const char *label(struct telling *t, const struct compare_row *row)
{
    const char *what = measure_table[row->measure].words;
    if (row->restart && row->measure == MEASURE_INRUSH_PEAK_CURRENT) what = "hot restart peak";
    else if (row->restart) what = arena_printf(t->s->arena, "%s, hot restart", what);
    return arena_printf(t->s->arena, "%s %s", row->subject, what);
}

static const char *value(struct telling *t, int column, const struct figure *f)
{
    struct summary *s = &t->of[column];
    bool rough = summary_rough(s, f->subject, f->measure);
    const char *text = summary_value(s, f->value, f->unit, rough);
    size_t about = strlen("about ");
    return strncmp(text, "about", about - 1) == 0 ? arena_printf(s->arena, "~%s", text + about)
                                                  : text;
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
    return arena_printf(t->s->arena, "%+.0f%%", percent);
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
    text = arena_printf(t->s->arena, "%s%c", summary_cell(t->s, text, -VALUE), mark(j));
    if (column == 0) return text;
    return arena_printf(t->s->arena, "%s%s", text,
                        summary_cell(t->s, difference(t, j, r->cell[0]), VALUE + 1 - OTHER));
}

/* ---- sentences ---- */

static const char *with_limit(struct telling *t, int column, const struct judged *j)
{
    struct summary *s = &t->of[column];
    const char *text = value(t, column, &j->figure);
    if (!j->rating) return text;
    const char *limit = summary_value(s, j->rating->limit, j->rating->unit, false);
    return arena_printf(s->arena, "%s of %s%s", text, j->rating->at_least ? "at least " : "",
                        limit);
}

static const char *beside(struct telling *t, const struct compare_row *row, int column, int other)
{
    return arena_printf(t->s->arena, "%s %s instead of %s", label(t, row),
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
        int k = n++;
        for (; k > 0 && fabs(found[k - 1].size) < fabs(size); k--) found[k] = found[k - 1];
        found[k] = (struct found){row, size};
    }
    return n;
}

static void tell_changes(struct telling *t, int column, int other, enum change wanted,
                         const char *first)
{
    struct found *found = ARENA_ARRAY(t->s->arena, struct found, t->c->rows.n);
    int n = find_changes(t, column, other, wanted, found);
    const char *text = "";
    for (int i = 0; i < n && i < TOLD_MOST; i++)
        text = arena_printf(t->s->arena, "%s%s%s", text, i ? "; " : "",
                            beside(t, found[i].row, column, other));
    if (n > TOLD_MOST)
        text = arena_printf(t->s->arena, "%s; and %d more in the table", text, n - TOLD_MOST);
    if (n > 0) summary_say(t->s, "  ", "%s: %s.", first, text);
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
            isnan(j->figure.time) || row->restart
                ? ""
                : arena_printf(t->s->arena, " at %s", summary_time(&t->of[column], j->figure.time));
        text = arena_printf(t->s->arena, "%s%s%s %s%s", text, *text ? "; " : "", label(t, row),
                            with_limit(t, column, j), when);
    }
    if (*text) summary_say(t->s, "  ", "%s: %s.", first, text);
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
        j->figure.measure != MEASURE_RMS_CURRENT || strcmp(j->variant, t->setup->variant) != 0)
        return (double)NAN;
    const struct set *set = t->setup->stages.at[0].set;
    size_t n = (size_t)(dot - j->figure.subject);
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        if (strlen(part->name) == n && strncmp(part->name, j->figure.subject, n) == 0 &&
            strcmp(part->kind->name, "power transformer") == 0)
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
            result_find(then->run, j->figure.subject, MEASURE_RMS_CURRENT);
        if (!before || isnan(amperes)) continue;
        const char *now_text = summary_value(t->s, amperes, UNIT_AMPERE, false);
        const char *then_text = summary_value(t->s, before->value, UNIT_AMPERE, false);
        if (amperes > WINDING_MORE * before->value && before->value > WINDING_LEAST)
            summary_say(t->s, "  ",
                        "Look at it: %s carries %s instead of %s, and no rating of it is known. A "
                        "winding is made for the tubes the set left the factory with "
                        "(common practice, no source); `rated:` with the winding has it judged.",
                        j->figure.subject, now_text, then_text);
        else if (amperes < WINDING_LESS * before->value && before->value > WINDING_LEAST)
            summary_say(t->s, "  ",
                        "%s is relieved: %s instead of %s; the other heaters on that transformer "
                        "rise a little.",
                        j->figure.subject, now_text, then_text);
    }
}

/* What has opened, and whether anything comes in after it. */
static void tell_opened(struct telling *t, int column)
{
    const char *text = summary_opened(&t->of[column]);
    if (summary_dead(&t->of[column]))
        summary_say(t->s, "  ", "Dead: %s. What counts is what came before.",
                    *text ? text : "nothing comes in at the end");
    else if (*text) summary_say(t->s, "  ", "%s.", text);
}

static void tell_column(struct telling *t, int column, int built)
{
    summary_heading(
        t->s, arena_printf(t->s->arena, "%s, beside %s", t->c->names[column], t->c->names[0]));
    tell_opened(t, column);
    tell_changes(t, column, 0, CHANGE_BETTER, "Better");
    tell_changes(t, column, 0, CHANGE_WORSE, "Worse");
    tell_over(t, column, 0, OVER_NEW, "Over its rating now");
    tell_over(t, column, 0, OVER_OLD, "Over, and no better or worse there");
    if (!any_change(t, column) && !summary_dead(&t->of[column]))
        summary_say(t->s, "  ", "Nothing that counts changes, and nothing is over its rating.");
    tell_windings(t, column);
    if (built < 0 || built == column || built == 0) return;
    tell_changes(t, column, built, CHANGE_WORSE, "Worse than as built");
    tell_over(t, column, built, OVER_OLD, "Over the sheet, but no worse than as built");
}

/* ---- the frame ---- */

static void write_head(struct telling *t)
{
    const struct comparison *c = t->c;
    if (c->missing)
        summary_say(t->s, "", "INTERRUPTED: these columns were not finished and are left out: %s",
                    c->missing);
    if (t->s->setup->title) summary_say(t->s, "", "%s", t->s->setup->title);
    const char *columns =
        c->columns == 1 ? "One column:"
                        : arena_printf(t->s->arena, "%d columns side by side: each", c->columns);
    summary_say(t->s, "", "%s a turn-on of %s from %s, and its hot restart.", columns,
                summary_value(t->s, t->s->run->end, UNIT_SECOND, false),
                t->s->setup->hot ? "hot" : "cold");
    fputc('\n', t->s->to);
}

static void write_legend(struct telling *t)
{
    summary_say(
        t->s, "  ",
        "! over its rating, ^ over 90 %% of it; behind it the difference to %s. ~ hangs on a "
        "guess. Of two plates or halves the worse one.",
        t->c->names[0]);
    const char *loose = "";
    for (int k = 0; k < t->c->columns; k++)
        if (!volts_settled(t->c->turn_ons[k]->run))
            loose = arena_printf(t->s->arena, "%s%s%s", loose, *loose ? ", " : "", t->c->names[k]);
    if (*loose)
        summary_say(t->s, "  ",
                    "Volts had not settled by the end, a longer run tells (--for 60s): "
                    "%s.",
                    loose);
    for (int k = 0; k < t->c->columns; k++)
        if (t->c->turn_ons[k]->run->statistics.audit_failed)
            summary_say(t->s, "!! ", "THE AUDIT OF %s FAILED. Trust none of its figures.",
                        t->c->names[k]);
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
    columns_write(t->s, &table);
    write_legend(t);
}

static void write_cautions(struct telling *t)
{
    const struct comparison *c = t->c;
    struct hazards *all = ARENA_ARRAY(t->s->arena, struct hazards, c->columns);
    for (int k = 0; k < c->columns; k++)
        all[k] = hazards_of(t->s->arena, c->turn_ons[k]->setup, c->turn_ons[k]->run,
                            OCCASION_POWER | OCCASION_REPLACE);
    summary_cautions(t->s, all, c->columns);
}

void compare_text_write(FILE *to, struct arena *arena, const struct comparison *c,
                        const char *figures)
{
    struct telling t = {.of = ARENA_ARRAY(arena, struct summary, c->columns), .c = c};
    for (int k = 0; k < c->columns; k++) t.of[k] = summary_of(to, arena, c->turn_ons[k]);
    t.s = &t.of[0];
    write_head(&t);
    write_table(&t);
    tell_over(&t, 0, 0, OVER_ANY, arena_printf(arena, "Over its rating in %s", c->names[0]));
    for (int k = 1; k < c->columns; k++) tell_column(&t, k, as_built(c));
    fputc('\n', to);
    if (figures) summary_path(t.s, "All figures:", figures);
    write_cautions(&t);
}
