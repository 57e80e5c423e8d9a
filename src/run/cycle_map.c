/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Trial cycles are simulated with the meter asleep. A trial that ends in another pattern than it
 * began, or a switch that trips in one, is no trial: such things are left to ordinary steps. */
#include "cycle_map.h"

#include <math.h>
#include <string.h>

#include "flow.h"
#include "hold.h"
#include "meter.h"
#include "numbers.h"

struct cycle_map *cycle_map_new(struct session *s)
{
    struct cycle_map *m = ARENA_NEW(s->arena, struct cycle_map);
    m->n = s->network->capacitors + s->network->inductors + s->eq->ns;
    double **rows[] = {&m->start, &m->drift, &m->size, &m->to, &m->after};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        *rows[i] = ARENA_ARRAY(s->arena, double, m->n);
    m->flow = flow_new(s);
    m->was = session_moving_new(s);
    m->map = ARENA_ARRAY(s->arena, double, (size_t)m->n *(size_t)m->n);
    return m;
}

bool cycle_map_exists(const struct session *s)
{
    for (int k = 0; k < s->setup->stages.n; k++) {
        const struct circuit *c = s->setup->stages.at[k].circuit;
        for (int j = 0; j < c->waveforms.n; j++) {
            double turns = c->waveforms.at[j].frequency * s->period;
            if (fabs(turns - nearbyint(turns)) > 1e-12) return false;
        }
    }
    return true;
}

bool cycle_map_put(const struct cycle_map *m, struct session *s, const double *z)
{
    session_write(s, z);
    if (!session_settle(s, m->was->r->pattern, session_stored(s))) return false;
    if (meter_instant(s->meter)) return false;
    hold_release(s); /* what was known of rates is of another place */
    flow_start(s);
    session_begin(s);
    return true;
}

void cycle_map_keep(struct cycle_map *m, struct session *s, const struct stops *next)
{
    hold_release(s);
    session_read(s, m->start);
    session_keep(s, m->was);
    m->next = *next;
    for (int i = 0; i < m->n; i++)
        m->size[i] =
            i < s->now.r->ny ? s->range[i] : s->network->circuit->states.at[i - s->now.r->ny].range;
}

bool cycle_map_trial(struct cycle_map *m, struct session *s, const double *z)
{
    struct stops next = {m->was->t + 1.5 * s->period, m->next.corner, HUGE_VAL, HUGE_VAL};
    const pattern_t pattern = m->was->r->pattern;
    session_take_back(s, m->was);
    if (!cycle_map_put(m, s, z) || s->now.r->pattern != pattern) return false;
    if (!session_cycle(s, &next) || s->now.r->pattern != pattern || s->now.opening) return false;
    session_read(s, m->after);
    return true;
}

bool cycle_map_drift(struct cycle_map *m, struct session *s, bool map)
{
    s->flow = map ? m->flow : NULL;
    bool good = cycle_map_trial(m, s, m->start) && (!map || flow_read(s, m->map));
    s->flow = NULL;
    for (int i = 0; i < m->n; i++) m->drift[i] = m->after[i] - m->start[i];
    return good;
}

bool cycle_map_back(const struct cycle_map *m, struct session *s)
{
    session_take_back(s, m->was);
    return cycle_map_put(m, s, m->start);
}
