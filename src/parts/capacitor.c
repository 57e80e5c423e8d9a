/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Capacitance with its leakage across it, behind its series resistance. What is not given is taken
 * from the nearest part of the same make in the catalogue. A shorted capacitor keeps its
 * capacitance beside the short, so that its charge has somewhere to go when it fails during a run.
 */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "kinds.h"
#include "numbers.h"

enum { GOOD, OPEN, DRIED_OUT, LEAKY, SHORTED };
enum { MODERN, DRY, WET, FILM, PAPER };

static const char *const makes[] = {"modern", "dry", "wet", "film", "paper", NULL};

/* Loss of a make where the catalogue has nothing like it. */
static const struct {
    double tan_delta;
    const char *basis;
} losses[] = {
    [MODERN] = {0.10, "tan delta 0.10 at 100 Hz, Vishay doc. 28329"},
    [DRY] = {0.08, "power factor 8 % when new, from memory"},
    [WET] = {0.20, "power factor 20 % when new, from memory"},
    [FILM] = {0.001, "dissipation factor 0.1 %, from memory"},
    [PAPER] = {0.01, "power factor 1 % when new, from memory"},
};

struct capacitor {
    int from, to; /* plus, minus */
    int make, condition;
    bool make_given;
    double farads;
    double series;  /* [ohm] */
    double leakage; /* [ohm]; inf: none */
    double bridge;  /* ohms of the short */
    double rated;   /* [V]; 0: not known */
    double surge;   /* [V]; 0: not known */
    double ripple;  /* [A RMS]; 0: not known */
    double initial; /* [V] */
};

static const struct key keys[] = {
    {"across", "two points, plus first", KEY_NEEDED},
    {"value", "farads, e.g. 8 uF", KEY_NEEDED},
    {"rated", "volts, e.g. 450 V", 0},
    {"make", "modern, dry, wet, film or paper", 0},
    {"series resistance", "ohms", KEY_MODEL},
    {"power factor", "per cent, instead of the series resistance", KEY_MODEL},
    {"leakage", "e.g. 25 mA at 330 V, ohms, or none", KEY_MODEL},
    {"surge", "volts", KEY_MODEL},
    {"ripple rating", "e.g. 150 mA at 100 Hz", KEY_MODEL},
    {"tolerance", "e.g. -10/+50 %", KEY_MODEL},
    {"can", "name of the can it shares", 0},
    {"starts at", "volts at the start of the run", 0},
    {"condition", "good, open, dried out, leaky or shorted", 0},
    {"value now", "dried out: farads left", 0},
    {"series resistance now", "dried out: ohms", 0},
    {"short resistance", "shorted: ohms of the short", 0},
    {NULL, NULL, 0},
};

static bool electrolytic(const struct capacitor *c)
{
    return c->make == MODERN || c->make == DRY || c->make == WET;
}

/* --- taken from the catalogue --------------------------------------------------------------- */

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
    const struct node *make = node_get(m->values, "make");
    double farads, volts = 0, factor;
    if (strcmp(m->kind, "capacitor") != 0 || !make || make->kind != NODE_SCALAR ||
        strcmp(make->text, makes[c->make]) != 0 || !model_value(m, "value", UNIT_FARAD, &farads))
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

static void assume_series(struct set *set, const struct part *part, struct capacitor *c)
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
        basis = arena_printf(set->arena, "make not given, taken as %s; %s", makes[c->make], basis);
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "series resistance",
                                        .value = c->series,
                                        .low = c->series / 2,
                                        .high = c->series * 2,
                                        .unit = UNIT_OHM,
                                        .basis = basis,
                                        .measure = "read it on a series-resistance meter, or name "
                                                   "its make or type",
                                        .guess = !c->make_given});
}

/* Amperes a sound part of this make may leak at its rated volts. */
static double usual_leakage(const struct capacitor *c, double volts, const char **basis)
{
    double charge = c->farads * 1e6 * volts, micro = c->farads * 1e6; /* uF V, uF */
    if (c->make == MODERN) {
        *basis = "limit after five minutes, Lelon RGA data sheet";
        return charge <= 1000 ? 0.03e-6 * charge + 15e-6 : 0.02e-6 * charge + 25e-6;
    }
    if (c->make == FILM) {
        *basis = "insulation 10000 s, Vishay doc. 28164";
        return volts * c->farads / 10000;
    }
    if (c->make == PAPER) {
        *basis = "insulation 1000 s when new, from memory; old wax paper leaks far more";
        return volts * c->farads / 1000;
    }
    double k = volts <= 100 ? 0.01 : volts <= 250 ? 0.02 : volts <= 350 ? 0.025 : 0.04;
    *basis = "limit of JAN-C-62, second hand";
    return (k * micro + 0.3) * 1e-3;
}

static void assume_leakage(struct set *set, const struct part *part, struct capacitor *c)
{
    const char *basis;
    double volts = c->rated > 0 ? c->rated : 450;
    c->leakage = volts / usual_leakage(c, volts, &basis);
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "leakage",
                                        .value = c->leakage,
                                        .low = c->leakage / 3,
                                        .high = c->leakage * 10,
                                        .unit = UNIT_OHM,
                                        .basis = basis,
                                        .measure = "milliamperes at its working voltage on a "
                                                   "leakage tester"});
}

/* --- reading -------------------------------------------------------------------------------- */

static void read_make(struct set *set, const struct part *part, struct capacitor *c)
{
    int make = part_word(set, part, "make", makes);
    c->make_given = make >= 0;
    c->make = make >= 0 ? make : c->farads >= 0.999e-6 ? MODERN : FILM;
}

static void read_series(struct set *set, const struct part *part, struct capacitor *c)
{
    double factor;
    if (part_value(set, part, "series resistance", UNIT_OHM, 0, &c->series)) return;
    if (part_node(part, "series resistance")) return;
    if (part_value(set, part, "power factor", UNIT_PERCENT, 0, &factor))
        c->series = factor / (2 * PI * 120 * c->farads);
    else assume_series(set, part, c);
}

static void read_leakage(struct set *set, const struct part *part, struct capacitor *c)
{
    struct token t[QUANTITY_TOKENS];
    double amperes, volts;
    if (!part_node(part, "leakage")) {
        if (c->condition == LEAKY)
            part_complain(set, part, "condition",
                          "write what it leaks, e.g. `leakage: 25 mA at 330 V`",
                          "%s: a leaky capacitor needs its leakage", part->name);
        else assume_leakage(set, part, c);
        return;
    }
    c->leakage = HUGE_VAL;
    if (kind_says(part, "leakage", "none")) return;
    int n = part_phrase(set, part, "leakage", t);
    if (n == 0) return;
    bool flow = kind_token(t, n, UNIT_AMPERE, &amperes) && kind_token(t, n, UNIT_VOLT, &volts);
    if (flow && amperes > 0 && volts > 0) c->leakage = volts / amperes;
    else if (flow || !kind_token(t, n, UNIT_OHM, &c->leakage) || c->leakage <= 0)
        part_complain(set, part, "leakage", "write it as in `25 mA at 330 V`, `60 kohm` or `none`",
                      "%s: the leakage is not understood", part->name);
}

static void read_ratings(struct set *set, const struct part *part, struct capacitor *c)
{
    struct token t[QUANTITY_TOKENS];
    part_value(set, part, "surge", UNIT_VOLT, 0, &c->surge);
    int n = part_phrase(set, part, "ripple rating", t);
    if (n > 0 && !kind_token(t, n, UNIT_AMPERE, &c->ripple))
        part_complain(set, part, "ripple rating", "write it as in `150 mA at 100 Hz`",
                      "%s: the ripple rating holds no amperes", part->name);
}

static void dry_out(struct set *set, const struct part *part, struct capacitor *c)
{
    double value = c->farads / 4, series = 10 * c->series;
    if (!part_value(set, part, "value now", UNIT_FARAD, 1e-15, &value))
        set_assume(set, (struct assumption){.part = part->name,
                                            .key = "value now",
                                            .value = value,
                                            .low = c->farads / 10,
                                            .high = c->farads / 2,
                                            .unit = UNIT_FARAD,
                                            .basis = "a quarter of its value; common practice, no "
                                                     "source",
                                            .measure = "read it on a capacitance meter",
                                            .guess = true});
    if (!part_value(set, part, "series resistance now", UNIT_OHM, 0, &series))
        set_assume(set, (struct assumption){.part = part->name,
                                            .key = "series resistance now",
                                            .value = series,
                                            .low = 3 * c->series,
                                            .high = 30 * c->series,
                                            .unit = UNIT_OHM,
                                            .basis = "ten times that of a sound one; common "
                                                     "practice, no source",
                                            .measure = "read it on a series-resistance meter",
                                            .guess = true});
    c->farads = value;
    c->series = series;
}

static void read_short(struct set *set, const struct part *part, struct capacitor *c)
{
    c->bridge = 1;
    if (part_value(set, part, "short resistance", UNIT_OHM, 1e-3, &c->bridge)) return;
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "short resistance",
                                        .value = c->bridge,
                                        .low = 0.1,
                                        .high = 50,
                                        .unit = UNIT_OHM,
                                        .basis = "common practice, no source",
                                        .measure = "ohms across it with the set dead",
                                        .guess = true});
}

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good", "open", "dried out", "leaky", "shorted", NULL};
    static const char *const later[] = {"breaks down", "shorts when hot", "reversed", NULL};
    struct capacitor *c = ARENA_NEW(set->arena, struct capacitor);
    part->data = c;
    c->leakage = HUGE_VAL;
    part_across(set, part, &c->from, &c->to);
    c->condition = kind_condition(set, part, conditions, later);
    part_value(set, part, "rated", UNIT_VOLT, 1e-3, &c->rated);
    part_value(set, part, "starts at", UNIT_VOLT, -HUGE_VAL, &c->initial);
    read_ratings(set, part, c);
    if (!part_value(set, part, "value", UNIT_FARAD, 1e-15, &c->farads)) return;
    read_make(set, part, c);
    read_series(set, part, c);
    read_leakage(set, part, c);
    if (c->condition == DRIED_OUT) dry_out(set, part, c);
    if (c->condition == SHORTED) read_short(set, part, c);
}

/* --- writing -------------------------------------------------------------------------------- */

/* The surge voltage held against the highest voltage; where none is customary, the working one. */
static void rate_surge(struct set *set, const struct part *part, const struct capacitor *c)
{
    struct rating r = {.subject = part->name,
                       .measure = "highest-voltage",
                       .limit = c->surge,
                       .unit = UNIT_VOLT,
                       .system = "",
                       .says = "it is driven over its surge voltage, if only for a moment"};
    if (c->surge > 0) {
        kind_rate(set, part, "surge", r);
        return;
    }
    double ratio = 1;
    r.source = "its working voltage; no surge voltage is customary for this make";
    if (c->make == MODERN) {
        ratio = c->rated > 315 ? 1.10 : 1.15;
        r.source = "surge 1.10 times rated above 315 V, 1.15 times below: IEC 60384-4, from memory";
    } else if (electrolytic(c)) {
        ratio = 525.0 / 450;
        r.source = "surge 525 V customary for old parts of 450 V, from memory";
    }
    r.limit = ratio * c->rated;
    set_rate(set, r);
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "surge",
                                        .value = r.limit,
                                        .low = c->rated,
                                        .high = r.limit,
                                        .unit = UNIT_VOLT,
                                        .basis = r.source,
                                        .measure = "printed on some cans, else in the data sheet"});
}

static void rate(struct set *set, const struct part *part, const struct capacitor *c)
{
    if (c->rated > 0) {
        kind_rate(set, part, "rated",
                  (struct rating){.subject = part->name,
                                  .measure = "settled-voltage",
                                  .limit = c->rated,
                                  .unit = UNIT_VOLT,
                                  .says = "it stands over its working voltage as long as the set "
                                          "is on"});
        rate_surge(set, part, c);
    }
    if (c->ripple > 0)
        kind_rate(set, part, "ripple rating",
                  (struct rating){.subject = part->name,
                                  .measure = "rms-current",
                                  .limit = c->ripple,
                                  .unit = UNIT_AMPERE,
                                  .says = "its ripple current heats it beyond its rating (the "
                                          "rating's factor for other frequencies is not applied)"});
    if (electrolytic(c))
        set_rate(set, (struct rating){.subject = part->name,
                                      .measure = "lowest-voltage",
                                      .limit = -1,
                                      .unit = UNIT_VOLT,
                                      .at_least = true,
                                      .source = "reverse voltage at most 1 V, Vishay doc. 28329",
                                      .system = "",
                                      .says = "it is reversed: an electrolytic heats, vents or "
                                              "shorts when its plus is negative"});
}

static void stamp(struct set *set, struct part *part)
{
    const struct capacitor *c = part->data;
    struct circuit *circuit = set->circuit;
    if (c->condition == OPEN) return;
    int at = c->from, way[3] = {-1, -1, -1};
    if (c->series > 0) {
        at = circuit_inner(circuit, part->name, "plates");
        way[0] = circuit_resistor(circuit, part->name, "series", c->from, at, c->series);
    }
    int plates = circuit_capacitor(circuit, part->name, "capacitance", at, c->to, c->farads);
    circuit->elements.at[plates].initial = c->initial;
    int leak = -1;
    if (isfinite(c->leakage))
        leak = circuit_resistor(circuit, part->name, "leakage", at, c->to, c->leakage);
    if (way[0] < 0) way[0] = plates, way[1] = leak;
    if (c->condition == SHORTED)
        way[2] = circuit_resistor(circuit, part->name, "short", c->from, c->to, c->bridge);
    unsigned flags = PROBE_CAPACITOR | PROBE_WATCHED;
    kind_probe_volts(set, part->name, c->from, c->to, flags);
    kind_probe_amperes(set, part->name, flags, way, 3);
    rate(set, part, c);
}

double capacitor_at(const struct set *set, int point)
{
    double sum = 0;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        if (part->kind != &kind_capacitor || !part->data) continue;
        const struct capacitor *c = part->data;
        if (c->condition != OPEN && (c->from == point || c->to == point)) sum += c->farads;
    }
    return sum;
}

const struct part_kind kind_capacitor = {
    .name = "capacitor",
    .says = "a capacitor, sound or failing",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .watches = true,
};
