/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One element. A shorted resistor is one of no ohms, an open one is left out. */
#include <math.h>

#include "kinds.h"

enum { GOOD, OPEN, SHORTED };

struct resistor {
    int from, to;
    double ohms;
    double watts; /* rated; 0: not known */
    int condition;
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED | KEY_LIST},
    {"resistance", "ohms, e.g. 330 ohm", KEY_NEEDED | KEY_SHOWN},
    {"rated", "watts, e.g. 5 W", KEY_SHOWN},
    {"condition", "good, open or shorted", KEY_WORDS},
    {NULL, NULL, 0},
};

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good", "open", "shorted", NULL};
    struct resistor *r = ARENA_NEW(set->arena, struct resistor);
    part->data = r;
    part_across(set, part, &r->from, &r->to);
    part_value(set, part, "resistance", UNIT_OHM, 0, &r->ohms);
    part_value(set, part, "rated", UNIT_WATT, 0, &r->watts);
    r->condition = kind_condition(set, part, conditions, NULL);
}

static void stamp(struct set *set, struct part *part)
{
    const struct resistor *r = part->data;
    if (r->condition == OPEN) return;
    double ohms = r->condition == SHORTED ? 0 : r->ohms;
    int e = circuit_resistor(set->circuit, part->name, "resistance", r->from, r->to, ohms);
    kind_probe_volts(set, part->name, r->from, r->to, PROBE_OTHER);
    kind_probe_amperes(set, part->name, PROBE_OTHER, &e, 1);
    if (r->watts > 0)
        kind_rate(set, part, "rated",
                  (struct rating){.subject = part->name,
                                  .measure = MEASURE_DISSIPATION,
                                  .limit = r->watts,
                                  .harm = HARM_RESISTOR_WATTS});
}

static double ohms(const struct part *part, double volts)
{
    const struct resistor *r = part->data;
    (void)volts;
    return r->ohms;
}

static double present(const struct part *part)
{
    return part_ohms(part, 0);
}

static const struct part_fault faults[] = {
    {.name = "drifted",
     .says = "its resistance is no longer what is printed on it",
     .keyed = true,
     .severity = {.key = "resistance", UNIT_PERCENT, 0.5, 5, 1.5, present, UNIT_OHM, "its value"}},
    {.name = "open", .says = "it no longer conducts"},
    {.name = "shorted", .says = "bridged by what lies beside it", .dangerous = true},
    {.name = NULL},
};

const struct part_kind kind_resistor = {
    .name = "resistor",
    .says = "a fixed resistor",
    .example = "R9: {is: resistor, across: [first filter, B+], resistance: 1500 ohm,\n"
               "  rated: 5 W}",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .plain_key = "resistance",
    .roles = ROLE_RESISTOR,
    .ohms = ohms,
    .faults = faults,
};
