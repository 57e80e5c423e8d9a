/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SUPPLY_H
#define PRESOLDER_SUPPLY_H

#include "handmade.h"

/* The rectifier circuits of the textbooks, written by hand.
 * Points: `+` the cathodes, `0` the reference, `B+` behind a choke. Parts: sources S and, of the
 * centre tap, S2; Rs and Rs2 in series with each; rectifiers D1, D2 (bridge: D1 to D4, of which D1
 * and D3 conduct together); C at +; with a choke L (and RL) from + to B+ and C2 at B+; the load R.
 * Watched: + and B+, the currents of S, C and L, that of L also as `L backwards`. */
enum supply_kind { SUPPLY_HALF_WAVE, SUPPLY_CENTRE_TAP, SUPPLY_BRIDGE };

struct supply {
    enum supply_kind kind;
    double frequency; /* [Hz] */
    double peak;      /* of the source, of one half of a centre tap [V] */
    double degrees;   /* phase of the source at t = 0 */
    double source;    /* Rs, of each half [ohm]; 0: none */
    double drop;      /* of each rectifier [V] */
    double perveance; /* [A/V^1.5]; 0: straight-line rectifiers */
    double farads;    /* C at the cathodes [F]; 0: none */
    double initial;   /* its volts at the start */
    double henries;   /* L [H]; 0: none */
    double choke;     /* RL, its resistance [ohm]; 0: none */
    double amperes;   /* in it at the start */
    double farads2;   /* C2 behind it [F]; 0: none */
    double initial2;  /* its volts at the start */
    double ohms;      /* R [ohm]; 0: none */
    const char *load; /* the point that R hangs on; NULL: B+ with a choke, + without */
};

/* The circuit in a new handmade, to be freed by the caller. */
struct handmade supply_new(const struct supply *s);

/* C [F] for a given 2 pi f C R. */
double supply_farads(double wcr, double frequency, double ohms);

/* The same supply started from the state that it has at the end of `seconds` (a whole number of
 * cycles), over `cycles`: no turn-on in it, and the first pulse is a settled one. The caller frees
 * *h. */
const struct result *supply_run_settled(struct supply s, double seconds, int cycles,
                                        struct handmade *h);

#endif
