/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What can be wrong with a winding. Shorted turns are bypassed by their contact: they no longer
 * help the winding, and draw from the core what their volts drive through their own copper and
 * the contact. */
#include <math.h>
#include <string.h>

#include "kinds.h"
#include "numbers.h"
#include "transformer.h"

static const char *const conditions[] = {"good", "shorted turns", "one half open",
                                         "winding grounded", NULL};

/* Keys that belong to some conditions only. */
static const struct {
    const char *key;
    unsigned with; /* bits of enum fault_kind */
} owned[] = {
    {"winding", 1 << FAULT_SHORTED_TURNS | 1 << FAULT_HALF_OPEN | 1 << FAULT_GROUNDED},
    {"turns", 1 << FAULT_SHORTED_TURNS},
    {"contact", 1 << FAULT_SHORTED_TURNS | 1 << FAULT_GROUNDED},
    {"half", 1 << FAULT_SHORTED_TURNS | 1 << FAULT_HALF_OPEN},
    {"at", 1 << FAULT_GROUNDED},
    {"to", 1 << FAULT_GROUNDED},
};

/* Index of the winding of that name. */
static int find(struct set *set, const struct part *part, const struct transformer *t,
                const char *name)
{
    for (int k = 0; k < t->windings; k++)
        if (strcmp(t->winding[k].name, name) == 0) return k;
    const char *names = "";
    for (int k = 0; k < t->windings; k++)
        names = arena_printf(set->arena, "%s%s`%s`", names, k ? ", " : "", t->winding[k].name);
    part_complain(set, part, "winding", arena_printf(set->arena, "it has %s", names),
                  "%s has no winding `%s`", part->name, name);
    return 0;
}

static int high_voltage(const struct transformer *t)
{
    for (int k = 0; k < t->windings; k++)
        if (transformer_feeds_plates(t, &t->winding[k])) return k;
    return 0;
}

static bool has_named(const struct set *set, const struct part *part)
{
    const struct transformer *t = part->data;
    (void)set;
    return t->windings > 0 && t->winding[high_voltage(t)].named;
}

/* 10 Mohm let next to nothing through, and the windings keep their names for what they heat. */
const struct part_fault transformer_faults[] = {
    {.name = "shorted turns",
     .says = "turns of a winding touch: it heats, and draws watts with all tubes out",
     .says_uk = "turns of a winding touch: it heats, and draws watts with all valves out",
     .dangerous = true,
     .severity = {.key = "turns", UNIT_PERCENT, 0.002, 0.2, 0.05}},
    {.name = "one half open", .says = "the high voltage, or one half of it, is broken"},
    {.name = "winding grounded",
     .says = "a winding touches core or chassis",
     .dangerous = true,
     .severity = {.key = "at", UNIT_PERCENT, 0, 1, 0.25},
     .can = has_named},
    {.name = "open primary",
     .says = "its primary is broken",
     .keyed = true,
     .keys = {{.key = "primary.resistance", .word = "10 Mohm"}}},
    {.name = NULL},
};

/* Which half, from 0; the first when not said. */
static int read_half(struct set *set, const struct part *part, const struct winding *w)
{
    double half = 1;
    if (!part_value(set, part, "half", UNIT_NUMBER, 1, &half)) return 0;
    if (half == 1 || half == w->halves) return (int)half - 1;
    part_complain(set, part, "half", w->halves == 2 ? "write 1 or 2" : NULL,
                  w->halves == 2 ? "%s: the winding `%s` has two halves"
                                 : "%s: the winding `%s` has no tap, so only one half",
                  part->name, w->name);
    return 0;
}

static double volts(const struct winding *w)
{
    return w->half[0].volts + (w->halves > 1 ? w->half[1].volts : 0);
}

static void read_contact(struct set *set, const struct part *part, struct fault *f)
{
    if (part_value(set, part, "contact", UNIT_OHM, 0, &f->contact)) return;
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "contact",
                                        .high = 10,
                                        .unit = UNIT_OHM,
                                        .basis = "metal to metal, the worst; no source",
                                        .guess = true});
}

static void read_turns(struct set *set, const struct part *part, const struct winding *w,
                       struct fault *f)
{
    double turns =
        fault_severity(set, part, 1e-6, "about one layer of twenty; common practice, no source",
                       KNOWN_BY_LINE_WATTS_TUBES_OUT);
    f->half = read_half(set, part, w);
    f->turns = turns * volts(w) / w->half[f->half].volts;
    if (f->turns < 1) return;
    part_complain(set, part, "turns",
                  w->halves == 2 ? "the share is of the whole winding; they lie in one half" : NULL,
                  "%s: not all turns of %s `%s` can be shorted", part->name,
                  w->halves == 2 ? "a half of" : "the winding", w->name);
    f->turns = 0.5;
}

static void read_ground(struct set *set, const struct part *part, const struct winding *w,
                        struct fault *f)
{
    if (!w->named)
        part_complain(set, part, "winding",
                      "write its `across:`, with the point of the cathode when it heats one",
                      "%s: nothing is joined to the ends of the winding `%s`", part->name, w->name);
    const char *to = part_name(set, part, "to");
    f->to = circuit_point(set->circuit, to ? to : set->circuit->reference);
    double place = w->half[0].from == f->to;
    if (!part_value(set, part, "at", UNIT_PERCENT, 0, &place) && !part_node(part, "at"))
        set_assume(set, (struct assumption){.part = part->name,
                                            .key = "at",
                                            .value = place,
                                            .high = 1,
                                            .unit = UNIT_PERCENT,
                                            .basis = "its free end; no source",
                                            .guess = true});
    if (place > 1)
        part_complain(set, part, "at", "write 0 % to 100 %", "%s: that is outside the winding",
                      part->name);
    double along = place * volts(w);
    f->half = w->halves == 2 && along > w->half[0].volts;
    f->place = (along - (f->half ? w->half[0].volts : 0)) / w->half[f->half].volts;
    const struct half *h = &w->half[f->half];
    if ((f->place <= 1e-9 && h->from == f->to) || (f->place >= 1 - 1e-9 && h->to == f->to))
        part_complain(set, part, part_node(part, "at") ? "at" : "condition",
                      "name another place, e.g. `at: 25 %`",
                      "%s: the winding `%s` is joined to `%s` at that place as built", part->name,
                      w->name, set->circuit->points.at[f->to]);
}

/* A key of another condition would be passed over unnoticed. */
static void check_keys(struct set *set, const struct part *part, enum fault_kind kind)
{
    for (size_t i = 0; i < sizeof owned / sizeof owned[0]; i++)
        if (node_get(part->own, owned[i].key) && !(owned[i].with >> kind & 1))
            part_complain(set, part, owned[i].key,
                          kind ? NULL : "write the condition too, e.g. `condition: shorted turns`",
                          "%s: `%s` says nothing about a transformer that is `%s`", part->name,
                          owned[i].key, conditions[kind]);
}

void transformer_read_fault(struct set *set, const struct part *part, struct transformer *t)
{
    struct fault *f = &t->fault;
    f->kind = (enum fault_kind)kind_condition(set, part, conditions, NULL);
    check_keys(set, part, f->kind);
    if (!f->kind || t->windings == 0) return;
    const char *name = part_name(set, part, "winding");
    f->winding = name ? find(set, part, t, name) : high_voltage(t);
    const struct winding *w = &t->winding[f->winding];
    if (f->kind == FAULT_HALF_OPEN) f->half = read_half(set, part, w);
    if (f->kind == FAULT_SHORTED_TURNS) read_turns(set, part, w, f);
    if (f->kind == FAULT_GROUNDED) read_ground(set, part, w, f);
    if (f->kind != FAULT_HALF_OPEN) read_contact(set, part, f);
}
