/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheets tell the cold resistance and, warm, R = x I^y over a span of currents. One B and one
 * power law of cooling meet that span: B from the rated current, whose watts and thermal resistance
 * give the temperature there; the cooling from the point at 0.3 times rated, so that the sheet's
 * line is met within 3 % from a quarter of the rated current up. */
#include <math.h>

#include "kinds.h"
#include "laws.h"
#include "numbers.h"

#define SECOND 0.3 /* of the rated current: the other point that is met exactly */
#define RISE 165.0 /* [K] */

struct thermistor {
    int from, to;
    double cold, rated, x, y; /* ohm, A, ohm at 1 A, power */
    double resistance;        /* thermal, at rated current [K/W] */
    double seconds;
    struct thermistor_law law;
    enum thermistor_condition condition;
};

const char *const thermistor_conditions[] = {"good", "open", "shorted", NULL};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED | KEY_LIST},
    {"cold resistance", "ohms at 25 C, e.g. 120 ohm", KEY_NEEDED | KEY_MODEL | KEY_SHOWN},
    {"rated", "highest amperes at 25 C, e.g. 2 A", KEY_NEEDED | KEY_MODEL},
    {"hot resistance", "ohms at the rated current, e.g. 1.2 ohm", KEY_MODEL},
    {"x", "warm it has x times (amperes to the power y) ohms, e.g. 3.04", KEY_MODEL},
    {"y", "that power, e.g. -1.36", KEY_MODEL},
    {"least current", "amperes from which x and y hold, for information", KEY_MODEL},
    {"thermal resistance", "at the rated current, e.g. 33 K/W", KEY_MODEL},
    {"time constant", "seconds of cooling to 1/e, e.g. 120 s", KEY_MODEL},
    {"condition", "good, open or shorted", KEY_WORDS},
    {NULL, NULL, 0},
};

static double warm_ohms(const struct thermistor *t, double amperes)
{
    return t->x * pow(amperes, t->y);
}

static double warm_watts(const struct thermistor *t, double amperes)
{
    return sq(amperes) * warm_ohms(t, amperes);
}

static void fit(struct thermistor *t, double ambient)
{
    double part = SECOND * t->rated, watts = warm_watts(t, t->rated), rise = watts * t->resistance;
    double b = log(t->cold / warm_ohms(t, t->rated)) / (1 / LAWS_ROOM - 1 / (LAWS_ROOM + rise)),
           there = 1 / (1 / LAWS_ROOM - log(t->cold / warm_ohms(t, part)) / b) - LAWS_ROOM;
    t->law = (struct thermistor_law){.resistance = t->cold, .b = b, .ambient = ambient};
    thermistor_cooling(&t->law, watts, rise, warm_watts(t, part), there, t->seconds);
}

/* --- reading -------------------------------------------------------------------------------- */

/* False when the warm resistance is not known. */
static bool read_warm(struct set *set, const struct part *part, struct thermistor *t)
{
    double hot;
    bool line = part_value(set, part, "x", UNIT_NUMBER, 1e-6, &t->x),
         power = part_value(set, part, "y", UNIT_NUMBER, -1.9, &t->y),
         end = part_value(set, part, "hot resistance", UNIT_OHM, 1e-6, &hot);
    if (!line && !end) {
        part_complain(set, part, "hot resistance",
                      "the sheet gives the ohms at the rated current; or name a `type`",
                      "%s: its resistance when hot is missing", part->name);
        return false;
    }
    if (!power) {
        t->y = -1.28;
        kind_assume(set, part, "y", t->y, -1.38, -1.05, UNIT_NUMBER,
                    "mean of the inrush thermistors in the catalogue (Amphenol, AAS-920-325D)",
                    KNOWN_BY_DATA_SHEET);
    }
    if (!line) t->x = hot / pow(t->rated, t->y);
    return true;
}

static void read_heat(struct set *set, const struct part *part, struct thermistor *t)
{
    double watts = warm_watts(t, t->rated);
    if (!part_value(set, part, "thermal resistance", UNIT_KELVIN_PER_WATT, 0.1, &t->resistance)) {
        t->resistance = RISE / watts;
        kind_assume(
            set, part, "thermal resistance", t->resistance, 153 / watts, 190 / watts,
            UNIT_KELVIN_PER_WATT,
            "165 K over the room at rated current: types whose dissipation constant is printed "
            "rise 153 to 190 K (Amphenol, AAS-920-325D)",
            KNOWN_BY_DATA_SHEET);
    }
    if (part_value(set, part, "time constant", UNIT_SECOND, 0.1, &t->seconds)) return;
    t->seconds = 90;
    kind_assume(set, part, "time constant", t->seconds, 60, 120, UNIT_SECOND,
                "types whose time constant is printed have 60 to 120 s (Amphenol, AAS-920-325D)",
                KNOWN_BY_DATA_SHEET);
}

static void read(struct set *set, struct part *part)
{
    struct thermistor *t = ARENA_NEW(set->arena, struct thermistor);
    part->data = t;
    part_across(set, part, &t->from, &t->to);
    t->condition = kind_condition(set, part, thermistor_conditions, NULL);
    bool known = part_value(set, part, "cold resistance", UNIT_OHM, 1e-3, &t->cold);
    known = part_value(set, part, "rated", UNIT_AMPERE, 1e-3, &t->rated) && known;
    if (!known || !read_warm(set, part, t)) return;
    if (!(t->y < 0 && warm_ohms(t, SECOND * t->rated) < t->cold)) {
        part_complain(set, part, t->y < 0 ? "cold resistance" : "y",
                      "one whose resistance rises is no inrush limiter",
                      "%s: warm it must have less resistance than cold", part->name);
        return;
    }
    read_heat(set, part, t);
    fit(t, set->ambient);
}

/* --- writing -------------------------------------------------------------------------------- */

void thermistor_stamp(struct set *set, const struct part *part, const struct thermistor_law *law,
                      int from, int to, double hot, enum thermistor_condition condition)
{
    struct circuit *c = set->circuit;
    int way[2] = {-1, -1};
    if (condition == THERMISTOR_OPEN) return;
    if (condition == THERMISTOR_SHORTED) {
        way[0] = circuit_resistor(c, part->name, "base", from, to, 0);
    } else {
        int device = circuit_device(c, part->name, "T", &law_thermistor, law);
        way[0] = circuit_resistor(c, part->name, "base", from, to, law->resistance);
        way[1] = circuit_port(c, device, "body", from, to, PORT_BASED);
        circuit_state(
            c, device, "T",
            (struct state){.cold = set->ambient, .hot = hot, .range = 100, .is_temperature = true});
    }
    kind_probe_volts(set, part->name, from, to, PROBE_OTHER);
    kind_probe_amperes(set, part->name, PROBE_OTHER, way, 2);
}

/* At a hot restart it is as hot as its rated current makes it: no help. */
static void stamp(struct set *set, struct part *part)
{
    const struct thermistor *t = part->data;
    double celsius = set->ambient - ZERO_CELSIUS,
           derated = sqrt(clamp(1.1425 - 0.0057 * celsius, 0, 1)) * t->rated;
    thermistor_stamp(set, part, &t->law, t->from, t->to,
                     set->ambient + warm_watts(t, t->rated) * t->resistance, t->condition);
    if (t->condition != THERMISTOR_GOOD) return;
    /* derating of AAS-920-325D: I = sqrt(1.1425 - 0.0057 TA) Imax, TA in deg C */
    kind_rate(set, part, "rated",
              (struct rating){.subject = part->name,
                              .measure = MEASURE_RMS_CURRENT,
                              .limit = derated,
                              .harm = HARM_THERMISTOR_CURRENT});
}

static const struct part_fault faults[] = {
    {.name = "open", .says = "its disc has cracked, or a lead has come off: no current"},
    {.name = "shorted", .says = "bridged, or melted through: it limits no inrush"},
    {.name = NULL},
};

const struct part_kind kind_thermistor = {
    .name = "thermistor",
    .says = "an inrush limiter: many ohms cold, few once its current warms it",
    .example = "limiter: {is: thermistor, across: [line, line 2], type: CL-90}",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .plain_key = "type",
    .roles = ROLE_LIMITER,
    .faults = faults,
};
