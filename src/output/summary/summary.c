/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of telling: what is wrong with the run, guesses, stops, meter, margins, better values,
 * cautions. Every section is a file of its own; the frame stands here. */
#include "summary.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "summary_impl.h"

/* --- the run itself --- */

static void write_head(struct summary *s)
{
    const struct set *set = s->set;
    if (s->run->status == STATUS_INTERRUPTED)
        summary_say(s, "", "%s: figures are of that part", s->run->message);
    if (s->setup->title) summary_say(s, "", "%s", s->setup->title);
    if (strcmp(s->setup->variant, "base") != 0)
        summary_say(s, "", "Variant: %s", s->setup->variant);
    const char *start = s->setup->hot ? "hot" : "cold";
    const struct waveform *vibrator =
        circuit_square(s->circuit, s->setup->stages.at[0].mains_source);
    if (vibrator)
        summary_say(s, "", "%s from %s; vibrator on %s, %s, closed %s of the time.",
                    summary_value(s, s->run->end, UNIT_SECOND, false), start,
                    summary_value(s, vibrator->peak, UNIT_VOLT, false),
                    summary_value(s, s->setup->frequency, UNIT_HERTZ, false),
                    summary_percent(s, vibrator->dwell));
    else if (s->setup->stages.at[0].mains_source >= 0)
        summary_say(s, "", "%s from %s; mains %s, %s, closed at %s.",
                    summary_value(s, s->run->end, UNIT_SECOND, false), start,
                    summary_value(s, set->line_volts, UNIT_VOLT, false),
                    summary_value(s, s->setup->frequency, UNIT_HERTZ, false),
                    summary_value(s, s->run->closing_angle, UNIT_DEGREE, false));
    else
        summary_say(s, "", "%s from %s.", summary_value(s, s->run->end, UNIT_SECOND, false), start);
    for (int i = 1; i < s->setup->stages.n; i++) {
        const struct stage *stage = &s->setup->stages.at[i];
        summary_say(s, "", "At %s: %s.", summary_value(s, stage->time, UNIT_SECOND, false),
                    stage->change ? stage->change : "a change");
    }
}

static void write_leaps(struct summary *s, const struct statistics *st)
{
    if (st->leaps == 0) return;
    summary_say(s, "",
                "%ld leaps over %.0f %% of the cycles, each checked in its middle and at its end; "
                "their errors add up to %.0e of any state's range. --every-cycle simulates all.",
                st->leaps, 100 * (double)st->leapt / (double)st->cycles, st->leap_error);
}

static void write_audit(struct summary *s, const struct result *r, const char *which)
{
    const struct statistics *st = &r->statistics;
    if (!st->audit_failed) return;
    summary_say(s, "!! ",
                "THE AUDIT OF %s FAILED: energy does not balance to %.1e, charge to %.1e%s%s "
                "(1.0e-06 is allowed). Trust no figure below.",
                which, st->energy_residual, st->charge_residual, st->charge_point ? " at " : "",
                st->charge_point ? st->charge_point : "");
}

static void write_status(struct summary *s)
{
    const struct result *run = s->run, *restart = s->t->restart;
    const char *why = run->message ? run->message : status_text(run->status);
    if (run->status != STATUS_OK && run->status != STATUS_INTERRUPTED)
        summary_say(s, "!! ", "THE SOLUTION FAILED: %s. The figures end there.", why);
    write_audit(s, run, "THE RUN");
    if (!restart) return;
    if (restart->status != STATUS_OK)
        summary_say(s, "!! ", "THE HOT RESTART FAILED: %s. Its peaks are not to be relied on.",
                    restart->message ? restart->message : status_text(restart->status));
    write_audit(s, restart, "THE HOT RESTART");
}

/* --- guesses --- */

static bool is_known(const struct summary *s, const struct assumption *a)
{
    for (int i = 0; i < s->guesses.n; i++)
        if (strcmp(s->guesses.at[i]->part, a->part) == 0 &&
            strcmp(s->guesses.at[i]->key, a->key) == 0)
            return true;
    return false;
}

/* Stages repeat most of what the first assumes. */
static void gather_guesses(struct summary *s)
{
    for (int i = 0; i < s->setup->stages.n; i++) {
        const struct set *set = s->setup->stages.at[i].set;
        for (int k = 0; k < set->assumptions.n; k++) {
            const struct assumption *a = &set->assumptions.at[k];
            s->defaults += i == 0 && !a->guess;
            if (a->guess && !is_known(s, a)) array_push(s->arena, &s->guesses, a);
        }
    }
}

static const char *range(struct summary *s, const struct assumption *a)
{
    if (!(a->low < a->high) || !isfinite(a->low) || !isfinite(a->high)) return "";
    return arena_printf(s->arena, ", could be %s to %s", summary_value(s, a->low, a->unit, false),
                        summary_value(s, a->high, a->unit, false));
}

static void write_guesses(struct summary *s)
{
    int n = s->guesses.n;
    const char *names = "";
    fputc('\n', s->to);
    for (int i = 0; i < n; i++) {
        const struct assumption *a = s->guesses.at[i];
        names = arena_printf(s->arena, "%s%s%s %s (%s)", names, i > 0 ? ", " : "", a->part, a->key,
                             summary_value(s, a->value, a->unit, false));
    }
    if (n == 0) summary_say(s, "", "No value is a guess.");
    else if (n == 1) summary_say(s, "", "1 value is a guess: %s.", names);
    else summary_say(s, "", "%d values are guesses: %s.", n, names);
    if (n > 0)
        summary_say(s, "", "What hangs on %s is told with `about`, in tight columns with `~`.",
                    n == 1 ? "it" : "one of them");
    if (s->defaults > 0)
        summary_say(s, "", "Besides, %d stated default%s: `presolder check` lists %s.", s->defaults,
                    s->defaults == 1 ? "" : "s", s->defaults == 1 ? "it" : "them");
}

static bool same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

/* `10 H, could be 5 H to 20 H (common practice, no source)`; the basis only where it is not that of
 * the guess before. */
static const char *taken(struct summary *s, const struct assumption *a, const char *before)
{
    const char *basis = a->basis ? a->basis : "no basis";
    return arena_printf(s->arena, "%s%s%s", summary_value(s, a->value, a->unit, false), range(s, a),
                        same_text(basis, before) ? "" : arena_printf(s->arena, " (%s)", basis));
}

/* The guesses that the same reading would replace, from the `at`th on. */
static void tell_reading(struct summary *s, int at)
{
    const char *measure = s->guesses.at[at]->measure;
    const char *names = "", *values = "", *basis = NULL;
    for (int i = at; i < s->guesses.n; i++) {
        const struct assumption *a = s->guesses.at[i];
        if (!same_text(a->measure, measure)) continue;
        names = arena_printf(s->arena, "%s%s%s %s", names, *names ? ", " : "", a->part, a->key);
        values = arena_printf(s->arena, "%s%s%s", values, *values ? "; " : "", taken(s, a, basis));
        basis = a->basis ? a->basis : "no basis";
    }
    summary_say(s, "  * ", "%s: %s. Taken as %s.", names, measure, values);
}

static void tell_unmeasurable(struct summary *s)
{
    const char *text = "";
    for (int i = 0; i < s->guesses.n; i++) {
        const struct assumption *a = s->guesses.at[i];
        if (a->measure) continue;
        text = arena_printf(s->arena, "%s%s%s %s %s", text, *text ? "; " : "", a->part, a->key,
                            taken(s, a, NULL));
    }
    if (*text) summary_say(s, "  * ", "Not simply measured, taken as: %s.", text);
}

static void write_better(struct summary *s)
{
    if (s->guesses.n == 0) return;
    summary_heading(s, "Readings that would replace the guesses");
    for (int i = 0; i < s->guesses.n; i++) {
        const char *measure = s->guesses.at[i]->measure;
        bool told = !measure;
        for (int k = 0; k < i && !told; k++) told = same_text(s->guesses.at[k]->measure, measure);
        if (!told) tell_reading(s, i);
    }
    tell_unmeasurable(s);
}

/* --- cautions --- */

static void write_stored(struct summary *s)
{
    const struct figure *stored = result_find(s->run, "set", MEASURE_STORED_ENERGY);
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
    const char *joules = summary_value(s, stored->value, UNIT_JOULE, false);
    if (*never)
        summary_say(s, "  ",
                    "The capacitors hold %s. With the tubes cold nothing you typed in empties %s: "
                    "the charge stays for hours, or for good. Discharge it.",
                    joules, never);
    else if (longest > 0)
        summary_say(
            s, "  ",
            "The capacitors hold %s; with the tubes cold they need %s to fall to 30 V, if what "
            "bleeds them is sound.",
            joules, summary_value(s, longest, UNIT_SECOND, true));
}

static void write_cautions(struct summary *s)
{
    struct hazards h = hazards_of(s->arena, s->setup, s->run, OCCASION_POWER);
    int i = caution_next(&h, -1);
    if (i < 0) return;
    summary_heading(s, "Cautions");
    write_stored(s);
    for (; i >= 0; i = caution_next(&h, i))
        summary_say(s, "  * ", "%s: %s", caution_at(i)->name, caution_at(i)->text);
}

void summary_cautions(struct summary *s, const struct hazards *all, int n)
{
    summary_heading(s, "Cautions");
    for (int i = 0; i < cautions_count(); i++) {
        bool applies = false;
        for (int k = 0; k < n && !applies; k++) applies = caution_at(i)->applies(&all[k]);
        if (applies) summary_say(s, "  * ", "%s: %s", caution_at(i)->name, caution_at(i)->text);
    }
}

struct summary summary_of(FILE *to, struct arena *arena, const struct turn_on *t)
{
    struct summary s = {.to = to,
                        .arena = arena,
                        .t = t,
                        .setup = t->setup,
                        .set = t->setup->stages.at[0].set,
                        .circuit = t->setup->stages.at[0].circuit,
                        .run = t->run};
    gather_guesses(&s);
    return s;
}

void summary_write(FILE *to, struct arena *arena, const struct turn_on *t, const char *figures)
{
    struct summary s = summary_of(to, arena, t);
    s.figures = figures;
    summary_gather(&s);
    write_head(&s);
    write_leaps(&s, &t->run->statistics);
    write_status(&s);
    write_guesses(&s);
    summary_stop(&s);
    summary_order(&s);
    summary_meter(&s);
    summary_margins(&s);
    summary_heat(&s);
    write_better(&s);
    write_cautions(&s);
}
