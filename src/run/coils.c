/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "coils.h"

#include <string.h>

#include "lu.h"
#include "meter.h"

#define FAST 1e-2 /* of a cycle: what settles faster does so at once */

struct coils {
    double *before, *rate, *by_time, *charge, *matrix; /* scratch but for the first */
    int *pivot;
};

struct coils *coils_new(struct session *s)
{
    struct coils *c = ARENA_NEW(s->arena, struct coils);
    const int n = s->network->capacitors + s->network->inductors + s->network->circuit->states.n;
    double **rows[] = {&c->before, &c->rate, &c->by_time, &c->charge};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        *rows[k] = ARENA_ARRAY(s->arena, double, n);
    c->matrix = ARENA_ARRAY(s->arena, double, (size_t)n *(size_t)n);
    c->pivot = ARENA_ARRAY(s->arena, int, n);
    return c;
}

bool coils_note(struct coils *c, struct session *s)
{
    return equations_derivative(s->eq, s->now.t, s->y, c->before) == 0;
}

/* c->rate becomes (1/t - J)^-1 of what it was, t a hundredth of a cycle. */
static bool solve(struct coils *c, struct session *s)
{
    const int n = equations_size(s->eq);
    const double per_step = 1 / (FAST * s->period);
    if (s->now.r->modal) {
        if (equations_prepare(s->eq, s->now.t, s->y, c->by_time) ||
            !equations_factor(s->eq, per_step))
            return false;
        equations_back(s->eq, c->rate);
        return true;
    }
    if (equations_jacobian(s->eq, s->now.t, s->y, c->matrix, c->by_time)) return false;
    for (int k = 0; k < n * n; k++) c->matrix[k] = -c->matrix[k];
    for (int k = 0; k < n; k++) c->matrix[k * n + k] += per_step;
    if (!lu_factor(n, c->matrix, c->pivot)) return false;
    lu_solve(n, c->matrix, c->pivot, c->rate);
    return true;
}

/* (1/t - J)^-1 (f - f before), t a hundredth of a cycle, leaves of the step what is fast; twice, since that
 * leaves a tenth of it. */
void coils_follow(struct coils *c, struct session *s)
{
    const struct reduced *r = s->now.r;
    const int n = equations_size(s->eq), nc = s->network->capacitors;
    if (s->network->inductors == 0) return;
    session_charges(s);
    memcpy(c->charge, s->charge, (size_t)r->ny * sizeof *c->charge);
    double stored = session_stored(s);
    for (int round = 0; round < 2; round++) {
        if (equations_derivative(s->eq, s->now.t, s->y, c->rate)) break;
        for (int k = 0; k < n; k++) c->rate[k] = k < r->nw ? c->rate[k] - c->before[k] : 0;
        if (!solve(c, s)) break;
        for (int k = 0; k < r->nw; k++)
            if (r->w_of[k] >= nc) s->y[k] += c->rate[k];
    }
    session_charges(s);
    meter_jump(s->meter, 0, stored - session_stored(s), c->charge, s->charge);
}
