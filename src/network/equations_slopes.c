/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The right side and its derivatives by the chain rule through the ports: with
 *
 *     r = v - Cv w - D u - D1 u' - Z i(v, s) = 0,
 *     dv = (I - Z g)^-1 (Cv dw + Z i_s ds + (D u' + D1 u'' + Z i_t) dt).
 *
 * s are the states that move; those held go along their lines and are part of t. */
#include "equations_impl.h"

#include <math.h>
#include <string.h>

#include "lu.h"
#include "numbers.h"
#include "ports.h"

/* One device state `k` that something depends on by `slope`: into the column of the state, or,
 * held, into that of time. */
static void into_row(const struct equations *eq, double *row, int k, double slope, double *by_time)
{
    if (eq->place[k] >= 0) row[eq->place[k]] += slope;
    else *by_time += slope * eq->slope[k];
}

static void device_slopes(const struct equations *eq, const struct device *d,
                          const struct equations_slopes *to)
{
    const struct reduced *r = eq->r;
    const int wide = eq->moving + 1;
    double v[DEVICE_PORTS], x[DEVICE_FOREIGN], c[EQUATIONS_PORT_ROW];
    struct device_slopes s;
    memset(&s, 0, sizeof s);
    equations_foreign(d, eq->state, x);
    equations_port_volts(eq, d, v);
    equations_port_coefficients(eq, d, c);
    d->law->slopes(d->par, v, eq->state + d->state0, x, c, &s);
    for (int p = 0; p < d->ports; p++) {
        int slot = r->port_slot[d->element[p]];
        if (slot < 0) continue;
        double *row = &to->i_s[slot * wide];
        for (int j = 0; j < d->states; j++)
            into_row(eq, row, d->state0 + j, s.i_s[p][j], &row[wide - 1]);
        for (int j = 0; j < d->foreign; j++)
            into_row(eq, row, d->foreign_state[j], s.i_x[p][j], &row[wide - 1]);
        for (int a = 0; a < d->states; a++)
            if (eq->place[d->state0 + a] >= 0)
                to->h_v[eq->place[d->state0 + a] * r->np + slot] = s.ds_v[a][p];
    }
    for (int a = 0; a < d->states; a++) {
        int place = eq->place[d->state0 + a];
        if (place < 0) continue;
        double *row = &to->by_state[place * to->stride], *by_time = &to->by_time[place];
        for (int b = 0; b < d->states; b++) into_row(eq, row, d->state0 + b, s.ds_s[a][b], by_time);
        for (int b = 0; b < d->foreign; b++)
            into_row(eq, row, d->foreign_state[b], s.ds_x[a][b], by_time);
    }
}

static void all_slopes(const struct equations *eq, const struct equations_slopes *to)
{
    const struct circuit *c = eq->circuit;
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        bool asked = d->ports == 0;
        for (int p = 0; p < d->ports; p++) asked |= eq->r->port_slot[d->element[p]] >= 0;
        if (asked && d->states + d->foreign > 0) device_slopes(eq, d, to);
    }
}

/* dv/dy and dv/dt into dv[np * (size + 1)]: (I - Z g) dv = [Cv, Z i_s, D u' + D1 u'' + Z i_t]. */
static bool port_slopes(struct equations *eq, const double *i_s, double *lu, double *dv)
{
    const struct reduced *r = eq->r;
    const int nw = r->nw, np = r->np, nu = r->nu, size = equations_size(eq), wide = size + 1,
              many = eq->moving + 1;
    for (int k = 0; k < np; k++) {
        double *row = &dv[k * wide];
        memcpy(row, &r->cv[k * nw], (size_t)nw * sizeof *row);
        memset(row + nw, 0, (size_t)many * sizeof *row);
        for (int l = 0; l < np; l++) {
            double z = r->z[k * np + l];
            if (z == 0) continue;
            for (int j = 0; j < many; j++) row[nw + j] += z * i_s[l * many + j];
        }
        row[size] +=
            equations_dot(nu, &r->d[k * nu], eq->u1) + equations_dot(nu, &r->d1[k * nu], eq->u2);
    }
    ports_matrix(eq, lu);
    if (!lu_factor(np, lu, eq->pivot)) return false;
    lu_solve_many(np, lu, eq->pivot, wide, dv);
    return true;
}

static void note_tangent(struct equations *eq, const double *dv)
{
    const size_t wide = (size_t)equations_size(eq) + 1, np = (size_t)eq->r->np;
    memcpy(eq->tangent.g, eq->g, np * sizeof *dv);
    memcpy(eq->tangent.dv, dv, np * wide * sizeof *dv);
    eq->tangent.good = true;
}

int equations_find_slopes(struct equations *eq, struct equations_slopes *to, double *dfdt)
{
    const struct reduced *r = eq->r;
    const int np = r->np, nu = r->nu, size = equations_size(eq), wide = size + 1,
              many = eq->moving + 1;
    to->dv = eq->work + np * np;
    to->i_s = to->dv + np * wide;
    to->h_v = to->i_s + np * many;
    to->by_time = dfdt + r->nw;
    memset(to->i_s, 0, (size_t)(np * (many + eq->moving)) * sizeof *to->i_s);
    memset(dfdt, 0, (size_t)size * sizeof *dfdt);
    for (int a = 0; a < r->nw; a++)
        dfdt[a] =
            equations_dot(nu, &r->b[a * nu], eq->u1) + equations_dot(nu, &r->b1[a * nu], eq->u2);
    all_slopes(eq, to);
    if (np == 0) return 0;
    if (!port_slopes(eq, to->i_s, eq->work, to->dv)) return 1;
    note_tangent(eq, to->dv);
    for (int s = 0; s < eq->moving; s++)
        for (int k = 0; k < np; k++)
            dfdt[r->nw + s] += to->h_v[s * np + k] * to->dv[k * wide + size];
    return 0;
}

void equations_slopes_amperes(const struct equations *eq, const struct equations_slopes *of,
                              double *dfdt)
{
    const struct reduced *r = eq->r;
    const int nw = r->nw, np = r->np, size = equations_size(eq), wide = size + 1,
              many = eq->moving + 1;
    for (int k = 0; k < np; k++) {
        double *row = &of->dv[k * wide], g = eq->g[k];
        for (int j = 0; j < wide; j++) row[j] *= g;
        for (int j = 0; j < many; j++) row[nw + j] += of->i_s[k * many + j];
    }
    for (int a = 0; a < nw; a++)
        for (int k = 0; k < np; k++) dfdt[a] += r->e[a * np + k] * of->dv[k * wide + size];
}

int equations_jacobian(struct equations *eq, double t, const double *y, double *dfdy, double *dfdt)
{
    const struct reduced *r = eq->r;
    const int nw = r->nw, np = r->np, size = equations_size(eq), wide = size + 1;
    struct equations_slopes to = {.by_state = &dfdy[nw * size + nw], .stride = size};
    if (equations_solve(eq, t, y)) return 1;
    memset(dfdy, 0, (size_t)size * (size_t)size * sizeof *dfdy);
    for (int a = 0; a < nw; a++) memcpy(&dfdy[a * size], &r->a[a * nw], (size_t)nw * sizeof *dfdy);
    if (equations_find_slopes(eq, &to, dfdt)) return 1;
    for (int s = 0; s < eq->moving; s++)
        for (int k = 0; k < np; k++) {
            double h = to.h_v[s * np + k];
            for (int j = 0; h != 0 && j < size; j++)
                dfdy[(nw + s) * size + j] += h * to.dv[k * wide + j];
        }
    equations_slopes_amperes(eq, &to, dfdt);
    for (int a = 0; a < nw; a++)
        for (int k = 0; k < np; k++) {
            double e = r->e[a * np + k];
            for (int j = 0; e != 0 && j < size; j++) dfdy[a * size + j] += e * to.dv[k * wide + j];
        }
    return 0;
}

double equations_volts_error(struct equations *eq, const double *off)
{
    const struct reduced *r = eq->r;
    const int size = equations_size(eq), ports = r->nw + 2 * r->nu;
    double *by_port = eq->work, most = 0;
    for (int k = 0; k < r->np; k++) {
        by_port[k] = 0;
        if (!eq->tangent.good || eq->tangent.g[k] == 0) continue;
        double v = equations_dot(size, &eq->tangent.dv[k * (size + 1)], off);
        by_port[k] = eq->tangent.g[k] * v;
        most = larger(most, fabs(v));
    }
    for (int p = 0; p < eq->circuit->points.n; p++) {
        const double *row = equations_row(eq, r, OUTPUT_POTENTIAL, p);
        double v = dot_wide(r->modal, row, off) +
                   equations_dot(r->nw - r->modal, row + r->modal, off + r->modal) +
                   equations_dot(r->np, row + ports, by_port);
        most = larger(most, fabs(v));
    }
    return most;
}
