/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Room doubles when it is used up, so pushing n items copies fewer than 2 n. */
#include "array.h"

#include <assert.h>
#include <limits.h>
#include <string.h>

enum { ROOM_FIRST = 8 }; /* items; most arrays of a scenario stay below it */

void *array_room(struct arena *arena, void *at, int n, int *room, size_t size)
{
    assert(n >= 0 && n <= *room && n < INT_MAX);
    if (n < *room) return at;
    *room = n == 0 ? ROOM_FIRST : n <= INT_MAX / 2 ? 2 * n : INT_MAX;
    assert((size_t)*room <= (size_t)-1 / size);
    void *larger_one = arena_alloc(arena, (size_t)*room * size);
    if (n > 0) memcpy(larger_one, at, (size_t)n * size);
    return larger_one;
}
