/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRANSFORMER_H
#define PRESOLDER_TRANSFORMER_H

#include "laws.h"
#include "part.h"

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
    int halves; /* 1, or 2 about a tap */
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

struct transformer {
    int from, to;     /* points of the primary */
    double rated;     /* [V RMS] */
    double frequency; /* [Hz] that belongs to it */
    double ohms;      /* of the primary */
    bool ideal;
    struct iron iron;
    int windings;
    struct winding *winding;
};

/* Writes the transformer into the circuit. */
void transformer_stamp(struct set *set, struct part *part);

#endif
