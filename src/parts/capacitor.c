/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Capacitance with its leakage across it, behind its series resistance; what ails it and its can
 * stand in files of their own. What is not given is taken from the nearest part of the same make in
 * the catalogue. */
#include "capacitor.h"

#include <math.h>
#include <string.h>

#include "kinds.h"
#include "numbers.h"

static const struct key keys[] = {
    {"across", "two points, plus first", KEY_NEEDED | KEY_LIST},
    {"value", "farads, e.g. 8 uF", KEY_NEEDED | KEY_SHOWN},
    {"rated", "volts, e.g. 450 V", KEY_SHOWN},
    {"make", "modern, dry, wet, film or paper", KEY_WORDS},
    {"series resistance", "ohms, e.g. 3 ohm", KEY_MODEL},
    {"power factor", "per cent, instead of the series resistance", KEY_MODEL},
    {"leakage", "e.g. 25 mA at 330 V, 60 kohm, 50 times limit (of a sound one) or none", KEY_MODEL},
    {"surge", "peak volts it takes for some seconds, e.g. 525 V", KEY_MODEL},
    {"ripple rating", "e.g. 150 mA at 100 Hz", KEY_MODEL},
    {"tolerance", "e.g. -10/+50 %", KEY_MODEL | KEY_OR_MAP},
    {"can", "name of the can it shares, or of the part in whose can it sits", 0},
    {"starts at", "volts at the start of the run", 0},
    {"condition",
     "good, open, dried out, leaky, shorted, breaks down, shorts when hot, shorts at a time or "
     "reversed",
     KEY_WORDS},
    {"value now", "dried out: farads left", 0},
    {"series resistance now", "dried out: ohms", 0},
    {"short resistance", "ohms of its short", 0},
    {"shorts at", "time of the run at which it shorts, e.g. 20 s", 0},
    {"shorts at temperature", "of its can, e.g. 85 C", 0},
    {"breakdown", "breaks down: volts above which it conducts, e.g. 380 V", 0},
    {"breakdown resistance", "breaks down: ohms there", 0},
    {"reverse threshold", "reversed: volts above which it conducts, e.g. 2 V", 0},
    {"reverse resistance", "reversed: ohms there", 0},
    {"forming", "wet: volts above which it conducts, e.g. 500 V", KEY_MODEL},
    {"forming resistance", "wet: ohms there", KEY_MODEL},
    {"leakage grows", "with the heat of its can from 20 C, e.g. 3 times by 60 C", 0},
    {"thermal resistance", "of its can, e.g. 20 K/W", KEY_MODEL},
    {"heat capacity", "of its can, e.g. 50 J/K", KEY_MODEL},
    {NULL, NULL, 0},
};

static void read_make(struct set *set, const struct part *part, struct capacitor *c)
{
    int make = part_word(set, part, "make", capacitor_makes);
    c->make_given = make >= 0;
    c->make = make >= 0                       ? (enum capacitor_make)make
              : c->farads >= CAPACITOR_FILTER ? MAKE_MODERN
                                              : MAKE_FILM;
}

static void read_series(struct set *set, const struct part *part, struct capacitor *c)
{
    double factor;
    if (part_value(set, part, "series resistance", UNIT_OHM, 0, &c->series)) return;
    if (part_node(part, "series resistance")) return;
    if (part_value(set, part, "power factor", UNIT_PERCENT, 0, &factor))
        c->series = factor / (2 * PI * 120 * c->farads);
    else capacitor_assume_series(set, part, c);
}

/* Ohms from `25 mA at 330 V`, `60 kohm` or `50 times limit`; 0: not understood. */
static double leak_ohms(const struct capacitor *c, const struct token *t, int n)
{
    double amperes, volts, ohms;
    const char *basis;
    bool flow = kind_token(t, n, UNIT_AMPERE, &amperes) && kind_token(t, n, UNIT_VOLT, &volts);
    if (flow) return amperes > 0 && volts > 0 ? volts / amperes : 0;
    if (kind_token(t, n, UNIT_OHM, &ohms)) return larger(ohms, 0);
    bool times = n == 3 && !t[0].is_word && t[0].unit == UNIT_NUMBER && t[1].is_word &&
                 strcmp(t[1].word, "times") == 0 && t[2].is_word && strcmp(t[2].word, "limit") == 0;
    if (!times || t[0].value <= 0) return 0;
    volts = c->rated > 0 ? c->rated : 450;
    return volts / (t[0].value * capacitor_leak_limit(c, volts, &basis));
}

static void read_leakage(struct set *set, const struct part *part, struct capacitor *c)
{
    struct token t[QUANTITY_TOKENS];
    bool none = kind_says(part, "leakage", "none");
    if (c->condition == CAPACITOR_LEAKY && (none || !part_node(part, "leakage")))
        part_complain(set, part, none ? "leakage" : "condition",
                      "write what it leaks, e.g. `leakage: 25 mA at 330 V` or `50 times limit`",
                      "%s: a leaky capacitor needs its leakage", part->name);
    else if (!none && !part_node(part, "leakage")) capacitor_assume_leakage(set, part, c);
    const struct node *leakage = part_node(part, "leakage");
    c->leak_assumed = !leakage || leakage != node_get(part->own, "leakage");
    int n = none ? 0 : part_phrase(set, part, "leakage", t);
    if (n == 0) return;
    double ohms = leak_ohms(c, t, n);
    if (ohms > 0) c->leakage = ohms;
    else
        part_complain(set, part, "leakage",
                      "write it as in `25 mA at 330 V`, `50 times limit`, `60 kohm` or `none`",
                      "%s: the leakage is not understood", part->name);
}

static void read_ratings(struct set *set, const struct part *part, struct capacitor *c)
{
    struct token t[QUANTITY_TOKENS];
    part_value(set, part, "surge", UNIT_VOLT, 0, &c->surge);
    int n = part_phrase(set, part, "ripple rating", t);
    if (n > 0 && !kind_token(t, n, UNIT_AMPERE, &c->ripple))
        part_complain(set, part, "ripple rating", "write it as in `150 mA at 100 Hz`",
                      "%s: the ripple rating holds no amperes", part->name);
}

static void read(struct set *set, struct part *part)
{
    struct capacitor *c = ARENA_NEW(set->arena, struct capacitor);
    part->data = c;
    c->leakage = c->shorts_at = c->shorts_above = HUGE_VAL;
    part_across(set, part, &c->from, &c->to);
    capacitor_read_condition(set, part, c);
    part_value(set, part, "rated", UNIT_VOLT, 1e-3, &c->rated);
    part_value(set, part, "starts at", UNIT_VOLT, -HUGE_VAL, &c->initial);
    read_ratings(set, part, c);
    if (!part_value(set, part, "value", UNIT_FARAD, 1e-15, &c->farads)) return;
    c->nominal = c->farads;
    read_make(set, part, c);
    read_series(set, part, c);
    read_leakage(set, part, c);
    capacitor_read_failure(set, part, c);
    capacitor_read_can(set, part, c);
}

static void link(struct set *set, struct part *part)
{
    capacitor_link_can(set, part, part->data);
}

/* --- asked by others ------------------------------------------------------------------------ */

double capacitor_at(const struct set *set, int point)
{
    double sum = 0;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        if (part->kind != &kind_capacitor || !part->data) continue;
        const struct capacitor *c = part->data;
        if (c->from == point || c->to == point) sum += capacitor_farads(part);
    }
    return sum;
}

double capacitor_farads(const struct part *part)
{
    const struct capacitor *c = part->data;
    return c->condition == CAPACITOR_OPEN ? 0 : c->farads;
}

bool capacitor_lasts(const struct part *part)
{
    const struct capacitor *c = part->data;
    return c->make_given && (c->make == MAKE_MODERN || c->make == MAKE_FILM);
}

double capacitor_series(const struct part *part)
{
    const struct capacitor *c = part->data;
    return c->condition == CAPACITOR_OPEN ? HUGE_VAL : c->series;
}

bool capacitor_leak_assumed(const struct part *part)
{
    const struct capacitor *c = part->data;
    return c->leak_assumed;
}

double capacitor_leaks(const struct part *part, double volts, double kelvin)
{
    const struct capacitor *c = part->data;
    if (c->condition == CAPACITOR_OPEN) return 0;
    double rise = c->can ? kelvin - c->can->law.reference : 0;
    double sum = volts / c->leakage * can_growth(c->growth, rise);
    for (int k = 0; k < c->knees; k++) sum += larger(volts - c->knee[k].volts, 0) / c->knee[k].ohms;
    return c->condition == CAPACITOR_SHORTED ? sum + volts / c->bridge : sum;
}

const char *capacitor_can(const struct part *part)
{
    const struct capacitor *c = part->data;
    return c->can ? c->can->name : NULL;
}

double capacitor_leak_most(const struct part *part, double volts)
{
    const struct capacitor *c = part->data;
    if (!c->can) return HUGE_VAL;
    return fabs(volts) * can_critical_leakage(&c->can->law, c->growth, volts);
}

static unsigned also(const struct part *part)
{
    const struct capacitor *c = part->data;
    return (c->nominal >= CAPACITOR_FILTER ? ROLE_FILTER : 0u) |
           (capacitor_electrolytic(c) ? ROLE_ELECTROLYTIC : 0u) |
           (c->make == MAKE_WET ? ROLE_WET : 0u) | (c->make == MAKE_PAPER ? ROLE_PAPER : 0u);
}

static double volts(const struct part *part)
{
    const struct capacitor *c = part->data;
    return c->rated;
}

const struct part_kind kind_capacitor = {
    .name = "capacitor",
    .says = "a capacitor, sound or failing",
    .example = "C1: {is: capacitor, across: [B+, chassis], value: 8 uF, rated: 450 V,\n"
               "  make: dry, condition: leaky, leakage: 12 mA at 330 V}",
    .keys = keys,
    .read = read,
    .link = link,
    .stamp = capacitor_stamp,
    .order = 20,
    .watches = true,
    .roles = ROLE_CAPACITOR,
    .also = also,
    .volts = volts,
    .faults = capacitor_faults,
};
