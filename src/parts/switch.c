/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Closed it is a short, open it is nothing; timed changes turn it over. One that is stuck, or does
 * not close, takes no notice of them. */
#include "kinds.h"

enum { GOOD, DIRTY, OPEN, STUCK };

struct contact {
    int from, to;
    bool closed;
    double ohms; /* of its contacts */
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED | KEY_LIST},
    {"state", "closed or open", KEY_NEEDED | KEY_WORDS},
    {"condition", "good, dirty contacts, does not close or stuck closed", KEY_WORDS},
    {"contact resistance", "dirty contacts: ohms, e.g. 3 ohm", 0},
    {NULL, NULL, 0},
};

static void read(struct set *set, struct part *part)
{
    static const char *const states[] = {"closed", "open", NULL};
    static const char *const conditions[] = {"good", "dirty contacts", "does not close",
                                             "stuck closed", NULL};
    struct contact *s = ARENA_NEW(set->arena, struct contact);
    part->data = s;
    part_across(set, part, &s->from, &s->to);
    s->closed = part_word(set, part, "state", states) == 0;
    int condition = kind_condition(set, part, conditions, NULL);
    kind_stray(set, part, "contact resistance", conditions[DIRTY]);
    if (condition == DIRTY)
        s->ohms = fault_severity(set, part, 0, "common practice, no source", KNOWN_BY_OHMS_ACROSS);
    if (condition == OPEN || condition == STUCK) s->closed = condition == STUCK;
}

static void stamp(struct set *set, struct part *part)
{
    const struct contact *s = part->data;
    struct circuit *c = set->circuit;
    int inner = s->ohms > 0 ? circuit_inner(c, part->name, "contact") : s->to;
    int e = circuit_switch(c, part->name, "contact", s->from, inner, s->closed);
    if (s->ohms > 0) circuit_resistor(c, part->name, "contacts", inner, s->to, s->ohms);
    kind_probe_volts(set, part->name, s->from, s->to, PROBE_OTHER);
    kind_probe_amperes(set, part->name, PROBE_OTHER, &e, 1);
}

static const struct part_fault faults[] = {
    {.name = "dirty contacts",
     .says = "they have burnt: their resistance drops voltage and gets warm",
     .severity = {.key = "contact resistance", UNIT_OHM, 0.2, 50, 3}},
    {.name = "does not close", .says = "it conducts in no position"},
    {.name = "stuck closed",
     .says = "its contacts have welded: the set stays on when it is switched off",
     .dangerous = true},
    {.name = NULL},
};

const struct part_kind kind_switch = {
    .name = "switch",
    .says = "a switch",
    .example = "S1: {is: switch, across: [line, line 2], state: closed}",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .roles = ROLE_SWITCH,
    .faults = faults,
};
