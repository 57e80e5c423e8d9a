/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What ails a capacitor. The condition names it; keys of further failings that stand beside it
 * count too, so a leaky part may have dried out as well. A good, open or shorted part passes over
 * them: they may be left from what a variant or a timed change has laid over. */
#include <math.h>

#include "capacitor.h"
#include "kinds.h"
#include "numbers.h"

/* Where a make gives out: the temperature it may have, and the one at which a leaky one fails. */
static const struct {
    double limit, fails, fails_low, fails_high; /* [C] */
    const char *limit_basis, *fails_basis;
} heat[] = {
    [MAKE_MODERN] = {85, 125, 105, 150,
                     "85 C, the hottest its data sheet allows (Vishay doc. 28329)",
                     "its electrolyte boils and the vent opens, from memory"},
    [MAKE_DRY] = {60, 115, 105, 130, "60 to 65 C for old dry cans, common practice, no source",
                  "its paste of glycol and borate boils, from memory"},
    [MAKE_WET] = {60, 100, 95, 105, "60 to 65 C for old cans, common practice, no source",
                  "its electrolyte is mostly water and boils"},
    [MAKE_FILM] = {85, 130, 105, 165, "85 C, Vishay doc. 28164",
                   "polypropylene softens and shrinks, from memory"},
    [MAKE_PAPER] = {65, 105, 85, 120, "65 C for waxed paper, from memory",
                    "its wax has long run out, from memory"},
};

static double nominal(const struct part *part)
{
    const struct capacitor *c = part->data;
    return c->nominal;
}

static double rated_volts(const struct part *part)
{
    const struct capacitor *c = part->data;
    return c->rated > 0 ? c->rated : 450;
}

static bool has_plus(const struct set *set, const struct part *part)
{
    (void)set;
    return part_is(part, ROLE_ELECTROLYTIC);
}

/* 20 kohm: 25 mA at 450 V, nearly. */
const struct part_fault capacitor_faults[] = {
    {.name = "open", .says = "its inner joint is broken: no capacitance at all"},
    {.name = "dried out",
     .says = "less capacitance, and ten times the series resistance",
     .severity =
         {.key = "value now", UNIT_PERCENT, 0.1, 0.5, 0.25, nominal, UNIT_FARAD, "its value"},
     .can = has_plus},
    {.name = "leaky",
     .says = "it passes direct current and heats by it",
     .dangerous = true,
     .severity = {.key = "leakage", UNIT_OHM, 2e3, 500e3, 20e3}},
    {.name = "shorted",
     .says = "its plates touch",
     .dangerous = true,
     .overloads = true,
     .severity = {.key = "short resistance", UNIT_OHM, 0.1, 50, 1}},
    {.name = "breaks down",
     .says = "it breaks down below its rated voltage",
     .dangerous = true,
     .severity = {.key = "breakdown",
                  UNIT_PERCENT,
                  0.4,
                  1,
                  0.8,
                  rated_volts,
                  UNIT_VOLT,
                  "its rated volts"}},
    {.name = "shorts when hot",
     .says = "sound when cold, a short once its can is warm",
     .dangerous = true,
     .severity = {.key = "shorts at temperature",
                  UNIT_CELSIUS,
                  ZERO_CELSIUS + 40,
                  ZERO_CELSIUS + 85,
                  ZERO_CELSIUS + 60}},
    {.name = "reversed",
     .says = "put in the wrong way round: it conducts, heats and bursts",
     .dangerous = true,
     .severity = {.key = "reverse threshold", UNIT_VOLT, 1, 5, 2},
     .can = has_plus},
    {.name = NULL},
};

double capacitor_warmth_limit(const struct capacitor *c, const char **basis)
{
    *basis = heat[c->make].limit_basis;
    return heat[c->make].limit + ZERO_CELSIUS;
}

void capacitor_take(struct set *set, const struct part *part, double least, double *value,
                    struct assumption assumed)
{
    if (part_value(set, part, assumed.key, assumed.unit, least, value)) return;
    if (part_node(part, assumed.key)) return;
    assumed.part = part->name;
    assumed.value = *value;
    set_assume(set, assumed);
}

void capacitor_read_condition(struct set *set, const struct part *part, struct capacitor *c)
{
    static const char *const conditions[] = {
        "good",     "open",        "dried out",       "leaky",
        "shorted",  "breaks down", "shorts when hot", "shorts at a time",
        "reversed", NULL};
    c->condition = (enum capacitor_condition)kind_condition(set, part, conditions, NULL);
}

/* --- one failing each ----------------------------------------------------------------------- */

static void dry_out(struct set *set, const struct part *part, struct capacitor *c)
{
    bool says = c->condition == CAPACITOR_DRIED_OUT;
    double value = c->farads / 4, series = 10 * c->series;
    if (says || part_node(part, "value now")) {
        capacitor_take(set, part, 1e-15, &value,
                       (struct assumption){.key = "value now",
                                           .low = c->farads / 10,
                                           .high = c->farads / 2,
                                           .unit = UNIT_FARAD,
                                           .basis = "a quarter of its value; common practice, no "
                                                    "source",
                                           .known_by = KNOWN_BY_CAPACITANCE_METER,
                                           .guess = true});
        c->farads = value;
    }
    if (says || part_node(part, "series resistance now")) {
        capacitor_take(set, part, 0, &series,
                       (struct assumption){.key = "series resistance now",
                                           .low = 3 * c->series,
                                           .high = 30 * c->series,
                                           .unit = UNIT_OHM,
                                           .basis = "ten times that of a sound one; common "
                                                    "practice, no source",
                                           .known_by = KNOWN_BY_RESISTANCE_METER,
                                           .guess = true});
        c->series = series;
    }
}

static void add_knee(struct capacitor *c, const char *role, double volts, double ohms)
{
    c->knee[c->knees++] = (struct capacitor_knee){role, volts, ohms};
}

static void break_down(struct set *set, const struct part *part, struct capacitor *c)
{
    double volts, ohms = 1000;
    bool given = part_value(set, part, "breakdown", UNIT_VOLT, 1, &volts);
    if (!given && !part_node(part, "breakdown") && c->condition == CAPACITOR_BREAKS_DOWN)
        part_complain(set, part, "condition",
                      "write above which volts it conducts, e.g. `breakdown: 380 V`",
                      "%s: a capacitor that breaks down needs its `breakdown`", part->name);
    if (!given) return;
    capacitor_take(set, part, 1e-3, &ohms,
                   (struct assumption){.key = "breakdown resistance",
                                       .low = 100,
                                       .high = 10000,
                                       .unit = UNIT_OHM,
                                       .basis = "1 mA more for each volt; estimate, no source",
                                       .known_by = KNOWN_BY_LEAKAGE_AT_TWO,
                                       .guess = true});
    add_knee(c, "breakdown", volts, ohms);
}

/* Backwards the oxide is no barrier: from the first point, where its minus hangs, to the second. */
static void reverse(struct set *set, const struct part *part, struct capacitor *c)
{
    double volts = 2, ohms = 200;
    if (c->condition != CAPACITOR_REVERSED) return;
    if (!capacitor_electrolytic(c))
        part_complain(set, part, "condition", NULL,
                      "%s: a %s capacitor has no plus and minus to be reversed", part->name,
                      capacitor_makes[c->make]);
    capacitor_take(set, part, 0.1, &volts,
                   (struct assumption){.key = "reverse threshold",
                                       .low = 1,
                                       .high = 5,
                                       .unit = UNIT_VOLT,
                                       .basis = "conducts above one to a few volts backwards, from "
                                                "memory",
                                       .guess = true});
    capacitor_take(set, part, 1e-3, &ohms,
                   (struct assumption){.key = "reverse resistance",
                                       .low = 50,
                                       .high = 500,
                                       .unit = UNIT_OHM,
                                       .basis = "like 50 to 500 ohm, from memory",
                                       .guess = true});
    add_knee(c, "backwards", volts, ohms);
}

/* `forming` beside a make that is not wet: a mistake when the make is a guess; told when both are
 * written; nothing when the key comes of a type whose make a variant changes. */
static void check_forming(struct set *set, const struct part *part, const struct capacitor *c)
{
    const char *key = part_node(part, "forming") ? "forming" : "forming resistance";
    if (c->make == MAKE_WET || !part_node(part, key) || !node_get(part->own, key)) return;
    if (c->make_given)
        diags_add(set->diags, DIAG_NOTE, part_node(part, key)->at, NULL,
                  "%s is %s: `%s` is of wet capacitors and passed over", part->name,
                  capacitor_makes[c->make], key);
    else
        part_complain(set, part, key, "write `make: wet` beside it, or leave it out",
                      "%s: `%s` is of a wet capacitor, and its make is not given", part->name, key);
}

/* A wet one leaks steeply above the volts it was formed at, and heals: it holds the warm-up down.
 */
static void clamp_wet(struct set *set, const struct part *part, struct capacitor *c)
{
    check_forming(set, part, c);
    if (c->make != MAKE_WET || c->condition == CAPACITOR_REVERSED) return;
    double volts = c->surge > 0 ? c->surge : c->rated > 0 ? c->rated * 500 / 450 : 500;
    double ohms = 1000 * 8e-6 / c->nominal;
    capacitor_take(set, part, 1, &volts,
                   (struct assumption){.key = "forming",
                                       .low = 0.9 * volts,
                                       .high = 1.05 * volts,
                                       .unit = UNIT_VOLT,
                                       .basis = "about its surge voltage, 500 V of a part for "
                                                "450 V, from memory",
                                       .known_by = KNOWN_BY_LEAKAGE_BEGINS,
                                       .guess = true});
    capacitor_take(set, part, 1e-3, &ohms,
                   (struct assumption){.key = "forming resistance",
                                       .low = ohms / 4,
                                       .high = 4 * ohms,
                                       .unit = UNIT_OHM,
                                       .basis = "1 mA more for each volt at 8 uF, by the area of "
                                                "its plate; estimate, no source",
                                       .known_by = KNOWN_BY_LEAKAGE_ABOVE_FORMING,
                                       .guess = true});
    add_knee(c, "forming", volts, ohms);
}

/* --- shorts --------------------------------------------------------------------------------- */

static void read_times(struct set *set, const struct part *part, struct capacitor *c)
{
    if (part_value(set, part, "shorts at", UNIT_SECOND, 1e-3, &c->shorts_at)) return;
    if (c->condition == CAPACITOR_SHORTS_AT_A_TIME && !part_node(part, "shorts at"))
        part_complain(set, part, "condition", "write when, e.g. `shorts at: 20 s`",
                      "%s: a capacitor that shorts at a time needs `shorts at`", part->name);
}

/* The can's temperature at which it shorts: of what is bad enough to get there, or says so. */
static void read_heat(struct set *set, const struct part *part, struct capacitor *c)
{
    bool hot = c->condition == CAPACITOR_SHORTS_WHEN_HOT;
    bool fails = c->condition == CAPACITOR_LEAKY || c->condition == CAPACITOR_BREAKS_DOWN ||
                 c->condition == CAPACITOR_REVERSED;
    bool told = part_node(part, "shorts at temperature") != NULL;
    if (told && isfinite(c->shorts_at))
        part_complain(set, part, "shorts at temperature", "leave one of them out",
                      "%s: it shorts either at a time or at a temperature", part->name);
    if (!told && ((!hot && !fails) || isfinite(c->shorts_at))) return;
    double celsius = hot ? heat[c->make].limit : heat[c->make].fails;
    c->shorts_above = celsius + ZERO_CELSIUS;
    capacitor_take(
        set, part, set->ambient, &c->shorts_above,
        (struct assumption){.key = "shorts at temperature",
                            .low = ZERO_CELSIUS + (hot ? 40 : heat[c->make].fails_low),
                            .high = ZERO_CELSIUS + (hot ? 85 : heat[c->make].fails_high),
                            .unit = UNIT_CELSIUS,
                            .basis = hot ? heat[c->make].limit_basis : heat[c->make].fails_basis,
                            .known_by = hot ? KNOWN_BY_CAN_THERMOMETER : KNOWN_BY_NOTHING,
                            .guess = hot});
}

static void read_bridge(struct set *set, const struct part *part, struct capacitor *c)
{
    if (c->condition != CAPACITOR_SHORTED && isinf(c->shorts_at) && isinf(c->shorts_above)) return;
    c->bridge = 1;
    capacitor_take(set, part, 1e-3, &c->bridge,
                   (struct assumption){.key = "short resistance",
                                       .low = 0.1,
                                       .high = 50,
                                       .unit = UNIT_OHM,
                                       .basis = "common practice, no source",
                                       .known_by = KNOWN_BY_OHMS_ACROSS,
                                       .guess = c->condition == CAPACITOR_SHORTED});
}

/* --- all together --------------------------------------------------------------------------- */

/* Keys that mean nothing without a condition; `own` is the one they are of. */
static void check_strays(struct set *set, const struct part *part, const struct capacitor *c)
{
    static const struct {
        const char *key, *own;
    } strays[] = {
        {"value now", "dried out"},        {"series resistance now", "dried out"},
        {"breakdown", "breaks down"},      {"breakdown resistance", "breaks down"},
        {"reverse threshold", "reversed"}, {"reverse resistance", "reversed"},
        {"short resistance", "shorted"},
    };
    if (part_node(part, "condition")) return;
    for (size_t i = 0; i < sizeof strays / sizeof strays[0]; i++) {
        bool shorts = strays[i].own[0] == 's' && c->bridge > 0;
        if (!part_node(part, strays[i].key) || shorts) continue;
        part_complain(set, part, strays[i].key,
                      arena_printf(set->arena, "write `condition: %s` beside it", strays[i].own),
                      "%s: `%s` is given without a condition", part->name, strays[i].key);
    }
}

void capacitor_read_failure(struct set *set, const struct part *part, struct capacitor *c)
{
    bool lasts = c->condition == CAPACITOR_OPEN || c->condition == CAPACITOR_SHORTED;
    if (!lasts) read_times(set, part, c);
    if (!lasts) read_heat(set, part, c);
    read_bridge(set, part, c);
    check_strays(set, part, c);
    if (!lasts) clamp_wet(set, part, c);
    if (lasts || c->condition == CAPACITOR_GOOD) return;
    dry_out(set, part, c);
    if (c->condition == CAPACITOR_REVERSED) reverse(set, part, c);
    else break_down(set, part, c);
}
