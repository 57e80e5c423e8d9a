/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each step adds to the sums of the running period; a finished period enters a ring of the last
 * WAVE_WINDOW, and its totals and extremes those of the run. The cosines of the nodes are formed
 * once a step and serve all channels. Sums are taken about the mean of the period before, so that 1
 * mV of ripple on 300 V keeps nine digits. The cubic of a step is looked at only where its samples
 * come so near to a record that the cubic could break it. */
#include "wave.h"

#include <assert.h>
#include <math.h>

#include "cubic.h"
#include "numbers.h"
#include "wave_impl.h"

#define BORDER 1e-9 /* of a period: a step ending this near to the end of a period ends it */

/* --- making --- */

static struct range nothing(void)
{
    return (struct range){{-HUGE_VAL, 0}, {HUGE_VAL, 0}};
}

/* Empties all; reference and slope are left. */
static void period_clear(struct period *p, int channels)
{
    p->length = 0;
    for (int c = 0; c < channels; c++) {
        struct tally *a = &p->tally[c];
        *a = (struct tally){.reference = a->reference, .slope = a->slope};
        a->range = a->level = nothing();
    }
}

struct wave *wave_new(struct arena *arena, int channels, double period, const double *floor,
                      const unsigned *flags)
{
    assert(channels >= 0 && period > 0);
    struct wave *w = ARENA_NEW(arena, struct wave);
    w->channels = channels;
    w->period = period;
    w->floor = ARENA_ARRAY(arena, double, channels);
    w->integral = ARENA_ARRAY(arena, double, channels);
    w->square_integral = ARENA_ARRAY(arena, double, channels);
    w->range = ARENA_ARRAY(arena, struct range, channels);
    w->mean = ARENA_ARRAY(arena, double, channels);
    w->pulses = ARENA_ARRAY(arena, struct pulses *, channels);
    w->means = means_new(arena, channels);
    w->flags = ARENA_ARRAY(arena, unsigned, channels);
    w->mean_of_leapt = ARENA_ARRAY(arena, double, channels);
    for (int i = 0; i < 2; i++) w->leap.of[i] = ARENA_ARRAY(arena, struct share, channels);
    for (int i = 0; i < WAVE_RING; i++)
        w->ring[i].tally = ARENA_ARRAY(arena, struct tally, channels);
    period_clear(&w->ring[0], channels);
    for (int c = 0; c < channels; c++) {
        w->floor[c] = floor[c];
        w->flags[c] = flags[c];
        assert(flags[c] & WAVE_MEAN || w->sampled == c);
        if (!(flags[c] & WAVE_MEAN)) w->sampled++;
        w->range[c] = nothing();
        w->pulses[c] = flags[c] & WAVE_PULSES ? pulses_new(arena) : NULL;
    }
    return w;
}

void wave_start(struct wave *w, double t)
{
    assert(w->done == 0 && wave_running(w)->length == 0);
    w->start = t;
}

double wave_period_end(const struct wave *w)
{
    return w->start + (w->done + w->leapt + 1) * w->period;
}

double wave_period_start(const struct wave *w)
{
    return w->start + (w->done + w->leapt) * w->period;
}

/* --- the running period --- */

static struct period *running(struct wave *w)
{
    return &w->ring[w->done % WAVE_RING];
}

const struct period *wave_running(const struct wave *w)
{
    return &w->ring[w->done % WAVE_RING];
}

const struct period *wave_earlier(const struct wave *w, int back)
{
    assert(back > 0 && back <= WAVE_WINDOW && back <= w->done);
    return &w->ring[(w->done - back) % WAVE_RING];
}

double wave_period_mean(const struct period *p, int channel)
{
    const struct tally *a = &p->tally[channel];
    return p->length > 0 ? a->reference + a->linear[WAVE_PLAIN] / p->length : a->reference;
}

double wave_period_square(const struct period *p, int channel)
{
    const struct tally *a = &p->tally[channel];
    double r = a->reference;
    return larger(a->square + r * (2 * a->linear[WAVE_PLAIN] + r * p->length), 0);
}

void wave_widen(struct range *into, const struct range *other)
{
    if (other->highest.value > into->highest.value) into->highest = other->highest;
    if (other->lowest.value < into->lowest.value) into->lowest = other->lowest;
}

/* --- sums --- */

static double since_start(const struct wave *w, double t)
{
    return t - wave_period_start(w);
}

void wave_weigh(const struct wave *w, double t0, double t1, wave_weights k)
{
    const double since = since_start(w, t0), dt = t1 - t0;
    for (int i = 0; i < WAVE_NODES; i++) {
        double t = since + dt * lobatto_node[i], weight = dt * lobatto_weight[i];
        double angle = 2 * PI * (t / w->period);
        /* a compiler may join cos and sin of one angle into another function: only cosines */
        double c1 = cos(angle), s1 = cos(angle - PI / 2), c = c1, s = s1;
        k[i][WAVE_PLAIN] = weight;
        k[i][WAVE_MOMENT] = weight * (t - 0.5 * w->period);
        for (int h = 0; h < WAVE_HARMONICS; h++) {
            k[i][WAVE_COSINE + h] = weight * c;
            k[i][WAVE_SINE + h] = weight * s;
            double next = c * c1 - s * s1;
            s = s * c1 + c * s1;
            c = next;
        }
    }
}

void wave_give(struct wave *w, int channel, const double sums[WAVE_SUMS],
               const double ones[WAVE_SUMS])
{
    struct tally *a = &running(w)->tally[channel];
    for (int j = 0; j < WAVE_SUMS; j++) a->linear[j] += sums[j] - a->reference * ones[j];
}

static void add_sums(struct wave *w, double t0, double t1, const double *samples, int stride)
{
    struct tally *tally = running(w)->tally;
    const double dt = t1 - t0;
    bool weighed = false;
    wave_weights k;
    for (int c = 0; c < w->sampled; c++) {
        struct tally *a = &tally[c];
        double u[WAVE_NODES], square = 0;
        for (int i = 0; i < WAVE_NODES; i++) {
            u[i] = samples[i * stride + c] - a->reference;
            square += lobatto_weight[i] * (u[i] * u[i]);
        }
        a->square += dt * square;
        if (w->flags[c] & WAVE_GIVEN) continue;
        if (!weighed) wave_weigh(w, t0, t1, k);
        weighed = true;
        for (int j = 0; j < WAVE_SUMS; j++)
            a->linear[j] += k[0][j] * u[0] + k[1][j] * u[1] + k[2][j] * u[2] + k[3][j] * u[3];
    }
}

/* --- extremes --- */

static void take_value(struct range *r, double t, double v)
{
    if (v > r->highest.value) r->highest = (struct wave_extreme){v, t};
    if (v < r->lowest.value) r->lowest = (struct wave_extreme){v, t};
}

static void take_cubic(struct range *r, double t0, double dt, const double v[WAVE_NODES])
{
    for (int i = 0; i < WAVE_NODES; i++) take_value(r, t0 + dt * lobatto_node[i], v[i]);
    struct cubic p = cubic_through(v);
    double x[2];
    int found = cubic_stationary(&p, -1, 1, x);
    for (int i = 0; i < found; i++) take_value(r, t0 + 0.5 * dt * (1 + x[i]), cubic_at(&p, x[i]));
}

static inline void take_step(struct range *r, double t0, double dt, const double v[WAVE_NODES])
{
    double high = larger(larger(v[0], v[1]), larger(v[2], v[3]));
    double low = smaller(smaller(v[0], v[1]), smaller(v[2], v[3]));
    double reach = CUBIC_OVERSHOOT * (high - low);
    if (high + reach > r->highest.value || low - reach < r->lowest.value) take_cubic(r, t0, dt, v);
}

static void take_extremes(struct wave *w, double t0, double t1, const double *samples, int stride)
{
    struct tally *tally = running(w)->tally;
    const double dt = t1 - t0, tau = since_start(w, t0) - 0.5 * w->period;
    for (int c = 0; c < w->sampled; c++) {
        struct tally *a = &tally[c];
        double v[WAVE_NODES];
        for (int i = 0; i < WAVE_NODES; i++) v[i] = samples[i * stride + c];
        take_step(&a->range, t0, dt, v);
        if (w->flags[c] & WAVE_SWING) continue;
        for (int i = 0; i < WAVE_NODES; i++) v[i] -= a->slope * (tau + dt * lobatto_node[i]);
        take_step(&a->level, t0, dt, v);
    }
}

void wave_instant(struct wave *w, double t, const double *samples)
{
    struct period *p = running(w);
    double tau = since_start(w, t) - 0.5 * w->period;
    for (int c = 0; c < w->sampled; c++) {
        struct tally *a = &p->tally[c];
        take_value(&a->range, t, samples[c]);
        take_value(&a->level, t, samples[c] - a->slope * tau);
        if (w->pulses[c]) pulses_instant(w->pulses[c], t, samples[c]);
    }
}

/* --- leaps --- */

void wave_leap_weights(int back, int periods, double weights[3])
{
    /* sums over k = 1 .. n - 1 of the polynomials of Lagrange through -b, 0, n */
    const double b = back, n = periods + 1.0, first = n * (n - 1) / 2,
                 second = first * (2 * n - 1) / 3;
    weights[0] = (second - n * first) / (b * (b + n));
    weights[1] = periods - (second + (b - n) * first) / (b * n);
    weights[2] = (second + b * first) / (n * (n + b));
}

static struct share share_of(const struct wave *w, int back, int c)
{
    const struct period *p = wave_earlier(w, back);
    return (struct share){wave_period_mean(p, c), wave_period_square(p, c)};
}

void wave_leap(struct wave *w, int periods, int back)
{
    struct leap *leap = &w->leap;
    assert(w->done > 1 && wave_running(w)->length == 0 && periods > 0 && leap->periods == 0);
    for (int c = 0; c < w->channels; c++) {
        leap->of[0][c] = back > 1 ? leap->of[1][c] : share_of(w, 2, c);
        leap->of[1][c] = share_of(w, 1, c);
        if (w->pulses[c]) pulses_cut(w->pulses[c], wave_period_start(w));
    }
    leap->periods = periods;
    leap->back = back;
    w->leapt += periods;
}

/* The first period after a leap is complete. */
static void leap_end(struct wave *w)
{
    struct leap *leap = &w->leap;
    const double b = leap->back, n = leap->periods + 1;
    double weights[3];
    wave_leap_weights(leap->back, leap->periods, weights);
    for (int c = 0; c < w->channels; c++) {
        const struct share *x = &leap->of[0][c], *y = &leap->of[1][c], z = share_of(w, 1, c);
        w->integral[c] +=
            w->period * (weights[0] * x->mean + weights[1] * y->mean + weights[2] * z.mean);
        w->square_integral[c] +=
            weights[0] * x->square + weights[1] * y->square + weights[2] * z.square;
    }
    for (int k = 1; k <= leap->periods; k++) {
        const double of[3] = {k * (k - n) / (b * (b + n)), (k + b) * (n - k) / (b * n),
                              k * (k + b) / (n * (n + b))};
        for (int c = 0; c < w->channels; c++)
            w->mean_of_leapt[c] =
                of[0] * leap->of[0][c].mean + of[1] * leap->of[1][c].mean + of[2] * w->mean[c];
        means_push(w->means, w->mean_of_leapt);
    }
    leap->periods = 0;
}

/* --- steps --- */

static void close_period(struct wave *w)
{
    struct period *p = running(w), *next;
    w->done++;
    next = running(w);
    for (int c = 0; c < w->channels; c++) {
        double mean = wave_period_mean(p, c);
        const double since = (w->leap.periods + 1) * w->period; /* the period before */
        next->tally[c].slope = w->done > 1 ? (mean - w->mean[c]) / since : 0;
        /* what has become nothing is nothing, not the rounding of what it was */
        bool nothing_left = fabs(mean) < 1e-12 * fabs(p->tally[c].reference);
        next->tally[c].reference = nothing_left ? 0 : mean;
        w->mean[c] = mean;
        w->integral[c] += mean * p->length;
        w->square_integral[c] += wave_period_square(p, c);
        wave_widen(&w->range[c], &p->tally[c].range);
    }
    period_clear(next, w->channels);
    if (w->leap.periods > 0) leap_end(w);
    means_push(w->means, w->mean);
}

static void step_pulses(struct wave *w, double t0, double t1, const double *samples, int n)
{
    for (int c = 0; c < w->sampled; c++) {
        if (!w->pulses[c]) continue;
        const double v[WAVE_NODES] = {samples[c], samples[n + c], samples[2 * n + c],
                                      samples[3 * n + c]};
        pulses_step(w->pulses[c], t0, t1, v);
    }
}

bool wave_ends(const struct wave *w, double t)
{
    return wave_period_end(w) - t <= BORDER * w->period;
}

void wave_step(struct wave *w, double t0, double t1, const double *samples, int stride)
{
    assert(t1 >= t0);
    struct period *p = running(w);
    if (w->done == 0 && p->length == 0)
        for (int c = 0; c < w->sampled; c++)
            if (!(w->flags[c] & WAVE_GIVEN)) p->tally[c].reference = samples[c];
    take_extremes(w, t0, t1, samples, stride);
    if (t1 == t0) return;
    add_sums(w, t0, t1, samples, stride);
    p->length += t1 - t0;
    step_pulses(w, t0, t1, samples, stride);
    assert(wave_period_end(w) - t1 >= -BORDER * w->period);
    if (wave_ends(w, t1)) close_period(w);
}

/* --- closings --- */

void wave_closing(struct wave *w, double t)
{
    if (w->closings == WAVE_CLOSINGS) return;
    w->closings++;
    for (int c = 0; c < w->channels; c++)
        if (w->pulses[c]) pulses_closing(w->pulses[c], t);
}

int wave_closings(const struct wave *w)
{
    return w->closings;
}

bool wave_first_pulse(const struct wave *w, int channel, int closing, struct wave_pulse *pulse)
{
    assert(channel >= 0 && channel < w->channels && w->pulses[channel]);
    return pulses_first(w->pulses[channel], closing, pulse);
}
