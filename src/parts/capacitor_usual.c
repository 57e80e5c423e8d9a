/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a sound capacitor is like where the user did not say: the nearest of its make in the
 * catalogue, scaled to its size, else what is published of its make. */
#include <math.h>
#include <string.h>

#include "capacitor.h"
#include "kinds.h"
#include "numbers.h"

const char *const capacitor_makes[] = {"modern", "dry", "wet", "film", "paper", NULL};

#define HOT_TIMES 20.0

/* Loss of a make where the catalogue has nothing like it. */
static const struct {
    double tan_delta;
    const char *basis;
} losses[] = {
    [MAKE_MODERN] = {0.10, "tan delta 0.10 at 100 Hz, Vishay doc. 28329"},
    [MAKE_DRY] = {0.08, "power factor 8 % when new, from memory"},
    [MAKE_WET] = {0.20, "power factor 20 % when new, from memory"},
    [MAKE_FILM] = {0.001, "dissipation factor 0.1 %, from memory"},
    [MAKE_PAPER] = {0.01, "power factor 1 % when new, from memory"},
};

static bool model_value(const struct model *m, const char *key, enum unit unit, double *value)
{
    struct complaint why;
    const struct node *node = node_get(m->values, key);
    return node && node->kind == NODE_SCALAR && quantity_parse(node->text, unit, value, &why);
}

/* How far a model is from the part: sizes as a ratio, volts counting twice. inf: of another make,
 * or without loss figures. */
static double distance(const struct capacitor *c, const struct model *m, double *series)
{
    if (strcmp(m->kind, "capacitor") != 0) return HUGE_VAL;
    const struct node *make = node_get(m->values, "make");
    double farads, volts = 0, factor;
    if (!make || make->kind != NODE_SCALAR || strcmp(make->text, capacitor_makes[c->make]) != 0 ||
        !model_value(m, "value", UNIT_FARAD, &farads))
        return HUGE_VAL;
    if (!model_value(m, "series resistance", UNIT_OHM, series)) {
        if (!model_value(m, "power factor", UNIT_PERCENT, &factor)) return HUGE_VAL;
        *series = factor / (2 * PI * 120 * farads);
    }
    *series *= farads / c->farads;
    double d = fabs(log(farads / c->farads));
    if (c->rated > 0 && model_value(m, "rated", UNIT_VOLT, &volts))
        d += 2 * fabs(log(volts / c->rated));
    return d;
}

/* The series resistance of the nearest model, scaled to the part's size; NULL when there is none.
 */
static const struct model *nearest(const struct set *set, const struct capacitor *c, double *series)
{
    const struct model *best = NULL;
    double least = HUGE_VAL;
    for (int i = 0; set->catalogue && i < catalogue_count(set->catalogue); i++) {
        double ohms, d = distance(c, catalogue_at(set->catalogue, i), &ohms);
        if (d >= least) continue;
        least = d;
        best = catalogue_at(set->catalogue, i);
        *series = ohms;
    }
    return best;
}

void capacitor_assume_series(struct set *set, const struct part *part, struct capacitor *c)
{
    const struct model *m = nearest(set, c, &c->series);
    const char *basis;
    if (m) {
        basis = arena_printf(set->arena, "like `%s` of the catalogue, by size", m->name);
    } else {
        c->series = losses[c->make].tan_delta / (2 * PI * 120 * c->farads);
        basis = losses[c->make].basis;
    }
    if (!c->make_given)
        basis = arena_printf(set->arena, "make not given, taken as %s; %s",
                             capacitor_makes[c->make], basis);
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "series resistance",
                                        .value = c->series,
                                        .low = c->series / 2,
                                        .high = c->series * 2,
                                        .unit = UNIT_OHM,
                                        .basis = basis,
                                        .known_by = KNOWN_BY_RESISTANCE_METER_OR_MAKE,
                                        .guess = !c->make_given});
}

double capacitor_modern_leakage(double farads, double volts)
{
    double charge = farads * 1e6 * volts; /* uF V */
    return charge <= 1000 ? 0.03e-6 * charge + 15e-6 : 0.02e-6 * charge + 25e-6;
}

double capacitor_leak_limit(const struct capacitor *c, double volts, const char **basis)
{
    double micro = c->farads * 1e6; /* uF */
    if (c->make == MAKE_MODERN) {
        *basis = "limit after five minutes, Lelon RGA data sheet";
        return capacitor_modern_leakage(c->farads, volts);
    }
    if (c->make == MAKE_FILM) {
        *basis = "insulation 10000 s, Vishay doc. 28164";
        return volts * c->farads / 10000;
    }
    if (c->make == MAKE_PAPER) {
        *basis = "insulation 1000 s when new, from memory; old wax paper leaks far more";
        return volts * c->farads / 1000;
    }
    double k = volts <= 100 ? 0.01 : volts <= 250 ? 0.02 : volts <= 350 ? 0.025 : 0.04;
    *basis = "limit of JAN-C-62, second hand";
    return (k * micro + 0.3) * 1e-3;
}

void capacitor_assume_leakage(struct set *set, const struct part *part, struct capacitor *c)
{
    const char *basis;
    bool bad = c->condition == CAPACITOR_SHORTS_WHEN_HOT; /* or it would never get there */
    double volts = c->rated > 0 ? c->rated : 450;
    c->leakage = volts / capacitor_leak_limit(c, volts, &basis);
    if (bad) c->leakage /= HOT_TIMES;
    if (bad)
        basis = "20 times the limit of a sound part, to get hot by; common practice, no source";
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "leakage",
                                        .value = c->leakage,
                                        .low = c->leakage / 3,
                                        .high = c->leakage * 10,
                                        .unit = UNIT_OHM,
                                        .basis = basis,
                                        .known_by = KNOWN_BY_LEAKAGE_TESTER,
                                        .guess = bad});
}
