/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rings of the last makes and breaks; the extremes between them come from the meter's own window,
 * which is as long. */
#include "contact.h"

#include <math.h>

#include "cubic.h"
#include "numbers.h"

#define MAKING 0.1 /* of a half period */

struct contact {
    int line;                                        /* channel of the line current */
    ARRAY(int) tops;                                 /* channels of the windings' volts */
    double *flat;                                    /* [CONTACT_KEPT * tops] when it breaks [V] */
    double broken[CONTACT_KEPT], made[CONTACT_KEPT]; /* [A] */
    int breaks, makes;                               /* so far */
    double early;                                    /* a make is looked at until then [s] */
};

struct contact *contact_new(struct arena *arena, const struct meter *m)
{
    const struct stage *first = &m->session->setup->stages.at[0];
    if (!circuit_square(first->circuit, first->mains_source)) return NULL;
    struct contact *contact = ARENA_NEW(arena, struct contact);
    contact->early = -HUGE_VAL;
    for (int k = 0; k < m->channels.n; k++) {
        const struct channel *ch = &m->channels.at[k];
        if (ch->part || ch->mains_power) continue;
        if (ch->probe.kind == PROBE_CURRENT && ch->probe.flags & PROBE_LINE) contact->line = k;
        if (ch->probe.kind == PROBE_VOLTAGE && ch->probe.flags & PROBE_WINDING)
            array_push(arena, &contact->tops, k);
    }
    contact->flat = ARENA_ARRAY(arena, double, CONTACT_KEPT * contact->tops.n);
    return contact;
}

static double size_of(const struct meter *m, int node, int channel)
{
    return fabs(m->values[node * m->rows + channel]);
}

void contact_breaks(struct contact *c, const struct meter *m)
{
    if (m->asleep) return;
    const int at = c->breaks++ % CONTACT_KEPT, n = c->tops.n;
    c->broken[at] = size_of(m, WAVE_NODES - 1, c->line);
    for (int k = 0; k < n; k++) c->flat[at * n + k] = size_of(m, WAVE_NODES - 1, c->tops.at[k]);
}

void contact_makes(struct contact *c, const struct meter *m)
{
    if (m->asleep) return;
    c->made[c->makes++ % CONTACT_KEPT] = size_of(m, WAVE_NODES - 1, c->line);
    c->early = m->session->now.t + MAKING * m->session->period / 2;
}

void contact_step(struct contact *c, const struct meter *m, double from)
{
    if (m->asleep || c->makes == 0 || from >= c->early) return;
    double *made = &c->made[(c->makes - 1) % CONTACT_KEPT], v[WAVE_NODES];
    double span = m->session->now.t - from, until = smaller((c->early - from) / span, 1);
    for (int way = -1; way <= 1; way += 2) {
        for (int node = 0; node < WAVE_NODES; node++)
            v[node] = way * m->values[node * m->rows + c->line];
        const struct cubic p = cubic_through(v);
        *made = larger(*made, cubic_highest(&p, -1, 2 * until - 1));
    }
}

static void put(const struct meter *m, const char *subject, enum measure measure, double value)
{
    array_push(m->arena, &m->session->result->figures,
               (struct figure){.subject = subject,
                               .measure = measure,
                               .value = value,
                               .unit = measure_table[measure].unit,
                               .time = (double)NAN});
}

static double greatest(const double *of, int n)
{
    double most = 0;
    for (int k = 0; k < n; k++) most = larger(most, of[k]);
    return most;
}

static double window_peak(const struct meter *m, int channel)
{
    struct wave_figures f;
    wave_read(m->wave, channel, &f);
    return larger(fabs(f.window_highest), fabs(f.window_lowest));
}

static void report_top(const struct contact *c, const struct meter *m, int k, int kept)
{
    const char *subject = m->channels.at[c->tops.at[k]].probe.subject;
    double flat = 0, peak = window_peak(m, c->tops.at[k]);
    for (int i = 0; i < kept; i++) flat += c->flat[i * c->tops.n + k] / kept;
    if (!(flat > 0)) return;
    put(m, subject, MEASURE_FLAT_TOP_VOLTAGE, flat);
    put(m, subject, MEASURE_OVERSHOOT_VOLTAGE, larger(peak - flat, 0));
    put(m, subject, MEASURE_OVERSHOOT_SHARE, larger(peak - flat, 0) / flat);
}

void contact_report(const struct contact *c, const struct meter *m)
{
    const int kept = c->breaks < CONTACT_KEPT ? c->breaks : CONTACT_KEPT;
    if (kept == 0) return;
    put(m, "mains", MEASURE_CONTACT_PEAK_CURRENT, window_peak(m, c->line));
    put(m, "mains", MEASURE_MAKE_CURRENT, greatest(c->made, CONTACT_KEPT));
    put(m, "mains", MEASURE_BREAK_CURRENT, greatest(c->broken, kept));
    for (int k = 0; k < c->tops.n; k++) report_top(c, m, k, kept);
}
