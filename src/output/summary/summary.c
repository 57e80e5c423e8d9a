/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of telling: what is wrong with the run, stops, meter, margins, what to keep, guesses,
 * cautions. Every section is a file of its own; the frame is here. */
#include "summary.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "keep_text.h"
#include "numbers.h"
#include "summary_impl.h"
#include "words_cautions.h"
#include "words_common.h"
#include "words_run.h"
#include "words_trouble.h"

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
        page_say(s->page, "", words_run_interrupted, s->run->trouble.time, s->run->trouble.until);
    page_title(s->page, s->setup->title, s->setup->variant);
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
                 page_value(s->page, s->run->closing_angle, UNIT_DEGREE, false),
                 s->setup->stages.at[0].closes_worst ? words_run_worst : "");
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
    if (st->repeated > 0 && !s->brief) page_say(s->page, "", words_run_repeated, st->tolerance);
}

static void write_leaps(struct summary *s, const struct statistics *st)
{
    if (st->leaps == 0 || s->brief) return;
    page_say(s->page, "", words_run_leaps, 100 * (double)st->leapt / (double)st->cycles,
             100 * larger(st->leap_error, 1e-6));
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
    if (run->status != STATUS_OK && run->status != STATUS_INTERRUPTED)
        page_say(s->page, "!! ", words_run_failed,
                 words_trouble(s->page->arena, run->status, &run->trouble));
    write_audit(s, run, words_run_the_run);
    if (!restart) return;
    if (restart->status != STATUS_OK)
        page_say(s->page, "!! ", words_run_restart_failed,
                 words_trouble(s->page->arena, restart->status, &restart->trouble));
    write_audit(s, restart, words_run_the_restart);
}

/* --- cautions --- */

/* What is stored, and whether anything empties it; "": nothing is. */
static const char *stored(struct summary *s, bool brief)
{
    const struct figure *energy = run_figure(s->run, "set", MEASURE_STORED_ENERGY);
    const char *never = "";
    double longest = 0;
    if (!energy || !(energy->value > 0)) return "";
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *f = &s->run->figures.at[i];
        if (f->measure != MEASURE_BLEED_DOWN_TIME) continue;
        if (isinf(f->value))
            never = arena_printf(s->arena, "%s%s%s", never, *never ? ", " : "", f->subject);
        else if (f->value > longest) longest = f->value;
    }
    const char *joules = page_value(s->page, energy->value, UNIT_JOULE, false);
    const char *time = page_value(s->page, longest, UNIT_SECOND, true);
    if (*never)
        return brief ? arena_printf(s->arena, words_run_never_empty_brief, joules)
                     : arena_printf(s->arena, words_run_never_empty, joules, never);
    if (!(longest > 0)) return "";
    return arena_printf(s->arena, brief ? words_run_empty_brief : words_run_empty, joules, time,
                        RUN_BLED);
}

static void write_cautions(struct summary *s)
{
    struct hazards h = hazards_of(s->arena, s->setup, s->run, OCCASION_POWER);
    if (!cautions_any(&h)) return;
    bool all = page_style().cautions;
    if (all) page_heading_of(s->page, "cautions", words_cautions_heading);
    else page_gap(s->page);
    const char *charge = stored(s, !all);
    if (!all) {
        cautions_text_brief(s->page, charge, &h, 1);
        return;
    }
    if (*charge) page_say(s->page, "  ", "%s", charge);
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
                        .rows_most = SUMMARY_ROWS,
                        .guesses = guesses_of(page->arena, t->setup)};
    return s;
}

/* --- the whole --- */

static void write_keep(struct summary *s)
{
    const struct keep_list keep = keep_list(s->arena, s->setup, s->t->judgement);
    if (s->brief) keep_text_brief(s->page, &keep);
    else keep_text_write(s->page, &keep);
}

void summary_run(struct summary *s)
{
    write_head(s);
    write_repeated(s, &s->run->statistics);
    write_leaps(s, &s->run->statistics);
    write_status(s);
}

/* What comes before the margins, and after them. */
static void write_before(struct summary *s)
{
    summary_run(s);
    summary_stop(s);
    summary_order(s);
    summary_meter(s);
}

static void write_after(struct summary *s)
{
    write_keep(s);
    summary_heat(s);
    if (s->brief) summary_guesses_brief(s);
    else summary_guesses(s), summary_better(s);
    write_cautions(s);
}

/* Lines of the margins without their rows. */
static void write_none(struct summary *s)
{
    s->rows_most = 0;
    summary_margins(s);
}

static int lines_of(const struct summary *s, void (*write)(struct summary *))
{
    int lines = 0;
    struct page page = {.arena = s->arena, .lines = &lines};
    struct summary counted = *s;
    counted.page = &page;
    write(&counted);
    return lines;
}

/* How many rows of the margins still fit on the page; all that are over find room. */
static int rows_left(const struct summary *s)
{
    int left = SUMMARY_LINES - lines_of(s, write_before) - lines_of(s, write_none) -
               lines_of(s, write_after);
    if (left < SUMMARY_ROWS_LEAST) return SUMMARY_ROWS_LEAST;
    return left < SUMMARY_ROWS ? left : SUMMARY_ROWS;
}

void summary_write(FILE *to, struct arena *arena, const struct turn_on *t, const char *figures)
{
    struct page page = page_on(to, arena);
    struct summary s = summary_of(&page, t);
    s.figures = figures;
    s.brief = !page_style().full;
    summary_gather(&s);
    if (s.brief) s.rows_most = rows_left(&s);
    write_before(&s);
    summary_margins(&s);
    write_after(&s);
}
