/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heated bodies and the part kind `heater`. The heat balances are linear in the heat capacities, so
 * a warm-up takes exactly as much longer as these are larger: constants found once serve all tubes.
 */
#include "heater.h"

#include <assert.h>
#include <string.h>

#include "emission.h"
#include "kinds.h"
#include "suggest.h"
#include "tongue.h"

/* Temperature of a heater wire inside its cathode (common practice, no source) [K]. */
#define WIRE_KELVIN 1400.0

/* Heat capacities per watt and second of warm-up [J/(K W s)], from simulating one tube at rated
 * volts from a room of 25 deg C until emission_share reaches 0.95. The wire holds a quarter of the
 * cathode's heat (estimate): it glows within 1 to 2 s. */
#define WIRE_HEAT 2.2319e-4
#define CATHODE_HEAT 8.9278e-4
#define FILAMENT_HEAT 1.66509e-3

double heater_warm_up(bool indirect, double volts, double amperes)
{
    if (indirect) return volts >= 12 && amperes <= 0.301 ? 28 : 18;
    return amperes >= 2.5 ? 5.2 : amperes <= 0.151 ? 1 : 3;
}

struct heater_law heater_law_of(const struct heater_body *body, double ambient)
{
    struct heater_law law = {.sections = body->sections,
                             .has_cathode = body->indirect,
                             .parallel = body->parallel,
                             .wire_kelvin = body->indirect ? WIRE_KELVIN : EMISSION_RATED_KELVIN,
                             .cathode_kelvin = EMISSION_RATED_KELVIN,
                             .ambient = ambient};
    double wire = body->indirect ? WIRE_HEAT : FILAMENT_HEAT;
    for (int k = 0; k < body->sections; k++) {
        law.resistance[k] = body->volts[k] / body->amperes[k];
        law.watts[k] = body->volts[k] * body->amperes[k];
        law.wire_heat[k] = wire * law.watts[k] * body->warm_up;
        if (body->indirect) law.cathode_heat += CATHODE_HEAT * law.watts[k] * body->warm_up;
    }
    return law;
}

static int add_temperature(struct set *set, int device, const char *role, double hot)
{
    return circuit_state(
        set->circuit, device, role,
        (struct state){.cold = set->ambient, .hot = hot, .range = 1000, .is_temperature = true});
}

int heater_stamp(struct set *set, const char *role, const struct heater_body *body)
{
    struct circuit *c = set->circuit;
    struct heater_law *law = ARENA_NEW(set->arena, struct heater_law);
    *law = heater_law_of(body, set->ambient);
    int device = circuit_device(c, body->part[0], role, &law_heater, law), emitter = -1;
    for (int k = 0; k < body->sections; k++) {
        const char *wire = arena_printf(set->arena, "%s wire%s", role, k ? " 2" : "");
        const char *base = arena_printf(set->arena, "%s base%s", role, k ? " 2" : "");
        circuit_resistor(c, body->part[k], base, body->from[k], body->to[k],
                         law->resistance[k] / body->parallel);
        int p = circuit_port(c, device, wire, body->from[k], body->to[k], PORT_BASED);
        c->elements.at[p].part = c->elements.at[p].subject = body->part[k];
        emitter = add_temperature(set, device, wire, law->wire_kelvin);
    }
    if (!body->indirect) return emitter;
    return add_temperature(set, device, arena_printf(set->arena, "%s cathode", role),
                           law->cathode_kelvin);
}

/* --- pins ----------------------------------------------------------------------------------- */

/* The emitter of a heater that is in the circuit already; -1: none of that name. */
static int stamped(const struct circuit *c, const char *heater)
{
    for (int i = 0; i < c->devices.n; i++) {
        const struct device *d = &c->devices.at[i];
        if (d->law != &law_heater) continue;
        for (int k = 0; k < d->ports; k++)
            if (strcmp(c->elements.at[d->element[k]].subject, heater) == 0)
                return d->state0 + d->states - 1;
    }
    return -1;
}

void heater_assume(struct set *set, const char *part, double seconds)
{
    set_assume(set, (struct assumption){.part = part,
                                        .key = "warm-up",
                                        .value = seconds,
                                        .low = 0.7 * seconds,
                                        .high = 1.4 * seconds,
                                        .unit = UNIT_SECOND,
                                        .basis = "customary for its kind of heating; common "
                                                 "practice, no source",
                                        .known_by = KNOWN_BY_WARM_UP_TIME});
}

int heater_of_pins(struct set *set, const struct part *part, int first, int sections,
                   const char *role, struct heater_kind kind)
{
    struct heater_body body = {
        .indirect = kind.indirect, .warm_up = kind.warm_up, .parallel = 1, .sections = sections};
    for (int k = 0; k < sections; k++) {
        const struct heater_pins *pins = &part->heaters[first + k];
        int there = pins->part ? stamped(set->circuit, pins->part) : -1;
        if (there >= 0) return there;
        body.volts[k] = pins->volts;
        body.amperes[k] = pins->amperes;
        body.from[k] = circuit_point(set->circuit, pins->from);
        body.to[k] = circuit_point(set->circuit, pins->to);
        body.part[k] = pins->part ? pins->part : arena_printf(set->arena, "%s.heater", part->name);
    }
    if (body.warm_up <= 0) {
        body.warm_up = heater_warm_up(body.indirect, body.volts[0], body.amperes[0]);
        heater_assume(set, part->name, body.warm_up);
    }
    return heater_stamp(set, role, &body);
}

bool heater_give(struct set *set, struct part *part, struct heater_pins pins, const struct part *by,
                 const char *key)
{
    const int room = sizeof part->heaters / sizeof part->heaters[0];
    if (part->heater_count < room) {
        part->heaters[part->heater_count++] = pins;
        return true;
    }
    part_complain(set, by, key, NULL, "%s has room for %d heaters and no more", part->name, room);
    return false;
}

void heater_settle(struct part *part)
{
    int kept = 0;
    for (int i = 0; i < part->heater_count; i++)
        if (part->heaters[i].part) part->heaters[kept++] = part->heaters[i];
    if (kept > 0) part->heater_count = kept;
}

static bool gives(const struct part *part, const struct heater_pins *pins)
{
    bool foreign = false;
    if (pins->part) return strcmp(pins->part, part->name) == 0; /* counted at the heater itself */
    for (int i = 0; i < part->heater_count; i++) foreign = foreign || part->heaters[i].part;
    return !foreign;
}

double heater_draw(const struct set *set, const char *from, const char *to, double *watts)
{
    double amperes = 0;
    *watts = 0;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        for (int k = 0; k < part->heater_count; k++) {
            const struct heater_pins *p = &part->heaters[k];
            bool here = (strcmp(p->from, from) == 0 && strcmp(p->to, to) == 0) ||
                        (strcmp(p->from, to) == 0 && strcmp(p->to, from) == 0);
            if (!here || !gives(part, p)) continue;
            amperes += p->amperes;
            *watts += p->volts * p->amperes;
        }
    }
    return amperes;
}

bool heater_rated(struct set *set, const struct part *part, const char *key, double *volts,
                  double *amperes)
{
    struct token t[QUANTITY_TOKENS];
    double watts;
    int n = part_phrase(set, part, key, t);
    if (n == 0) return false;
    bool good = kind_token(t, n, UNIT_VOLT, volts) && *volts > 0;
    if (good && kind_token(t, n, UNIT_WATT, &watts)) *amperes = watts / *volts;
    else good = good && kind_token(t, n, UNIT_AMPERE, amperes);
    if (good && *amperes > 0)
        return part_between(set, part, key, UNIT_VOLT, *volts, 0.1, 1e3) &&
               part_between(set, part, key, UNIT_AMPERE, *amperes, 1e-3, 100);
    part_complain(set, part, key, "write volts and amperes, or volts and watts: `6.3 V 0.3 A`",
                  "%s: `%s` is not understood", part->name, key);
    return false;
}

bool heater_heating(struct set *set, const struct part *part, bool *indirect)
{
    static const char *const words[] = {"indirect", "direct", NULL};
    int word = part_word(set, part, "heating", words);
    *indirect = word != 1;
    return word >= 0;
}

/* `10 % over the 2.5 V of a 2A3; common practice, no source` */
static const char *limit_source(struct set *set, const char *beyond, double volts, const char *type)
{
    if (!type)
        return arena_printf(set->arena, "10 %% %s rated heater volts; common practice, no source",
                            beyond);
    return arena_printf(set->arena, "10 %% %s the %.4g V of %s; common practice, no source", beyond,
                        volts, type);
}

void heater_watch(struct set *set, const char *subject, int from, int to,
                  struct heater_extreme lowest, struct heater_extreme highest)
{
    kind_probe_volts(set, subject, from, to, PROBE_HEATER);
    struct rating rating = {.subject = subject,
                            .measure = MEASURE_RMS_VOLTAGE,
                            .limit = 1.1 * lowest.volts,
                            .source = limit_source(set, "over", lowest.volts, lowest.type),
                            .system = "",
                            .harm = HARM_HEATER_HIGH};
    set_rate(set, rating);
    if (highest.volts <= 0) return;
    rating.limit = 0.9 * highest.volts;
    rating.at_least = true;
    rating.source = limit_source(set, "under", highest.volts, highest.type);
    rating.harm = HARM_HEATER_LOW;
    set_rate(set, rating);
}

/* --- the kind ------------------------------------------------------------------------------- */

enum { GOOD, BURNT_OUT, CATHODE_SHORTED };

struct heater {
    int from, to;
    int condition;
    const char *cathode, *short_to; /* points of a heater-cathode short */
    double bridge;                  /* [ohm] */
    double volts, amperes;
    struct heater_kind kind;
    const char *of[DEVICE_FOREIGN];
    int of_count;
    const struct model *tube; /* NULL: not told */
    bool dead;                /* every part it heats is out of its socket */
};

static const struct key heater_keys[] = {
    {"across", "two points", KEY_NEEDED | KEY_LIST},
    {"rated", "volts and amperes, e.g. 6.3 V 0.3 A; 0.1 V to 1000 V, 1 mA to 100 A", KEY_SHOWN},
    {"tube", "instead of rated: the type of the tube whose heater it is", KEY_SHOWN},
    {"of", "the part or parts it heats", KEY_LIST},
    {"heating", "direct or indirect", KEY_MODEL | KEY_WORDS},
    {"warm-up", "seconds to 95 % of the settled current", KEY_MODEL},
    {"condition", "good, burnt out or heater-cathode short", KEY_WORDS},
    {"cathode", "heater-cathode short: the point its cathode lies at", KEY_POINTS},
    {"short to", "heater-cathode short: which of its two points touches, the first if missing", 0},
    {"short resistance", "heater-cathode short: ohms between them", 0},
    {NULL, NULL, 0},
};

/* The part with the values of its tube laid under its own keys. */
static struct part with_tube(struct set *set, const struct part *part)
{
    struct part view = *part;
    const char *type = part_name(set, part, "tube"), *near = NULL;
    if (!type) return view;
    if (set->catalogue) {
        view.model = catalogue_find(set->catalogue, type);
        near = catalogue_nearest(set->catalogue, type, NULL);
    }
    if (view.model && node_get(view.model->values, "heater")) {
        view.map = node_overlay(set->arena, view.model->values, part->own);
        return view;
    }
    part_complain(set, part, "tube",
                  near ? arena_printf(set->arena, "did you mean `%s`?", near) : NULL,
                  US_UK("%s: there is no tube `%s` with a heater in the catalogue",
                        "%s: there is no valve `%s` with a heater in the catalogue"),
                  part->name, type);
    return view;
}

/* --- its faults ----------------------------------------------------------------------------- */

/* The pin that does not lie at the reference already. */
static const char *free_pin(const struct set *set, const struct part *part)
{
    const struct heater *h = part->data;
    const char *from = set->circuit->points.at[h->from], *to = set->circuit->points.at[h->to];
    return strcmp(from, set->circuit->reference) == 0 ? to : from;
}

static const char *reference(const struct set *set, const struct part *part)
{
    (void)part;
    return set->circuit->reference;
}

static bool has_sleeve(const struct set *set, const struct part *part)
{
    const struct heater *h = part->data;
    return h->kind.indirect && set->circuit->reference &&
           strcmp(free_pin(set, part), set->circuit->reference) != 0;
}

static const struct part_fault faults[] = {
    {.name = "burnt out", .says = "its wire is open"},
    {.name = "heater-cathode short",
     .says = "its wire touches the cathode sleeve, which is taken to be at the reference",
     .dangerous = true,
     .overloads = true,
     .severity = {.key = "short resistance", UNIT_OHM, 0, 1000, 10},
     .keys = {{.key = "cathode", .word_of = reference}, {.key = "short to", .word_of = free_pin}},
     .can = has_sleeve},
    {.name = NULL},
};

static void read_short(struct set *set, const struct part *part, struct heater *h)
{
    const char *from = set->circuit->points.at[h->from], *to = set->circuit->points.at[h->to];
    if (!h->kind.indirect)
        part_complain(set, part, "condition", NULL,
                      "%s: its filament is its cathode; there is nothing to short between them",
                      part->name);
    h->cathode = part_name(set, part, "cathode");
    if (!h->cathode)
        part_complain(set, part, "condition", "name the point of its cathode: `cathode: chassis`",
                      "%s: what does its heater touch?", part->name);
    h->short_to = part_name(set, part, "short to");
    if (!h->short_to) h->short_to = from;
    if (strcmp(h->short_to, from) != 0 && strcmp(h->short_to, to) != 0)
        part_complain(set, part, "short to",
                      arena_printf(set->arena, "it lies between `%s` and `%s`", from, to),
                      "%s: `%s` is no pin of its heater", part->name, h->short_to);
    else if (h->cathode && strcmp(h->short_to, h->cathode) == 0)
        part_complain(set, part, part_node(part, "short to") ? "short to" : "cathode",
                      arena_printf(set->arena, "it lies between `%s` and `%s`", from, to),
                      "%s: cathode and pin are both on `%s`, so nothing is shorted", part->name,
                      h->cathode);
    h->bridge =
        fault_severity(set, part, 0, "common practice, no source", KNOWN_BY_HEATER_SHORT_IN_STRING);
}

static void read_fault(struct set *set, const struct part *part, struct heater *h, bool placed)
{
    static const char *const conditions[] = {"good", "burnt out", "heater-cathode short", NULL};
    static const char *const keys[] = {"cathode", "short to", "short resistance"};
    for (int i = 0; i < 3; i++) kind_stray(set, part, keys[i], conditions[CATHODE_SHORTED]);
    h->condition = kind_condition(set, part, conditions, NULL);
    if (h->condition == CATHODE_SHORTED && placed) read_short(set, part, h);
}

static void read(struct set *set, struct part *part)
{
    struct heater *h = ARENA_NEW(set->arena, struct heater);
    struct part view = with_tube(set, part);
    part->data = h;
    h->tube = view.model;
    bool placed = part_across(set, part, &h->from, &h->to);
    const char *key = part_node(part, "rated") ? "rated" : "heater";
    if (part_node(&view, key)) heater_rated(set, &view, key, &h->volts, &h->amperes);
    else if (!part_node(part, "tube"))
        part_complain(
            set, part, "rated",
            US_UK("write it as in `rated: 6.3 V 0.3 A`, or name its tube: `tube: 6K7-G`",
                  "write it as in `rated: 6.3 V 0.3 A`, or name its valve: `tube: 6K7-G`"),
            "%s: the heater's volts and amperes are missing", part->name);
    heater_heating(set, &view, &h->kind.indirect);
    part_value(set, &view, "warm-up", UNIT_SECOND, 0.1, &h->kind.warm_up);
    h->of_count = part_names(set, part, "of", 1, DEVICE_FOREIGN, h->of);
    read_fault(set, part, h, placed);
}

static bool can_be_heated(const struct part *part)
{
    for (const struct key *k = part->kind->keys; k->name; k++)
        if (strcmp(k->name, "heated by") == 0) return true;
    return false;
}

static void complain_owner(struct set *set, const struct part *part, const char *name)
{
    suggest_words words = {0};
    for (int i = 0; i < set->parts.n; i++)
        if (can_be_heated(set->parts.at[i])) array_push(set->arena, &words, set->parts.at[i]->name);
    part_complain(set, part, "of", suggest(set->arena, name, &words),
                  "%s: there is no part `%s` that a heater could heat", part->name, name);
}

/* A broken wire ends in the bulb, at a point that nothing else is joined to. */
static void link(struct set *set, struct part *part)
{
    struct heater *h = part->data;
    bool broken = h->condition == BURNT_OUT;
    int end = broken ? circuit_inner(set->circuit, part->name, "break") : h->to;
    struct heater_pins pins = {.from = set->circuit->points.at[h->from],
                               .to = set->circuit->points.at[end],
                               .volts = h->volts,
                               .amperes = h->amperes,
                               .part = part->name};
    int heated = 0;
    for (int i = 0; i < h->of_count; i++) {
        struct part *owner = set_find(set, h->of[i]);
        if (owner && can_be_heated(owner)) heated += heater_give(set, owner, pins, part, "of");
        else if (owner || !set_absent(set, h->of[i])) complain_owner(set, part, h->of[i]);
    }
    h->dead = h->of_count > 0 && heated == 0;
    heater_give(set, part, pins, part, "of");
}

/* Whether it is one of two sections in one cathode: that takes the watts of both, and the section
 * of a pilot lamp runs low by design. */
static bool is_section(const struct circuit *c, const char *heater)
{
    for (int i = 0; i < c->elements.n; i++) {
        const struct element *e = &c->elements.at[i];
        if (e->kind == ELEMENT_PORT && strcmp(e->subject, heater) == 0)
            return c->devices.at[e->group].ports > 1;
    }
    return false;
}

static void stamp_short(struct set *set, const struct part *part)
{
    const struct heater *h = part->data;
    struct circuit *c = set->circuit;
    const char *subject = arena_printf(set->arena, "%s.short", part->name);
    int e = circuit_resistor(c, part->name, "heater-cathode short", circuit_point(c, h->short_to),
                             circuit_point(c, h->cathode), h->bridge);
    circuit_subject(c, e, subject);
    kind_probe_amperes(set, subject, PROBE_OTHER, &e, 1);
}

/* Across a broken wire stand the volts of the whole string: no rating of the heater's. */
static void stamp(struct set *set, struct part *part)
{
    const struct heater *h = part->data;
    struct circuit *c = set->circuit;
    if (h->dead) return;
    if (stamped(c, part->name) < 0) heater_of_pins(set, part, 0, 1, "heater", h->kind);
    int way[4] = {-1, -1, -1, -1}, n = 0;
    const char *type = h->tube ? h->tube->name : NULL;
    for (int i = 0; i < c->elements.n && n < 4; i++)
        if (strcmp(c->elements.at[i].subject, part->name) == 0) way[n++] = i;
    if (h->condition == BURNT_OUT) kind_probe_volts(set, part->name, h->from, h->to, PROBE_HEATER);
    else
        heater_watch(set, part->name, h->from, h->to, (struct heater_extreme){h->volts, type},
                     (struct heater_extreme){is_section(c, part->name) ? 0 : h->volts, type});
    kind_probe_amperes(set, part->name, PROBE_HEATER, way, n);
    if (h->condition == CATHODE_SHORTED && h->cathode) stamp_short(set, part);
}

const struct model *heater_tells(const struct set *set, const char *heater,
                                 struct heater_kind *kind)
{
    const struct part *part = set_find(set, heater);
    *kind = (struct heater_kind){.indirect = true};
    if (!part || part->kind != &kind_heater) return NULL;
    const struct heater *h = part->data;
    *kind = h->kind;
    return h->tube;
}

bool heater_heats(const struct part *part, const char *owner)
{
    if (strcmp(part->name, owner) == 0) return true;
    const struct heater *h = part->kind == &kind_heater ? part->data : NULL;
    for (int i = 0; h && i < h->of_count; i++)
        if (strcmp(h->of[i], owner) == 0) return true;
    return false;
}

const struct part_kind kind_heater = {
    .name = "heater",
    .roles = ROLE_HEATER,
    .faults = faults,
    .says = "a heater of its own pins, as in a series string",
    .example = "V4 heater: {is: heater, across: [string 1, string 2], tube: 50L6-GT}",
    .keys = heater_keys,
    .read = read,
    .link = link,
    .stamp = stamp,
    .order = 50,
};
