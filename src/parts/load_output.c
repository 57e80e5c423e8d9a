/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An output stage: its tube from the catalogue, its bias, and the coupling capacitor that leaks the
 * volts of the plate before it onto its grid. Its perveance is such that without a leak it draws
 * what the load says at the volts it says. */
#include <math.h>
#include <string.h>

#include "kinds.h"
#include "load.h"
#include "numbers.h"
#include "tongue.h"

/* --- reading -------------------------------------------------------------------------------- */

/* The values of its tube under its own keys; `bias` and `current` of the tube are customary. */
static const struct part *with_tube(struct set *set, const struct part *part, const struct load *l)
{
    struct part *view = ARENA_NEW(set->arena, struct part);
    *view = *part;
    if (l->tubes == 0) return view;
    view->model = l->tube[0].model;
    view->map = node_overlay(set->arena, view->model->values, part->own);
    return view;
}

static void guess_cathode(struct set *set, const struct part *part, struct load_output *o)
{
    set_assume(set, (struct assumption){
                        .part = part->name,
                        .key = "bias resistor",
                        .value = o->cathode,
                        .low = 0.7 * o->cathode,
                        .high = 1.3 * o->cathode,
                        .unit = UNIT_OHM,
                        .basis = US_UK("gives its tube the customary bias at what it draws",
                                       "gives its valve the customary bias at what it draws"),
                        .known_by = KNOWN_BY_CATHODE_RESISTOR,
                        .guess = true});
}

static void read_bias(struct set *set, const struct part *part, struct load_output *o)
{
    bool ohms = part_node(part, "bias resistor"), fixed = part_node(part, "bias");
    if (ohms && fixed)
        part_complain(set, part, "bias", "keep one of them; `bias` is a fixed one",
                      "%s: `bias` and `bias resistor` exclude each other", part->name);
    else if (ohms) part_value(set, part, "bias resistor", UNIT_OHM, 1e-3, &o->cathode);
    else if (part_value(set, o->view, "bias", UNIT_VOLT, -HUGE_VAL, &o->bias)) {
        o->customary = !fixed;
        if (o->bias > 0)
            part_complain(set, part, "bias", "the grid is negative: `bias: -16.5 V`",
                          "%s: its bias is above zero", part->name);
    } else if (!fixed)
        part_complain(
            set, part, "tube", "write `bias resistor: 410 ohm`, or `bias: -16.5 V`",
            US_UK("%s: the bias of its tube is missing", "%s: the bias of its valve is missing"),
            part->name);
}

static void read_grid(struct set *set, const struct part *part, struct load_output *o)
{
    o->grid = 500e3;
    if (part_value(set, part, "grid resistor", UNIT_OHM, 1, &o->grid) || o->leak <= 0) return;
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "grid resistor",
                                        .value = o->grid,
                                        .low = 220e3,
                                        .high = 1e6,
                                        .unit = UNIT_OHM,
                                        .basis = "common practice, no source",
                                        .known_by = KNOWN_BY_GRID_OHMS,
                                        .guess = true});
}

static void read_leak(struct set *set, const struct part *part, struct load_output *o)
{
    struct token t[QUANTITY_TOKENS];
    int n = part_phrase(set, part, "leaky coupling capacitor", t);
    if (n == 0) return;
    if (kind_token(t, n, UNIT_OHM, &o->leak) && o->leak > 0 &&
        kind_token(t, n, UNIT_VOLT, &o->from) && o->from > 0)
        return;
    o->leak = o->from = 0;
    part_complain(set, part, "leaky coupling capacitor",
                  US_UK("write its ohms and the volts at the plate before it: `2 Mohm from 200 V`",
                        "write its ohms and the volts at the anode before it: `2 Mohm from 200 V`"),
                  "%s: the leak of its coupling capacitor is not understood", part->name);
}

/* What tubes of that perveance draw at the customary volts of their type: halving, since what the
 * tube gives falls with what flows through the bias resistor. */
static void read_perveance(struct set *set, const struct part *part, struct load *l)
{
    struct load_output *o = &l->output;
    double perveance, low = 0, at = l->tubes > 0 ? l->tube[0].at : 0;
    if (!part_value(set, part, "perveance", UNIT_PERVEANCE, 1e-9, &perveance)) return;
    if (at <= 0 || o->factor <= 0) {
        part_complain(set, part, "perveance", "name its `tube:`, or write `draws: 40 mA at 250 V`",
                      "%s: the volts that belong to its perveance are not known", part->name);
        return;
    }
    double high = o->number * perveance * sqrt(at) * at;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        double u = larger(at / o->factor - o->cathode * middle + o->bias, 0);
        if (o->number * perveance * u * sqrt(u) > middle) low = middle;
        else high = middle;
    }
    l->amperes = high;
    l->volts = at;
}

/* A data sheet counts from the cathode, a load from the far end of its bias resistor. */
static void add_bias(const struct part *part, struct load *l)
{
    const struct load_output *o = &l->output;
    if (part_node(part, "draws") || part_node(part, "resistance")) return;
    l->volts += o->customary ? -o->bias : l->amperes * o->cathode;
}

void load_output_read(struct set *set, const struct part *part, struct load *l)
{
    struct load_output *o = &l->output;
    double limit;
    o->view = with_tube(set, part, l);
    if (!part_value(set, o->view, "amplification factor", UNIT_NUMBER, 1, &o->factor) &&
        !part_node(o->view, "amplification factor"))
        part_complain(set, part, part_node(part, "tube") ? "tube" : "like",
                      "add `amplification factor: 6.8`, of a pentode that of its first grid over "
                      "its screen",
                      US_UK("%s: the amplification factor of its tube is not known",
                            "%s: the amplification factor of its valve is not known"),
                      part->name);
    read_bias(set, part, o);
    read_leak(set, part, o);
    read_grid(set, part, o);
    read_perveance(set, part, l);
    add_bias(part, l);
    part_value(set, o->view, "screen current", UNIT_AMPERE, 0, &limit);
    part_value(set, o->view, "plate dissipation", UNIT_WATT, 1e-3, &limit);
    part_value(set, o->view, "screen dissipation", UNIT_WATT, 1e-3, &limit);
}

/* --- writing -------------------------------------------------------------------------------- */

/* Softness of the start of its current, of the volts it works at. */
#define SOFT 1e-3

/* The screen's share: of the tube's own current where the catalogue tells both. */
static double screen_share(struct set *set, const struct load *l)
{
    const struct load_output *o = &l->output;
    double screen = 0, total = l->tubes > 0 ? l->tube[0].current : 0;
    if (total <= 0 || node_get(o->view->own, "screen current")) total = l->amperes / o->number;
    part_value(set, o->view, "screen current", UNIT_AMPERE, 0, &screen);
    return smaller(screen / total, 0.5);
}

static bool fit(struct set *set, const struct part *part, struct load *l, struct output_law *law)
{
    struct load_output *o = &l->output;
    if (o->customary) {
        o->cathode = -o->bias / l->amperes;
        o->bias = 0;
        if (o->cathode > 0) guess_cathode(set, part, o);
    }
    double over = l->amperes * o->cathode, v = l->volts - over, u = v / o->factor - over + o->bias;
    if (u <= 0) {
        part_complain(set, part, "draws", "look at its bias and its amplification factor",
                      US_UK("%s: with that bias its tube would be cut off at %.4g V",
                            "%s: with that bias its valve would be cut off at %.4g V"),
                      part->name, l->volts);
        return false;
    }
    if (o->from > l->volts) {
        part_complain(set, part, "leaky coupling capacitor", NULL,
                      US_UK("%s: the plate before it cannot be above its own %.4g V",
                            "%s: the anode before it cannot be above its own %.4g V"),
                      part->name, l->volts);
        return false;
    }
    law->soft = SOFT * u;
    law->perveance = l->amperes / output_current(1, u, law->soft);
    law->factor = o->factor;
    law->cathode = o->cathode;
    law->share[1] = screen_share(set, l);
    law->share[0] = 1 - law->share[1];
    double through = o->leak > 0 ? o->grid / (o->grid + o->leak) : 0;
    law->grid = o->grid * (1 - through);
    law->bias = o->bias * (1 - through);
    law->leak = through * o->from / l->volts;
    return true;
}

static void rate(struct set *set, const struct load_output *o, const char *key, const char *subject,
                 enum harm harm)
{
    double watts;
    if (!part_value(set, o->view, key, UNIT_WATT, 1e-3, &watts)) return;
    kind_rate(set, o->view, key,
              (struct rating){.subject = subject,
                              .measure = MEASURE_DISSIPATION,
                              .limit = o->number * watts,
                              .harm = harm});
}

static int stamp_port(struct set *set, const struct part *part, int device, int cathode, int k)
{
    static const struct {
        const char *role, *key;
        enum harm harm;
    } rows[] = {
        {"plate", "plate dissipation", HARM_PLATE_HEAT},
        {"screen", "screen dissipation", HARM_SCREEN_HEAT},
    };
    struct circuit *c = set->circuit;
    const struct load *l = part->data;
    const char *subject = arena_printf(set->arena, "%s.%s", part->name, rows[k].role);
    int e = circuit_port(c, device, rows[k].role, l->from, cathode, PORT_BYPASSED);
    c->elements.at[e].part = c->elements.at[e].subject = subject;
    rate(set, &l->output, rows[k].key, subject, rows[k].harm);
    return e;
}

int load_output_stamp(struct set *set, const struct part *part, int tubes, const int *emitter,
                      const double *weight, int element[2])
{
    struct load *l = part->data;
    struct circuit *c = set->circuit;
    struct output_law *law = ARENA_NEW(set->arena, struct output_law);
    int cathode = l->to;
    if (!fit(set, part, l, law)) return 0;
    law->tubes = tubes;
    if (law->cathode > 0) {
        const char *subject = arena_printf(set->arena, "%s.bias resistor", part->name);
        cathode = circuit_inner(c, part->name, "cathode");
        circuit_resistor(c, subject, "bias resistor", cathode, l->to, law->cathode);
        kind_probe_volts(set, subject, cathode, l->to, PROBE_OTHER);
    }
    int device = circuit_device(c, part->name, "tube", &law_output, law);
    for (int i = 0; i < tubes; i++) {
        law->weight[i] = weight[i];
        circuit_foreign(c, device, emitter[i]);
    }
    const int ports = law->share[1] > 0 ? 2 : 1;
    for (int k = 0; k < ports; k++) element[k] = stamp_port(set, part, device, cathode, k);
    return ports;
}
