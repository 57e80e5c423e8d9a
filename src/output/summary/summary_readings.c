/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings that disagree with what is calculated stand before everything else: either a value typed
 * in is wrong, or the set has a fault that is not in the scenario. What was measured across a part
 * of known ohms tells its current. */
#include <math.h>
#include <string.h>

#include "summary_impl.h"
#include "words_stop.h"

#define WORTH_RATING 0.1 /* [W]; any part stands it. Common practice, no source */

static const struct result *state(const struct summary *s)
{
    return s->t->warm ? s->t->warm : s->run;
}

/* A measured potential [V]; NaN: none. */
static double measured(const struct summary *s, const char *point)
{
    const char *reference = s->circuit->reference;
    if (reference && strcmp(point, reference) == 0) return 0;
    for (int i = 0; i < s->setup->readings.n; i++) {
        const struct reading *r = &s->setup->readings.at[i];
        if (r->measured && r->unit == UNIT_VOLT && strcmp(r->subject, point) == 0) return r->value;
    }
    return (double)NAN;
}

/* Ohms of a resistor or coil as it is in the warm set: of its own volts and amperes where both are
 * known. */
static double ohms_of(const struct summary *s, const struct part *part, double drop,
                      double *amperes)
{
    const struct figure *mean = run_figure(state(s), part->name, MEASURE_AVERAGE_CURRENT);
    struct part_way way;
    double ohms = part_ohms(part, drop);
    *amperes = mean ? fabs(mean->value) : (double)NAN;
    if (!part_way(s->set, part, 0, &way)) return ohms;
    const struct figure *from = run_figure(state(s), way.point[0], MEASURE_SETTLED_VOLTAGE);
    const struct figure *to = run_figure(state(s), way.point[1], MEASURE_SETTLED_VOLTAGE);
    double volts = fabs((from ? from->value : 0) - (to ? to->value : 0));
    if (mean && fabs(mean->value) > 0 && volts > 0) return volts / fabs(mean->value);
    if (isnan(*amperes) && ohms > 0) *amperes = volts / ohms;
    return ohms;
}

static void tell_drops(struct summary *s)
{
    for (int i = 0; i < s->set->parts.n; i++) {
        const struct part *part = s->set->parts.at[i];
        struct part_way way;
        double calculated_amperes;
        if (!part_is(part, ROLE_RESISTOR | ROLE_COIL) || !part_way(s->set, part, 0, &way)) continue;
        if (way.points != 2) continue;
        double drop = fabs(measured(s, way.point[0]) - measured(s, way.point[1]));
        if (!(drop > 0)) continue;
        double ohms = ohms_of(s, part, drop, &calculated_amperes);
        if (!(ohms > 0) || isnan(calculated_amperes)) continue;
        page_say(s->page, "    ", words_stop_drop, page_value(s->page, drop, UNIT_VOLT, false),
                 part->name, page_value(s->page, ohms, UNIT_OHM, false),
                 page_value(s->page, drop / ohms, UNIT_AMPERE, false),
                 page_value(s->page, calculated_amperes, UNIT_AMPERE, false),
                 drop / ohms > 1.1 * calculated_amperes   ? words_stop_draws_more
                 : drop / ohms < 0.9 * calculated_amperes ? words_stop_draws_less
                                                          : words_stop_draws_same);
    }
}

bool summary_disagrees(struct summary *s)
{
    if (s->run->status != STATUS_OK || summary_dead(s)) return false;
    const char *text = summary_off_measured(s);
    if (!*text) return false;
    page_say(s->page, "  * ", words_stop_readings, text);
    tell_drops(s);
    return true;
}

/* ---- what was not judged ---- */

static bool belongs(const char *subject, const char *part)
{
    size_t n = strlen(part);
    return strncmp(subject, part, n) == 0 && (!subject[n] || subject[n] == '.');
}

static bool rated(const struct summary *s, const struct part *part, enum measure measure)
{
    for (int i = 0; i < s->set->ratings.n; i++) {
        const struct rating *r = &s->set->ratings.at[i];
        if (r->measure == measure && belongs(r->subject, part->name)) return true;
    }
    return false;
}

/* What should have a rating and has none, by kind of part. */
static const struct {
    unsigned roles;
    enum measure measure;
} wanted[] = {
    {ROLE_CAPACITOR, MEASURE_SETTLED_VOLTAGE}, {ROLE_RECTIFIER, MEASURE_INVERSE_VOLTAGE},
    {ROLE_RECTIFIER, MEASURE_AVERAGE_CURRENT}, {ROLE_RECTIFIER, MEASURE_INRUSH_PEAK_CURRENT},
    {ROLE_TUBE, MEASURE_DISSIPATION},          {ROLE_RESISTOR, MEASURE_DISSIPATION}};

/* What of `part` should have the `k`th rating and has none; "": nothing. */
static const char *unrated(struct summary *s, const struct part *part, size_t k)
{
    enum measure measure = wanted[k].measure;
    if (!part_is(part, wanted[k].roles) || rated(s, part, measure)) return "";
    if (wanted[k].roles == ROLE_TUBE && !part_is(part, ROLE_RECTIFIER)) return "";
    const struct figure *f = run_figure(state(s), part->name, measure);
    if (measure != MEASURE_DISSIPATION || !f) return measure_words(measure);
    if (f->value < WORTH_RATING) return "";
    return arena_printf(s->arena, "%s: %s", measure_words(measure),
                        page_value(s->page, f->value, f->unit, false));
}

/* The part, or those of a bridge, of which the same is to be said. */
struct unrated {
    const char *names, *what;
};

const char *summary_unrated(struct summary *s)
{
    ARRAY(struct unrated) all = {0};
    for (int i = 0; i < s->set->parts.n; i++) {
        const char *what = "", *text = "";
        for (size_t k = 0; k < sizeof wanted / sizeof wanted[0]; k++) {
            const char *more = unrated(s, s->set->parts.at[i], k);
            what = *more ? arena_printf(s->arena, "%s%s%s", what, *what ? ", " : "", more) : what;
        }
        for (int n = 0; n < all.n; n++) {
            if (strcmp(all.at[n].what, what) != 0) continue;
            all.at[n].names =
                arena_printf(s->arena, "%s, %s", all.at[n].names, s->set->parts.at[i]->name);
            text = all.at[n].names;
        }
        if (*what && !*text)
            array_push(s->arena, &all, (struct unrated){s->set->parts.at[i]->name, what});
    }
    const char *text = "";
    for (int n = 0; n < all.n; n++)
        text = arena_printf(s->arena, "%s%s%s (%s)", text, n ? "; " : "", all.at[n].names,
                            all.at[n].what);
    return text;
}
