/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain nodal equations: the current law at every point, one equation for every coil, source, winding and small resistance. A point
 * group without the reference is tied to it by 1 nS; an open tube leaks 1 nS for ever. The differential unknowns are the potentials
 * themselves (capacitor currents are C d(va - vb)/dt inside the current laws), unlike in the program. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <ida/ida.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include "independent.h"

#define LEAK 1e-9

struct plain {
    const struct circuit *c;
    int n, branch0, core0, state0;
    int *branch;  /* unknown of an element's current, -1 */
    char *tied;   /* points tied to the reference */
    int reference;
    double *balance; /* scratch [points + transformers] */
    long calls;
};

static bool has_branch(const struct element *e)
{
    return e->kind == ELEMENT_INDUCTOR || e->kind == ELEMENT_SOURCE || e->kind == ELEMENT_WINDING ||
           e->kind == ELEMENT_SWITCH || (e->kind == ELEMENT_RESISTOR && e->value < 1);
}

static double branch_law(const struct plain *p, const struct element *e, double t, double v, double i, double di,
                         double core)
{
    double u, u1, u2;
    switch (e->kind) {
    case ELEMENT_INDUCTOR: return v - e->value * di;
    case ELEMENT_WINDING: return v - e->value * core;
    case ELEMENT_SWITCH: return e->starts_closed ? v : i;
    case ELEMENT_RESISTOR: return v - e->value * i;
    default: waveform_at(&p->c->waveforms.at[e->group], t, &u, &u1, &u2); return v - u;
    }
}

static void flow(struct plain *p, const struct element *e, double i)
{
    p->balance[e->from] += i;
    p->balance[e->to] -= i;
}

static void devices(struct plain *p, const double *y, const double *yp, double *f)
{
    for (int k = 0; k < p->c->devices.n; k++) {
        const struct device *d = &p->c->devices.at[k];
        const double *s = y + p->state0;
        double x[DEVICE_FOREIGN], c[DEVICE_PORTS * PORT_COEFFICIENTS], v[DEVICE_PORTS], g, ds[DEVICE_STATES];
        for (int j = 0; j < d->foreign; j++) x[j] = s[d->foreign_state[j]];
        d->law->prepare(d->par, s + d->state0, x, c);
        for (int j = 0; j < d->ports; j++) {
            const struct element *e = &p->c->elements.at[d->element[j]];
            v[j] = y[e->from] - y[e->to];
            double i = d->law->current(d->par, j, c + j * PORT_COEFFICIENTS, v[j], &g);
            flow(p, e, i + (e->value > 0 ? v[j] / e->value : 0));
        }
        if (!d->states) continue;
        d->law->rates(d->par, v, s + d->state0, c, ds);
        for (int j = 0; j < d->states; j++)
            f[p->state0 + d->state0 + j] = yp[p->state0 + d->state0 + j] - ds[j];
    }
}

static int residual(realtype t, N_Vector yv, N_Vector ypv, N_Vector fv, void *user)
{
    struct plain *p = user;
    const double *y = N_VGetArrayPointer(yv), *yp = N_VGetArrayPointer(ypv);
    double *f = N_VGetArrayPointer(fv);
    const int points = p->c->points.n;
    p->calls++;
    memset(p->balance, 0, (size_t)(points + p->c->transformers) * sizeof *p->balance);
    for (int k = 0; k < p->c->elements.n; k++) {
        const struct element *e = &p->c->elements.at[k];
        double v = y[e->from] - y[e->to];
        int b = p->branch[k];
        if (b >= 0) {
            flow(p, e, y[b]);
            f[b] = branch_law(p, e, t, v, y[b], yp[b], e->kind == ELEMENT_WINDING ? y[p->core0 + e->group] : 0);
            if (e->kind == ELEMENT_WINDING) p->balance[points + e->group] += e->value * y[b];
        } else if (e->kind == ELEMENT_RESISTOR) {
            flow(p, e, v / e->value);
        } else if (e->kind == ELEMENT_CAPACITOR) {
            flow(p, e, e->value * (yp[e->from] - yp[e->to]));
        }
    }
    devices(p, y, yp, f);
    for (int k = 0; k < points; k++) f[k] = p->balance[k] + (p->tied[k] ? LEAK * y[k] : 0);
    f[p->reference] = y[p->reference];
    for (int k = 0; k < p->c->transformers; k++) f[p->core0 + k] = p->balance[points + k];
    return 0;
}

/* Points of every group that does not hold the reference: its first is tied. */
static void tie(struct plain *p)
{
    const int n = p->c->points.n;
    int *group = calloc((size_t)n, sizeof *group);
    for (int k = 0; k < n; k++) group[k] = k;
    for (int pass = 0; pass < n; pass++)
        for (int k = 0; k < p->c->elements.n; k++) {
            const struct element *e = &p->c->elements.at[k];
            int least = group[e->from] < group[e->to] ? group[e->from] : group[e->to];
            group[e->from] = group[e->to] = least;
        }
    for (int k = 0; k < n; k++) p->tied[k] = group[k] == k && group[p->reference] != k;
    free(group);
}

static void number(struct plain *p)
{
    p->branch0 = p->c->points.n;
    int next = p->branch0;
    for (int k = 0; k < p->c->elements.n; k++) p->branch[k] = has_branch(&p->c->elements.at[k]) ? next++ : -1;
    p->core0 = next;
    p->state0 = next + p->c->transformers;
    p->n = p->state0 + p->c->states.n;
}

static void report(const struct plain *p, double t, const double *y, independent_observer *observe, void *context)
{
    double values[64];
    int n = 0;
    for (int pass = 0; pass < 2; pass++)
        for (int k = 0; k < p->c->elements.n; k++) {
            const struct element *e = &p->c->elements.at[k];
            if (pass == 0 && e->kind == ELEMENT_CAPACITOR) values[n++] = y[e->from] - y[e->to];
            if (pass == 1 && e->kind == ELEMENT_INDUCTOR) values[n++] = y[p->branch[k]];
        }
    observe(context, t, values);
}

/* All at rest: consistent at a zero of the sources; only the device states may move at once (a hot cathode cools). */
static void start_values(const struct plain *p, bool hot, N_Vector yv, N_Vector ypv, N_Vector fv, double *absolute,
                         double tolerance)
{
    double *y = N_VGetArrayPointer(yv), *yp = N_VGetArrayPointer(ypv), *f = N_VGetArrayPointer(fv);
    N_VConst(0, yv);
    N_VConst(0, ypv);
    for (int k = 0; k < p->n; k++) absolute[k] = k < p->branch0 ? 300 * tolerance : 0.1 * tolerance;
    for (int k = 0; k < p->c->states.n; k++) {
        const struct state *s = &p->c->states.at[k];
        y[p->state0 + k] = hot ? s->hot : s->cold;
        absolute[p->state0 + k] = s->range * tolerance;
    }
    residual(0, yv, ypv, fv, (void *)(uintptr_t)p);
    for (int k = p->state0; k < p->n; k++) yp[k] = -f[k];
}

bool independent_ida(const struct circuit *c, bool hot, double stop, double every, double tolerance,
                     independent_observer *observe, void *context, struct independent_cost *cost)
{
    struct plain p = {.c = c, .reference = circuit_find_point(c, c->reference)};
    p.branch = calloc((size_t)c->elements.n, sizeof *p.branch);
    p.tied = calloc((size_t)c->points.n, 1);
    p.balance = calloc((size_t)(c->points.n + c->transformers), sizeof *p.balance);
    number(&p);
    tie(&p);
    SUNContext sun;
    SUNContext_Create(NULL, &sun);
    N_Vector y = N_VNew_Serial(p.n, sun), yp = N_VNew_Serial(p.n, sun), f = N_VNew_Serial(p.n, sun);
    N_Vector absolute = N_VNew_Serial(p.n, sun);
    start_values(&p, hot, y, yp, f, N_VGetArrayPointer(absolute), tolerance);
    void *ida = IDACreate(sun);
    SUNMatrix matrix = SUNDenseMatrix(p.n, p.n, sun);
    SUNLinearSolver linear = SUNLinSol_Dense(y, matrix, sun);
    double period = 1 / 60.0;
    for (int k = 0; k < c->waveforms.n; k++)
        if (c->waveforms.at[k].frequency > 0) period = 1 / c->waveforms.at[k].frequency;
    IDAInit(ida, residual, 0, y, yp);
    IDASVtolerances(ida, tolerance, absolute);
    IDASetUserData(ida, &p);
    IDASetLinearSolver(ida, linear, matrix);
    IDASetMaxNumSteps(ida, 100000000);
    IDASetMaxStep(ida, period / 16);
    clock_t begun = clock();
    bool good = true;
    for (long k = 1; good && (double)k * every <= stop * (1 + 1e-12); k++) {
        double t, next = (double)k * every;
        IDASetStopTime(ida, next);
        good = IDASolve(ida, next, &t, y, yp, IDA_NORMAL) >= 0;
        if (good) report(&p, t, N_VGetArrayPointer(y), observe, context);
    }
    cost->seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;
    cost->residuals = p.calls;
    IDAGetNumSteps(ida, &cost->steps);
    IDAFree(&ida);
    SUNLinSolFree(linear);
    SUNMatDestroy(matrix);
    N_VDestroy(y);
    N_VDestroy(yp);
    N_VDestroy(f);
    N_VDestroy(absolute);
    SUNContext_Free(&sun);
    free(p.branch);
    free(p.tied);
    free(p.balance);
    return good;
}
