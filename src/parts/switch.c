/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Closed it is a short, open it is nothing; timed changes turn it over. */
#include "kinds.h"

struct contact {
    int from, to;
    bool closed;
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED},
    {"state", "closed or open", KEY_NEEDED},
    {NULL, NULL, 0},
};

static void read(struct set *set, struct part *part)
{
    static const char *const states[] = {"closed", "open", NULL};
    struct contact *s = ARENA_NEW(set->arena, struct contact);
    part->data = s;
    part_across(set, part, &s->from, &s->to);
    s->closed = part_word(set, part, "state", states) == 0;
}

static void stamp(struct set *set, struct part *part)
{
    const struct contact *s = part->data;
    int e = circuit_switch(set->circuit, part->name, "contact", s->from, s->to, s->closed);
    kind_probe_volts(set, part->name, s->from, s->to, PROBE_OTHER);
    kind_probe_amperes(set, part->name, PROBE_OTHER, &e, 1);
}

const struct part_kind kind_switch = {
    .name = "switch",
    .says = "a switch",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .roles = ROLE_SWITCH,
};
