/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of the grid only its ranges are told; all its runs stand in the file. */
#include "find_pair_text.h"

#include <math.h>

#include "columns.h"
#include "find_words.h"
#include "preferred.h"

enum { DIGITS = 4, LABEL = 36, WIDTH = 12 };

struct telling_pair {
    struct summary *s;
    const struct changed *changed;
    const struct wish *wishes;
    const struct finding *f;
    const struct find_point *rows; /* of the table being written */
};

static const char *key_value(struct telling_pair *t, const struct find_point *p, int w)
{
    return find_amount(t->s, p->value[w], t->changed[w].unit, DIGITS);
}

static const char *figure_value(struct telling_pair *t, int w, double figure)
{
    return find_amount(t->s, figure, t->wishes[w].unit, DIGITS);
}

/* `1 kohm and 2.5 kohm`. */
static const char *both_values(struct telling_pair *t, const struct find_point *p)
{
    return arena_printf(t->s->arena, "%s and %s", key_value(t, p, 0), key_value(t, p, 1));
}

static const char *both_figures(struct telling_pair *t, const struct find_point *p)
{
    return arena_printf(t->s->arena, "%s and %s", figure_value(t, 0, p->figure[0]),
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
    if (p->load != 1) return find_load_label(t->s, p->load);
    const char *what = p == t->rows ? "exactly" : is_e12(t, p) ? "E12" : "E24";
    bool best = f->best >= 0 && p == &t->rows[f->best + 1];
    return arena_printf(t->s->arena, "%s  %s%s", both_values(t, p), what, best ? ", proposed" : "");
}

static const char *cell(void *context, int row, int column)
{
    struct telling_pair *t = context;
    const struct find_point *p = &t->rows[row];
    if (column < 0) return row_label(t, p);
    if (column == 4) return find_over_words(t->s, p->trial);
    int w = column / 2;
    if (column % 2) return find_off_words(t->s, &t->wishes[w], p->figure[w]);
    return isnan(p->figure[w]) ? "- " : figure_value(t, w, p->figure[w]);
}

static void write_table(struct telling_pair *t, const struct find_point *rows, int n)
{
    const char *heads[5] = {NULL, "off the wish", NULL, "off the wish", "over their rating"};
    for (int w = 0; w < 2; w++)
        heads[2 * w] = arena_printf(t->s->arena, "%s %s", t->wishes[w].subject,
                                    measure_table[t->wishes[w].measure].words);
    t->rows = rows;
    struct columns table = {
        .label = LABEL,
        .first = WIDTH,
        .width = WIDTH,
        .n = 5,
        .rows = n,
        .corner = arena_printf(t->s->arena, "%s and %s", t->changed[0].path, t->changed[1].path),
        .heads = heads,
        .cell = cell,
        .context = t};
    columns_write(t->s, &table);
}

/* ---- sentences ---- */

static void write_head(struct telling_pair *t, const char *title, bool cold)
{
    const struct finding *f = t->f;
    if (title) summary_say(t->s, "", "%s", title);
    summary_say(t->s, "", "Wanted: %s, and %s, by changing %s and %s.", t->wishes[0].text,
                t->wishes[1].text, find_changed_words(t->s, &t->changed[0]),
                find_changed_words(t->s, &t->changed[1]));
    find_runs_words(t->s, cold);
    fputc('\n', t->s->to);
    const struct find_point *first = &f->grid[0], *last = &f->grid[f->points - 1];
    for (int w = 0; w < 2; w++)
        summary_say(t->s, "", "%s from %s to %s: %s %s goes from %s to %s.", t->changed[w].path,
                    key_value(t, first, w), key_value(t, last, w), t->wishes[w].subject,
                    t->wishes[w].name, figure_value(t, w, f->least[w].figure[w]),
                    figure_value(t, w, f->most[w].figure[w]));
    fputc('\n', t->s->to);
}

static void tell_answer(struct telling_pair *t)
{
    const struct finding *f = t->f;
    struct find_point *rows = ARENA_ARRAY(t->s->arena, struct find_point, f->nears + 1);
    summary_say(t->s, "", "%s = %s with %s = %s gives %s.", t->changed[0].path,
                key_value(t, &f->exact, 0), t->changed[1].path, key_value(t, &f->exact, 1),
                both_figures(t, &f->exact));
    fputc('\n', t->s->to);
    rows[0] = f->exact;
    for (int i = 0; i < f->nears; i++) rows[i + 1] = f->near[i];
    write_table(t, rows, f->nears + 1);
    fputc('\n', t->s->to);
    if (f->best >= 0)
        summary_say(t->s, "", "Best preferred pair: %s, proven by a run: %s.",
                    both_values(t, &f->near[f->best]), both_figures(t, &f->near[f->best]));
    else if (f->nears > 0)
        summary_say(t->s, "", "None of the preferred neighbours does what was wanted.");
    const struct trial *bought = f->best >= 0 ? f->near[f->best].trial : f->exact.trial;
    for (int w = 0; w < 2; w++)
        find_purchase_write(t->s, &t->changed[w], bought, find_part(t->s, &t->changed[w]));
    if (f->load_count > 0) {
        fputc('\n', t->s->to);
        write_table(t, f->loads, f->load_count);
    }
    find_loads_write(t->s, f, t->wishes, 2);
}

static bool outside(const struct finding *f, const struct wish wishes[2], int w)
{
    return !(f->least[w].figure[w] <= wishes[w].value && wishes[w].value <= f->most[w].figure[w]);
}

const char *find_pair_reach(struct arena *arena, const struct changed changed[2],
                            const struct wish wishes[2], const struct finding *f)
{
    struct summary s = {.arena = arena};
    struct telling_pair t = {&s, changed, wishes, f, NULL};
    const char *text = "";
    if (f->both >= 0)
        return arena_printf(arena,
                            "both hold at %s=%s with %s=%s, but at no looked-at pair both just so: "
                            "ask for one of them with `=`",
                            changed[0].path, key_value(&t, &f->grid[f->both], 0), changed[1].path,
                            key_value(&t, &f->grid[f->both], 1));
    for (int w = 0; w < 2; w++)
        if (outside(f, wishes, w) || (w == 1 && !*text && isnan(f->least_beside)))
            text = arena_printf(arena, "%s%s%s %s goes from %s to %s", text, *text ? "; " : "",
                                wishes[w].subject, wishes[w].name,
                                figure_value(&t, w, f->least[w].figure[w]),
                                figure_value(&t, w, f->most[w].figure[w]));
    if (*text) return text;
    return arena_printf(arena, "where %s %s is %s, %s %s goes from about %s to %s",
                        wishes[0].subject, wishes[0].name, figure_value(&t, 0, wishes[0].value),
                        wishes[1].subject, wishes[1].name, figure_value(&t, 1, f->least_beside),
                        figure_value(&t, 1, f->most_beside));
}

void find_pair_text_write(FILE *to, struct arena *arena, const char *title,
                          const struct changed changed[2], const struct wish wishes[2],
                          const struct finding *f, bool cold, const char *figures)
{
    struct summary s = {.to = to, .arena = arena};
    struct telling_pair t = {&s, changed, wishes, f, NULL};
    write_head(&t, title, cold);
    if (f->outcome == FIND_ANY) summary_say(&s, "", "Every pair of values looked at does.");
    else tell_answer(&t);
    find_end_write(&s, f->grid[0].trial, figures);
}
