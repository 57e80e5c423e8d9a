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
#include "quantity.h"

/* A part of the set, from its keys to its elements in the circuit. One const table a kind, one line
 * in kinds_all. */

enum { PART_POINTS = 8, PART_HEATERS = 2 };

struct set;
struct part;

enum key_use {
    KEY_NEEDED = 1, /* an error when missing (unless the model gives it) */
    KEY_MODEL = 2,  /* usually comes from the model: not asked for by `new` */
    KEY_POINTS =
        4 /* names points; `across`, `plates`, `cathode`, `cathodes` do at any depth, unmarked */
};

struct key {
    const char *name;  /* as written in a scenario */
    const char *takes; /* what it takes, for help and messages: "farads, e.g. 8 uF" */
    unsigned use;      /* sum of enum key_use */
};

struct part_kind {
    const char *name;       /* as in `is:` */
    const char *says;       /* one line for help */
    const struct key *keys; /* ends with a NULL name */
    void (*read)(struct set *set,
                 struct part *part); /* keys -> part->data; complaints to set->diags */
    void (*link)(struct set *set,
                 struct part *part); /* after all are read: look at other parts; may be NULL */
    void (*stamp)(struct set *set,
                  struct part *part); /* writes elements, states, probes, ratings */
    int order; /* stamping order: lower first (transformers before rectifiers before loads) */

    /* Only for kinds with windings that others name (`heated by:`); else NULL. The winding `name`
     * of the part: its two end points and open-circuit RMS volts at set->line_volts. False when the
     * part has none of that name. Asked from link on. */
    bool (*winding)(const struct set *set, const struct part *part, const char *name,
                    const char **from, const char **to, double *volts);
    const char *const *own_types; /* words for `type:` that the kind explains itself, not looked up
                                   * in the catalogue
                                   * (`ideal`, `silicon`); ends with NULL; NULL: none */
    bool watches;                 /* volts at its ends are always watched (capacitors) */
    bool feeds;                   /* a source of its own (batteries): what hangs on it is fed */
};

/* The table of all kinds; ends with NULL. */
extern const struct part_kind *const kinds_all[];
const struct part_kind *kind_find(const char *name);

/* Heater pins given to a part by `heater` parts (`of: NAME`) or by its `heated by:` winding. */
struct heater_pins {
    const char *from, *to; /* point names */
    double volts, amperes; /* rated */
    const char *part;      /* the heater part, or NULL for a winding */
};

struct part {
    const char *name;
    const struct part_kind *kind;
    struct place at;
    const struct node *map;    /* scenario's keys laid over the model's */
    const struct node *own;    /* the scenario's keys alone */
    const struct model *model; /* NULL: no type from the catalogue */
    bool fitted;
    void *data; /* the kind's own struct */
    struct heater_pins heaters[PART_HEATERS * DEVICE_FOREIGN];
    int heater_count;
};

/* A value that was not given: what was taken instead, and how to replace the guess. */
struct assumption {
    const char *part, *key;
    double value, low, high; /* SI; low..high: the range it plausibly lies in */
    enum unit unit;
    const char *basis; /* why this value: source, or "common practice, no source" */
    const char
        *measure; /* how to replace it by a reading; NULL when it cannot be measured simply */
    bool guess;   /* true: unknown to the user (counted as a guess); false: a stated default of no
                     weight */
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
    const char *says;   /* what it means in one sentence when exceeded */
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
    struct circuit *circuit;
    ARRAY(struct part *) parts; /* in file order; those not fitted are left out */
    ARRAY(struct assumption) assumptions;
    ARRAY(struct rating) ratings;
    ARRAY(struct fixed_figure) fixed;
    double ambient;               /* [K] */
    double line_volts, frequency; /* of the mains: RMS [V], [Hz] */
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
 * line's present voltage. False when there is none. */
bool set_winding(const struct set *set, const char *name, const char **from, const char **to,
                 double *volts);

/* --- reading keys --- */

/* Before read: complains of keys that neither the kind nor every part has (`is`, `type`, `fitted`,
 * `note`), naming the nearest, and of needed keys that neither scenario nor model gives. Returns
 * the number of complaints. */
int part_check(struct set *set, const struct part *part);

/* What is wrong with a name for a part, point or winding ("holds a comma"); NULL: nothing. Names
 * may not be empty, begin or end with a blank, nor hold `. , =`, a colon before a blank, or
 * control characters. */
const char *name_fault(const char *name);

/* The raw value of a key; NULL when missing or written `unknown`. */
const struct node *part_node(const struct part *part, const char *key);

/* One quantity. True and *value when given; false when missing, unknown, or wrong (then already
 * complained), which it also is beyond the bounds of its unit (bounds.h). `least` excludes: values below it are refused ("negative ohms"); use -INFINITY for
 * no bound. */
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
