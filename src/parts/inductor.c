/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Filter choke and field coil: inductance in series with copper. Inductance that is known at a
 * current falls as the current rises. Copper whose ohms are those of the cold coil warms with its
 * own watts; the network holds the cold ohms and a device across them the rest. */
#include <math.h>
#include <string.h>

#include "kinds.h"
#include "laws.h"
#include "numbers.h"

enum { GOOD, OPEN, SHORTED, SHORTED_TURNS };

/* Estimates without a source: a coil at its rated watts, or at this many, is so much warmer than
 * the room, and stores so much heat. */
#define RISE 50.0           /* [K] */
#define RATED_WATTS 6.0     /* [W] */
#define HEAT_CAPACITY 150.0 /* [J/K] */

/* Between the shorted turns and the others, on one iron core with a gap: estimate, no source. */
#define COUPLING 0.95

/* Of one that is known at a single current: so much more without current (common practice, from
 * memory: 1.3 to 2 times). */
#define UNLOADED 1.5

struct inductor {
    int from, to;
    double henries, ohms, initial; /* initial [A] */
    bool bends;                    /* as `iron` has it; else henries at any current */
    struct coil_law iron;
    double watts, amperes; /* rated; 0: not known */
    bool warms;
    int condition;
    double turns; /* share of the shorted turns */
    struct warm_law warm;
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED | KEY_LIST},
    {"inductance", "henries, e.g. 10 H at 60 mA, \"20 H at 20 mA, 5 H at 200 mA\" or unknown",
     KEY_SHOWN},
    {"resistance", "ohms; `1500 ohm cold` rises as the coil warms", KEY_NEEDED | KEY_SHOWN},
    {"rated", "amperes of direct current, or watts", 0},
    {"starts at", "amperes at the start of the run", 0},
    {"thermal resistance", "kelvin per watt, e.g. 8 K/W", 0},
    {"heat capacity", "joules per kelvin, e.g. 150 J/K", 0},
    {"condition", "good, open, shorted or shorted turns", KEY_WORDS},
    {"turns", "shorted turns: share of the coil, e.g. 30 %", 0},
    {NULL, NULL, 0},
};

double inductor_hot_ohms(double cold, double rated_watts, double volts)
{
    /* R = R0 (1 + a Rth v^2/R), a quadratic in R */
    double rise = RISE / (rated_watts > 0 ? rated_watts : RATED_WATTS);
    return cold / 2 +
           sqrt(sq(cold / 2) + cold * kind_copper_coefficient(293.15) * rise * sq(volts));
}

static void assume_inductance(struct set *set, const struct part *part, struct inductor *l)
{
    l->henries = part->kind == &kind_field_coil ? 12 : 10;
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "inductance",
                                        .value = l->henries,
                                        .low = 5,
                                        .high = 20,
                                        .unit = UNIT_HENRY,
                                        .basis = "common practice, no source",
                                        .known_by = KNOWN_BY_RIPPLE_RATIO,
                                        .guess = true});
}

/* Points such as `20 H at 20 mA, 5 H at 200 mA`; one without amperes has -1. Returns how many, at
 * most two; 0 when not understood. */
static int read_points(struct set *set, const struct part *part, double henries[2],
                       double amperes[2])
{
    const struct node *node = part_node(part, "inductance");
    int n = 0;
    for (const char *s = node->kind == NODE_SCALAR ? node->text : ""; *s; n++) {
        struct token t[QUANTITY_TOKENS];
        struct complaint why;
        size_t length = strcspn(s, ",");
        int tokens = n < 2 ? quantity_scan(arena_text(set->arena, s, length), t, &why) : 0;
        if (!kind_token(t, tokens, UNIT_HENRY, &henries[n < 2 ? n : 0]) || henries[n] <= 0)
            return 0;
        if (!kind_token(t, tokens, UNIT_AMPERE, &amperes[n])) amperes[n] = -1;
        s += length + (s[length] == ',');
    }
    return n;
}

/* One point: what it has without current is a guess. */
static void bend_one(struct set *set, const struct part *part, struct inductor *l, double amperes)
{
    if (!(amperes > 0)) return;
    l->bends = true;
    l->iron = (struct coil_law){.inductance = UNLOADED * l->henries, .power = COIL_POWER};
    coil_fit_one(&l->iron, l->henries, amperes);
    kind_assume(set, part, "inductance without current", l->iron.inductance, 1.3 * l->henries,
                2 * l->henries, UNIT_HENRY,
                "half as much again as at its working current; common practice, from memory",
                KNOWN_BY_NOTHING);
}

/* The current that a coil without one of its own is rated for: of a field coil by its watts. */
static double rated_amperes(const struct inductor *l)
{
    if (l->amperes > 0) return l->amperes;
    return l->watts > 0 && l->ohms > 0 ? sqrt(l->watts / l->ohms) : 0;
}

static void read_inductance(struct set *set, const struct part *part, struct inductor *l)
{
    double henries[2], amperes[2] = {-1, -1};
    struct token t[QUANTITY_TOKENS];
    if (!part_node(part, "inductance")) {
        assume_inductance(set, part, l);
        return;
    }
    if (part_node(part, "inductance")->kind == NODE_SCALAR &&
        part_phrase(set, part, "inductance", t) == 0)
        return;
    int n = read_points(set, part, henries, amperes);
    bool two = n == 2 && amperes[0] >= 0 && amperes[1] > amperes[0] && henries[1] < henries[0];
    if (n == 0 || (n == 2 && !two)) {
        part_complain(set, part, "inductance",
                      "write it as in `10 H at 60 mA`, or of a swinging choke `20 H at 20 mA, 5 H "
                      "at 200 mA`",
                      "%s: the inductance is not understood", part->name);
        return;
    }
    l->henries = henries[n - 1];
    if (n == 1) {
        bend_one(set, part, l, amperes[0] < 0 ? rated_amperes(l) : amperes[0]);
    } else {
        l->bends = coil_fit_two(&l->iron, henries, amperes);
        if (!l->bends)
            part_complain(set, part, "inductance", "look at both readings again",
                          "%s: no iron loses so much inductance between these currents",
                          part->name);
    }
}

static void read_warming(struct set *set, const struct part *part, struct inductor *l)
{
    double rated = l->watts > 0     ? l->watts
                   : l->amperes > 0 ? sq(l->amperes) * l->ohms
                                    : RATED_WATTS;
    double resistance = RISE / rated, heat = HEAT_CAPACITY;
    if (!part_value(set, part, "thermal resistance", UNIT_KELVIN_PER_WATT, 1e-3, &resistance))
        set_assume(set, (struct assumption){.part = part->name,
                                            .key = "thermal resistance",
                                            .value = resistance,
                                            .low = 0.7 * resistance,
                                            .high = 1.4 * resistance,
                                            .unit = UNIT_KELVIN_PER_WATT,
                                            .basis = "50 K warmer at its rated watts (6 W when not "
                                                     "known); common practice, no source",
                                            .known_by = KNOWN_BY_OHMS_HOT});
    if (!part_value(set, part, "heat capacity", UNIT_JOULE_PER_KELVIN, 1e-3, &heat))
        set_assume(set, (struct assumption){.part = part->name,
                                            .key = "heat capacity",
                                            .value = heat,
                                            .low = 50,
                                            .high = 500,
                                            .unit = UNIT_JOULE_PER_KELVIN,
                                            .basis = "a few hundred grams of copper and iron; "
                                                     "estimate, no source"});
    l->warm = (struct warm_law){
        .ports = 1,
        .resistance = {l->ohms},
        .coefficient = kind_copper_coefficient(set->ambient),
        .reference = set->ambient,
        .body = {
            .heat = heat, .to_ambient = 1 / resistance, .ambient = set->ambient, .copper = true}};
}

static void read_resistance(struct set *set, const struct part *part, struct inductor *l)
{
    struct token t[QUANTITY_TOKENS];
    int n = part_phrase(set, part, "resistance", t);
    if (n == 0) return;
    bool plain = n == 1, cold = n == 2 && t[1].is_word && strcmp(t[1].word, "cold") == 0;
    bool hot = n == 2 && t[1].is_word && strcmp(t[1].word, "hot") == 0;
    if ((!plain && !cold && !hot) || !kind_token(t, n, UNIT_OHM, &l->ohms) || l->ohms < 0) {
        part_complain(set, part, "resistance", "write it as in `1500 ohm cold` or `115 ohm`",
                      "%s: the resistance is not understood", part->name);
        return;
    }
    l->warms = cold && l->ohms > 0;
}

static void read_rated(struct set *set, const struct part *part, struct inductor *l)
{
    struct token t[QUANTITY_TOKENS];
    int n = part_phrase(set, part, "rated", t);
    if (n == 0) return;
    bool watts = kind_token(t, n, UNIT_WATT, &l->watts);
    bool amperes = kind_token(t, n, UNIT_AMPERE, &l->amperes);
    if ((!watts && !amperes) || l->watts < 0 || l->amperes < 0)
        part_complain(set, part, "rated",
                      "a choke has amperes (`125 mA`), a field coil watts (`6 W`)",
                      "%s: the rating is not understood", part->name);
}

static void read_turns(struct set *set, const struct part *part, struct inductor *l)
{
    if (l->condition != SHORTED_TURNS) {
        if (node_get(part->own, "turns"))
            part_complain(set, part, "turns", "write `condition: shorted turns` too",
                          "%s: `turns` says nothing about a coil without shorted turns",
                          part->name);
        return;
    }
    l->turns =
        fault_severity(set, part, 1e-6, "common practice, no source", KNOWN_BY_OHMS_OF_GOOD_ONE);
    if (l->turns >= 1)
        part_complain(set, part, "turns", "write `condition: shorted` for all of them",
                      "%s: not all turns can be shorted turns", part->name);
    if (part_node(part, "resistance") && !(l->ohms > 0))
        part_complain(set, part, "resistance", NULL,
                      "%s: shorted turns need the resistance of the coil", part->name);
}

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good", "open", "shorted", "shorted turns", NULL};
    struct inductor *l = ARENA_NEW(set->arena, struct inductor);
    part->data = l;
    part_across(set, part, &l->from, &l->to);
    l->condition = kind_condition(set, part, conditions, NULL);
    part_value(set, part, "starts at", UNIT_AMPERE, -HUGE_VAL, &l->initial);
    read_rated(set, part, l);
    read_resistance(set, part, l);
    read_inductance(set, part, l);
    if (l->warms) read_warming(set, part, l);
    read_turns(set, part, l);
}

static void stamp_warming(struct set *set, const struct part *part, const struct inductor *l,
                          int from, int to)
{
    double ambient = l->warm.body.ambient;
    int device = circuit_device(set->circuit, part->name, "copper", &law_warm, &l->warm);
    circuit_state(set->circuit, device, "temperature",
                  (struct state){.cold = ambient,
                                 .hot = ambient + RISE,
                                 .range = 100,
                                 .is_temperature = true,
                                 .body = &l->warm.body});
    circuit_port(set->circuit, device, "warming", from, to, PORT_BASED);
}

static void rate(struct set *set, const struct part *part, const struct inductor *l)
{
    if (l->amperes > 0)
        kind_rate(set, part, "rated",
                  (struct rating){.subject = part->name,
                                  .measure = MEASURE_AVERAGE_CURRENT,
                                  .limit = l->amperes,
                                  .harm = HARM_COIL_CURRENT});
    if (l->watts > 0)
        kind_rate(set, part, "rated",
                  (struct rating){.subject = part->name,
                                  .measure = MEASURE_DISSIPATION,
                                  .limit = l->watts,
                                  .harm = HARM_COIL_WATTS});
}

/* Beside the coil on iron, so that its current always has a way: a loss too small to matter, of
 * 1000 times its reactance. */
static int stamp_iron(struct set *set, const struct part *part, const struct inductor *l, int from,
                      int to, double henries, double amperes)
{
    struct circuit *c = set->circuit;
    struct coil_law *law = ARENA_NEW(set->arena, struct coil_law);
    const double part_of = henries / l->henries, hertz = set->frequency > 0 ? set->frequency : 60;
    *law = l->iron;
    law->inductance *= part_of;
    law->knee *= part_of;
    int device = circuit_device(c, part->name, "iron", &law_coil, law);
    double flux = coil_flux(law, amperes);
    circuit_state(
        c, device, "flux",
        (struct state){.cold = flux, .hot = flux, .range = larger(law->knee, fabs(flux))});
    circuit_resistor(c, part->name, "loss", from, to, 2000 * PI * hertz * law->inductance);
    return circuit_port(c, device, "inductance", from, to, PORT_BASED);
}

static int stamp_coil(struct circuit *c, const struct part *part, const char *role, int from,
                      int to, double henries, double amperes)
{
    int e = circuit_inductor(c, part->name, role, from, to, henries);
    c->elements.at[e].initial = amperes;
    return e;
}

/* The inductance that lies on the iron. */
static int stamp_on_iron(struct set *set, const struct part *part, const struct inductor *l,
                         int from, int to, double henries, double amperes)
{
    if (l->bends) return stamp_iron(set, part, l, from, to, henries, amperes);
    return stamp_coil(set->circuit, part, "inductance", from, to, henries, amperes);
}

/* The coil's inductance from one point to another; returns the element that carries its current.
 *
 * A share f of the turns is closed on itself: the others have L (1 - f)^2, of which the part k^2
 * that is coupled to the closed ones lies, seen from the whole coil's turns, beside their copper.
 * As the whole coil's k^2 L keeps its flux when turns short in a run, the flux is carried over; the
 * iron and what closes it stand on a winding of the whole coil's turns, the current goes through
 * one of (1 - f). Coupled circuits: any text, e.g. F. E. Terman, Radio Engineers' Handbook, 1943,
 * from memory. What the closed turns burn is counted, but does not warm the rest. */
static int stamp_turns(struct set *set, const struct part *part, const struct inductor *l, int from,
                       int to)
{
    struct circuit *c = set->circuit;
    const double f = l->turns, coupled = sq(COUPLING) * l->henries;
    if (f == 0) return stamp_on_iron(set, part, l, from, to, l->henries, l->initial);
    int iron = circuit_inner(c, part->name, "iron"), open = circuit_inner(c, part->name, "leakage"),
        number = circuit_transformer(c);
    stamp_coil(c, part, "leakage", from, open, (1 - sq(COUPLING)) * l->henries * sq(1 - f),
               l->initial);
    circuit_winding(c, part->name, "whole coil", number, iron, to, 1);
    circuit_resistor(c, part->name, "shorted turns", iron, to, sq(COUPLING) * l->ohms / f);
    stamp_on_iron(set, part, l, iron, to, coupled, l->initial * (1 - f));
    return circuit_winding(c, part->name, "other turns", number, open, to, 1 - f);
}

static void assume_coupling(struct set *set, const struct part *part)
{
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "coupling",
                                        .value = COUPLING,
                                        .low = 0.9,
                                        .high = 0.99,
                                        .unit = UNIT_NUMBER,
                                        .basis = "of the shorted turns to the others, on one core "
                                                 "with a gap; estimate, no source"});
}

static void stamp(struct set *set, struct part *part)
{
    struct inductor *l = part->data;
    struct circuit *c = set->circuit;
    if (l->condition == OPEN) return;
    int way;
    if (l->condition == SHORTED) {
        way = circuit_resistor(c, part->name, "resistance", l->from, l->to, 0);
    } else {
        double ohms = l->ohms * (1 - l->turns);
        int middle = ohms > 0 ? circuit_inner(c, part->name, "copper") : l->to;
        way = stamp_turns(set, part, l, l->from, middle);
        if (l->turns > 0) assume_coupling(set, part);
        if (ohms > 0) circuit_resistor(c, part->name, "resistance", middle, l->to, ohms);
        l->warm.resistance[0] = ohms;
        if (l->warms) stamp_warming(set, part, l, middle, l->to);
    }
    kind_probe_volts(set, part->name, l->from, l->to, PROBE_OTHER);
    kind_probe_amperes(set, part->name, PROBE_OTHER | PROBE_WATCHED, &way, 1);
    rate(set, part, l);
}

static double ohms(const struct part *part, double volts)
{
    const struct inductor *l = part->data;
    return l->warms ? inductor_hot_ohms(l->ohms, l->watts, volts) : l->ohms;
}

static bool has_copper(const struct set *set, const struct part *part)
{
    const struct inductor *l = part->data;
    (void)set;
    return l->ohms > 0;
}

static const struct part_fault faults[] = {
    {.name = "open", .says = "its wire is broken"},
    {.name = "shorted", .says = "bridged from end to end"},
    {.name = "shorted turns",
     .says = "some of its turns touch: less inductance, and the shorted ones heat",
     .severity = {.key = "turns", UNIT_PERCENT, 0.01, 0.5, 0.1},
     .can = has_copper},
    {.name = NULL},
};

const struct part_kind kind_choke = {
    .name = "choke",
    .says = "a filter choke",
    .example = "L1: {is: choke, across: [first filter, B+], inductance: 10 H at 60 mA,\n"
               "  resistance: 330 ohm}",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .roles = ROLE_COIL,
    .ohms = ohms,
    .faults = faults,
};

const struct part_kind kind_field_coil = {
    .name = "field coil",
    .says = "the field winding of an electrodynamic speaker",
    .example = "field: {is: field coil, across: [first filter, B+],\n"
               "  resistance: 1500 ohm cold}",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .roles = ROLE_COIL | ROLE_FIELD_COIL,
    .ohms = ohms,
    .faults = faults,
};
