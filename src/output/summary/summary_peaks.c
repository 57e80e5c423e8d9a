/* SPDX-License-Identifier: GPL-3.0-or-later */
/* For each rectifier one sentence: the peak that repeats beside the one at a hot restart, with its
 * length and heating. Of two plates the worse one. */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "numbers.h"
#include "summary_impl.h"
#include "words_peaks.h"

/* The first pulse of one closing. */
struct first_peak {
    const char *subject;
    double peak, duration, i2t;
};

static bool belongs(const char *subject, const char *part)
{
    size_t n = strlen(part);
    return strncmp(subject, part, n) == 0 && (subject[n] == 0 || subject[n] == '.');
}

static const struct figure *running_peak(const struct result *r, const char *part)
{
    const struct figure *most = NULL;
    for (int i = 0; i < r->figures.n; i++) {
        const struct figure *f = &r->figures.at[i];
        if (f->measure != MEASURE_RUNNING_PEAK_CURRENT || !belongs(f->subject, part)) continue;
        if (!most || f->value > most->value) most = f;
    }
    return most;
}

/* Duration and I2t stand behind the peak they belong to, before the next peak. */
static void read_rest(const struct result *r, int at, struct first_peak *p)
{
    for (int i = at + 1; i < r->figures.n; i++) {
        const struct figure *f = &r->figures.at[i];
        if (f->measure == MEASURE_INRUSH_PEAK_CURRENT) return;
        if (strcmp(f->subject, p->subject) != 0) continue;
        if (f->measure == MEASURE_PEAK_DURATION) p->duration = f->value;
        if (f->measure == MEASURE_PEAK_I2T) p->i2t = f->value;
    }
}

static struct first_peak first_peak(const struct result *r, const char *part)
{
    struct first_peak most = {NULL, 0, (double)NAN, (double)NAN};
    for (int i = 0; i < r->figures.n; i++) {
        const struct figure *f = &r->figures.at[i];
        if (f->measure != MEASURE_INRUSH_PEAK_CURRENT || !belongs(f->subject, part)) continue;
        if (!(f->value > most.peak)) continue;
        most = (struct first_peak){f->subject, f->value, (double)NAN, (double)NAN};
        read_rest(r, i, &most);
    }
    return most;
}

/* The least limit of that measure [A]; inf: none. */
static double limit_of(const struct summary *s, const char *subject, enum measure measure)
{
    double least = (double)INFINITY;
    for (int i = 0; i < s->setup->stages.n; i++) {
        const struct set *set = s->setup->stages.at[i].set;
        for (int k = 0; k < set->ratings.n; k++) {
            const struct rating *r = &set->ratings.at[k];
            if (strcmp(r->subject, subject) == 0 && r->measure == measure)
                least = smaller(least, r->limit);
        }
    }
    return least;
}

/* `205 mA of 400 mA` */
static const char *against(struct summary *s, const char *subject, enum measure measure,
                           double value)
{
    double limit = limit_of(s, subject, measure);
    const char *is = page_value(s->page, value, UNIT_AMPERE, summary_rough(s, subject, measure));
    if (isinf(limit)) return arena_printf(s->arena, words_peaks_no_rating, is);
    return arena_printf(s->arena, words_peaks_of, is,
                        page_value(s->page, limit, UNIT_AMPERE, false));
}

static const char *length(struct summary *s, const struct first_peak *p)
{
    bool rough = summary_rough(s, p->subject, MEASURE_PEAK_I2T);
    if (isnan(p->duration)) return "";
    const char *heat = isfinite(p->i2t) ? arena_printf(s->arena, words_peaks_i2t,
                                                       page_value(s->page, p->i2t, UNIT_I2T, rough))
                                        : "";
    return arena_printf(s->arena, words_peaks_for,
                        page_value(s->page, p->duration, UNIT_SECOND, rough), heat);
}

/* The next stage at which the mains come back, from the `from`th on; n: none. */
static int next_return(const struct setup *setup, int from)
{
    int i = from;
    while (i < setup->stages.n &&
           (!setup->stages.at[i].mains_on || setup->stages.at[i - 1].mains_on))
        i++;
    return i;
}

/* `; when the mains come back at 32 s it is 3.76 A`, for each time they do. */
static const char *returns(struct summary *s, const char *part)
{
    const struct setup *setup = s->setup;
    const char *text = "";
    for (int i = next_return(setup, 1); i < setup->stages.n; i = next_return(setup, i + 1)) {
        int next = next_return(setup, i + 1);
        double from = setup->stages.at[i].time;
        double to = next < setup->stages.n ? setup->stages.at[next].time : (double)INFINITY;
        const struct figure *most = NULL;
        for (int k = 0; k < s->run->figures.n; k++) {
            const struct figure *f = &s->run->figures.at[k];
            if (f->measure != MEASURE_INRUSH_PEAK_CURRENT || !belongs(f->subject, part)) continue;
            if (f->time >= from && f->time < to && (!most || f->value > most->value)) most = f;
        }
        if (!most) continue;
        bool rough = summary_rough(s, most->subject, most->measure);
        text = arena_printf(s->arena, words_peaks_comes_back, text, summary_time(s, from),
                            page_value(s->page, most->value, UNIT_AMPERE, rough));
    }
    return text;
}

/* The sentence without the name. */
static const char *sentence(struct summary *s, const char *part)
{
    const struct figure *running = running_peak(s->t->warm ? s->t->warm : s->run, part);
    assert(running); /* who has no running peak has no sentence */
    bool hot = s->t->restart != NULL;
    const struct result *r = hot ? s->t->restart : s->run;
    struct first_peak p = first_peak(r, part);
    const char *repeats =
        arena_printf(s->arena, words_peaks_running,
                     against(s, running->subject, running->measure, running->value));
    if (!p.subject) return arena_printf(s->arena, "%s.", repeats);
    const char *first = words_peaks_unlimited;
    if (isfinite(p.peak))
        first =
            arena_printf(s->arena, words_peaks_could_be,
                         against(s, p.subject, MEASURE_INRUSH_PEAK_CURRENT, p.peak), length(s, &p));
    return arena_printf(s->arena, words_peaks_sentence, repeats,
                        hot ? words_peaks_hot_restart : words_peaks_switch_on,
                        page_value(s->page, r->closing_angle, UNIT_DEGREE, false), first,
                        returns(s, part));
}

struct told {
    const char *names, *sentence;
};

typedef ARRAY(struct told) told_list;

static bool is_part(const char *subject, const char *part)
{
    size_t n = strcspn(subject, ".");
    return strlen(part) == n && strncmp(subject, part, n) == 0;
}

/* No row before has told of this rectifier. */
static bool is_first(const struct result *r, int at, const char *part)
{
    for (int i = 0; i < at; i++) {
        const struct figure *f = &r->figures.at[i];
        if (f->measure == MEASURE_RUNNING_PEAK_CURRENT && is_part(f->subject, part)) return false;
    }
    return true;
}

/* Rectifiers of which the same is to be said share a sentence: the arms of a bridge. */
static void add(struct summary *s, told_list *list, const char *part)
{
    const char *text = sentence(s, part);
    for (int i = 0; i < list->n; i++) {
        struct told *t = &list->at[i];
        if (strcmp(t->sentence, text) != 0) continue;
        t->names = arena_printf(s->arena, "%s, %s", t->names, part);
        return;
    }
    array_push(s->arena, list, (struct told){part, text});
}

/* Of the windings the one with the highest flat top. */
static const struct figure *highest_top(const struct result *r)
{
    const struct figure *most = NULL;
    for (int i = 0; i < r->figures.n; i++) {
        const struct figure *f = &r->figures.at[i];
        if (f->measure == MEASURE_FLAT_TOP_VOLTAGE && (!most || f->value > most->value)) most = f;
    }
    return most;
}

/* What a vibrator's contact has to do. */
static void write_contact(struct summary *s)
{
    const struct figure *make = run_figure(s->run, "mains", MEASURE_MAKE_CURRENT),
                        *broken = run_figure(s->run, "mains", MEASURE_BREAK_CURRENT),
                        *peak = run_figure(s->run, "mains", MEASURE_CONTACT_PEAK_CURRENT),
                        *rms = run_figure(s->run, "mains", MEASURE_LINE_CURRENT);
    const struct figure *top = highest_top(s->run);
    if (!make || !broken || !peak || !rms) return;
    bool rough = summary_rough(s, "mains", MEASURE_CONTACT_PEAK_CURRENT);
    page_say(s->page, "  ", words_peaks_contact,
             page_value(s->page, make->value, UNIT_AMPERE, rough),
             page_value(s->page, rms->value, UNIT_AMPERE, rough),
             page_value(s->page, peak->value, UNIT_AMPERE, rough),
             page_value(s->page, broken->value, UNIT_AMPERE, rough));
    if (!top) return;
    const struct figure *over = run_figure(s->run, top->subject, MEASURE_OVERSHOOT_VOLTAGE),
                        *share = run_figure(s->run, top->subject, MEASURE_OVERSHOOT_SHARE);
    rough = summary_rough(s, top->subject, MEASURE_OVERSHOOT_VOLTAGE);
    page_say(s->page, "  ", words_peaks_swings, top->subject,
             page_value(s->page, over->value, UNIT_VOLT, rough),
             page_percent(s->page, share->value),
             page_value(s->page, top->value, UNIT_VOLT, false));
}

void summary_peaks(struct summary *s)
{
    told_list list = {0};
    for (int i = 0; i < s->run->figures.n && !s->brief; i++) {
        const struct figure *f = &s->run->figures.at[i];
        const char *part = summary_part(s, f->subject);
        if (f->measure == MEASURE_RUNNING_PEAK_CURRENT && is_first(s->run, i, part))
            add(s, &list, part);
    }
    for (int i = 0; i < list.n; i++)
        page_say(s->page, "  ", "%s: %s", list.at[i].names, list.at[i].sentence);
    write_contact(s);
}
