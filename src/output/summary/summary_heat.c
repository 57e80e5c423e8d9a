/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the watts go in the warm set, and how capacitors side by side share current and heat:
 * a new one over an old one restores the capacitance and changes nothing about the old one's leak.
 */
#include <math.h>
#include <string.h>

#include "summary_impl.h"
#include "summary_meter_impl.h"
#include "words_common.h"
#include "words_heat.h"

#define WORTH_TELLING 0.3 /* [W]; what is less warms nothing. Common practice, no source */

/* The warm set; without it the end of the run. */
static const struct result *state(const struct summary *s)
{
    return s->t->warm ? s->t->warm : s->run;
}

static double figure(const struct summary *s, const char *subject, enum measure measure)
{
    const struct figure *f = run_figure(state(s), subject, measure);
    return f ? f->value : (double)NAN;
}

/* --- the list --- */

/* `, at most 64 degC` when its own warmth is followed. */
static const char *warmth(struct summary *s, const char *part)
{
    const struct figure *f = run_figure(state(s), part, MEASURE_TEMPERATURE);
    if (!f) return "";
    return arena_printf(
        s->arena, s->t->warm ? words_heat_at : words_heat_at_most,
        page_value(s->page, f->value, UNIT_CELSIUS, summary_rough(s, part, MEASURE_TEMPERATURE)));
}

/* To the digits that are told: alike parts keep the order of the figures. */
static double rounded(double watts)
{
    double digit = pow(10, floor(log10(watts)) - 2);
    return digit * nearbyint(watts / digit);
}

/* The part with the most watts after `before`, of as many the next; NULL: none worth telling. */
static const struct figure *next_hottest(const struct summary *s, const struct figure *before)
{
    const struct figure *best = NULL;
    for (int i = 0; i < state(s)->figures.n; i++) {
        const struct figure *f = &state(s)->figures.at[i];
        if (f->measure != MEASURE_DISSIPATION || !(f->value >= WORTH_TELLING)) continue;
        double watts = rounded(f->value), last = before ? rounded(before->value) : HUGE_VAL;
        if (!(watts < last || (watts == last && f > before))) continue;
        if (!best || watts > rounded(best->value)) best = f;
    }
    return best;
}

/* A battery set's source is no mains. */
static const char *called(const struct summary *s, const char *part)
{
    bool source = strcmp(part, "mains") == 0;
    return source && summary_meter_vibrator(s) ? words_common_vibrator : part;
}

static void tell_list(struct summary *s)
{
    const char *text = "";
    for (const struct figure *f = next_hottest(s, NULL); f; f = next_hottest(s, f))
        text = arena_printf(s->arena, "%s%s%s %s%s", text, *text ? ", " : "", called(s, f->subject),
                            page_value(s->page, f->value, UNIT_WATT,
                                       summary_rough(s, f->subject, MEASURE_DISSIPATION)),
                            warmth(s, f->subject));
    page_say(s->page, "  ", "%s.", text);
}

/* --- side by side --- */

/* Filter capacitors by their circuit's probes. */
static const struct probe *capacitor_probe(const struct circuit *c, int i)
{
    const struct probe *p = &c->probes.at[i];
    return p->kind == PROBE_VOLTAGE && p->flags & PROBE_CAPACITOR ? p : NULL;
}

static bool beside(const struct probe *a, const struct probe *b)
{
    return (a->from == b->from && a->to == b->to) || (a->from == b->to && a->to == b->from);
}

static const char *share(struct summary *s, const char *part)
{
    double amperes = figure(s, part, MEASURE_RMS_CURRENT),
           watts = figure(s, part, MEASURE_DISSIPATION);
    bool rough = summary_rough(s, part, MEASURE_RMS_CURRENT);
    const char *flow = page_value(s->page, isnan(amperes) ? 0 : amperes, UNIT_AMPERE, rough);
    const char *heat = page_value(s->page, isnan(watts) ? 0 : watts, UNIT_WATT,
                                  summary_rough(s, part, MEASURE_DISSIPATION));
    return arena_printf(s->arena, words_heat_share, part, flow, heat, warmth(s, part));
}

static void tell_side_by_side(struct summary *s)
{
    const struct circuit *c = s->setup->stages.at[s->setup->stages.n - 1].circuit;
    for (int i = 0; i < c->probes.n; i++) {
        const struct probe *p = capacitor_probe(c, i);
        const char *text = "";
        int n = 0;
        for (int k = 0; p && k < c->probes.n; k++) {
            const struct probe *o = capacitor_probe(c, k);
            if (!o || !beside(p, o)) continue;
            if (k < i) break; /* told already */
            text = arena_printf(s->arena, "%s%s%s", text, n++ ? "; " : "", share(s, o->subject));
        }
        if (n > 1) page_say(s->page, "  ", words_heat_side_by_side, text);
    }
}

void summary_heat(struct summary *s)
{
    if (s->brief) {
        if (!summary_dead(s)) tell_side_by_side(s);
        return;
    }
    if (!next_hottest(s, NULL)) return;
    page_heading(s->page, s->t->warm ? words_heat_warm : words_heat_heading);
    tell_list(s);
    tell_side_by_side(s);
}
