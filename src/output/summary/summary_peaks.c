/* SPDX-License-Identifier: GPL-3.0-or-later */
/* For each rectifier one sentence: the peak that repeats beside the one at a hot restart, with its
 * length and heating. Of two plates the worse one. */
#include <math.h>
#include <string.h>

#include "numbers.h"
#include "summary_impl.h"

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
    const char *is = summary_value(s, value, UNIT_AMPERE, summary_rough(s, subject, measure));
    if (isinf(limit)) return arena_printf(s->arena, "%s (no rating known)", is);
    return arena_printf(s->arena, "%s of %s", is, summary_value(s, limit, UNIT_AMPERE, false));
}

static const char *length(struct summary *s, const struct first_peak *p)
{
    bool rough = summary_rough(s, p->subject, MEASURE_PEAK_I2T);
    if (isnan(p->duration)) return "";
    const char *heat = isfinite(p->i2t) ? arena_printf(s->arena, ", %s of I2t",
                                                       summary_value(s, p->i2t, UNIT_I2T, rough))
                                        : "";
    return arena_printf(s->arena, " for %s%s", summary_value(s, p->duration, UNIT_SECOND, rough),
                        heat);
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
        text =
            arena_printf(s->arena, "%s; when the mains come back at %s it is %s", text,
                         summary_time(s, from), summary_value(s, most->value, UNIT_AMPERE, rough));
    }
    return text;
}

/* The sentence without the name. */
static const char *sentence(struct summary *s, const char *part)
{
    const struct figure *running = running_peak(s->run, part);
    bool hot = s->t->restart != NULL;
    const struct result *r = hot ? s->t->restart : s->run;
    struct first_peak p = first_peak(r, part);
    const char *repeats =
        arena_printf(s->arena, "the peak of every cycle is %s",
                     against(s, running->subject, running->measure, running->value));
    if (!p.subject) return arena_printf(s->arena, "%s.", repeats);
    const char *first = "nothing in the circuit limits it";
    if (isfinite(p.peak))
        first =
            arena_printf(s->arena, "it could be %s%s",
                         against(s, p.subject, MEASURE_INRUSH_PEAK_CURRENT, p.peak), length(s, &p));
    return arena_printf(
        s->arena, "%s; %s (closed at %s) %s%s.", repeats, hot ? "at a hot restart" : "at switch-on",
        summary_value(s, r->closing_angle, UNIT_DEGREE, false), first, returns(s, part));
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
    const struct figure *make = result_find(s->run, "mains", MEASURE_MAKE_CURRENT),
                        *broken = result_find(s->run, "mains", MEASURE_BREAK_CURRENT),
                        *peak = result_find(s->run, "mains", MEASURE_CONTACT_PEAK_CURRENT),
                        *rms = result_find(s->run, "mains", MEASURE_LINE_CURRENT);
    const struct figure *top = highest_top(s->run);
    if (!make || !broken || !peak || !rms) return;
    bool rough = summary_rough(s, "mains", MEASURE_CONTACT_PEAK_CURRENT);
    summary_say(s, "  ",
                "The vibrator's contact meets up to %s as it makes, carries %s RMS with peaks of "
                "%s, and breaks %s.",
                summary_value(s, make->value, UNIT_AMPERE, rough),
                summary_value(s, rms->value, UNIT_AMPERE, rough),
                summary_value(s, peak->value, UNIT_AMPERE, rough),
                summary_value(s, broken->value, UNIT_AMPERE, rough));
    if (!top) return;
    const struct figure *over = result_find(s->run, top->subject, MEASURE_OVERSHOOT_VOLTAGE),
                        *share = result_find(s->run, top->subject, MEASURE_OVERSHOOT_SHARE);
    rough = summary_rough(s, top->subject, MEASURE_OVERSHOOT_VOLTAGE);
    summary_say(s, "  ", "%s swings %s (%s) beyond its flat top of %s.", top->subject,
                summary_value(s, over->value, UNIT_VOLT, rough), summary_percent(s, share->value),
                summary_value(s, top->value, UNIT_VOLT, false));
}

void summary_peaks(struct summary *s)
{
    told_list list = {0};
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *f = &s->run->figures.at[i];
        const char *part = summary_part(s, f->subject);
        if (f->measure == MEASURE_RUNNING_PEAK_CURRENT && is_first(s->run, i, part))
            add(s, &list, part);
    }
    for (int i = 0; i < list.n; i++)
        summary_say(s, "  ", "%s: %s", list.at[i].names, list.at[i].sentence);
    write_contact(s);
}
