/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to stop for: everything over its rating, the worst first, with the reason in volts, watts
 * and time. Nobody can tell when a part will die, so it is told what could happen, not when. */
#include <math.h>
#include <string.h>

#include "ends_text.h"
#include "summary_impl.h"
#include "words_harm.h"
#include "words_number.h"
#include "words_stop.h"

enum { TOLD_MOST = 8, BRIEF_SOURCE = 60 };

#define AT_ONCE 1e-4 /* after closing: no time worth saying [s] */

#define COLD_NEAR 0.95 /* of a limit: from there on an assumption may put it over */
#define COLD_MORE 0.005

/* A design-centre limit passed by less, on a line as much too high, is what its makers reckoned
 * with (tube manuals, definition of the design-centre system, from memory). */
#define DESIGN_CENTRE_ALLOWS 1.1

/* --- the line --- */

/* What the primary was made for; NaN: not known. */
static double rated_line(const struct set *set)
{
    const struct part *transformer = part_with(set, ROLE_TRANSFORMER);
    return transformer ? part_volts(transformer) : (double)NAN;
}

static const char *design_centre(struct summary *s, const struct judged *row)
{
    const char *system = row->rating->system;
    double rated = rated_line(s->set);
    if (!system || strncmp(system, "design-cent", 11) != 0) return "";
    if (!(row->share < DESIGN_CENTRE_ALLOWS) || !(s->set->plug_volts > rated)) return "";
    return arena_printf(s->arena, words_stop_design_centre, 100 * (DESIGN_CENTRE_ALLOWS - 1),
                        page_value(s->page, s->set->plug_volts, UNIT_VOLT, false),
                        page_value(s->page, rated, UNIT_VOLT, false));
}

/* --- one figure --- */

static const char *derived(struct summary *s, const struct judged *row)
{
    if (!judge_derived(row->rating) || !(row->share <= JUDGE_BAND)) return "";
    return arena_printf(s->arena, words_stop_derived, 100 * (JUDGE_BAND - 1));
}

static const char *at(struct summary *s, const struct judged *row)
{
    bool at_once = row->figure.time < AT_ONCE;
    if (isnan(row->figure.time) || summary_of_warm(s, row) || at_once) return "";
    return arena_printf(s->arena, words_stop_at, summary_time(s, row->figure.time));
}

static const char *source(struct summary *s, const struct rating *r)
{
    const char *from = strcmp(r->source, "scenario") == 0 ? words_stop_your_scenario : r->source;
    bool system = r->system && *r->system;
    const char *text = system ? arena_printf(s->arena, "%s; %s", from, r->system) : from;
    if (s->brief && strlen(text) > BRIEF_SOURCE) return "";
    return arena_printf(s->arena, " (%s)", text);
}

/* `highest voltage 493 V at 8.3 s, 110 % of its 450 V` */
const char *summary_how_much(struct summary *s, const struct judged *row)
{
    const struct figure *f = &row->figure;
    const char *words = measure_words(f->measure);
    const char *limit = page_value(s->page, row->rating->limit, f->unit, false);
    const char *time = at(s, row);
    if (isinf(f->value)) return arena_printf(s->arena, words_stop_unlimited, words, time, limit);
    bool rough = summary_rough(s, f->subject, f->measure);
    const char *value = page_value(s->page, f->value, f->unit, rough);
    if (row->rating->at_least)
        return arena_printf(s->arena, words_stop_falls_below, words, value, time, limit);
    if (f->unit == UNIT_CELSIUS)
        return arena_printf(s->arena, words_stop_kelvin, words, value, time,
                            f->value - s->set->ambient, row->rating->limit - s->set->ambient);
    if (isinf(row->share))
        return arena_printf(s->arena, words_stop_allowed, words, value, time, limit);
    return arena_printf(s->arena, words_stop_percent, words, value, time,
                        page_percent(s->page, row->share), limit);
}

static bool is_steady(const struct judged *row)
{
    const struct measure_row *m = &measure_table[row->figure.measure];
    return row->verdict == VERDICT_OVER && m->at_end &&
           (m->unit == UNIT_AMPERE || m->unit == UNIT_WATT);
}

/* A bullet before this one has told the watts of the part. */
static bool watts_told(struct summary *s, const struct judged *row, const char *part)
{
    for (int i = 0; i < s->count && s->worst[i] != row; i++)
        if (is_steady(s->worst[i]) &&
            strcmp(summary_part(s, s->worst[i]->figure.subject), part) == 0)
            return true;
    return false;
}

/* A steady current over its rating is told in watts too, heat also in joules. */
static const char *in_watts(struct summary *s, const struct judged *row)
{
    const char *part = summary_part(s, row->figure.subject);
    bool warm = summary_of_warm(s, row);
    const struct figure *watts = run_figure(warm ? s->t->warm : s->run, part, MEASURE_DISSIPATION);
    const struct figure *joules = warm ? NULL : run_figure(s->run, part, MEASURE_ENERGY);
    if (!is_steady(row) || !watts || !(watts->value > 0) || watts_told(s, row, part)) return "";
    bool rough = summary_rough(s, part, MEASURE_DISSIPATION);
    const char *sum = "";
    if (joules && joules->value > 0)
        sum = arena_printf(s->arena, words_stop_joules,
                           page_value(s->page, joules->value, UNIT_JOULE, rough),
                           page_value(s->page, s->run->end, UNIT_SECOND, false));
    return arena_printf(s->arena, words_stop_watts, part,
                        page_value(s->page, watts->value, UNIT_WATT, rough), sum);
}

static bool is_capacitor(const struct summary *s, const char *subject)
{
    const struct part *part = set_find(s->set, subject);
    return part && part_is(part, ROLE_CAPACITOR);
}

static bool is_surge(const struct summary *s, const struct judged *row)
{
    return row->figure.measure == MEASURE_HIGHEST_VOLTAGE && is_capacitor(s, row->figure.subject);
}

/* What to do about one of the sheet's stand-ins for the peak current; they mean less where the peaks
 * are known to be inside. */
static const char *about_peaks(struct summary *s, const struct judged *row)
{
    const char *part = summary_part(s, row->figure.subject);
    bool judged[2] = {false, false};
    double worst = 0;
    if (!measure_table[row->figure.measure].stand_in) return "";
    for (int i = 0; i < s->count; i++) {
        const struct judged *peak = s->worst[i];
        bool first = peak->figure.measure == MEASURE_INRUSH_PEAK_CURRENT;
        if (!first && peak->figure.measure != MEASURE_RUNNING_PEAK_CURRENT) continue;
        if (strcmp(summary_part(s, peak->figure.subject), part) != 0) continue;
        judged[first] = true;
        if (peak->share > worst) worst = peak->share;
    }
    if (judged[0] && judged[1] && worst <= 1)
        return arena_printf(s->arena, words_stop_peaks_inside, page_percent(s->page, worst),
                            s->t->ends && worst >= COLD_NEAR ? words_stop_as_assumed : "");
    if (!row->rating->at_least) return words_stop_check_peak;
    double missing = row->rating->limit - row->figure.value;
    return arena_printf(s->arena, words_stop_add_ohms,
                        page_number(s->page, missing, row->figure.unit, 2));
}

/* In brief what a part is harmed by is said once, and not where peaks show that it is not. */
static bool harm_said(struct summary *s, const struct judged *row)
{
    if (!s->brief) return false;
    if (strncmp(about_peaks(s, row), words_stop_peaks_inside, 12) == 0) return true;
    for (int i = 0; i < s->count && s->worst[i] != row; i++)
        if (s->worst[i]->verdict == VERDICT_OVER && s->worst[i]->rating->harm == row->rating->harm)
            return true;
    return false;
}

/* Nothing stays so as long as the set is on because a run ended before it had settled. */
static const char *harm(struct summary *s, const struct judged *row)
{
    if (row->rating->harm == HARM_STARVED && row->figure.value == 0) return words_stop_not_struck;
    bool lasting = summary_of_warm(s, row) || summary_of_restart(s, row) || s->run->settled;
    if (row->rating->harm != HARM_CAPACITOR_VOLTS || lasting) return words_harm(row->rating->harm);
    return words_stop_volts_at_end;
}

static void tell(struct summary *s, const struct judged *row)
{
    const char *why = harm_said(s, row) ? "" : arena_printf(s->arena, " %s", harm(s, row));
    const char *surge = is_surge(s, row) ? summary_surge(s, row->figure.subject) : NULL;
    if (row->figure.measure == MEASURE_LOWEST_VOLTAGE && !summary_of_restart(s, row))
        surge = summary_reversed(s, row->figure.subject, row->rating->limit);
    page_say(s->page, "  * ", words_stop_over, row->figure.subject,
             summary_of_restart(s, row) ? words_stop_hot_restart
             : summary_of_warm(s, row)  ? words_stop_warm
                                        : "",
             summary_how_much(s, row), source(s, row->rating), why, in_watts(s, row),
             surge ? surge : "", about_peaks(s, row),
             *design_centre(s, row) ? design_centre(s, row) : derived(s, row));
}

/* --- what no verdict says --- */

const char *summary_opened(struct summary *s)
{
    const char *text = "";
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *f = &s->run->figures.at[i];
        if (f->measure != MEASURE_OPENS_AT || !isfinite(f->value)) continue;
        text = arena_printf(s->arena, words_stop_opened, text, *text ? ", " : "", f->subject,
                            summary_time(s, f->value));
    }
    return text;
}

bool summary_dead(const struct summary *s)
{
    const struct figure *watts = run_figure(s->run, "mains", MEASURE_LINE_POWER);
    return watts && watts->value == 0;
}

static void tell_dead(struct summary *s)
{
    const char *opened = summary_opened(s);
    if (!summary_dead(s)) return;
    page_say(s->page, "  * ", words_stop_dead, *opened ? opened : words_stop_nothing_in);
}

/* The bullet of what is over has told it. */
static bool surge_told(const struct summary *s, const char *capacitor)
{
    for (int i = 0; i < s->count && i < TOLD_MOST; i++) {
        const struct judged *row = s->worst[i];
        if (row->verdict == VERDICT_OVER && is_surge(s, row) &&
            strcmp(row->figure.subject, capacitor) == 0)
            return true;
    }
    return false;
}

static void tell_wet(struct summary *s)
{
    for (int i = 0; i < s->set->parts.n; i++) {
        const struct part *part = s->set->parts.at[i];
        if (!part_is(part, ROLE_WET)) continue;
        page_say(s->page, "  * ", words_stop_wet, part->name);
    }
}

static void tell_unjudged(struct summary *s)
{
    const struct judgement *j = s->t->judgement;
    for (int i = 0; i < j->all.n; i++) {
        const struct judged *row = &j->all.at[i];
        if (!row->rating || row->verdict != VERDICT_NONE) continue;
        page_say(s->page, "  * ", words_stop_unknown_figure, row->figure.subject,
                 measure_words(row->figure.measure));
    }
    for (int i = 0; i < j->unmet.n; i++)
        page_say(s->page, "  * ", words_stop_no_figure, j->unmet.at[i]->subject,
                 measure_words(j->unmet.at[i]->measure));
}

static int count_over(const struct summary *s)
{
    int n = 0;
    for (int i = 0; i < s->count; i++) n += s->worst[i]->verdict == VERDICT_OVER;
    return n;
}

/* Near ones that no bullet has told. */
static int count_near(struct summary *s)
{
    int n = 0;
    for (int i = 0; i < s->count; i++) {
        const struct judged *row = s->worst[i];
        if (row->verdict != VERDICT_NEAR) continue;
        n += !is_surge(s, row) || !summary_surge(s, row->figure.subject);
    }
    return n;
}

/* The bullets of what is over; how many. */
static int tell_over(struct summary *s)
{
    int told = 0;
    bool mean = false;
    for (int i = 0; i < s->count && told < TOLD_MOST; i++) {
        if (s->worst[i]->verdict != VERDICT_OVER) continue;
        tell(s, s->worst[i]);
        mean |=
            measure_table[s->worst[i]->figure.measure].at_end && !summary_of_warm(s, s->worst[i]);
        told++;
    }
    int over = count_over(s);
    if (over == told + 1) page_say(s->page, "  * ", words_stop_one_more);
    else if (over > told) page_say(s->page, "  * ", words_stop_more, over - told);
    if (mean && !s->run->settled) page_say(s->page, "  ", words_stop_unsettled);
    return told;
}

/* What is over its rating already needs no guess to be so. */
static bool is_told(const void *summary, const struct end_turn *t)
{
    const struct summary *s = summary;
    for (int i = 0; i < s->count; i++)
        if (s->worst[i]->verdict == VERDICT_OVER && s->worst[i]->figure.measure == t->measure &&
            strcmp(s->worst[i]->figure.subject, t->subject) == 0)
            return true;
    return false;
}

static int tell_turns(struct summary *s, bool write)
{
    return ends_text_items(s->page, s->t->ends, !s->brief, write, is_told, s);
}

/* How much of its limit the warm set uses where a start from cold uses so much of it; 0: it is not
 * there. */
static double share_when_warm(const struct summary *s, const struct judged *cold)
{
    const struct judgement *j = s->t->judgement;
    double share = 0;
    for (int i = 0; i < j->all.n; i++) {
        const struct judged *row = &j->all.at[i];
        if (row->figure.measure == cold->figure.measure && row->share > share &&
            strcmp(row->figure.subject, cold->figure.subject) == 0 && summary_of_warm(s, row))
            share = row->share;
    }
    return share;
}

/* The bullet of a stand-in for a peak has told of it. */
static bool peak_told(struct summary *s, const struct judged *peak)
{
    for (int i = 0; i < s->count; i++) {
        const struct judged *row = s->worst[i];
        if (row->verdict == VERDICT_OVER && measure_table[row->figure.measure].stand_in &&
            strcmp(summary_part(s, row->figure.subject), summary_part(s, peak->figure.subject)) ==
                0)
            return true;
    }
    return false;
}

/* Ends of what was assumed are run with the warm set: what a start from cold alone brings so near to
 * its limit that they might put it over is said to rest on them. */
static void tell_cold_near(struct summary *s)
{
    for (int i = 0; i < s->count && s->t->ends; i++) {
        const struct judged *row = s->worst[i];
        if (row->verdict != VERDICT_NEAR || row->share < COLD_NEAR || is_surge(s, row) ||
            row->rating->at_least || measure_table[row->figure.measure].stand_in ||
            strcmp(row->variant, s->setup->variant) != 0)
            continue;
        if (row->share < share_when_warm(s, row) + COLD_MORE || peak_told(s, row)) continue;
        page_say(s->page, "  ", words_stop_cold_near, row->figure.subject,
                 measure_words(row->figure.measure), page_percent(s->page, row->share));
        return;
    }
}

static void tell_near(struct summary *s)
{
    int near = count_near(s);
    if (near == 0) return;
    page_say(s->page, "  ", near == 1 ? words_stop_near_one : words_stop_near, near,
             words_number_part(1 - JUDGE_NEAR));
}

/* The first line where nothing is over. It is no all-clear for what was not judged, not looked at, or
 * rests on a guess. */
static void tell_none_over(struct summary *s, const char *how_far, const char *unrated, bool turns)
{
    if (s->count == 0) page_say(s->page, "  ", words_stop_nothing_judged, how_far);
    else if (turns) page_say(s->page, "  ", words_stop_nothing_but_turns, how_far);
    else if (*unrated) page_say(s->page, "  ", words_stop_nothing_known_over, how_far, unrated);
    else page_say(s->page, "  ", words_stop_nothing_over, how_far);
}

void summary_stop(struct summary *s)
{
    page_heading_of(s->page, "first", words_stop_heading);
    tell_dead(s);
    bool disagrees = summary_disagrees(s);
    int told = tell_over(s) + summary_passed(s, "  * ") + summary_surges(s, surge_told);
    const char *off = summary_off_chart(s), *unrated = summary_unrated(s);
    const char *how_far = s->run->status != STATUS_OK ? words_stop_as_far
                          : disagrees                 ? words_stop_as_typed
                          : s->setup->hot             ? words_stop_settled
                                                      : "";
    bool turns = tell_turns(s, false) > 0;
    if (told == 0) tell_none_over(s, how_far, unrated, turns);
    else if (turns) page_say(s->page, "  ", words_stop_turns_head);
    tell_turns(s, true);
    if (s->setup->hot) page_say(s->page, "  ", words_stop_hot_run);
    if (!s->t->ends && s->t->warm && ends_take_long(s->setup))
        page_say(s->page, "  ", words_stop_large_set);
    if (*unrated && (told > 0 || turns)) page_say(s->page, "  ", words_stop_unrated, unrated);
    if (*off) page_say(s->page, "  ", words_stop_off_chart, 100 * SUMMARY_OFF_CHART, off);
    tell_cold_near(s);
    if (!s->brief) tell_near(s);
    tell_wet(s);
    tell_unjudged(s);
}
