/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRANSFORMER_H
#define PRESOLDER_TRANSFORMER_H

#include "laws.h"
#include "fault.h"

/* What is known of a power transformer between reading and writing; only for its own files. */

struct half {
    int from, to; /* points: outside ends */
    double volts; /* open circuit, RMS, with `line` on the primary [V] */
    double ohms;  /* of its copper; NAN: not known */
    const char
        *subject; /* in figures: `T1.high voltage 1`; of a winding without tap `T1.high voltage` */
};

struct winding {
    const char *name;
    int halves;         /* 1, or 2 about a tap */
    bool named;         /* its ends are the user's points */
    bool isolates;      /* gives the line's volts on: of an isolation transformer */
    bool volts_unknown; /* 1 V stands in for those of each half until they are guessed */
    struct half half[2];
    double line;  /* RMS volts on the primary when the open-circuit volts were read */
    double rated; /* RMS amperes it may carry; 0: not known */
};

/* Seen from the primary; NAN where not known. */
struct iron {
    double magnetising; /* RMS at rated line and frequency [A] */
    double loss;        /* at rated line [W] */
    double leakage;     /* [H] */
    double air;         /* inductance of the saturated core [H] */
    double saturation;  /* over rated peak flux */
    double remanence;   /* fraction of saturation */
};

/* What is known of its heat. */
struct warmth {
    double mass;            /* of the whole [kg]; NAN: not known */
    double resistance;      /* of the copper to the room [K/W]; NAN: not known */
    double class_limit;     /* hottest spot its insulation stands [K] */
    const char *class_name; /* A, E, B, F or H */
    bool class_given;
};

enum fault_kind { FAULT_NONE, FAULT_SHORTED_TURNS, FAULT_HALF_OPEN, FAULT_GROUNDED };

/* A fault of one half of one winding; shares are 0..1 of its turns. */
struct fault {
    enum fault_kind kind;
    int winding, half;
    double turns;   /* shorted turns: share of the half, those next to its inner end */
    double place;   /* grounded: of the half, counted from its first point */
    double contact; /* [ohm] */
    int to;         /* grounded: the point */
};

struct transformer {
    int from, to;     /* points of the primary */
    bool on_mains;    /* those of the mains, since it names none */
    double rated;     /* [V RMS] */
    double frequency; /* [Hz] that belongs to it */
    double va;        /* it is made for; 0: not known */
    double ohms;      /* of the primary; NAN: not known */
    bool ideal;
    struct iron iron;
    struct warmth warmth;
    struct fault fault;
    int windings;
    struct winding *winding;
};

enum { PIECES = DEVICE_PORTS };

/* Copper of one winding as it stands in the circuit: pieces of the same body. */
struct copper {
    const char *role; /* name of the body in figures */
    int pieces;
    double weight; /* sum of volts^2/ohms */
    struct {
        int from, to;
        double ohms;
    } piece[PIECES];
};

/* A body in the circuit. */
struct body {
    int device, state; /* device -1: there is none */
    struct thermal_body *thermal;
};

/* The bodies of one transformer while it is written. */
struct heating {
    double copper_mass, iron_mass; /* [kg] */
    double to_room, within;        /* core to room, all copper to core [W/K] */
    double weights;                /* sum over all copper of volts^2/ohms, which its mass goes as */
    double class_limit;            /* [K] */
    struct body core;
};

/* Reads `mass`, `thermal resistance`, `insulation class`. */
void transformer_read_warmth(struct set *set, const struct part *part, struct warmth *w);

extern const struct part_fault transformer_faults[];

/* Reads `condition` and its keys; after the windings. */
void transformer_read_fault(struct set *set, const struct part *part, struct transformer *t);

/* True when a winding's volts feed plates: it is the high voltage. */
bool transformer_feeds_plates(const struct transformer *t, const struct winding *w);

/* Guesses what is not known of volts, copper and iron. Ask when all parts are read and linked.
 * Returns the volt-amperes that it takes the transformer to be made for. */
double transformer_guess(struct set *set, const struct part *part, struct transformer *t);

/* The highest rated volts of the heaters between two points [V]; 0: none. */
double transformer_heater_volts(const struct set *set, const char *from, const char *to);

/* See part_kind.turns. */
bool transformer_wanted(const struct set *set, const struct part *part, int k,
                        struct part_winding *winding);

/* Ohms of a primary by the size of its transformer [VA] and its volts. */
double transformer_primary_ohms(double va, double volts);

/* Guesses what is missing of the heat for a transformer of `va` volt-amperes whose copper is all
 * known, and shares the copper out. */
struct heating transformer_heating(struct set *set, const struct part *part,
                                   const struct transformer *t, double va);

/* The temperature of the core, on its device; `law` gets what warms it. */
void transformer_warm_core(struct set *set, const struct part *part, struct heating *h, int device,
                           struct core_law *law);

/* A winding as a body of its own, that lies on the core. */
struct body transformer_warm_winding(struct set *set, const struct part *part, struct heating *h,
                                     const struct copper *copper);

/* Its shorted turns: a body of their own, that lies on the winding with its whole width. */
void transformer_warm_turns(struct set *set, const struct part *part, struct heating *h,
                            const struct copper *turns, const struct copper *copper,
                            const struct body *winding);

/* Writes the transformer into the circuit. */
void transformer_stamp(struct set *set, struct part *part);

#endif
