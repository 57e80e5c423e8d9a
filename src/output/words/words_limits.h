/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_LIMITS_H
#define PRESOLDER_WORDS_LIMITS_H

#include "discharge.h"

/* What is counted harmless in new equipment: `energy at most 350 mJ`. */
const char *words_limits_charge(struct arena *arena, enum charge_limit limit);

/* The same of the prongs of a plug. */
const char *words_limits_pins(struct arena *arena, const struct pin_limit *limit);

#endif
