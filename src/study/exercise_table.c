/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Common practice, no source. What burns parts, bursts or bites is never put into a set that
 * somebody might switch on; what an ohmmeter finds needs no power. */
#include "exercise_table.h"

#include <string.h>

static const struct exercise_row rows[] = {
    {ROLE_CAPACITOR, "open", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_STORES_LESS},
    {ROLE_CAPACITOR, "dried out", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_STORES_LESS},
    {ROLE_CAPACITOR, "leaky", EXERCISE_DEAD, EXERCISE_BURSTS, EXERCISE_DRAWS_MORE},
    {ROLE_CAPACITOR, "shorted", EXERCISE_PAPER, EXERCISE_BURNS, EXERCISE_DRAWS_MORE},
    {ROLE_CAPACITOR, "breaks down", EXERCISE_PAPER, EXERCISE_BURSTS, EXERCISE_DRAWS_MORE},
    {ROLE_CAPACITOR, "shorts when hot", EXERCISE_PAPER, EXERCISE_BURNS, EXERCISE_DRAWS_MORE},
    {ROLE_CAPACITOR, "reversed", EXERCISE_PAPER, EXERCISE_BURSTS, EXERCISE_DRAWS_MORE},
    {ROLE_RECTIFIER, "weak", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_LESS_COMES},
    {ROLE_RECTIFIER, "aged", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_LESS_COMES},
    {ROLE_RECTIFIER, "one plate dead", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_LESS_COMES},
    {ROLE_RECTIFIER, "open", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_LESS_COMES},
    {ROLE_RECTIFIER, "shorted", EXERCISE_PAPER, EXERCISE_BURNS, EXERCISE_LESS_COMES},
    {ROLE_RECTIFIER, "gas", EXERCISE_PAPER, EXERCISE_BURNS, EXERCISE_FEWER_OHMS},
    {ROLE_RECTIFIER, "heater-cathode short", EXERCISE_PAPER, EXERCISE_BURNS, EXERCISE_DRAWS_MORE},
    {ROLE_COIL, "open", EXERCISE_DEAD, EXERCISE_OVERVOLTS, EXERCISE_MORE_OHMS},
    {ROLE_COIL, "shorted", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_FEWER_OHMS},
    {ROLE_COIL, "shorted turns", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_FEWER_OHMS},
    {ROLE_RESISTOR, "drifted", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_MORE_OHMS},
    {ROLE_RESISTOR, "open", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_MORE_OHMS},
    {ROLE_RESISTOR, "shorted", EXERCISE_PAPER, EXERCISE_OVERLOAD, EXERCISE_FEWER_OHMS},
    {ROLE_LOAD, "too much", EXERCISE_PAPER, EXERCISE_OVERLOAD, EXERCISE_DRAWS_MORE},
    {ROLE_LOAD, "too little", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_DRAWS_LESS},
    {ROLE_LOAD, "open", EXERCISE_PAPER, EXERCISE_OVERVOLTS, EXERCISE_DRAWS_LESS},
    {ROLE_LOAD, "shorted", EXERCISE_PAPER, EXERCISE_BURNS, EXERCISE_DRAWS_MORE},
    {ROLE_LOAD, "leaky coupling capacitor", EXERCISE_PAPER, EXERCISE_OVERLOAD, EXERCISE_DRAWS_MORE},
    {ROLE_TRANSFORMER, "shorted turns", EXERCISE_PAPER, EXERCISE_BURNS, EXERCISE_LESS_COMES},
    {ROLE_TRANSFORMER, "one half open", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_LESS_COMES},
    {ROLE_TRANSFORMER, "winding grounded", EXERCISE_PAPER, EXERCISE_BURNS, EXERCISE_DRAWS_MORE},
    {ROLE_TRANSFORMER, "open primary", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_LESS_COMES},
    {ROLE_HEATER, "burnt out", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_DARK},
    {ROLE_HEATER, "heater-cathode short", EXERCISE_PAPER, EXERCISE_SHOCK, EXERCISE_DRAWS_MORE},
    {ROLE_LAMP, "burnt out", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_MORE_OHMS},
    {ROLE_LIMITER, "open", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_MORE_OHMS},
    {ROLE_LIMITER, "shorted", EXERCISE_PAPER, EXERCISE_OVERLOAD, EXERCISE_FEWER_OHMS},
    {ROLE_FUSE, "blown", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_MORE_OHMS},
    {ROLE_FUSE, "defeated", EXERCISE_PAPER, EXERCISE_FIRE, EXERCISE_NOTHING},
    {ROLE_SWITCH, "dirty contacts", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_MORE_OHMS},
    {ROLE_SWITCH, "does not close", EXERCISE_DEAD, EXERCISE_OHMS, EXERCISE_MORE_OHMS},
    {ROLE_SWITCH, "stuck closed", EXERCISE_PAPER, EXERCISE_SHOCK, EXERCISE_NOTHING},
    {ROLE_SOURCE, "weak", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_LESS_COMES},
    {ROLE_SOURCE, "flat", EXERCISE_LIVE, EXERCISE_GENTLE, EXERCISE_LESS_COMES},
};

/* A bleeder empties the filter: open, it leaves the charge. */
static const struct exercise_row open_bleeder = {ROLE_RESISTOR, "open", EXERCISE_PAPER,
                                                 EXERCISE_SHOCK, EXERCISE_DRAWS_LESS};

/* Whether the resistor lies straight across a filter capacitor. */
static bool is_bleeder(const struct set *set, const struct part *part)
{
    struct part_way own, way;
    if (!part_is(part, ROLE_RESISTOR) || !part_way(set, part, 0, &own) || own.points < 2)
        return false;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *c = set->parts.at[i];
        if (part_is(c, ROLE_FILTER) && part_way(set, c, 0, &way) && way.points >= 2 &&
            part_ends_at(set, part, way.point[0]) && part_ends_at(set, part, way.point[1]))
            return true;
    }
    return false;
}

const struct exercise_row *exercise_row_of(const struct set *set, const struct part *part,
                                           const char *fault)
{
    if (strcmp(fault, open_bleeder.fault) == 0 && is_bleeder(set, part)) return &open_bleeder;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (part_is(part, rows[i].roles) && strcmp(rows[i].fault, fault) == 0) return &rows[i];
    return NULL;
}
