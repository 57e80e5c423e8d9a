/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How often faults are met, and how long readings take. From memory of repairs of sets of the
 * thirties to fifties; no published count was found. Old electrolytics lead, then resistors and
 * tubes; windings and shorts are rarer. A modern or film capacitor fails a fifth as often as an old
 * one. Frozen: the rates in DEVELOPERS.md were printed with these. */
#include "diagnose_table.h"

#include <string.h>

#include "capacitor.h"

#define MODERN_FILM 0.2 /* of what an old part does; from memory */
#define BYPASS 0.3      /* a capacitor below 1 uF, beside a filter capacitor; from memory */

static const struct {
    unsigned roles; /* any of them */
    const char *fault;
    double weight;
} priors[] = {
    {ROLE_CAPACITOR, "dried out", 10},
    {ROLE_CAPACITOR, "leaky", 7},
    {ROLE_CAPACITOR, "shorted", 4},
    {ROLE_CAPACITOR, "open", 4},
    {ROLE_CAPACITOR, "breaks down", 0.3},
    {ROLE_CAPACITOR, "shorts when hot",
     0.03}, /* cold it reads sound: seldom there, never excluded */
    {ROLE_CAPACITOR, "reversed", 1},
    {ROLE_SELENIUM, "aged", 12},
    {ROLE_TUBE, "weak", 8},
    {ROLE_RECTIFIER, "weak", 4},
    {ROLE_RECTIFIER, "one plate dead", 2},
    {ROLE_RECTIFIER, "open", 4},
    {ROLE_RECTIFIER, "shorted", 1},
    {ROLE_RECTIFIER, "gas", 1},
    {ROLE_RECTIFIER, "heater-cathode short", 1.5},
    {ROLE_FIELD_COIL, "open", 4},
    {ROLE_COIL, "open", 2},
    {ROLE_COIL, "shorted", 1},
    {ROLE_COIL, "shorted turns", 1},
    {ROLE_RESISTOR, "drifted", 5},
    {ROLE_RESISTOR, "open", 4},
    {ROLE_RESISTOR, "shorted", 0.5},
    {ROLE_LOAD, "leaky coupling capacitor", 6},
    {ROLE_LOAD, "too much", 6},
    {ROLE_LOAD, "too little", 5},
    {ROLE_LOAD, "open", 3},
    {ROLE_LOAD, "shorted", 3},
    {ROLE_TRANSFORMER, "shorted turns", 1.5},
    {ROLE_TRANSFORMER, "one half open", 1.5},
    {ROLE_TRANSFORMER, "winding grounded", 0.7},
    {ROLE_TRANSFORMER, "open primary", 1.5},
    {ROLE_FUSE, "defeated", 0.03}, /* no reading tells: seldom there, never excluded */
    {ROLE_HEATER, "burnt out", 4},
    {ROLE_HEATER, "heater-cathode short", 1.5},
};

/* The arms of a bridge age together: each stands for a share of that. */
static int arms(const struct set *set)
{
    int n = 0;
    for (int i = 0; i < set->parts.n; i++) n += part_is(set->parts.at[i], ROLE_SELENIUM);
    return n;
}

double diagnose_prior(const struct set *set, const struct part *part, const char *fault)
{
    double weight = 1; /* of a fault that the table does not know */
    for (size_t i = 0; i < sizeof priors / sizeof priors[0]; i++)
        if (part_is(part, priors[i].roles) && strcmp(priors[i].fault, fault) == 0) {
            weight = priors[i].weight;
            break;
        }
    if (part_is(part, ROLE_SELENIUM) && strcmp(fault, "aged") == 0) return weight / arms(set);
    if (!part_is(part, ROLE_CAPACITOR)) return weight;
    if (capacitor_lasts(part)) weight *= MODERN_FILM;
    if (!part_is(part, ROLE_FILTER)) weight *= BYPASS;
    return weight;
}

double diagnose_special_prior(enum diagnose_special special)
{
    static const double weight[SPECIALS] = {
        [SPECIAL_SOUND] = 20,    [SPECIAL_OUTSIDE] = 2,    [SPECIAL_LINE_LOW] = 2,
        [SPECIAL_LINE_HIGH] = 2, [SPECIAL_OTHER_TYPE] = 2, [SPECIAL_WRONG_RETURN] = 1};
    return weight[special];
}

/* What the last digit of a hand-held meter, a loose lead and pick-up make of nothing; from memory.
 */
double diagnose_floor(enum unit unit)
{
    switch (unit) {
    case UNIT_VOLT: return 0.1;
    case UNIT_AMPERE: return 5e-3;
    case UNIT_WATT: return DIAGNOSE_WATTMETER_FLOOR;
    case UNIT_OHM: return 0.5;
    case UNIT_FARAD: return 1e-9;
    default: return 0;
    }
}

/* Common practice, no source: with the set open on the bench and the drill kept. */
double diagnose_effort(enum diagnose_work work)
{
    static const double minutes[] = {
        [WORK_OHMS] = 2,    [WORK_TESTER] = 8, [WORK_DC] = 3,   [WORK_RIPPLE] = 3,
        [WORK_WINDING] = 4, [WORK_LINE] = 3,   [WORK_LAMP] = 4,
    };
    return minutes[work];
}
