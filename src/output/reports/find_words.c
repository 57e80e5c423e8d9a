/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values found are told with four digits, since nobody buys more. */
#include "find_words.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "figures_csv.h"
#include "preferred.h"

enum { DIGITS = 4 };

#define HOLDS 0.05 /* of the wish: still about what was wanted */

const char *find_amount(struct summary *s, double value, enum unit unit, int digits)
{
    char out[64];
    return arena_printf(s->arena, "%s", quantity_text(value, unit, digits, out, sizeof out));
}

const char *find_changed_words(struct summary *s, const struct changed *c)
{
    if (isnan(c->now)) return c->path;
    return arena_printf(s->arena, "%s (now %s)", c->path, find_amount(s, c->now, c->unit, DIGITS));
}

const char *find_part(struct summary *s, const struct changed *changed)
{
    return arena_text(s->arena, changed->path, strcspn(changed->path, "."));
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

const char *find_over_words(struct summary *s, const struct trial *trial)
{
    int over = trial->judgement->over;
    return over ? arena_printf(s->arena, "%d!", over) : "none ";
}

const char *find_off_words(struct summary *s, const struct wish *wish, double figure)
{
    double d = figure / wish->value - 1;
    if (!isfinite(d)) return "";
    return fabs(d) < 5e-5 ? "=" : arena_printf(s->arena, "%+.2f %%", 100 * d);
}

void find_runs_words(struct summary *s, bool cold)
{
    summary_say(s, "",
                cold ? "Each run begins cold and is as long as the scenario says."
                     : "Each run begins hot, with warm cathodes and empty capacitors, and after "
                       "its first pulses goes straight to where it settles.");
}

void find_purchase_write(struct summary *s, const struct changed *changed,
                         const struct trial *trial, const char *who)
{
    enum unit unit;
    double v = find_strain(changed, trial, &unit);
    if (isnan(v)) return;
    if (unit == UNIT_VOLT) {
        summary_say(s, "",
                    "%s stands at %s at most once the set is warm; while tubes warm up it "
                    "may be more (`presolder switch-on` tells).",
                    who, find_amount(s, v, unit, 3));
        return;
    }
    double size = preferred_watts(2 * v);
    const char *buy =
        isinf(size) ? "no usual size does: several in series"
                    : arena_printf(s->arena, "a part of %s", find_amount(s, size, UNIT_WATT, 3));
    summary_say(s, "",
                "%s turns %s to heat; customary is to buy twice that, %s or more: %s "
                "(common practice, no source).",
                who, find_amount(s, v, UNIT_WATT, 3), find_amount(s, 2 * v, UNIT_WATT, 3), buy);
}

/* Whether a figure is still about what was wanted. */
static bool holds(const struct wish *wish, double figure)
{
    if (wish->relation != '=') return wish_met(wish, figure);
    return fabs(figure - wish->value) <= HOLDS * fabs(wish->value);
}

const char *find_load_label(struct summary *s, double load)
{
    return arena_printf(s->arena, "load %+.0f %%", 100 * (load - 1));
}

static const char *load_words(struct summary *s, double load)
{
    return load == 1 ? "as it is" : arena_printf(s->arena, "%+.0f %%", 100 * (load - 1));
}

void find_loads_write(struct summary *s, const struct finding *f, const struct wish *wishes, int n)
{
    double low = 1, high = 1;
    bool equal = false, good[FIND_LOADS];
    if (f->load_count == 0) {
        summary_say(s, "",
                    "No part of this set is a load, so how far the answer holds when the "
                    "load changes is not told.");
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
        summary_say(s, "",
                    "It holds for this load only: with a quarter more or less it is no "
                    "longer %s.",
                    equal ? "within 5 % of what was wanted" : "met");
    else
        summary_say(s, "", "It %s with the load from %s to %s.",
                    equal ? "stays within 5 % of what was wanted" : "still does what was wanted",
                    load_words(s, low), load_words(s, high));
}

void find_end_write(struct summary *s, const struct trial *trial, const char *figures)
{
    summary_say(s, "",
                "Inside its rating is not safe: what is rotten, cracked or damp in old "
                "insulation no calculation sees.");
    fputc('\n', s->to);
    summary_path(s, "All figures:", figures);
    struct hazards h = hazards_of(s->arena, trial->setup, NULL, OCCASION_POWER | OCCASION_REPLACE);
    summary_cautions(s, &h, 1);
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
    struct file file = {.w = w, .arena = arena_new()};
    if (!file.arena) return;
    figures_csv_begin(w, name);
    add(&file, &f->exact, 1);
    add(&file, f->near, f->nears);
    add(&file, f->loads, f->load_count);
    add(&file, f->grid, f->points);
    arena_free(file.arena);
}
