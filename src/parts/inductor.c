/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Filter choke and field coil: inductance in series with copper. Copper whose ohms are told cold
 * warms with its own watts; the network holds the cold ohms and a device across them the rest. */
#include <math.h>
#include <string.h>

#include "kinds.h"
#include "laws.h"
#include "numbers.h"

enum { GOOD, OPEN, SHORTED };

/* Estimates without a source: a coil at its rated watts, or at this many, is so much warmer than
 * the room, and stores so much heat. */
#define RISE 50.0           /* [K] */
#define RATED_WATTS 6.0     /* [W] */
#define HEAT_CAPACITY 150.0 /* [J/K] */

struct inductor {
    int from, to;
    double henries, ohms, initial; /* initial [A] */
    double watts, amperes;         /* rated; 0: not known */
    bool warms;
    int condition;
    struct warm_law warm;
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED},
    {"inductance", "e.g. 10 H at 60 mA, or unknown", 0},
    {"resistance", "ohms; `1500 ohm cold` warms with its own watts", KEY_NEEDED},
    {"rated", "amperes of direct current, or watts", 0},
    {"starts at", "amperes at the start of the run", 0},
    {"thermal resistance", "kelvin per watt, e.g. 8 K/W", 0},
    {"heat capacity", "joules per kelvin, e.g. 150 J/K", 0},
    {"condition", "good, open or shorted", 0},
    {NULL, NULL, 0},
};

double coil_hot_ohms(double cold, double rated_watts, double volts)
{
    /* R = R0 (1 + a Rth v^2/R), a quadratic in R */
    double rise = RISE / (rated_watts > 0 ? rated_watts : RATED_WATTS);
    return cold / 2 + sqrt(sq(cold / 2) + cold * copper_coefficient(293.15) * rise * sq(volts));
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
                                        .measure = "read the AC volts on both filter capacitors: "
                                                   "their ratio tells it",
                                        .guess = true});
}

static void read_inductance(struct set *set, const struct part *part, struct inductor *l)
{
    struct token t[QUANTITY_TOKENS];
    if (!part_node(part, "inductance")) {
        assume_inductance(set, part, l);
        return;
    }
    int n = part_phrase(set, part, "inductance", t);
    if (n > 0 && (!kind_token(t, n, UNIT_HENRY, &l->henries) || l->henries <= 0))
        part_complain(set, part, "inductance", "write it as in `10 H at 60 mA`",
                      "%s: the inductance is not understood", part->name);
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
                                            .measure = "ohms hot, at once after switching off, "
                                                       "against ohms cold"});
    if (!part_value(set, part, "heat capacity", UNIT_JOULE_PER_KELVIN, 1e-3, &heat))
        set_assume(set, (struct assumption){.part = part->name,
                                            .key = "heat capacity",
                                            .value = heat,
                                            .low = 50,
                                            .high = 500,
                                            .unit = UNIT_JOULE_PER_KELVIN,
                                            .basis = "a few hundred grams of copper and iron; "
                                                     "estimate, no source"});
    l->warm = (struct warm_law){.ports = 1,
                                .resistance = {l->ohms},
                                .coefficient = copper_coefficient(set->ambient),
                                .reference = set->ambient,
                                .body = {.heat = heat,
                                         .to_ambient = 1 / resistance,
                                         .ambient = set->ambient,
                                         .copper = true}};
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
    if (l->warms) read_warming(set, part, l);
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

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good", "open", "shorted", NULL};
    static const char *const later[] = {"shorted turns", NULL};
    struct inductor *l = ARENA_NEW(set->arena, struct inductor);
    part->data = l;
    part_across(set, part, &l->from, &l->to);
    l->condition = kind_condition(set, part, conditions, later);
    part_value(set, part, "starts at", UNIT_AMPERE, -HUGE_VAL, &l->initial);
    read_rated(set, part, l);
    read_inductance(set, part, l);
    read_resistance(set, part, l);
}

static void stamp_warming(struct set *set, const struct part *part, const struct inductor *l,
                          int from, int to)
{
    double ambient = l->warm.body.ambient;
    int device = circuit_device(set->circuit, part->name, "copper", &law_warm, &l->warm);
    circuit_state(
        set->circuit, device, "temperature",
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
                                  .measure = "average-current",
                                  .limit = l->amperes,
                                  .unit = UNIT_AMPERE,
                                  .says =
                                      "its direct current is over its rating: it heats, and its "
                                      "inductance falls"});
    if (l->watts > 0)
        kind_rate(set, part, "rated",
                  (struct rating){.subject = part->name,
                                  .measure = "dissipation",
                                  .limit = l->watts,
                                  .unit = UNIT_WATT,
                                  .says = "its copper burns more watts than it is rated for"});
}

static void stamp(struct set *set, struct part *part)
{
    const struct inductor *l = part->data;
    struct circuit *c = set->circuit;
    if (l->condition == OPEN) return;
    int way;
    if (l->condition == SHORTED) {
        way = circuit_resistor(c, part->name, "resistance", l->from, l->to, 0);
    } else {
        int middle = l->ohms > 0 ? circuit_inner(c, part->name, "copper") : l->to;
        way = circuit_inductor(c, part->name, "inductance", l->from, middle, l->henries);
        c->elements.at[way].initial = l->initial;
        if (l->ohms > 0) circuit_resistor(c, part->name, "resistance", middle, l->to, l->ohms);
        if (l->warms) stamp_warming(set, part, l, middle, l->to);
    }
    kind_probe_volts(set, part->name, l->from, l->to, PROBE_OTHER);
    kind_probe_amperes(set, part->name, PROBE_OTHER | PROBE_WATCHED, &way, 1);
    rate(set, part, l);
}

const struct part_kind kind_choke = {
    .name = "choke",
    .says = "a filter choke",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
};

const struct part_kind kind_field_coil = {
    .name = "field coil",
    .says = "the field winding of an electrodynamic speaker",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
};
