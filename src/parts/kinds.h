/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_KINDS_H
#define PRESOLDER_KINDS_H

#include "fault.h"

/* What the files of the kinds share among themselves: their tables, and helpers for keys, probes
 * and ratings that more than one kind needs. */

extern const struct part_kind kind_transformer, kind_rectifier, kind_capacitor, kind_choke,
    kind_field_coil, kind_resistor, kind_load, kind_heater, kind_lamp, kind_battery, kind_switch,
    kind_fuse, kind_thermistor, kind_barretter, kind_isolation_transformer,
    kind_variable_transformer;

/* Copper's resistance per kelvin, relative to that at `kelvin` [1/K]: a straight line that ends at
 * -234.5 deg C, 1/254.5 at 20 deg C (IEC 60028). */
double kind_copper_coefficient(double kelvin);

/* --- keys ---------------------------------------------------------------------------------- */

/* The `condition` of a part: its index in `known` (ends with NULL; 0 is good and stands when the
 * key is missing). Words of `later` (ends with NULL; NULL: none) are refused as unknown to this
 * version, others by part_word. */
int kind_condition(struct set *set, const struct part *part, const char *const known[],
                   const char *const later[]);

/* ` (variant `silicon`)`, for messages about what a variant has made of a part; "" in the scenario
 * itself. */
const char *kind_in_variant(const struct set *set);

/* Complains of a key that tells of a failing part while no `condition` is given. */
void kind_stray(struct set *set, const struct part *part, const char *key, const char *condition);

/* States that `key` was taken as `value`, which may lie from low to high [SI]: set_assume. */
void kind_assume(struct set *set, const struct part *part, const char *key, double value,
                 double low, double high, enum unit unit, const char *basis,
                 enum known_by known_by);

/* True when the key is there and reads `word`. */
bool kind_says(const struct part *part, const char *key, const char *word);

/* The first value of that unit among n tokens; false when there is none. */
bool kind_token(const struct token *tokens, int n, enum unit unit, double *value);

/* A nested map seen as a part of its own, called `name` in messages, for the readers of part.h.
 * `kind` needs no more than a name and keys; part_check then checks the keys of the map. */
struct part kind_view(const struct part *part, const struct part_kind *kind, const char *name,
                      const struct node *map);

/* --- probes and ratings -------------------------------------------------------------------- */

/* Volts from one point to another. */
void kind_probe_volts(struct set *set, const char *subject, int from, int to, unsigned flags);

/* The sum of the currents of up to eight elements; elements < 0 are left out. */
void kind_probe_amperes(struct set *set, const char *subject, unsigned flags, const int *elements,
                        int n);

/* Adds a rating that stands at `key` of the part: its source and system are looked up there. */
void kind_rate(struct set *set, const struct part *part, const char *key, struct rating rating);

/* --- between the kinds --------------------------------------------------------------------- */

/* Capacitance of all capacitors with one end at the point [F]. */
double capacitor_at(const struct set *set, int point);

/* Direct watts and amperes a load draws [W], [A]; 0 for parts of other kinds. */
double load_watts(const struct part *part);
double load_amperes(const struct part *part);

/* Ohms of a coil of `cold` ohms once it has warmed with `volts` DC across it. `rated_watts` as of
 * the coil; 0: not known. */
double inductor_hot_ohms(double cold, double rated_watts, double volts);

/* Conditions of a thermistor and a barretter, as of kind_condition. */
enum thermistor_condition { THERMISTOR_GOOD, THERMISTOR_OPEN, THERMISTOR_SHORTED };
extern const char *const thermistor_conditions[];

/* A body of law_thermistor between two points, at `hot` [K] at a hot restart, with its volts and
 * amperes watched; when shorted no ohms, when open nothing. */
struct thermistor_law;
void thermistor_stamp(struct set *set, const struct part *part, const struct thermistor_law *law,
                      int from, int to, double hot, enum thermistor_condition condition);

/* What feeds a plate that hangs on a transformer winding. */
struct plate_supply {
    const char *subject; /* of the winding half in figures */
    double volts;        /* open-circuit RMS volts at the line's present voltage */
    double ohms;         /* copper of the half, and of the primary and the mains carried over */
};

/* The winding half that ends at the point; false when none does. Ask after transformers are
 * stamped. */
bool transformer_plate(const struct set *set, int point, struct plate_supply *supply);

#endif
