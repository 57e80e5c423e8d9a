/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a rectifier: which law, between which points, heated by what. What the scenario says goes
 * before what its type says. */
#include "rectifier.h"

#include <math.h>
#include <string.h>

#include "emission.h"
#include "kinds.h"
#include "numbers.h"
#include "tongue.h"

static const struct key keys[] = {
    {"plates", "one or two points", KEY_NEEDED | KEY_LIST},
    {"cathode", "the point of the common cathode", KEY_LIST},
    {"cathodes", "two points, when each plate has its own", KEY_LIST},
    {"heated by", "the name of a winding, or always hot", 0},
    {"condition", "good, weak, one plate dead, open, shorted, gas or heater-cathode short",
     KEY_WORDS},
    {"emission", "amperes its hot cathode can give at most", 0},
    {"emission left", "weak: what it still gives, of its rated peak current, e.g. 40 %", 0},
    {"perveance left", "weak: of a good one's, e.g. 50 %", 0},
    {"plate", "one plate dead, shorted: which, 1 or 2", 0},
    {"arc", "gas: volts of the arc, e.g. 15 V", 0},
    {"fires back at", "gas: inverse volts at which it conducts backwards, e.g. 600 V", 0},
    {"short resistance", "shorted, heater-cathode short: ohms of the short", 0},
    {"short to", "heater-cathode short: the point of the heater pin that it touches", 0},
    {"in series", "how many in series, e.g. 2", KEY_SHOWN},
    {"law", "vacuum, gas, mercury, silicon or selenium", KEY_MODEL | KEY_WORDS},
    {"drop", "volts from plate to cathode, e.g. 60 V at 125 mA", KEY_MODEL},
    {"perveance", "e.g. 0.269 mA/V^1.5", KEY_MODEL},
    {"threshold", "volts, e.g. 0.7 V", KEY_MODEL},
    {"slope", "ohms beyond the threshold", KEY_MODEL},
    {"starting voltage", "volts at which a gas rectifier strikes", KEY_MODEL},
    {"heater", "e.g. 5 V 2 A", KEY_MODEL},
    {"heating", "direct or indirect", KEY_MODEL | KEY_WORDS},
    {"warm-up", "seconds to 95 % of its settled current", KEY_MODEL},
    {"preheat", "seconds the heater must run first", KEY_MODEL},
    {"inverse voltage", "peak volts, e.g. 1400 V", KEY_MODEL},
    {"average current", "amperes of direct current, both plates together", KEY_MODEL},
    {"average current per plate", "amperes of direct current, e.g. 62.5 mA", KEY_MODEL},
    {"least current", "of a gas rectifier: amperes of direct current it needs", KEY_MODEL},
    {"running peak current", "amperes per plate", KEY_MODEL},
    {"inrush peak current", "amperes per plate at switch-on", KEY_MODEL},
    {"surge current", "e.g. 30 A for 8.3 ms", KEY_MODEL},
    {"i2t", "e.g. 3.7 A2s", KEY_MODEL},
    {"plate voltage", "RMS volts per plate without load, capacitor input", KEY_MODEL},
    {"plate voltage choke input", "RMS volts per plate without load, choke input", KEY_MODEL},
    {"supply impedance", "e.g. 50 ohm at 350 V, 140 ohm at 500 V", KEY_MODEL},
    {"first capacitor", "largest capacitor at its cathode, e.g. 20 uF", KEY_MODEL},
    {"rating system", "design-centre, design-maximum or absolute", KEY_MODEL},
    {NULL, NULL, 0},
};

static const char *const own_types[] = {"ideal", "silicon", NULL};

/* --- law ------------------------------------------------------------------------------------ */

/* `ideal` needs no values; `silicon` has those of the common 1 A diode. */
static bool read_own_type(struct set *set, const struct part *part, struct rectifier *r)
{
    if (kind_says(part, "type", "ideal")) {
        r->law = IDEAL;
        return true;
    }
    if (!kind_says(part, "type", "silicon")) return false;
    r->law = SILICON;
    const struct model *m = set->catalogue ? catalogue_find(set->catalogue, "1N4007") : NULL;
    if (m) {
        r->view.model = m;
        r->view.map = node_overlay(set->arena, m->values, part->own);
        return true;
    }
    part_complain(set, part, "type", "give the diode's type, or its threshold and slope",
                  "the catalogue has no 1N4007, which is taken for silicon");
    return true;
}

static bool read_law(struct set *set, struct part *part, struct rectifier *r)
{
    static const char *const words[] = {"vacuum", "gas", "mercury", "silicon", "selenium", NULL};
    if (read_own_type(set, part, r)) return true;
    int law = part_word(set, part, "law", words);
    if (law >= 0) r->law = (enum rectifier_law)law;
    else if (part_node(part, "threshold")) r->law = SILICON;
    else if (part_node(part, "drop") || part_node(part, "perveance")) r->law = VACUUM;
    else {
        part_complain(set, part, "type", "write `type: 5Y3-GT`, or `drop: 60 V at 125 mA`",
                      "%s: neither a type nor a drop is given", part->name);
        return false;
    }
    return true;
}

static bool read_drop(struct set *set, const struct part *part, double *volts, double *amperes)
{
    struct token t[QUANTITY_TOKENS];
    int n = part_phrase(set, part, "drop", t);
    if (n == 0) return false;
    if (kind_token(t, n, UNIT_VOLT, volts) && kind_token(t, n, UNIT_AMPERE, amperes) &&
        *volts > 0 && *amperes > 0)
        return true;
    part_complain(set, part, "drop", "write it as in `60 V at 125 mA`",
                  "%s: the drop is not understood", part->name);
    return false;
}

/* Peak current of the type: published, else from its other currents. */
static double peak_current(struct set *set, const struct part *v, double drop_amperes,
                           bool *published)
{
    double amperes = 0;
    *published = part_value(set, v, "running peak current", UNIT_AMPERE, 1e-6, &amperes);
    if (*published) return amperes;
    if (part_value(set, v, "average current", UNIT_AMPERE, 1e-6, &amperes)) return 3 * amperes;
    if (part_value(set, v, "average current per plate", UNIT_AMPERE, 1e-6, &amperes))
        return 6 * amperes;
    return 3 * drop_amperes;
}

static void read_emission(struct set *set, const struct part *part, struct rectifier *r,
                          double drop_amperes)
{
    bool published, weak = r->condition == RECTIFIER_WEAK;
    double left = 0.3, peak;
    if (part_value(set, &r->view, "emission", UNIT_AMPERE, 1e-6, &r->emission)) return;
    bool told = weak && part_value(set, part, "emission left", UNIT_PERCENT, 1e-3, &left);
    if (weak && !told && part_node(part, "perveance left")) weak = false;
    peak = peak_current(set, &r->view, drop_amperes, &published);
    r->emission = (weak ? left : EMISSION_EXCESS) * peak;
    if (told && published) return;
    double spread = published ? 2 : 3;
    set_assume(set,
               (struct assumption){
                   .part = part->name,
                   .key = "emission",
                   .value = r->emission,
                   .low = r->emission / spread,
                   .high = r->emission * spread,
                   .unit = UNIT_AMPERE,
                   .basis = !published ? "from its direct current, by the ratio of peak to mean of "
                                         "published types; estimate, no source"
                            : weak ? "weak: 30 % of its peak current; common practice, no source"
                                   : "ten times its peak current, as oxide cathodes have it in "
                                     "excess; estimate, no source",
                   .known_by = KNOWN_BY_EMISSION_TEST,
                   .guess = weak || !published});
}

static void read_vacuum(struct set *set, const struct part *part, struct rectifier *r)
{
    const struct part *v = &r->view;
    double volts = 0, amperes = 0;
    bool own_drop = node_get(part->own, "drop") && !node_get(part->own, "perveance");
    if (own_drop || !part_value(set, v, "perveance", UNIT_PERVEANCE, 1e-9, &r->perveance)) {
        if (read_drop(set, v, &volts, &amperes)) r->perveance = amperes / (volts * sqrt(volts));
        else if (!part_node(v, "drop"))
            part_complain(set, part, "drop", "write it as in `drop: 60 V at 125 mA`",
                          "%s: a vacuum rectifier needs its drop", part->name);
    }
    if (amperes <= 0) amperes = r->perveance * 50 * sqrt(50.0);
    r->drop_amperes = amperes;
    if (r->perveance > 0) read_emission(set, part, r, amperes);
}

/* Slopes of gas and mercury are estimates without a source. */
static void read_arc(struct set *set, const struct part *part, struct rectifier *r)
{
    r->threshold = 15;
    if (part_node(&r->view, "drop")) read_drop(set, &r->view, &r->threshold, &r->drop_amperes);
    else if (r->law == GAS)
        part_complain(set, part, "drop", "write it as in `drop: 24 V at 75 mA`",
                      "%s: a gas rectifier needs its drop", part->name);
    r->slope = r->law == GAS ? 2 : 1;
    r->start = r->threshold + 1;
    if (part_value(set, &r->view, "starting voltage", UNIT_VOLT, 0, &r->start)) {
        if (r->start < r->threshold)
            part_complain(set, part, "starting voltage", NULL,
                          "%s: it cannot start below the volts it drops", part->name);
    } else if (r->law == GAS) {
        part_complain(set, part, "starting voltage", "write it as in `starting voltage: 300 V`",
                      "%s: a gas rectifier needs its starting voltage", part->name);
    }
    part_value(set, &r->view, "slope", UNIT_OHM, 0, &r->slope);
}

static void read_straight(struct set *set, const struct part *part, struct rectifier *r)
{
    const struct part *v = &r->view;
    if (r->law == IDEAL) return;
    if (!part_value(set, v, "threshold", UNIT_VOLT, 0, &r->threshold) && !part_node(v, "threshold"))
        part_complain(set, part, "threshold", "write `threshold: 0.7 V` and `slope: 0.1 ohm`",
                      "%s: its threshold is missing", part->name);
    if (!part_value(set, v, "slope", UNIT_OHM, 0, &r->slope) && !part_node(v, "slope"))
        part_complain(set, part, "slope", "write `slope: 0.1 ohm`; 0 ohm is allowed",
                      "%s: its slope is missing", part->name);
    r->start = r->threshold;
}

static void read_number(struct set *set, const struct part *part, struct rectifier *r)
{
    double number = 1;
    part_value(set, part, "in series", UNIT_NUMBER, 1, &number);
    if (number != floor(number) || number > 100)
        part_complain(set, part, "in series", "write `in series: 2`",
                      "%s: `in series` takes a whole number", part->name);
    r->in_series = (int)smaller(number, 100);
    if (r->in_series > 1 && (r->law == VACUUM || r->law == GAS || r->law == MERCURY))
        part_complain(
            set, part, "in series", "give each its own part",
            US_UK("%s: tubes in series are not one part", "%s: valves in series are not one part"),
            part->name);
    r->threshold *= r->in_series;
    r->slope *= r->in_series;
    r->start *= r->in_series;
}

/* --- points --------------------------------------------------------------------------------- */

static void read_cathodes(struct set *set, const struct part *part, struct rectifier *r)
{
    const char *names[2];
    bool several = node_get(part->own, "cathodes") != NULL, one = part_node(part, "cathode");
    int n = 0;
    if (several == one)
        part_complain(set, part, "cathode", "write `cathode: first filter`, or `cathodes: [a, b]`",
                      several ? "%s: `cathode` and `cathodes` exclude each other"
                              : "%s: its cathode is missing",
                      part->name);
    else if (several) n = part_names(set, part, "cathodes", r->sections, r->sections, names);
    else n = part_names(set, part, "cathode", 1, 1, names);
    for (int i = 0; i < r->sections && n > 0; i++)
        r->cathode[i] = circuit_point(set->circuit, names[i < n ? i : 0]);
    r->separate = n == 2 && r->cathode[0] != r->cathode[1];
    const struct node *model = part->model ? node_get(part->model->values, "cathodes") : NULL;
    if (r->separate && model && model->kind == NODE_SCALAR && strcmp(model->text, "common") == 0)
        part_complain(set, part, "cathodes", "write `cathode:` with one point",
                      US_UK("%s: its type has one cathode for both plates",
                            "%s: its type has one cathode for both anodes"),
                      part->name);
}

static void read_points(struct set *set, const struct part *part, struct rectifier *r)
{
    const char *names[2];
    double sections = 2;
    r->sections = part_names(set, part, "plates", 1, 2, names);
    for (int i = 0; i < r->sections; i++) r->plate[i] = circuit_point(set->circuit, names[i]);
    bool tube = r->law == VACUUM || r->law == GAS || r->law == MERCURY;
    if (tube && part->model) part_value(set, &r->view, "sections", UNIT_NUMBER, 1, &sections);
    if (r->sections > sections)
        part_complain(
            set, part, "plates",
            US_UK("give the second tube its own part", "give the second valve its own part"),
            US_UK("%s: its type has one plate", "%s: its type has one anode"), part->name);
    read_cathodes(set, part, r);
}

/* --- heater --------------------------------------------------------------------------------- */

static void read_heating(struct set *set, const struct part *part, struct rectifier *r)
{
    const struct part *v = &r->view;
    bool cold = kind_says(v, "heating", "cold");
    r->heated = (r->law == VACUUM || r->law == MERCURY) && !cold;
    r->always_hot = kind_says(part, "heated by", "always hot");
    if (!r->heated) {
        if (part_node(part, "heated by") && !r->always_hot)
            diags_add(set->diags, DIAG_NOTE, part_node(part, "heated by")->at,
                      "`heated by` is ignored then, and the winding carries that much less",
                      "%s: %s has no heater%s", part->name,
                      part_type(part) ? part_type(part) : "this kind of rectifier",
                      kind_in_variant(set));
        return;
    }
    r->heating.indirect = r->law == VACUUM;
    if (part_node(v, "heating")) heater_heating(set, v, &r->heating.indirect);
    part_value(set, v, "warm-up", UNIT_SECOND, 0.1, &r->heating.warm_up);
    if (part_node(v, "heater"))
        heater_rated(set, v, "heater", &r->heater_volts, &r->heater_amperes);
    else if (part_node(part, "heated by") && !r->always_hot)
        part_complain(set, part, "heated by", "add `heater: 5 V 2 A` and `heating: direct`",
                      "%s: its heater's volts and amperes are missing", part->name);
}

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good",    "weak", "one plate dead",       "open",
                                             "shorted", "gas",  "heater-cathode short", NULL};
    struct rectifier *r = ARENA_NEW(set->arena, struct rectifier);
    part->data = r;
    r->view = *part;
    r->condition = (enum rectifier_condition)kind_condition(set, part, conditions, NULL);
    if (!read_law(set, part, r)) return;
    if (r->law == VACUUM) read_vacuum(set, part, r);
    else if (r->law == GAS || r->law == MERCURY) read_arc(set, part, r);
    else read_straight(set, part, r);
    read_number(set, part, r);
    read_points(set, part, r);
    read_heating(set, part, r);
    rectifier_check(set, part);
    rectifier_read_heat(set, r);
    rectifier_fault(set, part, r);
}

static void link(struct set *set, struct part *part)
{
    struct rectifier *r = part->data;
    if (r->heated)
        heater_on_winding(set, part, r->heater_volts, r->heater_amperes, part_type(part));
}

/* --- answers -------------------------------------------------------------------------------- */

static unsigned also(const struct part *part)
{
    const struct rectifier *r = part->data;
    static const unsigned roles[] = {[VACUUM] = ROLE_TUBE,
                                     [GAS] = ROLE_TUBE,
                                     [MERCURY] = ROLE_TUBE | ROLE_MERCURY,
                                     [SELENIUM] = ROLE_SELENIUM,
                                     [IDEAL] = 0};
    unsigned heated = !r->heated ? 0u : r->heating.indirect ? ROLE_CATHODE : ROLE_FILAMENT;
    return roles[r->law] | heated | (r->sections == 2 ? ROLE_TWO_PLATES : 0) |
           (r->law == GAS || r->law == MERCURY ? ROLE_GAS_FILLED : 0);
}

static bool way(const struct set *set, const struct part *part, int k, struct part_way *way)
{
    const struct rectifier *r = part->data;
    if (k >= r->sections) return false;
    way->points = 2;
    way->point[0] = set->circuit->points.at[r->plate[k]];
    way->point[1] = set->circuit->points.at[r->cathode[k]];
    return true;
}

const struct part_kind kind_rectifier = {
    .name = "rectifier",
    .says = "a rectifier tube, silicon diode or selenium stack",
    .example = "V6: {is: rectifier, type: 5Y3-GT, plates: [plate 1, plate 2],\n"
               "  cathode: B+, heated by: rectifier heater}",
    .keys = keys,
    .read = read,
    .link = link,
    .stamp = rectifier_stamp,
    .order = 30,
    .own_types = own_types,
    .roles = ROLE_RECTIFIER,
    .also = also,
    .way = way,
    .faults = rectifier_faults,
};
