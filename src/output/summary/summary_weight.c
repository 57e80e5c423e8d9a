/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which figures hang on which guess, told by the key that was guessed: a guessed inductance moves
 * the ripple and hardly the volts, a guessed core loss the watts from the line and nothing behind
 * the rectifier. A key that is not in the table weighs on everything. */
#include <math.h>
#include <string.h>

#include "summary_impl.h"

enum effect {
    VOLTS = 1,   /* volts and mean currents */
    RIPPLE = 2,  /* ripple */
    PEAK = 4,    /* peaks and RMS of pulsed currents */
    LINE = 8,    /* what the line gives */
    HEAT = 16,   /* watts */
    WARMTH = 32, /* temperatures */
    DECAY = 64,  /* times to bleed down */
    RACE = 128,  /* extremes while the tubes warm up */
    ALL = 255
};

/* A guess less wide than this (high - low over its value) moves no third digit that matters. */
#define WIDE 0.02
#define HEATER_VOLTS 40.0 /* no winding below feeds plates [V] */

static const struct weight {
    const char *key; /* part of the key; the first that fits counts */
    unsigned on;
    bool own; /* only on its own part */
} weights[] = {
    {"leakage inductance", RIPPLE | PEAK, false},
    {"air-core", PEAK | LINE, false},
    {"inductance", RIPPLE | PEAK, false},
    {"magnetising", LINE, false},
    {"core loss", LINE, false},
    {"saturation", LINE, false},
    {"remanence", LINE, false},
    {"thermal", WARMTH, true},
    {"heat capacity", WARMTH, true},
    {"mass", WARMTH, true},
    {"insulation", 0, true}, /* a limit, not a value */
    {"rated", 0, true},
    {"surge", 0, true},
    {"ripple rating", 0, true},
    {"warm-up", RACE, false},
    {"heated by", RACE, false},
    {"series resistance", RIPPLE | PEAK | HEAT, false},
    {"power factor", RIPPLE | PEAK | HEAT, false},
    {"leakage", HEAT | DECAY, true},
};

static const struct hangs {
    const char *measure;
    unsigned on;
} hangs[] = {
    {"highest-voltage", VOLTS | RACE},
    {"lowest-voltage", VOLTS | RACE},
    {"inverse-voltage", VOLTS | RACE},
    {"ripple-rms", RIPPLE},
    {"ripple-pp", RIPPLE},
    {"ripple-frequency", 0},
    {"inrush-peak-current", PEAK},
    {"running-peak-current", PEAK},
    {"highest-current", PEAK | LINE},
    {"rms-current", PEAK},
    {"peak-duration", PEAK},
    {"peak-i2t", PEAK},
    {"line-current", LINE},
    {"contact-peak-current", PEAK | LINE},
    {"make-current", PEAK | LINE},
    {"break-current", LINE},
    {"overshoot-voltage", PEAK},
    {"overshoot-share", PEAK},
    {"line-power", LINE},
    {"dissipation", HEAT},
    {"energy", HEAT},
    {"temperature", WARMTH},
    {"bleed-down-time", DECAY},
    {"bleed-to-50V-time", DECAY},
    {"first-capacitor", 0},
};

static unsigned hung_on(const char *measure)
{
    for (size_t i = 0; i < sizeof hangs / sizeof hangs[0]; i++)
        if (strcmp(hangs[i].measure, measure) == 0) return hangs[i].on;
    return VOLTS;
}

static bool same_part(const char *a, const char *b)
{
    size_t n = strcspn(a, ".");
    return strcspn(b, ".") == n && strncmp(a, b, n) == 0;
}

/* A winding for heaters: a guess about it moves the volts of heaters and hardly anything else. */
static bool is_low(const struct summary *s, const char *subject)
{
    const struct figure *f = result_find(s->run, subject, "rms-voltage");
    return f && f->value < HEATER_VOLTS;
}

static bool weighs(const struct summary *s, const struct assumption *a, const char *subject,
                   const char *measure)
{
    unsigned on = hung_on(measure);
    if (isfinite(a->low) && isfinite(a->high) && a->high - a->low < WIDE * fabs(a->value))
        return false;
    if (strchr(a->part, '.') && is_low(s, a->part))
        return strcmp(a->part, subject) == 0 ||
               (strcmp(measure, "rms-voltage") == 0 && is_low(s, subject));
    for (size_t i = 0; i < sizeof weights / sizeof weights[0]; i++) {
        const struct weight *w = &weights[i];
        if (!strstr(a->key, w->key)) continue;
        return (w->on & on) && (!w->own || same_part(a->part, subject));
    }
    return on != 0;
}

bool summary_rough(const struct summary *s, const char *subject, const char *measure)
{
    for (int i = 0; i < s->guesses.n; i++)
        if (weighs(s, s->guesses.at[i], subject, measure)) return true;
    return false;
}
