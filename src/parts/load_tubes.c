/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tubes of a load: their types, and their heaters. Equal tubes on one winding warm alike, so
 * one heated body stands for them; heaters of their own pins (series strings) are bodies each. */
#include "load.h"

#include <math.h>
#include <string.h>

#include "kinds.h"
#include "numbers.h"
#include "tongue.h"

/* --- lineup --------------------------------------------------------------------------------- */

static void complain_type(struct set *set, const struct part *part, const char *type,
                          const struct model *model)
{
    const char *key = part_node(part, "tube") ? "tube" : "lineup";
    if (model) {
        part_complain(set, part, key, "a rectifier is a part of its own",
                      US_UK("%s: `%s` is a %s, no tube that draws B+",
                            "%s: `%s` is a %s, no valve that draws HT"),
                      part->name, type, model->kind);
        return;
    }
    const char *near = set->catalogue ? catalogue_nearest(set->catalogue, type, "tube") : NULL;
    part_complain(set, part, key,
                  near ? arena_printf(set->arena, "did you mean `%s`?", near)
                       : "leave it out and say in `draws` what the set draws",
                  US_UK("%s: there is no tube `%s` in the catalogue",
                        "%s: there is no valve `%s` in the catalogue"),
                  part->name, type);
}

/* A phrase of a model (its file has been checked); 0 when missing. */
static int model_phrase(const struct model *m, const char *key, struct token t[QUANTITY_TOKENS])
{
    const struct node *node = node_get(m->values, key);
    struct complaint why;
    return node && node->kind == NODE_SCALAR ? quantity_scan(node->text, t, &why) : 0;
}

static void read_tube(struct set *set, const struct part *part, const struct model *m,
                      struct load_tube *tube)
{
    struct token t[QUANTITY_TOKENS];
    struct part view = {.name = part->name, .at = part->at, .map = m->values, .own = m->values};
    *tube = (struct load_tube){.model = m};
    int n = model_phrase(m, "current", t);
    if (!kind_token(t, n, UNIT_AMPERE, &tube->current) || !kind_token(t, n, UNIT_VOLT, &tube->at))
        tube->current = tube->at = 0;
    n = model_phrase(m, "heater", t);
    if (!kind_token(t, n, UNIT_VOLT, &tube->volts) ||
        !kind_token(t, n, UNIT_AMPERE, &tube->amperes))
        part_complain(set, part, "lineup", NULL, "%s: the catalogue has no heater of `%s`",
                      part->name, m->name);
    heater_heating(set, &view, &tube->heating.indirect);
    part_value(set, &view, "warm-up", UNIT_SECOND, 0.1, &tube->heating.warm_up);
    if (tube->heating.warm_up <= 0)
        tube->heating.warm_up = heater_warm_up(tube->heating.indirect, tube->volts, tube->amperes);
}

/* The equal tubes of an output stage. */
static int read_stage(struct set *set, const struct part *part, struct load *l, const char **types)
{
    double number = 1;
    if (part_node(part, "lineup"))
        part_complain(set, part, "lineup",
                      US_UK("name its tube in `tube:`; the others are another load",
                            "name its valve in `tube:`; the others are another load"),
                      "%s: an output stage has no lineup", part->name);
    part_value(set, part, "number", UNIT_NUMBER, 1, &number);
    if (number != floor(number) || number > LOAD_LINEUP) {
        part_complain(set, part, "number", "write `number: 2`",
                      "%s: `number` takes a whole number up to %d", part->name, LOAD_LINEUP);
        number = 1;
    }
    l->output.number = (int)number;
    const char *type = part_name(set, part, "tube");
    for (int i = 0; i < l->output.number && type; i++) types[i] = type;
    return type ? l->output.number : 0;
}

void load_lineup(struct set *set, const struct part *part, struct load *l)
{
    const char *types[LOAD_LINEUP];
    int n = l->like == LOAD_OUTPUT ? read_stage(set, part, l, types)
                                   : part_names(set, part, "lineup", 1, LOAD_LINEUP, types);
    for (int i = 0; i < n; i++) {
        const struct model *m = set->catalogue ? catalogue_find(set->catalogue, types[i]) : NULL;
        if (m && strcmp(m->kind, "tube") == 0) read_tube(set, part, m, &l->tube[l->tubes++]);
        else complain_type(set, part, types[i], m);
    }
}

/* --- what they draw -------------------------------------------------------------------------- */

#define BEHIND_FILTER 1.15 /* direct volts of a loaded capacitor input over RMS volts of a half */
#define OF_PLATE_WATTS 0.9 /* what output tubes in push-pull are set to without signal */

/* Direct volts that the highest winding makes; 0: there is none. Common practice, no source. */
static double filtered_volts(const struct set *set)
{
    double most = 0;
    struct part_winding w;
    for (int i = 0; i < set->parts.n; i++)
        for (int k = 0; part_turns(set, set->parts.at[i], k, &w); k++)
            for (int h = 0; h < w.halves; h++) most = larger(most, w.volts[h]);
    return BEHIND_FILTER * most;
}

static double watts_of_plate(const struct load_tube *tube)
{
    struct token t[QUANTITY_TOKENS];
    double watts = 0;
    kind_token(t, model_phrase(tube->model, "plate dissipation", t), UNIT_WATT, &watts);
    return watts;
}

/* Two output tubes of a type: push-pull. */
static bool paired(const struct load *l, int i)
{
    int alike = 0;
    for (int k = 0; k < l->tubes; k++) alike += l->tube[k].model == l->tube[i].model;
    return alike >= 2 && l->like == LOAD_TUBES && watts_of_plate(&l->tube[i]) > 0;
}

/* One tube's amperes at so many volts. Bias holds the plates of a pair inside their watts, whatever the
 * volts; class A figures carried to them would burn it. */
static double current_at(const struct load *l, int i, double volts)
{
    const struct load_tube *tube = &l->tube[i];
    double up = tube->current * pow(volts / tube->at, 1.5), screen = 0;
    struct token t[QUANTITY_TOKENS];
    if (!paired(l, i)) return up;
    kind_token(t, model_phrase(tube->model, "screen current", t), UNIT_AMPERE, &screen);
    return smaller(up, OF_PLATE_WATTS * watts_of_plate(tube) / volts + screen);
}

void load_customary(struct set *set, const struct part *part, struct load *l)
{
    double high = filtered_volts(set), amperes = 0;
    bool pair = false;
    for (int i = 0; i < l->tubes; i++) pair |= paired(l, i);
    if (pair && high > l->volts) {
        for (int i = 0; i < l->tubes; i++) amperes += current_at(l, i, high);
        l->amperes = amperes;
        l->volts = high;
    }
    char volts[40];
    quantity_text(l->volts, UNIT_VOLT, 3, volts, sizeof volts);
    const char *basis = arena_printf(
        set->arena,
        pair ? US_UK("customary currents of its tubes, at %s, a pair inside its plate watts",
                     "customary currents of its valves, at %s, a pair inside its anode watts")
             : US_UK("sum of the customary currents of its tubes, at %s",
                     "sum of the customary currents of its valves, at %s"),
        volts);
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "draws",
                                        .value = l->amperes,
                                        .low = 0.7 * l->amperes,
                                        .high = 1.3 * l->amperes,
                                        .unit = UNIT_AMPERE,
                                        .basis = basis,
                                        .known_by = KNOWN_BY_CHOKE_DROP,
                                        .guess = true});
}

/* --- heaters -------------------------------------------------------------------------------- */

/* Turns currents or, where one is not known, watts into shares. */
static void share(int n, const double *current, const double *watts, double *weight)
{
    bool known = true;
    double sum = 0;
    for (int i = 0; i < n; i++) known = known && current[i] > 0;
    for (int i = 0; i < n; i++) sum += known ? current[i] : watts[i];
    for (int i = 0; i < n; i++) weight[i] = (known ? current[i] : watts[i]) / sum;
}

static bool has_room(struct set *set, const struct part *part, int n)
{
    if (n <= DEVICE_FOREIGN) return true;
    part_complain(set, part, "lineup", "split it into two loads",
                  "%s: %d heaters that differ, at most %d are followed", part->name, n,
                  DEVICE_FOREIGN);
    return false;
}

/* Its tube as told by the heater part, or by the same place in the lineup. */
static const struct model *tube_of(const struct set *set, const struct part *part, int i,
                                   struct heater_kind *kind, double *current)
{
    const struct load *l = part->data;
    const struct model *model = heater_tells(set, part->heaters[i].part, kind);
    struct token t[QUANTITY_TOKENS];
    *current = 0;
    if (!model && l->tubes == part->heater_count) {
        *current = l->tube[i].current;
        kind->indirect = l->tube[i].heating.indirect;
        return l->tube[i].model;
    }
    if (model) kind_token(t, model_phrase(model, "current", t), UNIT_AMPERE, current);
    return model;
}

static int stamp_parts(struct set *set, const struct part *part, int *emitter, double *weight)
{
    double current[DEVICE_FOREIGN], watts[DEVICE_FOREIGN];
    int n = part->heater_count;
    if (!has_room(set, part, n)) return -1;
    for (int i = 0; i < n; i++) {
        struct heater_kind kind;
        tube_of(set, part, i, &kind, &current[i]);
        watts[i] = part->heaters[i].volts * part->heaters[i].amperes;
        emitter[i] = heater_of_pins(set, part, i, 1, "heater", kind);
    }
    share(n, current, watts, weight);
    return n;
}

static bool alike(const struct load_tube *a, const struct load_tube *b)
{
    return a->volts == b->volts && a->amperes == b->amperes &&
           a->heating.indirect == b->heating.indirect && a->heating.warm_up == b->heating.warm_up;
}

static int stamp_group(struct set *set, const struct part *part, const struct load_tube *tube,
                       int count)
{
    const struct heater_pins *pins = &part->heaters[0];
    struct heater_body body = {.indirect = tube->heating.indirect,
                               .warm_up = tube->heating.warm_up,
                               .parallel = count,
                               .sections = 1,
                               .volts = {tube->volts},
                               .amperes = {tube->amperes},
                               .from = {circuit_point(set->circuit, pins->from)},
                               .to = {circuit_point(set->circuit, pins->to)},
                               .part = {arena_printf(set->arena, "%s.heaters", part->name)}};
    const char *role =
        arena_printf(set->arena, "%.4g V %.4g A %s %.4g s", tube->volts, tube->amperes,
                     body.indirect ? "indirect" : "direct", body.warm_up);
    if (!node_get(tube->model->values, "warm-up")) heater_assume(set, part->name, body.warm_up);
    return heater_stamp(set, role, &body);
}

static struct heater_extreme extreme(const struct load_tube *tube)
{
    return (struct heater_extreme){tube->volts, tube->model->name};
}

static int stamp_winding(struct set *set, const struct part *part, int *emitter, double *weight)
{
    const struct load *l = part->data;
    double current[LOAD_LINEUP] = {0}, watts[LOAD_LINEUP] = {0};
    struct heater_extreme lowest, highest;
    int count[LOAD_LINEUP] = {0}, first[LOAD_LINEUP], n = 0;
    lowest = highest = extreme(&l->tube[0]);
    for (int i = 0; i < l->tubes; i++) {
        const struct load_tube *tube = &l->tube[i];
        int g = 0;
        while (g < n && !alike(tube, &l->tube[first[g]])) g++;
        if (g == n) first[n++] = i;
        count[g]++;
        current[g] += tube->current;
        watts[g] += tube->volts * tube->amperes;
        if (tube->volts < lowest.volts) lowest = extreme(tube);
        if (tube->volts > highest.volts) highest = extreme(tube);
    }
    if (!has_room(set, part, n)) return -1;
    for (int g = 0; g < n; g++) emitter[g] = stamp_group(set, part, &l->tube[first[g]], count[g]);
    share(n, current, watts, weight);
    heater_watch(set, arena_printf(set->arena, "%s.heaters", part->name),
                 circuit_point(set->circuit, part->heaters[0].from),
                 circuit_point(set->circuit, part->heaters[0].to), lowest, highest);
    return n;
}

int load_heaters(struct set *set, struct part *part, int emitter[DEVICE_FOREIGN],
                 double weight[DEVICE_FOREIGN])
{
    heater_settle(part);
    if (part->heater_count == 0) return 0;
    return part->heaters[0].part ? stamp_parts(set, part, emitter, weight)
                                 : stamp_winding(set, part, emitter, weight);
}
