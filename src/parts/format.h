/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FORMAT_H
#define PRESOLDER_FORMAT_H

#include <stdbool.h>

#include "doc.h"

/* The version of the format of scenarios and lists of models, raised when an old file would be read
 * wrongly. */
enum { FORMAT_VERSION = 1 };

/* Checks that a file is a map with `format: 1`; complains and returns false when it is no map or of
 * another version (both versions named) or has none. `what` the file should be: "a scenario". */
bool format_check(struct arena *arena, struct diags *diags, const struct node *root,
                  const char *what);

#endif
