/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BENCH_PARTS_H
#define PRESOLDER_BENCH_PARTS_H

#include "part.h"

/* What of a set is measured and made to fail on the bench. */

/* A pair of points for the ohmmeter, plus first. */
struct bench_pair {
    const char *what; /* `C1: first filter to chassis` */
    const char *part; /* NULL: the plug */
    const char *plus, *minus;
    enum { PAIR_PLUG, PAIR_WINDING, PAIR_CAPACITOR, PAIR_COIL, PAIR_HEATER } kind;
};

struct bench_parts {
    const char *transformer;  /* the first one; NULL: none */
    const char *first;        /* filter capacitor behind the rectifier; NULL: none */
    const char *first_point;  /* its plus, when its minus is the reference; NULL */
    const char *second;       /* the one behind its choke, field coil or resistor; NULL: none */
    const char *coil;         /* choke or field coil; NULL: none */
    const char *rectifier;    /* the first one; NULL: none */
    const char *heater;       /* subject of a heater's volts in figures; NULL: none */
    bool heater_of_rectifier; /* there is none but the rectifier's own */
    ARRAY(const struct part *) filters; /* capacitors that now have CAPACITOR_FILTER or more */
    ARRAY(struct bench_pair) pairs;
};

/* The first filter capacitor is one at the cathode of a rectifier, else the first in the file; the
 * second shares a choke, field coil or resistor with its plus, else it is the next in the file. None
 * across a heater counts. */
struct bench_parts bench_parts_find(struct arena *arena, const struct set *set);

#endif
