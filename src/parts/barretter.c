/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An iron wire in hydrogen. Its ohms rise faster with its temperature than the gas carries heat
 * off, so that over a range of volts the steady current hardly changes. Told are that current and
 * the range; the cold ohms place the temperatures. Cooling is that of free convection, or such that
 * at the lower end of the range the current has fallen by the spread told. Iron's ohms follow
 * T^1.8 within 7 % up to its Curie point; beyond it they rise less, so that far above the range,
 * and in the flash while the heaters are cold, the current told is too small. */
#include <math.h>

#include "kinds.h"
#include "laws.h"
#include "numbers.h"

#define RISE 1.8     /* fit to the resistivity of iron, 298 to 1073 K, itself from memory */
#define COOLING 1.25 /* power of free convection (W. H. McAdams, Heat Transmission, 1954) */
#define TOP 1000.0   /* dull red at the top of its range (estimate) [K] */
#define CURIE 1043.0
#define MOST 1200.0 /* [K] */
#define RESTART 1.0 /* a hot restart comes so long after switch-off, as in lamps [s] (estimate) */

struct barretter {
    int from, to;
    double amperes, least, most; /* rated; range [V] */
    double cold, seconds;
    double middle; /* temperature at the middle of the range [K] */
    struct thermistor_law law;
    enum thermistor_condition condition;
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED | KEY_LIST},
    {"rated", "the amperes it holds, e.g. 0.3 A", KEY_NEEDED | KEY_MODEL | KEY_SHOWN},
    {"range", "the volts across it over which it does, e.g. 86 V to 129 V",
     KEY_NEEDED | KEY_MODEL | KEY_SHOWN},
    {"spread", "how far from rated the current may be in its range, e.g. 5 %", KEY_MODEL},
    {"cold resistance", "ohms at room temperature", KEY_MODEL},
    {"time constant", "seconds of cooling to 1/e, e.g. 1 s", KEY_MODEL},
    {"condition", "good, open or shorted", KEY_WORDS},
    {NULL, NULL, 0},
};

/* ---- reading ---- */

/* How many times its cold ohms it has at that temperature. */
static double ratio(double kelvin)
{
    return pow(kelvin / LAWS_ROOM, RISE);
}

static double kelvin_at(const struct barretter *b, double volts, double amperes)
{
    return LAWS_ROOM * pow(volts / amperes / b->cold, 1 / RISE);
}

static bool read_range(struct set *set, const struct part *part, struct barretter *b)
{
    struct token t[QUANTITY_TOKENS];
    int n = part_phrase(set, part, "range", t);
    if (n == 0) return false;
    if (kind_token(t, 1, UNIT_VOLT, &b->least) && kind_token(t + n - 1, 1, UNIT_VOLT, &b->most) &&
        b->least > 0 && b->most > b->least)
        return true;
    part_complain(set, part, "range", "write two voltages, the smaller first: `86 V to 129 V`",
                  "%s: this is no range of volts", part->name);
    return false;
}

static void read_wire(struct set *set, const struct part *part, struct barretter *b)
{
    double hot = b->most / b->amperes;
    b->cold = hot / ratio(TOP);
    b->seconds = 1;
    if (!part_value(set, part, "cold resistance", UNIT_OHM, 1e-3, &b->cold))
        kind_assume(set, part, "cold resistance", b->cold, hot / ratio(CURIE), hot / ratio(800),
                    UNIT_OHM, "estimate: iron at dull red at the top of its range",
                    KNOWN_BY_OHMS_COLD);
    if (!part_value(set, part, "time constant", UNIT_SECOND, 1e-2, &b->seconds))
        kind_assume(set, part, "time constant", b->seconds, 0.3, 5, UNIT_SECOND, "estimate",
                    KNOWN_BY_SETTLING);
}

/* Amperes once settled, by halving of the temperature. */
static double settled(const struct barretter *b, double volts)
{
    double low = LAWS_ROOM, high = 3000;
    for (int k = 0; k < 50; k++) {
        double t = (low + high) / 2;
        bool warms =
            sq(volts) / (b->cold * ratio(t)) > b->law.loss * pow(t - LAWS_ROOM, b->law.power);
        *(warms ? &low : &high) = t;
    }
    return volts / (b->cold * ratio(low));
}

/* How far from rated it is at the ends of the range. */
static double worst(const struct barretter *b)
{
    return larger(fabs(settled(b, b->least) / b->amperes - 1),
                  fabs(settled(b, b->most) / b->amperes - 1));
}

static void fit(struct set *set, const struct part *part, struct barretter *b)
{
    double watts = (b->least + b->most) / 2 * b->amperes, spread,
           over = kelvin_at(b, watts / b->amperes, b->amperes) - LAWS_ROOM;
    b->middle = LAWS_ROOM + over;
    b->law = (struct thermistor_law){.resistance = b->cold, .rise = RISE, .ambient = set->ambient};
    thermistor_cooling(&b->law, watts, over, watts * pow(0.5, COOLING), over / 2, b->seconds);
    if (!part_value(set, part, "spread", UNIT_PERCENT, 1e-3, &spread)) {
        kind_assume(set, part, "spread", worst(b), 0, 0.1, UNIT_PERCENT,
                    "estimate: free convection from a wire at such temperatures",
                    KNOWN_BY_RANGE_ENDS);
        return;
    }
    double few = b->amperes * (1 - spread), under = kelvin_at(b, b->least, few) - LAWS_ROOM,
           power = thermistor_cooling(&b->law, watts, over, b->least * few, under, b->seconds);
    if (!(power >= 1 && power <= 2 && worst(b) < 1.0001 * spread))
        part_complain(set, part, "spread",
                      power > 1.5 ? "over so narrow a range it changes less"
                                  : "over so wide a range it changes more",
                      "%s: no iron wire in gas changes its current by %.3g %% over that range",
                      part->name, 100 * spread);
}

/* False when no iron could be so cold at one end of the range and so hot at the other. */
static bool check_wire(struct set *set, const struct part *part, const struct barretter *b)
{
    if (kelvin_at(b, b->least, b->amperes) > LAWS_ROOM + 50 &&
        kelvin_at(b, b->most, b->amperes) < MOST)
        return true;
    part_complain(set, part, part_node(part, "cold resistance") ? "cold resistance" : "range",
                  arena_printf(set->arena,
                               "at dull red, the top of its range, iron has nine times its cold "
                               "ohms: %.3g ohm of cold ones here",
                               b->most / b->amperes / ratio(TOP)),
                  "%s: no iron wire holds %.3g A over that range", part->name, b->amperes);
    return false;
}

static void read(struct set *set, struct part *part)
{
    struct barretter *b = ARENA_NEW(set->arena, struct barretter);
    part->data = b;
    part_across(set, part, &b->from, &b->to);
    b->condition = kind_condition(set, part, thermistor_conditions, NULL);
    bool known = part_value(set, part, "rated", UNIT_AMPERE, 1e-3, &b->amperes);
    known = read_range(set, part, b) && known;
    if (!known) return;
    read_wire(set, part, b);
    if (check_wire(set, part, b)) fit(set, part, b);
}

/* ---- writing ---- */

static void stamp(struct set *set, struct part *part)
{
    const struct barretter *b = part->data;
    thermistor_stamp(set, part, &b->law, b->from, b->to,
                     set->ambient + (b->middle - LAWS_ROOM) * exp(-RESTART / b->seconds),
                     b->condition);
    if (b->condition != THERMISTOR_GOOD) return;
    kind_rate(set, part, "range",
              (struct rating){.subject = part->name,
                              .measure = MEASURE_RMS_VOLTAGE,
                              .limit = b->most,
                              .harm = HARM_BARRETTER_VOLTS});
}

static const struct part_fault faults[] = {
    {.name = "open", .says = "its wire has burnt through: no heater of the string glows"},
    {.name = "shorted",
     .says = "bridged: the heaters of the string get its voltage as well",
     .dangerous = true},
    {.name = NULL},
};

const struct part_kind kind_barretter = {
    .name = "barretter",
    .says = "an iron wire in hydrogen that holds the current of a heater string",
    .example = "B1: {is: barretter, across: [line, string 1], type: barretter 303}",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .roles = ROLE_LIMITER,
    .faults = faults,
};
