/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose_text.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "numbers.h"
#include "page.h"
#include "words_diagnose.h"
#include "words_number.h"

#define ALIKE 0.03 /* no meter tells them apart */
enum { CAUSE = 40, SEVERE = 12, READING = 26, VALUE = 10, COLUMNS = 4 };
#define BATTERY 60.0 /* volts below which a set is fed from a battery */
#define TOLD 5e-3    /* least share of a cause in the table */

struct telling {
    struct page *page;
    const struct diagnosis *d;
};

const char *diagnose_text_cause(struct arena *arena, const struct cause *c)
{
    switch (c->special) {
    case SPECIAL_SOUND: return words_diagnose_sound;
    case SPECIAL_OUTSIDE: return words_diagnose_outside;
    case SPECIAL_LINE_LOW:
        return c->times < BATTERY ? words_diagnose_battery_low : words_diagnose_line_low;
    case SPECIAL_LINE_HIGH:
        return c->times < BATTERY ? words_diagnose_battery_high : words_diagnose_line_high;
    case SPECIAL_OTHER_TYPE: return arena_printf(arena, words_diagnose_other_type, c->part);
    case SPECIAL_WRONG_RETURN: return arena_printf(arena, words_diagnose_wrong_return, c->part);
    default: return arena_printf(arena, words_diagnose_cause, c->part, c->name);
    }
}

static const struct cause *cause_at(const struct telling *t, int c)
{
    return &t->d->r.causes.at[c];
}

static const char *name(struct telling *t, int c)
{
    return diagnose_text_cause(t->page->arena, cause_at(t, c));
}

static bool on_battery(const struct telling *t)
{
    return circuit_vibrates(t->d->r.set->circuit);
}

static const char *severity_at(struct telling *t, int c, double severity)
{
    return cause_severity_text(t->page->arena, cause_at(t, c), severity);
}

static const char *best_severity(struct telling *t, int c)
{
    return severity_at(t, c, t->d->placed[c].severity[t->d->of[c].best]);
}

/* `leakage `, or nothing. */
static const char *severity_name(struct telling *t, int c)
{
    const struct part_fault *fault = cause_at(t, c)->fault;
    return fault && fault->severity.key
               ? arena_printf(t->page->arena, "%s\x1f", fault->severity.key)
               : "";
}

/* ` (leakage 22 kohm; somewhere from 15 kohm to 31 kohm)`, or nothing. */
static const char *in_brackets(struct telling *t, int c)
{
    const char *best = best_severity(t, c), *what = severity_name(t, c), *low, *high;
    if (!best[0]) return "";
    low = severity_at(t, c, t->d->of[c].low);
    high = severity_at(t, c, t->d->of[c].high);
    if (cause_at(t, c)->discrete || strcmp(low, high) == 0)
        return arena_printf(t->page->arena, words_diagnose_severity, what, best);
    return arena_printf(t->page->arena, words_diagnose_severity_range, what, best, low, high);
}

/* ---- the answer ---- */

static void tell_odds(struct telling *t)
{
    const struct diagnosis *d = t->d;
    double odds = d->of[d->order[0]].share / d->of[d->order[1]].share;
    const bool sound = cause_at(t, d->order[0])->special == SPECIAL_SOUND;
    if (d->group > 2)
        page_say(t->page, "", words_diagnose_group_many, words_number(d->group), DIAGNOSE_APART);
    else if (d->group == 2)
        page_say(t->page, "", words_diagnose_group, words_number(2), DIAGNOSE_APART);
    else
        page_say(t->page, "", sound ? words_diagnose_odds_sound : words_diagnose_odds,
                 odds > 100  ? words_diagnose_odds_hundred
                 : odds > 10 ? words_diagnose_odds_ten
                             : words_diagnose_odds_three,
                 name(t, d->order[1]));
}

static void tell_pairs(struct telling *t)
{
    const struct diagnosis *d = t->d;
    if (d->pair_count == 0) return;
    page_say(t->page, "", "%s", words_diagnose_pairs);
    for (int i = 0; i < d->pair_count; i++) {
        const char *severe[2];
        for (int k = 0; k < 2; k++) {
            const char *text = severity_at(t, d->pairs[i].cause[k], d->pairs[i].severity[k]);
            severe[k] = text[0] ? arena_printf(t->page->arena, words_diagnose_severity,
                                               severity_name(t, d->pairs[i].cause[k]), text)
                                : "";
        }
        page_say(t->page, "  * ", words_diagnose_pair, name(t, d->pairs[i].cause[0]), severe[0],
                 name(t, d->pairs[i].cause[1]), severe[1]);
    }
}

const char *diagnose_text_value(struct arena *arena, const struct read *read, double compared)
{
    const struct page page = {.arena = arena};
    double shown = question_shown(read, compared);
    if (isnan(shown)) return "-";
    if (isinf(shown)) return words_diagnose_open;
    return page_value(&page, shown, read->unit, false);
}

static const char *value(struct telling *t, const struct read *read, double compared)
{
    return diagnose_text_value(t->page->arena, read, compared);
}

static void tell_sound(struct telling *t)
{
    const struct diagnosis *d = t->d;
    if (d->danger < 0) page_say(t->page, "", words_diagnose_no_fault);
    else
        page_say(t->page, "", words_diagnose_not_excluded, name(t, d->danger),
                 page_percent(t->page, d->of[d->danger].share));
}

static void tell_answer(struct telling *t)
{
    const struct diagnosis *d = t->d;
    const int first = d->order[0];
    const enum diagnose_special special = cause_at(t, first)->special;
    const bool sound = special == SPECIAL_SOUND;
    if (special == SPECIAL_OUTSIDE && d->serves)
        page_say(t->page, "", words_diagnose_perhaps_outside, name(t, d->order[1]),
                 in_brackets(t, d->order[1]));
    else if (special == SPECIAL_OUTSIDE) page_say(t->page, "", words_diagnose_nothing_fits);
    else if (!sound)
        page_say(t->page, "", words_diagnose_first, name(t, first), in_brackets(t, first));
    else if (d->serves) tell_sound(t);
    if (special != SPECIAL_OUTSIDE && (d->serves || !sound)) tell_odds(t);
    if (!d->serves) page_say(t->page, "", words_diagnose_no_single);
    if (d->odd >= 0) {
        const struct read *read = &d->r.q.reads.at[d->evidence.read[d->odd]];
        page_say(t->page, "", words_diagnose_odd, read->label,
                 value(t, read, d->evidence.value[d->odd]),
                 value(t, read,
                       diagnose_expected(d, d->odd_cause, d->odd_place, d->evidence.read[d->odd])),
                 name(t, d->odd_cause));
    }
    tell_pairs(t);
}

/* ---- causes ---- */

static const char *fit(const struct diagnosis *d, int c)
{
    if (d->r.causes.at[c].special == SPECIAL_OUTSIDE || d->evidence.n == 0) return "-";
    int nodes = d->r.causes.at[c].nodes, best = d->of[c].best;
    int node = d->placed[c].n == nodes
                   ? best
                   : (int)lround((double)best * (nodes - 1) / (d->placed[c].n - 1));
    if (d->r.of[c].made[node] != ANSWER_MADE) return "-";
    double chance = gsl_cdf_chisq_Q(d->of[c].misfit, d->evidence.n);
    return chance > 0.05              ? words_diagnose_fit_good
           : chance > DIAGNOSE_SERVES ? words_diagnose_fit_fair
                                      : words_diagnose_fit_poor;
}

static int told(const struct diagnosis *d)
{
    int n = d->group;
    while (n < d->r.causes.n && n < DIAGNOSE_TOLD && d->of[d->order[n]].share >= TOLD) n++;
    return n;
}

static void write_causes(struct telling *t)
{
    const struct diagnosis *d = t->d;
    struct page *p = t->page;
    bool dangerous = false;
    page_heading(p, words_diagnose_ranking);
    page_heads(p);
    page_line(p,
              arena_printf(p->arena, "  %s  %s %s%s  %s", page_cell(p, words_diagnose_share, -8),
                           page_cell(p, words_diagnose_what, CAUSE),
                           page_cell(p, words_diagnose_how_bad, -SEVERE), "", words_diagnose_fit));
    for (int i = 0; i < told(d); i++) {
        int c = d->order[i];
        const char *mark = cause_at(t, c)->dangerous ? "!" : "";
        dangerous |= cause_at(t, c)->dangerous;
        page_line(
            p, arena_printf(p->arena, "%s%2d %s  %s %s  %s", i < d->group ? ">" : " ", i + 1,
                            page_cell(p, page_percent(p, d->of[c].share), -7),
                            page_cell(p, arena_printf(p->arena, "%s%s", name(t, c), mark), CAUSE),
                            page_cell(p, best_severity(t, c), -SEVERE), fit(d, c)));
    }
    if (dangerous)
        page_say(p, "  ", "%s",
                 on_battery(t) ? words_diagnose_dangerous_battery : words_diagnose_dangerous);
}

/* ---- readings ---- */

static const char *column_head(struct telling *t, int k)
{
    if (k == 0) return words_diagnose_read;
    if (k == 1) return words_diagnose_sound_head;
    return arena_printf(t->page->arena, "%d.", k - 1);
}

static void write_reading(struct telling *t, int i, const int *causes, int n)
{
    const struct diagnosis *d = t->d;
    const struct read *read = &d->r.q.reads.at[i];
    struct page *p = t->page;
    const char *line = arena_printf(p->arena, "  %s", page_cell(p, read->label, READING));
    line = arena_printf(
        p->arena, "%s%s", line,
        page_cell(p, value(t, read, question_compared(read, read->what.value)), -VALUE));
    line = arena_printf(p->arena, "%s%s", line, page_cell(p, value(t, read, read->sound), -VALUE));
    for (int k = 0; k < n; k++)
        line = arena_printf(
            p->arena, "%s%s", line,
            page_cell(p, value(t, read, diagnose_expected(d, causes[k], d->of[causes[k]].best, i)),
                      -VALUE));
    page_line(p, line);
}

/* The leaders but for the sound set, which has a column of its own. */
static int columns_of(const struct telling *t, int *causes, int *ranks)
{
    const struct diagnosis *d = t->d;
    int n = 0;
    for (int i = 0; i < told(d) && n < COLUMNS - 1; i++) {
        enum diagnose_special special = d->r.causes.at[d->order[i]].special;
        if (special == SPECIAL_SOUND || special == SPECIAL_OUTSIDE) continue;
        ranks[n] = i;
        causes[n++] = d->order[i];
    }
    return n;
}

static void write_readings(struct telling *t)
{
    const struct diagnosis *d = t->d;
    struct page *p = t->page;
    int causes[COLUMNS], ranks[COLUMNS], n = columns_of(t, causes, ranks);
    if (d->r.q.read == 0) return;
    page_heading(p, words_diagnose_beside);
    const char *line =
        arena_printf(p->arena, "  %s", page_cell(p, words_diagnose_reading, READING));
    for (int k = 0; k < n + 2; k++)
        line = arena_printf(p->arena, "%s%s", line,
                            page_cell(p, column_head(t, k < 2 ? k : ranks[k - 2] + 2), -VALUE));
    page_heads(p);
    page_line(p, line);
    bool several = d->setup->measured->sets.n > 1;
    for (int i = 0; i < d->r.q.read; i++) several |= d->r.q.reads.at[i].situation < 0;
    for (int s = -1; s < d->r.q.situations.n; s++) {
        int rows = 0;
        for (int i = 0; i < d->r.q.read; i++) {
            if (d->r.q.reads.at[i].situation != s) continue;
            if (rows++ == 0 && several)
                page_line(p, arena_printf(p->arena, words_diagnose_set,
                                          s < 0 ? words_diagnose_set_dead
                                                : d->r.q.situations.at[s].name));
            write_reading(t, i, causes, n);
        }
    }
}

/* What was seen, heard and felt. */
static void tell_noticed(struct telling *t)
{
    struct page *p = t->page;
    const char *all = "";
    for (int i = 0; i < t->d->r.q.signs.n; i++) {
        const struct noticed *n = &t->d->r.q.signs.at[i].what;
        all = arena_printf(p->arena, "%s%s%s %s", all, *all ? ", " : "",
                           n->part ? n->part : noticed_subject(n->kind),
                           noticed_word(n->kind, n->word));
    }
    if (*all) page_say(p, "  ", words_diagnose_noticed, all);
}

/* Sets of readings that were taken at another time. */
static void tell_left_out(struct telling *t)
{
    const struct measured *measured = t->d->setup->measured;
    const char *names = "";
    for (int i = 0; i < measured->sets.n; i++) {
        bool taken = false;
        for (int k = 0; k < t->d->r.q.sets; k++)
            taken |= t->d->r.q.situations.at[k].set == &measured->sets.at[i];
        if (!taken)
            names = arena_printf(t->page->arena, "%s%s%s", names, *names ? ", " : "",
                                 measured->sets.at[i].name);
    }
    if (*names) page_say(t->page, "  ", words_diagnose_left_out, names);
}

/* ---- next ---- */

const char *diagnose_text_ask(struct arena *arena, const struct responses *r,
                              const struct read *read)
{
    const struct page page = {.arena = arena};
    const struct meter_reading *m = &read->what;
    const char *fed =
        read->class == CLASS_LAMP
            ? arena_printf(arena, words_diagnose_on_lamp, r->q.situations.at[read->situation].lamp)
        : circuit_vibrates(r->set->circuit) ? words_diagnose_battery
                                            : words_diagnose_full_line;
    if (m->kind == READING_OHMS)
        return arena_printf(arena, words_diagnose_ohms, m->subject, m->minus);
    if (m->kind == READING_LEAKAGE)
        return arena_printf(arena, words_diagnose_leakage, m->subject,
                            page_value(&page, m->at, UNIT_VOLT, false));
    if (m->kind != READING_FIGURE)
        return arena_printf(arena, words_diagnose_capacitance, m->subject);
    if (question_by_plug(read) && read->unit == UNIT_VOLT)
        return arena_printf(arena, words_diagnose_line_volts, fed);
    if (read->unit == UNIT_AMPERE) return arena_printf(arena, words_diagnose_amperes, fed);
    if (read->unit == UNIT_WATT) return arena_printf(arena, words_diagnose_watts, fed);
    return arena_printf(arena,
                        m->alternating                      ? words_diagnose_ac
                        : m->measure == MEASURE_RMS_VOLTAGE ? words_diagnose_heater
                                                            : words_diagnose_dc,
                        m->subject, fed);
}

/* What rank i lets expect; NaN: nothing. */
static double expected_of(struct telling *t, int i, int read)
{
    const struct diagnosis *d = t->d;
    int c = d->order[i];
    if (cause_at(t, c)->special == SPECIAL_OUTSIDE) return (double)NAN;
    return diagnose_expected(d, c, d->of[c].best, read);
}

static bool read_the_same(const struct read *read, double one, double other)
{
    const double a = question_shown(read, one), b = question_shown(read, other);
    return a == b || (isfinite(a - b) && fabs(a - b) <= ALIKE * larger(fabs(a), fabs(b)));
}

/* Causes that expect the same share a line, so that what the reading tells apart is seen: those of
 * the table, and of the others one for each value that none of the table lets expect. */
static void write_expected(struct telling *t, int read)
{
    const struct diagnosis *d = t->d;
    const int table = told(d);
    int n = table;
    while (n < d->r.causes.n && d->of[d->order[n]].share >= DIAGNOSE_ASKED) n++;
    bool *listed = ARENA_ARRAY(t->page->arena, bool, n + 1);
    for (int i = 0, lines = 0; i < n && lines < COLUMNS; i++) {
        const double here = expected_of(t, i, read);
        const char *names = NULL;
        if (listed[i] || isnan(here)) continue;
        for (int k = i; k < n; k++) {
            if (listed[k] || !read_the_same(&d->r.q.reads.at[read], expected_of(t, k, read), here))
                continue;
            listed[k] = true;
            if (k > i && k >= table) continue;
            names = names ? arena_printf(t->page->arena, "%s; %s", names, name(t, d->order[k]))
                          : name(t, d->order[k]);
        }
        page_say(t->page, "      ", words_diagnose_expects, names,
                 value(t, &d->r.q.reads.at[read], here));
        lines++;
    }
}

static void write_next(struct telling *t)
{
    const struct diagnosis *d = t->d;
    struct page *p = t->page;
    page_heading(p, words_diagnose_next);
    if (d->nexts == 0)
        page_say(p, "  ", "%s",
                 cause_at(t, d->order[0])->special == SPECIAL_OUTSIDE ? words_diagnose_next_outside
                 : d->pair_count > 0                                  ? words_diagnose_next_two
                 : d->of[d->order[0]].share > 0.9                     ? words_diagnose_next_settled
                                                                      : words_diagnose_next_none);
    for (int i = 0; i < d->nexts; i++) {
        const struct read *read = &d->r.q.reads.at[d->next[i].read];
        if (i == 1) page_say(p, "  ", "%s", words_diagnose_or);
        page_say(p, i == 0 ? "  " : "  * ", "%s", diagnose_text_ask(p->arena, &d->r, read));
        if (i > 0) continue;
        write_expected(t, d->next[i].read);
        if (read->class == CLASS_DEAD) {
            page_say(p, "  ", "%s",
                     on_battery(t) ? words_diagnose_dead_drill_battery : words_diagnose_dead_drill);
        } else if (question_by_plug(read)) {
            page_say(p, "  ", "%s", words_diagnose_plug_drill);
        } else {
            page_say(p, "  ", "%s",
                     on_battery(t) ? words_diagnose_live_drill_battery : words_diagnose_live_drill);
            page_say(p, "  ", "%s", words_diagnose_never);
        }
    }
    if (d->limit == NEXT_NO_FULL_LINE)
        page_say(p, "  ", "%s",
                 d->r.q.lamp < 0 ? words_diagnose_no_power : words_diagnose_no_full_line);
    if (d->limit == NEXT_NOT_ISOLATED) page_say(p, "  ", "%s", words_diagnose_not_isolated);
}

void diagnose_text_write(FILE *to, struct arena *arena, const struct diagnosis *d, const char *csv)
{
    struct page page = page_on(to, arena);
    struct telling t = {&page, d};
    struct hazards hazards = hazards_of(arena, d->setup, NULL, OCCASION_POWER | OCCASION_DISCHARGE);
    page_title(&page, d->setup->title, NULL);
    page_gap(&page);
    tell_answer(&t);
    write_causes(&t);
    write_readings(&t);
    tell_noticed(&t);
    tell_left_out(&t);
    write_next(&t);
    page_gap(&page);
    page_say(&page, "", words_diagnose_how, d->r.causes.n, d->r.runs);
    cautions_text_write(&page, &hazards, 1);
    page_gap(&page);
    page_path(&page, words_diagnose_files, csv);
}

void diagnose_text_matched(FILE *to, struct arena *arena, const struct match *match,
                           const char *path)
{
    const struct page page = page_on(to, arena);
    const char *unknown = NULL;
    int moved = 0;
    page_say(&page, "", words_diagnose_matched, path);
    for (int i = 0; i < match->values.n; i++) {
        const struct match_value *v = &match->values.at[i];
        if (v->left >= MATCH_UNKNOWN)
            unknown = unknown ? arena_printf(arena, "%s, %s", unknown, v->key) : v->key;
        if (fabs(v->moved) < MATCH_MOVED) continue;
        page_say(&page, "  * ", words_diagnose_matched_value, v->key,
                 page_value(&page, v->now, v->value->unit, false),
                 page_value(&page, v->value->value, v->value->unit, false));
        moved++;
    }
    if (moved == 0) page_say(&page, "  * ", "%s", words_diagnose_matched_none);
    if (unknown) page_say(&page, "", words_diagnose_matched_unknown, unknown);
    if (match->chance < MATCH_UNLIKELY) page_say(&page, "", "%s", words_diagnose_matched_unlikely);
    page_gap(&page);
}
