/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain nodal equations: the current law at every point, one equation for every coil, source,
 * winding and small resistance. A group of points without the reference is tied to it by 1 nS,
 * which carries nothing. The differential unknowns are the potentials themselves (capacitor
 * currents are C d(va - vb)/dt inside the current laws), unlike in the program; and a tube's law
 * holds at all times, where the program takes the open tube out. */
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

#define TIE 1e-9   /* [S] */
#define OPEN 1e-12 /* an open tube: what hangs on tubes alone needs a potential [S] */

enum { STEPS_PER_PERIOD = 16, STEPS_MOST = 100000000, NEWTON_MOST = 12, FAILS_MOST = 60 };

/* Unknowns: point potentials, branch currents, core volts of transformers, device states. */
struct plain {
    struct independent *job;
    const struct circuit *c;
    int n, core0, state0;
    int *branch; /* unknown of an element's current, -1 */
    int *group;  /* scratch [points] */
    char *tied;  /* points tied to the reference */
    int reference;
    double *balance; /* scratch [points + transformers] */
    double *values;
};

static bool has_branch(const struct element *e)
{
    return e->kind == ELEMENT_INDUCTOR || e->kind == ELEMENT_SOURCE || e->kind == ELEMENT_WINDING ||
           e->kind == ELEMENT_SWITCH || (e->kind == ELEMENT_RESISTOR && e->value < 1);
}

/* v, i: across and through; rate: di/dt; core: core volts of a winding's transformer */
static double branch_law(const struct plain *p, const struct element *e, double t, double v,
                         double i, double rate, double core)
{
    double u, u1, u2;
    switch (e->kind) {
    case ELEMENT_INDUCTOR: return v - e->value * rate;
    case ELEMENT_WINDING: return v - e->value * core;
    case ELEMENT_SWITCH: return e->starts_closed ? v : i;
    case ELEMENT_RESISTOR: return v - e->value * i;
    default: circuit_waveform_at(&p->c->waveforms.at[e->group], t, &u, &u1, &u2); return v - u;
    }
}

static void flow(struct plain *p, const struct element *e, double i)
{
    p->balance[e->from] += i;
    p->balance[e->to] -= i;
}

/* What bypasses a port. */
static double beside(const struct element *e, double v)
{
    if (e->gate >= 0 && v <= 0) return v * OPEN;
    return e->value > 0 ? v / e->value : 0;
}

static void coefficients(const struct device *d, const double *states, double *c)
{
    double x[DEVICE_FOREIGN];
    for (int j = 0; j < d->foreign; j++) x[j] = states[d->foreign_state[j]];
    d->law->prepare(d->par, states + d->state0, x, c);
}

static void devices(struct plain *p, const double *y, const double *yp, double *f)
{
    double c[DEVICE_PORTS * PORT_COEFFICIENTS], v[DEVICE_PORTS], slope, rate[DEVICE_STATES];
    for (int k = 0; k < p->c->devices.n; k++) {
        const struct device *d = &p->c->devices.at[k];
        const int first = p->state0 + d->state0;
        coefficients(d, y + p->state0, c);
        for (int j = 0; j < d->ports; j++) {
            const struct element *e = &p->c->elements.at[d->element[j]];
            const double *at = c + j * PORT_COEFFICIENTS;
            v[j] = y[e->from] - y[e->to];
            flow(p, e, d->law->current(d->par, j, at, v[j], &slope) + beside(e, v[j]));
        }
        if (!d->states) continue;
        d->law->rates(d->par, v, y + first, c, rate);
        for (int j = 0; j < d->states; j++) f[first + j] = yp[first + j] - rate[j];
    }
}

static void element(struct plain *p, int k, double t, const double *y, const double *yp, double *f)
{
    const struct element *e = &p->c->elements.at[k];
    double v = y[e->from] - y[e->to];
    int b = p->branch[k];
    if (b >= 0) {
        double core = e->kind == ELEMENT_WINDING ? y[p->core0 + e->group] : 0;
        flow(p, e, y[b]);
        f[b] = branch_law(p, e, t, v, y[b], yp[b], core);
        if (e->kind == ELEMENT_WINDING) p->balance[p->c->points.n + e->group] += e->value * y[b];
    } else if (e->kind == ELEMENT_RESISTOR) {
        flow(p, e, v / e->value);
    } else if (e->kind == ELEMENT_CAPACITOR) {
        flow(p, e, e->value * (yp[e->from] - yp[e->to]));
    }
}

static int residual(sunrealtype t, N_Vector yv, N_Vector ypv, N_Vector fv, void *user)
{
    struct plain *p = user;
    const double *y = N_VGetArrayPointer(yv), *yp = N_VGetArrayPointer(ypv);
    double *f = N_VGetArrayPointer(fv);
    const int points = p->c->points.n;
    p->job->calls++;
    memset(p->balance, 0, (size_t)(points + p->c->transformers) * sizeof *p->balance);
    for (int k = 0; k < p->c->elements.n; k++) element(p, k, t, y, yp, f);
    devices(p, y, yp, f);
    for (int k = 0; k < points; k++) f[k] = p->balance[k] + (p->tied[k] ? TIE * y[k] : 0);
    f[p->reference] = y[p->reference];
    for (int k = 0; k < p->c->transformers; k++) f[p->core0 + k] = p->balance[points + k];
    return 0;
}

/* The same equations' derivatives, so that the linear systems are exact: dF/dy + cj dF/dy'. */
static void put(SUNMatrix m, int row, int column, double value)
{
    SM_ELEMENT_D(m, row, column) += value;
}

/* value times the volts of e, in a row */
static void put_volts(SUNMatrix m, int row, const struct element *e, double value)
{
    put(m, row, e->from, value);
    put(m, row, e->to, -value);
}

/* value times an unknown, flowing through e */
static void put_flow(SUNMatrix m, const struct element *e, int column, double value)
{
    put(m, e->from, column, value);
    put(m, e->to, column, -value);
}

static void put_conductance(SUNMatrix m, const struct element *e, double siemens)
{
    put_volts(m, e->from, e, siemens);
    put_volts(m, e->to, e, -siemens);
}

static void put_element(const struct plain *p, int k, double cj, SUNMatrix m)
{
    const struct element *e = &p->c->elements.at[k];
    const int b = p->branch[k], core = p->core0 + e->group;
    if (e->kind == ELEMENT_CAPACITOR) put_conductance(m, e, cj * e->value);
    if (e->kind == ELEMENT_RESISTOR && b < 0) put_conductance(m, e, 1 / e->value);
    if (b < 0) return;
    put_flow(m, e, b, 1);
    if (e->kind == ELEMENT_SWITCH && !e->starts_closed) {
        put(m, b, b, 1);
        return;
    }
    put_volts(m, b, e, 1);
    if (e->kind == ELEMENT_INDUCTOR) put(m, b, b, -cj * e->value);
    if (e->kind == ELEMENT_RESISTOR) put(m, b, b, -e->value);
    if (e->kind != ELEMENT_WINDING) return;
    put(m, b, core, -e->value);
    put(m, core, b, e->value);
}

static void put_device(const struct plain *p, const struct device *d, const double *y, double cj,
                       SUNMatrix m)
{
    const int first = p->state0 + d->state0;
    double c[DEVICE_PORTS * PORT_COEFFICIENTS], v[DEVICE_PORTS], x[DEVICE_FOREIGN], g;
    struct device_slopes slopes;
    memset(&slopes, 0, sizeof slopes);
    coefficients(d, y + p->state0, c);
    for (int j = 0; j < d->foreign; j++) x[j] = y[p->state0 + d->foreign_state[j]];
    for (int j = 0; j < d->ports; j++) {
        const struct element *e = &p->c->elements.at[d->element[j]];
        v[j] = y[e->from] - y[e->to];
        d->law->current(d->par, j, c + j * PORT_COEFFICIENTS, v[j], &g);
        put_conductance(m, e, g + beside(e, v[j] > 0 ? 1 : -1) * (v[j] > 0 ? 1 : -1));
    }
    d->law->slopes(d->par, v, y + first, x, c, &slopes);
    for (int j = 0; j < d->ports; j++) {
        const struct element *e = &p->c->elements.at[d->element[j]];
        for (int k = 0; k < d->states; k++) put_flow(m, e, first + k, slopes.i_s[j][k]);
        for (int k = 0; k < d->foreign; k++)
            put_flow(m, e, p->state0 + d->foreign_state[k], slopes.i_x[j][k]);
        for (int k = 0; k < d->states; k++) put_volts(m, first + k, e, -slopes.ds_v[k][j]);
    }
    for (int k = 0; k < d->states; k++) {
        put(m, first + k, first + k, cj);
        for (int j = 0; j < d->states; j++) put(m, first + k, first + j, -slopes.ds_s[k][j]);
    }
}

static int jacobian(sunrealtype t, sunrealtype cj, N_Vector yv, N_Vector ypv, N_Vector fv,
                    SUNMatrix m, void *user, N_Vector one, N_Vector two, N_Vector three)
{
    struct plain *p = user;
    (void)t, (void)ypv, (void)fv, (void)one, (void)two, (void)three;
    SUNMatZero(m);
    for (int k = 0; k < p->c->elements.n; k++) put_element(p, k, cj, m);
    for (int k = 0; k < p->c->devices.n; k++)
        put_device(p, &p->c->devices.at[k], N_VGetArrayPointer(yv), cj, m);
    for (int k = 0; k < p->c->points.n; k++)
        if (p->tied[k]) put(m, k, k, TIE);
    for (int k = 0; k < p->n; k++) SM_ELEMENT_D(m, p->reference, k) = k == p->reference;
    return 0;
}

/* Of every group of points that does not hold the reference the first is tied. */
static void tie(struct plain *p)
{
    const int n = p->c->points.n;
    for (int k = 0; k < n; k++) p->group[k] = k;
    for (int pass = 0; pass < n; pass++)
        for (int k = 0; k < p->c->elements.n; k++) {
            int *from = &p->group[p->c->elements.at[k].from],
                *to = &p->group[p->c->elements.at[k].to];
            *from = *to = *from < *to ? *from : *to;
        }
    for (int k = 0; k < n; k++) p->tied[k] = p->group[k] == k && p->group[p->reference] != k;
}

static void number(struct plain *p)
{
    int next = p->c->points.n;
    for (int k = 0; k < p->c->elements.n; k++)
        p->branch[k] = has_branch(&p->c->elements.at[k]) ? next++ : -1;
    p->core0 = next;
    p->state0 = next + p->c->transformers;
    p->n = p->state0 + p->c->states.n;
}

static double plate_current(const struct plain *p, const struct element *e, const double *y)
{
    const struct device *d = &p->c->devices.at[e->group];
    double c[DEVICE_PORTS * PORT_COEFFICIENTS], slope, v = y[e->from] - y[e->to];
    coefficients(d, y + p->state0, c);
    return d->law->current(d->par, e->port, c + e->port * PORT_COEFFICIENTS, v, &slope) +
           beside(e, v);
}

static void report(struct plain *p, double t, const double *y)
{
    int n = 0;
    for (int pass = 0; pass < 3; pass++)
        for (int k = 0; k < p->c->elements.n; k++) {
            const struct element *e = &p->c->elements.at[k];
            bool tube = e->kind == ELEMENT_PORT && e->gate >= 0;
            if (pass == 0 && e->kind == ELEMENT_CAPACITOR) p->values[n++] = y[e->from] - y[e->to];
            if (pass == 1 && e->kind == ELEMENT_INDUCTOR) p->values[n++] = y[p->branch[k]];
            if (pass == 2 && tube) p->values[n++] = plate_current(p, e, y);
        }
    p->job->observe(p->job->context, t, p->values);
}

/* All at rest: consistent at a zero of the sources; only the device states may move at once (a hot
 * cathode cools). */
static void start_values(struct plain *p, N_Vector yv, N_Vector ypv, N_Vector fv, double *absolute)
{
    double *y = N_VGetArrayPointer(yv), *yp = N_VGetArrayPointer(ypv), *f = N_VGetArrayPointer(fv);
    const double tolerance = p->job->tolerance;
    N_VConst(0, yv);
    N_VConst(0, ypv);
    for (int k = 0; k < p->n; k++) absolute[k] = (k < p->c->points.n ? 300 : 0.1) * tolerance;
    for (int k = 0; k < p->c->states.n; k++) {
        const struct state *s = &p->c->states.at[k];
        y[p->state0 + k] = p->job->hot ? s->hot : s->cold;
        absolute[p->state0 + k] = s->range * tolerance;
    }
    residual(0, yv, ypv, fv, p);
    for (int k = p->state0; k < p->n; k++) yp[k] = -f[k];
}

static struct plain plain_new(struct independent *job)
{
    const struct circuit *c = job->circuit;
    struct plain p = {.job = job, .c = c, .reference = circuit_find_point(c, c->reference)};
    p.branch = calloc((size_t)c->elements.n, sizeof *p.branch);
    p.group = calloc((size_t)c->points.n, sizeof *p.group);
    p.tied = calloc((size_t)c->points.n, 1);
    p.balance = calloc((size_t)(c->points.n + c->transformers), sizeof *p.balance);
    p.values = calloc((size_t)independent_count(c) + 1, sizeof *p.values);
    number(&p);
    tie(&p);
    return p;
}

static void plain_free(struct plain *p)
{
    free(p->branch);
    free(p->group);
    free(p->tied);
    free(p->balance);
    free(p->values);
}

static double period_of(const struct circuit *c)
{
    for (int k = 0; k < c->waveforms.n; k++)
        if (c->waveforms.at[k].frequency > 0) return 1 / c->waveforms.at[k].frequency;
    return 1 / 60.0;
}

static bool march(struct plain *p, void *ida, N_Vector y, N_Vector yp)
{
    const struct independent *job = p->job;
    for (long k = 0;; k++) {
        double t, next = job->from + (double)k * job->every;
        if (next > job->stop * (1 + 1e-12)) return true;
        if (next <= 0) continue;
        if (IDASolve(ida, next, &t, y, yp, IDA_NORMAL) < 0) return false;
        report(p, t, N_VGetArrayPointer(y));
    }
}

bool independent_ida(struct independent *job)
{
    struct plain p = plain_new(job);
    SUNContext sun;
    SUNContext_Create(NULL, &sun);
    N_Vector y = N_VNew_Serial(p.n, sun), yp = N_VClone(y), f = N_VClone(y), absolute = N_VClone(y);
    SUNMatrix matrix = SUNDenseMatrix(p.n, p.n, sun);
    SUNLinearSolver linear = SUNLinSol_Dense(y, matrix, sun);
    void *ida = IDACreate(sun);
    job->calls = job->steps = 0;
    start_values(&p, y, yp, f, N_VGetArrayPointer(absolute));
    clock_t begun = clock();
    IDASetErrFile(ida, NULL);
    bool good = IDAInit(ida, residual, 0, y, yp) == IDA_SUCCESS &&
                IDASVtolerances(ida, job->tolerance, absolute) == IDA_SUCCESS &&
                IDASetUserData(ida, &p) == IDA_SUCCESS &&
                IDASetLinearSolver(ida, linear, matrix) == IDA_SUCCESS &&
                IDASetJacFn(ida, jacobian) == IDA_SUCCESS &&
                IDASetMaxNumSteps(ida, STEPS_MOST) == IDA_SUCCESS &&
                IDASetMaxNonlinIters(ida, NEWTON_MOST) == IDA_SUCCESS &&
                IDASetMaxConvFails(ida, FAILS_MOST) == IDA_SUCCESS &&
                IDASetMaxErrTestFails(ida, FAILS_MOST) == IDA_SUCCESS &&
                IDASetMaxStep(ida, period_of(job->circuit) / STEPS_PER_PERIOD) == IDA_SUCCESS &&
                march(&p, ida, y, yp);
    job->seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;
    IDAGetNumSteps(ida, &job->steps);
    IDAFree(&ida);
    SUNLinSolFree(linear);
    SUNMatDestroy(matrix);
    N_VDestroy(y);
    N_VDestroy(yp);
    N_VDestroy(f);
    N_VDestroy(absolute);
    SUNContext_Free(&sun);
    plain_free(&p);
    return good;
}
