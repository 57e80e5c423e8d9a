/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A filament of tungsten: cold it takes many times its running current. */
#include "lamp_law.h"

#include <math.h>
#include <string.h>

#include "heater.h"
#include "kinds.h"
#include "tungsten.h"

enum { GOOD, BURNT_OUT };

/* A hot restart comes so long after switch-off: the tubes have emptied the capacitors and are still
 * hot, a filament has cooled to a third or so [s] (estimate). */
#define RESTART 1.0

struct lamp {
    int from, to;
    struct lamp_rating rating;
    int condition;
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED | KEY_LIST},
    {"rated",
     "volts and amperes or watts, e.g. 6.3 V 0.15 A or 60 W 120 V; 0.1 V to 1000 V, 1 mA to 100 A",
     KEY_NEEDED | KEY_SHOWN},
    {"temperature", "of the filament at rated volts, e.g. 2517 C", KEY_MODEL},
    {"gas loss", "part of the watts that its gas carries off, e.g. 15 %; vacuum: 0 %", KEY_MODEL},
    {"cold resistance", "ohms at room temperature: from it the filament's temperature", KEY_MODEL},
    {"condition", "good or burnt out", KEY_WORDS},
    {NULL, NULL, 0},
};

/* Between the sizes of 25 W, which are empty, and of 40 W, so that one of 40 W that takes a little
 * less than its mark is filled too. From memory. */
#define GAS_FILLED 32

/* Lamps of 15 W and more: within 4 % of 2480 K to 2900 K at 0.11 A to 1.7 A (temperatures from
 * memory). */
static double usual_kelvin(const struct lamp_rating *r)
{
    double watts = r->volts * r->amperes;
    if (watts < 15) return 2200;
    return watts < GAS_FILLED ? 2700 * pow(r->amperes / 0.5, 0.055)
                              : 2780 * pow(r->amperes / 0.5, 0.04);
}

/* Ohms cold and hot tell the temperature, unless that stands beside them. */
static bool read_cold(struct set *set, const struct part *part, struct lamp_rating *r)
{
    const double least = 1200, most = 3500; /* [K] */
    double ohms, hot = r->volts / r->amperes, slope, cold = tungsten_resistivity(LAWS_ROOM, &slope);
    bool own = node_get(part->own, "cold resistance") && !node_get(part->own, "temperature");
    if (part_node(part, "temperature") && !own) return false;
    if (!part_value(set, part, "cold resistance", UNIT_OHM, 1e-6, &ohms)) return false;
    if (hot / ohms > tungsten_resistivity(least, &slope) / cold &&
        hot / ohms < tungsten_resistivity(most, &slope) / cold) {
        r->kelvin = tungsten_kelvin(hot / ohms, LAWS_ROOM);
        return true;
    }
    part_complain(
        set, part, "cold resistance",
        arena_printf(set->arena, "cold it has a sixth to a twentieth of its %.3g ohm hot", hot),
        "%s: no filament of tungsten has so much cold and its rated resistance hot", part->name);
    return true;
}

static void read_filament(struct set *set, const struct part *part, struct lamp_rating *r)
{
    const double least = 1200; /* [K] */
    double watts = r->volts * r->amperes;
    r->kelvin = usual_kelvin(r);
    if (!read_cold(set, part, r) &&
        !part_value(set, part, "temperature", UNIT_CELSIUS, least, &r->kelvin))
        kind_assume(set, part, "temperature", r->kelvin, 0.95 * r->kelvin, 1.05 * r->kelvin,
                    UNIT_CELSIUS, "customary for its watts and amperes, from memory",
                    KNOWN_BY_LAMP_OHMS);
    if (!part_value(set, part, "gas loss", UNIT_PERCENT, 0, &r->gas_loss)) {
        r->gas_loss = watts < GAS_FILLED ? 0 : 0.15;
        kind_assume(set, part, "gas loss", r->gas_loss, 0, watts < GAS_FILLED ? 0.1 : 0.2,
                    UNIT_PERCENT,
                    "small lamps are empty, those of 40 W and more filled with gas; from memory",
                    KNOWN_BY_NOTHING);
    }
    if (r->gas_loss > 0.5)
        part_complain(set, part, "gas loss", "15 % is customary",
                      "%s: most of the watts are radiated", part->name);
    if (r->kelvin > 3600)
        part_complain(set, part, "temperature", "2500 C is customary",
                      "%s: tungsten melts at 3422 C", part->name);
}

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good", "burnt out", NULL};
    struct lamp *l = ARENA_NEW(set->arena, struct lamp);
    part->data = l;
    part_across(set, part, &l->from, &l->to);
    if (heater_rated(set, part, "rated", &l->rating.volts, &l->rating.amperes))
        read_filament(set, part, &l->rating);
    l->condition = kind_condition(set, part, conditions, NULL);
}

static void link(struct set *set, struct part *part)
{
    const struct lamp *l = part->data;
    if (l->condition == BURNT_OUT) return;
    heater_give(set, part,
                (struct heater_pins){.from = set->circuit->points.at[l->from],
                                     .to = set->circuit->points.at[l->to],
                                     .volts = l->rating.volts,
                                     .amperes = l->rating.amperes,
                                     .part = part->name},
                part, "rated");
}

static void stamp(struct set *set, struct part *part)
{
    const struct lamp *l = part->data;
    struct circuit *c = set->circuit;
    if (l->condition == BURNT_OUT) return;
    struct lamp_law *law = ARENA_NEW(set->arena, struct lamp_law);
    *law = lamp_law_of(&l->rating, set->ambient);
    int way[2], device = circuit_device(c, part->name, "filament", &law_lamp, law);
    way[0] = circuit_resistor(c, part->name, "base", l->from, l->to, law->resistance);
    way[1] = circuit_port(c, device, "filament", l->from, l->to, PORT_BASED);
    circuit_state(c, device, "filament",
                  (struct state){.cold = set->ambient,
                                 .hot = lamp_cooled_kelvin(law, l->rating.kelvin, RESTART),
                                 .range = 1000,
                                 .is_temperature = true});
    kind_probe_volts(set, part->name, l->from, l->to, PROBE_HEATER);
    kind_probe_amperes(set, part->name, PROBE_HEATER, way, 2);
    set_rate(set, (struct rating){.subject = part->name,
                                  .measure = MEASURE_RMS_VOLTAGE,
                                  .limit = 1.1 * l->rating.volts,
                                  .source = "10 % over rated volts; common practice, no source",
                                  .system = "",
                                  .harm = HARM_LAMP_VOLTS});
}

static const struct part_fault faults[] = {
    {.name = "burnt out", .says = "its filament is open"},
    {.name = NULL},
};

const struct part_kind kind_lamp = {
    .name = "lamp",
    .says = "a pilot lamp or a series lamp",
    .example = "dial lamp: {is: lamp, across: [line, tap], type: pilot 47}",
    .keys = keys,
    .read = read,
    .link = link,
    .stamp = stamp,
    .order = 20,
    .roles = ROLE_LAMP,
    .faults = faults,
};
