/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_OVERRIDES_H
#define PRESOLDER_OVERRIDES_H

#include "scenario.h"

/* Keys to be laid over a scenario, as nodes: what a study changes, or what was told on the command
 * line. They are read and checked like those of a file, and nothing is written out and parsed
 * again, so names may hold whatever a file's names may hold. As many as are wanted; a later one
 * replaces an earlier one of the same part and key.
 *
 * A copy of the struct goes its own way: what is laid on the copy does not show in the original.
 * Names and texts are kept as they are, not copied; they must live as long as the arena. */
struct overrides {
    struct arena *arena;
    const struct node *keys; /* a map of parts, `mains`, `run` and `at TIME`; NULL: none yet */
};

/* Significant digits of a number that is laid. */
enum { OVERRIDES_DIGITS = 12 };

struct overrides overrides_new(struct arena *arena);

/* Each lays one key of a part (or of `mains`, `run`); a key of a map in it follows behind a point,
 * `primary.across`. The part need not be there: with the key `is` a new one is made. Complaints of
 * it stand under the words `C1.value=10 uF`. */

/* A text as it would stand in a file. */
void overrides_text(struct overrides *o, const char *part, const char *key, const char *text);

/* A number [SI] in its usual form (quantity_text) with OVERRIDES_DIGITS digits. Not for times, of
 * which minutes would not keep the whole seconds. */
void overrides_value(struct overrides *o, const char *part, const char *key, double value,
                     enum unit unit);

/* A list of n points. */
void overrides_points(struct overrides *o, const char *part, const char *key,
                      const char *const *points, int n);

/* A name for parts and points that a study puts in: `wanted`, or with a number after it, so that no
 * name or word of the file is the same or begins with it. */
const char *overrides_free_name(struct arena *arena, const struct scenario *s, const char *wanted);

/* A new part of a kind between two points; its other keys are laid after. */
void overrides_part(struct overrides *o, const char *part, const char *kind, const char *from,
                    const char *to);

/* A new resistor between two points. */
void overrides_resistor(struct overrides *o, const char *part, const char *from, const char *to,
                        double ohms);

/* What was told on the command line: path `C1.value` (deeper: `T1.primary.resistance`; also
 * `mains.` and `run.`), value as it would stand in the file; one that begins with [ or { is a list
 * or map. A path of one word takes a map: keys of a part, or a new one: `R9` = `{is: resistor,
 * ...}`. Complaints, here and in the setup, stand under the words `C1.value=10uF`. False with an
 * error when the path names no key or the value is no list or map. */
bool overrides_assign(struct overrides *o, struct diags *diags, const char *path,
                      const char *value);

/* The scenario with one more variant `name`: `variant` (NULL or "base": the scenario itself) with
 * the keys laid over it. NULL with errors when there is no such variant, or a key is laid on a part
 * that is neither there nor new. */
const struct scenario *overrides_scenario(const struct overrides *o, struct diags *diags,
                                          const struct scenario *s, const char *variant,
                                          const char *name);

/* The setup of that variant (scenario_setup); NULL with errors. */
const struct setup *overrides_setup(const struct overrides *o, struct diags *diags,
                                    const struct scenario *s, const char *variant,
                                    const char *name);

#endif
