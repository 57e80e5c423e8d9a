/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the set draws: amperes at volts from the chart, from a drop over known ohms, or from the
 * tubes themselves, as a 3/2 law, a constant current or a resistance, while its cathodes are warm.
 */
#include "load.h"

#include <math.h>
#include <string.h>

#include "kinds.h"
#include "suggest.h"
#include "tongue.h"

static const struct key keys[] = {
    {"across", "two points, plus first", KEY_NEEDED | KEY_LIST},
    {"draws", "e.g. 64 mA at 255 V, or unknown, or keys of its own", KEY_SHOWN | KEY_OR_MAP},
    {"resistance", "ohms, instead of draws", KEY_SHOWN},
    {"scaled by", "multiple of that current, e.g. 1.5", 0},
    {"like", "tubes, resistance, constant current or output stage", KEY_WORDS},
    {"lineup", "list of tube types", KEY_LIST},
    {"heated by", "the name of a winding, or always hot", 0},
    {"condition", "good, open, shorted or too much", KEY_WORDS},
    {"heaters out", "open: yes when its tubes are out of their sockets", 0},
    {"short resistance", "shorted: ohms of the short", 0},
    {"draws now", "too much: e.g. 100 mA at 250 V", 0},
    {"load", "too much: how much more than usual, e.g. +67 %", 0},
    {"tube", "output stage: its type, e.g. 6F6-G", KEY_SHOWN},
    {"number", "output stage: how many such tubes in parallel", 0},
    {"bias resistor", "output stage: ohms at its cathode", 0},
    {"bias", "output stage: fixed volts at its grid instead, e.g. -16.5 V", 0},
    {"leaky coupling capacitor",
     "output stage: ohms it leaks and volts at the plate before it in a sound set, "
     "e.g. 2 Mohm from 200 V",
     0},
    {"grid resistor", "output stage: ohms from its grid, 500 kohm where not given", 0},
    {"perveance", "output stage: of one tube, instead of draws, e.g. 0.44 mA/V^1.5", 0},
    {"amplification factor", "output stage: of the first grid over the screen", KEY_MODEL},
    {"screen current", "output stage: the screen's amperes of the tube's current", KEY_MODEL},
    {"plate dissipation", "output stage: watts of one plate", KEY_MODEL},
    {"screen dissipation", "output stage: watts of one screen", KEY_MODEL},
    {NULL, NULL, 0},
};

static const struct key draws_keys[] = {
    {"drop", "volts, e.g. 108 V", KEY_NEEDED},
    {"over", "the part or parts the whole current flows through, or ohms, 0.001 to 1e9",
     KEY_NEEDED | KEY_LIST},
    {"at", "volts at the load, e.g. 255 V", 0},
    {NULL, NULL, 0},
};
static const struct part_kind draws_kind = {.name = "load's `draws`", .keys = draws_keys};
static const struct key_inner inner[] = {{"draws", draws_keys, false}, {NULL, NULL, false}};

/* --- what it draws -------------------------------------------------------------------------- */

static void read_over(struct set *set, const struct part *view, struct load *l)
{
    const struct node *over = part_node(view, "over");
    struct complaint why;
    if (!over) return;
    if (over->kind == NODE_SCALAR && quantity_parse(over->text, UNIT_OHM, &l->over_ohms, &why)) {
        part_between(set, view, "over", UNIT_OHM, l->over_ohms, 1e-3, 1e9);
        return;
    }
    l->over_count = part_names(set, view, "over", 1, LOAD_OVER, l->over);
}

static void read_drop(struct set *set, const struct part *part, const struct node *map,
                      struct load *l)
{
    struct part view = kind_view(part, &draws_kind, part->name, map);
    part_check(set, &view);
    part_value(set, &view, "drop", UNIT_VOLT, 1e-6, &l->drop);
    part_value(set, &view, "at", UNIT_VOLT, 1e-3, &l->volts);
    read_over(set, &view, l);
}

static void read_draws(struct set *set, const struct part *part, struct load *l)
{
    const struct node *node = part_node(part, "draws");
    struct token t[QUANTITY_TOKENS];
    if (node->kind == NODE_MAP) {
        read_drop(set, part, node, l);
        return;
    }
    int n = part_phrase(set, part, "draws", t);
    if (n == 0) return;
    bool amperes = kind_token(t, n, UNIT_AMPERE, &l->amperes) && l->amperes > 0;
    bool volts = kind_token(t, n, UNIT_VOLT, &l->volts) && l->volts > 0;
    if (!amperes || (!volts && n > 1))
        part_complain(set, part, "draws", "write it as in `64 mA at 255 V`",
                      "%s: what it draws is not understood", part->name);
}

static void draw_customary(struct set *set, const struct part *part, struct load *l)
{
    double power = 0;
    for (int i = 0; i < l->tubes; i++) {
        l->amperes += l->tube[i].current;
        power += l->tube[i].current * l->tube[i].at;
    }
    if (l->amperes <= 0) {
        part_complain(set, part, "lineup", "write `draws: 64 mA at 255 V`",
                      US_UK("%s: no customary current is known for its tubes",
                            "%s: no customary current is known for its valves"),
                      part->name);
        return;
    }
    l->volts = power / l->amperes;
    l->customary = true;
}

static void read_current(struct set *set, const struct part *part, struct load *l)
{
    bool draws = part_node(part, "draws"), ohms = part_node(part, "resistance");
    double resistance;
    if (draws && part_node(part, "perveance"))
        part_complain(set, part, "perveance", "keep one of them",
                      "%s: `draws` and `perveance` exclude each other", part->name);
    if (draws && ohms)
        part_complain(set, part, "resistance", "keep one of them",
                      "%s: `draws` and `resistance` exclude each other", part->name);
    else if (draws) read_draws(set, part, l);
    else if (ohms) {
        if (!part_value(set, part, "resistance", UNIT_OHM, 1e-3, &resistance)) return;
        l->volts = 100;
        l->amperes = l->volts / resistance;
    } else if (part_node(part, "perveance") && l->like == LOAD_OUTPUT) return;
    else if (l->tubes > 0) draw_customary(set, part, l);
    else if (!part_node(part, "lineup") && !part_node(part, "tube"))
        part_complain(
            set, part, "draws",
            US_UK("write `draws: 64 mA at 255 V`, a resistance, or the lineup of its tubes",
                  "write `draws: 64 mA at 255 V`, a resistance, or the lineup of its valves"),
            "%s: what does it draw?", part->name);
}

static void read_like(struct set *set, const struct part *part, struct load *l)
{
    static const char *const words[] = {"tubes", "constant current", "resistance", "output stage",
                                        NULL};
    int like = part_word(set, part, "like", words);
    bool ohms = part_node(part, "resistance") != NULL, tube = part_node(part, "tube") != NULL;
    if (ohms && like >= 0 && like != LOAD_RESISTANCE)
        part_complain(set, part, "like", "write `draws: 64 mA at 255 V` instead of the resistance",
                      "%s: a load given by its resistance is like a resistance", part->name);
    if (tube && like >= 0 && like != LOAD_OUTPUT)
        part_complain(set, part, "tube", "write `like: output stage`, or `lineup: [6F6-G]`",
                      "%s: `tube` is for an output stage", part->name);
    l->told = like >= 0 || ohms || tube;
    l->like = like >= 0 ? (enum load_kind)like
              : ohms    ? LOAD_RESISTANCE
              : tube    ? LOAD_OUTPUT
                        : LOAD_TUBES;
}

/* Without a word a load is like tubes when its volts are known. */
static void settle_like(struct set *set, const struct part *part, struct load *l)
{
    if (!l->told && l->volts <= 0) l->like = LOAD_CURRENT;
    if (l->like == LOAD_CURRENT || l->volts > 0 || (l->amperes <= 0 && l->drop <= 0)) return;
    part_complain(set, part, "draws", "write it as in `64 mA at 255 V`",
                  "%s: the volts that belong to its current are missing", part->name);
}

static void read_scale(struct set *set, const struct part *part, struct load *l)
{
    l->scale = 1;
    if (!part_value(set, part, "scaled by", UNIT_NUMBER, 1e-3, &l->scale)) return;
    l->more *= l->scale;
    if (l->like == LOAD_OUTPUT)
        part_complain(
            set, part, "scaled by",
            US_UK("change the `number` of its tubes", "change the `number` of its valves"),
            US_UK("%s: an output stage draws what its tubes draw",
                  "%s: an output stage draws what its valves draw"),
            part->name);
}

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good", "open", "shorted", "too much", NULL};
    struct load *l = ARENA_NEW(set->arena, struct load);
    part->data = l;
    part_across(set, part, &l->from, &l->to);
    l->condition = (enum load_condition)kind_condition(set, part, conditions, NULL);
    l->always_hot = kind_says(part, "heated by", "always hot");
    read_like(set, part, l);
    load_lineup(set, part, l);
    read_current(set, part, l);
    settle_like(set, part, l);
    if (l->like == LOAD_OUTPUT) load_output_read(set, part, l);
    load_fault(set, part, l);
    read_scale(set, part, l);
    if (part_node(part, "heated by") && !l->always_hot && l->tubes == 0 &&
        !part_node(part, "lineup") && !part_node(part, "tube"))
        part_complain(set, part, "heated by", "add `lineup: [6A8-G, 6K7-G, 6F6-G]`",
                      US_UK("%s: the winding needs to know its tubes",
                            "%s: the winding needs to know its valves"),
                      part->name);
}

/* --- the drop over other parts -------------------------------------------------------------- */

static void complain_over(struct set *set, const struct part *part, const char *name)
{
    suggest_words words = {0};
    for (int i = 0; i < set->parts.n; i++)
        if (part_ohms(set->parts.at[i], 0) > 0)
            array_push(set->arena, &words, set->parts.at[i]->name);
    part_complain(set, part, "draws", suggest(set->arena, name, &words),
                  "%s: there is no part `%s` with a resistance to drop volts over", part->name,
                  name);
}

/* Cold coils share the drop by their cold ohms. */
static void resolve_drop(struct set *set, const struct part *part, struct load *l)
{
    double cold = 0, ohms = l->over_ohms;
    for (int i = 0; i < l->over_count; i++) {
        const struct part *over = set_find(set, l->over[i]);
        double one = over ? part_ohms(over, 0) : 0;
        if (one <= 0) {
            complain_over(set, part, l->over[i]);
            return;
        }
        cold += one;
    }
    for (int i = 0; i < l->over_count; i++) {
        const struct part *over = set_find(set, l->over[i]);
        ohms += part_ohms(over, l->drop * part_ohms(over, 0) / cold);
    }
    if (ohms > 0) l->amperes = l->drop / ohms;
}

static void link(struct set *set, struct part *part)
{
    struct load *l = part->data;
    if (l->customary) load_customary(set, part, l);
    if (l->drop > 0) resolve_drop(set, part, l);
    for (int i = 0; i < l->tubes; i++)
        if (!heater_on_winding(set, part, l->tube[i].volts, l->tube[i].amperes,
                               l->tube[i].model->name))
            return;
}

double load_scale(const struct part *part)
{
    const struct load *l = part->data;
    return l->scale;
}

static double ohms(const struct part *part, double volts)
{
    const struct load *l = part->data;
    (void)volts;
    return l->like == LOAD_RESISTANCE && l->amperes > 0 ? l->volts / l->amperes : 0;
}

static unsigned also(const struct part *part)
{
    const struct load *l = part->data;
    return l->like == LOAD_OUTPUT ? 0 : ROLE_SCALES;
}

double load_amperes(const struct part *part)
{
    return part->kind == &kind_load ? ((const struct load *)part->data)->amperes : 0;
}

double load_watts(const struct part *part)
{
    const double usual = 250; /* [V], where they are not known */
    if (part->kind != &kind_load) return 0;
    const struct load *l = part->data;
    return l->amperes * (l->volts > 0 ? l->volts : usual); /* in any condition */
}

/* --- writing -------------------------------------------------------------------------------- */

static void assume_hot(struct set *set, const struct part *part, const struct load *l)
{
    if (l->always_hot || l->like == LOAD_RESISTANCE) return;
    set_assume(set,
               (struct assumption){
                   .part = part->name,
                   .key = "heated by",
                   .value = 0,
                   .low = 0,
                   .high = 30,
                   .unit = UNIT_SECOND,
                   .basis = US_UK(
                       "how its tubes are heated is not given: they draw from the first instant",
                       "how its valves are heated is not given: they draw from the first instant"),
                   .known_by = KNOWN_BY_LINEUP,
                   .guess = true});
}

static int stamp_current(struct set *set, const struct part *part, const struct load *l, int tubes,
                         const int *emitter, const double *weight)
{
    struct circuit *c = set->circuit;
    double amperes = (l->now_amperes > 0 ? l->now_amperes : l->amperes) * l->more;
    double volts = l->now_volts > 0 ? l->now_volts : l->volts;
    if (l->like == LOAD_RESISTANCE && tubes == 0)
        return circuit_resistor(c, part->name, "load", l->from, l->to, volts / amperes);
    struct load_law *law = ARENA_NEW(set->arena, struct load_law);
    *law = (struct load_law){.kind = l->like, .amperes = amperes, .volts = volts, .tubes = tubes};
    int device = circuit_device(c, part->name, "load", &law_load, law);
    for (int i = 0; i < tubes; i++) {
        law->weight[i] = weight[i];
        circuit_foreign(c, device, emitter[i]);
    }
    return circuit_port(c, device, "load", l->from, l->to, PORT_BYPASSED);
}

static void stamp(struct set *set, struct part *part)
{
    const struct load *l = part->data;
    int emitter[DEVICE_FOREIGN], element[2], n = 1;
    double weight[DEVICE_FOREIGN];
    int tubes = l->heaters_out ? 0 : load_heaters(set, part, emitter, weight);
    if (l->heaters_out && part->heater_count > 0 && part->heaters[0].part)
        part_complain(set, part, "heaters out", "take each heater out by its `fitted: no`",
                      "%s: its heaters are parts of their own", part->name);
    if (tubes < 0 || l->condition == LOAD_OPEN) return;
    if (tubes == 0 && l->condition != LOAD_SHORTED) assume_hot(set, part, l);
    if (l->condition == LOAD_SHORTED)
        element[0] = circuit_resistor(set->circuit, part->name, "short", l->from, l->to, l->bridge);
    else if (l->like == LOAD_OUTPUT)
        n = load_output_stamp(set, part, tubes, emitter, weight, element);
    else element[0] = stamp_current(set, part, l, tubes, emitter, weight);
    kind_probe_volts(set, part->name, l->from, l->to, PROBE_OTHER);
    kind_probe_amperes(set, part->name, PROBE_OTHER, element, n);
}

const struct part_kind kind_load = {
    .name = "load",
    .roles = ROLE_LOAD,
    .also = also,
    .ohms = ohms,
    .faults = load_faults,
    .says = "what the set draws from its supply",
    .example = "tubes: {is: load, across: [B+, chassis], draws: 64 mA at 255 V,\n"
               "  like: tubes}",
    .keys = keys,
    .inner = inner,
    .read = read,
    .link = link,
    .stamp = stamp,
    .order = 40,
};
