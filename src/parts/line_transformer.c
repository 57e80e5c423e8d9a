/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on the bench between wall and plug: an isolation transformer, and a variable
 * transformer, which has but one winding with a sliding tap and so isolates nothing. Both have four
 * ends: two to the wall, two to the set. */
#include <math.h>

#include "kinds.h"
#include "numbers.h"
#include "tongue.h"
#include "transformer.h"

#define EUROPE 160.0 /* line volts from which it is taken as made for 230 V, else for 120 V */

static const char sourced[] = "estimate, no source";

/* Its two ends to the wall and its two ends to the set. */
static void read_ends(struct set *set, const struct part *part, int ends[4])
{
    const char *names[2];
    part_across(set, part, &ends[0], &ends[1]);
    if (part_names(set, part, "output", 2, 2, names) == 2)
        for (int i = 0; i < 2; i++) ends[2 + i] = circuit_point(set->circuit, names[i]);
}

/* `150 VA`, or `150 VA 120 V`. Volts that are not given follow from the line. */
static double read_rated(struct set *set, const struct part *part, enum unit unit, const char *hint,
                         double *volts)
{
    struct token t[QUANTITY_TOKENS];
    double rated = 0;
    int n = part_phrase(set, part, "rated", t);
    *volts = set->line_volts > EUROPE ? 230 : 120;
    if (n == 0) return 0;
    bool good = kind_token(t, n, unit, &rated) && rated > 0;
    kind_token(t, n, UNIT_VOLT, volts);
    if (!good || *volts <= 0)
        part_complain(set, part, "rated", hint, "%s: the rating is not understood", part->name);
    else part_between(set, part, "rated", UNIT_VOLT, *volts, 10, 1e3);
    return good ? rated : 0;
}

/* --- isolation transformer ------------------------------------------------------------------ */

/* Between its windings, from the wall's live end to the return of the set: what is left to feel of
 * the line. */
#define BETWEEN 1e-9 /* [F] */

struct isolation {
    struct transformer t; /* first: it is one */
    int ends[4];
};

static const struct key isolation_keys[] = {
    {"across", "two points, to the wall", KEY_NEEDED | KEY_LIST},
    {"output", "two points, to the set", KEY_NEEDED | KEY_POINTS | KEY_LIST},
    {"rated", "its volt-amperes, e.g. 150 VA, or 150 VA 230 V; 10 V to 1000 V",
     KEY_NEEDED | KEY_SHOWN},
    {"resistance", "ohms of its primary; taken by its size when left out", 0},
    {"output resistance", "ohms of its output winding; as the primary's when left out", 0},
    {"gives", "volts without load at its rated volts; the same when left out", 0},
    {NULL, NULL, 0},
};

static void read_isolation(struct set *set, struct part *part)
{
    struct isolation *d = ARENA_NEW(set->arena, struct isolation);
    struct transformer *t = &d->t;
    struct winding *w = ARENA_NEW(set->arena, struct winding);
    const double unknown = (double)NAN;
    part->data = d;
    read_ends(set, part, d->ends);
    double va = read_rated(set, part, UNIT_WATT, "write it as in `150 VA`", &t->rated);
    *t = (struct transformer){.from = d->ends[0],
                              .to = d->ends[1],
                              .rated = t->rated,
                              .frequency = set->frequency,
                              .va = va,
                              .ohms = unknown,
                              .iron = {unknown, unknown, unknown, unknown, unknown, unknown},
                              .windings = 1,
                              .winding = w};
    *w = (struct winding){.name = "output", .halves = 1, .named = true, .line = t->rated};
    w->isolates = true;
    w->half[0] = (struct half){.from = d->ends[2],
                               .to = d->ends[3],
                               .volts = t->rated,
                               .ohms = unknown,
                               .subject = arena_printf(set->arena, "%s.output", part->name)};
    part_value(set, part, "resistance", UNIT_OHM, 0, &t->ohms);
    part_value(set, part, "output resistance", UNIT_OHM, 0, &w->half[0].ohms);
    if (!part_value(set, part, "gives", UNIT_VOLT, 1, &w->half[0].volts))
        kind_assume(set, part, "gives", t->rated, t->rated, 1.06 * t->rated, UNIT_VOLT,
                    "as many turns on both sides; common practice, no source",
                    KNOWN_BY_VOLTS_IN_AND_OUT);
    w->rated = va / t->rated;
    transformer_read_warmth(set, part, &t->warmth);
}

static void stamp_isolation(struct set *set, struct part *part)
{
    struct isolation *d = part->data;
    struct transformer *t = &d->t;
    transformer_stamp(set, part);
    circuit_capacitor(set->circuit, part->name, "between the windings", d->ends[0], d->ends[3],
                      BETWEEN);
    kind_assume(set, part, "capacitance between its windings", BETWEEN, 0.1e-9, 2e-9, UNIT_FARAD,
                sourced, KNOWN_BY_CAPACITANCE_METER);
    const struct half *out = &t->winding[0].half[0];
    double ratio = out->volts / t->rated;
    set->plug_volts *= ratio;
    set->mains_resistance = sq(ratio) * (set->mains_resistance + t->ohms) + out->ohms;
}

const struct part_kind kind_isolation_transformer = {
    .name = "isolation transformer",
    .says = "between wall and plug: isolates the set from the line",
    .keys = isolation_keys,
    .read = read_isolation,
    .stamp = stamp_isolation,
    .order = 5,
    .plain_key = "rated",
    .line_output = true,
    .isolates = true,
};

/* --- variable transformer ------------------------------------------------------------------- */

#define HIGHEST 1.25 /* volts given over those taken */
#define BRUSH 0.1    /* [ohm] */

struct variable {
    int ends[4];
    double amperes, volts; /* rated */
    double share;          /* volts given over those taken */
    double ohms;           /* of the whole winding */
};

static const struct key variable_keys[] = {
    {"across", "two points, to the wall", KEY_NEEDED | KEY_LIST},
    {"output", "two points, to the set; the second is joined to the wall's",
     KEY_NEEDED | KEY_POINTS | KEY_LIST},
    {"set to", "volts at its output without load, e.g. 60 V", KEY_NEEDED | KEY_SHOWN},
    {"rated", "its amperes, e.g. 5 A; 5 A when left out", 0},
    {"resistance", "ohms of its whole winding; taken by its size when left out", 0},
    {NULL, NULL, 0},
};

static void read_variable(struct set *set, struct part *part)
{
    struct variable *v = ARENA_NEW(set->arena, struct variable);
    double volts = set->line_volts;
    part->data = v;
    read_ends(set, part, v->ends);
    v->amperes = read_rated(set, part, UNIT_AMPERE, "write it as in `5 A`", &v->volts);
    if (!(v->amperes > 0)) {
        v->amperes = 5;
        kind_assume(set, part, "rated", 5, 2, 10, UNIT_AMPERE, "usual on benches, no source",
                    KNOWN_BY_NOTHING);
    }
    if (part_value(set, part, "set to", UNIT_VOLT, 1, &volts) && volts > HIGHEST * set->line_volts)
        part_complain(set, part, "set to", NULL,
                      US_UK("%s: it gives at most %.0f %% of the line",
                            "%s: it gives at most %.0f %% of the mains"),
                      part->name, 100 * HIGHEST);
    v->share = set->line_volts > 0 ? volts / set->line_volts : 1;
    if (part_value(set, part, "resistance", UNIT_OHM, 0, &v->ohms)) return;
    v->ohms = transformer_primary_ohms(v->volts * v->amperes, v->volts);
    kind_assume(set, part, "resistance", v->ohms, v->ohms / 2, 2 * v->ohms, UNIT_OHM,
                "as of a primary of its size, beyond the table that this is from; not verified",
                KNOWN_BY_OHMS_COLD);
}

/* The magnetising branch, on a winding of all turns. */
static void stamp_core(struct set *set, const struct part *part, const struct variable *v,
                       int number)
{
    struct circuit *c = set->circuit;
    const double omega = 2 * PI * set->frequency, peak = sqrt(2) * v->volts / omega;
    const double amperes = 0.04 * v->amperes, watts = 0.015 * v->volts * v->amperes;
    struct core_law *law = ARENA_NEW(set->arena, struct core_law);
    *law = (struct core_law){.magnetising = v->volts / (omega * amperes),
                             .air = 0.06 * v->volts / v->amperes / omega,
                             .saturation = 1.4 * peak};
    int core = circuit_inner(c, part->name, "core");
    circuit_winding(c, part->name, "core", number, core, v->ends[1], 1);
    circuit_resistor(c, part->name, "core loss", core, v->ends[1], sq(v->volts) / watts);
    int device = circuit_device(c, part->name, "core", &law_core, law);
    circuit_state(c, device, "flux", (struct state){.range = peak});
    circuit_port(c, device, "magnetising", core, v->ends[1], PORT_BASED);
    kind_assume(set, part, "magnetising current", amperes, amperes / 2, 2.5 * amperes, UNIT_AMPERE,
                sourced, KNOWN_BY_LINE_AMPERES_TUBES_OUT);
    kind_assume(set, part, "core loss", watts, watts / 2, 2 * watts, UNIT_WATT, sourced,
                KNOWN_BY_LINE_WATTS_TUBES_OUT);
}

/* A part of the winding, `turns` of all its turns, from one point to another. */
static void stamp_part(struct set *set, const struct part *part, int number, const char *role,
                       int from, int to, double turns, double ohms)
{
    struct circuit *c = set->circuit;
    if (turns < 1e-9) {
        circuit_resistor(c, part->name, role, from, to, 0);
        return;
    }
    int inside = circuit_inner(c, part->name, role);
    circuit_resistor(c, part->name, arena_printf(set->arena, "%s copper", role), from, inside,
                     ohms * turns);
    circuit_winding(c, part->name, role, number, inside, to, turns);
}

static void stamp_variable(struct set *set, struct part *part)
{
    const struct variable *v = part->data;
    struct circuit *c = set->circuit;
    int number = circuit_transformer(c), tap = circuit_inner(c, part->name, "tap");
    double through = fabs(v->share * (1 - v->share)) * v->ohms + BRUSH;
    stamp_core(set, part, v, number);
    int upper = v->share <= 1 ? v->ends[0] : tap, lower = v->share <= 1 ? tap : v->ends[0];
    stamp_part(set, part, number, "upper turns", upper, lower, fabs(1 - v->share), v->ohms);
    stamp_part(set, part, number, "lower turns", lower, v->ends[1], fmin(v->share, 1), v->ohms);
    int way = circuit_resistor(c, part->name, "brush", tap, v->ends[2], BRUSH);
    if (v->ends[1] != v->ends[3])
        circuit_resistor(c, part->name, "return", v->ends[1], v->ends[3], 0);
    kind_assume(set, part, "brush", BRUSH, BRUSH / 3, 3 * BRUSH, UNIT_OHM, sourced,
                KNOWN_BY_NOTHING);
    kind_probe_amperes(set, part->name, PROBE_WINDING, &way, 1);
    if (part_node(part, "rated"))
        kind_rate(set, part, "rated",
                  (struct rating){.subject = part->name,
                                  .measure = MEASURE_RMS_CURRENT,
                                  .limit = v->amperes,
                                  .harm = HARM_WINDING_CURRENT});
    set->plug_volts *= v->share;
    set->mains_resistance = sq(v->share) * set->mains_resistance + through;
}

const struct part_kind kind_variable_transformer = {
    .name = "variable transformer",
    .says = "between wall and plug: sets the voltage; does not isolate",
    .keys = variable_keys,
    .read = read_variable,
    .stamp = stamp_variable,
    .order = 5,
    .plain_key = "set to",
    .line_output = true,
};
