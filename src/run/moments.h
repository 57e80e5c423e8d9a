/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_MOMENTS_H
#define PRESOLDER_MOMENTS_H

#include "network.h"
#include "wave.h"

/* Sums over a stretch of a run, pattern by pattern, of x and of x x', where x = [w, u, u', i] is
 * what the rows of a pattern's outputs are multiplied with. Whatever is linear in x, or a product
 * of two such, has its integral from these: the mean of 50 voltages and the watts of 60 parts cost
 * one small matrix a step. The last node of a step and the first of the next are one: it enters
 * with both weights. */

struct moments_of {
    const struct reduced *r;
    double seconds; /* the pattern has been in force; 0: not in this stretch */
    double *linear; /* [columns * WAVE_SUMS] integrals of x times 1, tau, cos, sin (wave.h) */
    /* [columns * columns] integrals of x x', symmetric once moments_settle was called */
    double *square;
    double *factor; /* [rank * columns] square = factor' factor, of many columns; NULL: of few */
    int rank;
};

struct moments {
    struct arena *arena;
    ARRAY(struct moments_of) of;
    int width;
    bool taken; /* the meter has read them */
    int now;    /* the pattern of the last step; -1: nothing pending */
    double *x;  /* [width] its last node, and what it weighs */
    double weight, weights[WAVE_SUMS];
    double *left; /* [width] scratch */
};

/* `width`: the most columns any pattern has. */
struct moments *moments_new(struct arena *arena, int width);

/* One step of `dt` [s] in pattern r: x[node * width], weights k of wave_weigh; NULL: linear sums
 * are not asked for. `goes_on`: its first node is the last one of the step before. */
void moments_step(struct moments *m, const struct reduced *r, double dt, const double *x, int width,
                  wave_weights k, bool goes_on);

/* Takes in the last node: all sums are complete. */
void moments_settle(struct moments *m);

/* Empties all. */
void moments_clear(struct moments *m);

/* Integral of (row_a x)(row_b x) over the stretch, in one pattern. */
double moments_product(const struct moments_of *of, const double *row_a, const double *row_b);

#endif
