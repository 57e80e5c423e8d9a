/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flow.h"

#include <string.h>

#include "lu.h"

struct flow {
    bool good;
    int n;             /* columns: of the state at the start */
    double *rows;      /* [(nw + moving) * n] M in the states of the pattern in force */
    double *y, *other; /* [ny * n]; [states * n], scratch */
    double *last;      /* [states * states] Jacobian where the next step begins */
    double *j, *left;  /* scratch, as large */
    int *pivot;
};

struct flow *flow_new(struct session *s)
{
    struct flow *f = ARENA_NEW(s->arena, struct flow);
    const size_t n =
        (size_t)(s->network->capacitors + s->network->inductors + s->network->circuit->states.n);
    double **squares[] = {&f->rows, &f->y, &f->other, &f->last, &f->j, &f->left};
    for (size_t k = 0; k < sizeof squares / sizeof *squares; k++)
        *squares[k] = ARENA_ARRAY(s->arena, double, n *n);
    f->pivot = ARENA_ARRAY(s->arena, int, n);
    return f;
}

/* Rows of the states w of pattern r from those of all volts and currents y, into `rows`. */
static void take(const struct session *s, const struct reduced *r, const double *y, double *rows)
{
    const int n = s->flow->n;
    memset(rows, 0, (size_t)(r->nw * n) * sizeof *rows);
    for (int i = 0; i < r->nw; i++)
        for (int k = 0; k < r->ny; k++) {
            const double by = r->take[i * r->ny + k] * s->network->stored_by[k];
            for (int j = 0; by != 0 && j < n; j++) rows[i * n + j] += by * y[k * n + j];
        }
}

/* Rows of all volts and currents from those of the states of the pattern in force. */
static void all_rows(const struct session *s, double *y)
{
    const struct reduced *r = s->now.r;
    const int n = s->flow->n;
    memset(y, 0, (size_t)(r->ny * n) * sizeof *y);
    for (int k = 0; k < r->ny; k++)
        for (int i = 0; i < r->nw; i++) {
            const double by = r->q[k * r->nw + i], *row = &s->flow->rows[i * n];
            for (int j = 0; by != 0 && j < n; j++) y[k * n + j] += by * row[j];
        }
}

void flow_start(struct session *s)
{
    struct flow *f = s->flow;
    const int ny = s->now.r->ny, moving = s->eq->moving, nw = s->now.r->nw;
    if (!f) return;
    const int n = f->n = ny + moving;
    f->good = true;
    memset(f->y, 0, (size_t)(ny * n) * sizeof *f->y);
    for (int k = 0; k < ny; k++) f->y[k * n + k] = 1;
    take(s, s->now.r, f->y, f->rows);
    memset(&f->rows[nw * n], 0, (size_t)(moving * n) * sizeof *f->rows);
    for (int k = 0; k < moving; k++) f->rows[(nw + k) * n + ny + k] = 1;
}

static void note_jacobian(struct session *s)
{
    struct flow *f = s->flow;
    const int size = equations_size(s->eq);
    const double *now = rosenbrock_jacobian(s->solver);
    if (now) memcpy(f->last, now, (size_t)(size * size) * sizeof *now);
    else f->good = false;
}

void flow_begin(struct session *s)
{
    if (s->flow && s->flow->good) note_jacobian(s);
}

/* to = a b of size*size and size*n */
static void multiply(int size, int n, const double *a, const double *b, double *to)
{
    memset(to, 0, (size_t)(size * n) * sizeof *to);
    for (int i = 0; i < size; i++)
        for (int k = 0; k < size; k++) {
            const double by = a[i * size + k];
            for (int j = 0; by != 0 && j < n; j++) to[i * n + j] += by * b[k * n + j];
        }
}

void flow_step(struct session *s, double step)
{
    struct flow *f = s->flow;
    if (!f || !f->good) return;
    const int size = equations_size(s->eq), n = f->n;
    memcpy(f->j, f->last, (size_t)(size * size) * sizeof *f->j);
    note_jacobian(s);
    for (int k = 0; k < size * size; k++) f->j[k] = step / 2 * (f->j[k] + f->last[k]);
    multiply(size, size, f->j, f->j, f->left);
    for (int k = 0; k < size * size; k++) f->left[k] = f->left[k] / 6 - 2.0 / 3 * f->j[k];
    for (int k = 0; k < size; k++) f->left[k * size + k] += 1;
    multiply(size, n, f->j, f->rows, f->other);
    for (int k = 0; k < size * n; k++) f->rows[k] += f->other[k] / 3;
    f->good = f->good && lu_factor(size, f->left, f->pivot);
    if (f->good) lu_solve_many(size, f->left, f->pivot, n, f->rows);
}

void flow_switch(struct session *s, const struct reduced *next)
{
    struct flow *f = s->flow;
    const int n = f ? f->n : 0, moving = s->eq->moving;
    if (!f || !f->good || s->now.r == next || s->now.r->ny == 0) return;
    all_rows(s, f->y);
    memcpy(f->other, &f->rows[s->now.r->nw * n], (size_t)(moving * n) * sizeof *f->rows);
    take(s, next, f->y, f->rows);
    memcpy(&f->rows[next->nw * n], f->other, (size_t)(moving * n) * sizeof *f->rows);
}

bool flow_read(struct session *s, double *m)
{
    const struct flow *f = s->flow;
    const int n = f->n, ny = s->now.r->ny;
    if (!f->good) return false;
    all_rows(s, m);
    memcpy(&m[ny * n], &f->rows[s->now.r->nw * n], (size_t)((n - ny) * n) * sizeof *m);
    return true;
}
