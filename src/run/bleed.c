/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One march for all capacitors: exp(A h) is squared again and again, which gives the volts at
 * doubling times. From the last time above a level the way on is made in halves of the step, with
 * the powers at hand, so that nothing but products of a matrix and a vector is left per level. */
#include "bleed.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_blas.h>

#include "dense.h"
#include "numbers.h"

enum { DOUBLINGS = 41 };      /* from FIRST to BLEED_LONGEST */
#define FIRST (1 / 1048576.0) /* [s] */
#define WINDING 1.0 /* stands for the way of direct current through a winding or coil [ohm] */

/* ---- the network that is left ---- */

static bool is_way(const struct element *e)
{
    return e->kind != ELEMENT_PORT && e->kind != ELEMENT_SOURCE && !e->assumed;
}

/* Copper around iron: the port of a coil or a core, which stores what it takes. */
static bool is_coil(const struct circuit *c, const struct element *e)
{
    return e->kind == ELEMENT_PORT && c->devices.at[e->group].law->stored;
}

/* Capacitors and coils keep their order, so their charges and fluxes are the session's. */
static const struct circuit *left_of(struct arena *arena, const struct circuit *c)
{
    struct circuit *left = ARENA_NEW(arena, struct circuit);
    bool *shorted = ARENA_ARRAY(arena, bool, c->transformers);
    *left = *c;
    left->arena = arena;
    left->elements.at = NULL;
    left->elements.n = left->elements.room = 0;
    for (int k = 0; k < c->elements.n; k++)
        if (is_way(&c->elements.at[k])) array_push(arena, &left->elements, c->elements.at[k]);
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        if (is_coil(c, e)) circuit_resistor(left, e->part, "coil", e->from, e->to, WINDING);
    }
    for (int k = 0; k < c->elements.n; k++) {
        const struct element *e = &c->elements.at[k];
        if (e->kind != ELEMENT_WINDING || shorted[e->group]) continue;
        shorted[e->group] = true;
        circuit_resistor(left, e->part, "direct current", e->from, e->to, WINDING);
    }
    return left;
}

/* Switches that are closed now, but for the mains'. */
static pattern_t closed(const struct session *s)
{
    const struct circuit *c = s->network->circuit;
    pattern_t pattern = 0;
    for (int g = 0; g < c->gates; g++) {
        const int k = s->network->gate_element[g];
        if (c->elements.at[k].kind == ELEMENT_SWITCH && k != s->stage->mains_switch)
            pattern |= s->now.r->pattern & (pattern_t)1 << g;
    }
    return pattern;
}

/* ---- the march ---- */

struct march {
    gsl_matrix *power[DOUBLINGS]; /* exp(A FIRST 2^j); NULL: all states are modes */
    gsl_vector *fade[DOUBLINGS];  /* its diagonal then */
    gsl_vector *start;            /* w at the cut */
    gsl_vector *at[DOUBLINGS];    /* w(FIRST 2^j) */
    gsl_vector *here, *next;      /* scratch */
};

static void march_on(const struct march *m, int j, const gsl_vector *from, gsl_vector *to)
{
    if (m->power[j]) {
        gsl_blas_dgemv(CblasNoTrans, 1, m->power[j], from, 0, to);
        return;
    }
    gsl_vector_memcpy(to, from);
    gsl_vector_mul(to, m->fade[j]);
}

static void find_fade(struct march *m, struct arena *scratch, const struct reduced *r, int j)
{
    m->fade[j] = dense_vector(scratch, r->nw);
    for (int i = 0; i < r->nw; i++)
        gsl_vector_set(m->fade[j], (size_t)i, exp(r->a[i * r->nw + i] * FIRST * exp2(j)));
}

/* From the last one. */
static void find_power(struct march *m, struct arena *scratch, const gsl_matrix *a, int j)
{
    const int n = (int)a->size1;
    m->power[j] = dense_matrix(scratch, n, n);
    if (j == 0) dense_exponential(scratch, a, m->power[0]);
    else
        gsl_blas_dgemm(CblasNoTrans, CblasNoTrans, 1, m->power[j - 1], m->power[j - 1], 0,
                       m->power[j]);
}

/* False when the caller wants an end. */
static bool march_begin(struct march *m, struct arena *scratch, struct session *s,
                        const struct reduced *r)
{
    const size_t n = (size_t)r->nw;
    gsl_matrix *a = dense_matrix(scratch, r->nw, r->nw);
    m->start = dense_vector(scratch, r->nw);
    m->here = dense_vector(scratch, r->nw);
    m->next = dense_vector(scratch, r->nw);
    for (size_t i = 0; i < n; i++) {
        for (int k = 0; k < r->ny; k++)
            *gsl_vector_ptr(m->start, i) += r->take[(int)i * r->ny + k] * s->charge[k];
        for (size_t j = 0; j < n; j++)
            gsl_matrix_set(a, i, j, r->a[(int)i * r->nw + (int)j] * FIRST);
    }
    for (int j = 0; j < DOUBLINGS; j++) {
        if (session_asks(s, session_work(r->nw))) return false;
        m->at[j] = dense_vector(scratch, r->nw);
        if (r->modal == r->nw) find_fade(m, scratch, r, j);
        else find_power(m, scratch, a, j);
        march_on(m, j, m->start, m->at[j]);
    }
    return true;
}

/* Volts of the capacitor whose row of Q is `q`. */
static double volts_of(const double *q, const gsl_vector *w)
{
    double sum = 0;
    for (size_t i = 0; i < w->size; i++) sum += q[i] * gsl_vector_get(w, i);
    return fabs(sum);
}

static double last_crossing(struct march *m, const double *q, double volts)
{
    int last = DOUBLINGS - 1;
    while (last >= 0 && !(volts_of(q, m->at[last]) > volts)) last--;
    if (last == DOUBLINGS - 1) return HUGE_VAL;
    if (last < 0) return volts_of(q, m->start) > volts ? FIRST : 0;
    double t = FIRST * exp2(last);
    gsl_vector_memcpy(m->here, m->at[last]);
    for (int j = last - 1; j >= 0; j--) {
        march_on(m, j, m->here, m->next);
        if (!(volts_of(q, m->next) > volts)) continue;
        gsl_vector_memcpy(m->here, m->next);
        t += FIRST * exp2(j);
    }
    return t + FIRST;
}

bool bleed_times(struct session *s, const double *volts, int levels, double *times)
{
    struct arena *scratch = arena_scratch(s->arena);
    const struct network *network = network_new(scratch, left_of(scratch, s->network->circuit));
    const struct reduced *r =
        network_reduce(scratch, network, closed(s), &(struct network_asked){session_wants_end, s});
    struct march m = {0};
    const bool marches = !r->fault && r->nw > 0;
    bool done = r->fault != NETWORK_LEFT_OFF && (!marches || march_begin(&m, scratch, s, r));
    for (int y = 0; y < network->capacitors && done; y++) {
        done = !session_wants_end(s, (double)levels * DOUBLINGS * r->nw * r->nw);
        for (int k = 0; k < levels; k++)
            times[y * levels + k] = marches ? last_crossing(&m, &r->q[y * r->nw], volts[k])
                                    : r->fault && fabs(s->full[y]) > volts[k] ? HUGE_VAL
                                                                              : 0;
    }
    arena_clear(scratch);
    return done || !session_interrupted(s);
}
