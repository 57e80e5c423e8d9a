/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FUZZ_H
#define PRESOLDER_FUZZ_H

#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>

#include "arena.h"

/* What libFuzzer calls. */
int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const unsigned char *data, size_t bytes);

enum { FUZZ_MEMORY = 64 << 20 }; /* of one input [bytes]; running out is no finding */

/* Calls `once` with an arena of its own. */
static inline void fuzz_once(void (*once)(struct arena *arena, const char *text, size_t bytes),
                             const unsigned char *data, size_t bytes)
{
    jmp_buf exhausted;
    struct arena *arena = arena_new();
    if (!arena) return;
    arena_limit(arena, FUZZ_MEMORY);
    if (setjmp(exhausted) == 0) {
        arena_on_exhausted(arena, &exhausted);
        once(arena, (const char *)data, bytes);
    }
    arena_on_exhausted(arena, NULL);
    arena_free(arena);
}

#endif
