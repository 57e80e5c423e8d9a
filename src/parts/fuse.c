/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The standard tells between which times a fuse opens, the sheet its cold resistance and melting
 * I2t. Two currents and a time constant a standard, chosen once, keep all models inside the gates.
 */
#include "fuse.h"

#include <math.h>
#include <string.h>

#include "kinds.h"
#include "numbers.h"

enum { GOOD, BLOWN, DEFEATED };

#define FOIL 1e-3 /* of what somebody has put around it [ohm]; estimate, no source */
enum { FAST, SLOW };

/* Fast ones have a wire of silver, slow ones of copper with a drop of tin (customary, no source);
 * melting points of the ITS-90. */
#define SILVER_MELTS 1234.93
#define SILVER_COEFFICIENT 0.0038
#define TIN_MELTS 505.08

/* What the fuses of one standard and speed have in common. `carries` is the standard's own multiple
 * that never opens it; the next three fit the law to its gates. The rest stands in where the sheet
 * tells no resistance and I2t. */
struct fuse_class {
    const char *standard; /* as told by makers' sheets */
    int speed;
    double carries;
    double opens_ever, opens_at_once, body_time;
    double i2t;         /* of a 1 A fuse; with the square of the amperes */
    double ohms, power; /* ohms of a 1 A fuse; with this power of the amperes */
};

static const struct fuse_class classes[] = {
    /* gates: Littelfuse 617 series. I2t: middle of what its gates allow */
    {"IEC 60127-2 sheet 2", FAST, 1.5, 1.8, 2.5, 10, 0.9, 0.0964, -1.2},
    /* gates: Littelfuse 218 series, Schurter FST; I2t, ohms: Littelfuse 213 series */
    {"IEC 60127-2 sheet 3", SLOW, 1.5, 1.8, 2.5, 20, 19, 0.117, -1.5},
    /* Schurter SPT, Littelfuse 215 series */
    {"IEC 60127-2 sheet 5", SLOW, 1.5, 1.8, 3.5, 30, 2.5, 0.18, -1.5},
    /* Littelfuse 312 and 313 series, and its guide to UL 248-14: 100 % for 4 h and more, an hour at
     * most at 135 % */
    {"UL 248-14", FAST, 1, 1.2, 1.6, 20, 0.9, 0.166, -1.8},
    {"UL 248-14", SLOW, 1, 1.2, 3, 45, 14.4, 0.5, -2},
};

struct fuse {
    int from, to;
    struct fuse_rating rating;
    struct fuse_law law;
    const struct fuse_class *class;
    int condition;
};

static const struct key keys[] = {
    {"across", "two points", KEY_NEEDED | KEY_LIST},
    {"rated", "amperes, and fast or slow, e.g. 1 A slow; 1 mA to 1000 A", KEY_NEEDED | KEY_SHOWN},
    {"kind", "fast or slow; unless `rated` says so", KEY_MODEL | KEY_WORDS},
    {"standard",
     "IEC 60127-2 sheet 2, IEC 60127-2 sheet 3, IEC 60127-2 sheet 5 or UL 248-14; the last is that "
     "of 3AG fuses",
     KEY_MODEL | KEY_WORDS},
    {"cold resistance", "ohms, e.g. 0.117 ohm", KEY_MODEL},
    {"i2t", "nominal melting I2t, e.g. 19.2 A2s", KEY_MODEL},
    {"condition", "good, blown or defeated", KEY_WORDS},
    {NULL, NULL, 0},
};

/* --- reading -------------------------------------------------------------------------------- */

static const char *const speeds[] = {"fast", "slow", NULL};

static int speed_of(const struct token *t)
{
    for (int k = 0; t->is_word && speeds[k]; k++)
        if (strcmp(t->word, speeds[k]) == 0) return k;
    return -1;
}

/* FAST or SLOW; -1 when that is not known, which is complained of. */
static int read_rated(struct set *set, const struct part *part, double *amperes)
{
    struct token t[QUANTITY_TOKENS];
    int n = part_phrase(set, part, "rated", t), speed = part_word(set, part, "kind", speeds);
    if (n == 0) return -1;
    bool good = kind_token(t, n, UNIT_AMPERE, amperes) && *amperes > 0 && n <= 2;
    if (good && n == 2) {
        int own = speed_of(&t[1]);
        good = own >= 0;
        speed = own;
    }
    if (!good) {
        part_complain(set, part, "rated", "write it as in `rated: 1 A slow`",
                      "%s: `rated` is not understood", part->name);
        return -1;
    }
    if (!part_between(set, part, "rated", UNIT_AMPERE, *amperes, 1e-3, 1e3)) return -1;
    if (speed < 0)
        part_complain(set, part, "rated", "write `rated: 1 A slow` or `rated: 1 A fast`",
                      "%s: fast or slow?", part->name);
    return speed;
}

static const struct fuse_class *read_class(struct set *set, const struct part *part, int speed)
{
    const int count = sizeof classes / sizeof classes[0];
    const char *standards[sizeof classes / sizeof classes[0] + 1] = {NULL};
    for (int k = 0, n = 0; k < count; k++)
        if (k == 0 || strcmp(classes[k].standard, classes[k - 1].standard) != 0)
            standards[n++] = classes[k].standard;
    int told = part_word(set, part, "standard", standards);
    for (int k = 0; k < count && told >= 0; k++)
        if (classes[k].speed == speed && !strcmp(classes[k].standard, standards[told]))
            return &classes[k];
    if (told >= 0)
        part_complain(set, part, "standard", "sheet 2 is of fast, sheets 3 and 5 are of slow fuses",
                      "%s: there is no %s fuse to %s", part->name, speeds[speed], standards[told]);
    else if (!part_node(part, "standard"))
        set_assume(set, (struct assumption){.part = part->name,
                                            .key = "carries, times rated",
                                            .value = 1.5,
                                            .low = 1,
                                            .high = 1.5,
                                            .unit = UNIT_NUMBER,
                                            .basis = "taken as made to IEC 60127-2; one to UL "
                                                     "248-14, as 3AG, opens within an hour at 1.35 "
                                                     "times its rating",
                                            .known_by = KNOWN_BY_FUSE_MARKING});
    return &classes[speed == FAST ? 0 : 1];
}

static void assume(struct set *set, const struct part *part, const char *key, double value,
                   enum unit unit)
{
    set_assume(set,
               (struct assumption){.part = part->name,
                                   .key = key,
                                   .value = value,
                                   .low = value / 2,
                                   .high = value * 2,
                                   .unit = unit,
                                   .basis = "scaled from fuses of its standard and speed whose "
                                            "data sheets give it",
                                   .known_by = KNOWN_BY_DATA_SHEET});
}

static void read_element(struct set *set, const struct part *part, const struct fuse_class *class,
                         struct fuse_rating *r)
{
    if (!part_value(set, part, "cold resistance", UNIT_OHM, 1e-5, &r->cold)) {
        r->cold = class->ohms * pow(r->amperes, class->power);
        assume(set, part, "cold resistance", r->cold, UNIT_OHM);
    }
    if (!part_value(set, part, "i2t", UNIT_I2T, 1e-9, &r->i2t)) {
        r->i2t = class->i2t * sq(r->amperes);
        assume(set, part, "i2t", r->i2t, UNIT_I2T);
    }
    r->opens_ever = class->opens_ever;
    r->opens_at_once = class->opens_at_once;
    r->body_time = class->body_time;
    r->melts = class->speed == FAST ? SILVER_MELTS : TIN_MELTS;
    r->coefficient = class->speed == FAST ? SILVER_COEFFICIENT : kind_copper_coefficient(LAWS_ROOM);
}

static void read(struct set *set, struct part *part)
{
    static const char *const conditions[] = {"good", "blown", "defeated", NULL};
    struct fuse *f = ARENA_NEW(set->arena, struct fuse);
    part->data = f;
    part_across(set, part, &f->from, &f->to);
    f->condition = kind_condition(set, part, conditions, NULL);
    int speed = read_rated(set, part, &f->rating.amperes);
    if (speed < 0) return;
    f->class = read_class(set, part, speed);
    read_element(set, part, f->class, &f->rating);
    f->law = fuse_law_of(&f->rating, set->ambient);
}

struct fuse_told fuse_told(const struct part *part)
{
    const struct fuse *f = part->data;
    return (struct fuse_told){.rating = f->rating,
                              .law = f->law,
                              .standard = f->class->standard,
                              .slow = f->class->speed == SLOW,
                              .carries = f->class->carries};
}

/* --- writing -------------------------------------------------------------------------------- */

/* Element and body; at a hot restart as warm as the rated current makes them. Returns the number of
 * the element's temperature. */
static int stamp_element(struct set *set, const struct part *part, int from, int to, int way[2])
{
    const struct fuse *f = part->data;
    struct circuit *c = set->circuit;
    struct state element = {.cold = set->ambient, .range = 100, .is_temperature = true},
                 body = element;
    fuse_settled(&f->law, f->rating.amperes, &element.hot, &body.hot);
    double hot = f->law.cold * (1 + f->law.coefficient * (f->law.melts - LAWS_ROOM));
    int device = circuit_device(c, part->name, "element", &law_fuse, &f->law);
    way[0] = circuit_resistor(c, part->name, "base", from, to, hot);
    way[1] = circuit_port(c, device, "element", from, to, PORT_BASED);
    int number = circuit_state(c, device, "element", element);
    circuit_state(c, device, "body", body);
    return number;
}

static void stamp(struct set *set, struct part *part)
{
    const struct fuse *f = part->data;
    struct circuit *c = set->circuit;
    kind_probe_volts(set, part->name, f->from, f->to, PROBE_OTHER);
    if (f->condition == DEFEATED) {
        int foil = circuit_resistor(c, part->name, "foil", f->from, f->to, FOIL);
        kind_probe_amperes(set, part->name, PROBE_OTHER, &foil, 1);
        return;
    }
    int way[2], inner = circuit_inner(c, part->name, "element");
    int melting = stamp_element(set, part, f->from, inner, way);
    if (f->condition == GOOD)
        circuit_trip(c, part->name, "opening", inner, f->to, true, melting, f->law.melts);
    else circuit_switch(c, part->name, "opening", inner, f->to, false);
    kind_probe_amperes(set, part->name, PROBE_OTHER, way, 2);
    kind_rate(set, part, "rated",
              (struct rating){.subject = part->name,
                              .measure = MEASURE_RMS_CURRENT,
                              .limit = f->rating.amperes,
                              .harm = HARM_FUSE_CURRENT});
}

static const struct part_fault faults[] = {
    {.name = "blown", .says = "its element has melted"},
    {.name = "defeated", .says = "bridged with foil or wire: it never opens", .dangerous = true},
    {.name = NULL},
};

const struct part_kind kind_fuse = {
    .name = "fuse",
    .says = "a fuse, fast or slow",
    .example = "F1: {is: fuse, across: [line, line 2], rated: 1 A slow}",
    .keys = keys,
    .read = read,
    .stamp = stamp,
    .order = 20,
    .roles = ROLE_FUSE,
    .faults = faults,
};
