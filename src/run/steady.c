/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "steady.h"

#include <math.h>
#include <string.h>

#include "cycle_map.h"
#include "meter.h"
#include "numbers.h"
#include "steady_search.h"

#define BEGINS 0.6 /* of the mains [rad]: where neither capacitor nor choke inputs commutate */
/* Cycles from empty capacitors before the search; where that fails so many times more, at most. */
enum { WARM = 3, WARM_MORE = 8, WARM_MOST = 200 };

/* Newton's method may end where no set can be: with something colder than the room. */
static bool found_by(struct steady_search *q, struct session *s)
{
    return steady_search_find(q, s) && !steady_search_frozen(q, s);
}

static bool search(struct steady *d, struct session *s, struct steady_search *q,
                   const struct steady *near)
{
    const int all = q->ny + q->ns;
    double *first = ARENA_ARRAY(s->arena, double, all);
    memcpy(first, q->z, (size_t)all * sizeof *first);
    bool found = near && near->search && steady_search_begin_at(q, near->search) && found_by(q, s);
    for (int warm = WARM; !found && !s->cut && warm <= WARM_MOST; warm *= WARM_MORE) {
        memcpy(q->z, first, (size_t)all * sizeof *first);
        memset(q->coupled, 0, (size_t)(q->n * q->n) * sizeof *q->coupled);
        found = steady_search_warm(q, s, warm) && found_by(q, s);
    }
    /* heaters that stay dark are too far from where a hot start has them */
    if (!found && !s->cut) {
        memcpy(q->z, first, (size_t)all * sizeof *first);
        memset(q->coupled, 0, (size_t)(q->n * q->n) * sizeof *q->coupled);
        steady_search_cool(q, s);
        found = steady_search_warm(q, s, WARM) && found_by(q, s);
    }
    d->cycles = q->cycles;
    return found;
}

static bool measure(struct steady *d, struct session *s, struct steady_search *q)
{
    struct stops next = {1.5 * s->period, HUGE_VAL, HUGE_VAL, HUGE_VAL};
    if (!steady_search_put(q, s, true)) return false;
    next.corner = session_next_corner(s);
    s->meter->asleep = false;
    meter_begin(s->meter);
    if (meter_instant(s->meter) || !session_cycle(s, &next)) return false;
    d->cycles++;
    s->result->end = s->now.t;
    s->result->statistics.steady = true;
    s->result->statistics.cycles = 1;
    meter_report(s->meter);
    d->result = s->result;
    return true;
}

const struct steady *steady_solve(struct arena *arena, const struct setup *setup,
                                  const struct steady_options *options)
{
    struct steady *d = ARENA_NEW(arena, struct steady);
    struct run_options o = run_defaults();
    o.hot = 1;
    o.tolerance = options->tolerance;
    o.angle = BEGINS;
    o.duration = 1 / setup->frequency;
    o.no_bleed = !options->bleed;
    o.progress = options->progress;
    o.progress_context = options->progress_context;
    struct session *s = session_new(arena, setup, &o);
    s->only_steady = true;
    s->meter->asleep = true;
    d->status = STATUS_SOLUTION;
    if (!cycle_map_exists(s)) return d;
    s->cut = o.progress && o.progress(o.progress_context, 0); /* small sets are never asked */
    if (!s->cut && session_stage(s, setup->stages.n - 1)) {
        struct steady_search *q = steady_search_new(s, options->bodies_stay);
        if (search(d, s, q, options->near)) {
            d->search = q;
            if (measure(d, s, q)) d->status = STATUS_OK;
        }
    }
    if (d->status != STATUS_OK && s->cut) d->status = STATUS_INTERRUPTED;
    return d;
}
