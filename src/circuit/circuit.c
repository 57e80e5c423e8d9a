/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists that only grow. Points are found by name; inner points carry the part's name and can never
 * meet a user's name, since a user's names hold no colon followed by a blank at the place where
 * YAML allows one. */
#include "circuit.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "numbers.h"

struct circuit *circuit_new(struct arena *arena)
{
    struct circuit *c = ARENA_NEW(arena, struct circuit);
    c->arena = arena;
    c->reference = "chassis";
    return c;
}

int circuit_find_point(const struct circuit *c, const char *name)
{
    for (int i = 0; i < c->points.n; i++)
        if (strcmp(c->points.at[i], name) == 0) return i;
    return -1;
}

static int add_point(struct circuit *c, const char *name, bool inner)
{
    array_push(c->arena, &c->points, name);
    array_push(c->arena, &c->inner, inner);
    return c->points.n - 1;
}

int circuit_point(struct circuit *c, const char *name)
{
    int found = circuit_find_point(c, name);
    return found >= 0 ? found : add_point(c, arena_printf(c->arena, "%s", name), false);
}

int circuit_inner(struct circuit *c, const char *part, const char *label)
{
    const char *name = arena_printf(c->arena, "%s: %s", part, label);
    assert(circuit_find_point(c, name) < 0);
    return add_point(c, name, true);
}

static int add(struct circuit *c, enum element_kind kind, const char *part, const char *role,
               int from, int to, double value)
{
    struct element e = {.kind = kind,
                        .from = from,
                        .to = to,
                        .value = value,
                        .gate = -1,
                        .group = -1,
                        .ready_state = -1,
                        .part = part,
                        .subject = part,
                        .role = role};
    array_push(c->arena, &c->elements, e);
    return c->elements.n - 1;
}

static int gate(struct circuit *c)
{
    return c->gates++;
}

int circuit_resistor(struct circuit *c, const char *part, const char *role, int from, int to,
                     double ohms)
{
    assert(ohms >= 0);
    return add(c, ELEMENT_RESISTOR, part, role, from, to, ohms);
}

int circuit_capacitor(struct circuit *c, const char *part, const char *role, int from, int to,
                      double farads)
{
    assert(farads > 0);
    return add(c, ELEMENT_CAPACITOR, part, role, from, to, farads);
}

int circuit_inductor(struct circuit *c, const char *part, const char *role, int from, int to,
                     double henries)
{
    assert(henries > 0);
    return add(c, ELEMENT_INDUCTOR, part, role, from, to, henries);
}

int circuit_source(struct circuit *c, const char *part, const char *role, int from, int to,
                   struct waveform waveform)
{
    int e = add(c, ELEMENT_SOURCE, part, role, from, to, 0);
    waveform.part = part;
    c->elements.at[e].group = c->waveforms.n;
    array_push(c->arena, &c->waveforms, waveform);
    return e;
}

int circuit_switch(struct circuit *c, const char *part, const char *role, int from, int to,
                   bool closed)
{
    int e = add(c, ELEMENT_SWITCH, part, role, from, to, 0);
    c->elements.at[e].gate = gate(c);
    c->elements.at[e].starts_closed = closed;
    return e;
}

int circuit_trip(struct circuit *c, const char *part, const char *role, int from, int to,
                 bool closed, int state, double value)
{
    assert(state < c->states.n);
    int e = circuit_switch(c, part, role, from, to, closed);
    c->elements.at[e].trips = true;
    c->elements.at[e].trip_state = state;
    c->elements.at[e].trip_value = value;
    return e;
}

int circuit_rectifier(struct circuit *c, const char *part, const char *role, int plate, int cathode,
                      double threshold, double slope, double start)
{
    assert(threshold >= 0 && slope >= 0 && start >= threshold);
    int e = add(c, ELEMENT_RECTIFIER, part, role, plate, cathode, 0);
    struct element *r = &c->elements.at[e];
    r->gate = gate(c);
    r->threshold = threshold;
    r->slope = slope;
    r->start = start;
    return e;
}

int circuit_transformer(struct circuit *c)
{
    return c->transformers++;
}

int circuit_winding(struct circuit *c, const char *part, const char *role, int transformer,
                    int from, int to, double volts_per_volt)
{
    int e = add(c, ELEMENT_WINDING, part, role, from, to, volts_per_volt);
    c->elements.at[e].group = transformer;
    return e;
}

int circuit_device(struct circuit *c, const char *part, const char *role,
                   const struct device_law *law, const void *par)
{
    struct device d = {.law = law, .par = par, .part = part, .role = role, .state0 = c->states.n};
    array_push(c->arena, &c->devices, d);
    return c->devices.n - 1;
}

int circuit_state(struct circuit *c, int device, const char *role, struct state state)
{
    struct device *d = &c->devices.at[device];
    assert(d->states < DEVICE_STATES && d->state0 + d->states == c->states.n);
    d->states++;
    state.part = d->part;
    state.role = role;
    array_push(c->arena, &c->states, state);
    return c->states.n - 1;
}

int circuit_port(struct circuit *c, int device, const char *role, int from, int to,
                 enum port_kind kind)
{
    struct device *d = &c->devices.at[device];
    assert(d->ports < DEVICE_PORTS);
    int e = add(c, ELEMENT_PORT, d->part, role, from, to, kind == PORT_BASED ? 0 : 1e9);
    c->elements.at[e].group = device;
    c->elements.at[e].port = d->ports;
    if (kind == PORT_GATED) c->elements.at[e].gate = gate(c);
    d->element[d->ports++] = e;
    return e;
}

void circuit_foreign(struct circuit *c, int device, int global_state)
{
    struct device *d = &c->devices.at[device];
    assert(d->foreign < DEVICE_FOREIGN);
    d->foreign_state[d->foreign++] = global_state;
}

void circuit_subject(struct circuit *c, int element, const char *subject)
{
    c->elements.at[element].subject = subject;
}

void circuit_probe(struct circuit *c, struct probe probe)
{
    array_push(c->arena, &c->probes, probe);
}

static double square_level(const struct waveform *w, double turn)
{
    double half = turn < 0.5 ? turn * 2 : turn * 2 - 1;
    double quiet = (1 - w->dwell) / 2; /* before and after each conducting stretch */
    if (half < quiet || half >= 1 - quiet) return 0;
    return turn < 0.5 ? w->peak : -w->peak;
}

void circuit_waveform_at(const struct waveform *w, double t, double *u, double *u1, double *u2)
{
    *u1 = *u2 = 0;
    if (w->kind == WAVEFORM_STEADY) {
        *u = w->peak;
        return;
    }
    double omega = 2 * PI * w->frequency;
    if (w->kind == WAVEFORM_SINE) {
        double s = sin(omega * t + w->phase), c = cos(omega * t + w->phase);
        *u = w->peak * s;
        *u1 = w->peak * omega * c;
        *u2 = -w->peak * omega * omega * s;
        return;
    }
    double turn = t * w->frequency + w->phase / (2 * PI);
    *u = square_level(w, turn - floor(turn));
}

const struct waveform *circuit_square(const struct circuit *c, int source)
{
    if (!c || source < 0 || source >= c->elements.n ||
        c->elements.at[source].kind != ELEMENT_SOURCE)
        return NULL;
    const struct waveform *w = &c->waveforms.at[c->elements.at[source].group];
    return w->kind == WAVEFORM_SQUARE ? w : NULL;
}

bool circuit_vibrates(const struct circuit *c)
{
    for (int i = 0; i < c->waveforms.n; i++)
        if (c->waveforms.at[i].kind == WAVEFORM_SQUARE) return true;
    return false;
}

double circuit_waveform_corner(const struct waveform *w, double t)
{
    if (w->kind != WAVEFORM_SQUARE) return HUGE_VAL;
    double quiet = (1 - w->dwell) / 4;
    double corner[4] = {quiet, 0.5 - quiet, 0.5 + quiet, 1 - quiet};
    double turn = t * w->frequency + w->phase / (2 * PI), whole = floor(turn), part = turn - whole;
    for (int k = 0; k < 8; k++) {
        double next = corner[k % 4] + k / 4;
        if (next > part + 2e-9) return t + (next - part) / w->frequency;
    }
    return t + 1 / w->frequency;
}

bool circuit_direct(const struct circuit *c, const char *point, double mean, double ripple)
{
    int at = circuit_find_point(c, point);
    bool filtered = false;
    for (int i = 0; i < c->probes.n && !filtered; i++) {
        const struct probe *p = &c->probes.at[i];
        filtered = p->flags & PROBE_CAPACITOR && p->kind == PROBE_VOLTAGE &&
                   (p->from == at || p->to == at);
    }
    return fabs(mean) > (filtered ? 1 : 2) * ripple;
}
