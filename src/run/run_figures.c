/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From channels to the named figures of figures.csv. */
#include <math.h>
#include <string.h>

#include "bleed.h"
#include "contact.h"
#include "envelope.h"
#include "heat.h"
#include "watch.h"
#include "meter.h"
#include "numbers.h"
#include "thermal.h"

static void put(struct meter *m, const char *subject, enum measure measure, double value,
                double time)
{
    array_push(m->arena, &m->session->result->figures,
               (struct figure){.subject = subject,
                               .measure = measure,
                               .value = value,
                               .unit = measure_table[measure].unit,
                               .time = time});
}

static void put_plain(struct meter *m, const char *subject, enum measure measure, double value)
{
    put(m, subject, measure, value, (double)NAN);
}

static void extremes(struct meter *m, const char *subject, const struct wave_figures *f)
{
    put(m, subject, MEASURE_HIGHEST_VOLTAGE, f->highest.value, f->highest.time);
    put(m, subject, MEASURE_LOWEST_VOLTAGE, f->lowest.value, f->lowest.time);
}

/* Whichever way it flows. */
static void highest_current(struct meter *m, const char *subject, const struct wave_figures *f)
{
    bool back = -f->lowest.value > f->highest.value;
    put(m, subject, MEASURE_HIGHEST_CURRENT, back ? -f->lowest.value : f->highest.value,
        back ? f->lowest.time : f->highest.time);
}

static void direct_voltage(struct meter *m, const char *subject, const struct wave_figures *f)
{
    put_plain(m, subject, MEASURE_SETTLED_VOLTAGE, f->mean);
    put_plain(m, subject, MEASURE_SETTLED, f->settled || m->session->only_steady);
    extremes(m, subject, f);
    put_plain(m, subject, MEASURE_RIPPLE_RMS, f->ripple_rms);
    put_plain(m, subject, MEASURE_RIPPLE_PP, f->ripple_pp);
    put_plain(m, subject, MEASURE_RIPPLE_FREQUENCY, f->strongest / m->session->period);
    if (!m->session->result->statistics.steady)
        put_plain(m, subject, MEASURE_SETTLING_TIME, f->settling_time);
}

static void voltage(struct meter *m, const struct probe *p, const struct wave_figures *f)
{
    const char *subject = p->subject;
    if (p->flags & PROBE_RECTIFIER) {
        put(m, subject, MEASURE_INVERSE_VOLTAGE, f->highest.value, f->highest.time);
    } else if (p->flags & PROBE_POINT) {
        direct_voltage(m, subject, f);
        put_plain(m, subject, MEASURE_RMS_VOLTAGE, f->rms);
    } else if (p->flags & PROBE_CAPACITOR) {
        direct_voltage(m, subject, f);
    } else if (p->flags & (PROBE_WINDING | PROBE_HEATER | PROBE_LINE)) {
        bool direct = p->flags & PROBE_HEATER && fabs(f->mean) > f->rms / 2;
        if (direct) put_plain(m, subject, MEASURE_SETTLED_VOLTAGE, f->mean);
        put_plain(m, subject, MEASURE_RMS_VOLTAGE, f->rms);
        extremes(m, subject, f);
    } else {
        put_plain(m, subject, MEASURE_SETTLED_VOLTAGE, f->mean);
        put_plain(m, subject, MEASURE_RMS_VOLTAGE, f->rms);
        extremes(m, subject, f);
    }
}

static bool unlimited(const struct meter *m, const struct probe *p)
{
    const struct session *s = m->session;
    for (int k = 0; k < p->count; k++) {
        int gate = s->network->circuit->elements.at[p->elements[k]].gate;
        if (gate >= 0 && (s->now.impulsive >> gate & 1u)) return true;
    }
    return false;
}

static void pulses(struct meter *m, const struct probe *p, int channel)
{
    struct wave_pulse pulse;
    bool endless = unlimited(m, p);
    if (m->session->only_steady) return;
    for (int k = 0; k < wave_closings(m->wave); k++) {
        if (!wave_first_pulse(m->wave, channel, k, &pulse)) continue;
        put(m, p->subject, MEASURE_INRUSH_PEAK_CURRENT, endless ? HUGE_VAL : pulse.peak,
            pulse.peak_time);
        put(m, p->subject, MEASURE_PEAK_DURATION, pulse.end - pulse.start, pulse.start);
        put(m, p->subject, MEASURE_PEAK_I2T, endless ? HUGE_VAL : pulse.square_integral,
            pulse.start);
    }
}

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
        put_plain(m, subject, MEASURE_LINE_CURRENT, given(f->rms, gigaohm_amperes(m)));
        highest_current(m, subject, f);
        return;
    }
    put_plain(m, subject, MEASURE_RMS_CURRENT, f->rms);
    if (!(p->flags & (PROBE_CAPACITOR | PROBE_WINDING | PROBE_HEATER)))
        put_plain(m, subject, MEASURE_AVERAGE_CURRENT, f->mean);
    if ((p->flags & PROBE_RECTIFIER) && p->count == 1)
        put_plain(m, subject, MEASURE_RUNNING_PEAK_CURRENT, f->window_highest);
    highest_current(m, subject, f);
    if ((p->flags & PROBE_RECTIFIER) && p->count == 1) pulses(m, p, channel);
}

static const struct {
    enum measure measure;
    double volts;
} bleeds[] = {{MEASURE_BLEED_DOWN_TIME, RUN_BLED}, {MEASURE_BLEED_TO_50V_TIME, 50}};
enum { BLEEDS = sizeof bleeds / sizeof bleeds[0] };

/* Of every capacitor of the network; NULL when they are not wanted. */
static const double *bleed_all(struct meter *m)
{
    double volts[BLEEDS];
    if (m->session->options.no_bleed) return NULL;
    for (int i = 0; i < BLEEDS; i++) volts[i] = bleeds[i].volts;
    double *times = ARENA_ARRAY(m->arena, double, m->session->network->capacitors *BLEEDS);
    return bleed_times(m->session, volts, BLEEDS, times) ? times : NULL;
}

/* Joules of a capacitor at its highest settled volts, and the times to bleed down. */
static void stored(struct meter *m, const struct probe *p, const struct wave_figures *f,
                   const double *times, double *total)
{
    const struct circuit *c = m->session->network->circuit;
    for (int y = 0; y < m->session->network->capacitors; y++) {
        const struct element *e = &c->elements.at[m->session->network->y_element[y]];
        if (strcmp(e->part, p->subject) != 0) continue;
        double joules = e->value * sq(larger(fabs(f->window_highest), fabs(f->window_lowest))) / 2;
        put_plain(m, p->subject, MEASURE_STORED_ENERGY, joules);
        for (int i = 0; times && i < BLEEDS; i++)
            put_plain(m, p->subject, bleeds[i].measure, times[y * BLEEDS + i]);
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
    const double *now = s->states, *old = m->mark[from], span = s->now.t - m->mark_time[from];
    double *watts = ARENA_ARRAY(m->arena, double, n), *mean = ARENA_ARRAY(m->arena, double, n);
    if (!(span > 0)) return (double)NAN;
    for (int k = 0; k < n; k++) mean[k] = (old[k] + now[k]) / 2;
    for (int k = 0; k < n; k++) watts[k] = thermal_watts(c, k, mean, (now[k] - old[k]) / span);
    return s->now.t + thermal_time_to_limit(c, now, watts, state);
}

static void temperatures(struct meter *m)
{
    const struct circuit *c = m->session->network->circuit;
    for (int k = 0; k < m->temperatures.n; k++) {
        const struct temperature *t = &m->temperatures.at[k];
        if (isinf(t->highest)) continue; /* of a stage that was not reached */
        const char *subject = meter_temperature(m, k);
        put(m, subject, MEASURE_TEMPERATURE, t->highest, t->time);
        for (int j = 0; j < c->states.n; j++)
            if (m->temperature_of[j] == k && c->states.at[j].limit > 0 && !m->session->only_steady)
                put_plain(m, subject, MEASURE_TIME_TO_LIMIT, passes(m, j));
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
    size = larger(size, gigaohm_watts(m) * s->now.t);
    st->energy_residual = size > 0 ? fabs(rest) / size : 0;
    st->charge_residual = m->charge_worst;
    st->charge_point = m->charge_point;
    st->audit_failed =
        !(st->energy_residual <= RUN_AUDITED) || !(st->charge_residual <= RUN_AUDITED);
    put_plain(m, "set", MEASURE_AUDIT_ENERGY, st->energy_residual);
    put_plain(m, "set", MEASURE_AUDIT_CHARGE, st->charge_residual);
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
        for (int j = 0; j < s->now.tripped.n; j++) {
            const struct tripped *t = &s->now.tripped.at[j];
            if (strcmp(t->part, e->part) == 0 && strcmp(t->role, e->role) == 0) when = t->time;
        }
        put(m, e->part, e->starts_closed ? MEASURE_OPENS_AT : MEASURE_SHORTS_AT, when, when);
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
    const double *times = bleed_all(m);
    for (int k = 0; k < m->channels.n; k++) {
        const struct channel *ch = &m->channels.at[k];
        wave_read(m->wave, k, &f);
        settled_set(m, &f, ch, &all);
        if (ch->mains_power) {
            if (m->session->setup->stages.at[0].mains_source >= 0)
                put_plain(m, "mains", MEASURE_LINE_POWER, given(f.mean, gigaohm_watts(m)));
        } else if (ch->part) {
            put_plain(m, ch->part, MEASURE_DISSIPATION,
                      given(f.mean, RUN_AUDITED * gigaohm_watts(m)));
            put_plain(m, ch->part, MEASURE_ENERGY, f.integral);
        } else if (ch->probe.kind == PROBE_VOLTAGE) {
            voltage(m, &ch->probe, &f);
            if (ch->probe.flags & PROBE_CAPACITOR) stored(m, &ch->probe, &f, times, &energy);
        } else {
            current(m, &ch->probe, &f, k);
        }
    }
    temperatures(m);
    trips(m);
    watch_report(m->watch, result);
    if (m->contact) contact_report(m->contact, m);
    audit(m);
    result->settled = (all || m->session->only_steady) && !result->statistics.audit_failed;
    put_plain(m, "set", MEASURE_SETTLED, result->settled);
    put_plain(m, "set", MEASURE_STORED_ENERGY, energy);
    if (result->statistics.leaps > 0) {
        put_plain(m, "set", MEASURE_LEAPS, (double)result->statistics.leaps);
        put_plain(m, "set", MEASURE_CYCLES_LEAPT, (double)result->statistics.leapt);
    }
    if (result->status == STATUS_INTERRUPTED)
        put_plain(m, "set", MEASURE_INTERRUPTED_AT, m->session->now.t);
    if (m->trace) {
        trace_finish(m->trace);
        result->trace = m->trace;
        heat_report(m->heat_record, result);
        if (m->envelope) envelope_report(m->envelope, result);
    }
}

struct result run_heat(const struct result *result)
{
    struct result view = *result;
    view.trace = result->heat;
    view.columns.at = result->heat_columns.at;
    view.columns.n = result->heat_columns.n;
    return view;
}

const struct figure *run_figure(const struct result *result, const char *subject,
                                enum measure measure)
{
    for (int k = 0; k < result->figures.n; k++) {
        const struct figure *f = &result->figures.at[k];
        if (strcmp(f->subject, subject) == 0 && f->measure == measure) return f;
    }
    return NULL;
}

const struct figure *run_ripple(const struct result *result, const char *subject)
{
    return run_figure(result, subject, MEASURE_RIPPLE_RMS);
}
