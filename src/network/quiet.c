/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quiet.h"

#include <math.h>

#define QUIET 1e-12 /* what moves a port's volts by less is nothing */

static bool below(int n, const double *row, int but, double least)
{
    for (int j = 0; j < n; j++)
        if (j != but && fabs(row[j]) > least) return false;
    return true;
}

void quiet_find(struct arena *arena, const struct network *network, struct reduced *r)
{
    const int np = r->np, nu = r->nu;
    bool *quiet = ARENA_ARRAY(arena, bool, np);
    double *z = r->z;
    for (int k = 0; k < np; k++) {
        double ohms = fabs(z[k * np + k]);
        quiet[k] = below(np, &z[k * np], k, QUIET * ohms) && below(nu, &r->d[k * nu], -1, QUIET) &&
                   below(nu, &r->d1[k * nu], -1, QUIET);
        for (int j = 0; j < r->nw; j++) {
            const bool coil = r->w_of[j] >= network->capacitors;
            quiet[k] &= fabs(r->cv[k * r->nw + j]) <= QUIET * (coil ? ohms : 1);
        }
    }
    for (int k = 0; k < np; k++)
        for (int j = 0; j < np; j++)
            if (j != k && (quiet[k] || quiet[j])) z[k * np + j] = 0;
    r->quiet = quiet;
}
