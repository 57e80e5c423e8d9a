/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is seen, heard and felt. Borders are common practice, no source, and soft: a word is taken
 * for its neighbour's now and then. */
#include <math.h>
#include <string.h>

#include "questions.h"
#include "lamp_law.h"
#include "numbers.h"

#define OPENED 1e3    /* amperes that stand for a fuse that has opened in the run */
#define LEAST 0.02    /* how likely any word is, whatever the set does */
#define CONFUSED 0.15 /* low hum taken for raspy, and the other way round */

static double figure(const struct result *r, const char *subject, enum measure measure)
{
    const struct figure *f = subject ? run_figure(r, subject, measure) : NULL;
    return f ? f->value : (double)NAN;
}

static double lamp_kelvin(const struct set *set, const struct result *r)
{
    const struct circuit *c = set->circuit;
    double volts = figure(r, "mains lamp", MEASURE_RMS_VOLTAGE);
    for (int i = 0; i < c->devices.n && !isnan(volts); i++)
        if (strcmp(c->devices.at[i].part, "mains lamp") == 0)
            return lamp_settled_kelvin(c->devices.at[i].par, volts);
    return (double)NAN;
}

static double line_amperes(const struct result *r)
{
    double opens = figure(r, "mains fuse", MEASURE_OPENS_AT);
    return isfinite(opens) ? OPENED : figure(r, "mains", MEASURE_LINE_CURRENT);
}

/* Ripple where the loads are joined to the supply: positive at the line's frequency, negative at
 * twice that and above. */
static double hum_volts(const struct set *set, const struct result *r)
{
    double most = 0;
    for (int i = 0; i < set->parts.n; i++) {
        struct part_way way;
        if (!part_is(set->parts.at[i], ROLE_LOAD) || !part_way(set, set->parts.at[i], 0, &way))
            continue;
        double ripple = figure(r, way.point[0], measure_on(RANGE_AC));
        double hertz = figure(r, way.point[0], MEASURE_RIPPLE_FREQUENCY);
        if (ripple > fabs(most)) most = hertz < 1.5 * set->frequency ? ripple : -ripple;
    }
    return most;
}

static double watts(const struct set *set, const struct result *r, const char *part)
{
    double sum = 0;
    if (part) return larger(0, figure(r, part, MEASURE_DISSIPATION));
    for (int i = 0; i < set->parts.n; i++) {
        double w = figure(r, set->parts.at[i]->name, MEASURE_DISSIPATION);
        if (part_is(set->parts.at[i], ROLE_RECTIFIER) && w > 0) sum += w;
    }
    return sum;
}

/* Of all tubes together: one that is burnt out has the volts of the whole string across it, and does
 * not glow. */
static double heater_watts(const struct set *set, const struct result *r)
{
    double sum = (double)NAN;
    for (int i = 0; i < set->circuit->probes.n; i++) {
        const struct probe *p = &set->circuit->probes.at[i];
        const char *name = arena_text(set->arena, p->subject, strcspn(p->subject, "."));
        const struct part *part = set_find(set, name);
        double w = figure(r, p->subject, MEASURE_DISSIPATION);
        if (p->flags & PROBE_HEATER && p->kind == PROBE_VOLTAGE && part &&
            !part_is(part, ROLE_LAMP) && !isnan(w))
            sum = isnan(sum) ? w : sum + w;
    }
    return sum;
}

double question_sign(const struct sign *sign, const struct set *set, const struct result *r)
{
    if (!r) return (double)NAN;
    switch (sign->what.kind) {
    case NOTICED_LAMP: return lamp_kelvin(set, r);
    case NOTICED_FUSE: return line_amperes(r);
    case NOTICED_HUM: return hum_volts(set, r);
    case NOTICED_WARMTH: return watts(set, r, sign->what.part);
    case NOTICED_PLATES: return watts(set, r, NULL);
    default: return heater_watts(set, r);
    }
}

/* Between two borders on a scale of ratios: how likely the middle, or what lies beyond. */
static double above(double ratio, double border, double width)
{
    return ratio > 0 ? 1 / (1 + pow(border / ratio, width)) : 0;
}

/* Shares of three words by two borders. */
static double third(int word, double ratio, double low, double high, double width)
{
    double first = 1 - above(ratio, low, width), last = above(ratio, high, width);
    return word == 0 ? first : word == 2 ? last : 1 - first - last;
}

static double hum_share(int word, double now, double sound)
{
    double heard = above(fabs(now), 3 * fabs(sound), 3);
    double right = (now > 0) == (word == 1) ? 1 - CONFUSED : CONFUSED;
    return word == 0 ? 1 - heard : heard * right;
}

double question_sign_likelihood(const struct sign *sign, double now, double sound, bool gas)
{
    const int word = sign->what.word, words = sign->what.kind == NOTICED_HEATERS ? 2 : 3;
    double p = 1.0 / words;
    if (isnan(now)) return p;
    switch (sign->what.kind) {
    case NOTICED_LAMP: p = third(word, now, 1000, 2200, 12); break; /* [K] */
    case NOTICED_FUSE: p = third(word, now / sound, 1.8, 5, 5); break;
    case NOTICED_HUM: p = hum_share(word, now, sound); break;
    case NOTICED_WARMTH: /* of a can [W]; of what is warm by itself beside the sound one */
        p = sound > 1 ? third(word, now / sound, 0.5, 1.5, 5) : third(word, now, 0.5, 2, 3);
        break;
    case NOTICED_PLATES: {
        double red = above(now / sound, 2.5, 5), blue = gas ? 0.7 : 0;
        p = word == 1 ? red * (1 - blue) : word == 2 ? blue : (1 - red) * (1 - blue);
        break;
    }
    default: p = word == 1 ? 1 - above(now / sound, 0.25, 4) : above(now / sound, 0.25, 4);
    }
    if (isnan(p)) return 1.0 / words;
    return LEAST + (1 - words * LEAST) * p;
}
