/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DIAGNOSE_IMPL_H
#define PRESOLDER_DIAGNOSE_IMPL_H

#include "diagnose.h"

/* Among the files of the diagnosis. */

/* Fills d->limit and d->next. */
void diagnose_next(struct arena *arena, struct diagnosis *d);

/* The likeliest cause of the list. */
int diagnose_single(const struct diagnosis *d);

/* Fills d->pairs: of the ten likeliest single causes those that together come nearest, where that
 * is less than half as far off as the best single one. */
void diagnose_pairs(struct arena *arena, struct diagnosis *d);

#endif
