/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns are found by their titles. Between two rows a curve counts as a straight line, so means
 * are weighted with time and do not depend on how the rows were thinned. */
#include "curves.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "numbers.h"

static int find_column(const struct result *result, const char *name, char unit)
{
    size_t n = strlen(name);
    for (int i = 0; i < result->columns.n; i++) {
        const char *title = result->columns.at[i];
        if (strncmp(title, name, n) != 0 || strncmp(title + n, " [", 2) != 0) continue;
        if (title[n + 2] == unit && strcmp(title + n + 3, "]") == 0) return i;
    }
    return -1;
}

static void add(struct arena *arena, curves *list, struct curve curve)
{
    if (curve.plus < 0 || list->n >= CURVES_MOST) return;
    for (int i = 0; i < list->n; i++)
        if (list->at[i].plus == curve.plus && list->at[i].minus == curve.minus) return;
    array_push(arena, list, curve);
}

struct curve curve_point(const struct result *result, const char *point)
{
    return (struct curve){point, find_column(result, point, 'V'), -1};
}

double curve_value(const struct curve *curve, const double *row)
{
    return row[curve->plus] - (curve->minus >= 0 ? row[curve->minus] : 0);
}

/* ---- what lies in them ---- */

void curve_mean(const struct result *result, const struct curve *curve, double t, double *mean,
                double *alternating)
{
    const struct trace *trace = result->trace;
    double sum = 0, squares = 0, span = 0, last = 0, before = (double)NAN;
    for (int r = 0; r < trace_rows(trace); r++) {
        double now = trace_time(trace, r), v = curve_value(curve, trace_values(trace, r));
        if (now < t) continue;
        if (!isnan(before)) {
            double dt = now - before;
            sum += dt * (v + last) / 2;
            squares += dt * (v * v + v * last + last * last) / 3;
            span += dt;
        }
        before = now;
        last = v;
    }
    *mean = span > 0 ? sum / span : last;
    *alternating = span > 0 ? sqrt(larger(0, squares / span - *mean * *mean)) : 0;
}

bool curve_range(const struct result *result, const struct curve *curve, double from, double to,
                 double *lowest, double *highest)
{
    const struct trace *trace = result->trace;
    *lowest = HUGE_VAL;
    *highest = -HUGE_VAL;
    for (int r = 0; r < trace_rows(trace); r++) {
        double t = trace_time(trace, r);
        if (t < from || t > to) continue;
        double v = curve_value(curve, trace_values(trace, r));
        *lowest = smaller(*lowest, v);
        *highest = larger(*highest, v);
    }
    return *lowest <= *highest;
}

/* Intervals being filled; their means are sums over time at first. */
struct bins {
    double start, width;
    int n;
    double *low, *mean, *high;
    double covered[CURVE_BINS]; /* seconds told of each */
};

/* One straight piece of a curve laid on the intervals it passes. */
static void lay_piece(struct bins *b, double t0, double v0, double t1, double v1)
{
    int first = (int)((t0 - b->start) / b->width), last = (int)((t1 - b->start) / b->width);
    for (int k = first; k <= last && k < b->n; k++) {
        double from = larger(t0, b->start + k * b->width);
        double to = smaller(t1, b->start + (k + 1) * b->width);
        double slope = t1 > t0 ? (v1 - v0) / (t1 - t0) : 0;
        double a = v0 + slope * (from - t0), z = to >= t1 ? v1 : v0 + slope * (to - t0);
        b->low[k] = smaller(b->low[k], smaller(a, z));
        b->high[k] = larger(b->high[k], larger(a, z));
        b->mean[k] += (a + z) / 2 * larger(0, to - from);
        b->covered[k] += larger(0, to - from);
    }
}

/* Sums become means over what is told of each interval. */
static void divide(struct bins *b, double least)
{
    for (int k = 0; k < b->n; k++) {
        if (b->covered[k] > least)
            b->mean[k] = clamp(b->mean[k] / b->covered[k], b->low[k], b->high[k]);
        else b->covered[k] = 0;
    }
}

/* Intervals of which nothing is told lie on straight lines between their neighbours. */
static void bridge(const struct bins *b)
{
    double *const rows[] = {b->low, b->mean, b->high};
    int last = -1;
    for (int k = 0; k <= b->n; k++) {
        if (k < b->n && b->covered[k] == 0) continue;
        for (int j = last + 1; j < k; j++)
            for (int i = 0; i < 3; i++) {
                double share = last < 0 ? 1 : k == b->n ? 0 : (double)(j - last) / (k - last);
                double from = last < 0 ? 0 : rows[i][last], to = k == b->n ? 0 : rows[i][k];
                rows[i][j] = from * (1 - share) + to * share;
            }
        last = k;
    }
}

/* Thinned rows are mostly extremes, so that the mean of a single interval is off by some per cent
 * of the ripple. Where in its band the mean lies changes slowly: that is averaged over the
 * neighbours. */
static void settle_means(const struct bins *b)
{
    enum { REACH = 8 };
    double share[2 * REACH + 1]; /* a ring: the shares of interval k - REACH .. k + REACH */
    double sum = 0;
    int ahead = 0, behind = 0;
    for (int k = 0; k < b->n; k++) {
        for (; ahead < b->n && ahead <= k + REACH; ahead++) {
            double band = b->high[ahead] - b->low[ahead];
            share[ahead % (2 * REACH + 1)] =
                band > 0 ? (b->mean[ahead] - b->low[ahead]) / band : 0.5;
            sum += share[ahead % (2 * REACH + 1)];
        }
        b->mean[k] = b->low[k] + (b->high[k] - b->low[k]) * sum / (ahead - behind);
        if (k - behind == REACH) sum -= share[behind++ % (2 * REACH + 1)];
    }
}

void curve_envelope(const struct result *result, const struct curve *curve, int bins, double width,
                    double *low, double *mean, double *high)
{
    const struct trace *trace = result->trace;
    int rows = trace_rows(trace);
    assert(rows >= 2 && bins > 0 && bins <= CURVE_BINS && width > 0);
    bool leaps = result->statistics.leaps > 0;
    const double period = leaps ? 1 / result->setup->frequency : HUGE_VAL;
    struct bins b = {trace_time(trace, 0), width, bins, low, mean, high, {0}};
    for (int k = 0; k < bins; k++) low[k] = HUGE_VAL, high[k] = -HUGE_VAL, mean[k] = 0;
    for (int r = 1; r < rows; r++) {
        double from = trace_time(trace, r - 1), to = trace_time(trace, r);
        if (to - from > CURVE_LEAP * period) continue;
        lay_piece(&b, from, curve_value(curve, trace_values(trace, r - 1)), to,
                  curve_value(curve, trace_values(trace, r)));
    }
    divide(&b, leaps ? 0.9 * smaller(period, width) : 0);
    bridge(&b);
    settle_means(&b);
}

/* ---- choosing ---- */

static const struct circuit *first_circuit(const struct result *result)
{
    return result->setup->stages.at[0].circuit;
}

static double tail_start(const struct result *result)
{
    return result->end - TRACE_TAIL / result->setup->frequency;
}

static void add_direct(struct arena *arena, const struct result *result, curves *list,
                       const char *point)
{
    struct curve curve = curve_point(result, point);
    double mean = 0, alternating = 0;
    if (curve.plus < 0) return;
    curve_mean(result, &curve, tail_start(result), &mean, &alternating);
    if (alternating <= fabs(mean)) add(arena, list, curve);
}

static bool is_capacitor(const struct probe *p)
{
    return p->kind == PROBE_VOLTAGE && (p->flags & PROBE_CAPACITOR);
}

curves curves_direct(struct arena *arena, const struct result *result)
{
    curves list = {0};
    for (int k = 0; k < result->setup->stages.n; k++) {
        const struct circuit *c = result->setup->stages.at[k].circuit;
        for (int i = 0; i < c->probes.n; i++) {
            const struct probe *p = &c->probes.at[i];
            if (!is_capacitor(p)) continue;
            add_direct(arena, result, &list, c->points.at[p->from]);
            if (p->to >= 0) add_direct(arena, result, &list, c->points.at[p->to]);
        }
    }
    return list;
}

static bool is_section(const struct probe *p, enum probe_kind kind)
{
    return p->kind == kind && (p->flags & PROBE_RECTIFIER);
}

curves curves_first_capacitor(struct arena *arena, const struct result *result)
{
    const struct circuit *c = first_circuit(result);
    const struct probe *rectifier = NULL, *found = NULL;
    for (int i = 0; i < c->probes.n && !rectifier; i++)
        if (is_section(&c->probes.at[i], PROBE_VOLTAGE)) rectifier = &c->probes.at[i];
    for (int i = 0; i < c->probes.n; i++) {
        const struct probe *p = &c->probes.at[i];
        if (!is_capacitor(p) || curve_point(result, p->subject).plus < 0) continue;
        bool at_cathode = rectifier && (p->from == rectifier->from || p->to == rectifier->from);
        if (!found || at_cathode) found = p;
        if (at_cathode || !rectifier) break;
    }
    curves list = {0};
    if (found) add(arena, &list, curve_point(result, found->subject));
    return list;
}

curves curves_plates(struct arena *arena, const struct result *result)
{
    const struct circuit *c = first_circuit(result);
    curves list = {0};
    for (int i = 0; i < c->probes.n; i++) {
        const struct probe *p = &c->probes.at[i];
        if (is_section(p, PROBE_VOLTAGE) && p->to >= 0)
            add(arena, &list, curve_point(result, c->points.at[p->to]));
    }
    return list;
}

curves curves_currents(struct arena *arena, const struct result *result, bool line)
{
    const struct circuit *c = first_circuit(result);
    curves list = {0};
    for (int i = 0; i < c->probes.n; i++) {
        const struct probe *p = &c->probes.at[i];
        if (!is_section(p, PROBE_CURRENT) && !(line && (p->flags & PROBE_LINE))) continue;
        if (p->kind != PROBE_CURRENT) continue;
        add(arena, &list, (struct curve){p->subject, find_column(result, p->subject, 'A'), -1});
    }
    return list;
}

/* Volts from one end of a probe to the other; plus is -1 when an end is neither in the trace nor
 * the reference. A probe whose plus is the reference has no column to begin with. */
static struct curve difference(const struct result *result, const struct circuit *c,
                               const struct probe *p)
{
    struct curve own = curve_point(result, p->subject);
    if (own.plus >= 0) return own;
    struct curve curve = curve_point(result, c->points.at[p->from]);
    curve.name = p->subject;
    if (p->to < 0) return curve;
    const char *to = c->points.at[p->to];
    curve.minus = find_column(result, to, 'V');
    if (curve.minus < 0 && (!c->reference || strcmp(to, c->reference) != 0)) curve.plus = -1;
    return curve;
}

curves curves_inverse(struct arena *arena, const struct result *result)
{
    const struct circuit *c = first_circuit(result);
    curves list = {0};
    for (int i = 0; i < c->probes.n; i++) {
        const struct probe *p = &c->probes.at[i];
        if (!is_section(p, PROBE_VOLTAGE)) continue;
        add(arena, &list, difference(result, c, p));
    }
    return list;
}

/* The name before ` [unit]`; NULL: of another unit. */
static const char *name_of(struct arena *arena, const char *title, const char *unit)
{
    const char *tail = arena_printf(arena, " [%s]", unit);
    size_t n = strlen(title), m = strlen(tail);
    if (n <= m || strcmp(title + n - m, tail) != 0) return NULL;
    return arena_text(arena, title, n - m);
}

curves curves_hottest(struct arena *arena, const struct result *result, const char *unit)
{
    ARRAY(struct curve) all = {0};
    curves list = {0};
    double *most = ARENA_ARRAY(arena, double, result->columns.n), low;
    for (int i = 0; i < result->columns.n; i++) {
        struct curve c = {name_of(arena, result->columns.at[i], unit), i, -1};
        if (!c.name || strstr(c.name, "heater")) continue;
        if (!curve_range(result, &c, 0, result->end, &low, &most[all.n])) continue;
        if (*unit == 'W' && most[all.n] < 0.5) continue;
        array_push(arena, &all, c);
    }
    while (list.n < CURVES_MOST && list.n < all.n) {
        int best = 0;
        for (int i = 1; i < all.n; i++)
            if (most[i] > most[best]) best = i;
        add(arena, &list, all.at[best]);
        most[best] = -HUGE_VAL;
    }
    return list;
}
