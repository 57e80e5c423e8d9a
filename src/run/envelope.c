/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "envelope.h"

enum { ENVELOPE_ROWS = 8000 };

struct envelope {
    struct trace *trace;
    ARRAY(int) channels;
    ARRAY(const char *) titles;
    double *row;
};

struct envelope *envelope_new(struct arena *arena, const struct meter *m, double duration)
{
    struct envelope *e = ARENA_NEW(arena, struct envelope);
    for (int k = 0; k < m->traced.n; k++) {
        const struct channel *ch = &m->channels.at[m->traced.at[k]];
        if (ch->probe.kind != PROBE_VOLTAGE || !(ch->probe.flags & PROBE_POINT)) continue;
        array_push(arena, &e->channels, m->traced.at[k]);
        array_push(arena, &e->titles, m->session->result->columns.at[k]);
    }
    if (e->channels.n == 0) return NULL;
    e->row = ARENA_ARRAY(arena, double, 3 * e->channels.n);
    e->trace = trace_new(arena, 3 * e->channels.n, 0, duration, m->session->period, ENVELOPE_ROWS);
    return e;
}

void envelope_cycle(struct envelope *e, const struct meter *m, double t)
{
    for (int k = 0; k < e->channels.n; k++) {
        struct wave_cycle cycle;
        if (!wave_cycle(m->wave, e->channels.at[k], &cycle)) return;
        e->row[3 * k] = cycle.lowest;
        e->row[3 * k + 1] = cycle.mean;
        e->row[3 * k + 2] = cycle.highest;
    }
    trace_row(e->trace, t, e->row);
}

void envelope_report(struct envelope *e, struct result *result)
{
    trace_finish(e->trace);
    result->envelope = e->trace;
    result->envelope_columns.at = e->titles.at;
    result->envelope_columns.n = e->titles.n;
}
