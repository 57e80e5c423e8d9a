/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step of the method of rodas5p.h: Jacobian, matrix, stages, error, dense output. The stages U
 * lie one after the other, each in one piece; f, Jacobian and df/dt at the start outlive a rejected
 * step. */
#include "rosenbrock_impl.h"

#include <math.h>
#include <string.h>

#include "lu.h"
#include "numbers.h"

static bool finite_all(int n, const double *x)
{
    for (int k = 0; k < n; k++)
        if (!isfinite(x[k])) return false;
    return true;
}

static int derivative(struct rosenbrock *s, double t, const double *y, double *f)
{
    s->stats.derivatives++;
    return s->ode->derivative(s->ode->context, t, y, f);
}

static int learn_derivative(struct rosenbrock *s)
{
    if (s->derivative_known) return 0;
    int code = derivative(s, s->time, s->y, s->derivative);
    s->derivative_known = code == 0;
    return code;
}

static int learn_jacobian(struct rosenbrock *s)
{
    if (s->jacobian_known) return 0;
    const struct ode *ode = s->ode;
    s->stats.jacobians++;
    int code = ode->prepare ? ode->prepare(ode->context, s->time, s->y, s->dfdt)
                            : ode->jacobian(ode->context, s->time, s->y, s->dfdy, s->dfdt);
    s->jacobian_known = code == 0;
    return code;
}

const double *rosenbrock_jacobian(struct rosenbrock *s)
{
    const struct ode *ode = s->ode;
    if (!ode->prepare) return learn_jacobian(s) == 0 ? s->dfdy : NULL;
    s->jacobian_known = false; /* df/dt is there, but not what `prepare` takes note of */
    return ode->jacobian(ode->context, s->time, s->y, s->dfdy, s->dfdt) == 0 ? s->dfdy : NULL;
}

static bool factor_matrix(struct rosenbrock *s, double h)
{
    int n = s->ode->n;
    if (s->ode->prepare) return s->ode->factor(s->ode->context, 1 / (h * rodas5p.gamma));
    for (int k = 0; k < n * n; k++) s->matrix[k] = -s->dfdy[k];
    for (int i = 0; i < n; i++) s->matrix[i * n + i] += 1 / (h * rodas5p.gamma);
    return lu_factor(n, s->matrix, s->pivot);
}

/* x += a u, z += c u */
static void add_stage(int n, double a, double c, const double *restrict u, double *restrict x,
                      double *restrict z)
{
    for (int k = 0; k < n; k++) {
        x[k] += a * u[k];
        z[k] += c * u[k];
    }
}

/* x += a u */
static void add(int n, double a, const double *restrict u, double *restrict x)
{
    for (int k = 0; k < n; k++) x[k] += a * u[k];
}

/* Leaves U_i in its place; sets *sane to false, and leaves off, when its state is not finite. */
static int solve_stage(struct rosenbrock *s, int i, bool *sane)
{
    const struct piece *p = s->trial;
    int n = s->ode->n;
    double h = p->length, *u = s->stage + i * n;

    memcpy(s->argument, s->y, (size_t)n * sizeof *s->argument);
    memset(s->past, 0, (size_t)n * sizeof *s->past);
    for (int j = 0; j < i; j++)
        add_stage(n, rodas5p.a[i][j], rodas5p.C[i][j] / h, s->stage + j * n, s->argument, s->past);
    *sane = finite_all(n, s->argument);
    if (!*sane) return 0;

    if (i == 0) memcpy(u, s->derivative, (size_t)n * sizeof *u);
    else {
        double t = rodas5p.c[i] == 1 ? p->end : p->start + rodas5p.c[i] * h;
        int code = derivative(s, t, s->argument, u);
        if (code) return code;
    }
    add(n, 1, s->past, u);
    if (rodas5p.d[i] != 0) add(n, h * rodas5p.d[i], s->dfdt, u);
    if (s->ode->prepare) s->ode->solve(s->ode->context, u);
    else lu_solve(n, s->matrix, s->pivot, u);
    return 0;
}

/* The norm of rosenbrock_accuracy over the tolerance. */
static double error_norm(const struct rosenbrock *s, const double *estimate)
{
    const int n = s->ode->n;
    double largest = 0;
    for (int k = 0; k < n; k++) largest = larger(largest, fabs(estimate[k]) / s->scale[k]);
    return largest / s->tolerance;
}

/* The row of the Jacobian that is not finite, or else has the greatest entry. */
static int steepest(const struct rosenbrock *s)
{
    const int n = s->ode->n;
    int row = -1;
    double largest = 0;
    for (int k = 0; k < n * n; k++) {
        if (!isfinite(s->dfdy[k])) return k / n;
        if (fabs(s->dfdy[k]) > largest) largest = fabs(s->dfdy[k]), row = k / n;
    }
    return row;
}

int rosenbrock_worst(const struct rosenbrock *s)
{
    if (s->singular && !s->ode->prepare) return steepest(s);
    const double *last = s->stage + (RODAS_STAGES - 1) * s->ode->n;
    int worst = -1;
    double largest = 0;
    for (int k = 0; k < s->ode->n; k++) {
        double share = fabs(last[k]) / s->scale[k];
        if (!isfinite(share)) return k;
        if (share > largest) largest = share, worst = k;
    }
    return worst;
}

static void finish_piece(struct rosenbrock *s)
{
    struct piece *p = s->trial;
    int n = s->ode->n;
    const double *last = s->stage + (RODAS_STAGES - 1) * n;
    memcpy(p->from, s->y, (size_t)n * sizeof *p->from);
    for (int k = 0; k < n; k++) p->to[k] = s->argument[k] + last[k];
    for (int m = 0; m < RODAS_BENDS; m++) {
        memset(p->bend[m], 0, (size_t)n * sizeof *p->bend[m]);
        for (int j = 0; j < RODAS_STAGES; j++)
            add(n, rodas5p.bend[m][j], s->stage + j * n, p->bend[m]);
    }
    s->error = finite_all(n, p->to) ? error_norm(s, last) : (double)NAN;
    if (s->ode->gauge && isfinite(s->error))
        s->error = larger(s->error, s->ode->gauge(s->ode->context, last));
}

int rosenbrock_solve(struct rosenbrock *s)
{
    s->singular = false;
    s->error = (double)NAN;
    if (!finite_all(s->ode->n, s->y)) return 0;
    int code = learn_derivative(s);
    if (code == 0) code = learn_jacobian(s);
    if (code) return code;
    s->singular = !factor_matrix(s, s->trial->length);
    if (s->singular) return 1;

    for (int i = 0; i < RODAS_STAGES; i++) {
        bool sane;
        code = solve_stage(s, i, &sane);
        if (code || !sane) return code;
    }
    finish_piece(s);
    return 0;
}

static double scaled_rms(const struct rosenbrock *s, const double *x)
{
    double sum = 0;
    for (int k = 0; k < s->ode->n; k++) sum += sq(x[k] / (s->scale[k] * s->tolerance));
    return s->ode->n ? sqrt(sum / s->ode->n) : 0;
}

/* Hairer, Norsett & Wanner, Solving Ordinary Differential Equations I, section II.4, "starting step
 * size"; for the size of y stands its range, which is there when y itself begins at zero. */
int rosenbrock_start(struct rosenbrock *s, double span, double *step)
{
    int n = s->ode->n;
    double *f = s->stage, *y = s->argument;
    *step = 1e-6 * span;
    int code = learn_derivative(s);
    if (code || !finite_all(n, s->derivative)) return code < 0 ? code : 0;

    double d0 = 1 / s->tolerance, d1 = scaled_rms(s, s->derivative);
    double h = d1 * span > 1e-5 * d0 ? smaller(0.01 * d0 / d1, span) : 1e-6 * span;
    *step = h;
    for (int k = 0; k < n; k++) y[k] = s->y[k] + h * s->derivative[k];
    if (!finite_all(n, y)) return 0;
    code = derivative(s, s->time + h, y, f);
    if (code || !finite_all(n, f)) return code < 0 ? code : 0;

    for (int k = 0; k < n; k++) f[k] -= s->derivative[k];
    double steepest = larger(d1, scaled_rms(s, f) / h);
    *step = smaller(smaller(100 * h, pow(0.01 / steepest, 0.2)), span);
    return 0;
}

void rosenbrock_interpolate(const struct piece *p, int n, double t, double *y)
{
    double x = p->length > 0 ? (t - p->start) / p->length : 0, rest = 1 - x;
    const double *k0 = p->bend[0], *k1 = p->bend[1], *k2 = p->bend[2];
    for (int k = 0; k < n; k++)
        y[k] = rest * p->from[k] + x * (p->to[k] + rest * (k0[k] + x * (k1[k] + x * k2[k])));
}
