/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns are the power channels, then the temperatures of everything but heaters and cathodes,
 * which are no news. */
#include "heat.h"

#include <string.h>

enum { HEAT_ROWS = 4000 };

#define GLOWS 600.0 /* [K]; what is so hot when it works is a heater or a cathode */

struct heat {
    struct trace *trace;
    ARRAY(int) powers, bodies; /* channels, temperatures */
    ARRAY(const char *) titles;
    double *row;
};

static bool glows(const struct meter *m, int k)
{
    const struct setup *setup = m->session->setup;
    const struct temperature *t = &m->temperatures.at[k];
    for (int i = 0; i < setup->stages.n; i++) {
        const struct circuit *c = setup->stages.at[i].circuit;
        for (int j = 0; j < c->states.n; j++)
            if (strcmp(c->states.at[j].part, t->part) == 0 &&
                strcmp(c->states.at[j].role, t->role) == 0)
                return c->states.at[j].hot > GLOWS;
    }
    return false;
}

struct heat *heat_new(struct arena *arena, const struct meter *m, double duration)
{
    struct heat *h = ARENA_NEW(arena, struct heat);
    for (int k = 0; k < m->channels.n; k++) {
        if (!m->channels.at[k].part) continue;
        array_push(arena, &h->powers, k);
        array_push(arena, &h->titles, arena_printf(arena, "%s [W]", m->channels.at[k].part));
    }
    for (int k = 0; k < m->temperatures.n; k++) {
        if (glows(m, k)) continue;
        array_push(arena, &h->bodies, k);
        array_push(arena, &h->titles, arena_printf(arena, "%s [degC]", meter_temperature(m, k)));
    }
    h->row = ARENA_ARRAY(arena, double, h->titles.n);
    h->trace = trace_new(arena, h->titles.n, 0, duration, m->session->period, HEAT_ROWS);
    return h;
}

void heat_cycle(struct heat *h, const struct meter *m, double t)
{
    struct wave_cycle cycle;
    int n = 0;
    for (int k = 0; k < h->powers.n; k++) {
        if (!wave_cycle(m->wave, h->powers.at[k], &cycle)) return;
        h->row[n++] = cycle.mean;
    }
    for (int k = 0; k < h->bodies.n; k++)
        h->row[n++] = m->temperatures.at[h->bodies.at[k]].now - ZERO_CELSIUS;
    trace_row(h->trace, t, h->row);
}

void heat_report(struct heat *h, struct result *result)
{
    trace_finish(h->trace);
    result->heat = h->trace;
    result->heat_columns.at = h->titles.at;
    result->heat_columns.n = h->titles.n;
}
