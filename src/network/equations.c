/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The right side and its derivatives by the chain rule through the ports: with
 *
 *     r = v - Cv w - D u - D1 u' - Z i(v, s) = 0,
 *     dv = (I - Z g)^-1 (Cv dw + Z i_s ds + (D u' + D1 u'' + Z i_t) dt).
 *
 * s are the states that move; those held go along their lines and are part of t. */
#include "equations.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "lu.h"
#include "numbers.h"
#include "ports.h"

enum { PORT_ROW = DEVICE_PORTS * PORT_COEFFICIENTS };

/* --- making --- */

struct equations *equations_new(struct arena *arena, const struct network *network)
{
    struct equations *eq = ARENA_NEW(arena, struct equations);
    const struct circuit *c = network->circuit;
    int ports = 0, nu = network->inputs, ny = network->capacitors + network->inductors;
    for (int k = 0; k < c->devices.n; k++) ports += c->devices.at[k].ports;
    eq->network = network;
    eq->circuit = c;
    eq->ns = c->states.n;
    const int wide = ny + eq->ns + 1;
    const int each = ports * PORT_COEFFICIENTS;
    const struct {
        double **row;
        int length;
    } rows[] = {{&eq->state, eq->ns},
                {&eq->from, eq->ns},
                {&eq->slope, eq->ns},
                {&eq->solved.y, wide},
                {&eq->u, nu},
                {&eq->u1, nu},
                {&eq->u2, nu},
                {&eq->lit, c->gates},
                {&eq->was, c->elements.n},
                {&eq->v, ports},
                {&eq->i, ports},
                {&eq->g, ports},
                {&eq->c, each},
                {&eq->line[0], each},
                {&eq->line[1], each},
                {&eq->device_line[0], c->devices.n * PORT_ROW},
                {&eq->device_line[1], c->devices.n * PORT_ROW},
                {&eq->tangent.y, wide},
                {&eq->tangent.v, ports},
                {&eq->tangent.g, ports},
                {&eq->tangent.dv, ports * wide},
                {&eq->column, ny + 2 * nu + ports}};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        *rows[k].row = ARENA_ARRAY(arena, double, rows[k].length);
    for (int k = 0; k < c->gates; k++) eq->lit[k] = -HUGE_VAL;
    eq->moves = ARENA_ARRAY(arena, int, eq->ns);
    eq->sees = ARENA_ARRAY(arena, int, eq->ns);
    eq->place = ARENA_ARRAY(arena, int, eq->ns);
    eq->work = ARENA_ARRAY(arena, double, ports *(3 * ports + 6 + 3 * wide));
    eq->pivot = ARENA_ARRAY(arena, int, ports);
    eq->straight = ARENA_ARRAY(arena, int, ports);
    eq->bent = ARENA_ARRAY(arena, int, ports);
    eq->use = ARENA_ARRAY(arena, struct port_use, ports);
    eq->lined_slot = ARENA_ARRAY(arena, int, ports);
    eq->active_device = ARENA_ARRAY(arena, int, c->devices.n);
    eq->rated_device = ARENA_ARRAY(arena, int, c->devices.n);
    equations_hold(eq, 0, 1, NULL, NULL, NULL);
    return eq;
}

/* --- what moves --- */

static void foreign(const struct device *d, const double *s, double *x)
{
    for (int k = 0; k < d->foreign; k++) x[k] = s[d->foreign_state[k]];
}

/* Whether all that the coefficients of a device look at is held. */
static bool at_rest(const struct equations *eq, const struct device *d)
{
    for (int k = 0; k < d->states; k++)
        if (eq->place[d->state0 + k] >= 0) return false;
    for (int k = 0; k < d->foreign; k++)
        if (eq->place[d->foreign_state[k]] >= 0) return false;
    return true;
}

/* Coefficients of the devices at rest at the begin of the span, and their slopes over it. */
static void lay_lines(struct equations *eq, double span)
{
    double x[DEVICE_FOREIGN];
    for (int k = 0; k < eq->circuit->devices.n; k++) {
        const struct device *d = &eq->circuit->devices.at[k];
        double *c0 = &eq->device_line[0][k * PORT_ROW], *c1 = &eq->device_line[1][k * PORT_ROW];
        if (!at_rest(eq, d)) continue;
        foreign(d, eq->from, x);
        d->law->prepare(d->par, eq->from + d->state0, x, c0);
        memset(c1, 0, PORT_ROW * sizeof *c1);
        if (d->states + d->foreign == 0) continue;
        for (int j = 0; j < eq->ns; j++) eq->state[j] = eq->from[j] + eq->slope[j] * span;
        foreign(d, eq->state, x);
        d->law->prepare(d->par, eq->state + d->state0, x, c1);
        for (int j = 0; j < d->ports * PORT_COEFFICIENTS; j++)
            c1[j] = c1[j] == c0[j] ? 0 : (c1[j] - c0[j]) / span;
    }
}

static void see_state(struct equations *eq, int k)
{
    for (int j = 0; j < eq->seen; j++)
        if (eq->sees[j] == k) return;
    if (k >= 0 && eq->place[k] < 0) eq->sees[eq->seen++] = k;
}

/* Held states that the instant's laws and gates look at. */
static void see_states(struct equations *eq)
{
    const struct circuit *c = eq->circuit;
    eq->seen = 0;
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        if (d->states + d->foreign == 0 || (d->law->straight && at_rest(eq, d))) continue;
        for (int j = 0; j < d->states; j++) see_state(eq, d->state0 + j);
        for (int j = 0; j < d->foreign; j++) see_state(eq, d->foreign_state[j]);
    }
    for (int g = 0; g < c->gates; g++) {
        const struct element *e = &c->elements.at[eq->network->gate_element[g]];
        if (e->kind == ELEMENT_SWITCH && e->trips) see_state(eq, e->trip_state);
        if (e->kind == ELEMENT_RECTIFIER) see_state(eq, e->ready_state);
    }
}

/* Ports that stay keep their volts as the first guess. */
static void remember_volts(struct equations *eq)
{
    for (int k = 0; eq->r && k < eq->circuit->elements.n; k++) eq->was[k] = 0;
    for (int k = 0; eq->r && k < eq->r->np; k++) eq->was[eq->r->port_element[k]] = eq->v[k];
}

void equations_hold(struct equations *eq, double t, double span, const bool *held,
                    const double *state, const double *slope)
{
    remember_volts(eq);
    eq->moving = 0;
    eq->origin = t;
    eq->r = NULL;
    eq->solved.good = eq->tangent.good = false;
    for (int k = 0; k < eq->ns; k++) {
        eq->place[k] = -1;
        if (held && held[k]) {
            eq->from[k] = state[k];
            eq->slope[k] = slope[k];
            continue;
        }
        eq->from[k] = eq->slope[k] = 0;
        eq->place[k] = eq->moving;
        eq->moves[eq->moving++] = k;
    }
    lay_lines(eq, span);
    see_states(eq);
}

void equations_states(const struct equations *eq, double t, const double *y, double *state)
{
    const double *s = y + eq->r->nw, since = t - eq->origin;
    for (int k = 0; k < eq->ns; k++)
        state[k] = eq->place[k] < 0 ? eq->from[k] + eq->slope[k] * since : s[eq->place[k]];
}

static void sort_devices(struct equations *eq)
{
    eq->active = eq->rated = eq->lined = 0;
    for (int k = 0; k < eq->circuit->devices.n; k++) {
        const struct device *d = &eq->circuit->devices.at[k];
        bool here = false, rest = at_rest(eq, d), moves = false;
        for (int p = 0; p < d->ports; p++) {
            int slot = eq->r->port_slot[d->element[p]];
            if (slot < 0) continue;
            here = true;
            if (!rest) continue;
            for (int j = 0; j < 2; j++)
                memcpy(&eq->line[j][slot * PORT_COEFFICIENTS],
                       &eq->device_line[j][k * PORT_ROW + p * PORT_COEFFICIENTS],
                       PORT_COEFFICIENTS * sizeof *eq->c);
            eq->lined_slot[eq->lined++] = slot;
        }
        for (int j = 0; j < d->states; j++) moves |= eq->place[d->state0 + j] >= 0;
        if (here && !rest) eq->active_device[eq->active++] = k;
        if (moves) eq->rated_device[eq->rated++] = k;
    }
}

void equations_pattern(struct equations *eq, const struct reduced *r)
{
    assert(!r->fault);
    remember_volts(eq);
    eq->r = r;
    eq->solved.good = eq->tangent.good = false;
    eq->straights = eq->bents = 0;
    for (int k = 0; k < r->np; k++) {
        eq->v[k] = eq->was[r->port_element[k]];
        eq->i[k] = 0;
        const struct element *e = &eq->circuit->elements.at[r->port_element[k]];
        const struct device *d = &eq->circuit->devices.at[e->group];
        eq->use[k] = (struct port_use){d->law->current, d->par, e->port};
        /* without volts no current, but for what a field stores */
        if (r->quiet[k] && d->law->straight && !d->law->stored) eq->v[k] = eq->g[k] = 0;
        else if (d->law->straight) eq->straight[eq->straights++] = k;
        else eq->bent[eq->bents++] = k;
    }
    sort_devices(eq);
}

int equations_size(const struct equations *eq)
{
    return eq->r->nw + eq->moving;
}

void equations_sources(struct equations *eq, double t)
{
    const struct circuit *c = eq->circuit;
    eq->solved.good = false;
    for (int k = 0; k < c->waveforms.n; k++) {
        const struct waveform *w = &c->waveforms.at[k];
        double when = (w->kind == WAVEFORM_SQUARE ? eq->between : t) + eq->shift;
        circuit_waveform_at(w, when, &eq->u[k], &eq->u1[k], &eq->u2[k]);
    }
    eq->u[c->waveforms.n] = 1;
}

/* --- one instant --- */

/* Those that move, and those held ones that something looks at. */
static void look_at_states(struct equations *eq, double t, const double *moving)
{
    const double since = t - eq->origin;
    for (int k = 0; k < eq->moving; k++) eq->state[eq->moves[k]] = moving[k];
    for (int j = 0; j < eq->seen; j++) {
        int k = eq->sees[j];
        eq->state[k] = eq->from[k] + eq->slope[k] * since;
    }
}

static void prepare(struct equations *eq, double t)
{
    double x[DEVICE_FOREIGN], c[PORT_ROW];
    const double since = t - eq->origin;
    for (int k = 0; k < eq->lined; k++)
        for (int j = eq->lined_slot[k] * PORT_COEFFICIENTS, n = 0; n < PORT_COEFFICIENTS; n++, j++)
            eq->c[j] = eq->line[0][j] + eq->line[1][j] * since;
    for (int k = 0; k < eq->active; k++) {
        const struct device *d = &eq->circuit->devices.at[eq->active_device[k]];
        foreign(d, eq->state, x);
        d->law->prepare(d->par, eq->state + d->state0, x, c);
        for (int p = 0; p < d->ports; p++) {
            int slot = eq->r->port_slot[d->element[p]];
            if (slot >= 0)
                memcpy(&eq->c[slot * PORT_COEFFICIENTS], &c[p * PORT_COEFFICIENTS],
                       PORT_COEFFICIENTS * sizeof *c);
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
    look_at_states(eq, t, y + r->nw);
    prepare(eq, t);
    double *x = eq->column;
    memcpy(x, y, (size_t)r->nw * sizeof *x);
    memcpy(x + r->nw, eq->u, (size_t)r->nu * sizeof *x);
    memcpy(x + r->nw + r->nu, eq->u1, (size_t)r->nu * sizeof *x);
    if (r->np && ports_solve(eq, y)) return 1;
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

static double dot(int n, const double *a, const double *b)
{
    double sum = 0;
    for (int j = 0; j < n; j++) sum += a[j] * b[j];
    return sum;
}

int equations_derivative(struct equations *eq, double t, const double *y, double *f)
{
    const struct reduced *r = eq->r;
    if (equations_solve(eq, t, y)) return 1;
    for (int k = 0; k < r->nw; k++) f[k] = dot(r->columns, &r->rate[k * r->columns], eq->column);
    double v[DEVICE_PORTS], c[PORT_ROW], ds[DEVICE_STATES];
    for (int k = 0; k < eq->rated; k++) {
        const struct device *d = &eq->circuit->devices.at[eq->rated_device[k]];
        port_volts(eq, d, v);
        port_coefficients(eq, d, c);
        d->law->rates(d->par, v, eq->state + d->state0, c, ds);
        for (int j = 0; j < d->states; j++)
            if (eq->place[d->state0 + j] >= 0) f[r->nw + eq->place[d->state0 + j]] = ds[j];
    }
    return 0;
}

/* --- Jacobian --- */

/* Where the slopes of all devices go: i_s[np * (moving + 1)] d port current / d moving state and,
 * last, / dt, at constant port volts; h_v[moving * np] d rate / d port volts. */
struct slopes_of {
    double *i_s, *h_v;
};

/* One device state `k` that something depends on by `slope`: into the column of the state, or, held,
 * into that of time. */
static void into_row(const struct equations *eq, double *row, int k, double slope, double *by_time)
{
    if (eq->place[k] >= 0) row[eq->place[k]] += slope;
    else *by_time += slope * eq->slope[k];
}

static void device_slopes(const struct equations *eq, const struct device *d,
                          const struct slopes_of *to, double *dfdy, double *dfdt)
{
    const struct reduced *r = eq->r;
    const int size = equations_size(eq), wide = eq->moving + 1;
    double v[DEVICE_PORTS], x[DEVICE_FOREIGN], c[PORT_ROW];
    struct device_slopes s;
    memset(&s, 0, sizeof s);
    foreign(d, eq->state, x);
    port_volts(eq, d, v);
    port_coefficients(eq, d, c);
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
        double *row = &dfdy[(r->nw + place) * size + r->nw], *by_time = &dfdt[r->nw + place];
        for (int b = 0; b < d->states; b++) into_row(eq, row, d->state0 + b, s.ds_s[a][b], by_time);
        for (int b = 0; b < d->foreign; b++)
            into_row(eq, row, d->foreign_state[b], s.ds_x[a][b], by_time);
    }
}

static void all_slopes(const struct equations *eq, const struct slopes_of *to, double *dfdy,
                       double *dfdt)
{
    const struct circuit *c = eq->circuit;
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        bool asked = d->ports == 0;
        for (int p = 0; p < d->ports; p++) asked |= eq->r->port_slot[d->element[p]] >= 0;
        if (asked && d->states + d->foreign > 0) device_slopes(eq, d, to, dfdy, dfdt);
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
        row[size] += dot(nu, &r->d[k * nu], eq->u1) + dot(nu, &r->d1[k * nu], eq->u2);
    }
    ports_matrix(eq, lu);
    if (!lu_factor(np, lu, eq->pivot)) return false;
    lu_solve_many(np, lu, eq->pivot, wide, dv);
    return true;
}

static void note_tangent(struct equations *eq, const double *y, const double *dv)
{
    const size_t size = (size_t)equations_size(eq), np = (size_t)eq->r->np;
    memcpy(eq->tangent.y, y, size * sizeof *y);
    memcpy(eq->tangent.v, eq->v, np * sizeof *y);
    memcpy(eq->tangent.g, eq->g, np * sizeof *y);
    memcpy(eq->tangent.dv, dv, np * (size + 1) * sizeof *dv);
    eq->tangent.t = eq->t;
    eq->tangent.good = true;
}

int equations_jacobian(struct equations *eq, double t, const double *y, double *dfdy, double *dfdt)
{
    const struct reduced *r = eq->r;
    const int nw = r->nw, np = r->np, nu = r->nu, size = equations_size(eq), wide = size + 1,
              many = eq->moving + 1;
    if (equations_solve(eq, t, y)) return 1;
    memset(dfdy, 0, (size_t)size * (size_t)size * sizeof *dfdy);
    memset(dfdt, 0, (size_t)size * sizeof *dfdt);
    for (int a = 0; a < nw; a++) {
        memcpy(&dfdy[a * size], &r->a[a * nw], (size_t)nw * sizeof *dfdy);
        dfdt[a] = dot(nu, &r->b[a * nu], eq->u1) + dot(nu, &r->b1[a * nu], eq->u2);
    }
    double *lu = eq->work, *dv = lu + np * np;
    struct slopes_of to = {.i_s = dv + np * wide};
    to.h_v = to.i_s + np * many;
    memset(to.i_s, 0, (size_t)(np * (many + eq->moving)) * sizeof *to.i_s);
    all_slopes(eq, &to, dfdy, dfdt);
    if (np == 0) return 0;
    if (!port_slopes(eq, to.i_s, lu, dv)) return 1;
    note_tangent(eq, y, dv);
    for (int s = 0; s < eq->moving; s++)
        for (int k = 0; k < np; k++) {
            double h = to.h_v[s * np + k];
            if (h == 0) continue;
            for (int j = 0; j < size; j++) dfdy[(nw + s) * size + j] += h * dv[k * wide + j];
            dfdt[nw + s] += h * dv[k * wide + size];
        }
    /* di = i_s + g dv, then the network's rows */
    for (int k = 0; k < np; k++) {
        double *row = &dv[k * wide], g = eq->g[k];
        for (int j = 0; j < wide; j++) row[j] *= g;
        for (int j = 0; j < many; j++) row[nw + j] += to.i_s[k * many + j];
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

double equations_volts_error(struct equations *eq, const double *off)
{
    const struct reduced *r = eq->r;
    const int size = equations_size(eq), ports = r->nw + 2 * r->nu;
    double *by_port = eq->work, most = 0;
    for (int k = 0; k < r->np; k++) {
        by_port[k] = 0;
        if (!eq->tangent.good || eq->tangent.g[k] == 0) continue;
        double v = dot(size, &eq->tangent.dv[k * (size + 1)], off);
        by_port[k] = eq->tangent.g[k] * v;
        most = larger(most, fabs(v));
    }
    for (int p = 0; p < eq->circuit->points.n; p++) {
        const double *row = equations_row(eq, r, OUTPUT_POTENTIAL, p);
        double v = dot(r->nw, row, off) + dot(r->np, row + ports, by_port);
        most = larger(most, fabs(v));
    }
    return most;
}

/* --- outputs --- */

const double *equations_row(const struct equations *eq, const struct reduced *r, enum output what,
                            int index)
{
    const int elements = eq->circuit->elements.n;
    const int row = index + (what == OUTPUT_CURRENT     ? elements
                             : what == OUTPUT_POTENTIAL ? 2 * elements
                                                        : 0);
    return &r->out[(size_t)row * (size_t)r->columns];
}

double equations_output(const struct equations *eq, enum output what, int index)
{
    return dot(eq->r->columns, equations_row(eq, eq->r, what, index), eq->column);
}

double equations_gate(const struct equations *eq, int gate)
{
    int k = eq->network->gate_element[gate];
    const struct element *e = &eq->circuit->elements.at[k];
    bool on = eq->r->pattern >> gate & 1u;
    if (e->kind == ELEMENT_SWITCH) {
        if (!e->trips || on != e->starts_closed) return -1;
        return (e->trip_state < 0 ? eq->t : eq->state[e->trip_state]) - e->trip_value;
    }
    if (e->kind == ELEMENT_PORT) {
        if (on) return -eq->v[eq->r->port_slot[k]];
        return equations_output(eq, OUTPUT_VOLTS, k);
    }
    if (on) return -equations_output(eq, OUTPUT_CURRENT, k);
    double start = eq->t <= eq->lit[gate] ? e->threshold : e->start;
    double over = equations_output(eq, OUTPUT_VOLTS, k) - start;
    if (e->ready_state < 0) return over;
    return smaller(over, eq->state[e->ready_state] - e->ready_value);
}
