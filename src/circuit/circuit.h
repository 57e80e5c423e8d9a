/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CIRCUIT_H
#define PRESOLDER_CIRCUIT_H

#include <stdbool.h>

#include "arena.h"
#include "array.h"
#include "device.h"
#include "diag.h"

/* The plain list that parts write themselves into: points, two-terminal elements, ideal windings,
 * devices, and what is to be watched. Knows no time steps and no equations. Everything lives in the
 * circuit's arena. */

enum element_kind {
    ELEMENT_RESISTOR,  /* value: ohm, >= 0 */
    ELEMENT_CAPACITOR, /* value: F, > 0 */
    ELEMENT_INDUCTOR,  /* value: H, > 0 */
    ELEMENT_SOURCE,    /* voltage source, v(from) - v(to) = waveform */
    ELEMENT_WINDING,   /* of an ideal transformer; value: its volts per volt of the core */
    ELEMENT_RECTIFIER, /* straight-line law, from = plate, to = cathode: v = threshold + slope i
                          while it conducts */
    ELEMENT_SWITCH,    /* short when closed, nothing when open */
    ELEMENT_PORT       /* of a device */
};

struct element {
    enum element_kind kind;
    int from,
        to; /* points; current counts from -> to inside the element, voltage is v(from) - v(to) */
    double value; /* see element_kind */
    int gate;     /* number of its bit in the conduction pattern; -1: always there */
    int group; /* winding: number of its transformer; source: number of its waveform; port: number
                  of its device */
    int port;  /* port: which port of the device; value: ohms that bypass it, 0: none */
    double threshold; /* rectifier [V] */
    double slope;     /* rectifier [ohm], >= 0 */
    double start;     /* rectifier: forward volts at which it begins to conduct, >= threshold */
    double glows; /* rectifier: so long after any section of its part has conducted `threshold` is
                     enough [s] */
    int ready_state; /* rectifier: global state (temperature) that must reach ready_value first; -1:
                        none */
    double ready_value;  /* [K] */
    double initial;      /* capacitor: volts, inductor: amperes at the very start */
    const char *part;    /* name of the part it belongs to */
    const char *subject; /* name in figures: the part, `V6.1`, `T1.high voltage` */
    const char *role;    /* unique within the part: carries charge and flux over a timed change */
    bool assumed;        /* a leakage that nobody has told: no bleeder (bleed.h) */
    bool starts_closed;  /* switch */
    bool trips;          /* switch: turns over once, when trip_state rises through trip_value */
    int trip_state;      /* global state; -1: time [s] */
    double trip_value;
};

enum waveform_kind { WAVEFORM_STEADY, WAVEFORM_SINE, WAVEFORM_SQUARE };

struct waveform {
    enum waveform_kind kind;
    double peak;      /* [V] */
    double frequency; /* [Hz]; 0 for steady */
    double phase;     /* [rad] at t = 0: v = peak sin(2 pi f t + phase) */
    double
        dwell; /* square: fraction of each half period at full voltage, 0..1 (the rest at zero) */
    const char *part;
};

struct device {
    const struct device_law *law;
    const void *par;
    int ports, states, foreign;
    int element[DEVICE_PORTS];         /* its port elements */
    int state0;                        /* first of its states in the list of all states */
    int foreign_state[DEVICE_FOREIGN]; /* global state numbers */
    const char *part;
    const char *role;
};

struct state {
    const char *part, *role;
    double cold;  /* value at a cold start (K, or V s) */
    double hot;   /* value of a set that has been on for long */
    double range; /* for the error control: its customary span */
    bool is_temperature;
    const struct thermal_body *body; /* whose temperature it is; NULL: not of a body (thermal.h) */
    double limit;                    /* [K] at which the time-to-limit is told; 0: none */
};

enum probe_kind { PROBE_VOLTAGE, PROBE_CURRENT };

enum probe_flag {
    PROBE_POINT = 1,     /* a point's voltage to the reference */
    PROBE_WATCHED = 2,   /* in trace.csv and in `settled` */
    PROBE_RECTIFIER = 4, /* plate to cathode volts or plate current of one rectifier section */
    PROBE_CAPACITOR = 8,
    PROBE_WINDING = 16,
    PROBE_LINE = 32, /* the current drawn from the outlet */
    PROBE_HEATER = 64,
    PROBE_OTHER = 128,
    PROBE_DRAWN = 256 /* a point that only the schematic tells of */
};

/* Something measured: volts between two points, or the sum of currents of some elements. */
struct probe {
    enum probe_kind kind;
    unsigned flags;
    const char *subject;
    int from, to;    /* voltage; to = -1: the reference */
    int elements[8]; /* current: sum of sign * current of these */
    int signs[8];
    int count;
};

struct circuit {
    struct arena *arena;
    ARRAY(const char *) points; /* names; inner points as `part: label` */
    ARRAY(bool) inner;          /* of a part, not named by the user */
    ARRAY(struct element) elements;
    ARRAY(struct waveform) waveforms;
    ARRAY(struct device) devices;
    ARRAY(struct state) states;
    ARRAY(struct probe) probes;
    int transformers;      /* ideal transformers */
    int gates;             /* bits in a conduction pattern, at most 64 */
    const char *reference; /* point that voltages are told against */
};

struct circuit *circuit_new(struct arena *arena);

/* The point of that name, made when new. */
int circuit_point(struct circuit *c, const char *name);
int circuit_find_point(const struct circuit *c, const char *name); /* -1: none */

/* Whether volts there are worth calling direct, by their mean and the RMS of the rest [V]: at a
 * capacitor the mean is the greater; elsewhere, as at a rectifier's plate and before a choke, it is
 * twice the rest. */
bool circuit_direct(const struct circuit *c, const char *point, double mean, double ripple);

/* A new inner point of a part, named `part: label`. */
int circuit_inner(struct circuit *c, const char *part, const char *label);

/* Each adds one element and returns its number. `role` is unique within the part. */
int circuit_resistor(struct circuit *c, const char *part, const char *role, int from, int to,
                     double ohms);
int circuit_capacitor(struct circuit *c, const char *part, const char *role, int from, int to,
                      double farads);
int circuit_inductor(struct circuit *c, const char *part, const char *role, int from, int to,
                     double henries);
int circuit_source(struct circuit *c, const char *part, const char *role, int from, int to,
                   struct waveform waveform);
int circuit_switch(struct circuit *c, const char *part, const char *role, int from, int to,
                   bool closed);

/* A switch that turns over once, when global state `state` (-1: the time [s]) rises through
 * `value`, and stays so. One that opens does so at the next zero of its current, as an arc does,
 * after half a period of the mains at the latest. Told in the figures as opens-at, or shorts-at. */
int circuit_trip(struct circuit *c, const char *part, const char *role, int from, int to,
                 bool closed, int state, double value);

/* A straight-line rectifier; start >= threshold. */
int circuit_rectifier(struct circuit *c, const char *part, const char *role, int plate, int cathode,
                      double threshold, double slope, double start);

/* A new ideal transformer (returns its number) and a winding on it: v = volts_per_volt * core
 * volts, sum of volts_per_volt * current over all windings = 0. */
int circuit_transformer(struct circuit *c);
int circuit_winding(struct circuit *c, const char *part, const char *role, int transformer,
                    int from, int to, double volts_per_volt);

/* How a port stands in the network. A port must never be the only way for an inductor's current. */
enum port_kind {
    PORT_BASED,    /* its part puts a base resistance across it */
    PORT_BYPASSED, /* 1e9 ohm across it */
    PORT_GATED     /* there only while it conducts (v > 0), with 1e9 ohm across it while it does */
};

/* A device without ports yet; then its states and ports. Returns numbers. */
int circuit_device(struct circuit *c, const char *part, const char *role,
                   const struct device_law *law, const void *par);
int circuit_state(struct circuit *c, int device, const char *role, struct state state);
int circuit_port(struct circuit *c, int device, const char *role, int from, int to,
                 enum port_kind kind);
void circuit_foreign(struct circuit *c, int device, int global_state);

/* Sets the name in figures of an element (default: its part). */
void circuit_subject(struct circuit *c, int element, const char *subject);

void circuit_probe(struct circuit *c, struct probe probe);

/* Volts and their first two time derivatives [V, V/s, V/s^2] of a waveform at t [s]. At a corner of
 * a square wave either level may come out: ask between corners. */
void circuit_waveform_at(const struct waveform *w, double t, double *u, double *u1, double *u2);

/* The waveform of element `source` when it is a square wave (a vibrator); NULL otherwise, also for
 * -1. */
const struct waveform *circuit_square(const struct circuit *c, int source);

/* Whether a vibrator feeds it. */
bool circuit_vibrates(const struct circuit *c);

/* The next corner after t [s] of a square wave; inf for the others. */
double circuit_waveform_corner(const struct waveform *w, double t);

#endif
