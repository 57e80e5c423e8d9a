/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wish is told in the user's own words. */
#include "find_text.h"

#include <math.h>

#include "columns.h"
#include "find_common.h"
#include "preferred.h"
#include "words_find.h"

enum { DIGITS = 4, LABEL = 26, WIDTH = 18 };

struct telling_find {
    struct page *page;
    const struct changed *changed;
    const struct wish *wish;
    const struct finding *f;
    const struct find_point *rows; /* of the table being written */
};

static const char *amount(struct telling_find *t, double value, enum unit unit, int digits)
{
    return find_amount(t->page, value, unit, digits);
}

static const char *key_value(struct telling_find *t, double value)
{
    return amount(t, value, t->changed->unit, DIGITS);
}

/* ---- tables ---- */

static const char *series(struct telling_find *t, const struct find_point *p)
{
    const struct finding *f = t->f;
    const char *value = key_value(t, p->value[0]);
    if (p->value[0] == f->exact.value[0])
        return arena_printf(t->page->arena, words_find_exactly, value);
    const char *of = preferred_is(PREFERRED_E12, p->value[0]) ? "E12" : "E24";
    bool best = f->best >= 0 && p->value[0] == f->near[f->best].value[0];
    return arena_printf(t->page->arena, "%s  %s%s", value, of, best ? words_find_proposed : "");
}

static const char *figure_cell(struct telling_find *t, const struct find_point *p)
{
    return isnan(p->figure[0]) ? "- " : amount(t, p->figure[0], t->wish->unit, DIGITS);
}

static const char *cell(void *context, int row, int column)
{
    struct telling_find *t = context;
    const struct find_point *p = &t->rows[row];
    enum unit unit;
    double v;
    switch (column) {
    case -1:
        if (p->load != 1) return find_load_label(t->page, p->load);
        return t->rows == t->f->grid ? key_value(t, p->value[0]) : series(t, p);
    case 0: return figure_cell(t, p);
    case 1: return find_off_words(t->page, t->wish, p->figure[0]);
    case 2: return find_over_words(t->page, p->trial);
    default:
        v = find_strain(t->changed, p->trial, &unit);
        return isnan(v) ? "- " : amount(t, v, unit, 3);
    }
}

static void write_table(struct telling_find *t, const struct find_point *rows, int n, bool whole)
{
    const char *heads[] = {
        arena_printf(t->page->arena, "%s %s", t->wish->subject, measure_words(t->wish->measure)),
        words_find_off_the_wish, words_find_figures_over,
        arena_printf(t->page->arena, "%s %s", find_part(t->page, t->changed),
                     t->changed->unit == UNIT_FARAD ? words_find_highest_volts
                                                    : words_find_heat_head)};
    enum unit unit;
    bool strained = whole && !isnan(find_strain(t->changed, rows[0].trial, &unit));
    t->rows = rows;
    struct columns table = {.label = LABEL,
                            .first = WIDTH,
                            .width = WIDTH,
                            .n = strained ? 4 : 3,
                            .rows = n,
                            .corner = t->changed->path,
                            .heads = heads,
                            .cell = cell,
                            .context = t};
    columns_write(t->page, &table);
}

/* ---- sentences ---- */

static void tell_answer(struct telling_find *t)
{
    const struct finding *f = t->f;
    struct find_point *rows = ARENA_ARRAY(t->page->arena, struct find_point, f->nears + 1);
    page_say(t->page, "", words_find_gives, t->changed->path, key_value(t, f->exact.value[0]),
             amount(t, f->exact.figure[0], t->wish->unit, DIGITS + 1));
    if (f->roots > 1) page_say(t->page, "", words_find_several_values, f->roots);
    page_gap(t->page);
    rows[0] = f->exact;
    for (int i = 0; i < f->nears; i++) rows[i + 1] = f->near[i];
    write_table(t, rows, f->nears + 1, true);
    page_gap(t->page);
    if (f->best >= 0)
        page_say(t->page, "", words_find_nearest,
                 t->wish->relation == '=' && !t->wish->slack ? "" : words_find_that_does_it,
                 key_value(t, f->near[f->best].value[0]),
                 amount(t, f->near[f->best].figure[0], t->wish->unit, DIGITS));
    else if (f->nears > 0) page_say(t->page, "", words_find_none_near);
    const struct trial *taken = f->best >= 0 ? f->near[f->best].trial : f->exact.trial;
    bool said = find_purchase_write(t->page, t->changed, taken, words_find_it) || f->nears > 0;
    if (f->load_count > 0) {
        if (said) page_gap(t->page);
        write_table(t, f->loads, f->load_count, true);
    }
    find_loads_write(t->page, f, t->wish, 1);
}

const char *find_reach(struct arena *arena, const struct changed *changed, const struct wish *wish,
                       const struct finding *f)
{
    char a[64], b[64], c[64], d[64];
    quantity_text(f->least[0].figure[0], wish->unit, 3, a, sizeof a);
    quantity_text(f->least[0].value[0], changed->unit, 3, b, sizeof b);
    quantity_text(f->most[0].figure[0], wish->unit, 3, c, sizeof c);
    quantity_text(f->most[0].value[0], changed->unit, 3, d, sizeof d);
    return arena_printf(arena, words_find_goes, wish->subject, wish->name, a, changed->path, b, c,
                        changed->path, d);
}

static void write_head(struct telling_find *t, const char *title, bool cold)
{
    page_title(t->page, title, NULL);
    page_say(t->page, "", words_find_wanted, t->wish->text,
             find_changed_words(t->page, t->changed));
    find_runs_words(t->page, cold);
    page_gap(t->page);
}

void find_text_write(FILE *to, struct arena *arena, const char *title,
                     const struct changed *changed, const struct wish *wish,
                     const struct finding *f, bool cold, const char *figures)
{
    struct page page = page_on(to, arena);
    struct telling_find t = {&page, changed, wish, f, NULL};
    write_head(&t, title, cold);
    write_table(&t, f->grid, f->points, false);
    page_gap(&page);
    if (f->outcome == FIND_ANY)
        page_say(&page, "", words_find_every, key_value(&t, f->grid[0].value[0]),
                 key_value(&t, f->grid[f->points - 1].value[0]),
                 find_reach(arena, changed, wish, f));
    else tell_answer(&t);
    find_end_write(&page, f, figures);
}
