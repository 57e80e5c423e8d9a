/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "why.h"

#include <stdio.h>

#include "words_trouble.h"

const char *why(const struct result *r)
{
    static char text[400];
    struct arena *arena = arena_new();
    snprintf(text, sizeof text, "%s", words_trouble(arena, r->status, &r->trouble));
    arena_free(arena);
    return text;
}
