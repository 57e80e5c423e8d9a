/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which figures a guess moves is told by the key that was guessed: a guessed inductance moves
 * the ripple and hardly the volts, a guessed core loss the watts from the line and nothing behind
 * the rectifier. A key that is not in the table weighs on everything. */
#include "guesses.h"

#include <math.h>
#include <string.h>

/* A guess less wide than this (high - low over its value) moves no third digit that matters. */
#define WIDE 0.02
#define HEATER_VOLTS 40.0 /* no winding below feeds plates [V] */

static const struct weight {
    const char *key; /* part of the key; the first that fits counts */
    unsigned on;     /* enum measure_effect */
    bool own;        /* only on its own part */
} weights[] = {
    {"leakage inductance", EFFECT_RIPPLE | EFFECT_PEAK, false},
    {"air-core", EFFECT_PEAK | EFFECT_LINE, false},
    {"inductance", EFFECT_RIPPLE | EFFECT_PEAK, false},
    {"magnetising", EFFECT_LINE, false},
    {"core loss", EFFECT_LINE, false},
    {"saturation", EFFECT_LINE, false},
    {"remanence", EFFECT_LINE, false},
    {"thermal", EFFECT_WARMTH, true},
    {"heat capacity", EFFECT_WARMTH, true},
    {"mass", EFFECT_WARMTH, true},
    {"insulation", 0, true}, /* a limit, not a value */
    {"rated", 0, true},
    {"surge", 0, true},
    {"ripple rating", 0, true},
    {"warm-up", EFFECT_RACE, false},
    {"heated by", EFFECT_RACE, false},
    {"series resistance", EFFECT_RIPPLE | EFFECT_PEAK | EFFECT_HEAT, false},
    {"power factor", EFFECT_RIPPLE | EFFECT_PEAK | EFFECT_HEAT, false},
    {"leakage", EFFECT_HEAT | EFFECT_DECAY, true},
};

static bool same_part(const char *a, const char *b)
{
    size_t n = strcspn(a, ".");
    return strcspn(b, ".") == n && strncmp(a, b, n) == 0;
}

/* A winding for heaters: a guess about it moves the volts of heaters and hardly anything else. */
static bool is_low(const struct result *run, const char *subject)
{
    const struct figure *f = run_figure(run, subject, MEASURE_RMS_VOLTAGE);
    return f && f->value < HEATER_VOLTS;
}

static bool weighs(const struct assumption *a, const struct result *run, const char *subject,
                   enum measure measure)
{
    unsigned on = measure_table[measure].moved_by;
    if (isfinite(a->low) && isfinite(a->high) && a->high - a->low < WIDE * fabs(a->value))
        return false;
    if (strchr(a->part, '.') && is_low(run, a->part))
        return strcmp(a->part, subject) == 0 ||
               (measure == MEASURE_RMS_VOLTAGE && is_low(run, subject));
    for (size_t i = 0; i < sizeof weights / sizeof weights[0]; i++) {
        const struct weight *w = &weights[i];
        if (!strstr(a->key, w->key)) continue;
        return (w->on & on) && (!w->own || same_part(a->part, subject));
    }
    return on != 0;
}

bool guesses_move(const struct guesses *g, const struct result *run, const char *subject,
                  enum measure measure)
{
    for (int i = 0; i < g->list.n; i++)
        if (weighs(g->list.at[i], run, subject, measure)) return true;
    return false;
}

/* --- gathering --- */

static bool holds(const struct guesses *g, const struct assumption *a)
{
    for (int i = 0; i < g->list.n; i++)
        if (strcmp(g->list.at[i]->part, a->part) == 0 && strcmp(g->list.at[i]->key, a->key) == 0)
            return true;
    return false;
}

/* Stages repeat most of what the first assumes. */
struct guesses guesses_of(struct arena *arena, const struct setup *setup)
{
    struct guesses g = {0};
    for (int i = 0; i < setup->stages.n; i++) {
        const struct set *set = setup->stages.at[i].set;
        for (int k = 0; k < set->assumptions.n; k++) {
            const struct assumption *a = &set->assumptions.at[k];
            g.defaults += i == 0 && !a->guess;
            if (a->guess && !holds(&g, a)) array_push(arena, &g.list, a);
        }
    }
    return g;
}
