/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ASSEMBLE_H
#define PRESOLDER_ASSEMBLE_H

#include "network.h"

/* Currents are counted in units of 1/ASSEMBLE_IMPEDANCE ampere while equations are reduced, so that
 * a current unknown and a voltage unknown are of one size; resistances below it keep their current
 * as an unknown, those above are conductances: no coefficient is then above 1 and the rank of the
 * equations can be told. Typical impedance of a tube supply [ohm]. */
#define ASSEMBLE_IMPEDANCE 1000.0

/* Places of the algebraic unknowns and rows. Element columns are -1 where an element has no current
 * unknown. */
struct assembly {
    int n, ny, na, nu, np;
    int points;        /* first point potential, counted among all n unknowns */
    int cores;         /* first volts of a transformer's core, counted likewise */
    int *current;      /* [elements] column of the element's current unknown among all n, or -1 */
    double *e;         /* [ny] scaled F and H */
    double *g;         /* [n*n] */
    double *b;         /* [n*nu] */
    double *p;         /* [n*np] */
    int *port_element; /* [np] */
    int *port_slot;    /* [elements] */
};

/* `impedance`: ASSEMBLE_IMPEDANCE, or 1 for SI. */
struct assembly assemble(struct arena *arena, const struct network *network, pattern_t pattern,
                         double impedance);

/* Whether an element is there at all in a pattern. */
bool assemble_present(const struct element *e, pattern_t pattern);

/* Island (connected group of points) of each point in a pattern: island[points]; returns their
 * number. */
int assemble_islands(const struct network *network, pattern_t pattern, int *island);

#endif
