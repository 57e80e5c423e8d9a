/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trouble.h"

#include <string.h>

struct trouble trouble_copy(struct arena *arena, const struct trouble *t)
{
    struct trouble copy = *t;
    if (t->names) copy.names = arena_text(arena, t->names, strlen(t->names));
    return copy;
}
