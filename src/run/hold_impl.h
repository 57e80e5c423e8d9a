/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_HOLD_IMPL_H
#define PRESOLDER_HOLD_IMPL_H

/* Shared by the sources of holding only: hold.c advances what is held, hold_choice.c says what may
 * be. */

#include "hold.h"
#include "ripple.h"

/* What is known of one device state. */
struct slow {
    bool slow;      /* may be held at all */
    bool gated;     /* a gate looks at it */
    double gate[2]; /* the values there, at most two */
    double net;     /* rate found over the last cycle [1/s] */
    double before;  /* and over the one before it */
    double gross;   /* rate by heating alone */
    double decay;   /* - d rate / d state [1/s] */
    int known;      /* cycles in a row with a rate */
    bool emits;     /* an emission looks at it */
    bool wire;      /* a conductance does */
    bool listens;   /* held, and its ripple is followed in this cycle */
    struct ripple ripple;
};

struct hold {
    int ns, held_count;
    bool listening; /* some state does */
    bool still;     /* what is held stays where it is, for good */
    bool *held, *next;
    double *start;   /* [ns] states at the begin of the cycle, or when last held or released */
    double *slope;   /* [ns] of the held ones' lines */
    double *middle;  /* [ns] means of the states over the cycle */
    double *siemens; /* [elements] */
    double begun;    /* [s] */
    struct balance *balance; /* of the last cycle that was followed; NULL: never is one */
    struct slow *of;         /* [ns] */
    struct coils *coils;
};

static inline void hold_foreign(const struct device *d, const double *s, double *x)
{
    for (int k = 0; k < d->foreign; k++) x[k] = s[d->foreign_state[k]];
}

/* Of a whole period that has ended: what is held from here on into hold->next. */
void hold_next(const struct session *s);

#endif
