/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ARRAY_H
#define PRESOLDER_ARRAY_H

#include "arena.h"

/* A growable array living in an arena: struct { T *at; int n, room; }, all zero when empty. */
#define ARRAY(T)                                                                                   \
    struct {                                                                                       \
        T *at;                                                                                     \
        int n;                                                                                     \
        int room;                                                                                  \
    }

/* Appends one item (a value of the element type); the array moves when it grows, old memory stays
 * in the arena. */
#define array_push(arena, array, ...)                                                              \
    ((array)->at =                                                                                 \
         array_room((arena), (array)->at, (array)->n, &(array)->room, sizeof *(array)->at),        \
     (array)->at[(array)->n++] = (__VA_ARGS__))

/* Room for one more item of `size` bytes behind the first `n`; returns the memory, which may have
 * moved. */
void *array_room(struct arena *arena, void *at, int n, int *room, size_t size);

#endif
