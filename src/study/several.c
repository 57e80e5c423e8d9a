/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A setup is constant and shared; everything that moves in a run lives in the run's own arena. When
 * memory runs out in a thread, its turn-on ends as a solution that failed. */
#include "several.h"

#include "pool.h"

struct several {
    const struct setup *const *setups;
    const struct several_options *options;
    struct arena **arenas;
    const struct turn_on **turn_ons;
    int n;
    enum status status;
};

static void give_back(void *arena)
{
    arena_free(arena);
}

static void make(void *context, int i)
{
    struct several *s = context;
    s->turn_ons[i] = turn_on(s->arenas[i], s->setups[i], &s->options->run);
}

static void work(void *context, int i)
{
    pool_within(((struct several *)context)->arenas[i], make, context, i);
}

static bool take(void *context, int i)
{
    struct several *s = context;
    s->status = s->turn_ons[i] ? s->turn_ons[i]->status : STATUS_SOLUTION;
    if (s->options->done) s->options->done(s->options->done_context, i + 1, s->n);
    return s->status == STATUS_OK;
}

enum status several_turn_on(struct arena *arena, const struct setup *const *setups, int n,
                            const struct several_options *options, const struct turn_on **turn_ons)
{
    struct several s = {setups,   options, ARENA_ARRAY(arena, struct arena *, n),
                        turn_ons, n,       STATUS_OK};
    for (int i = 0; i < n; i++) {
        turn_ons[i] = NULL;
        s.arenas[i] = arena_new();
        if (!s.arenas[i]) return STATUS_SOLUTION;
        arena_at_free(arena, give_back, s.arenas[i]);
    }
    int jobs = options->jobs > 0 ? options->jobs : pool_processors();
    if (!pool_run_in(arena, n, jobs, n, work, take, &s) && s.status == STATUS_OK)
        return STATUS_SOLUTION;
    return s.status;
}
