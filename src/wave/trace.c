/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All rows lie in one array in order of time: those of closed intervals, already thinned; those of
 * the intervals still open; the last periods, untouched. New rows are appended. When the array is
 * full, all before the last periods is cut into intervals of one width, and of each interval only
 * the rows stay that hold the least or the greatest value of a column, besides the pinned ones
 * (full resolution). An extreme of a stretch is one of the extremes of its parts, so a thinned
 * interval may be thinned again with more rows, or with its neighbour when the width is doubled to
 * meet the budget. */
#include "trace.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "numbers.h"

enum { ROWS_PER_COLUMN = 16 };

/* A stretch at full resolution. */
struct stretch {
    double from, to; /* [s] */
    int left;        /* rows it may still pin; -1: not begun */
};

struct trace {
    int columns, width; /* values in a row; with the time before them */
    double start, span; /* [s] */
    double period;      /* [s] */
    int rows;           /* budget before the last periods */
    int tail;           /* budget of the last periods */
    int pins;           /* rows that may still be pinned */
    double intervals;   /* in `span`: a power of two */
    struct stretch stretch[1 + TRACE_MARKS];
    int stretches;
    double *row; /* [room * width] */
    bool *pin;   /* [room] */
    int n, room;
    int closed;               /* rows in closed intervals */
    int *lowest, *highest;    /* [columns], scratch: rows that hold the extremes of an interval */
    double *least, *greatest; /* [columns], scratch: those extremes */
};

/* --- making --- */

static double power_of_two_over(double x)
{
    double p = 1;
    while (p < x) p *= 2;
    return p;
}

static void add_stretch(struct trace *tr, double from, double to)
{
    tr->stretch[tr->stretches++] = (struct stretch){from, to, -1};
}

struct trace *trace_new(struct arena *arena, int columns, double start, double stop, double period,
                        int rows)
{
    assert(columns > 0 && period > 0);
    struct trace *tr = ARENA_NEW(arena, struct trace);
    tr->columns = columns;
    tr->width = columns + 1;
    tr->start = start;
    tr->span = stop > start ? stop - start : period;
    tr->period = period;
    tr->rows = rows > ROWS_PER_COLUMN * columns ? rows : ROWS_PER_COLUMN * columns;
    tr->tail = tr->rows / 4;
    tr->pins = tr->rows / 2;
    tr->intervals = power_of_two_over(tr->rows);
    tr->room = tr->rows + 2 * tr->tail;
    tr->row = ARENA_ARRAY(arena, double, (size_t)tr->room * tr->width);
    tr->pin = ARENA_ARRAY(arena, bool, tr->room);
    tr->lowest = ARENA_ARRAY(arena, int, columns);
    tr->highest = ARENA_ARRAY(arena, int, columns);
    tr->least = ARENA_ARRAY(arena, double, columns);
    tr->greatest = ARENA_ARRAY(arena, double, columns);
    add_stretch(tr, start, start + TRACE_HEAD * period);
    return tr;
}

static double *row_at(const struct trace *tr, int i)
{
    return tr->row + (size_t)i * tr->width;
}

/* --- full resolution --- */

/* Whether a row at t belongs to a stretch with rows left. A stretch may use up a quarter of the
 * pins left at its begin, so that none starves those after it. */
static bool take_pin(struct trace *tr, double t)
{
    for (int i = 0; i < tr->stretches; i++) {
        struct stretch *s = &tr->stretch[i];
        if (t < s->from || t > s->to) continue;
        if (s->left < 0) s->left = tr->pins / 4;
        if (s->left == 0) continue;
        s->left--;
        tr->pins--;
        return true;
    }
    return false;
}

void trace_mark(struct trace *tr, double t, double periods)
{
    if (tr->stretches > TRACE_MARKS) return;
    double from = t - TRACE_LEAD * tr->period;
    add_stretch(tr, from, t + periods * tr->period);
    int i = tr->n;
    while (i > tr->closed && row_at(tr, i - 1)[0] >= from) i--;
    for (; i < tr->n; i++)
        if (!tr->pin[i]) tr->pin[i] = take_pin(tr, row_at(tr, i)[0]);
}

/* --- thinning --- */

static double interval_of(const struct trace *tr, int i)
{
    return floor((row_at(tr, i)[0] - tr->start) / tr->span * tr->intervals);
}

static void find_extremes(const struct trace *tr, int a, int b)
{
    const double *first = row_at(tr, a) + 1;
    for (int c = 0; c < tr->columns; c++) {
        tr->lowest[c] = tr->highest[c] = a;
        tr->least[c] = tr->greatest[c] = first[c];
    }
    for (int i = a + 1; i < b; i++) {
        const double *v = row_at(tr, i) + 1;
        for (int c = 0; c < tr->columns; c++) {
            if (v[c] < tr->least[c]) {
                tr->least[c] = v[c];
                tr->lowest[c] = i;
            }
            if (v[c] > tr->greatest[c]) {
                tr->greatest[c] = v[c];
                tr->highest[c] = i;
            }
        }
    }
}

static void move_row(struct trace *tr, int to, int from)
{
    if (to == from) return;
    memcpy(row_at(tr, to), row_at(tr, from), (size_t)tr->width * sizeof *tr->row);
    tr->pin[to] = tr->pin[from];
}

/* Moves the rows worth keeping of interval a .. b-1 to `to` and on; returns where the next goes. */
static int thin_interval(struct trace *tr, int to, int a, int b)
{
    if (b - a > 2) find_extremes(tr, a, b);
    for (int i = a; i < b; i++) {
        bool keep = tr->pin[i] || b - a <= 2;
        for (int c = 0; c < tr->columns && !keep; c++)
            keep = tr->lowest[c] == i || tr->highest[c] == i;
        if (keep) move_row(tr, to++, i);
    }
    return to;
}

/* Thins rows a .. b-1; the last interval of them stays open. Returns where its rows end. */
static int thin(struct trace *tr, int a, int b)
{
    int to = a;
    while (a < b) {
        double interval = interval_of(tr, a);
        int next = a + 1;
        while (next < b && interval_of(tr, next) == interval) next++;
        tr->closed = to;
        to = thin_interval(tr, to, a, next);
        a = next;
    }
    return to;
}

/* The first row of the last periods. */
static int tail_begin(const struct trace *tr)
{
    double since = row_at(tr, tr->n - 1)[0] - TRACE_TAIL * tr->period;
    int i = tr->n - tr->tail > tr->closed ? tr->n - tr->tail : tr->closed;
    while (i < tr->n && row_at(tr, i)[0] < since) i++;
    return i;
}

/* Thins all before the last periods and closes the gap; wider intervals meet the budget. */
static void condense(struct trace *tr)
{
    int cut = tail_begin(tr), tail = tr->n - cut, body = thin(tr, tr->closed, cut);
    if (body > tr->rows) {
        /* well below the budget, so that doubling is rare */
        do {
            tr->intervals /= 2;
            body = thin(tr, 0, body);
        } while (body > tr->rows / 4 * 3 && tr->closed > 0);
    }
    memmove(row_at(tr, body), row_at(tr, cut), (size_t)tail * tr->width * sizeof *tr->row);
    memmove(tr->pin + body, tr->pin + cut, (size_t)tail * sizeof *tr->pin);
    tr->n = body + tail;
}

/* --- rows --- */

static bool same_as_last(const struct trace *tr, double t, const double *values)
{
    if (tr->n == 0 || t > row_at(tr, tr->n - 1)[0]) return false;
    const double *last = row_at(tr, tr->n - 1);
    for (int c = 0; c < tr->columns; c++)
        if (values[c] != last[1 + c]) return false;
    return true;
}

void trace_row(struct trace *tr, double t, const double *values)
{
    assert(tr->n == 0 || t >= row_at(tr, tr->n - 1)[0]);
    if (same_as_last(tr, t, values)) return;
    if (tr->n == tr->room) condense(tr);
    double *row = row_at(tr, tr->n);
    row[0] = t;
    memcpy(row + 1, values, (size_t)tr->columns * sizeof *values);
    tr->pin[tr->n++] = take_pin(tr, t);
}

void trace_finish(struct trace *tr)
{
    if (tr->n > tr->rows) condense(tr);
}

int trace_rows(const struct trace *tr)
{
    return tr->n;
}

double trace_time(const struct trace *tr, int row)
{
    assert(row >= 0 && row < tr->n);
    return row_at(tr, row)[0];
}

const double *trace_values(const struct trace *tr, int row)
{
    assert(row >= 0 && row < tr->n);
    return row_at(tr, row) + 1;
}
