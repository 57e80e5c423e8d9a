/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From channels to the named figures of figures.csv. */
#include <math.h>
#include <string.h>

#include "bleed.h"
#include "contact.h"
#include "heat.h"
#include "watch.h"
#include "meter.h"
#include "numbers.h"
#include "thermal.h"

static void put(struct meter *m, const char *subject, const char *measure, double value,
                enum unit unit, double time)
{
    array_push(
        m->arena, &m->session->result->figures,
        (struct figure){
            .subject = subject, .measure = measure, .value = value, .unit = unit, .time = time});
}

static void put_plain(struct meter *m, const char *subject, const char *measure, double value,
                      enum unit unit)
{
    put(m, subject, measure, value, unit, (double)NAN);
}

static void extremes(struct meter *m, const char *subject, const struct wave_figures *f, bool volts)
{
    enum unit unit = volts ? UNIT_VOLT : UNIT_AMPERE;
    put(m, subject, volts ? "highest-voltage" : "highest-current", f->highest.value, unit,
        f->highest.time);
    if (volts) put(m, subject, "lowest-voltage", f->lowest.value, unit, f->lowest.time);
}

static void direct_voltage(struct meter *m, const char *subject, const struct wave_figures *f)
{
    put_plain(m, subject, "settled-voltage", f->mean, UNIT_VOLT);
    put_plain(m, subject, "settled", f->settled, UNIT_NUMBER);
    extremes(m, subject, f, true);
    put_plain(m, subject, "ripple-rms", f->ripple_rms, UNIT_VOLT);
    put_plain(m, subject, "ripple-pp", f->ripple_pp, UNIT_VOLT);
    put_plain(m, subject, "ripple-frequency", f->strongest / m->session->period, UNIT_HERTZ);
    if (!m->session->result->statistics.steady)
        put_plain(m, subject, "settling-time", f->settling_time, UNIT_SECOND);
}

static void voltage(struct meter *m, const struct probe *p, const struct wave_figures *f)
{
    const char *subject = p->subject;
    if (p->flags & PROBE_RECTIFIER) {
        put(m, subject, "inverse-voltage", f->highest.value, UNIT_VOLT, f->highest.time);
    } else if (p->flags & PROBE_POINT) {
        direct_voltage(m, subject, f);
        put_plain(m, subject, "rms-voltage", f->rms, UNIT_VOLT);
    } else if (p->flags & PROBE_CAPACITOR) {
        direct_voltage(m, subject, f);
    } else if (p->flags & (PROBE_WINDING | PROBE_HEATER | PROBE_LINE)) {
        put_plain(m, subject, "rms-voltage", f->rms, UNIT_VOLT);
        extremes(m, subject, f, true);
    } else {
        put_plain(m, subject, "settled-voltage", f->mean, UNIT_VOLT);
        put_plain(m, subject, "rms-voltage", f->rms, UNIT_VOLT);
        extremes(m, subject, f, true);
    }
}

static bool unlimited(const struct meter *m, const struct probe *p)
{
    const struct session *s = m->session;
    for (int k = 0; k < p->count; k++) {
        int gate = s->network->circuit->elements.at[p->elements[k]].gate;
        if (gate >= 0 && (s->impulsive >> gate & 1u)) return true;
    }
    return false;
}

static void pulses(struct meter *m, const struct probe *p, int channel)
{
    struct wave_pulse pulse;
    bool endless = unlimited(m, p);
    for (int k = 0; k < wave_closings(m->wave); k++) {
        if (!wave_first_pulse(m->wave, channel, k, &pulse)) continue;
        put(m, p->subject, "inrush-peak-current", endless ? HUGE_VAL : pulse.peak, UNIT_AMPERE,
            pulse.peak_time);
        put(m, p->subject, "peak-duration", pulse.end - pulse.start, UNIT_SECOND, pulse.start);
        put(m, p->subject, "peak-i2t", endless ? HUGE_VAL : pulse.square_integral, UNIT_I2T,
            pulse.start);
    }
}

#define AUDITED 1e-6 /* share of the energy that the audit lets pass */

/* What the source gives; 0: less than 1 Gohm across it would take (the network's own, ports.c),
 * that is rounding. */
static double given(double value, double through_gigaohm)
{
    return fabs(value) < through_gigaohm ? 0 : value;
}

static double gigaohm_amperes(const struct meter *m)
{
    return 1e-9 * m->session->volts_scale;
}

static double gigaohm_watts(const struct meter *m)
{
    return gigaohm_amperes(m) * m->session->volts_scale;
}

static void current(struct meter *m, const struct probe *p, const struct wave_figures *f,
                    int channel)
{
    const char *subject = p->subject;
    if (p->flags & PROBE_LINE) {
        put_plain(m, subject, "line-current", given(f->rms, gigaohm_amperes(m)), UNIT_AMPERE);
        extremes(m, subject, f, false);
        return;
    }
    put_plain(m, subject, "rms-current", f->rms, UNIT_AMPERE);
    if (!(p->flags & (PROBE_CAPACITOR | PROBE_WINDING | PROBE_HEATER)))
        put_plain(m, subject, "average-current", f->mean, UNIT_AMPERE);
    if ((p->flags & PROBE_RECTIFIER) && p->count == 1)
        put_plain(m, subject, "running-peak-current", f->window_highest, UNIT_AMPERE);
    extremes(m, subject, f, false);
    if ((p->flags & PROBE_RECTIFIER) && p->count == 1) pulses(m, p, channel);
}

/* Joules of a capacitor at its highest settled volts, and the times to bleed down. */
static void stored(struct meter *m, const struct probe *p, const struct wave_figures *f,
                   double *total)
{
    const struct circuit *c = m->session->network->circuit;
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        if (e->kind != ELEMENT_CAPACITOR || strcmp(e->part, p->subject) != 0) continue;
        double joules = e->value * sq(larger(fabs(f->window_highest), fabs(f->window_lowest))) / 2;
        put_plain(m, p->subject, "stored-energy", joules, UNIT_JOULE);
        put_plain(m, p->subject, "bleed-down-time", bleed_down(m->session, k, 30), UNIT_SECOND);
        put_plain(m, p->subject, "bleed-to-50V-time", bleed_down(m->session, k, 50), UNIT_SECOND);
        *total += joules;
        return;
    }
}

/* When the limit of a temperature is passed, if all goes on as at the end of the run, counted like
 * the run itself; when it was passed, if it was. The watts are those of the last METER_WATTS to 2
 * METER_WATTS periods, or of what the last stage lasted. */
static double passes(const struct meter *m, int state)
{
    const struct session *s = m->session;
    const struct circuit *c = s->network->circuit;
    const struct temperature *t = &m->temperatures.at[m->temperature_of[state]];
    if (!isnan(t->passed)) return t->passed;
    const int from = isnan(m->mark_time[0]), n = c->states.n;
    const double *now = s->states, *old = m->mark[from], span = s->t - m->mark_time[from];
    double *watts = ARENA_ARRAY(m->arena, double, n), *mean = ARENA_ARRAY(m->arena, double, n);
    if (!(span > 0)) return (double)NAN;
    for (int k = 0; k < n; k++) mean[k] = (old[k] + now[k]) / 2;
    for (int k = 0; k < n; k++) watts[k] = thermal_watts(c, k, mean, (now[k] - old[k]) / span);
    return s->t + thermal_time_to_limit(c, now, watts, state);
}

static void temperatures(struct meter *m)
{
    const struct circuit *c = m->session->network->circuit;
    for (int k = 0; k < m->temperatures.n; k++) {
        const struct temperature *t = &m->temperatures.at[k];
        if (isinf(t->highest)) continue; /* of a stage that was not reached */
        const char *subject = meter_temperature(m, k);
        put(m, subject, "temperature", t->highest, UNIT_CELSIUS, t->time);
        for (int j = 0; j < c->states.n; j++)
            if (m->temperature_of[j] == k && c->states.at[j].limit > 0)
                put_plain(m, subject, "time-to-limit", passes(m, j), UNIT_SECOND);
    }
}

static void settled_set(struct meter *m, const struct wave_figures *f, const struct channel *ch,
                        bool *all)
{
    (void)m;
    if (!ch->part && !ch->mains_power && (ch->probe.flags & PROBE_WATCHED)) *all &= f->settled;
}

bool meter_settled(const struct meter *m)
{
    struct wave_figures f;
    bool capacitors = true, all = true, any = false;
    for (int k = 0; k < m->channels.n; k++) {
        const struct channel *ch = &m->channels.at[k];
        if (ch->part || ch->mains_power || !(ch->probe.flags & (PROBE_WATCHED | PROBE_CAPACITOR)))
            continue;
        wave_read(m->wave, k, &f);
        all &= f.settled;
        if (!(ch->probe.flags & PROBE_CAPACITOR) || ch->probe.kind != PROBE_VOLTAGE) continue;
        any = true;
        capacitors &= f.settled;
    }
    return any ? capacitors : all;
}

static void audit(struct meter *m)
{
    struct session *s = m->session;
    struct statistics *st = &s->result->statistics;
    st->energy_drawn = m->drawn + m->worked;
    st->energy_heat = m->heat;
    st->energy_stored = session_stored(s) - m->stored_first;
    st->energy_booked = m->booked;
    double rest = st->energy_drawn - st->energy_heat - st->energy_stored - st->energy_booked;
    double size = larger(fabs(st->energy_drawn), larger(m->heat, fabs(m->stored_first)));
    size = larger(size, 0.01 * m->moved); /* coils and capacitors alone draw nothing in the end */
    size = larger(size, gigaohm_watts(m) * s->t);
    st->energy_residual = size > 0 ? fabs(rest) / size : 0;
    st->charge_residual = m->charge_worst;
    st->charge_point = m->charge_point;
    st->audit_failed = !(st->energy_residual <= AUDITED) || !(st->charge_residual <= AUDITED);
}

/* When what trips has tripped; inf: never. */
static void trips(struct meter *m)
{
    const struct session *s = m->session;
    const struct circuit *c = s->network->circuit;
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        double when = HUGE_VAL;
        if (!e->trips) continue;
        for (int j = 0; j < s->tripped.n; j++) {
            const struct tripped *t = &s->tripped.at[j];
            if (strcmp(t->part, e->part) == 0 && strcmp(t->role, e->role) == 0) when = t->time;
        }
        put(m, e->part, e->starts_closed ? "opens-at" : "shorts-at", when, UNIT_SECOND, when);
    }
}

const char *meter_temperature(const struct meter *m, int k)
{
    const struct temperature *t = &m->temperatures.at[k];
    bool whole = strcmp(t->role, "T") == 0 || strcmp(t->role, "temperature") == 0;
    return whole ? t->part : arena_printf(m->arena, "%s.%s", t->part, t->role);
}

void meter_report(struct meter *m)
{
    struct result *result = m->session->result;
    struct wave_figures f;
    double energy = 0;
    bool all = true;
    meter_stage_end(m);
    for (int k = 0; k < m->channels.n; k++) {
        const struct channel *ch = &m->channels.at[k];
        wave_read(m->wave, k, &f);
        settled_set(m, &f, ch, &all);
        if (ch->mains_power) {
            if (m->session->setup->stages.at[0].mains_source >= 0)
                put_plain(m, "mains", "line-power", given(f.mean, gigaohm_watts(m)), UNIT_WATT);
        } else if (ch->part) {
            put_plain(m, ch->part, "dissipation", given(f.mean, AUDITED * gigaohm_watts(m)),
                      UNIT_WATT);
            put_plain(m, ch->part, "energy", f.integral, UNIT_JOULE);
        } else if (ch->probe.kind == PROBE_VOLTAGE) {
            voltage(m, &ch->probe, &f);
            if (ch->probe.flags & PROBE_CAPACITOR) stored(m, &ch->probe, &f, &energy);
        } else {
            current(m, &ch->probe, &f, k);
        }
    }
    temperatures(m);
    trips(m);
    watch_report(m->watch, result);
    if (m->contact) contact_report(m->contact, m);
    put_plain(m, "set", "settled", all, UNIT_NUMBER);
    put_plain(m, "set", "stored-energy", energy, UNIT_JOULE);
    if (result->statistics.leaps > 0) {
        put_plain(m, "set", "leaps", (double)result->statistics.leaps, UNIT_NUMBER);
        put_plain(m, "set", "cycles-leapt", (double)result->statistics.leapt, UNIT_NUMBER);
    }
    if (result->status == STATUS_INTERRUPTED)
        put_plain(m, "set", "interrupted-at", m->session->t, UNIT_SECOND);
    result->settled = all;
    audit(m);
    if (m->trace) {
        trace_finish(m->trace);
        result->trace = m->trace;
        heat_report(m->heat_record, result);
    }
}

struct result result_heat(const struct result *result)
{
    struct result view = *result;
    view.trace = result->heat;
    view.columns.at = result->heat_columns.at;
    view.columns.n = result->heat_columns.n;
    return view;
}

const struct figure *result_find(const struct result *result, const char *subject,
                                 const char *measure)
{
    for (int k = 0; k < result->figures.n; k++) {
        const struct figure *f = &result->figures.at[k];
        if (strcmp(f->subject, subject) == 0 && strcmp(f->measure, measure) == 0) return f;
    }
    return NULL;
}
