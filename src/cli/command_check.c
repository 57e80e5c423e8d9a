/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All variants are set up, so every mistake of the file is told in one go; then everything that was
 * assumed, part by part, each variant only with what it adds. */
#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "command.h"
#include "influence.h"
#include "page.h"
#include "quantity.h"
#include "words_check.h"
#include "words_help.h"
#include "words_known_by.h"

typedef ARRAY(const struct assumption *) assumptions;

static bool same(const struct assumption *a, const struct assumption *b)
{
    return strcmp(a->part, b->part) == 0 && strcmp(a->key, b->key) == 0 && a->unit == b->unit &&
           fabs(a->value - b->value) <= 1e-12 * fabs(b->value);
}

static bool holds(const assumptions *all, const struct assumption *a)
{
    for (int i = 0; i < all->n; i++)
        if (same(all->at[i], a)) return true;
    return false;
}

/* The assumptions of all stages that are in none of the lists. */
static assumptions gather(struct arena *arena, const struct setup *setup, const assumptions *known)
{
    assumptions all = {0};
    for (int k = 0; k < setup->stages.n; k++) {
        const struct set *set = setup->stages.at[k].set;
        for (int i = 0; i < set->assumptions.n; i++) {
            const struct assumption *a = &set->assumptions.at[i];
            if (!holds(known, a) && !holds(&all, a)) array_push(arena, &all, a);
        }
    }
    return all;
}

static int guesses(const assumptions *all)
{
    int n = 0;
    for (int i = 0; i < all->n; i++) n += all->at[i]->guess;
    return n;
}

/* ---- showing ---- */

static const char *value_text(struct job *job, const struct assumption *a)
{
    char value[64], low[64], high[64];
    quantity_text(a->value, a->unit, 3, value, sizeof value);
    quantity_text(a->low, a->unit, 3, low, sizeof low);
    quantity_text(a->high, a->unit, 3, high, sizeof high);
    if (strcmp(low, high) == 0) return arena_printf(job->arena, "%s", value);
    return arena_printf(job->arena, words_check_range, value, low, high);
}

/* The scenario and the variant whose assumptions are shown. */
struct shown {
    const struct scenario *scenario;
    const char *variant; /* NULL: itself */
    const struct setup *setup;
};

static void show_influence(struct job *job, const struct shown *of, const struct assumption *a)
{
    struct page page = {.to = job->out, .arena = job->arena};
    struct influence i;
    if (!influence_of(job->arena, of->scenario, of->variant, of->setup, a, &i)) return;
    page_say(&page, "        ", words_check_influence, i.point,
             page_value(&page, i.volts[0], UNIT_VOLT, false),
             page_value(&page, i.taken, UNIT_VOLT, false),
             page_value(&page, i.volts[1], UNIT_VOLT, false));
}

static void show(struct job *job, const struct shown *of, const struct assumption *a)
{
    struct page page = {.to = job->out, .arena = job->arena};
    fprintf(job->out, words_check_value, a->guess ? "?" : " ", a->key, value_text(job, a));
    if (a->basis) page_say(&page, "        ", "%s", a->basis);
    if (a->known_by != KNOWN_BY_NOTHING)
        page_say(&page, "        ", words_check_reading, words_known_by(a->known_by));
    show_influence(job, of, a);
}

static void show_parts(struct job *job, const struct shown *of, const assumptions *all)
{
    for (int i = 0; i < all->n; i++) {
        bool shown = false; /* with its part, which came earlier */
        for (int k = 0; k < i && !shown; k++) shown = !strcmp(all->at[k]->part, all->at[i]->part);
        if (shown) continue;
        fprintf(job->out, "\n  %s\n", all->at[i]->part);
        for (int k = i; k < all->n; k++)
            if (strcmp(all->at[k]->part, all->at[i]->part) == 0) show(job, of, all->at[k]);
    }
}

static const char *counted(struct job *job, int n, const char *one, const char *many)
{
    return arena_printf(job->arena, "%d %s", n, n == 1 ? one : many);
}

static int named_points(const struct circuit *c)
{
    int n = 0;
    for (int i = 0; i < c->points.n; i++) n += !c->inner.at[i];
    return n;
}

static void show_heading(struct job *job, const struct scenario *s, const struct setup *base)
{
    const struct stage *first = &base->stages.at[0];
    struct page page = {.to = job->out, .arena = job->arena};
    fprintf(job->out, words_check_ok, scenario_path(s));
    if (scenario_title(s)) page_say(&page, "", "%s", scenario_title(s));
    fprintf(job->out, words_check_counts,
            counted(job, first->set->parts.n, words_check_part, words_check_parts),
            counted(job, named_points(first->circuit), words_check_point, words_check_points),
            counted(job, scenario_variants(s), words_check_variant, words_check_variants));
}

static void show_assumed(struct job *job, const struct shown *of, const char *name,
                         const assumptions *all)
{
    if (all->n == 0) {
        fprintf(job->out, words_check_nothing, name,
                strcmp(name, "base") == 0 ? "" : words_check_beyond);
        return;
    }
    int n = guesses(all);
    struct page page = page_on(job->out, job->arena);
    fputc('\n', job->out);
    page_say(&page, "", words_check_assumed, name,
             counted(job, all->n, words_check_one_value, words_check_values),
             strcmp(name, "base") == 0 ? "" : words_check_beyond,
             counted(job, n, words_check_guess, words_check_guesses), n ? words_check_marked : "");
    show_parts(job, of, all);
}

static void show_cautions(struct job *job, const struct setup *base)
{
    struct page page = {.to = job->out, .arena = job->arena};
    struct hazards h = hazards_of(job->arena, base, NULL, OCCASION_POWER);
    cautions_text_all(&page, &h, 1);
}

static enum status run(struct job *job)
{
    const struct scenario *s = job_scenario(job);
    if (!s || !scenario_check(job->arena, job->diags, s)) return STATUS_SCENARIO;
    const struct setup *base = scenario_setup(job->arena, job->diags, s, NULL);
    if (!base) return STATUS_SCENARIO;
    if (job->options->quiet) return STATUS_OK;
    show_heading(job, s, base);
    assumptions none = {0}, known = gather(job->arena, base, &none);
    show_assumed(job, &(struct shown){s, NULL, base}, "base", &known);
    for (int i = 0; i < scenario_variants(s); i++) {
        const char *name = scenario_variant(s, i);
        const struct setup *setup = scenario_setup(job->arena, job->diags, s, name);
        if (!setup) return STATUS_SCENARIO;
        assumptions more = gather(job->arena, setup, &known);
        show_assumed(job, &(struct shown){s, name, setup}, name, &more);
    }
    show_cautions(job, base);
    return STATUS_OK;
}

const struct command command_check = {
    .name = "check",
    .takes = "SCENARIO",
    .says = words_help_check_says,
    .tells = words_help_check,
    .example = "presolder check scenarios/field-coil.yaml",
    .least = 1,
    .most = 1,
    .bit = FOR_CHECK,
    .run = run,
};
