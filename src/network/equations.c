/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The equations at one instant: sources, ports, right side, outputs. */
#include "equations_impl.h"

#include <string.h>

#include "numbers.h"
#include "ports.h"

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
    double x[DEVICE_FOREIGN], c[EQUATIONS_PORT_ROW];
    const double since = t - eq->origin;
    for (int k = 0; k < eq->lined; k++)
        for (int j = eq->lined_slot[k] * PORT_COEFFICIENTS, n = 0; n < PORT_COEFFICIENTS; n++, j++)
            eq->c[j] = eq->line[0][j] + eq->line[1][j] * since;
    for (int k = 0; k < eq->active; k++) {
        const struct device *d = &eq->circuit->devices.at[eq->active_device[k]];
        equations_foreign(d, eq->state, x);
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
    eq->solved.t = t;
    eq->solved.shift = eq->shift;
    eq->solved.between = eq->between;
    memcpy(eq->solved.y, y, (size_t)equations_size(eq) * sizeof *y);
    memcpy(eq->solved.v, eq->v, (size_t)r->np * sizeof *y);
    return 0;
}

int equations_derivative(struct equations *eq, double t, const double *y, double *f)
{
    const struct reduced *r = eq->r;
    if (equations_solve(eq, t, y)) return 1;
    const int modal = r->modal;
    for (int k = 0; k < r->nw; k++) {
        const double *row = &r->rate[k * r->columns];
        if (k >= modal) f[k] = equations_dot(r->columns, row, eq->column);
        else
            f[k] = row[k] * eq->column[k] +
                   equations_dot(r->columns - modal, row + modal, eq->column + modal);
    }
    double v[DEVICE_PORTS], c[EQUATIONS_PORT_ROW], ds[DEVICE_STATES];
    for (int k = 0; k < eq->rated; k++) {
        const struct device *d = &eq->circuit->devices.at[eq->rated_device[k]];
        equations_port_volts(eq, d, v);
        equations_port_coefficients(eq, d, c);
        d->law->rates(d->par, v, eq->state + d->state0, c, ds);
        for (int j = 0; j < d->states; j++)
            if (eq->place[d->state0 + j] >= 0) f[r->nw + eq->place[d->state0 + j]] = ds[j];
    }
    return 0;
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
    return equations_dot(eq->r->columns, equations_row(eq, eq->r, what, index), eq->column);
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
