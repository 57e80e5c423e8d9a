/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FAULT_H
#define PRESOLDER_FAULT_H

#include "part.h"

/* What can be wrong with the parts of a kind, as data: one const table a kind (part_kind.faults).
 * Ranges are estimates, common practice without a source, where the table says nothing else. */

enum { FAULT_KEYS = 3, FAULT_CHANGES = FAULT_KEYS + 2 };

/* How bad it is: one quantity, at a key of the part. */
struct fault_severity {
    const char *key;         /* NULL: the fault is there or not */
    enum unit unit;          /* of the severity */
    double low, high, usual; /* [SI] */

    /* Where the key takes a multiple of what the part has: that value [SI], its unit, and what it
     * is, for `10 % to 50 % of its value`. NULL: the key takes the severity itself. */
    double (*of)(const struct part *part);
    enum unit of_unit;
    const char *of_what;

    /* What follows the quantity at the key, as in `2 Mohm from 200 V`; NULL: nothing. */
    const char *(*tail)(struct arena *arena, const struct part *part);

    bool more; /* so much more than the part has: `+67 %` */
};

/* One more key that the fault lays over the part. */
struct fault_key {
    const char *key;  /* a nested one with a point: `primary.resistance` */
    const char *word; /* its value; NULL: what `word_of` gives */
    const char *(*word_of)(const struct set *set, const struct part *part);
};

struct part_fault {
    const char *name;           /* the word of `condition:`, unless `keyed`; NULL ends the table */
    const char *says, *says_uk; /* what it is, one phrase: ask fault_says; UK NULL: the same */
    bool dangerous; /* on full line it burns parts, or volts come where hands do not expect them */
    bool overloads; /* it draws what a fuse is there for */
    bool keyed;     /* made by the keys alone, no `condition:` */
    struct fault_severity severity;
    struct fault_key keys[FAULT_KEYS];

    /* Whether the part, sound as it is read, can have it; NULL: every part of the kind. */
    bool (*can)(const struct set *set, const struct part *part);
};

/* A key of a part and the text of its value, to be laid over a scenario. */
struct fault_change {
    const char *key, *text;
};

/* The fault of that name of the kind; NULL: none. */
const struct part_fault *fault_find(const struct part_kind *kind, const char *name);

/* What it is, as the scenario wants it said. */
const char *fault_says(const struct part_fault *fault);

/* Whether the part can have the fault, one of its kind's. `set` is linked. */
bool fault_can(const struct set *set, const struct part *part, const struct part_fault *fault);

/* The fault's changes of the part at that severity [SI]; NaN: the usual one. Returns how many; the
 * texts live in the arena or longer. Severities beyond low and high are laid as well. */
int fault_lay(struct arena *arena, const struct set *set, const struct part *part,
              const struct part_fault *fault, double severity,
              struct fault_change changes[FAULT_CHANGES]);

/* The same as written at a part that has the fault: those of its keys that the part gives, its
 * condition among them. */
int fault_copy(const struct part *part, const struct part_fault *fault,
               struct fault_change changes[FAULT_CHANGES]);

/* For the kinds: the value at the key of the severity of the part's present condition. Where it is
 * not given, the usual one is taken and assumed with the fault's range; `least` as of part_value.
 */
double fault_severity(struct set *set, const struct part *part, double least, const char *basis,
                      enum known_by known_by);

#endif
