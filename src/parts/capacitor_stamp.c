/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A capacitor in the circuit: series resistance, then capacitance with its leakage and whatever
 * conducts beside it; a short lies outside. A shorted part keeps its capacitance, so that its
 * charge has somewhere to go when it fails during a run. */
#include <math.h>

#include "capacitor.h"
#include "kinds.h"

/* The surge voltage held against the highest voltage; where none is customary, the working one. */
static void rate_surge(struct set *set, const struct part *part, const struct capacitor *c)
{
    struct rating r = {.subject = part->name,
                       .measure = MEASURE_HIGHEST_VOLTAGE,
                       .limit = c->surge,
                       .system = "",
                       .says = "it is driven over its surge voltage, if only for a moment"};
    if (c->surge > 0) {
        kind_rate(set, part, "surge", r);
        return;
    }
    double ratio = 1;
    r.source = "its working voltage; no surge voltage is customary for this make";
    if (c->make == MAKE_MODERN) {
        ratio = c->rated > 315 ? 1.10 : 1.15;
        r.source = "surge 1.10 times rated above 315 V, 1.15 times below: IEC 60384-4, from memory";
    } else if (capacitor_electrolytic(c)) {
        ratio = 525.0 / 450;
        r.source = "surge 525 V customary for old parts of 450 V, from memory";
    }
    r.limit = ratio * c->rated;
    set_rate(set, r);
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "surge",
                                        .value = r.limit,
                                        .low = c->rated,
                                        .high = r.limit,
                                        .unit = UNIT_VOLT,
                                        .basis = r.source,
                                        .measure = "printed on some cans, else in the data sheet"});
}

static void rate(struct set *set, const struct part *part, const struct capacitor *c)
{
    if (c->rated > 0) {
        kind_rate(set, part, "rated",
                  (struct rating){.subject = part->name,
                                  .measure = MEASURE_SETTLED_VOLTAGE,
                                  .limit = c->rated,
                                  .says = "it stands over its working voltage as long as the set "
                                          "is on"});
        rate_surge(set, part, c);
    }
    if (c->ripple > 0)
        kind_rate(set, part, "ripple rating",
                  (struct rating){.subject = part->name,
                                  .measure = MEASURE_RMS_CURRENT,
                                  .limit = c->ripple,
                                  .says = "its ripple current heats it beyond its rating (the "
                                          "rating's factor for other frequencies is not applied)"});
    if (capacitor_electrolytic(c))
        set_rate(set, (struct rating){.subject = part->name,
                                      .measure = MEASURE_LOWEST_VOLTAGE,
                                      .limit = -1,
                                      .at_least = true,
                                      .source = "reverse voltage at most 1 V, Vishay doc. 28329",
                                      .system = "",
                                      .says = "it is reversed: an electrolytic heats, vents or "
                                              "shorts when its plus is negative"});
}

/* --- the can -------------------------------------------------------------------------------- */

static void rate_can(struct set *set, const struct part *part, const struct capacitor *c)
{
    const struct can_law *law = &c->can->law;
    const char *basis;
    double kelvin = capacitor_warmth_limit(c, &basis);
    set_rate(set, (struct rating){.subject = c->can->name,
                                  .measure = MEASURE_TEMPERATURE,
                                  .limit = kelvin,
                                  .source = basis,
                                  .system = "",
                                  .says = "its can gets hotter than such a part lives with"});
    if (isinf(c->leakage) || c->growth <= 0) return;
    set_rate(set, (struct rating){.subject = part->name,
                                  .measure = MEASURE_DISSIPATION,
                                  .limit = 1 / (c->growth * law->thermal_resistance),
                                  .source = "heat balance of its can with a leakage that grows as "
                                            "stated",
                                  .system = "",
                                  .says = "so much leakage heat no can of its size sheds: it gets "
                                          "hotter and leaks more until it vents or shorts"});
}

static void stamp_can(struct set *set, const struct part *part, const struct capacitor *c)
{
    struct capacitor_can *can = c->can;
    if (can->device < 0) {
        double ambient = can->law.ambient;
        can->device = circuit_device(set->circuit, can->name, "can", &law_can, &can->law);
        can->state = circuit_state(
            set->circuit, can->device, "T",
            (struct state){.cold = ambient, .hot = ambient, .range = 100, .is_temperature = true});
    }
    rate_can(set, part, c);
}

/* A port of the can in this part: its heat is told as the part's. */
static int stamp_port(struct set *set, const struct part *part, const struct capacitor *c,
                      const char *role, int from, int to, struct can_port port)
{
    struct can_law *law = &c->can->law;
    int e = circuit_port(set->circuit, c->can->device, role, from, to, PORT_BASED);
    set->circuit->elements.at[e].part = set->circuit->elements.at[e].subject = part->name;
    law->port[law->ports++] = port;
    return e;
}

/* --- ways of current ------------------------------------------------------------------------ */

/* Elements whose currents add up to that of the part. */
struct ways {
    int at[8];
    int n;
};

static void stamp_leakage(struct set *set, const struct part *part, const struct capacitor *c,
                          int plates, struct ways *ways)
{
    struct circuit *circuit = set->circuit;
    struct can_port port = {.knees = c->knees};
    if (isfinite(c->leakage)) {
        port.siemens = 1 / c->leakage;
        port.growth = c->growth;
        ways->at[ways->n++] =
            circuit_resistor(circuit, part->name, "leakage", plates, c->to, c->leakage);
        circuit->elements.at[ways->at[ways->n - 1]].assumed = c->leak_assumed;
    }
    for (int k = 0; k < c->knees; k++) {
        double volts = c->knee[k].volts, ohms = c->knee[k].ohms;
        port.knee[k].volts = volts;
        port.knee[k].ohms = ohms;
        ways->at[ways->n++] = circuit_rectifier(circuit, part->name, c->knee[k].role, plates, c->to,
                                                volts, ohms, volts);
    }
    if (c->can && (port.siemens > 0 || port.knees > 0))
        ways->at[ways->n++] = stamp_port(set, part, c, "warming", plates, c->to, port);
}

/* A short that comes about by itself, of its own ohms. */
static void stamp_trip(struct set *set, const struct part *part, const struct capacitor *c,
                       const char *role, int state, double value, struct ways *ways)
{
    struct circuit *circuit = set->circuit;
    int inner = circuit_inner(circuit, part->name, role);
    ways->at[ways->n++] = circuit_resistor(
        circuit, part->name, arena_printf(set->arena, "%s short", role), c->from, inner, c->bridge);
    circuit_trip(circuit, part->name, role, inner, c->to, false, state, value);
}

static void stamp_shorts(struct set *set, const struct part *part, const struct capacitor *c,
                         struct ways *ways)
{
    if (c->condition == CAPACITOR_SHORTED)
        ways->at[ways->n++] =
            circuit_resistor(set->circuit, part->name, "short", c->from, c->to, c->bridge);
    if (isfinite(c->shorts_at)) stamp_trip(set, part, c, "timed", -1, c->shorts_at, ways);
    if (isfinite(c->shorts_above))
        stamp_trip(set, part, c, "hot", c->can->state, c->shorts_above, ways);
}

void capacitor_stamp(struct set *set, struct part *part)
{
    const struct capacitor *c = part->data;
    struct circuit *circuit = set->circuit;
    if (c->condition == CAPACITOR_OPEN) return;
    struct ways inner = {.n = 0}, ways = {.n = 0};
    int at = c->from;
    if (c->can) stamp_can(set, part, c);
    if (c->series > 0) {
        at = circuit_inner(circuit, part->name, "plates");
        ways.at[ways.n++] = circuit_resistor(circuit, part->name, "series", c->from, at, c->series);
        if (c->can)
            stamp_port(set, part, c, "series heat", c->from, at,
                       (struct can_port){.siemens = 1 / c->series});
    }
    int plates = circuit_capacitor(circuit, part->name, "capacitance", at, c->to, c->farads);
    circuit->elements.at[plates].initial = c->initial;
    inner.at[inner.n++] = plates;
    stamp_leakage(set, part, c, at, &inner);
    if (ways.n == 0) ways = inner;
    stamp_shorts(set, part, c, &ways);
    unsigned flags = PROBE_CAPACITOR | PROBE_WATCHED;
    bool reversed = c->condition == CAPACITOR_REVERSED;
    kind_probe_volts(set, part->name, reversed ? c->to : c->from, reversed ? c->from : c->to,
                     flags);
    kind_probe_amperes(set, part->name, flags, ways.at, ways.n);
    rate(set, part, c);
}
