/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CATALOGUE_IMPL_H
#define PRESOLDER_CATALOGUE_IMPL_H

#include "catalogue.h"

/* Inside the parts layer only: one entry of the catalogue. */

/* Cuts the source tags from the entry's values (`map`) and fills kind (NULL when it has no `is:`),
 * values and sources of the model; `tags` are the sources of its file. False when anything is
 * wrong, which is reported. */
bool catalogue_model_read(struct arena *arena, struct diags *diags, const struct node *map,
                          const struct node *tags, struct model *model);

/* Complains of an unknown kind, and of keys in `map` that are nearly, but not quite, keys of that
 * kind. */
void catalogue_model_check(struct arena *arena, struct diags *diags, const struct node *map,
                           const struct model *model);

#endif
