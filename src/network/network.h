/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_NETWORK_H
#define PRESOLDER_NETWORK_H

#include <stdbool.h>
#include <stdint.h>

#include "circuit.h"

/* From a circuit to constant matrices, one state space per conduction pattern.
 *
 * Unknowns of the unreduced equations E x' + G x = b u + P i: first the charges' and fluxes'
 * variables y (capacitor voltages in the order of the circuit, then inductor currents), then the
 * algebraic ones z (point potentials and branch currents). u holds the waveforms and, last, the
 * constant 1 that carries the thresholds. i are the currents of the ports present in the pattern.
 */

/* Bit g set: gate g conducts (rectifier, gated port) or is closed (switch). */
typedef uint64_t pattern_t;

struct network {
    const struct circuit *circuit;
    int capacitors, inductors; /* y = capacitors, then inductors */
    const int *y_element;      /* y index -> element */
    int inputs;                /* waveforms + 1 */
    const int *gate_element;   /* gate -> element */
    double *stored_by;         /* y index -> F or H */
};

/* Why a pattern cannot be used. */
enum network_fault {
    NETWORK_SOUND,
    NETWORK_SOURCES,       /* sources contradict each other */
    NETWORK_OPEN,          /* a current or potential is not determined */
    NETWORK_NO_WAY,        /* a part whose current is a law of its own has no way around it */
    NETWORK_UNDETERMINED,  /* the equations do not determine every current and potential */
    NETWORK_CONTRADICTION, /* the equations contradict one another */
    NETWORK_FAULTS,
    NETWORK_LEFT_OFF /* somebody wanted an end; nobody is told */
};

/* One state space, constant once made. Row-major matrices; w are the states kept (a choice of y, V
 * and A; where they are many, modes of that: modes.h). */
struct reduced {
    pattern_t pattern;
    enum network_fault fault;
    const char *at_fault; /* the parts and points, `R1, V1, B+`; NULL: not known */
    int nw, ny, nu, np;
    int modal;    /* so many of the first states are modes, not volts: a has a diagonal there */
    int *w_of;    /* [nw] y index of each state; of modes those of the volts they are made of */
    double *q;    /* [ny*nw]  y = q w + yu u */
    double *yu;   /* [ny*nu] */
    double *take; /* [nw*ny] w = take (charge - E yu u): conserves charge and flux */
    int constraints;
    int *pivot;     /* [k] y index each constraint determines */
    double *loop_u; /* [k*nu]  C y = loop_u u: capacitor-source loops and inductor cutsets */
    double *a, *b, *b1, *e; /* [nw*nw],[nw*nu],[nw*nu],[nw*np]  w' = a w + b u + b1 u' + e i */
    int *port_element;      /* [np] */
    int *port_slot;         /* [elements] slot of a port element here, -1: absent */
    double *cv, *d, *d1,
        *z;       /* [np*nw],[np*nu],[np*nu],[np*np]  port volts v = cv w + d u + d1 u' + z i */
    bool *quiet;  /* [np] the port stands in an open path: only its own current moves its volts */
    int columns;  /* nw + nu + nu + np */
    double *out;  /* [(2*elements + points) * columns]: element volts, element currents, point
                          potentials */
    double *rate; /* [nw*columns] a, b, b1, e of a row side by side */
};

/* Numbers the unknowns. The circuit must stay unchanged and outlive the network. */
const struct network *network_new(struct arena *arena, const struct circuit *circuit);

/* Who may want an end of what takes long in large sets: called now and then with the multiplications
 * made since. True: it is left off. */
struct network_asked {
    bool (*wants_end)(void *context, double multiplications); /* NULL: nobody is asked */
    void *context;
};

/* Asks; `asked` may be NULL. */
bool network_wants_end(const struct network_asked *asked, double multiplications);

/* Reduces the equations for one pattern; the result lives in `arena`. Ill-posed patterns come back
 * with `fault` set. `asked` may be NULL. */
const struct reduced *network_reduce(struct arena *arena, const struct network *network,
                                     pattern_t pattern, const struct network_asked *asked);

/* All reductions of one run, made at the first visit and kept. Not shared between threads. */
struct reductions;
struct reductions *reductions_new(struct arena *arena, const struct network *network);
const struct reduced *reductions_get(struct reductions *all, pattern_t pattern);
void reductions_ask(struct reductions *all, struct network_asked asked); /* while they are made */
int reductions_count(const struct reductions *all);

/* From now on the ports of elements with siemens[element] not NaN are conductances of so much
 * [S] in every pattern that reductions_get gives, and no ports: columns of their currents are gone,
 * their volts and currents are read as before. What it gave before is made anew in its place at the
 * next _get. NULL: none. */
void reductions_fold(struct reductions *all, const double *siemens);

/* What folded conductances do to each other in a pattern given by _get, at given states and currents
 * of the other ports: ohms[n*n], dV = ohms dG V, n folded ports, element[n]. The arrays are those of
 * the last call. 0 where nothing is folded. */
int reductions_response(struct reductions *all, pattern_t pattern, const int **element,
                        const double **ohms);

/* The unreduced equations of a pattern, for checks against a direct solve: n unknowns, row-major
 * E[n*n], G[n*n], b[n*nu], P[n*np]; columns of point potentials start at `points`. Currents in
 * ampere, everything in the units of the circuit. */
struct unreduced {
    int n, ny, nu, np, points;
    double *e, *g, *b, *p;
};
struct unreduced network_unreduced(struct arena *arena, const struct network *network,
                                   pattern_t pattern);

#endif
