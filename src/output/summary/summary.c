/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of telling: what is wrong with the run, guesses, stops, meter, margins, better values,
 * cautions. Every section is a file of its own; the frame stands here. */
#include "summary.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "keep_text.h"
#include "summary_impl.h"
#include "words_cautions.h"
#include "words_common.h"
#include "words_guesses.h"
#include "words_known_by.h"
#include "words_run.h"
#include "words_status.h"

/* --- what every section asks --- */

bool summary_warms(const struct summary *s)
{
    for (int i = 0; i < s->set->parts.n && !s->setup->hot; i++)
        if (s->set->parts.at[i]->heater_count > 0) return true;
    return false;
}

const char *summary_time(struct summary *s, double t)
{
    return page_number(s->page, t, UNIT_SECOND, t >= 1 && summary_warms(s) ? 2 : 3);
}

const char *summary_part(struct summary *s, const char *subject)
{
    return arena_text(s->arena, subject, strcspn(subject, "."));
}

bool summary_rough(const struct summary *s, const char *subject, enum measure measure)
{
    return guesses_move(&s->guesses, s->run, subject, measure);
}

/* --- the run itself --- */

static void write_head(struct summary *s)
{
    const struct set *set = s->set;
    if (s->run->status == STATUS_INTERRUPTED)
        page_say(s->page, "", words_run_interrupted, s->run->message);
    if (s->setup->title) page_say(s->page, "", "%s", s->setup->title);
    if (strcmp(s->setup->variant, "base") != 0)
        page_say(s->page, "", words_common_variant, s->setup->variant);
    const char *start = s->setup->hot ? words_common_hot : words_common_cold;
    const struct waveform *vibrator =
        circuit_square(s->circuit, s->setup->stages.at[0].mains_source);
    if (vibrator)
        page_say(s->page, "", words_run_vibrator,
                 page_value(s->page, s->run->end, UNIT_SECOND, false), start,
                 page_value(s->page, vibrator->peak, UNIT_VOLT, false),
                 page_value(s->page, s->setup->frequency, UNIT_HERTZ, false),
                 page_percent(s->page, vibrator->dwell));
    else if (s->setup->stages.at[0].mains_source >= 0)
        page_say(s->page, "", words_run_mains, page_value(s->page, s->run->end, UNIT_SECOND, false),
                 start, page_value(s->page, set->line_volts, UNIT_VOLT, false),
                 page_value(s->page, s->setup->frequency, UNIT_HERTZ, false),
                 page_value(s->page, s->run->closing_angle, UNIT_DEGREE, false));
    else
        page_say(s->page, "", words_run_batteries,
                 page_value(s->page, s->run->end, UNIT_SECOND, false), start);
    for (int i = 1; i < s->setup->stages.n; i++) {
        const struct stage *stage = &s->setup->stages.at[i];
        page_say(s->page, "", words_run_change,
                 page_value(s->page, stage->time, UNIT_SECOND, false),
                 stage->change ? stage->change : words_run_a_change);
    }
}

static void write_repeated(struct summary *s, const struct statistics *st)
{
    if (st->repeated > 0) page_say(s->page, "", words_run_repeated, st->tolerance);
}

static void write_leaps(struct summary *s, const struct statistics *st)
{
    if (st->leaps == 0) return;
    page_say(s->page, "", words_run_leaps, st->leaps, 100 * (double)st->leapt / (double)st->cycles,
             st->leap_error);
}

static void write_audit(struct summary *s, const struct result *r, const char *which)
{
    const struct statistics *st = &r->statistics;
    if (!st->audit_failed) return;
    page_say(s->page, "!! ", words_run_audit, which, st->energy_residual, st->charge_residual,
             st->charge_point ? words_run_audit_at : "", st->charge_point ? st->charge_point : "",
             RUN_AUDITED);
}

static void write_status(struct summary *s)
{
    const struct result *run = s->run, *restart = s->t->restart;
    const char *why = run->message ? run->message : words_status(run->status);
    if (run->status != STATUS_OK && run->status != STATUS_INTERRUPTED)
        page_say(s->page, "!! ", words_run_failed, why);
    write_audit(s, run, words_run_the_run);
    if (!restart) return;
    if (restart->status != STATUS_OK)
        page_say(s->page, "!! ", words_run_restart_failed,
                 restart->message ? restart->message : words_status(restart->status));
    write_audit(s, restart, words_run_the_restart);
}

/* --- guesses --- */

static const char *range(struct summary *s, const struct assumption *a)
{
    if (!(a->low < a->high) || !isfinite(a->low) || !isfinite(a->high)) return "";
    return arena_printf(s->arena, words_guesses_range, page_value(s->page, a->low, a->unit, false),
                        page_value(s->page, a->high, a->unit, false));
}

static void write_guesses(struct summary *s)
{
    int n = s->guesses.list.n;
    const char *names = "";
    page_gap(s->page);
    for (int i = 0; i < n; i++) {
        const struct assumption *a = s->guesses.list.at[i];
        names = arena_printf(s->arena, "%s%s%s %s (%s)", names, i > 0 ? ", " : "", a->part, a->key,
                             page_value(s->page, a->value, a->unit, false));
    }
    if (n == 0) page_say(s->page, "", words_guesses_none);
    else if (n == 1) page_say(s->page, "", words_guesses_one, names);
    else page_say(s->page, "", words_guesses_several, n, names);
    if (n > 0)
        page_say(s->page, "", words_guesses_about,
                 n == 1 ? words_guesses_it : words_guesses_one_of_them);
    if (s->guesses.defaults > 0)
        page_say(s->page, "", words_guesses_defaults, s->guesses.defaults,
                 s->guesses.defaults == 1 ? "" : words_guesses_default_many,
                 s->guesses.defaults == 1 ? words_guesses_it : words_guesses_them);
}

static bool same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

/* `10 H, could be 5 H to 20 H (common practice, no source)`; the basis only where it is not that of
 * the guess before. */
static const char *taken(struct summary *s, const struct assumption *a, const char *before)
{
    const char *basis = a->basis ? a->basis : words_guesses_no_basis;
    return arena_printf(s->arena, "%s%s%s", page_value(s->page, a->value, a->unit, false),
                        range(s, a),
                        same_text(basis, before) ? "" : arena_printf(s->arena, " (%s)", basis));
}

/* The guesses that the same reading would replace, from the `at`th on. */
static void tell_reading(struct summary *s, int at)
{
    enum known_by known_by = s->guesses.list.at[at]->known_by;
    const char *names = "", *values = "", *basis = NULL;
    for (int i = at; i < s->guesses.list.n; i++) {
        const struct assumption *a = s->guesses.list.at[i];
        if (a->known_by != known_by) continue;
        names = arena_printf(s->arena, "%s%s%s %s", names, *names ? ", " : "", a->part, a->key);
        values = arena_printf(s->arena, "%s%s%s", values, *values ? "; " : "", taken(s, a, basis));
        basis = a->basis ? a->basis : words_guesses_no_basis;
    }
    page_say(s->page, "  * ", words_guesses_reading, names, words_known_by(known_by), values);
}

static void tell_unmeasurable(struct summary *s)
{
    const char *text = "";
    for (int i = 0; i < s->guesses.list.n; i++) {
        const struct assumption *a = s->guesses.list.at[i];
        if (a->known_by != KNOWN_BY_NOTHING) continue;
        text = arena_printf(s->arena, "%s%s%s %s %s", text, *text ? "; " : "", a->part, a->key,
                            taken(s, a, NULL));
    }
    if (*text) page_say(s->page, "  * ", words_guesses_unmeasurable, text);
}

static void write_better(struct summary *s)
{
    if (s->guesses.list.n == 0) return;
    page_heading(s->page, words_guesses_heading);
    for (int i = 0; i < s->guesses.list.n; i++) {
        enum known_by known_by = s->guesses.list.at[i]->known_by;
        bool told = known_by == KNOWN_BY_NOTHING;
        for (int k = 0; k < i && !told; k++) told = s->guesses.list.at[k]->known_by == known_by;
        if (!told) tell_reading(s, i);
    }
    tell_unmeasurable(s);
}

/* --- cautions --- */

static void write_stored(struct summary *s)
{
    const struct figure *stored = run_figure(s->run, "set", MEASURE_STORED_ENERGY);
    const char *never = "";
    double longest = 0;
    if (!stored || !(stored->value > 0)) return;
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *f = &s->run->figures.at[i];
        if (f->measure != MEASURE_BLEED_DOWN_TIME) continue;
        if (isinf(f->value))
            never = arena_printf(s->arena, "%s%s%s", never, *never ? ", " : "", f->subject);
        else if (f->value > longest) longest = f->value;
    }
    const char *joules = page_value(s->page, stored->value, UNIT_JOULE, false);
    if (*never) page_say(s->page, "  ", words_run_never_empty, joules, never);
    else if (longest > 0)
        page_say(s->page, "  ", words_run_empty, joules,
                 page_value(s->page, longest, UNIT_SECOND, true), RUN_BLED);
}

static void write_cautions(struct summary *s)
{
    struct hazards h = hazards_of(s->arena, s->setup, s->run, OCCASION_POWER);
    if (!cautions_any(&h)) return;
    page_heading(s->page, words_cautions_heading);
    write_stored(s);
    cautions_text_list(s->page, &h, 1);
}

struct summary summary_of(struct page *page, const struct turn_on *t)
{
    struct summary s = {.page = page,
                        .arena = page->arena,
                        .t = t,
                        .setup = t->setup,
                        .set = t->setup->stages.at[0].set,
                        .circuit = t->setup->stages.at[0].circuit,
                        .run = t->run,
                        .guesses = guesses_of(page->arena, t->setup)};
    return s;
}

void summary_write(FILE *to, struct arena *arena, const struct turn_on *t, const char *figures)
{
    struct page page = {.to = to, .arena = arena};
    struct summary s = summary_of(&page, t);
    s.figures = figures;
    summary_gather(&s);
    write_head(&s);
    write_repeated(&s, &t->run->statistics);
    write_leaps(&s, &t->run->statistics);
    write_status(&s);
    write_guesses(&s);
    summary_stop(&s);
    summary_order(&s);
    summary_meter(&s);
    summary_margins(&s);
    const struct keep_list keep = keep_list(arena, t->setup, t->judgement);
    keep_text_write(&page, &keep);
    summary_heat(&s);
    write_better(&s);
    write_cautions(&s);
}
