/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a power transformer from what a technician can measure: open-circuit volts and direct
 * current resistances. */
#include "transformer.h"

#include <math.h>
#include <string.h>

#include "bounds.h"
#include "kinds.h"
#include "numbers.h"
#include "tongue.h"

static const struct key keys[] = {
    {"primary", "keys of its own", KEY_NEEDED | KEY_MAP},
    {"windings", "the name of each winding, then its keys", KEY_NEEDED | KEY_MAP},
    {"magnetising current", "RMS amperes at rated line with all tubes out", 0},
    {"core loss", "watts at rated line with all tubes out", 0},
    {"leakage inductance", "henries, seen from the primary", 0},
    {"air-core inductance", "henries, seen from the primary, core saturated", 0},
    {"saturation", "multiple of rated peak flux, e.g. 1.4", 0},
    {"remanence", "fraction of the saturation flux, -1 to 1", 0},
    {"mass", "of the whole, e.g. 2.5 kg: how fast it warms", 0},
    {"thermal resistance", "copper to room, kelvins per watt of all its losses, e.g. 3 K/W", 0},
    {"insulation class", "A, E, B, F or H; old paper and cotton are A", KEY_WORDS},
    {"condition", "good, shorted turns, one half open, or winding grounded", KEY_WORDS},
    {"winding", "which one the condition is of; the high voltage when left out", 0},
    {"turns", "shorted turns: share of the winding, e.g. 5 %", 0},
    {"contact", "shorted turns, winding grounded: ohms of the contact", 0},
    {"half", "one half open, shorted turns: 1 or 2", 0},
    {"at", "winding grounded: place along the winding, 0 % at its first point", 0},
    {"to", "winding grounded: the point it touches, chassis when left out", KEY_POINTS},
    {"ideal", "yes: no magnetising current, leakage, core loss or warming", 0},
    {NULL, NULL, 0},
};

static const struct key primary_keys[] = {
    {"across", "two points; [line, neutral] when left out", KEY_LIST},
    {"rated", "volts, e.g. 117 V, or 117 V 60 Hz; 1 V to 10 kV", KEY_NEEDED},
    {"resistance", "ohms, or unknown", KEY_NEEDED | KEY_UNKNOWN},
    {NULL, NULL, 0},
};
static const struct part_kind primary_kind = {.name = "primary", .keys = primary_keys};

static const struct key winding_keys[] = {
    {"across", "two ends, or [end, tap, end]", KEY_LIST},
    {"open circuit",
     "RMS volts end to end, or a list of one per half, or unknown; 0.1 V to 10 kV each",
     KEY_NEEDED | KEY_UNKNOWN | KEY_LIST},
    {"with line at", "RMS volts on the primary at that reading", 0},
    {"with", "tubes out or tubes in", KEY_WORDS},
    {"resistance", "ohms end to end, or a list of one per half, or unknown", KEY_LIST},
    {"rated", "RMS amperes it may carry, e.g. 3 A", 0},
    {NULL, NULL, 0},
};
static const struct part_kind winding_kind = {.name = "winding", .keys = winding_keys};

static const struct key_inner inner[] = {
    {"primary", primary_keys, false}, {"windings", winding_keys, true}, {NULL, NULL, false}};

/* --- primary -------------------------------------------------------------------------------- */

static void read_primary(struct set *set, const struct part *part, struct transformer *t)
{
    const struct node *map = part_node(part, "primary");
    struct token tokens[QUANTITY_TOKENS];
    if (!map) return;
    if (map->kind != NODE_MAP) {
        part_complain(set, part, "primary", "write `primary: {rated: 117 V, resistance: 8.4 ohm}`",
                      "%s: the primary takes keys", part->name);
        return;
    }
    struct part view =
        kind_view(part, &primary_kind, arena_printf(set->arena, "%s.primary", part->name), map);
    part_check(set, &view);
    t->on_mains = !part_node(&view, "across");
    if (!t->on_mains) {
        part_across(set, &view, &t->from, &t->to);
    } else {
        t->from = circuit_point(set->circuit, set->line[0]);
        t->to = circuit_point(set->circuit, set->line[1]);
    }
    t->frequency = set->frequency;
    int n = part_phrase(set, &view, "rated", tokens);
    if (n > 0 && (!kind_token(tokens, n, UNIT_VOLT, &t->rated) || t->rated <= 0))
        part_complain(set, &view, "rated", "write it as in `117 V`", "%s: no rated volts",
                      view.name);
    else if (n > 0) part_between(set, &view, "rated", UNIT_VOLT, t->rated, 1, 1e4);
    if (kind_token(tokens, n, UNIT_HERTZ, &t->frequency) && t->frequency <= 0)
        part_complain(set, &view, "rated", NULL, "%s: the frequency must be above zero", view.name);
    if (!part_value(set, &view, "resistance", UNIT_OHM, 0, &t->ohms) &&
        !part_node(&view, "resistance"))
        t->ohms = (double)NAN;
}

/* --- windings ------------------------------------------------------------------------------- */

/* One value or a list of two; returns how many, 0 when missing or wrong. */
static int read_list(struct set *set, const struct part *view, const char *key, enum unit unit,
                     double values[2])
{
    const struct node *node = part_node(view, key);
    if (!node) return 0;
    if (node->kind == NODE_SCALAR) return part_value(set, view, key, unit, 0, values);
    if (node->kind != NODE_LIST || node->n < 1 || node->n > 2) {
        part_complain(set, view, key, "one value end to end, or a list of one per half",
                      "%s: `%s` takes one value or two", view->name, key);
        return 0;
    }
    for (int i = 0; i < node->n; i++) {
        struct complaint why = {.message = "a value is missing"};
        const struct node *item = node->items[i];
        bool good = item->kind == NODE_SCALAR &&
                    quantity_parse(item->text, unit, &values[i], &why) &&
                    bounds_hold(values[i], unit, &why);
        if (good && values[i] >= 0) continue;
        diags_add(set->diags, DIAG_ERROR, item->at, good || !why.hint[0] ? NULL : why.hint,
                  "%s: %s", view->name, good ? "the value may not be negative" : why.message);
        return 0;
    }
    return node->n;
}

static int own_point(struct set *set, const struct part *part, const char *winding, int end)
{
    return circuit_inner(set->circuit, part->name,
                         arena_printf(set->arena, "%s end %d", winding, end));
}

static void read_ends(struct set *set, const struct part *part, const struct part *view,
                      struct winding *w)
{
    const char *names[3];
    w->halves = 1;
    if (!part_node(view, "across")) {
        w->half[0].from = own_point(set, part, w->name, 1);
        w->half[0].to = own_point(set, part, w->name, 2);
        return;
    }
    int n = part_names(set, view, "across", 2, 3, names);
    w->named = true;
    for (int i = 0; i + 1 < n; i++) {
        w->half[i].from = circuit_point(set->circuit, names[i]);
        w->half[i].to = circuit_point(set->circuit, names[i + 1]);
    }
    if (n == 3) w->halves = 2;
}

static void read_open_circuit(struct set *set, const struct part *view, double line,
                              struct winding *w)
{
    double volts[2];
    if (!part_node(view, "open circuit")) {
        w->volts_unknown = true;
        w->line = line;
        for (int i = 0; i < w->halves; i++) w->half[i].volts = 1;
        return;
    }
    int n = read_list(set, view, "open circuit", UNIT_VOLT, volts);
    if (n == 2 && w->halves == 1)
        part_complain(set, view, "open circuit",
                      "write `across: [one end, tap, other end]`, or the volts end to end",
                      "%s: two halves need a tap", view->name);
    for (int i = 0; i < w->halves && n > 0; i++) {
        w->half[i].volts = n == 2 ? volts[i] : volts[0] / w->halves;
        if (!part_between(set, view, "open circuit", UNIT_VOLT, w->half[i].volts, 0.1, 1e4))
            w->half[i].volts = 1;
    }
}

static void read_loaded(struct set *set, const struct part *view, struct winding *w)
{
    static const char *const words[] = {"tubes out", "tubes in", NULL};
    const double added = 1.04;
    if (part_word(set, view, "with", words) != 1 || w->volts_unknown) return;
    for (int i = 0; i < w->halves; i++) w->half[i].volts *= added;
    double volts = w->half[0].volts + (w->halves > 1 ? w->half[1].volts : 0);
    set_assume(
        set, (struct assumption){
                 .part = view->name,
                 .key = "open circuit",
                 .value = volts,
                 .low = volts / added,
                 .high = volts * 1.05,
                 .unit = UNIT_VOLT,
                 .basis = US_UK("4 % over the reading with tubes in; common practice, no source",
                                "4 % over the reading with valves in; common practice, no source"),
                 .known_by = KNOWN_BY_VOLTS_TUBES_OUT,
                 .guess = true});
}

static double halves_volts(const struct winding *w)
{
    return w->half[0].volts + (w->halves > 1 ? w->half[1].volts : 0);
}

static void read_copper(struct set *set, const struct part *view, double rated, struct winding *w)
{
    double ohms[2], volts = halves_volts(w);
    int n = read_list(set, view, "resistance", UNIT_OHM, ohms);
    for (int i = 0; i < w->halves; i++)
        w->half[i].ohms = n == 0 || volts <= 0 ? (double)NAN
                          : n == 2             ? ohms[i]
                                               : ohms[0] * w->half[i].volts / volts;
    if (n == 2 && w->halves == 1)
        part_complain(set, view, "resistance", "write the ohms end to end",
                      "%s: two halves need a tap", view->name);
    if (n == 0 && volts * rated > 50 * w->line && !node_get(view->map, "resistance"))
        part_complain(set, view, "resistance",
                      "read it with an ohmmeter, the rectifier pulled, or write `unknown`",
                      "%s: the resistance of a high-voltage winding is missing", view->name);
}

static void read_winding(struct set *set, const struct part *part, const struct transformer *t,
                         const struct pair *pair, struct winding *w)
{
    w->name = pair->key;
    w->line = t->rated;
    const char *name = arena_printf(set->arena, "%s.%s", part->name, w->name), *fault;
    if ((fault = part_name_fault(w->name)))
        diags_add(set->diags, DIAG_ERROR, pair->at, NULL, "the name of a winding %s", fault);
    if (pair->value->kind != NODE_MAP) {
        diags_add(set->diags, DIAG_ERROR, pair->at, "write at least `open circuit:` below it",
                  "%s takes keys", name);
        w->halves = 1;
        return;
    }
    struct part view = kind_view(part, &winding_kind, name, pair->value);
    part_check(set, &view);
    read_ends(set, part, &view, w);
    part_value(set, &view, "with line at", UNIT_VOLT, 1, &w->line);
    read_open_circuit(set, &view, t->rated, w);
    read_loaded(set, &view, w);
    part_value(set, &view, "rated", UNIT_AMPERE, 1e-6, &w->rated);
    read_copper(set, &view, t->rated, w);
    for (int i = 0; i < w->halves; i++)
        w->half[i].subject = w->halves == 1 ? name : arena_printf(set->arena, "%s %d", name, i + 1);
}

static void read_windings(struct set *set, const struct part *part, struct transformer *t)
{
    const struct node *map = part_node(part, "windings");
    if (!map) return;
    if (map->kind != NODE_MAP || map->n == 0) {
        part_complain(set, part, "windings", "write the name of each winding and its keys below it",
                      "%s: there are no windings", part->name);
        return;
    }
    t->winding = ARENA_ARRAY(set->arena, struct winding, map->n);
    for (int i = 0; i < map->n; i++)
        read_winding(set, part, t, &map->pairs[i], &t->winding[t->windings++]);
}

/* --- iron ----------------------------------------------------------------------------------- */

static void read_iron(struct set *set, const struct part *part, struct iron *iron)
{
    const struct {
        const char *key;
        enum unit unit;
        double least;
        double *value;
    } rows[] = {
        {"magnetising current", UNIT_AMPERE, 1e-6, &iron->magnetising},
        {"core loss", UNIT_WATT, 1e-6, &iron->loss},
        {"leakage inductance", UNIT_HENRY, 1e-6, &iron->leakage},
        {"air-core inductance", UNIT_HENRY, 1e-6, &iron->air},
        {"saturation", UNIT_NUMBER, 1, &iron->saturation},
        {"remanence", UNIT_NUMBER, -1, &iron->remanence},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        *rows[i].value = (double)NAN;
        part_value(set, part, rows[i].key, rows[i].unit, rows[i].least, rows[i].value);
    }
    if (iron->remanence > 1)
        part_complain(set, part, "remanence", NULL, "%s: the remanence is at most 1", part->name);
}

static void read(struct set *set, struct part *part)
{
    static const char *const yes[] = {"no", "yes", NULL};
    struct transformer *t = ARENA_NEW(set->arena, struct transformer);
    part->data = t;
    t->rated = 1;
    t->ideal = part_word(set, part, "ideal", yes) == 1;
    read_primary(set, part, t);
    read_windings(set, part, t);
    read_iron(set, part, &t->iron);
    transformer_read_warmth(set, part, &t->warmth);
    transformer_read_fault(set, part, t);
}

/* --- answers to other parts ----------------------------------------------------------------- */

static bool find_winding(const struct set *set, const struct part *part, const char *name,
                         const char **from, const char **to, double *volts)
{
    const struct transformer *t = part->data;
    for (int i = 0; i < t->windings; i++) {
        const struct winding *w = &t->winding[i];
        if (strcmp(w->name, name) != 0) continue;
        *from = set->circuit->points.at[w->half[0].from];
        *to = set->circuit->points.at[w->half[w->halves - 1].to];
        *volts = w->volts_unknown ? 0 : halves_volts(w) * set->line_volts / w->line;
        return true;
    }
    return false;
}

static unsigned also(const struct part *part)
{
    const struct transformer *t = part->data;
    return (t->on_mains ? ROLE_PRIMARY_ON_MAINS : 0u) | (!t->ideal ? ROLE_CORE : 0u);
}

static double volts(const struct part *part)
{
    const struct transformer *t = part->data;
    return t->rated;
}

static bool way(const struct set *set, const struct part *part, int k, struct part_way *way)
{
    const struct transformer *t = part->data;
    if (k >= t->windings) return false;
    const struct winding *w = &t->winding[k];
    way->name = w->name;
    for (int i = 0; i < w->halves; i++) way->volts[i] = w->half[i].volts;
    for (int i = 0; i < w->halves && w->named; i++) {
        way->point[i] = set->circuit->points.at[w->half[i].from];
        way->point[i + 1] = set->circuit->points.at[w->half[i].to];
        way->points = i + 2;
    }
    return true;
}

static bool primary(const struct set *set, const struct part *part, struct part_way *way)
{
    const struct transformer *t = part->data;
    *way = (struct part_way){.points = 2, .volts = {t->rated}};
    way->point[0] = set->circuit->points.at[t->from];
    way->point[1] = set->circuit->points.at[t->to];
    return true;
}

/* The outside end of a half about a tap; of a whole winding both ends count. */
static bool ends_at(const struct winding *w, int half, int point)
{
    const struct half *h = &w->half[half];
    if (w->halves == 2) return (half == 0 ? h->from : h->to) == point;
    return h->from == point || h->to == point;
}

bool transformer_plate(const struct set *set, int point, struct plate_supply *supply)
{
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        const struct transformer *t = part->kind == &kind_transformer ? part->data : NULL;
        for (int k = 0; t && k < t->windings; k++) {
            const struct winding *w = &t->winding[k];
            for (int j = 0; j < w->halves; j++) {
                const struct half *h = &w->half[j];
                if (!ends_at(w, j, point)) continue;
                supply->subject = h->subject;
                supply->volts = h->volts * set->plug_volts / w->line;
                supply->ohms = h->ohms + sq(h->volts / w->line) * (t->ohms + set->mains_resistance);
                return true;
            }
        }
    }
    return false;
}

const struct part_kind kind_transformer = {
    .name = "power transformer",
    .says = "a power transformer, by its open-circuit volts and ohms",
    .example = "T1:\n"
               "  is: power transformer\n"
               "  primary: {across: [line, neutral], rated: 117 V, resistance: 8.4 ohm}\n"
               "  windings:\n"
               "    high voltage:\n"
               "      across: [plate 1, chassis, plate 2]\n"
               "      open circuit: [344 V, 346 V]\n"
               "      resistance: [112 ohm, 121 ohm]\n"
               "    rectifier heater: {open circuit: 5.3 V}",
    .keys = keys,
    .inner = inner,
    .read = read,
    .stamp = transformer_stamp,
    .order = 10,
    .winding = find_winding,
    .roles = ROLE_TRANSFORMER,
    .also = also,
    .volts = volts,
    .way = way,
    .turns = transformer_wanted,
    .primary = primary,
    .faults = transformer_faults,
};
