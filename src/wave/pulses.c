/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pulse is a contiguous stretch above zero. The answer sought is the first pulse over 1 % of the
 * highest, and the highest is known only at the end. Only a pulse higher than all before it can be
 * the answer, and only while it exceeds 1 % of the highest so far: the list of candidates rises
 * strictly and spans a ratio of at most 100. Should it fill up, the candidate is dropped that
 * leaves the narrowest gap, below 100^(2/512) = 1.02: the answer is then a later pulse, higher by
 * less than that. */
#include "pulses.h"

#include <math.h>
#include <string.h>

#include "cubic.h"
#include "numbers.h"

#define WORTH_ASKING 0.01 /* of the highest pulse */

struct pulses {
    int closings;
    bool running;
    struct wave_pulse now; /* while running: the pulse so far */
    int kept;
    struct wave_pulse candidate[PULSES_KEPT + 1]; /* of the running set, rising */
    struct wave_pulse answer[WAVE_CLOSINGS];      /* of the earlier sets; peak 0: there was none */
};

struct pulses *pulses_new(struct arena *arena)
{
    return ARENA_NEW(arena, struct pulses);
}

/* --- the candidates --- */

static void drop(struct pulses *p, int i, int count)
{
    p->kept -= count;
    memmove(p->candidate + i, p->candidate + i + count,
            (size_t)(p->kept - i) * sizeof *p->candidate);
}

static void drop_low(struct pulses *p, double highest)
{
    int low = 0;
    while (low < p->kept && p->candidate[low].peak <= WORTH_ASKING * highest) low++;
    if (low > 0) drop(p, 0, low);
}

/* Never the highest. What falls into the gap is answered by its upper end. */
static void thin(struct pulses *p)
{
    const struct wave_pulse *c = p->candidate;
    int narrowest = 0;
    double least = HUGE_VAL;
    for (int i = 0; i + 1 < p->kept; i++) {
        double below = i > 0 ? c[i - 1].peak : WORTH_ASKING * c[p->kept - 1].peak;
        double gap = c[i + 1].peak / below;
        if (gap < least) {
            least = gap;
            narrowest = i;
        }
    }
    drop(p, narrowest, 1);
}

static void begin(struct pulses *p, double t)
{
    p->running = true;
    p->now = (struct wave_pulse){.peak_time = t, .start = t, .end = t};
}

static void end(struct pulses *p, double t)
{
    p->running = false;
    p->now.end = t;
    if (p->now.peak <= 0 || (p->kept > 0 && p->now.peak <= p->candidate[p->kept - 1].peak)) return;
    drop_low(p, p->now.peak);
    p->candidate[p->kept++] = p->now;
    if (p->kept > PULSES_KEPT) thin(p);
}

static bool first_of_set(const struct pulses *p, struct wave_pulse *pulse)
{
    double highest = p->kept > 0 ? p->candidate[p->kept - 1].peak : 0;
    if (p->running) highest = larger(highest, p->now.peak);
    for (int i = 0; i < p->kept; i++) {
        if (p->candidate[i].peak <= WORTH_ASKING * highest) continue;
        *pulse = p->candidate[i];
        return true;
    }
    *pulse = p->now;
    return highest > 0;
}

/* --- the steps --- */

static void raise_peak(struct pulses *p, double t, double v)
{
    if (v <= p->now.peak) return;
    p->now.peak = v;
    p->now.peak_time = t;
}

/* The stretch from x = a to b of a step with the cubic c belongs to the running pulse. */
static void take(struct pulses *p, double t0, double dt, const struct cubic *c, double a, double b)
{
    double x[2];
    int found = cubic_stationary(c, a, b, x);
    for (int i = 0; i < found; i++) raise_peak(p, t0 + 0.5 * dt * (1 + x[i]), cubic_at(c, x[i]));
    p->now.square_integral += 0.5 * dt * cubic_square_integral(c, a, b);
    p->now.end = t0 + 0.5 * dt * (1 + b);
}

void pulses_step(struct pulses *p, double t0, double t1, const double v[WAVE_NODES])
{
    if (p->closings == 0) return;
    double dt = t1 - t0, from = -1;
    if (p->running && !(v[0] > 0)) end(p, t0);
    if (!(v[0] > 0 || v[1] > 0 || v[2] > 0 || v[3] > 0)) return;
    if (!p->running && v[0] > 0) begin(p, t0);
    struct cubic c = cubic_through(v);
    for (int i = 0; i < WAVE_NODES; i++) {
        double x = cubic_node[i];
        if (i > 0 && (v[i] > 0) != (v[i - 1] > 0)) {
            x = cubic_crossing(&c, cubic_node[i - 1], cubic_node[i]);
            if (v[i] > 0) {
                from = x;
                begin(p, t0 + 0.5 * dt * (1 + x));
            } else {
                take(p, t0, dt, &c, from, x);
                end(p, p->now.end);
            }
        }
        if (v[i] > 0) raise_peak(p, t0 + 0.5 * dt * (1 + cubic_node[i]), v[i]);
    }
    if (p->running) take(p, t0, dt, &c, from, 1);
    if (p->running) p->now.end = t1;
}

void pulses_instant(struct pulses *p, double t, double v)
{
    if (p->running) raise_peak(p, t, v);
}

void pulses_cut(struct pulses *p, double t)
{
    if (p->running) end(p, t);
}

void pulses_closing(struct pulses *p, double t)
{
    if (p->closings == WAVE_CLOSINGS) return;
    pulses_cut(p, t);
    if (p->closings > 0 && !first_of_set(p, &p->answer[p->closings - 1]))
        p->answer[p->closings - 1].peak = 0;
    p->kept = 0;
    p->now = (struct wave_pulse){0};
    p->closings++;
}

bool pulses_first(const struct pulses *p, int closing, struct wave_pulse *pulse)
{
    if (closing < 0 || closing >= p->closings) return false;
    if (closing == p->closings - 1) return first_of_set(p, pulse);
    *pulse = p->answer[closing];
    return pulse->peak > 0;
}
