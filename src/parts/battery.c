/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A steady voltage behind a resistance. */
#include "kinds.h"

struct battery {
    int from, to; /* plus, minus */
    double volts, ohms;
};

static const struct key keys[] = {
    {"across", "two points, plus first", KEY_NEEDED | KEY_LIST},
    {"voltage", "volts, e.g. 6.3 V", KEY_NEEDED | KEY_SHOWN},
    {"resistance", "ohms inside", 0},
    {NULL, NULL, 0},
};

static void read(struct set *set, struct part *part)
{
    struct battery *b = ARENA_NEW(set->arena, struct battery);
    part->data = b;
    b->ohms = 0.05;
    part_across(set, part, &b->from, &b->to);
    part_value(set, part, "voltage", UNIT_VOLT, 0, &b->volts);
    if (part_value(set, part, "resistance", UNIT_OHM, 0, &b->ohms)) return;
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "resistance",
                                        .value = b->ohms,
                                        .low = 0.01,
                                        .high = 0.3,
                                        .unit = UNIT_OHM,
                                        .basis = "a storage battery with its leads; common "
                                                 "practice, no source",
                                        .known_by = KNOWN_BY_DROP_UNDER_LOAD});
}

static void stamp(struct set *set, struct part *part)
{
    const struct battery *b = part->data;
    struct circuit *c = set->circuit;
    int cell = b->ohms > 0 ? circuit_inner(c, part->name, "cell") : b->from;
    int e = circuit_source(c, part->name, "cell", cell, b->to,
                           (struct waveform){.kind = WAVEFORM_STEADY, .peak = b->volts});
    if (b->ohms > 0) e = circuit_resistor(c, part->name, "resistance", b->from, cell, b->ohms);
    kind_probe_volts(set, part->name, b->from, b->to, PROBE_OTHER);
    kind_probe_amperes(set, part->name, PROBE_OTHER, &e, 1);
}

static double volts(const struct part *part)
{
    const struct battery *b = part->data;
    return b->volts;
}

static double inside(const struct part *part)
{
    const struct battery *b = part->data;
    return b->ohms;
}

static bool has_ohms(const struct set *set, const struct part *part)
{
    (void)set;
    return inside(part) > 0;
}

static const struct part_fault faults[] = {
    {.name = "weak",
     .says = "its resistance has risen: right without load, low with the set on",
     .keyed = true,
     .severity =
         {.key = "resistance", UNIT_PERCENT, 2, 50, 10, inside, UNIT_OHM, "its resistance inside"},
     .can = has_ohms},
    {.name = "flat",
     .says = "run down: its voltage has fallen",
     .keyed = true,
     .severity = {.key = "voltage", UNIT_PERCENT, 0.5, 0.95, 0.8, volts, UNIT_VOLT, "its voltage"}},
    {.name = NULL},
};

const struct part_kind kind_battery = {
    .name = "battery",
    .says = "a battery",
    .example = "B battery: {is: battery, across: [B+, chassis], voltage: 90 V,\n"
               "  resistance: 8 ohm}",
    .keys = keys,
    .read = read,
    .roles = ROLE_SOURCE,
    .volts = volts,
    .stamp = stamp,
    .order = 20,
    .faults = faults,
};
