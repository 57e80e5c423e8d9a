/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of the grid only its ranges are told; all its runs stand in the file. */
#include "find_pair_text.h"

#include <math.h>

#include "columns.h"
#include "find_common.h"
#include "preferred.h"
#include "words_find.h"

enum { DIGITS = 4, LABEL = 36, WIDTH = 12 };

struct telling_pair {
    struct page *page;
    const struct changed *changed;
    const struct wish *wishes;
    const struct finding *f;
    const struct find_point *rows; /* of the table being written */
};

static const char *key_value(struct telling_pair *t, const struct find_point *p, int w)
{
    return find_amount(t->page, p->value[w], t->changed[w].unit, DIGITS);
}

static const char *figure_value(struct telling_pair *t, int w, double figure)
{
    return find_amount(t->page, figure, t->wishes[w].unit, DIGITS);
}

/* `1 kohm and 2.5 kohm`. */
static const char *both_values(struct telling_pair *t, const struct find_point *p)
{
    return arena_printf(t->page->arena, words_find_and, key_value(t, p, 0), key_value(t, p, 1));
}

static const char *both_figures(struct telling_pair *t, const struct find_point *p)
{
    return arena_printf(t->page->arena, words_find_and, figure_value(t, 0, p->figure[0]),
                        figure_value(t, 1, p->figure[1]));
}

/* ---- the table ---- */

static bool is_e12(const struct telling_pair *t, const struct find_point *p)
{
    for (int w = 0; w < 2; w++)
        if (p->value[w] != t->f->exact.value[w] && !preferred_is(PREFERRED_E12, p->value[w]))
            return false;
    return true;
}

static const char *row_label(struct telling_pair *t, const struct find_point *p)
{
    const struct finding *f = t->f;
    if (p->load != 1) return find_load_label(t->page, p->load);
    const char *what = p == t->rows ? words_find_exactly_this : is_e12(t, p) ? "E12" : "E24";
    bool best = f->best >= 0 && p == &t->rows[f->best + 1];
    return arena_printf(t->page->arena, "%s  %s%s", both_values(t, p), what,
                        best ? words_find_proposed : "");
}

static const char *cell(void *context, int row, int column)
{
    struct telling_pair *t = context;
    const struct find_point *p = &t->rows[row];
    if (column < 0) return row_label(t, p);
    if (column == 4) return find_over_words(t->page, p->trial);
    int w = column / 2;
    if (column % 2) return find_off_words(t->page, &t->wishes[w], p->figure[w]);
    return isnan(p->figure[w]) ? "- " : figure_value(t, w, p->figure[w]);
}

static void write_table(struct telling_pair *t, const struct find_point *rows, int n)
{
    const char *heads[5] = {NULL, words_find_off_the_wish, NULL, words_find_off_the_wish,
                            words_find_over_rating};
    for (int w = 0; w < 2; w++)
        heads[2 * w] = arena_printf(t->page->arena, "%s %s", t->wishes[w].subject,
                                    measure_words(t->wishes[w].measure));
    t->rows = rows;
    struct columns table = {.label = LABEL,
                            .first = WIDTH,
                            .width = WIDTH,
                            .n = 5,
                            .rows = n,
                            .corner = arena_printf(t->page->arena, words_find_and,
                                                   t->changed[0].path, t->changed[1].path),
                            .heads = heads,
                            .cell = cell,
                            .context = t};
    columns_write(t->page, &table);
}

/* ---- sentences ---- */

static void write_head(struct telling_pair *t, const char *title, bool cold)
{
    const struct finding *f = t->f;
    page_title(t->page, title, NULL);
    page_say(t->page, "", words_find_wanted_both, t->wishes[0].text, t->wishes[1].text,
             find_changed_words(t->page, &t->changed[0]),
             find_changed_words(t->page, &t->changed[1]));
    find_runs_words(t->page, cold);
    page_gap(t->page);
    const struct find_point *first = &f->grid[0], *last = &f->grid[f->points - 1];
    for (int w = 0; w < 2; w++)
        page_say(t->page, "", words_find_grid, t->changed[w].path, key_value(t, first, w),
                 key_value(t, last, w), t->wishes[w].subject, t->wishes[w].name,
                 figure_value(t, w, f->least[w].figure[w]),
                 figure_value(t, w, f->most[w].figure[w]));
    page_gap(t->page);
}

static void tell_answer(struct telling_pair *t)
{
    const struct finding *f = t->f;
    struct find_point *rows = ARENA_ARRAY(t->page->arena, struct find_point, f->nears + 1);
    page_say(t->page, "", words_find_both_give, t->changed[0].path, key_value(t, &f->exact, 0),
             t->changed[1].path, key_value(t, &f->exact, 1), both_figures(t, &f->exact));
    page_gap(t->page);
    rows[0] = f->exact;
    for (int i = 0; i < f->nears; i++) rows[i + 1] = f->near[i];
    write_table(t, rows, f->nears + 1);
    page_gap(t->page);
    if (f->best >= 0)
        page_say(t->page, "", words_find_nearest_pair, both_values(t, &f->near[f->best]),
                 both_figures(t, &f->near[f->best]));
    else if (f->nears > 0) page_say(t->page, "", words_find_none_near);
    const struct trial *bought = f->best >= 0 ? f->near[f->best].trial : f->exact.trial;
    for (int w = 0; w < 2; w++)
        find_purchase_write(t->page, &t->changed[w], bought, find_part(t->page, &t->changed[w]));
    if (f->load_count > 0) {
        page_gap(t->page);
        write_table(t, f->loads, f->load_count);
    }
    find_loads_write(t->page, f, t->wishes, 2);
}

static bool outside(const struct finding *f, const struct wish wishes[2], int w)
{
    return !(f->least[w].figure[w] <= wishes[w].value && wishes[w].value <= f->most[w].figure[w]);
}

const char *find_pair_reach(struct arena *arena, const struct changed changed[2],
                            const struct wish wishes[2], const struct finding *f)
{
    struct page page = {.to = NULL, .arena = arena};
    struct telling_pair t = {&page, changed, wishes, f, NULL};
    const char *text = "";
    if (f->both >= 0)
        return arena_printf(arena, words_find_both_loose, changed[0].path,
                            key_value(&t, &f->grid[f->both], 0), changed[1].path,
                            key_value(&t, &f->grid[f->both], 1));
    for (int w = 0; w < 2; w++)
        if (outside(f, wishes, w) || (w == 1 && !*text && isnan(f->least_beside)))
            text = arena_printf(arena, words_find_range, text, *text ? "; " : "", wishes[w].subject,
                                wishes[w].name, figure_value(&t, w, f->least[w].figure[w]),
                                figure_value(&t, w, f->most[w].figure[w]));
    if (*text) return text;
    return arena_printf(arena, words_find_where, wishes[0].subject, wishes[0].name,
                        figure_value(&t, 0, wishes[0].value), wishes[1].subject, wishes[1].name,
                        figure_value(&t, 1, f->least_beside), figure_value(&t, 1, f->most_beside));
}

void find_pair_text_write(FILE *to, struct arena *arena, const char *title,
                          const struct changed changed[2], const struct wish wishes[2],
                          const struct finding *f, bool cold, const char *figures)
{
    struct page page = page_on(to, arena);
    struct telling_pair t = {&page, changed, wishes, f, NULL};
    write_head(&t, title, cold);
    if (f->outcome == FIND_ANY) page_say(&page, "", words_find_every_pair);
    else tell_answer(&t);
    find_end_write(&page, f, figures);
}
