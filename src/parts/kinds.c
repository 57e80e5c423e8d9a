/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of all kinds, and the few things several of them do alike. Nothing else in the program
 * tells kinds apart. */
#include "kinds.h"

#include <assert.h>
#include <string.h>

const struct part_kind *const kinds_all[] = {
    &kind_transformer,
    &kind_rectifier,
    &kind_capacitor,
    &kind_choke,
    &kind_field_coil,
    &kind_resistor,
    &kind_load,
    &kind_heater,
    &kind_lamp,
    &kind_battery,
    &kind_switch,
    &kind_fuse,
    &kind_thermistor,
    &kind_barretter,
    &kind_isolation_transformer,
    &kind_variable_transformer,
    NULL,
};

const struct part_kind *kind_find(const char *name)
{
    for (int i = 0; kinds_all[i]; i++)
        if (strcmp(kinds_all[i]->name, name) == 0) return kinds_all[i];
    return NULL;
}

int kind_condition(struct set *set, const struct part *part, const char *const known[],
                   const char *const later[])
{
    const struct node *node = part_node(part, "condition");
    if (!node) return 0;
    for (int i = 0; later && later[i] && node->kind == NODE_SCALAR; i++) {
        if (strcmp(node->text, later[i]) != 0) continue;
        part_complain(set, part, "condition", NULL,
                      "the condition `%s` of a %s is not known to this version", later[i],
                      part->kind->name);
        return 0;
    }
    int found = part_word(set, part, "condition", known);
    return found < 0 ? 0 : found;
}

const char *kind_in_variant(const struct set *set)
{
    if (!set->variant || strcmp(set->variant, "base") == 0) return "";
    return arena_printf(set->arena, " (variant `%s`)", set->variant);
}

void kind_stray(struct set *set, const struct part *part, const char *key, const char *condition)
{
    if (!part_node(part, key) || part_node(part, "condition")) return;
    part_complain(set, part, key, arena_printf(set->arena, "add `condition: %s`", condition),
                  "%s: `%s` describes a failing %s, but no condition is given", part->name, key,
                  part->kind->name);
}

void kind_assume(struct set *set, const struct part *part, const char *key, double value,
                 double low, double high, enum unit unit, const char *basis, enum known_by known_by)
{
    set_assume(
        set, (struct assumption){part->name, key, value, low, high, unit, basis, known_by, false});
}

bool kind_says(const struct part *part, const char *key, const char *word)
{
    const struct node *node = part_node(part, key);
    return node && node->kind == NODE_SCALAR && strcmp(node->text, word) == 0;
}

bool kind_token(const struct token *tokens, int n, enum unit unit, double *value)
{
    for (int i = 0; i < n; i++) {
        if (tokens[i].is_word || tokens[i].unit != unit) continue;
        *value = tokens[i].value;
        return true;
    }
    return false;
}

double kind_copper_coefficient(double kelvin)
{
    return 1 / (kelvin - (ZERO_CELSIUS - 234.5));
}

struct part kind_view(const struct part *part, const struct part_kind *kind, const char *name,
                      const struct node *map)
{
    struct part view = *part;
    view.name = name;
    view.kind = kind;
    view.at = map->at;
    view.map = view.own = map;
    view.model = NULL;
    view.heater_count = 0;
    return view;
}

void kind_probe_volts(struct set *set, const char *subject, int from, int to, unsigned flags)
{
    circuit_probe(
        set->circuit,
        (struct probe){
            .kind = PROBE_VOLTAGE, .flags = flags, .subject = subject, .from = from, .to = to});
}

void kind_probe_amperes(struct set *set, const char *subject, unsigned flags, const int *elements,
                        int n)
{
    struct probe probe = {.kind = PROBE_CURRENT, .flags = flags, .subject = subject};
    for (int i = 0; i < n; i++) {
        if (elements[i] < 0) continue;
        assert(probe.count < (int)(sizeof probe.elements / sizeof probe.elements[0]));
        probe.elements[probe.count] = elements[i];
        probe.signs[probe.count++] = 1;
    }
    circuit_probe(set->circuit, probe);
}

void kind_rate(struct set *set, const struct part *part, const char *key, struct rating rating)
{
    bool own = node_get(part->own, key) != NULL;
    const struct node *system = part_node(part, "rating system");
    if (own && !node_get(part->own, "rating system")) system = NULL;
    rating.source = part_source(part, key);
    rating.system = system && system->kind == NODE_SCALAR ? system->text : "";
    /* what nobody has read in a sheet excuses nothing */
    if (*rating.system && strstr(part_source(part, "rating system"), "from memory"))
        rating.system = arena_printf(set->arena, "believed %s", rating.system);
    set_rate(set, rating);
}
