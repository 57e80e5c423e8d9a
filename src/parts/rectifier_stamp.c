/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A vacuum section is a port that its cathode's temperature governs; all others are straight lines
 * above a threshold, a soft tube's too: an arc one way and, past the volts at which it fires back,
 * one the other way. */
#include <math.h>
#include <string.h>

#include "emission.h"
#include "kinds.h"
#include "rectifier.h"

/* Gas that conducted a moment ago needs no starting voltage: sheets that ask for 300 V at the first
 * start promise 300 V of output from a plate's 440 V, so restarts must come at far less (derived);
 * for how long is an estimate: a period of slow mains [s]. */
#define GLOWS 0.02

const char *rectifier_subject(const struct set *set, const struct part *part, int section)
{
    const struct rectifier *r = part->data;
    return r->sections == 1 ? part->name
                            : arena_printf(set->arena, "%s.%d", part->name, section + 1);
}

static int stamp_vacuum(struct set *set, const struct part *part, int k, const char *role,
                        int emitter)
{
    const struct rectifier *r = part->data;
    struct circuit *c = set->circuit;
    struct diode_law *law = ARENA_NEW(set->arena, struct diode_law);
    *law = (struct diode_law){
        .perveance = r->perveance, .emission = r->emission, .heated = emitter >= 0};
    int device = circuit_device(c, part->name, role, &law_diode, law);
    if (emitter >= 0) circuit_foreign(c, device, emitter);
    return circuit_port(c, device, role, r->plate[k], r->cathode[k], PORT_GATED);
}

/* Mercury must have evaporated, and a soft tube's cathode be hot. */
static void wait_for(struct circuit *c, int e, int emitter)
{
    if (emitter < 0) return;
    c->elements.at[e].ready_state = emitter;
    c->elements.at[e].ready_value = 0.9 * EMISSION_RATED_KELVIN;
}

static int stamp_straight(struct set *set, const struct part *part, int k, const char *role,
                          int emitter)
{
    const struct rectifier *r = part->data;
    int e = circuit_rectifier(set->circuit, part->name, role, r->plate[k], r->cathode[k],
                              r->threshold, r->slope, r->start);
    wait_for(set->circuit, e, emitter);
    if (r->start > r->threshold) set->circuit->elements.at[e].glows = GLOWS;
    return e;
}

/* Slope and ignition as of mercury: estimates without a source. A backward arc needs no hot
 * cathode. */
static int stamp_soft(struct set *set, const struct part *part, int k, const char *role,
                      int emitter)
{
    const struct rectifier *r = part->data;
    const char *back = arena_printf(set->arena, "%s.back", rectifier_subject(set, part, k));
    const double slope = 1;
    int e = circuit_rectifier(set->circuit, part->name, role, r->plate[k], r->cathode[k], r->arc,
                              slope, r->arc + 1);
    wait_for(set->circuit, e, emitter);
    if (isinf(r->fires_back)) return e;
    int b = circuit_rectifier(set->circuit, part->name, arena_printf(set->arena, "%s back", role),
                              r->cathode[k], r->plate[k], r->arc, slope, r->fires_back);
    circuit_subject(set->circuit, b, back);
    kind_probe_amperes(set, back, PROBE_OTHER, &b, 1);
    return e;
}

/* One section; returns its element, -1 when it is dead. */
static int stamp_section(struct set *set, const struct part *part, int k, int emitter)
{
    const struct rectifier *r = part->data;
    const char *role = k ? "plate 2" : "plate 1", *subject = rectifier_subject(set, part, k);
    bool failed = k == r->failed;
    int e;
    if (r->condition == RECTIFIER_OPEN || (r->condition == ONE_PLATE_DEAD && failed)) return -1;
    if (r->condition == RECTIFIER_SHORTED && failed)
        e = circuit_resistor(set->circuit, part->name, "short", r->plate[k], r->cathode[k],
                             r->bridge);
    else if (r->condition == RECTIFIER_SOFT) e = stamp_soft(set, part, k, role, emitter);
    else if (r->law == VACUUM) e = stamp_vacuum(set, part, k, role, emitter);
    else e = stamp_straight(set, part, k, role, emitter);
    circuit_subject(set->circuit, e, subject);
    kind_probe_volts(set, subject, r->cathode[k], r->plate[k], PROBE_RECTIFIER);
    kind_probe_amperes(set, subject, PROBE_RECTIFIER | PROBE_WATCHED, &e, 1);
    return e;
}

/* From the cathode of the first section to a pin of the heater: everything that flows there flows
 * on through whatever that pin hangs on. */
static void stamp_heater_short(struct set *set, const struct part *part)
{
    const struct rectifier *r = part->data;
    const char *pin = part->heaters[0].from, *subject;
    bool found = !r->short_to;
    for (int i = 0; i < part->heater_count && r->short_to; i++)
        found |= strcmp(part->heaters[i].from, r->short_to) == 0 ||
                 strcmp(part->heaters[i].to, r->short_to) == 0;
    if (!found)
        part_complain(set, part, "short to",
                      arena_printf(set->arena, "its heater lies between `%s` and `%s`", pin,
                                   part->heaters[0].to),
                      "%s: `%s` is no pin of its heater", part->name, r->short_to);
    if (r->short_to) pin = r->short_to;
    subject = arena_printf(set->arena, "%s.short", part->name);
    int e = circuit_resistor(set->circuit, part->name, "heater-cathode short", r->cathode[0],
                             circuit_point(set->circuit, pin), r->bridge);
    circuit_subject(set->circuit, e, subject);
    kind_probe_amperes(set, subject, PROBE_OTHER, &e, 1);
}

/* False with a complaint when a rectifier that needs a heater has none. */
static bool stamp_heater(struct set *set, struct part *part, int *emitter)
{
    const struct rectifier *r = part->data;
    *emitter = -1;
    if (!r->heated || r->always_hot) return true;
    heater_settle(part);
    if (part->heater_count < 1 || part->heater_count > 2) {
        part_complain(set, part, "heated by",
                      "name the winding in `heated by:`, add a heater part `of: ` it, or write "
                      "`heated by: always hot`",
                      part->heater_count ? "%s: a cathode has at most two heater sections"
                                         : "%s: nothing heats it",
                      part->name);
        return false;
    }
    const struct heater_pins *pins = &part->heaters[0];
    *emitter = heater_of_pins(set, part, 0, part->heater_count, "heater", r->heating);
    if (!pins->part)
        heater_watch(set, arena_printf(set->arena, "%s.heater", part->name),
                     circuit_point(set->circuit, pins->from), circuit_point(set->circuit, pins->to),
                     (struct heater_extreme){pins->volts, part_type(part)},
                     (struct heater_extreme){pins->volts, part_type(part)});
    return true;
}

void rectifier_stamp(struct set *set, struct part *part)
{
    const struct rectifier *r = part->data;
    int emitter, element[2] = {-1, -1};
    if (!stamp_heater(set, part, &emitter)) return;
    for (int k = 0; k < r->sections; k++) element[k] = stamp_section(set, part, k, emitter);
    if (r->sections == 2) kind_probe_amperes(set, part->name, PROBE_OTHER, element, 2);
    if (r->condition == HEATER_SHORTED && part->heater_count > 0) stamp_heater_short(set, part);
    rectifier_rate(set, part);
}
