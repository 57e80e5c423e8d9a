/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A vacuum section is a port that its cathode's temperature governs; all others are straight lines
 * above a threshold. */
#include <math.h>

#include "emission.h"
#include "kinds.h"
#include "rectifier.h"

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

static int stamp_straight(struct set *set, const struct part *part, int k, const char *role,
                          int emitter)
{
    const struct rectifier *r = part->data;
    struct circuit *c = set->circuit;
    int e = circuit_rectifier(c, part->name, role, r->plate[k], r->cathode[k], r->threshold,
                              r->slope, r->start);
    if (emitter >= 0) { /* mercury must have evaporated */
        c->elements.at[e].ready_state = emitter;
        c->elements.at[e].ready_value = 0.9 * EMISSION_RATED_KELVIN;
    }
    return e;
}

/* One section; returns its element, -1 when it is dead. */
static int stamp_section(struct set *set, const struct part *part, int k, int emitter)
{
    const struct rectifier *r = part->data;
    const char *role = k ? "plate 2" : "plate 1", *subject = rectifier_subject(set, part, k);
    const double failed = 1; /* ohms of a shorted section (common practice, no source) */
    int e;
    if (r->condition == RECTIFIER_OPEN || (r->condition == ONE_PLATE_DEAD && k == 1)) return -1;
    if (r->condition == RECTIFIER_SHORTED && k == 0)
        e = circuit_resistor(set->circuit, part->name, "short", r->plate[k], r->cathode[k], failed);
    else if (r->law == VACUUM) e = stamp_vacuum(set, part, k, role, emitter);
    else e = stamp_straight(set, part, k, role, emitter);
    circuit_subject(set->circuit, e, subject);
    kind_probe_volts(set, subject, r->cathode[k], r->plate[k], PROBE_RECTIFIER);
    kind_probe_amperes(set, subject, PROBE_RECTIFIER | PROBE_WATCHED, &e, 1);
    return e;
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
                     pins->volts, pins->volts);
    return true;
}

void rectifier_stamp(struct set *set, struct part *part)
{
    const struct rectifier *r = part->data;
    int emitter, element[2] = {-1, -1};
    if (!stamp_heater(set, part, &emitter)) return;
    for (int k = 0; k < r->sections; k++) element[k] = stamp_section(set, part, k, emitter);
    if (r->sections == 2) kind_probe_amperes(set, part->name, PROBE_OTHER, element, 2);
    rectifier_rate(set, part);
}
