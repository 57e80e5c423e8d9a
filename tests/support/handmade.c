/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A setup of one stage around a circuit written by hand. */
#include "handmade.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "laws.h"
#include "numbers.h"
#include "why.h"

struct handmade handmade_new(double frequency)
{
    struct handmade h = {.arena = arena_new(), .frequency = frequency};
    h.c = circuit_new(h.arena);
    h.c->reference = "0";
    circuit_point(h.c, "0");
    return h;
}

void handmade_free(struct handmade *h)
{
    arena_free(h->arena);
}

static void source(struct handmade *h, const char *name, const char *a, const char *b,
                   struct waveform w)
{
    int from = circuit_point(h->c, a), to = circuit_point(h->c, b);
    circuit_source(h->c, name, "source", from, to, w);
}

void hand_sine(struct handmade *h, const char *name, const char *a, const char *b, double peak,
               double degrees)
{
    source(h, name, a, b,
           (struct waveform){.kind = WAVEFORM_SINE,
                             .peak = peak,
                             .frequency = h->frequency,
                             .phase = degrees * PI / 180});
}

void hand_steady(struct handmade *h, const char *name, const char *a, const char *b, double volts)
{
    source(h, name, a, b, (struct waveform){.kind = WAVEFORM_STEADY, .peak = volts});
}

void hand_r(struct handmade *h, const char *name, const char *a, const char *b, double ohms)
{
    int from = circuit_point(h->c, a), to = circuit_point(h->c, b);
    circuit_resistor(h->c, name, "resistance", from, to, ohms);
}

void hand_c(struct handmade *h, const char *name, const char *a, const char *b, double farads,
            double initial)
{
    int from = circuit_point(h->c, a), to = circuit_point(h->c, b);
    int e = circuit_capacitor(h->c, name, "capacitance", from, to, farads);
    h->c->elements.at[e].initial = initial;
}

void hand_l(struct handmade *h, const char *name, const char *a, const char *b, double henries,
            double initial)
{
    int from = circuit_point(h->c, a), to = circuit_point(h->c, b);
    int e = circuit_inductor(h->c, name, "inductance", from, to, henries);
    h->c->elements.at[e].initial = initial;
}

static void plate_probes(struct handmade *h, const char *name, int element)
{
    const struct element *e = &h->c->elements.at[element];
    circuit_probe(h->c, (struct probe){.kind = PROBE_CURRENT,
                                       .flags = PROBE_RECTIFIER | PROBE_WATCHED,
                                       .subject = name,
                                       .elements = {element},
                                       .signs = {1},
                                       .count = 1});
    circuit_probe(h->c, (struct probe){.kind = PROBE_VOLTAGE,
                                       .flags = PROBE_RECTIFIER,
                                       .subject = name,
                                       .from = e->to,
                                       .to = e->from});
}

void hand_diode(struct handmade *h, const char *name, const char *plate, const char *cathode,
                double drop, double slope)
{
    int from = circuit_point(h->c, plate), to = circuit_point(h->c, cathode);
    plate_probes(h, name, circuit_rectifier(h->c, name, "plate", from, to, drop, slope, drop));
}

void hand_tube(struct handmade *h, const char *name, const char *plate, const char *cathode,
               double perveance)
{
    struct diode_law *law = ARENA_NEW(h->arena, struct diode_law);
    law->perveance = perveance;
    int from = circuit_point(h->c, plate), to = circuit_point(h->c, cathode);
    int d = circuit_device(h->c, name, "plate", &law_diode, law);
    plate_probes(h, name, circuit_port(h->c, d, "plate", from, to, PORT_GATED));
}

void hand_load(struct handmade *h, const char *name, const char *a, const char *b, double amperes,
               double volts, bool tubes)
{
    struct load_law *law = ARENA_NEW(h->arena, struct load_law);
    law->kind = tubes ? LOAD_TUBES : LOAD_CURRENT;
    law->amperes = amperes;
    law->volts = volts;
    int from = circuit_point(h->c, a), to = circuit_point(h->c, b);
    int d = circuit_device(h->c, name, "load", &law_load, law);
    circuit_port(h->c, d, "load", from, to, PORT_BYPASSED);
}

void hand_watch(struct handmade *h, const char *point)
{
    circuit_probe(h->c, (struct probe){.kind = PROBE_VOLTAGE,
                                       .flags = PROBE_POINT | PROBE_WATCHED,
                                       .subject = point,
                                       .from = circuit_point(h->c, point),
                                       .to = -1});
}

void hand_watch_between(struct handmade *h, const char *subject, const char *a, const char *b)
{
    circuit_probe(h->c, (struct probe){.kind = PROBE_VOLTAGE,
                                       .flags = PROBE_POINT | PROBE_WATCHED,
                                       .subject = subject,
                                       .from = circuit_point(h->c, a),
                                       .to = circuit_point(h->c, b)});
}

static void watch_current(struct handmade *h, const char *part, const char *subject, int sign,
                          unsigned flags)
{
    for (int k = 0; k < h->c->elements.n; k++)
        if (strcmp(h->c->elements.at[k].part, part) == 0)
            circuit_probe(h->c, (struct probe){.kind = PROBE_CURRENT,
                                               .flags = flags | PROBE_WATCHED,
                                               .subject = subject,
                                               .elements = {k},
                                               .signs = {sign},
                                               .count = 1});
}

void hand_watch_current(struct handmade *h, const char *part)
{
    watch_current(h, part, part, 1, PROBE_OTHER);
}

void hand_watch_backwards(struct handmade *h, const char *part)
{
    watch_current(h, part, arena_printf(h->arena, "%s backwards", part), -1, PROBE_RECTIFIER);
}

void hand_watch_capacitor(struct handmade *h, const char *part)
{
    for (int k = 0; k < h->c->elements.n; k++) {
        const struct element *e = &h->c->elements.at[k];
        if (strcmp(e->part, part) == 0)
            circuit_probe(h->c, (struct probe){.kind = PROBE_VOLTAGE,
                                               .flags = PROBE_CAPACITOR | PROBE_WATCHED,
                                               .subject = part,
                                               .from = e->from,
                                               .to = e->to});
    }
}

static void sample(struct handmade *h, const char *name, bool current, double every, double *values,
                   int n)
{
    if (h->sampled == HAND_SAMPLED || (h->sampled && h->every != every)) fail_msg("%s", name);
    h->every = every;
    for (int k = 0; k < n; k++) values[k] = (double)NAN;
    h->sample[h->sampled].name = name;
    h->sample[h->sampled].current = current;
    h->sample[h->sampled].values = values;
    h->sample[h->sampled].n = n;
    h->sampled++;
}

void hand_sample(struct handmade *h, const char *point, double every, double *values, int n)
{
    sample(h, point, false, every, values, n);
}

void hand_sample_current(struct handmade *h, const char *part, double every, double *values, int n)
{
    sample(h, part, true, every, values, n);
}

static double current_of(const struct handmade *h, const struct equations *eq, const char *part)
{
    for (int k = 0; k < h->c->elements.n; k++)
        if (strcmp(h->c->elements.at[k].part, part) == 0)
            return equations_output(eq, OUTPUT_CURRENT, k);
    return (double)NAN;
}

static void observe(void *context, double t, const struct equations *eq, const double *y)
{
    const struct handmade *h = context;
    const long at = lround(t / h->every);
    (void)y;
    for (int k = 0; k < h->sampled; k++) {
        const char *name = h->sample[k].name;
        if (at >= h->sample[k].n) continue;
        h->sample[k].values[at] =
            h->sample[k].current
                ? current_of(h, eq, name)
                : equations_output(eq, OUTPUT_POTENTIAL, circuit_find_point(h->c, name));
    }
}

const struct setup *hand_setup(struct handmade *h)
{
    struct stage stage = {
        .circuit = h->c, .mains_switch = -1, .mains_source = -1, .mains_on = true};
    h->setup.stages.n = 0;
    array_push(h->arena, &h->setup.stages, stage);
    h->setup.frequency = h->frequency;
    h->setup.title = "by hand";
    h->setup.variant = "base";
    return &h->setup;
}

const struct result *hand_run(struct handmade *h, double seconds)
{
    struct run_options o = run_defaults();
    hand_setup(h);
    h->setup.duration = seconds;
    o.angle = 0;
    /* exact solutions are held against the equations themselves; what the usual tolerance and
     * holding add is looked at by test_held */
    o.tolerance = 1e-8;
    o.hold = -1;
    if (h->sampled) {
        o.observe = observe;
        o.observe_context = h;
        o.observe_every = h->every;
    }
    const struct result *r = run_simulate(h->arena, &h->setup, &o);
    const struct statistics *st = &r->statistics;
    if (r->status != STATUS_OK) fail_msg("run failed: %s", why(r));
    if (st->audit_failed)
        fail_msg("audit: energy %.3g, charge %.3g at %s", st->energy_residual, st->charge_residual,
                 st->charge_point);
    return r;
}

const struct result *hand_run_settled(struct handmade *h, double seconds)
{
    const struct result *r = hand_run(h, seconds);
    if (!r->settled) fail_msg("has not settled at %.3g s", r->end);
    return r;
}

double hand_figure(const struct result *r, const char *subject, enum measure measure)
{
    const struct figure *f = run_figure(r, subject, measure);
    if (!f) fail_msg("no figure %s %s", subject, measure_table[measure].name);
    return f ? f->value : (double)NAN;
}

double hand_settled(const struct result *r, const char *subject, enum measure measure)
{
    if (hand_figure(r, subject, MEASURE_SETTLED) != 1)
        fail_msg("%s has not settled at %.3g s", subject, r->end);
    return hand_figure(r, subject, measure);
}

double hand_largest(const struct result *r, const struct figure *like)
{
    double most = 1e-9;
    for (int i = 0; i < r->figures.n; i++) {
        const struct figure *g = &r->figures.at[i];
        if (strcmp(g->subject, like->subject) == 0 && g->unit == like->unit && isfinite(g->value))
            most = larger(most, fabs(g->value));
    }
    return most;
}
