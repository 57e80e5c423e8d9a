/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PART_H
#define PRESOLDER_PART_H

#include <stdbool.h>

#include "array.h"
#include "catalogue.h"
#include "circuit.h"
#include "diag.h"
#include "measure.h"
#include "doc.h"
#include "key.h"
#include "quantity.h"

/* A part of the set, from its keys to its elements in the circuit. One const table a kind, one line
 * in kinds_all. */

enum { PART_POINTS = 8, PART_HEATERS = 2 };

struct set;
struct part;
struct part_fault;

/* What a part is, for those who must tell parts apart. The first are of whole kinds, the others of
 * some parts of a kind. */
enum role {
    ROLE_TRANSFORMER = 1 << 0, /* a power transformer */
    ROLE_RECTIFIER = 1 << 1,
    ROLE_CAPACITOR = 1 << 2,
    ROLE_COIL = 1 << 3, /* a choke or a field coil */
    ROLE_FIELD_COIL = 1 << 4,
    ROLE_RESISTOR = 1 << 5,
    ROLE_LOAD = 1 << 6,
    ROLE_HEATER = 1 << 7, /* of its own pins */
    ROLE_LAMP = 1 << 8,
    ROLE_SOURCE = 1 << 9, /* a battery: what is joined to it is fed */
    ROLE_SWITCH = 1 << 10,
    ROLE_FUSE = 1 << 11,
    ROLE_LIMITER = 1 << 12,          /* a thermistor or barretter */
    ROLE_FILTER = 1 << 13,           /* a capacitor of CAPACITOR_FILTER or more, as printed */
    ROLE_ELECTROLYTIC = 1 << 14,     /* a capacitor with plus and minus */
    ROLE_WET = 1 << 15,              /* a wet electrolytic */
    ROLE_PAPER = 1 << 16,            /* a paper capacitor */
    ROLE_TUBE = 1 << 17,             /* a rectifier tube, vacuum, gas or mercury */
    ROLE_MERCURY = 1 << 18,          /* a mercury rectifier */
    ROLE_SELENIUM = 1 << 19,         /* a selenium rectifier */
    ROLE_TWO_PLATES = 1 << 20,       /* a rectifier for both half waves */
    ROLE_SCALES = 1 << 21,           /* a load that takes `scaled by` */
    ROLE_PRIMARY_ON_MAINS = 1 << 22, /* a transformer whose primary names no points */
    ROLE_CORE = 1 << 23,             /* a transformer with iron that can be left magnetised */
    ROLE_FILAMENT = 1 << 24,         /* a rectifier tube whose heater is its cathode */
    ROLE_CATHODE = 1 << 25,          /* a rectifier tube with heater and cathode */
    ROLE_GAS_FILLED = 1 << 26,       /* a rectifier tube with gas or mercury */
};

/* A way through a part: of most kinds the two ends, of a transformer one of its windings, of a
 * rectifier plate and cathode of one section. */
struct part_way {
    const char *name;     /* of the winding, else NULL */
    const char *point[3]; /* plus first; of a winding in order, the tap between */
    int points;           /* 0: its ends are joined to nothing that has a name */
    double volts[2];      /* of a winding: open circuit, RMS, of each half [V] */
};

/* A winding of a transformer, as another one in its place must have it. */
struct part_winding {
    const char *name;
    int halves;             /* 1, or 2 about a tap */
    const char *subject[2]; /* of each half in figures */
    double volts[2];        /* of each half, RMS, without load, with `line` on the primary [V] */
    double ohms[2];         /* of each half's copper */
    double line, frequency; /* the primary is rated for [V], [Hz] */
    double primary_ohms;
    bool feeds_plates;
    double heater_volts, heater_amperes; /* rated, of the heaters on it; 0: none */
};

struct part_kind {
    const char *name;       /* as in `is:` */
    const char *says;       /* one line for help */
    const char *example;    /* lines below `parts:`, for help; NULL: none */
    const struct key *keys; /* ends with a NULL name */
    const struct key_inner
        *inner; /* what its KEY_MAP keys take; ends with a NULL key; NULL: none */
    void (*read)(struct set *set,
                 struct part *part); /* keys -> part->data; complaints to set->diags */
    void (*link)(struct set *set,
                 struct part *part); /* after all are read: look at other parts; may be NULL */
    void (*stamp)(struct set *set,
                  struct part *part); /* writes elements, states, probes, ratings */
    int order; /* stamping order: lower first (transformers before rectifiers before loads) */

    /* What others ask of parts that are read, by the part_ functions below; NULL: see there. */
    unsigned roles;                            /* bits of enum role, of every part of the kind */
    unsigned (*also)(const struct part *part); /* those this part has beside them */
    double (*ohms)(const struct part *part, double volts);
    double (*volts)(const struct part *part);
    bool (*way)(const struct set *set, const struct part *part, int k, struct part_way *way);
    bool (*turns)(const struct set *set, const struct part *part, int k,
                  struct part_winding *winding);
    bool (*primary)(const struct set *set, const struct part *part, struct part_way *way);
    const struct part_fault *faults; /* fault.h; ends with a NULL name */

    /* Only for kinds with windings that others name (`heated by:`); else NULL. The winding `name`
     * of the part: its two end points and open-circuit RMS volts at set->line_volts. False when the
     * part has none of that name. Asked from link on. */
    bool (*winding)(const struct set *set, const struct part *part, const char *name,
                    const char **from, const char **to, double *volts);
    const char *const *own_types; /* words for `type:` that the kind explains itself, not looked up
                                   * in the catalogue
                                   * (`ideal`, `silicon`); ends with NULL; NULL: none */
    const char *plain_key;        /* that of a value alone in `through:`; NULL: `type` or `rated` */
    bool
        line_output; /* in `through:` it takes both conductors: `across` to the wall, `output` on */
    bool isolates;   /* and no current can flow from one side to the other */
    bool watches;    /* volts at its ends are always watched (capacitors) */
};

/* The keys every part has, whatever its kind; ends with a NULL name. */
extern const struct key part_common_keys[];

/* The table of all kinds; ends with NULL. */
extern const struct part_kind *const kinds_all[];
const struct part_kind *kind_find(const char *name);

/* Heater pins given to a part by `heater` parts (`of: NAME`) or by its `heated by:` winding. */
struct heater_pins {
    const char *from, *to; /* point names */
    double volts, amperes; /* rated */
    const char *part;      /* the heater part, or NULL for a winding */
    const char *winding;   /* its name; NULL: a heater part */
};

struct part {
    const char *name;
    const struct part_kind *kind;
    struct place at;
    const struct node *map;    /* scenario's keys laid over the model's */
    const struct node *own;    /* the scenario's keys alone */
    const struct model *model; /* NULL: no type from the catalogue */
    bool fitted;
    bool in_plug; /* what the mains have `through` */
    void *data;   /* the kind's own struct */
    struct heater_pins heaters[PART_HEATERS * DEVICE_FOREIGN];
    int heater_count;
};

/* The reading that would replace a guess. */
enum known_by {
    KNOWN_BY_NOTHING, /* not simply measured */
    KNOWN_BY_OHMS_COLD,
    KNOWN_BY_SETTLING,
    KNOWN_BY_RANGE_ENDS,
    KNOWN_BY_DROP_UNDER_LOAD,
    KNOWN_BY_LEAKAGE_WARM,
    KNOWN_BY_CAN_WARMTH,
    KNOWN_BY_CAPACITANCE_METER,
    KNOWN_BY_RESISTANCE_METER,
    KNOWN_BY_LEAKAGE_AT_TWO,
    KNOWN_BY_LEAKAGE_BEGINS,
    KNOWN_BY_LEAKAGE_ABOVE_FORMING,
    KNOWN_BY_CAN_THERMOMETER,
    KNOWN_BY_OHMS_ACROSS,
    KNOWN_BY_CAN_MARKING,
    KNOWN_BY_RESISTANCE_METER_OR_MAKE,
    KNOWN_BY_LEAKAGE_TESTER,
    KNOWN_BY_FUSE_MARKING,
    KNOWN_BY_DATA_SHEET,
    KNOWN_BY_WARM_UP_TIME,
    KNOWN_BY_HEATER_SHORT_IN_STRING,
    KNOWN_BY_RIPPLE_RATIO,
    KNOWN_BY_OHMS_HOT,
    KNOWN_BY_OHMS_OF_GOOD_ONE,
    KNOWN_BY_LAMP_OHMS,
    KNOWN_BY_CHOKE_DROP,
    KNOWN_BY_LINEUP,
    KNOWN_BY_CATHODE_RESISTOR,
    KNOWN_BY_GRID_OHMS,
    KNOWN_BY_EMISSION_TEST,
    KNOWN_BY_GLOW_DROP,
    KNOWN_BY_HEATER_SHORT,
    KNOWN_BY_PLATE_SHORT,
    KNOWN_BY_VOLTS_TUBES_OUT,
    KNOWN_BY_LINE_WATTS_TUBES_OUT,
    KNOWN_BY_SCALES,
    KNOWN_BY_PRIMARY_WARMTH,
    KNOWN_BY_VOLTS_IN_AND_OUT,
    KNOWN_BY_OSCILLOSCOPE,
    KNOWN_BY_OUTLET_DROP,
    KNOWN_BY_LINE_AMPERES_TUBES_OUT,
    KNOWN_BY_THERMOMETER,
    KNOWN_BYS
};

/* A value that was not given: what was taken instead, and how to replace the guess. */
struct assumption {
    const char *part, *key;
    double value, low, high; /* SI; low..high: the range it plausibly lies in */
    enum unit unit;
    const char *basis;      /* why this value: source, or "common practice, no source" */
    enum known_by known_by; /* how to replace it by a reading */
    bool guess; /* true: unknown to the user (counted as a guess); false: a stated default of no
                     weight */
};

/* What it means when a rating is passed. */
enum harm {
    HARM_NONE,
    HARM_LAMP_VOLTS,
    HARM_WINDING_CURRENT,
    HARM_CAPACITOR_SURGE,
    HARM_CAPACITOR_VOLTS,
    HARM_CAPACITOR_RIPPLE,
    HARM_CAPACITOR_REVERSED,
    HARM_CAN_HOT,
    HARM_CAN_RUNAWAY,
    HARM_COIL_CURRENT,
    HARM_COIL_WATTS,
    HARM_PLATE_HEAT,
    HARM_RECTIFIER_HEAT,
    HARM_SCREEN_HEAT,
    HARM_BARRETTER_VOLTS,
    HARM_THERMISTOR_CURRENT,
    HARM_FUSE_CURRENT,
    HARM_RESISTOR_WATTS,
    HARM_PLATE_VOLTS,
    HARM_FIRST_CAPACITOR,
    HARM_SUPPLY_IMPEDANCE,
    HARM_INVERSE_VOLTS,
    HARM_RUNNING_PEAK,
    HARM_FIRST_PEAK,
    HARM_FIRST_HEAT,
    HARM_AVERAGE_CURRENT,
    HARM_STARVED,
    HARM_SURGE_CURRENT,
    HARM_HEATER_HIGH,
    HARM_HEATER_LOW,
    HARM_INSULATION,
    HARMS
};

/* One limit of a part. */
struct rating {
    const char *subject; /* as in figures.csv */
    enum measure measure;
    double limit;
    enum unit unit;
    bool at_least;      /* the figure must not fall below (supply impedance, heater volts) */
    const char *source; /* of the limit; "scenario" when the user gave it */
    const char *system; /* design-centre, design-maximum, absolute, or "" */
    enum harm harm;     /* when it is passed */
};

/* A figure known before any run (supply impedance per plate, first capacitor). */
struct fixed_figure {
    const char *subject;
    enum measure measure;
    double value;
};

/* All parts of one stage of a scenario, and the circuit they make. Lives in its arena. */
struct set {
    struct arena *arena;
    struct diags *diags;
    const struct catalogue *catalogue;
    const char *variant; /* its name, "base" for the scenario itself; NULL: of no scenario */
    struct circuit *circuit;
    ARRAY(struct part *) parts; /* in file order; those not fitted are left out */
    ARRAY(struct assumption) assumptions;
    ARRAY(struct rating) ratings;
    ARRAY(struct fixed_figure) fixed;
    double ambient;               /* [K] */
    double mains_volts;           /* as stated, of a square wave its crest; 0: no mains [V] */
    double line_volts, frequency; /* of the mains: RMS [V], [Hz] */
    double plug_volts; /* behind what stands between wall and plug, from stamping on: RMS [V] */
    double mains_resistance;    /* resistance of the source, and what stands in series with the plug
                                   [ohm] */
    const char *line[2];        /* the mains' points */
    ARRAY(const char *) absent; /* names of the parts that are not fitted */
};

struct part *set_find(const struct set *set, const char *name); /* NULL: none */

/* True when the scenario has a part of that name, but it is not fitted (`fitted: no`): a tube
 * pulled from its socket is no mistake of the part that names it. */
bool set_absent(const struct set *set, const char *name);

/* The winding of that name on any transformer: its two end points and open-circuit RMS volts at the
 * line's present voltage, 0: not known. False when there is none. */
bool set_winding(const struct set *set, const char *name, const char **from, const char **to,
                 double *volts);

/* --- what a part is --- */

/* True when the part has any of the roles (bits of enum role). */
bool part_is(const struct part *part, unsigned roles);

/* The words of its `type:` and `condition:`; NULL: none. */
const char *part_type(const struct part *part);
const char *part_condition(const struct part *part);

/* The first fitted part of the set that has any of the roles; NULL: none. */
const struct part *part_with(const struct set *set, unsigned roles);

/* Ohms from end to end of the sound part once `volts` DC across them have warmed it; 0: it has none
 * to speak of. */
double part_ohms(const struct part *part, double volts);

/* Volts it gives or is made for: of a source, a capacitor's rated, RMS of a transformer's primary;
 * 0: not known. */
double part_volts(const struct part *part);

/* The way k, from 0, through the part; false beyond the last. */
bool part_way(const struct set *set, const struct part *part, int k, struct part_way *way);

/* The winding k, from 0, of a transformer; false beyond the last, and for other parts. Asked once
 * all is stamped. */
bool part_turns(const struct set *set, const struct part *part, int k,
                struct part_winding *winding);

/* The primary of a transformer, which is none of its ways; false for other parts. */
bool part_primary(const struct set *set, const struct part *part, struct part_way *way);

/* What stands beside its symbol in a drawing, as the scenario writes it: its type, then the values
 * of its KEY_SHOWN keys. Returns how many texts, at most `most`. */
int part_shown(struct arena *arena, const struct part *part, const char **texts, int most);

/* True when a way through the part begins or ends at the point (taps do not count). */
bool part_ends_at(const struct set *set, const struct part *part, const char *point);

/* True when the model is of the kind. */
bool part_kind_has_model(const struct part_kind *kind, const struct model *model);

/* True when parts of the model's kind have any of the roles. */
bool part_model_is(const struct model *model, unsigned roles);

/* --- reading keys --- */

/* Before read: complains of keys that neither the kind nor every part has (`is`, `type`, `fitted`,
 * `note`, `tolerance`), naming the nearest, of needed keys that neither scenario nor model gives,
 * and of a tolerance that is none. Returns the number of complaints. */
int part_check(struct set *set, const struct part *part);

/* What is wrong with a name for a part, point or winding ("holds a comma"); NULL: nothing. Names
 * may not be empty, begin or end with a blank, nor hold `. , =`, a colon before a blank, or
 * control characters. */
const char *part_name_fault(const char *name);

/* The raw value of a key; NULL when missing or written `unknown`. */
const struct node *part_node(const struct part *part, const char *key);

/* One quantity. True and *value when given; false when missing, unknown, or wrong (then already
 * complained), which it also is beyond the bounds of its unit (bounds.h). `least` excludes: values
 * below it are refused ("negative ohms"); use -INFINITY for no bound. */
bool part_value(struct set *set, const struct part *part, const char *key, enum unit unit,
                double least, double *value);

/* Whether a value that was read lies from least to most; if not, it is complained of with both. */
bool part_between(struct set *set, const struct part *part, const char *key, enum unit unit,
                  double value, double least, double most);

/* A phrase: tokens as of quantity_scan; 0 when missing, unknown or wrong (then already complained).
 */
int part_phrase(struct set *set, const struct part *part, const char *key,
                struct token tokens[QUANTITY_TOKENS]);

/* A word out of `choices` (ends with NULL): its index; -1 when missing; wrong ones are complained
 * of with the nearest and give -1. */
int part_word(struct set *set, const struct part *part, const char *key,
              const char *const choices[]);

/* A free name (a part, winding or type); NULL when missing. */
const char *part_name(struct set *set, const struct part *part, const char *key);

/* A list of `least`..`most` names (a scalar counts as a list of one); returns how many, 0 when
 * missing or wrong. */
int part_names(struct set *set, const struct part *part, const char *key, int least, int most,
               const char **names);

/* `across: [a, b]`: both points made in the circuit; false when missing or wrong (complained). */
bool part_across(struct set *set, const struct part *part, int *from, int *to);

/* Source of a key's value: the model's source text, or "scenario". */
const char *part_source(const struct part *part, const char *key);

/* A complaint at a key of the part (at the part itself when the key is absent). */
void part_complain(struct set *set, const struct part *part, const char *key, const char *hint,
                   const char *format, ...) __attribute__((format(printf, 5, 6)));

/* --- writing --- */

void set_assume(struct set *set, struct assumption assumption);
void set_rate(struct set *set, struct rating rating); /* fills in the unit */
void set_fix(struct set *set, struct fixed_figure figure);

#endif
