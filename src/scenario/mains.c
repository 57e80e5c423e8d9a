/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outlet: source, its resistance, what stands in series with the plug, the switch, then the two
 * points of the set. What is in series becomes parts like others, each between two inner points.
 * The wave has phase 0 at all times; the angle at which the switch closes is a matter of the run,
 * which shifts the sources' time. */
#include "mains.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "scenario_keys.h"

const struct key mains_keys[] = {
    {"voltage", "volts RMS, e.g. 117 V; 1 V to 10 kV", KEY_NEEDED},
    {"frequency", "hertz, e.g. 60 Hz", 0},
    {"resistance", "ohms of the wiring up to the outlet, e.g. 0.3 ohm", 0},
    {"across", "the two points of the plug; [line, neutral] when missing", KEY_POINTS | KEY_LIST},
    {"closes at", "zero, crest, an angle such as 30 deg, or worst", 0},
    {"through",
     "what is in series with the plug (`parts through`), e.g. {lamp: 60 W 120 V, fuse: 1 A "
     "slow}",
     KEY_OR_MAP},
    {"state", "on or off", KEY_WORDS},
    {"plugged", "as drawn or reversed", KEY_WORDS},
    {"shape", "sine or square", KEY_WORDS},
    {"dwell", "part of each half period at full voltage, e.g. 0.9", 0},
    {"gap", "open or shorted; of a square wave: a vibrator's contact, or no volts", KEY_WORDS},
    {NULL, NULL, 0},
};

/* Named as the kinds of the parts they become. */
const struct key through_keys[] = {
    {"resistor", "ohms, e.g. 25 ohm", KEY_OR_MAP},
    {"lamp", "a type or its ratings, e.g. 60 W 120 V", KEY_OR_MAP},
    {"fuse", "a type or its ratings, e.g. 1 A slow", KEY_OR_MAP},
    {"thermistor", "a type, e.g. CL-90", KEY_OR_MAP},
    {"isolation transformer", "its size, e.g. 150 VA", KEY_OR_MAP},
    {"variable transformer", "the volts it is set to, e.g. 60 V", KEY_OR_MAP},
    {NULL, NULL, 0},
};

static const struct part_kind mains_kind = {
    .name = "mains", .says = "the outlet", .keys = mains_keys};
static const struct part_kind through_kind = {
    .name = "through", .says = "in series with the plug", .keys = through_keys};

enum { LEAST_VOLTS = 1, MOST_VOLTS = 10000, LEAST_HERTZ = 5 };

/* ---- reading ---- */

void mains_points(const struct node *map, const char *points[2], struct place at[2])
{
    static const char *const customary[2] = {"line", "neutral"};
    const struct node *across = node_get(map, "across");
    bool pair = across && across->kind == NODE_LIST && across->n == 2;
    for (int i = 0; i < 2; i++) {
        const struct node *item = pair ? across->items[i] : NULL;
        bool name = item && item->kind == NODE_SCALAR && item->text[0];
        points[i] = name ? item->text : customary[i];
        at[i] = name ? item->at : map->at;
    }
}

static void assume(struct set *set, const char *key, double value, double low, double high,
                   enum unit unit, const char *basis, enum known_by known_by)
{
    set_assume(set,
               (struct assumption){"mains", key, value, low, high, unit, basis, known_by, false});
}

static void read_wave(struct set *set, const struct part *part, struct mains *m)
{
    static const char *const shapes[] = {"sine", "square", NULL};
    static const char *const gaps[] = {"shorted", "open", NULL};
    if (!part_value(set, part, "voltage", UNIT_VOLT, -HUGE_VAL, &m->volts) ||
        !part_between(set, part, "voltage", UNIT_VOLT, m->volts, LEAST_VOLTS, MOST_VOLTS))
        m->volts = 117;
    if (!part_value(set, part, "frequency", UNIT_HERTZ, LEAST_HERTZ, &m->frequency)) {
        m->frequency = 60;
        assume(set, "frequency", 60, 60, 60, UNIT_HERTZ, "North American mains", KNOWN_BY_NOTHING);
    }
    m->square = part_word(set, part, "shape", shapes) == 1;
    m->gap_open = part_word(set, part, "gap", gaps) == 1;
    if (!m->square && part_node(part, "gap"))
        part_complain(set, part, "gap", "write `shape: square` too",
                      "only a square wave has a gap");
    if (!m->square && part_node(part, "dwell"))
        part_complain(set, part, "dwell", "write `shape: square` too",
                      "only a square wave has a dwell");
    if (!m->square || part_value(set, part, "dwell", UNIT_NUMBER, 0.01, &m->dwell)) {
        if (m->dwell > 1)
            part_complain(set, part, "dwell", "write it as in `dwell: 0.9`",
                          "`dwell` is a part of each half period: at most 1");
        return;
    }
    m->dwell = 0.9;
    assume(set, "dwell", 0.9, 0.8, 0.95, UNIT_NUMBER, "common practice for vibrators, no source",
           KNOWN_BY_OSCILLOSCOPE);
}

static void read_closing(struct set *set, const struct part *part, struct mains *m)
{
    struct token tokens[QUANTITY_TOKENS];
    int n = part_phrase(set, part, "closes at", tokens);
    m->closes_given = n > 0;
    m->closes_worst = n == 0;
    if (n == 0) return;
    bool word = n == 1 && tokens[0].is_word,
         angle = n == 1 && !word && tokens[0].unit == UNIT_DEGREE;
    if (word && strcmp(tokens[0].word, "worst") == 0) m->closes_worst = true;
    else if (word && strcmp(tokens[0].word, "crest") == 0) m->closes_at = PI / 2;
    else if (angle && tokens[0].value >= 0 && tokens[0].value < 2 * PI)
        m->closes_at = tokens[0].value;
    else if (angle)
        part_complain(set, part, "closes at", "write it as in `closes at: 30 deg`",
                      "the angle at which the mains close lies from 0 up to 360 deg");
    else if (!word || strcmp(tokens[0].word, "zero") != 0)
        part_complain(set, part, "closes at",
                      "write zero, crest, worst, or an angle such as 30 deg",
                      "`closes at` takes a word or an angle");
}

static struct pair scalar_pair(struct set *set, const char *key, struct place at, const char *text)
{
    struct node *node = ARENA_NEW(set->arena, struct node);
    *node = (struct node){.kind = NODE_SCALAR, .at = at, .text = text};
    return (struct pair){key, at, node};
}

/* The key that a value written by itself stands for. */
static const char *plain_key(const struct set *set, const char *kind, const char *text)
{
    bool sign = text[0] == '-' || text[0] == '+', number = text[0] >= '0' && text[0] <= '9';
    if (kind_find(kind)->plain_key) return kind_find(kind)->plain_key;
    if (sign) return "rated"; /* the catalogue overlooks hyphens */
    return !number || catalogue_find(set->catalogue, text) ? "type" : "rated";
}

static struct pair points_pair(struct set *set, const char *key, struct place at, const char *first,
                               const char *second)
{
    struct node *list = ARENA_NEW(set->arena, struct node);
    *list = (struct node){.kind = NODE_LIST, .at = at, .text = "", .n = 2};
    list->items = ARENA_ARRAY(set->arena, const struct node *, 2);
    list->items[0] = scalar_pair(set, "", at, first).value;
    list->items[1] = scalar_pair(set, "", at, second).value;
    return (struct pair){key, at, list};
}

/* Both conductors on their way from the outlet to the plug. */
struct lead {
    const char *live, *back;
};

/* The keys of one part: its own, or the one value, with kind and ends. */
static const struct node *series_map(struct set *set, const struct pair *p, struct lead from,
                                     struct lead to)
{
    struct node *map = ARENA_NEW(set->arena, struct node);
    const struct node *value = p->value;
    bool nested = value->kind == NODE_MAP;
    *map = (struct node){.kind = NODE_MAP, .at = p->at, .text = ""};
    map->pairs = ARENA_ARRAY(set->arena, struct pair, 4 + (nested ? value->n : 0));
    map->pairs[map->n++] = scalar_pair(set, "is", p->at, p->key);
    if (nested)
        for (int i = 0; i < value->n; i++) map->pairs[map->n++] = value->pairs[i];
    else
        map->pairs[map->n++] =
            scalar_pair(set, plain_key(set, p->key, value->text), value->at, value->text);
    bool both = kind_find(p->key)->line_output;
    map->pairs[map->n++] = points_pair(set, "across", p->at, from.live, both ? from.back : to.live);
    if (both) map->pairs[map->n++] = points_pair(set, "output", p->at, to.live, to.back);
    return map;
}

static bool is_none(const struct node *value)
{
    return value->kind == NODE_SCALAR && strcmp(value->text, "none") == 0;
}

static bool isolated(const struct node *map)
{
    for (int i = 0; i < map->n; i++)
        if (!is_none(map->pairs[i].value) && kind_find(map->pairs[i].key)->isolates) return true;
    return false;
}

/* In the order in which they are written, from outlet to plug. What isolates ends the return that
 * comes from the outlet. */
static void read_series(struct set *set, const struct node *map, struct mains *m)
{
    struct lead at = {"mains: outlet", m->cold};
    m->outlet = circuit_inner(set->circuit, "mains", "outlet");
    if (isolated(map)) {
        m->back = circuit_inner(set->circuit, "mains", "return");
        at.back = set->circuit->points.at[m->back];
    }
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        if (is_none(p->value)) continue;
        const char *to = arena_printf(set->arena, "behind %s", p->key);
        m->plug = circuit_inner(set->circuit, "mains", to);
        struct lead next = {set->circuit->points.at[m->plug], at.back};
        if (kind_find(p->key)->isolates) next.back = m->cold;
        m->transformed |= kind_find(p->key)->line_output;
        m->through[m->through_count++] = (struct pair){arena_printf(set->arena, "mains %s", p->key),
                                                       p->at, series_map(set, p, at, next)};
        at = next;
    }
}

static bool can_be_read(struct set *set, const struct part *through, const struct pair *p)
{
    static const char *const own[] = {"is", "across", "fitted", "output"};
    if (p->value->kind == NODE_LIST) {
        part_complain(set, through, p->key, NULL, "`%s` takes one value", p->key);
        return false;
    }
    for (int k = 0; k < 4; k++) {
        const struct pair *at = node_pair(p->value, own[k]);
        if (!at) continue;
        diags_add(set->diags, DIAG_ERROR, at->at, "leave it out",
                  "what is in series with the plug needs no `%s`", own[k]);
        return false;
    }
    return true;
}

static void read_through(struct set *set, const struct part *part, struct mains *m)
{
    const struct node *map = part_node(part, "through");
    if (!map || is_none(map)) return;
    if (map->kind != NODE_MAP || map->n == 0) {
        part_complain(set, part, "through",
                      "write it as in `through: {lamp: 60 W 120 V}`, or `through: none`",
                      "`through` takes parts with their values");
        return;
    }
    struct part inner = {
        .name = "through", .kind = &through_kind, .at = map->at, .map = map, .own = map};
    if (part_check(set, &inner) > 0) return;
    for (int i = 0; i < map->n; i++)
        if (!can_be_read(set, &inner, &map->pairs[i])) return;
    const struct node *resistor = node_get(map, "resistor");
    struct complaint why;
    if (resistor && resistor->kind == NODE_MAP) resistor = node_get(resistor, "resistance");
    if (!resistor || resistor->kind != NODE_SCALAR ||
        !quantity_parse(resistor->text, UNIT_OHM, &m->series, &why))
        m->series = 0; /* what is wrong is told when the part is read */
    read_series(set, map, m);
}

static void read_points(struct set *set, const struct part *part, struct mains *m)
{
    static const char *const ways[] = {"as drawn", "reversed", NULL};
    const char *points[2];
    struct place at[2];
    part_names(set, part, "across", 2, 2, points);
    mains_points(part->map, points, at);
    bool reversed = part_word(set, part, "plugged", ways) == 1;
    m->hot = points[reversed];
    m->cold = points[!reversed];
}

static void fill_set(struct set *set, const struct mains *m)
{
    set->mains_volts = m->given ? m->volts : 0;
    set->line_volts = m->square ? m->volts * sqrt(m->dwell) : m->volts;
    set->frequency = m->frequency;
    set->plug_volts = set->line_volts;
    set->mains_resistance = m->resistance + m->series;
    set->line[0] = m->hot;
    set->line[1] = m->cold;
}

void mains_read(struct set *set, const struct node *map, struct mains *m)
{
    static const char *const states[] = {"off", "on", NULL};
    *m = (struct mains){.hot = "line",
                        .cold = "neutral",
                        .frequency = 60,
                        .source = -1,
                        .breaker = -1,
                        .outlet = -1,
                        .plug = -1,
                        .back = -1};
    if (map) {
        struct part part = {
            .name = "mains", .kind = &mains_kind, .at = map->at, .map = map, .own = map};
        m->given = true;
        part_check(set, &part);
        read_wave(set, &part, m);
        if (!part_value(set, &part, "resistance", UNIT_OHM, 0, &m->resistance)) {
            m->resistance = 0.3;
            assume(set, "resistance", 0.3, 0.1, 1, UNIT_OHM,
                   "house wiring, common practice, no source", KNOWN_BY_OUTLET_DROP);
        }
        read_closing(set, &part, m);
        m->on = part_word(set, &part, "state", states) != 0;
        read_points(set, &part, m);
        read_through(set, &part, m);
    }
    fill_set(set, m);
}

/* ---- writing ---- */

static struct waveform wave(const struct mains *m)
{
    return (struct waveform){.kind = m->square ? WAVEFORM_SQUARE : WAVEFORM_SINE,
                             .peak = m->square ? m->volts : sqrt(2) * m->volts,
                             .frequency = m->frequency,
                             .dwell = m->square ? m->dwell : 1};
}

static void probe(struct set *set, const struct mains *m, int live, int back)
{
    circuit_probe(set->circuit, (struct probe){.kind = PROBE_CURRENT,
                                               .flags = PROBE_LINE | PROBE_WATCHED,
                                               .subject = "mains",
                                               .elements = {m->source},
                                               .signs = {-1},
                                               .count = 1});
    circuit_probe(set->circuit, (struct probe){.kind = PROBE_VOLTAGE,
                                               .flags = PROBE_LINE,
                                               .subject = "mains",
                                               .from = live,
                                               .to = back});
}

void mains_stamp(struct set *set, struct mains *m, bool earthed)
{
    struct circuit *c = set->circuit;
    if (!m->given) return;
    int hot = circuit_point(c, m->hot), cold = circuit_point(c, m->cold);
    int source = circuit_inner(c, "mains", "source"),
        outlet = m->outlet >= 0 ? m->outlet : circuit_inner(c, "mains", "outlet");
    int back = m->back >= 0 ? m->back : cold;
    m->source = circuit_source(c, "mains", "source", source, back, wave(m));
    circuit_resistor(c, "mains", "resistance", source, outlet, m->resistance);
    m->breaker = circuit_switch(c, "mains", "switch", m->plug >= 0 ? m->plug : outlet, hot, m->on);
    int earth = earthed ? circuit_point(c, "earth") : back;
    if (earth != back) circuit_resistor(c, "mains", "earth", back, earth, 0);
    if (m->transformed) probe(set, m, outlet, back);
    else probe(set, m, hot, cold);
}
