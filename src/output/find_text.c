/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wish is told in the user's own words; values found are told with four digits, since nobody
 * buys more. */
#include "find_text.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "columns.h"
#include "figures_csv.h"
#include "preferred.h"

enum { DIGITS = 4, LABEL = 34, WIDTH = 14 };

#define HOLDS 0.05 /* of the wish: still about what was wanted */

struct telling_find {
    struct summary *s;
    const struct changed *changed;
    const struct wish *wish;
    const struct finding *f;
    const struct find_point *rows; /* of the table being written */
};

static const char *amount(struct telling_find *t, double value, enum unit unit, int digits)
{
    char out[64];
    return arena_printf(t->s->arena, "%s", quantity_text(value, unit, digits, out, sizeof out));
}

static const char *key_value(struct telling_find *t, double value)
{
    return amount(t, value, t->changed->unit, DIGITS);
}

/* ---- the part itself ---- */

/* The part's name and, deeper, what stands between: `T1` of `T1.primary.resistance`. */
static const char *own_part(struct telling_find *t)
{
    return arena_text(t->s->arena, t->changed->path, strcspn(t->changed->path, "."));
}

static double figure_of(const struct find_point *p, const char *subject, const char *measure)
{
    const struct figure *f = p->trial ? result_find(p->trial->run, subject, measure) : NULL;
    return f ? f->value : (double)NAN;
}

/* Watts of a resistor or coil, volts of a capacitor; NaN: neither is told. */
static double strain(struct telling_find *t, const struct find_point *p, enum unit *unit)
{
    bool capacitor = t->changed->unit == UNIT_FARAD;
    *unit = capacitor ? UNIT_VOLT : UNIT_WATT;
    return figure_of(p, own_part(t), capacitor ? "highest-voltage" : "dissipation");
}

/* ---- tables ---- */

static const char *series(struct telling_find *t, const struct find_point *p)
{
    const struct finding *f = t->f;
    const char *value = key_value(t, p->value);
    if (p->value == f->exact.value) return arena_printf(t->s->arena, "%s  exactly", value);
    const char *of = preferred_is(PREFERRED_E12, p->value) ? "E12" : "E24";
    bool best = f->best >= 0 && p->value == f->near[f->best].value;
    return arena_printf(t->s->arena, "%s  %s%s", value, of, best ? ", proposed" : "");
}

static const char *over_words(struct telling_find *t, const struct find_point *p)
{
    int over = p->trial->judgement->over;
    return over ? arena_printf(t->s->arena, "%d!", over) : "none ";
}

static const char *figure_cell(struct telling_find *t, const struct find_point *p)
{
    return isnan(p->figure) ? "- " : amount(t, p->figure, t->wish->unit, DIGITS);
}

static const char *off_cell(struct telling_find *t, const struct find_point *p)
{
    double d = p->figure / t->wish->value - 1;
    if (!isfinite(d)) return "";
    return fabs(d) < 5e-5 ? "=" : arena_printf(t->s->arena, "%+.2f %%", 100 * d);
}

static const char *cell(void *context, int row, int column)
{
    struct telling_find *t = context;
    const struct find_point *p = &t->rows[row];
    enum unit unit;
    double v;
    switch (column) {
    case -1:
        if (p->load != 1) return arena_printf(t->s->arena, "load %+.0f %%", 100 * (p->load - 1));
        return t->rows == t->f->grid ? key_value(t, p->value) : series(t, p);
    case 0: return figure_cell(t, p);
    case 1: return off_cell(t, p);
    case 2: return over_words(t, p);
    default: v = strain(t, p, &unit); return isnan(v) ? "- " : amount(t, v, unit, 3);
    }
}

static void write_table(struct telling_find *t, const struct find_point *rows, int n, bool whole)
{
    const char *heads[] = {arena_printf(t->s->arena, "%s %s", t->wish->subject,
                                        summary_measure(t->s, t->wish->measure)),
                           "off the wish", "figures over their rating",
                           arena_printf(t->s->arena, "%s %s", own_part(t),
                                        t->changed->unit == UNIT_FARAD ? "highest volts" : "heat")};
    enum unit unit;
    bool strained = whole && !isnan(strain(t, &rows[0], &unit));
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
    columns_write(t->s, &table);
}

/* ---- sentences ---- */

static void tell_purchase(struct telling_find *t, const struct find_point *p)
{
    enum unit unit;
    double v = strain(t, p, &unit);
    if (isnan(v)) return;
    if (unit == UNIT_VOLT) {
        summary_say(t->s, "",
                    "It stands at %s at most once the set is warm; while tubes warm up it "
                    "may be more (`presolder switch-on` tells).",
                    amount(t, v, unit, 3));
        return;
    }
    double size = preferred_watts(2 * v);
    const char *buy =
        isinf(size) ? "no usual size does: several in series"
                    : arena_printf(t->s->arena, "a part of %s", amount(t, size, UNIT_WATT, 3));
    summary_say(t->s, "",
                "It turns %s to heat; customary is to buy twice that, %s or more: %s "
                "(common practice, no source).",
                amount(t, v, UNIT_WATT, 3), amount(t, 2 * v, UNIT_WATT, 3), buy);
}

static bool holds(const struct telling_find *t, const struct find_point *p)
{
    if (t->wish->relation != '=') return wish_met(t->wish, p->figure);
    return fabs(p->figure - t->wish->value) <= HOLDS * fabs(t->wish->value);
}

static const char *load_words(struct telling_find *t, double load)
{
    return load == 1 ? "as it is" : arena_printf(t->s->arena, "%+.0f %%", 100 * (load - 1));
}

static void tell_loads(struct telling_find *t)
{
    const struct finding *f = t->f;
    if (f->load_count == 0) {
        summary_say(t->s, "",
                    "No part of this set is a load, so how far the answer holds when the "
                    "load changes is not told.");
        return;
    }
    fputc('\n', t->s->to);
    write_table(t, f->loads, f->load_count, true);
    double low = 1, high = 1;
    for (int i = FIND_LOADS / 2 - 1; i >= 0 && holds(t, &f->loads[i]); i--) low = f->loads[i].load;
    for (int i = FIND_LOADS / 2; i < FIND_LOADS && holds(t, &f->loads[i]); i++)
        high = f->loads[i].load;
    const char *kept = t->wish->relation == '=' ? "stays within 5 % of what was wanted"
                                                : "still does what was wanted";
    if (low == 1 && high == 1)
        summary_say(t->s, "",
                    "It holds for this load only: with a quarter more or less it is no "
                    "longer %s.",
                    t->wish->relation == '=' ? "within 5 % of what was wanted" : "met");
    else
        summary_say(t->s, "", "It %s with the load from %s to %s.", kept, load_words(t, low),
                    load_words(t, high));
}

static void tell_answer(struct telling_find *t)
{
    const struct finding *f = t->f;
    struct find_point *rows = ARENA_ARRAY(t->s->arena, struct find_point, f->nears + 1);
    summary_say(t->s, "", "%s = %s gives %s.", t->changed->path, key_value(t, f->exact.value),
                amount(t, f->exact.figure, t->wish->unit, DIGITS + 1));
    if (f->roots > 1)
        summary_say(t->s, "", "There are %d such values; this is the one nearest to the present.",
                    f->roots);
    fputc('\n', t->s->to);
    rows[0] = f->exact;
    for (int i = 0; i < f->nears; i++) rows[i + 1] = f->near[i];
    write_table(t, rows, f->nears + 1, true);
    fputc('\n', t->s->to);
    if (f->best >= 0)
        summary_say(t->s, "", "Nearest preferred value%s: %s, proven by a run: %s.",
                    t->wish->relation == '=' ? "" : " that does it",
                    key_value(t, f->near[f->best].value),
                    amount(t, f->near[f->best].figure, t->wish->unit, DIGITS));
    else if (f->nears > 0)
        summary_say(t->s, "", "None of the preferred neighbours does what was wanted.");
    tell_purchase(t, f->best >= 0 ? &f->near[f->best] : &f->exact);
    tell_loads(t);
}

const char *find_reach(struct arena *arena, const struct changed *changed, const struct wish *wish,
                       const struct finding *f)
{
    char a[64], b[64], c[64], d[64];
    quantity_text(f->least.figure, wish->unit, 3, a, sizeof a);
    quantity_text(f->least.value, changed->unit, 3, b, sizeof b);
    quantity_text(f->most.figure, wish->unit, 3, c, sizeof c);
    quantity_text(f->most.value, changed->unit, 3, d, sizeof d);
    return arena_printf(arena, "%s %s goes from %s (%s=%s) to %s (%s=%s)", wish->subject,
                        wish->measure, a, changed->path, b, c, changed->path, d);
}

static void write_head(struct telling_find *t, const char *title, bool cold)
{
    if (title) summary_say(t->s, "", "%s", title);
    summary_say(t->s, "", "Wanted: %s, by changing %s%s.", t->wish->text, t->changed->path,
                isnan(t->changed->now)
                    ? ""
                    : arena_printf(t->s->arena, " (now %s)", key_value(t, t->changed->now)));
    summary_say(t->s, "",
                cold ? "Each run begins cold and is as long as the scenario says."
                     : "Each run begins hot, with warm cathodes and empty capacitors, and lasts "
                       "until the volts have settled.");
    fputc('\n', t->s->to);
}

void find_text_write(FILE *to, struct arena *arena, const char *title,
                     const struct changed *changed, const struct wish *wish,
                     const struct finding *f, bool cold, const char *figures)
{
    struct summary s = {.to = to, .arena = arena};
    struct telling_find t = {&s, changed, wish, f, NULL};
    write_head(&t, title, cold);
    write_table(&t, f->grid, FIND_GRID, false);
    fputc('\n', to);
    if (f->outcome == FIND_ANY)
        summary_say(&s, "", "Every value from %s to %s does: %s.", key_value(&t, f->grid[0].value),
                    key_value(&t, f->grid[FIND_GRID - 1].value),
                    find_reach(arena, changed, wish, f));
    else tell_answer(&t);
    summary_say(&s, "",
                "Inside its rating is not safe: what is rotten, cracked or damp in old "
                "insulation no calculation sees.");
    fputc('\n', to);
    summary_path(&s, "All figures:", figures);
    struct hazards h =
        hazards_of(arena, f->grid[0].trial->setup, NULL, OCCASION_POWER | OCCASION_REPLACE);
    summary_cautions(&s, &h, 1);
}

/* ---- the file ---- */

struct labels {
    struct arena *arena;
    ARRAY(const char *) list;
};

static void add_figures(struct writer *w, struct labels *seen, const struct find_point *points,
                        int n)
{
    for (int i = 0; i < n; i++) {
        if (!points[i].trial) continue;
        const char *label = points[i].trial->setup->variant;
        bool told = false;
        for (int k = 0; k < seen->list.n && !told; k++) told = strcmp(seen->list.at[k], label) == 0;
        if (told) continue;
        array_push(seen->arena, &seen->list, label);
        figures_csv_add(w, points[i].trial->judgement);
    }
}

void find_figures_write(struct writer *w, const char *name, const struct finding *f)
{
    struct labels seen = {.arena = arena_new()};
    if (!seen.arena) return;
    figures_csv_begin(w, name);
    add_figures(w, &seen, &f->exact, 1);
    add_figures(w, &seen, f->near, f->nears);
    add_figures(w, &seen, f->loads, f->load_count);
    add_figures(w, &seen, f->grid, FIND_GRID);
    arena_free(seen.arena);
}
