/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outlet: source, its resistance, what stands in series with the plug, the switch, then the two
 * points of the set. The wave has phase 0 at all times; the angle at which the switch closes is a
 * matter of the run, which shifts the sources' time. */
#include "mains.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "suggest.h"

const struct key mains_keys[] = {
    {"voltage", "volts RMS, e.g. 117 V", KEY_NEEDED},
    {"frequency", "hertz, e.g. 60 Hz", 0},
    {"resistance", "ohms of the wiring up to the outlet, e.g. 0.3 ohm", 0},
    {"across", "the two points of the plug; [line, neutral] when missing", KEY_POINTS},
    {"closes at", "zero, crest, an angle such as 30 deg, or worst", 0},
    {"through", "what is in series with the plug, e.g. {resistor: 25 ohm}", 0},
    {"state", "on or off", 0},
    {"plugged", "as drawn or reversed", 0},
    {"shape", "sine or square", 0},
    {"dwell", "part of each half period at full voltage, e.g. 0.9", 0},
    {NULL, NULL, 0},
};

static const struct key through_keys[] = {{"resistor", "ohms, e.g. 25 ohm", KEY_NEEDED},
                                          {NULL, NULL, 0}};

static const struct part_kind mains_kind = {
    .name = "mains", .says = "the outlet", .keys = mains_keys};
static const struct part_kind through_kind = {
    .name = "through", .says = "in series with the plug", .keys = through_keys};

enum { LEAST_VOLTS = 1, LEAST_HERTZ = 5 };

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
                   enum unit unit, const char *basis, const char *measure)
{
    set_assume(set,
               (struct assumption){"mains", key, value, low, high, unit, basis, measure, false});
}

static void read_wave(struct set *set, const struct part *part, struct mains *m)
{
    static const char *const shapes[] = {"sine", "square", NULL};
    if (!part_value(set, part, "voltage", UNIT_VOLT, LEAST_VOLTS, &m->volts)) m->volts = 117;
    if (!part_value(set, part, "frequency", UNIT_HERTZ, LEAST_HERTZ, &m->frequency)) {
        m->frequency = 60;
        assume(set, "frequency", 60, 60, 60, UNIT_HERTZ, "North American mains", NULL);
    }
    m->square = part_word(set, part, "shape", shapes) == 1;
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
           "look at the primary with an oscilloscope");
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

/* The map without lamp, fuse and thermistor, which have states of their own and are parts like
 * others: these are refused. */
static const struct node *refuse_through(struct set *set, const struct node *map)
{
    static const char *const others[] = {"lamp", "fuse", "thermistor", NULL};
    struct node *rest = ARENA_NEW(set->arena, struct node);
    *rest = *map;
    rest->n = 0;
    rest->pairs = ARENA_ARRAY(set->arena, struct pair, map->n);
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        if (!suggest_in(p->key, others)) {
            rest->pairs[rest->n++] = *p;
            continue;
        }
        diags_add(set->diags, DIAG_ERROR, p->at,
                  "plug in at points of its own, as in `across: [outlet, neutral]`, and put it "
                  "between outlet and line",
                  "`through` knows only a resistor so far, no %s", p->key);
    }
    return rest;
}

static double read_through(struct set *set, const struct part *part)
{
    const struct node *map = part_node(part, "through");
    double ohms = 0;
    if (!map || (map->kind == NODE_SCALAR && strcmp(map->text, "none") == 0)) return 0;
    if (map->kind != NODE_MAP) {
        part_complain(set, part, "through", "write it as in `through: {resistor: 25 ohm}`",
                      "`through` takes a part with its value");
        return 0;
    }
    const struct node *own = refuse_through(set, map);
    if (map->n > 0 && own->n == 0) return 0;
    struct part inner = {
        .name = "through", .kind = &through_kind, .at = map->at, .map = own, .own = own};
    part_check(set, &inner);
    part_value(set, &inner, "resistor", UNIT_OHM, 0, &ohms);
    return ohms;
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
    set->line_volts = m->square ? m->volts * sqrt(m->dwell) : m->volts;
    set->frequency = m->frequency;
    set->mains_resistance = m->resistance + m->series;
    set->line[0] = m->hot;
    set->line[1] = m->cold;
}

void mains_read(struct set *set, const struct node *map, struct mains *m)
{
    static const char *const states[] = {"off", "on", NULL};
    *m = (struct mains){
        .hot = "line", .cold = "neutral", .frequency = 60, .source = -1, .breaker = -1};
    if (map) {
        struct part part = {
            .name = "mains", .kind = &mains_kind, .at = map->at, .map = map, .own = map};
        m->given = true;
        part_check(set, &part);
        read_wave(set, &part, m);
        if (!part_value(set, &part, "resistance", UNIT_OHM, 0, &m->resistance)) {
            m->resistance = 0.3;
            assume(set, "resistance", 0.3, 0.1, 1, UNIT_OHM,
                   "house wiring, common practice, no source",
                   "volts lost at the outlet when a known load is switched on, divided by its "
                   "amperes");
        }
        read_closing(set, &part, m);
        m->series = read_through(set, &part);
        m->on = part_word(set, &part, "state", states) != 0;
        read_points(set, &part, m);
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

static void probe(struct set *set, const struct mains *m, int hot, int cold)
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
                                               .from = hot,
                                               .to = cold});
}

void mains_stamp(struct set *set, struct mains *m, bool earthed)
{
    struct circuit *c = set->circuit;
    if (!m->given) return;
    int hot = circuit_point(c, m->hot), cold = circuit_point(c, m->cold);
    int outlet = circuit_inner(c, "mains", "source"), wire = circuit_inner(c, "mains", "outlet");
    m->source = circuit_source(c, "mains", "source", outlet, cold, wave(m));
    circuit_resistor(c, "mains", "resistance", outlet, wire, m->resistance);
    int plug = wire;
    if (m->series > 0) {
        plug = circuit_inner(c, "mains", "plug");
        circuit_resistor(c, "mains", "through", wire, plug, m->series);
    }
    m->breaker = circuit_switch(c, "mains", "switch", plug, hot, m->on);
    int earth = earthed ? circuit_point(c, "earth") : cold;
    if (earth != cold) circuit_resistor(c, "mains", "earth", cold, earth, 0);
    probe(set, m, hot, cold);
}
