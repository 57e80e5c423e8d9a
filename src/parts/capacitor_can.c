/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The can as one body of one temperature. It is followed where losses matter: failing parts, old
 * wet and dry ones, whatever leaks far more than its make should, or is told the keys of its heat.
 * How the series resistance falls as it warms, and how leakage falls as a part re-forms under
 * volts, are left out: both would make it cooler than told. */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "capacitor.h"
#include "kinds.h"
#include "numbers.h"

#define ROOM_CELSIUS 20.0 /* where published leakage starts [C] */
#define SIGNIFICANT 3.0   /* times the limit of a sound part */

/* Size from what is printed on it: volume = that of 8 uF 450 V times (C V/3600 uC)^0.6, a can twice
 * as high as wide. Dry: 1 by 2 in., later cans of 40-40-20 uF 1 3/8 by 3 in.; wet: 1 3/8 by 4 1/2
 * in.; modern: 10 uF 450 V 12.5 by 20 mm, 100 uF 450 V 18 by 40 mm. All from memory. */
static const double volume[] = {[MAKE_MODERN] = 2.1e-6,
                                [MAKE_DRY] = 26e-6,
                                [MAKE_WET] = 105e-6,
                                [MAKE_FILM] = 14e-6,
                                [MAKE_PAPER] = 26e-6}; /* [m3] */
#define LOSS_PER_AREA 10.0  /* still air and radiation [W/(m2 K)], from memory */
#define HEAT_PER_VOLUME 2e6 /* aluminium, paper and paste [J/(m3 K)], estimate */

static void read_growth(struct set *set, const struct part *part, struct capacitor *c)
{
    struct token t[QUANTITY_TOKENS];
    double times = 2.5, kelvin = ZERO_CELSIUS + 60, cold = ZERO_CELSIUS + ROOM_CELSIUS;
    int n = part_phrase(set, part, "leakage grows", t);
    bool right = n == 4 && !t[0].is_word && t[0].unit == UNIT_NUMBER &&
                 kind_token(t, n, UNIT_NUMBER, &times) && kind_token(t, n, UNIT_CELSIUS, &kelvin) &&
                 times >= 1 && kelvin > cold;
    if (n > 0 && !right)
        part_complain(set, part, "leakage grows",
                      "write it as in `3 times by 60 C`, counted from 20 C",
                      "%s: how its leakage grows is not understood", part->name);
    else c->growth = log(times) / (kelvin - cold);
}

static void assume_growth(struct set *set, const struct part *part, const struct capacitor *c)
{
    if (part_node(part, "leakage grows") || isinf(c->leakage)) return;
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "leakage grows",
                                        .value = 2.5,
                                        .low = 2,
                                        .high = 4,
                                        .unit = UNIT_NUMBER,
                                        .basis = "times from 20 to 60 C: 2 to 3 times in a maker's "
                                                 "text, second hand; 4 to 10 times by 85 C, from "
                                                 "memory",
                                        .known_by = KNOWN_BY_LEAKAGE_WARM});
}

void capacitor_read_can(struct set *set, const struct part *part, struct capacitor *c)
{
    static const char *const told[] = {"thermal resistance", "heat capacity", "leakage grows"};
    const char *name = part_name(set, part, "can"), *basis;
    c->can_name = name ? name : part->name;
    read_growth(set, part, c);
    part_value(set, part, "thermal resistance", UNIT_KELVIN_PER_WATT, 1e-3, &c->thermal_resistance);
    part_value(set, part, "heat capacity", UNIT_JOULE_PER_KELVIN, 1e-3, &c->heat);
    if (c->condition == CAPACITOR_OPEN || c->condition == CAPACITOR_SHORTED) return;
    double volts = c->rated > 0 ? c->rated : 450;
    c->warms = c->make == MAKE_DRY || c->make == MAKE_WET || isfinite(c->shorts_above) ||
               (c->condition != CAPACITOR_GOOD && c->condition != CAPACITOR_SHORTS_AT_A_TIME) ||
               volts / c->leakage > SIGNIFICANT * capacitor_leak_limit(c, volts, &basis);
    for (int i = 0; i < 3; i++) c->warms = c->warms || part_node(part, told[i]);
}

/* --- who shares it, and its size ------------------------------------------------------------ */

/* The sections of a can. */
struct members {
    struct capacitor *at[CAN_SECTIONS];
    const struct part *part[CAN_SECTIONS];
    int n;
};

static struct members members_of(const struct set *set, const char *can)
{
    struct members m = {.n = 0};
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        struct capacitor *c = part->data;
        if (part->kind != &kind_capacitor || !c->can_name || strcmp(c->can_name, can) != 0)
            continue;
        if (m.n < CAN_SECTIONS) m.at[m.n] = c, m.part[m.n] = part;
        m.n++;
    }
    return m;
}

static void assume(struct set *set, const struct part *part, const char *key, double value,
                   enum unit unit, const char *basis, enum known_by known_by)
{
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = key,
                                        .value = value,
                                        .low = value / 2,
                                        .high = value * 2,
                                        .unit = unit,
                                        .basis = basis,
                                        .known_by = known_by});
}

/* Cubic metres of a can of so many coulombs. */
static double can_volume(enum capacitor_make make, double charge)
{
    return volume[make] * pow(charge / 3600e-6, 0.6);
}

/* Of a cylinder twice as high as wide: V = pi d^3/2, surface 5 pi d^2/2. */
double capacitor_thermal_resistance(enum capacitor_make make, double charge)
{
    double wide = cbrt(2 * can_volume(make, charge) / PI);
    return 1 / (LOSS_PER_AREA * 2.5 * PI * sq(wide));
}

static void size(struct set *set, const struct members *m, struct can_law *law)
{
    double charge = 0;
    for (int i = 0; i < m->n; i++) {
        const struct capacitor *c = m->at[i];
        charge += c->nominal * (c->rated > 0 ? c->rated : 450);
        if (c->thermal_resistance > 0) law->thermal_resistance = c->thermal_resistance;
        if (c->heat > 0) law->heat = c->heat;
    }
    double cubic = can_volume(m->at[0]->make, charge);
    if (law->thermal_resistance == 0) {
        law->thermal_resistance = capacitor_thermal_resistance(m->at[0]->make, charge);
        assume(
            set, m->part[0], "thermal resistance", law->thermal_resistance, UNIT_KELVIN_PER_WATT,
            "10 W/(m2 K) over a can of the size usual for its microfarads and volts, from memory",
            KNOWN_BY_CAN_WARMTH);
    }
    if (law->heat > 0) return;
    law->heat = HEAT_PER_VOLUME * cubic;
    assume(set, m->part[0], "heat capacity", law->heat, UNIT_JOULE_PER_KELVIN,
           "2 J/(cm3 K) of aluminium, paper and paste in that size; estimate, no source",
           KNOWN_BY_NOTHING);
}

void capacitor_link_can(struct set *set, const struct part *part, struct capacitor *c)
{
    const struct part *named = set_find(set, c->can_name);
    if (named && named->kind != &kind_capacitor)
        part_complain(set, part, "can", "give the can a name of its own, e.g. `can: triple can`",
                      "%s: `%s` is no can, it is a %s", part->name, c->can_name, named->kind->name);
    const struct capacitor *host = named && named->kind == &kind_capacitor ? named->data : NULL;
    if (host && strcmp(host->can_name, c->can_name) != 0)
        part_complain(set, part, "can", arena_printf(set->arena, "write `can: %s`", host->can_name),
                      "%s: %s sits in the can `%s` itself", part->name, c->can_name,
                      host->can_name);
    struct members m = members_of(set, c->can_name);
    if (m.part[0] != part) return;
    if (m.n > CAN_SECTIONS) {
        part_complain(set, part, "can", NULL,
                      "the can `%s` has %d sections; at most %d are followed", c->can_name, m.n,
                      CAN_SECTIONS);
        return;
    }
    bool warms = false;
    for (int i = 0; i < m.n; i++) warms = warms || m.at[i]->warms;
    if (!warms) return;
    struct capacitor_can *can = ARENA_NEW(set->arena, struct capacitor_can);
    *can = (struct capacitor_can){.name = c->can_name, .device = -1, .state = -1};
    can->law.reference = can->law.ambient = set->ambient;
    size(set, &m, &can->law);
    for (int i = 0; i < m.n; i++) {
        m.at[i]->can = can;
        assume_growth(set, m.part[i], m.at[i]);
    }
}
