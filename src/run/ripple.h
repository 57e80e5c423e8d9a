/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_RIPPLE_H
#define PRESOLDER_RIPPLE_H

#include <stdbool.h>

/* How a slow state, a temperature, swings within a cycle of the mains: about a line that leaves the
 * ripple out and goes through its middle. Ways are those since the cycle began, of a state that moves
 * or of the integral of the rates that one held would have. Internal to the layer. */
struct ripple {
    double offset; /* of the mean of the cycle last followed from the parabola between its ends:
                      which phase of the ripple the ends of cycles are at */
    double above;  /* highest above its line in that cycle */
    double when;   /* since that cycle began [s] */
    double heard;  /* rate by heating alone in that cycle [1/s]; 0: none was followed */
    /* of the running cycle */
    double since; /* its begin [s] */
    double way;
    double sum;            /* its integral */
    double crest, crested; /* greatest way above that by the rate of the cycle before, and when */
    double rate;           /* of a held state: the last one [1/s] */
};

void ripple_begin(struct ripple *r);

/* The way at the end of a step of so many seconds; `before`: the rate of the cycle before. */
void ripple_step(struct ripple *r, double step, double way, double before);

/* The cycle of `span` [s] has ended; `middle`: the mean way of its parabola. */
void ripple_end(struct ripple *r, double middle, double span);

/* What the line of a state is above the state where cycles end, at `gross`, the rate by heating alone
 * [1/s]. */
double ripple_at_end(const struct ripple *r, double gross, double period);

/* What the highest of the state in a cycle is above the higher end of its line, which goes by the rate
 * `net`. */
double ripple_top(const struct ripple *r, double gross, double net, double period);

/* Whether the heating has changed so much since that it is worth while to follow another cycle. */
bool ripple_stale(const struct ripple *r, double gross);

#endif
