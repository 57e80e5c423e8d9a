/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bodies and the heat between them. A forecast takes the watts of the end of a run as given, so it
 * is a small linear system C T' = P - K T: the trapezoidal rule, whose steps grow with the time
 * gone, follows it through seconds and hours alike. */
#include "thermal.h"

#include <math.h>

#include "lu.h"
#include "numbers.h"

#define HORIZON 86400.0   /* [s] */
#define FIRST 0.1         /* [s]: the first steps */
#define SHARE 0.02        /* of the time gone: later steps */
#define COPPER_ZERO 38.65 /* [K], -234.5 deg C, where copper's ohms would end (IEC 60028) */

enum { BODIES = 16 };

double thermal_flow(const struct thermal_body *body, double t, const double *x)
{
    double sum = body->to_ambient * (t - body->ambient);
    for (int k = 0; k < body->links; k++) sum += body->link[k] * (t - x[k]);
    return sum;
}

double thermal_slopes(const struct thermal_body *body, double *by_x)
{
    double sum = body->to_ambient;
    for (int k = 0; k < body->links; k++) {
        sum += body->link[k];
        by_x[k] = body->link[k] / body->heat;
    }
    return -sum / body->heat;
}

static const struct device *owner(const struct circuit *c, int state)
{
    const struct device *d = c->devices.at;
    while (state >= d->state0 + d->states || state < d->state0) d++;
    return d;
}

double thermal_watts(const struct circuit *c, int state, const double *kelvin, double rate)
{
    const struct thermal_body *body = c->states.at[state].body;
    double x[DEVICE_FOREIGN];
    if (!body) return 0;
    const struct device *d = owner(c, state);
    for (int k = 0; k < body->links; k++) x[k] = kelvin[d->foreign_state[k]];
    return body->heat * rate + thermal_flow(body, kelvin[state], x);
}

/* C T' = p - k T over the bodies of a circuit. */
struct bodies {
    int n;
    int state[BODIES];
    double heat[BODIES], p[BODIES], k[BODIES * BODIES], t[BODIES];
};

static int row_of(const struct bodies *b, int state)
{
    for (int i = 0; i < b->n; i++)
        if (b->state[i] == state) return i;
    return -1;
}

static void gather(struct bodies *b, const struct circuit *c, const double *kelvin,
                   const double *watts)
{
    b->n = 0;
    for (int s = 0; s < c->states.n && b->n < BODIES; s++)
        if (c->states.at[s].body) b->state[b->n++] = s;
    for (int i = 0; i < BODIES * BODIES; i++) b->k[i] = 0;
    for (int i = 0; i < b->n; i++) {
        const int s = b->state[i];
        const struct thermal_body *body = c->states.at[s].body;
        const struct device *d = owner(c, s);
        double growth = body->copper ? watts[s] / (kelvin[s] - COPPER_ZERO) : 0;
        b->t[i] = kelvin[s];
        b->heat[i] = body->heat;
        b->p[i] = watts[s] - growth * kelvin[s] + body->to_ambient * body->ambient;
        b->k[i * b->n + i] = body->to_ambient - growth;
        for (int j = 0; j < body->links; j++) {
            int to = row_of(b, d->foreign_state[j]);
            b->k[i * b->n + i] += body->link[j];
            if (to >= 0) b->k[i * b->n + to] -= body->link[j];
            else b->p[i] += body->link[j] * kelvin[d->foreign_state[j]];
        }
    }
}

/* (C/h + K/2) T1 = (C/h - K/2) T0 + P. False when it cannot be solved. */
static bool step(struct bodies *b, double h)
{
    const int n = b->n;
    double m[BODIES * BODIES], next[BODIES];
    int pivot[BODIES];
    for (int i = 0; i < n; i++) {
        next[i] = b->p[i] + b->heat[i] / h * b->t[i];
        for (int j = 0; j < n; j++) {
            m[i * n + j] = b->k[i * n + j] / 2 + (i == j ? b->heat[i] / h : 0);
            next[i] -= b->k[i * n + j] / 2 * b->t[j];
        }
    }
    if (!lu_factor(n, m, pivot)) return false;
    lu_solve(n, m, pivot, next);
    for (int i = 0; i < n; i++) b->t[i] = next[i];
    return true;
}

/* True when the temperatures the bodies end at lie above those of now and that of `row` is within
 * the limit: where bodies only warm one another (no negative off-diagonal of -K), none then passes
 * its end on the way. */
static bool stays_below(const struct bodies *b, int row, double limit)
{
    double m[BODIES * BODIES], end[BODIES];
    int pivot[BODIES];
    for (int i = 0; i < b->n; i++) end[i] = b->p[i];
    for (int i = 0; i < b->n * b->n; i++) m[i] = b->k[i];
    if (!lu_factor(b->n, m, pivot)) return false;
    lu_solve(b->n, m, pivot, end);
    for (int i = 0; i < b->n; i++)
        if (end[i] < b->t[i]) return false;
    return end[row] <= limit;
}

bool thermal_settled(const struct circuit *c, double *kelvin, const double *watts)
{
    struct bodies b;
    int pivot[BODIES];
    gather(&b, c, kelvin, watts);
    if (b.n == 0 || !lu_factor(b.n, b.k, pivot)) return b.n == 0;
    lu_solve(b.n, b.k, pivot, b.p);
    for (int i = 0; i < b.n; i++)
        if (!(b.p[i] >= b.t[i] - 1)) return false; /* beyond balance the solution is negative */
    for (int i = 0; i < b.n; i++) kelvin[b.state[i]] = b.p[i];
    return true;
}

double thermal_time_to_limit(const struct circuit *c, const double *kelvin, const double *watts,
                             int state)
{
    struct bodies b;
    const double limit = c->states.at[state].limit;
    gather(&b, c, kelvin, watts);
    const int row = row_of(&b, state);
    if (row < 0 || !(limit > 0)) return HUGE_VAL;
    if (kelvin[state] > limit) return 0;
    if (stays_below(&b, row, limit)) return HUGE_VAL;
    for (double t = 0; t < HORIZON;) {
        double before = b.t[row], h = larger(FIRST, SHARE * t);
        if (!step(&b, h)) return HUGE_VAL;
        if (b.t[row] > limit) return t + h * (limit - before) / (b.t[row] - before);
        t += h;
    }
    return HUGE_VAL;
}
