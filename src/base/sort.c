/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sort.h"

static void swap(char *a, char *b, size_t size)
{
    for (size_t i = 0; i < size; i++) {
        char held = a[i];
        a[i] = b[i];
        b[i] = held;
    }
}

void sort_stable(void *items, int n, size_t size, int (*compare)(const void *a, const void *b))
{
    for (int i = 1; i < n; i++)
        for (char *at = (char *)items + (size_t)i * size;
             at > (char *)items && compare(at - size, at) > 0; at -= size)
            swap(at - size, at, size);
}
