/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "root.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <stdbool.h>

struct root {
    const struct root_bracket *bracket;
    double (*f)(double x, void *context);
    void *context;
    double last;
};

static double evaluate(double x, void *root)
{
    struct root *r = root;
    for (int i = 0; i < 2; i++)
        if (x == r->bracket->x[i]) return r->last = r->bracket->f[i];
    return r->last = r->f(x, r->context);
}

static void give_back(void *solver)
{
    gsl_root_fsolver_free(solver);
}

double root_close_in(struct arena *arena, const struct root_bracket *bracket,
                     double (*f)(double x, void *context), void *context, double close,
                     double enough, enum status *status)
{
    struct root root = {bracket, f, context, HUGE_VAL};
    gsl_function function = {evaluate, &root};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    double x = bracket->x[0];
    if (!solver) arena_exhausted(arena);
    arena_at_free(arena, give_back, solver);
    bool good =
        gsl_root_fsolver_set(solver, &function, bracket->x[0], bracket->x[1]) == GSL_SUCCESS;
    for (int i = 0; good && i < ROOT_ITERATIONS && *status == STATUS_OK; i++) {
        good = gsl_root_fsolver_iterate(solver) == GSL_SUCCESS;
        x = gsl_root_fsolver_root(solver);
        if (gsl_root_fsolver_x_upper(solver) - gsl_root_fsolver_x_lower(solver) < close ||
            fabs(root.last) <= enough)
            break;
    }
    return x;
}
