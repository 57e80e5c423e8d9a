/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The keys of a failing rectifier, each with the conditions it belongs to, and which kinds of
 * rectifier can fail in which way. */
#include <math.h>

#include "kinds.h"
#include "numbers.h"
#include "rectifier.h"
#include "tongue.h"

/* --- as a table ----------------------------------------------------------------------------- */

static bool can_weaken(const struct set *set, const struct part *part)
{
    const struct rectifier *r = part->data;
    (void)set;
    return r->law == VACUUM && !r->always_hot && !part_node(part, "emission");
}

static bool is_vacuum(const struct set *set, const struct part *part)
{
    const struct rectifier *r = part->data;
    (void)set;
    return r->law == VACUUM;
}

static bool has_two_plates(const struct set *set, const struct part *part)
{
    (void)set;
    return part_is(part, ROLE_TWO_PLATES);
}

static bool has_sleeve(const struct set *set, const struct part *part)
{
    const struct rectifier *r = part->data;
    (void)set;
    return r->law == VACUUM && r->heating.indirect && !r->always_hot;
}

const struct part_fault rectifier_faults[] = {
    {.name = "weak",
     .says = "its cathode gives less current than it should",
     .severity = {.key = "emission left", UNIT_PERCENT, 0.05, 0.8, 0.4},
     .can = can_weaken},
    {.name = "one plate dead",
     .says = "one plate no longer conducts",
     .says_uk = "one anode no longer conducts",
     .can = has_two_plates},
    {.name = "open", .says = "it no longer conducts"},
    {.name = "shorted",
     .says = "one plate touches the cathode, or its diode is a short",
     .says_uk = "one anode touches the cathode, or its diode is a short",
     .dangerous = true,
     .severity = {.key = "short resistance", UNIT_OHM, 0, 50, 1}},
    {.name = "gas",
     .says = "air has got in: it arcs instead of conducting",
     .dangerous = true,
     .severity = {.key = "arc", UNIT_VOLT, 10, 25, 15},
     .can = is_vacuum},
    {.name = "heater-cathode short",
     .says = "its heater touches the sleeve of its cathode",
     .dangerous = true,
     .overloads = true,
     .severity = {.key = "short resistance", UNIT_OHM, 0, 1000, 10},
     .can = has_sleeve},
    {.name = NULL},
};

/* --- reading -------------------------------------------------------------------------------- */

/* A key of one or two conditions that stands without any `condition` would be passed over. */
static void check_strays(struct set *set, const struct part *part)
{
    static const struct {
        const char *key, *condition;
    } rows[] = {
        {"emission left", "weak"},
        {"perveance left", "weak"},
        {"plate", "one plate dead"},
        {"arc", "gas"},
        {"fires back at", "gas"},
        {"short resistance", "shorted"},
        {"short to", "heater-cathode short"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        kind_stray(set, part, rows[i].key, rows[i].condition);
}

static void check_share(struct set *set, const struct part *part, const char *key, double *share)
{
    if (!part_value(set, part, key, UNIT_PERCENT, 1e-3, share) || *share <= 1) return;
    part_complain(set, part, key, NULL, "%s: it cannot have more than 100 %% left", part->name);
}

static void read_weak(struct set *set, const struct part *part, struct rectifier *r)
{
    double left = 1;
    if (r->law != VACUUM || r->always_hot)
        part_complain(set, part, "condition", NULL,
                      US_UK("%s: only a vacuum tube with a heater can be weak",
                            "%s: only a vacuum valve with a heater can be weak"),
                      part->name);
    if (part_node(part, "emission") && part_node(part, "emission left"))
        part_complain(set, part, "emission left", "keep one of them",
                      "%s: `emission` and `emission left` exclude each other", part->name);
    check_share(set, part, "emission left", &left);
    left = 1;
    check_share(set, part, "perveance left", &left);
    r->perveance *= left;
}

static void read_failed(struct set *set, const struct part *part, struct rectifier *r)
{
    double number = r->failed + 1;
    part_value(set, part, "plate", UNIT_NUMBER, 1, &number);
    if (number != 1 && number != 2)
        part_complain(set, part, "plate", "write `plate: 1` or `plate: 2`",
                      US_UK("%s: it has no such plate", "%s: it has no such anode"), part->name);
    else if (number > r->sections)
        part_complain(set, part, "plate", "leave `plate` out",
                      US_UK("%s: it has but one plate", "%s: it has but one anode"), part->name);
    r->failed = number > 1;
}

static void read_soft(struct set *set, const struct part *part, struct rectifier *r)
{
    if (r->law != VACUUM) {
        part_complain(set, part, "condition", NULL,
                      US_UK("%s: only a vacuum tube can go soft by gas",
                            "%s: only a vacuum valve can go soft by gas"),
                      part->name);
        return;
    }
    r->fires_back = HUGE_VAL;
    r->arc = fault_severity(set, part, 1,
                            "a little over the volts that ionise air and mercury, as in gas "
                            "rectifiers; from memory",
                            KNOWN_BY_GLOW_DROP);
    if (part_value(set, part, "fires back at", UNIT_VOLT, 0, &r->fires_back) &&
        r->fires_back < r->arc)
        part_complain(set, part, "fires back at", NULL,
                      "%s: it cannot fire back below the volts of its arc", part->name);
}

static void read_heater_short(struct set *set, const struct part *part, struct rectifier *r)
{
    if (r->law != VACUUM || !r->heating.indirect)
        part_complain(
            set, part, "condition",
            r->law == VACUUM
                ? US_UK("a sagging filament that touches its plate is `condition: shorted`",
                        "a sagging filament that touches its anode is `condition: shorted`")
                : NULL,
            r->law == VACUUM
                ? "%s: its filament is its cathode; there is nothing to short between them"
                : "%s: it has no heater to short to its cathode",
            part->name);
    else if (r->always_hot)
        part_complain(set, part, "heated by",
                      "name its winding in `heated by:`, or add a heater part `of:` it",
                      "%s: a heater-cathode short needs its heater in the circuit", part->name);
    r->short_to = part_name(set, part, "short to");
    r->bridge = fault_severity(set, part, 0, "common practice, no source", KNOWN_BY_HEATER_SHORT);
}

void rectifier_fault(struct set *set, const struct part *part, struct rectifier *r)
{
    check_strays(set, part);
    switch (r->condition) {
    case RECTIFIER_WEAK: read_weak(set, part, r); break;
    case ONE_PLATE_DEAD:
        r->failed = 1;
        if (r->sections < 2)
            part_complain(set, part, "condition", "write `condition: open`",
                          US_UK("%s: it has but one plate", "%s: it has but one anode"),
                          part->name);
        else read_failed(set, part, r);
        break;
    case RECTIFIER_SHORTED:
        read_failed(set, part, r);
        r->bridge =
            fault_severity(set, part, 0, "common practice, no source", KNOWN_BY_PLATE_SHORT);
        break;
    case RECTIFIER_SOFT: read_soft(set, part, r); break;
    case HEATER_SHORTED: read_heater_short(set, part, r); break;
    default: break;
    }
}
