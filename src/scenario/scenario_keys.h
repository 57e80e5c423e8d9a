/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCENARIO_KEYS_H
#define PRESOLDER_SCENARIO_KEYS_H

#include "key.h"

/* The keys of a scenario beside those of its parts, for readers, hints, manual page and schema. All
 * tables end with a NULL name. Those of the mains and the run stand where these are read. */
extern const struct key scenario_keys[];  /* of the file */
extern const struct key variant_keys[];   /* of a variant, beside names of parts */
extern const struct key meter_keys[];     /* of `meter` */
extern const struct key condition_keys[]; /* of a set of readings, beside what is read */
extern const struct key repair_keys[];    /* of `repair` */
extern const struct key through_keys[];   /* of `through` of the mains: kinds of parts */
extern const struct key mains_keys[];
extern const struct key run_keys[];

#endif
