/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The right side and its derivatives by the chain rule through the ports: with r = v - Cv w - D u -
 * D1 u' - Z i(v, s) = 0, dv = (I - Z g)^-1 (Cv dw + Z i_s ds + (D u' + D1 u'') dt). */
#include "equations.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "lu.h"
#include "numbers.h"
#include "ports.h"

struct equations *equations_new(struct arena *arena, const struct network *network)
{
    struct equations *eq = ARENA_NEW(arena, struct equations);
    const struct circuit *c = network->circuit;
    int ports = 0, nu = network->inputs, ny = network->capacitors + network->inductors;
    for (int k = 0; k < c->devices.n; k++) ports += c->devices.at[k].ports;
    eq->network = network;
    eq->circuit = c;
    eq->ns = c->states.n;
    eq->lit = ARENA_ARRAY(arena, double, c->gates);
    for (int k = 0; k < c->gates; k++) eq->lit[k] = -HUGE_VAL;
    eq->u = ARENA_ARRAY(arena, double, nu);
    eq->u1 = ARENA_ARRAY(arena, double, nu);
    eq->u2 = ARENA_ARRAY(arena, double, nu);
    eq->v = ARENA_ARRAY(arena, double, ports);
    eq->i = ARENA_ARRAY(arena, double, ports);
    eq->g = ARENA_ARRAY(arena, double, ports);
    eq->c = ARENA_ARRAY(arena, double, ports *PORT_COEFFICIENTS);
    eq->column = ARENA_ARRAY(arena, double, ny + 2 * nu + ports);
    eq->solved.y = ARENA_ARRAY(arena, double, ny + eq->ns);
    int wide = ny + eq->ns + 1;
    eq->work = ARENA_ARRAY(arena, double, ports *(3 * ports + 6 + 3 * wide));
    eq->pivot = ARENA_ARRAY(arena, int, ports);
    eq->straight = ARENA_ARRAY(arena, int, ports);
    eq->bent = ARENA_ARRAY(arena, int, ports);
    return eq;
}

void equations_pattern(struct equations *eq, const struct reduced *r)
{
    assert(!r->fault);
    /* ports that stay keep their volts as the first guess */
    double *was = eq->work;
    for (int k = 0; k < r->np; k++) {
        int slot = eq->r && eq->r->port_slot ? eq->r->port_slot[r->port_element[k]] : -1;
        was[k] = slot >= 0 ? eq->v[slot] : 0;
    }
    eq->r = r;
    eq->solved.good = false;
    eq->straights = eq->bents = 0;
    for (int k = 0; k < r->np; k++) {
        eq->v[k] = was[k];
        eq->i[k] = 0;
        const struct device *d =
            &eq->circuit->devices.at[eq->circuit->elements.at[r->port_element[k]].group];
        /* without volts no current, but for what a field stores */
        if (r->quiet[k] && d->law->straight && !d->law->stored) eq->v[k] = eq->g[k] = 0;
        else if (d->law->straight) eq->straight[eq->straights++] = k;
        else eq->bent[eq->bents++] = k;
    }
}

int equations_size(const struct equations *eq)
{
    return eq->r->nw + eq->ns;
}

void equations_sources(struct equations *eq, double t)
{
    const struct circuit *c = eq->circuit;
    eq->solved.good = false;
    for (int k = 0; k < c->waveforms.n; k++) {
        const struct waveform *w = &c->waveforms.at[k];
        double when = (w->kind == WAVEFORM_SQUARE ? eq->between : t) + eq->shift;
        waveform_at(w, when, &eq->u[k], &eq->u1[k], &eq->u2[k]);
    }
    eq->u[c->waveforms.n] = 1;
}

static void foreign(const struct device *d, const double *s, double *x)
{
    for (int k = 0; k < d->foreign; k++) x[k] = s[d->foreign_state[k]];
}

static void prepare(struct equations *eq, const double *s)
{
    double x[DEVICE_FOREIGN], c[DEVICE_PORTS * PORT_COEFFICIENTS];
    for (int k = 0; k < eq->circuit->devices.n; k++) {
        const struct device *d = &eq->circuit->devices.at[k];
        foreign(d, s, x);
        bool here = false;
        for (int p = 0; p < d->ports; p++) here |= eq->r->port_slot[d->element[p]] >= 0;
        if (!here) continue;
        d->law->prepare(d->par, s + d->state0, x, c);
        for (int p = 0; p < d->ports; p++) {
            int slot = eq->r->port_slot[d->element[p]];
            if (slot >= 0)
                memcpy(&eq->c[slot * PORT_COEFFICIENTS], &c[p * PORT_COEFFICIENTS],
                       sizeof c / DEVICE_PORTS);
        }
    }
}

/* The end of a step is asked for by meter, derivative and Jacobian in turn. */
static bool known(const struct equations *eq, double t, const double *y)
{
    return eq->solved.good && eq->t == t && eq->solved.shift == eq->shift &&
           eq->solved.between == eq->between &&
           memcmp(eq->solved.y, y, (size_t)equations_size(eq) * sizeof *y) == 0;
}

int equations_solve(struct equations *eq, double t, const double *y)
{
    const struct reduced *r = eq->r;
    if (known(eq, t, y)) return 0;
    eq->t = t;
    equations_sources(eq, t);
    prepare(eq, y + r->nw);
    if (r->np && ports_solve(eq, y)) return 1;
    double *x = eq->column;
    memcpy(x, y, (size_t)r->nw * sizeof *x);
    memcpy(x + r->nw, eq->u, (size_t)r->nu * sizeof *x);
    memcpy(x + r->nw + r->nu, eq->u1, (size_t)r->nu * sizeof *x);
    memcpy(x + r->nw + 2 * r->nu, eq->i, (size_t)r->np * sizeof *x);
    eq->solved.good = true;
    eq->solved.shift = eq->shift;
    eq->solved.between = eq->between;
    memcpy(eq->solved.y, y, (size_t)equations_size(eq) * sizeof *y);
    return 0;
}

static void port_volts(const struct equations *eq, const struct device *d, double *v)
{
    for (int p = 0; p < d->ports; p++) {
        int slot = eq->r->port_slot[d->element[p]];
        v[p] = slot >= 0 ? eq->v[slot] : 0;
    }
}

static void port_coefficients(const struct equations *eq, const struct device *d, double *c)
{
    for (int p = 0; p < d->ports; p++) {
        int slot = eq->r->port_slot[d->element[p]];
        if (slot >= 0)
            memcpy(&c[p * PORT_COEFFICIENTS], &eq->c[slot * PORT_COEFFICIENTS],
                   PORT_COEFFICIENTS * sizeof *c);
    }
}

int equations_derivative(struct equations *eq, double t, const double *y, double *f)
{
    const struct reduced *r = eq->r;
    if (equations_solve(eq, t, y)) return 1;
    for (int k = 0; k < r->nw; k++) {
        double sum = 0;
        for (int j = 0; j < r->nw; j++) sum += r->a[k * r->nw + j] * y[j];
        for (int j = 0; j < r->nu; j++)
            sum += r->b[k * r->nu + j] * eq->u[j] + r->b1[k * r->nu + j] * eq->u1[j];
        for (int j = 0; j < r->np; j++) sum += r->e[k * r->np + j] * eq->i[j];
        f[k] = sum;
    }
    double v[DEVICE_PORTS], c[DEVICE_PORTS * PORT_COEFFICIENTS];
    for (int k = 0; k < eq->circuit->devices.n; k++) {
        const struct device *d = &eq->circuit->devices.at[k];
        if (!d->states) continue;
        port_volts(eq, d, v);
        port_coefficients(eq, d, c);
        d->law->rates(d->par, v, y + r->nw + d->state0, c, f + r->nw + d->state0);
    }
    return 0;
}

/* i_s[np*ns]: d port current / d device state at constant port volts; also the device's own rows of
 * dfdy. */
static void device_slopes(const struct equations *eq, const double *s, double *i_s, double *h_v,
                          double *dfdy, int size)
{
    const struct reduced *r = eq->r;
    double v[DEVICE_PORTS], x[DEVICE_FOREIGN], c[DEVICE_PORTS * PORT_COEFFICIENTS];
    for (int k = 0; k < eq->circuit->devices.n; k++) {
        const struct device *d = &eq->circuit->devices.at[k];
        struct device_slopes slopes;
        memset(&slopes, 0, sizeof slopes);
        foreign(d, s, x);
        port_volts(eq, d, v);
        port_coefficients(eq, d, c);
        bool here = d->ports == 0 || eq->r->port_slot[d->element[0]] >= 0;
        if (here) d->law->slopes(d->par, v, s + d->state0, x, c, &slopes);
        for (int p = 0; p < d->ports; p++) {
            int slot = r->port_slot[d->element[p]];
            if (slot < 0) continue;
            for (int j = 0; j < d->states; j++)
                i_s[slot * eq->ns + d->state0 + j] += slopes.i_s[p][j];
            for (int j = 0; j < d->foreign; j++)
                i_s[slot * eq->ns + d->foreign_state[j]] += slopes.i_x[p][j];
            for (int j = 0; j < d->states; j++)
                h_v[(d->state0 + j) * r->np + slot] = slopes.ds_v[j][p];
        }
        for (int a = 0; a < d->states; a++) {
            double *row = &dfdy[(r->nw + d->state0 + a) * size + r->nw];
            for (int b = 0; b < d->states; b++) row[d->state0 + b] = slopes.ds_s[a][b];
            for (int b = 0; b < d->foreign; b++) row[d->foreign_state[b]] += slopes.ds_x[a][b];
        }
    }
}

int equations_jacobian(struct equations *eq, double t, const double *y, double *dfdy, double *dfdt)
{
    const struct reduced *r = eq->r;
    const int nw = r->nw, np = r->np, nu = r->nu, ns = eq->ns, size = nw + ns, wide = size + 1;
    if (equations_solve(eq, t, y)) return 1;
    memset(dfdy, 0, (size_t)size * (size_t)size * sizeof *dfdy);
    memset(dfdt, 0, (size_t)size * sizeof *dfdt);
    for (int a = 0; a < nw; a++) {
        memcpy(&dfdy[a * size], &r->a[a * nw], (size_t)nw * sizeof *dfdy);
        for (int j = 0; j < nu; j++)
            dfdt[a] += r->b[a * nu + j] * eq->u1[j] + r->b1[a * nu + j] * eq->u2[j];
    }
    double *lu = eq->work, *dv = lu + np * np, *i_s = dv + np * wide, *h_v = i_s + np * ns;
    memset(i_s, 0, (size_t)(2 * np * ns) * sizeof *i_s);
    device_slopes(eq, y + nw, i_s, h_v, dfdy, size);
    if (np == 0) return 0;
    /* dv/dy and dv/dt: (I - Z g) dv = [Cv, Z i_s, D u' + D1 u''] */
    for (int k = 0; k < np; k++) {
        double *row = &dv[k * wide], dt = 0;
        memcpy(row, &r->cv[k * nw], (size_t)nw * sizeof *row);
        memset(row + nw, 0, (size_t)(ns + 1) * sizeof *row);
        for (int l = 0; l < np; l++) {
            double z = r->z[k * np + l];
            for (int j = 0; j < ns; j++) row[nw + j] += z * i_s[l * ns + j];
        }
        for (int j = 0; j < nu; j++)
            dt += r->d[k * nu + j] * eq->u1[j] + r->d1[k * nu + j] * eq->u2[j];
        row[size] = dt;
    }
    ports_matrix(eq, lu);
    if (!lu_factor(np, lu, eq->pivot)) return 1;
    lu_solve_many(np, lu, eq->pivot, wide, dv);
    for (int s = 0; s < ns; s++)
        for (int k = 0; k < np; k++) {
            double h = h_v[s * np + k];
            if (h == 0) continue;
            for (int j = 0; j < size; j++) dfdy[(nw + s) * size + j] += h * dv[k * wide + j];
            dfdt[nw + s] += h * dv[k * wide + size];
        }
    /* di = i_s + g dv, then the network's rows */
    for (int k = 0; k < np; k++) {
        double *row = &dv[k * wide], g = eq->g[k];
        for (int j = 0; j < wide; j++) row[j] *= g;
        for (int j = 0; j < ns; j++) row[nw + j] += i_s[k * ns + j];
    }
    for (int a = 0; a < nw; a++)
        for (int k = 0; k < np; k++) {
            double e = r->e[a * np + k];
            if (e == 0) continue;
            for (int j = 0; j < size; j++) dfdy[a * size + j] += e * dv[k * wide + j];
            dfdt[a] += e * dv[k * wide + size];
        }
    return 0;
}

static double row_value(const struct equations *eq, int row)
{
    const int n = eq->r->columns;
    const double *out = &eq->r->out[(size_t)row * (size_t)n];
    double sum = 0;
    for (int j = 0; j < n; j++) sum += out[j] * eq->column[j];
    return sum;
}

double equations_output(const struct equations *eq, enum output what, int index)
{
    const int elements = eq->circuit->elements.n;
    return row_value(eq, index + (what == OUTPUT_CURRENT     ? elements
                                  : what == OUTPUT_POTENTIAL ? 2 * elements
                                                             : 0));
}

/* Column by column: every sum is that of row_value, and they need not wait for one another. */
void equations_outputs(const struct equations *eq, double *restrict out)
{
    const int rows = 2 * eq->circuit->elements.n + eq->circuit->points.n;
    memset(out, 0, (size_t)rows * sizeof *out);
    for (int j = 0; j < eq->r->columns; j++) {
        const double *restrict column = &eq->r->out_turned[(size_t)j * (size_t)rows];
        const double x = eq->column[j];
        for (int k = 0; k < rows; k++) out[k] += column[k] * x;
    }
}

double equations_gate(const struct equations *eq, int gate, const double *y)
{
    int k = eq->network->gate_element[gate];
    const struct element *e = &eq->circuit->elements.at[k];
    bool on = eq->r->pattern >> gate & 1u;
    if (e->kind == ELEMENT_SWITCH) {
        if (!e->trips || on != e->starts_closed) return -1;
        return (e->trip_state < 0 ? eq->t : y[eq->r->nw + e->trip_state]) - e->trip_value;
    }
    if (e->kind == ELEMENT_PORT) {
        if (on) return -eq->v[eq->r->port_slot[k]];
        return equations_output(eq, OUTPUT_VOLTS, k);
    }
    if (on) return -equations_output(eq, OUTPUT_CURRENT, k);
    double start = eq->t <= eq->lit[gate] ? e->threshold : e->start;
    double over = equations_output(eq, OUTPUT_VOLTS, k) - start;
    if (e->ready_state < 0) return over;
    return smaller(over, y[eq->r->nw + e->ready_state] - e->ready_value);
}
