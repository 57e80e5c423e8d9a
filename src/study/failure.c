/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "failure.h"

struct failure failure_of_run(struct arena *arena, const struct result *r, enum failure_run run,
                              const char *name)
{
    struct failure f = {.cause = r ? FAILURE_RUN : FAILURE_MEMORY, .run = run, .name = name};
    if (r) f.trouble = trouble_copy(arena, &r->trouble);
    return f;
}
