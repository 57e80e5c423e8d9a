/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A filament of tungsten: cold it takes many times its running current. */
#include <math.h>
#include <string.h>

#include "heater.h"
#include "kinds.h"

enum { GOOD, BURNT_OUT };

struct lamp {
    int from, to;
    double volts, amperes;
    double kelvin, seconds; /* of the filament: running temperature, time constant there */
    int condition;
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED},
    {"rated", "volts and amperes or watts, e.g. 6.3 V 0.15 A or 120 V 60 W", KEY_NEEDED},
    {"temperature", "of the filament at rated volts, e.g. 2517 C", KEY_MODEL},
    {"time constant", "at rated volts, e.g. 30 ms", KEY_MODEL},
    {"cold resistance", "ohms, for information: the filament's law gives it", KEY_MODEL},
    {"condition", "good or burnt out", 0},
    {NULL, NULL, 0},
};

/* Pilot lamps: 0.1 s to 90 % of the running temperature (common practice, no source). Lamps for the
 * mains: within 4 % and 20 % of filaments that radiate the rated watts, 2560 K and 27 ms at 25 W to
 * 2900 K and 59 ms at 200 W (derived from tungsten's resistivity, Jones and Langmuir, General
 * Electric Review, 1927, and heat capacity, NIST-JANAF). */
static void usual_filament(struct lamp *l)
{
    double watts = l->volts * l->amperes;
    l->kelvin = watts < 15 ? 2200 : 2770 * pow(watts / 60, 0.05);
    l->seconds = watts < 15 ? 0.040 : 0.032 * pow(watts / 60, 0.4);
}

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good", "burnt out", NULL};
    struct lamp *l = ARENA_NEW(set->arena, struct lamp);
    part->data = l;
    part_across(set, part, &l->from, &l->to);
    heater_rated(set, part, "rated", &l->volts, &l->amperes);
    usual_filament(l);
    part_value(set, part, "temperature", UNIT_CELSIUS, 1000, &l->kelvin);
    part_value(set, part, "time constant", UNIT_SECOND, 1e-4, &l->seconds);
    l->condition = kind_condition(set, part, conditions, NULL);
}

static void link(struct set *set, struct part *part)
{
    const struct lamp *l = part->data;
    if (l->condition == BURNT_OUT) return;
    heater_give(set, part,
                (struct heater_pins){.from = set->circuit->points.at[l->from],
                                     .to = set->circuit->points.at[l->to],
                                     .volts = l->volts,
                                     .amperes = l->amperes,
                                     .part = part->name},
                part, "rated");
}

static void stamp(struct set *set, struct part *part)
{
    const struct lamp *l = part->data;
    struct circuit *c = set->circuit;
    if (l->condition == BURNT_OUT) return;
    double watts = l->volts * l->amperes;
    struct heater_law *law = ARENA_NEW(set->arena, struct heater_law);
    /* close to rated volts, C dT/dt = watts (T/T0)^-1.2 - watts (T/T0)^4 */
    *law = (struct heater_law){.sections = 1,
                               .parallel = 1,
                               .resistance = {l->volts / l->amperes},
                               .watts = {watts},
                               .wire_kelvin = l->kelvin,
                               .ambient = set->ambient,
                               .wire_heat = {5.2 * watts * l->seconds / l->kelvin}};
    int way[2], device = circuit_device(c, part->name, "filament", &law_heater, law);
    way[0] = circuit_resistor(c, part->name, "base", l->from, l->to, law->resistance[0]);
    way[1] = circuit_port(c, device, "filament", l->from, l->to, PORT_BASED);
    circuit_state(
        c, device, "filament",
        (struct state){
            .cold = set->ambient, .hot = l->kelvin, .range = 1000, .is_temperature = true});
    kind_probe_volts(set, part->name, l->from, l->to, PROBE_HEATER);
    kind_probe_amperes(set, part->name, PROBE_HEATER, way, 2);
    set_rate(set, (struct rating){.subject = part->name,
                                  .measure = "rms-voltage",
                                  .limit = 1.1 * l->volts,
                                  .unit = UNIT_VOLT,
                                  .source = "10 % over rated volts; common practice, no source",
                                  .system = "",
                                  .says = "the lamp gets too many volts and will not last"});
}

const struct part_kind kind_lamp = {
    .name = "lamp",
    .says = "a pilot lamp or a series lamp",
    .keys = keys,
    .read = read,
    .link = link,
    .stamp = stamp,
    .order = 20,
};
