/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values found are told with four digits, since nobody buys more. */
#include "find_common.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "ends_text.h"
#include "figures_csv.h"
#include "preferred.h"
#include "words_common.h"
#include "words_find.h"

enum { DIGITS = 4 };

#define HOLDS 0.05 /* of the wish: still about what was wanted */

const char *find_amount(struct page *page, double value, enum unit unit, int digits)
{
    char out[64];
    return arena_printf(page->arena, "%s", quantity_text(value, unit, digits, out, sizeof out));
}

const char *find_changed_words(struct page *page, const struct changed *c)
{
    if (isnan(c->now)) return c->path;
    return arena_printf(page->arena, words_find_now, c->path,
                        find_amount(page, c->now, c->unit, DIGITS));
}

const char *find_part(struct page *page, const struct changed *changed)
{
    return arena_text(page->arena, changed->path, strcspn(changed->path, "."));
}

double find_strain(const struct changed *changed, const struct trial *trial, enum unit *unit)
{
    bool capacitor = changed->unit == UNIT_FARAD;
    enum measure measure = capacitor ? MEASURE_HIGHEST_VOLTAGE : MEASURE_DISSIPATION;
    size_t n = strcspn(changed->path, ".");
    *unit = capacitor ? UNIT_VOLT : UNIT_WATT;
    for (int i = 0; trial && i < trial->run->figures.n; i++) {
        const struct figure *f = &trial->run->figures.at[i];
        if (strlen(f->subject) == n && strncmp(f->subject, changed->path, n) == 0 &&
            f->measure == measure)
            return f->value;
    }
    return (double)NAN;
}

enum { OVER_WIDTH = 16 };

const char *find_over_words(struct page *page, const struct trial *trial)
{
    const struct judgement *j = trial->judgement;
    int n;
    if (j->over == 0) return words_find_no_figure;
    struct judged **rows = judge_worst_first(page->arena, j, &n);
    if (n == 0) return arena_printf(page->arena, "%d!", j->over);
    const struct judged *worst = rows[0];
    const char *more = j->over > 1 ? arena_printf(page->arena, " +%d", j->over - 1) : "";
    const char *words = measure_words(worst->figure.measure);
    const char *text = arena_printf(page->arena, "%s %s!%s", worst->figure.subject, words, more);
    return strlen(text) <= OVER_WIDTH
               ? text
               : arena_printf(page->arena, "%s!%s", worst->figure.subject, more);
}

const char *find_off_words(struct page *page, const struct wish *wish, double figure)
{
    double d = figure / wish->value - 1;
    if (!isfinite(d)) return "";
    return fabs(d) < 5e-5 ? "=" : arena_printf(page->arena, "%+.2f %%", 100 * d);
}

void find_runs_words(struct page *page, bool cold)
{
    page_say(page, "", cold ? words_find_cold : words_find_hot);
}

bool find_purchase_write(struct page *page, const struct changed *changed,
                         const struct trial *trial, const char *who)
{
    enum unit unit;
    double v = find_strain(changed, trial, &unit);
    if (isnan(v)) return false;
    const struct part *part =
        set_find(trial->run->setup->stages.at[0].set, find_part(page, changed));
    if (!part || !part_is(part, ROLE_RESISTOR | ROLE_CAPACITOR)) return false;
    if (unit == UNIT_VOLT) {
        page_say(page, "", words_find_stands, who, find_amount(page, v, unit, 3));
        return true;
    }
    double size = preferred_watts(2 * v);
    const char *buy = isinf(size) ? words_find_several
                                  : arena_printf(page->arena, words_find_one,
                                                 find_amount(page, size, UNIT_WATT, 3));
    page_say(page, "", words_find_heat, who, find_amount(page, v, UNIT_WATT, 3),
             find_amount(page, 2 * v, UNIT_WATT, 3), buy);
    return true;
}

/* Whether a figure is still about what was wanted. */
static bool holds(const struct wish *wish, double figure)
{
    if (wish->relation != '=' || wish->slack) return wish_met(wish, figure);
    return fabs(figure - wish->value) <= HOLDS * fabs(wish->value);
}

const char *find_load_label(struct page *page, double load)
{
    return arena_printf(page->arena, words_find_load, 100 * (load - 1));
}

static const char *load_words(struct page *page, double load)
{
    return load == 1 ? words_find_as_is : arena_printf(page->arena, "%+.0f %%", 100 * (load - 1));
}

void find_loads_write(struct page *page, const struct finding *f, const struct wish *wishes, int n)
{
    double low = 1, high = 1;
    bool equal = false, good[FIND_LOADS];
    if (f->load_count == 0) {
        page_say(page, "", words_find_no_load);
        return;
    }
    for (int i = 0; i < FIND_LOADS; i++) {
        good[i] = true;
        for (int w = 0; w < n; w++) good[i] &= holds(&wishes[w], f->loads[i].figure[w]);
    }
    for (int w = 0; w < n; w++) equal |= wishes[w].relation == '=';
    for (int i = FIND_LOADS / 2 - 1; i >= 0 && good[i]; i--) low = f->loads[i].load;
    for (int i = FIND_LOADS / 2; i < FIND_LOADS && good[i]; i++) high = f->loads[i].load;
    if (low == 1 && high == 1)
        page_say(page, "", words_find_this_load,
                 equal ? arena_printf(page->arena, words_find_near, 100 * HOLDS) : words_find_met);
    else
        page_say(page, "", words_find_holds,
                 equal ? arena_printf(page->arena, words_find_stays_near, 100 * HOLDS)
                       : words_find_still_does,
                 load_words(page, low), load_words(page, high));
}

void find_end_write(struct page *page, const struct finding *f, const char *figures)
{
    const struct trial *trial = f->grid[0].trial;
    ends_text_write(page, f->ends, words_find_it_holds);
    page_say(page, "", words_common_not_safe);
    page_gap(page);
    page_path(page, words_common_figures, figures);
    struct hazards h =
        hazards_of(page->arena, trial->setup, NULL, OCCASION_POWER | OCCASION_REPLACE);
    cautions_text_write(page, &h, 1);
}

/* ---- the file ---- */

struct file {
    struct writer *w;
    struct arena *arena;
    ARRAY(const char *) labels;
};

static void add(struct file *file, const struct find_point *points, int n)
{
    for (int i = 0; i < n; i++) {
        const struct trial *trial = points[i].trial;
        bool known = !trial;
        for (int k = 0; k < file->labels.n && !known; k++)
            known = strcmp(file->labels.at[k], trial->setup->variant) == 0;
        if (known) continue;
        array_push(file->arena, &file->labels, trial->setup->variant);
        figures_csv_add(file->w, trial->judgement);
    }
}

void find_figures_write(struct writer *w, const char *name, const struct finding *f)
{
    struct file file = {.w = w, .arena = arena_scratch(writer_arena(w))};
    figures_csv_begin(w, name);
    add(&file, &f->exact, 1);
    add(&file, f->near, f->nears);
    add(&file, f->loads, f->load_count);
    add(&file, f->grid, f->points);
    arena_clear(file.arena);
}
