/* SPDX-License-Identifier: GPL-3.0-or-later */
/* rate = f(V, s), V the mean squares of the volts: d rate = f_s ds + f_V dV, and of ports folded
 * into the network dV_p = 2 sum over patterns and ports q of ohms_pq (integral of v_p v_q) dg_q
 * (reductions_response). */
#include "balance.h"

#include <math.h>
#include <string.h>

#include "moments.h"
#include "numbers.h"

static double square_of(const struct session *s, int p, int q)
{
    double sum = 0;
    for (int k = 0; k < s->moments->of.n; k++) {
        const struct moments_of *of = &s->moments->of.at[k];
        if (of->seconds > 0)
            sum += moments_product(of, equations_row(s->eq, of->r, OUTPUT_VOLTS, p),
                                   equations_row(s->eq, of->r, OUTPUT_VOLTS, q));
    }
    return sum;
}

void balance_volts(const struct session *s, const struct device *d, double span, double *v)
{
    for (int p = 0; p < d->ports; p++)
        v[p] = sqrt(larger(square_of(s, d->element[p], d->element[p]) / span, 0));
}

/* What one device's own law tells, by port: f_V and dg/ds of its states. */
struct own {
    double by_square[DEVICE_STATES][DEVICE_PORTS], by_state[DEVICE_PORTS][DEVICE_STATES];
};

struct balance *balance_new(struct session *s)
{
    struct balance *b = ARENA_NEW(s->arena, struct balance);
    const struct circuit *c = s->network->circuit;
    b->rate = ARENA_ARRAY(s->arena, double, c->states.n);
    b->slope = ARENA_ARRAY(s->arena, double, (size_t)c->states.n *(size_t)c->states.n);
    b->own = ARENA_ARRAY(s->arena, struct own, c->devices.n);
    return b;
}

static void read_device(struct balance *to, const struct session *s, const struct device *d,
                        const bool *held, double span, struct own *own)
{
    const int ns = s->eq->ns;
    double v[DEVICE_PORTS], x[DEVICE_FOREIGN], c[DEVICE_PORTS * PORT_COEFFICIENTS] = {0},
                                                                ds[DEVICE_STATES];
    struct device_slopes of;
    const double *state = s->states + d->state0;
    balance_volts(s, d, span, v);
    for (int k = 0; k < d->foreign; k++) x[k] = s->states[d->foreign_state[k]];
    d->law->prepare(d->par, state, x, c);
    d->law->rates(d->par, v, state, c, ds);
    for (int p = 0; p < d->ports; p++) v[p] = larger(v[p], 1e-12); /* to divide by */
    memset(&of, 0, sizeof of);
    d->law->slopes(d->par, v, state, x, c, &of);
    for (int a = 0; a < d->states; a++) {
        const int k = d->state0 + a;
        for (int p = 0; p < d->ports; p++) {
            own->by_square[a][p] = of.ds_v[a][p] / (2 * v[p]);
            own->by_state[p][a] = of.i_s[p][a] / v[p];
        }
        if (!held[k]) continue;
        double *slope = &to->slope[k * ns];
        to->rate[k] = ds[a];
        for (int b = 0; b < d->states; b++) slope[d->state0 + b] += of.ds_s[a][b];
        for (int b = 0; b < d->foreign; b++) slope[d->foreign_state[b]] += of.ds_x[a][b];
    }
}

/* by_square dV by_state, into the slopes. */
static void add_answer(struct balance *to, const struct session *s, const bool *held,
                       const struct element *p, const struct element *q, double by)
{
    const struct device *of = &s->network->circuit->devices.at[p->group],
                        *from = &s->network->circuit->devices.at[q->group];
    for (int i = 0; i < of->states; i++) {
        double *slope = &to->slope[(of->state0 + i) * s->eq->ns + from->state0];
        for (int j = 0; j < from->states && held[of->state0 + i]; j++)
            slope[j] += to->own[p->group].by_square[i][p->port] * by *
                        to->own[q->group].by_state[q->port][j];
    }
}

/* The share of one pattern in f_V dV, over folded ports. */
static void add_answers(struct balance *to, struct session *s, const struct moments_of *of,
                        const bool *held, double span)
{
    const struct element *e = s->network->circuit->elements.at;
    const int *element;
    const double *ohms;
    const int n = reductions_response(s->reductions, of->r->pattern, &element, &ohms);
    for (int a = 0; a < n; a++)
        for (int b = 0; b < n; b++) {
            if (ohms[a * n + b] == 0) continue;
            double square =
                moments_product(of, equations_row(s->eq, of->r, OUTPUT_VOLTS, element[a]),
                                equations_row(s->eq, of->r, OUTPUT_VOLTS, element[b]));
            add_answer(to, s, held, &e[element[a]], &e[element[b]],
                       2 * ohms[a * n + b] * square / span);
        }
}

void balance_read(struct balance *b, struct session *s, const bool *held, double span)
{
    const struct circuit *c = s->network->circuit;
    const size_t ns = (size_t)s->eq->ns;
    memset(b->slope, 0, ns * ns * sizeof *b->slope);
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        bool any = false;
        for (int j = 0; j < d->states; j++) any |= held[d->state0 + j];
        if (any) read_device(b, s, d, held, span, &b->own[k]);
    }
    for (int k = 0; k < s->moments->of.n; k++)
        if (s->moments->of.at[k].seconds > 0) add_answers(b, s, &s->moments->of.at[k], held, span);
}
