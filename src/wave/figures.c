/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures of a channel from the sums of the periods in the window. Each period has its own
 * reference; all are brought to that of the last. The drift is the slope b of the line fitted to
 * the period means, which a steady ripple of whatever shape leaves alone (a line fitted to the
 * samples would take 0.7 % off the square of a sawtooth in 12 periods): variance about it = mean of
 * u^2 - (mean of u)^2 - 2 b mean of (t u) + b^2 W^2 / 12, t from the middle of the window W. */
#include <assert.h>
#include <math.h>

#include "numbers.h"
#include "wave_impl.h"

#define SETTLED_BAND 1e-4 /* of the last mean */
#define NO_RIPPLE 1e-9    /* of the mean */

struct window {
    int periods;     /* whole ones; 0: only the running one, unfinished */
    double mean;     /* [unit] */
    double variance; /* about the mean [unit^2] */
    double slope;    /* of the line through the means [unit/s] */
    double ripple;   /* variance about the line [unit^2] */
};

static double mean_of_u(const struct period *p, int c)
{
    return p->tally[c].linear[WAVE_PLAIN] / p->length;
}

static struct window part_of_period(const struct period *p, int c)
{
    struct window a = {.mean = wave_period_mean(p, c)};
    if (p->length > 0) a.variance = larger(p->tally[c].square / p->length - sq(mean_of_u(p, c)), 0);
    a.ripple = a.variance;
    return a;
}

/* Time from the middle of the window to that of the period `back` before the running one [s]. */
static double offset(const struct wave *w, int periods, int back)
{
    return (0.5 * (periods + 1) - back) * w->period;
}

static double mean_slope(const struct wave *w, int c, int periods)
{
    double last = w->mean[c], above = 0, below = 0;
    for (int back = periods; back > 0; back--) {
        double o = offset(w, periods, back);
        above += o * (wave_period_mean(wave_earlier(w, back), c) - last);
        below += o * o;
    }
    return below > 0 ? above / below : 0;
}

static struct window whole_periods(const struct wave *w, int c)
{
    struct window a = {.periods = w->done < WAVE_WINDOW ? w->done : WAVE_WINDOW};
    double common = wave_earlier(w, 1)->tally[c].reference;
    double length = 0, sum = 0, square = 0, moment = 0;
    for (int back = a.periods; back > 0; back--) {
        const struct period *p = wave_earlier(w, back);
        const struct tally *y = &p->tally[c];
        double plain = y->linear[WAVE_PLAIN], r = y->reference - common, s = plain + r * p->length;
        length += p->length;
        sum += s;
        square += y->square + r * (2 * plain + r * p->length);
        moment += y->linear[WAVE_MOMENT] + offset(w, a.periods, back) * s;
    }
    sum /= length;
    a.mean = common + sum;
    a.variance = larger(square / length - sum * sum, 0);
    a.slope = mean_slope(w, c, a.periods);
    a.ripple = larger(a.variance - 2 * a.slope * moment / length + sq(a.slope * length) / 12, 0);
    return a;
}

static void read_run(const struct wave *w, int c, struct wave_figures *f)
{
    const struct period *p = wave_running(w);
    struct range all = w->range[c];
    wave_widen(&all, &p->tally[c].range);
    if (all.highest.value < all.lowest.value) all = (struct range){{0, w->start}, {0, w->start}};
    f->highest = all.highest;
    f->lowest = all.lowest;
    f->integral = w->integral[c] + wave_period_mean(p, c) * p->length;
    f->square_integral = w->square_integral[c] + wave_period_square(p, c);
}

static void read_range(const struct wave *w, int c, const struct window *a, struct wave_figures *f)
{
    const struct period *p = a->periods > 0 ? wave_earlier(w, 1) : wave_running(w);
    const struct tally *last = &p->tally[c];
    struct range seen = last->range;
    if (seen.highest.value < seen.lowest.value) return;
    for (int back = 2; back <= a->periods; back++)
        wave_widen(&seen, &wave_earlier(w, back)->tally[c].range);
    f->window_highest = seen.highest.value;
    f->window_lowest = seen.lowest.value;
    if (w->flags[c] & WAVE_SWING) return;
    double late = 0; /* drift beyond that expected when the period began */
    if (a->periods > 1)
        late = (w->mean[c] - wave_period_mean(wave_earlier(w, 2), c)) / w->period - last->slope;
    const struct wave_extreme *high = &last->level.highest, *low = &last->level.lowest;
    f->ripple_pp = larger(high->value - low->value - late * (high->time - low->time), 0);
}

/* A drift b adds -b T^2 / (2 pi h) to the sine integral of each period, nothing to the cosine. */
static double harmonic(const struct wave *w, int c, const struct window *a, int h)
{
    double cosine = 0, sine = a->periods * a->slope * sq(w->period) / (2 * PI * h);
    for (int back = a->periods; back > 0; back--) {
        const struct tally *y = &wave_earlier(w, back)->tally[c];
        cosine += y->linear[WAVE_COSINE + h - 1];
        sine += y->linear[WAVE_SINE + h - 1];
    }
    return 2 * sqrt(cosine * cosine + sine * sine) / (a->periods * w->period);
}

static void read_harmonics(const struct wave *w, int c, const struct window *a,
                           struct wave_figures *f)
{
    if (a->periods == 0) return;
    int strongest = 1;
    for (int h = 1; h <= WAVE_HARMONICS; h++) {
        f->harmonic[h - 1] = harmonic(w, c, a, h);
        if (f->harmonic[h - 1] > f->harmonic[strongest - 1]) strongest = h;
    }
    if (f->ripple_rms > NO_RIPPLE * fabs(f->mean) && f->ripple_rms >= w->floor[c])
        f->strongest = strongest;
}

static void read_settling(const struct wave *w, int c, struct wave_figures *f)
{
    double band = larger(SETTLED_BAND * fabs(f->final_mean), w->floor[c]);
    f->settling_time = HUGE_VAL;
    if (w->done < WAVE_WINDOW) return;
    for (int back = 1; back <= WAVE_WINDOW; back++)
        if (fabs(wave_period_mean(wave_earlier(w, back), c) - f->final_mean) > band) return;
    f->settled = true;
    int outside = means_last_outside(w->means, c, f->final_mean - band, f->final_mean + band);
    /* the window itself is inside, whatever its block says */
    const int before = w->done + w->leapt - WAVE_WINDOW;
    if (outside > before) outside = before;
    f->settling_time = w->start + outside * w->period;
}

void wave_read(const struct wave *w, int channel, struct wave_figures *figures)
{
    assert(channel >= 0 && channel < w->channels);
    *figures = (struct wave_figures){0};
    struct window a =
        w->done > 0 ? whole_periods(w, channel) : part_of_period(wave_running(w), channel);
    figures->mean = a.mean;
    figures->rms = sqrt(a.mean * a.mean + a.variance);
    figures->ripple_rms = sqrt(a.ripple);
    figures->final_mean = w->done > 0 ? w->mean[channel] : a.mean;
    read_run(w, channel, figures);
    read_range(w, channel, &a, figures);
    read_harmonics(w, channel, &a, figures);
    read_settling(w, channel, figures);
}

bool wave_cycle(const struct wave *w, int channel, struct wave_cycle *cycle)
{
    assert(channel >= 0 && channel < w->channels);
    if (w->done == 0) return false;
    const struct period *p = wave_earlier(w, 1);
    const struct range *r = &p->tally[channel].range;
    *cycle = (struct wave_cycle){.mean = wave_period_mean(p, channel),
                                 .rms = sqrt(wave_period_square(p, channel) / p->length),
                                 .highest = r->highest.value,
                                 .lowest = r->lowest.value};
    return true;
}
