/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SORT_H
#define PRESOLDER_SORT_H

#include <stddef.h>

/* Sorts `n` items of `size` bytes where they are, as qsort does, but leaves equal ones in their
 * order. By insertion: for lists of some hundred, or nearly in order. */
void sort_stable(void *items, int n, size_t size, int (*compare)(const void *a, const void *b));

#endif
