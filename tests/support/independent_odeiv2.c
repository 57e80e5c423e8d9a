/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A foreign integrator on the same reduced equations. Events: when a gate function is above zero at the end of a step, the step is taken
 * again and halved until the crossing is enclosed to 1e-12 of a period. */
#include <math.h>
#include <string.h>
#include <time.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

#include "equations.h"
#include "independent.h"
#include "numbers.h"

struct foreign {
    const struct network *network;
    struct equations *eq;
    struct reductions *reductions;
    const gsl_odeiv2_step_type *type;
    gsl_odeiv2_system system;
    gsl_odeiv2_driver *driver;
    double *y, *before, *scale;
    double t, period, tolerance;
    long calls, steps;
};

static int derivative(double t, const double *y, double *f, void *context)
{
    struct foreign *x = context;
    x->calls++;
    return equations_derivative(x->eq, t, y, f) ? GSL_EBADFUNC : GSL_SUCCESS;
}

static int jacobian(double t, const double *y, double *dfdy, double *dfdt, void *context)
{
    struct foreign *x = context;
    return equations_jacobian(x->eq, t, y, dfdy, dfdt) ? GSL_EBADFUNC : GSL_SUCCESS;
}

static void full(const struct foreign *x, const double *y, double *out)
{
    const struct reduced *r = x->eq->r;
    for (int k = 0; k < r->ny; k++) {
        out[k] = 0;
        for (int j = 0; j < r->nw; j++) out[k] += r->q[k * r->nw + j] * y[j];
        for (int j = 0; j < r->nu; j++) out[k] += r->yu[k * r->nu + j] * x->eq->u[j];
    }
}

static void enter(struct foreign *x, pattern_t pattern)
{
    double values[64] = {0}, charge;
    const struct reduced *old = x->eq->r, *r = reductions_get(x->reductions, pattern);
    equations_sources(x->eq, x->t);
    full(x, x->y, values);
    memmove(x->y + r->nw, x->y + old->nw, (size_t)x->eq->ns * sizeof *x->y);
    for (int i = 0; i < r->nw; i++) {
        x->y[i] = 0;
        for (int k = 0; k < r->ny; k++) {
            charge = x->network->stored_by[k] * values[k];
            for (int j = 0; j < r->nu; j++)
                charge -= x->network->stored_by[k] * r->yu[k * r->nu + j] * x->eq->u[j];
            x->y[i] += r->take[i * r->ny + k] * charge;
        }
    }
    equations_pattern(x->eq, r);
    for (int i = 0; i < r->nw; i++) x->scale[i] = r->w_of[i] < x->network->capacitors ? 300 : 0.1;
    for (int k = 0; k < x->eq->ns; k++) x->scale[r->nw + k] = x->network->circuit->states.at[k].range;
    if (x->driver) gsl_odeiv2_driver_free(x->driver);
    x->system = (gsl_odeiv2_system){derivative, jacobian, (size_t)equations_size(x->eq), x};
    x->driver = gsl_odeiv2_driver_alloc_scaled_new(&x->system, x->type, x->period * 1e-4, x->tolerance, 0, 1, 0,
                                                   x->scale);
    gsl_odeiv2_driver_set_hmax(x->driver, x->period / 16);
}

/* Gates that want to change at the present instant. */
static pattern_t wanting(struct foreign *x)
{
    pattern_t want = 0;
    equations_solve(x->eq, x->t, x->y);
    for (int g = 0; g < x->network->circuit->gates; g++)
        if (equations_gate(x->eq, g, x->y) > 0) want |= (pattern_t)1 << g;
    return want;
}

static bool apply(struct foreign *x, double to)
{
    return gsl_odeiv2_driver_apply(x->driver, &x->t, to, x->y) == GSL_SUCCESS;
}

/* From x->t to `to` through events. */
static bool cross(struct foreign *x, double to)
{
    const size_t room = (size_t)(equations_size(x->eq) + 8) * sizeof *x->y;
    double h = x->period / 64;
    while (x->t < to) {
        double start = x->t, end = smaller(to, start + h);
        memcpy(x->before, x->y, room);
        if (!apply(x, end)) return false;
        x->steps++;
        if (!wanting(x)) continue;
        double low = start, high = end;
        while (high - low > 1e-12 * x->period) {
            double middle = (low + high) / 2;
            memcpy(x->y, x->before, room);
            x->t = start;
            gsl_odeiv2_driver_reset_hstart(x->driver, (middle - start) / 8);
            if (!apply(x, middle)) return false;
            *(wanting(x) ? &high : &low) = middle;
        }
        memcpy(x->y, x->before, room);
        x->t = start;
        gsl_odeiv2_driver_reset_hstart(x->driver, (high - start) / 8);
        if (!apply(x, high)) return false;
        enter(x, x->eq->r->pattern ^ wanting(x));
    }
    return true;
}

bool independent_odeiv2(const struct circuit *c, const char *stepper, bool hot, double stop, double every,
                        double tolerance, independent_observer *observe, void *context,
                        struct independent_cost *cost)
{
    const struct { const char *name; const gsl_odeiv2_step_type *type; } types[] = {
        {"msbdf", gsl_odeiv2_step_msbdf}, {"rk8pd", gsl_odeiv2_step_rk8pd}, {"bsimp", gsl_odeiv2_step_bsimp}};
    struct arena *arena = arena_new();
    struct foreign x = {.network = network_new(arena, c), .tolerance = tolerance, .period = 1 / 60.0};
    double values[64];
    for (size_t k = 0; k < sizeof types / sizeof types[0]; k++)
        if (strcmp(types[k].name, stepper) == 0) x.type = types[k].type;
    for (int k = 0; k < c->waveforms.n; k++)
        if (c->waveforms.at[k].frequency > 0) x.period = 1 / c->waveforms.at[k].frequency;
    x.eq = equations_new(arena, x.network);
    x.reductions = reductions_new(arena, x.network);
    x.y = ARENA_ARRAY(arena, double, 128);
    x.before = ARENA_ARRAY(arena, double, 128);
    x.scale = ARENA_ARRAY(arena, double, 128);
    pattern_t first = 0;
    for (int g = 0; g < c->gates; g++)
        if (c->elements.at[x.network->gate_element[g]].starts_closed) first |= (pattern_t)1 << g;
    static const struct reduced nothing = {0};
    x.eq->r = &nothing;
    for (int k = 0; k < c->states.n; k++) x.y[k] = hot ? c->states.at[k].hot : c->states.at[k].cold;
    clock_t begun = clock();
    enter(&x, first);
    bool good = true;
    for (long k = 1; good && (double)k * every <= stop * (1 + 1e-12); k++) {
        good = cross(&x, (double)k * every);
        equations_solve(x.eq, x.t, x.y);
        full(&x, x.y, values);
        if (good) observe(context, x.t, values);
    }
    cost->seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;
    cost->steps = x.steps;
    cost->residuals = x.calls;
    gsl_odeiv2_driver_free(x.driver);
    arena_free(arena);
    return good;
}
