/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns are found by their titles. Between two rows a curve counts as a straight line, so means
 * are weighted with time and do not depend on how the rows were thinned. */
#include "curves.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "numbers.h"
#include "words_common.h"

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
    return (struct curve){point, find_column(result, point, 'V'), -1, NULL};
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
    double covered[CURVE_BINS]; /* seconds known of each */
};

/* Least, mean and highest at one instant. */
struct reach {
    double t, low, mean, high;
};

/* One straight piece laid on the intervals it passes. */
static void lay_piece(struct bins *b, const struct reach *p, const struct reach *q)
{
    const double span = q->t - p->t;
    int first = (int)larger(0, (p->t - b->start) / b->width);
    int last = (int)smaller(b->n - 1, (q->t - b->start) / b->width);
    for (int k = first; k <= last; k++) {
        double from = larger(p->t, b->start + k * b->width);
        double to = smaller(q->t, b->start + (k + 1) * b->width);
        double x = span > 0 ? (from - p->t) / span : 0, y = span > 0 ? (to - p->t) / span : 1;
        b->low[k] = smaller(
            b->low[k], smaller(p->low + x * (q->low - p->low), p->low + y * (q->low - p->low)));
        b->high[k] = larger(b->high[k], larger(p->high + x * (q->high - p->high),
                                               p->high + y * (q->high - p->high)));
        b->mean[k] += (p->mean + (x + y) / 2 * (q->mean - p->mean)) * larger(0, to - from);
        b->covered[k] += larger(0, to - from);
    }
}

/* Sums become means; intervals after the end repeat the last. */
static void divide(struct bins *b)
{
    for (int k = 0; k < b->n; k++) {
        if (b->covered[k] > 0)
            b->mean[k] = clamp(b->mean[k] / b->covered[k], b->low[k], b->high[k]);
        else if (k > 0)
            b->low[k] = b->low[k - 1], b->mean[k] = b->mean[k - 1], b->high[k] = b->high[k - 1];
    }
}

/* Every row of the trace is an instant. */
static void lay_trace(struct bins *b, const struct result *result, const struct curve *curve)
{
    struct reach p = {0}, q;
    for (int r = 0; r < trace_rows(result->trace); r++, p = q) {
        double v = curve_value(curve, trace_values(result->trace, r));
        q = (struct reach){trace_time(result->trace, r), v, v, v};
        if (r > 0) lay_piece(b, &p, &q);
    }
}

/* A row holds good at the middle of its cycle, the first from the start on and the last to the
 * end. */
static void lay_cycles(struct bins *b, const struct result *result, int column)
{
    const struct trace *cycles = result->envelope;
    const double half = 0.5 / result->setup->frequency;
    const int rows = trace_rows(cycles);
    struct reach p = {0}, q;
    for (int r = 0; r <= rows; r++, p = q) {
        const double *v = trace_values(cycles, r < rows ? r : rows - 1) + 3 * column;
        double t = r < rows ? trace_time(cycles, r) - half : result->end;
        q = (struct reach){t, v[0], v[1], v[2]};
        if (r == 0) p = q, p.t = b->start;
        lay_piece(b, &p, &q);
    }
}

static int envelope_column(const struct result *result, const struct curve *curve)
{
    if (!result->envelope || curve->minus >= 0) return -1;
    for (int k = 0; k < result->envelope_columns.n; k++)
        if (strcmp(result->envelope_columns.at[k], result->columns.at[curve->plus]) == 0) return k;
    return -1;
}

void curve_envelope(const struct result *result, const struct curve *curve, int bins, double start,
                    double width, double *low, double *mean, double *high)
{
    assert(bins > 0 && bins <= CURVE_BINS && width > 0);
    struct bins b = {start, width, bins, low, mean, high, {0}};
    int column = envelope_column(result, curve);
    for (int k = 0; k < bins; k++) low[k] = HUGE_VAL, high[k] = -HUGE_VAL, mean[k] = 0;
    if (column >= 0 && width * result->setup->frequency > 0.999 && trace_rows(result->envelope) > 0)
        lay_cycles(&b, result, column);
    else lay_trace(&b, result, curve);
    divide(&b);
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
        if (!is_section(p, PROBE_VOLTAGE) || p->to < 0) continue;
        struct curve plate = curve_point(result, c->points.at[p->to]);
        plate.part = p->subject;
        add(arena, &list, plate);
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
        add(arena, &list,
            (struct curve){p->subject, find_column(result, p->subject, 'A'), -1, NULL});
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

#define SAME 0.005 /* of the range: next to the width of a line */

static bool lie_on_one_another(const struct result *result, const struct curve *a,
                               const struct curve *b, double from, double to)
{
    double low, high, most = 0;
    if (!curve_range(result, a, from, to, &low, &high)) return false;
    for (int r = 0; r < trace_rows(result->trace); r++) {
        const double t = trace_time(result->trace, r), *row = trace_values(result->trace, r);
        if (t >= from && t <= to)
            most = larger(most, fabs(curve_value(a, row) - curve_value(b, row)));
    }
    return high > low && most < SAME * (high - low);
}

curves curves_apart(struct arena *arena, const struct result *result, const curves *all,
                    double from, double to)
{
    curves list = {0};
    for (int i = 0; i < all->n; i++) {
        int k = 0;
        while (k < list.n && !lie_on_one_another(result, &list.at[k], &all->at[i], from, to)) k++;
        if (k == list.n) array_push(arena, &list, all->at[i]);
        else list.at[k].name = arena_printf(arena, "%s, %s", list.at[k].name, all->at[i].name);
    }
    return list;
}

#define SAME_WATTS 0.02 /* of the watts: next to the width of a line on the logarithmic axis */
#define LEAST_WATTS 0.1 /* the axis begins there */

static bool as_hot(const struct result *result, const struct curve *a, const struct curve *b)
{
    for (int r = 0; r < trace_rows(result->trace); r++) {
        const double *row = trace_values(result->trace, r), one = curve_value(a, row),
                     other = curve_value(b, row), most = larger(one, other);
        if (most > LEAST_WATTS && fabs(one - other) > SAME_WATTS * most) return false;
    }
    return true;
}

/* Puts a curve on the list, or its name beside that of one it would hide. */
static void add_hot(struct arena *arena, const struct result *result, curves *list,
                    struct curve curve, bool watts)
{
    for (int k = 0; k < list->n && watts; k++) {
        if (!as_hot(result, &list->at[k], &curve)) continue;
        list->at[k].name = arena_printf(arena, "%s, %s", list->at[k].name, curve.name);
        return;
    }
    add(arena, list, curve);
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
        struct curve c = {name_of(arena, result->columns.at[i], unit), i, -1, NULL};
        if (!c.name || strstr(c.name, "heater")) continue;
        if (strcmp(c.name, "mains") == 0 && circuit_vibrates(result->setup->stages.at[0].circuit))
            c.name = words_common_vibrator;
        if (!curve_range(result, &c, 0, result->end, &low, &most[all.n])) continue;
        if (*unit == 'W' && most[all.n] < 0.5) continue;
        array_push(arena, &all, c);
    }
    for (int taken = 0; list.n < CURVES_MOST && taken < all.n; taken++) {
        int best = 0;
        for (int i = 1; i < all.n; i++)
            if (most[i] > most[best]) best = i;
        add_hot(arena, result, &list, all.at[best], *unit == 'W');
        most[best] = -HUGE_VAL;
    }
    return list;
}
