/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCHEMA_H
#define PRESOLDER_SCHEMA_H

#include <stdio.h>

#include "part.h"

/* Writes the JSON Schema (draft 7) of a scenario, by which an editor completes keys and words and
 * marks wrong ones as they are typed. It knows keys, words, types and what must be there, from the
 * tables of kinds; quantities and points are for `presolder check`. */
void schema_write(FILE *to, struct arena *arena, const struct catalogue *catalogue);

#endif
