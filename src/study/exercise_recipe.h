/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EXERCISE_RECIPE_H
#define PRESOLDER_EXERCISE_RECIPE_H

#include <stdbool.h>

#include "diag.h"

/* An exercise to be made again, as a file with one key:
 *
 *     exercise: {scenario: ../field-coil.yaml, level: 1, seed: 3, pupils: 12, fault: any}
 *
 * The scenario's path counts from the recipe's folder; what is left out is as on the command
 * line. */
struct exercise_recipe {
    const char *scenario;    /* path; the file itself where it is no recipe */
    const char *fault;       /* NULL: not told */
    int level, seed, pupils; /* 0: not told */
};

/* Reads the file. False with errors: it cannot be read, or is a recipe with mistakes. A file
 * without the key `exercise` is a scenario. */
bool exercise_recipe_read(struct arena *arena, struct diags *diags, const char *path,
                          struct exercise_recipe *recipe);

#endif
