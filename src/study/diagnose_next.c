/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reading to take next: the mutual information of cause and reading, over the minutes it takes,
 * among those that are safe. Nothing is ever read plate to plate, at the socket of a live rectifier,
 * with the speaker out under power or in an opened lead: such readings are not in the list
 * (questions.c). */
#include <math.h>
#include <string.h>

#include "diagnose_impl.h"
#include "numbers.h"

enum { BINS = 240, CAUSES = 16 };
#define WORTH 0.05     /* least gain that is worth the way to the bench [bit] */
#define DEAD_FIRST 0.5 /* a dead reading goes before a live one that tells twice as much a minute */
#define LEADING 0.05   /* share from which a cause is among the leaders */
#define TOGETHER 0.1   /* the same of all dangerous ones: one diode of four, nobody knows which */
#define REACH 4.5      /* deviations on either side */

struct guess {
    double weight, mean, deviation;
};

struct looking {
    struct arena *arena; /* passing */
    const struct diagnosis *d;
    int causes[CAUSES];
    int n;
    const double *cold; /* [reads] volts while no tube draws; NaN: not known */
};

/* ---- what is safe ---- */

static bool on_transformer(const struct set *set)
{
    return set->line_volts < 60 || part_with(set, ROLE_TRANSFORMER);
}

static void find_limit(struct diagnosis *d)
{
    const struct responses *r = &d->r;
    double sum = 0;
    bool leads = false;
    for (int i = 0; i < r->causes.n; i++) {
        int c = d->order[i];
        if (!r->causes.at[c].dangerous) continue;
        leads |= i < d->group || d->of[c].share >= LEADING;
        sum += d->of[c].share;
    }
    d->limit = leads || sum >= TOGETHER ? NEXT_NO_FULL_LINE : NEXT_ANY;
    if (!on_transformer(r->set) && !r->q.meter->isolated) d->limit = NEXT_NOT_ISOLATED;
}

static void open_loads(struct overrides *o, void *context)
{
    const struct set *set = context;
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_LOAD))
            overrides_text(o, set->parts.at[i]->name, "condition", "open");
}

/* Direct volts that a lead meets where it is clipped on, whatever is read there: those of the sound
 * set, or while no tube draws. On a lamp they may rise as high once the cold tubes pass little. */
static double volts_met(const struct looking *l, const char *subject)
{
    const read_list *reads = &l->d->r.q.reads;
    double most = 0;
    for (int i = 0; i < reads->n; i++) {
        const struct read *r = &reads->at[i];
        if (r->unit != UNIT_VOLT || r->situation < 0 || strcmp(r->what.subject, subject) != 0)
            continue;
        if (isfinite(r->sound)) most = larger(most, fabs(r->sound));
        if (isfinite(l->cold[i])) most = larger(most, fabs(l->cold[i]));
    }
    return most;
}

static bool is_safe(const struct looking *l, int read)
{
    const struct read *r = &l->d->r.q.reads.at[read];
    if (r->class == CLASS_DEAD) return true;
    if (l->d->limit == NEXT_NOT_ISOLATED) return false;
    if (l->d->limit == NEXT_NO_FULL_LINE && r->class == CLASS_LINE) return false;
    return r->unit != UNIT_VOLT || question_by_plug(r) ||
           volts_met(l, r->what.subject) < l->d->r.q.meter->rated;
}

/* ---- how much it tells ---- */

static int guesses_of(const struct looking *l, int cause, int read, struct guess *g)
{
    const struct diagnosis *d = l->d;
    int n = 0;
    for (int k = 0; k < d->placed[cause].n; k++) {
        double weight = d->of[cause].weight[k];
        if (weight < 0.01 * d->of[cause].share) continue;
        g[n].weight = weight;
        if (weigh_next(l->arena, &d->r, d->placed, &d->evidence, cause, k, read, &g[n].mean,
                       &g[n].deviation))
            n++;
    }
    return n;
}

static double below(const struct guess *g, int n, double x)
{
    double sum = 0;
    for (int i = 0; i < n; i++)
        sum += g[i].weight * erfc((g[i].mean - x) / g[i].deviation / sqrt(2));
    return sum / 2;
}

/* Mutual information of the cause and the bin that the reading falls into [bit]. */
static double information(const struct looking *l, int read)
{
    struct guess(*g)[WEIGH_PLACES] = arena_alloc(l->arena, CAUSES * sizeof *g);
    int n[CAUSES];
    double low = HUGE_VAL, high = -HUGE_VAL, total = 0;
    for (int c = 0; c < l->n; c++) {
        n[c] = guesses_of(l, l->causes[c], read, g[c]);
        for (int k = 0; k < n[c]; k++) {
            low = smaller(low, g[c][k].mean - REACH * g[c][k].deviation);
            high = larger(high, g[c][k].mean + REACH * g[c][k].deviation);
            total += g[c][k].weight;
        }
    }
    double gain = 0, before[CAUSES] = {0}, whole[CAUSES] = {0};
    for (int c = 0; c < l->n; c++) {
        for (int k = 0; k < n[c]; k++) whole[c] += g[c][k].weight / total;
        if (n[c] > 0) before[c] = below(g[c], n[c], low) / total;
    }
    for (int b = 0; b < BINS && total > 0; b++) {
        double x = low + (high - low) * (b + 1) / BINS, in[CAUSES] = {0}, all = 0;
        for (int c = 0; c < l->n; c++) {
            if (n[c] == 0) continue;
            double up = below(g[c], n[c], x) / total;
            in[c] = up - before[c];
            before[c] = up;
            all += in[c];
        }
        for (int c = 0; c < l->n; c++)
            if (in[c] > 0) gain += in[c] * log2(in[c] / (whole[c] * all));
    }
    return gain * total; /* causes that give nothing there stay as likely as they are */
}

static void offer(struct diagnosis *d, struct next_reading next)
{
    int k = d->nexts < DIAGNOSE_NEXT ? d->nexts++ : DIAGNOSE_NEXT;
    for (; k > 0 && d->next[k - 1].per_minute < next.per_minute; k--)
        if (k < DIAGNOSE_NEXT) d->next[k] = d->next[k - 1];
    if (k < DIAGNOSE_NEXT) d->next[k] = next;
}

void diagnose_next(struct arena *arena, struct diagnosis *d)
{
    struct looking l = {.arena = arena_scratch(arena), .d = d};
    double *cold = ARENA_ARRAY(arena, double, d->r.width);
    find_limit(d);
    const struct responses_single unloaded = {.lay = open_loads, .context = (void *)d->r.set};
    const int live = d->r.q.lamp >= 0 ? d->r.q.lamp : d->r.q.situations.n;
    if (!responses_single(arena, &d->r, &unloaded, live, cold))
        for (int i = 0; i < d->r.width; i++) cold[i] = (double)NAN;
    l.cold = cold;
    for (int i = 0; i < d->r.causes.n && l.n < CAUSES; i++)
        if (d->of[d->order[i]].share >= DIAGNOSE_ASKED &&
            d->r.causes.at[d->order[i]].special != SPECIAL_OUTSIDE)
            l.causes[l.n++] = d->order[i];
    for (int i = d->r.q.read; i < d->r.q.reads.n && l.n > 1; i++) {
        const struct read *read = &d->r.q.reads.at[i];
        if (!isfinite(read->sound) || !is_safe(&l, i)) continue;
        double gain = information(&l, i);
        double minutes = diagnose_effort(read->work);
        arena_clear(l.arena);
        if (gain < WORTH) continue;
        double first = read->class == CLASS_DEAD ? 1 / DEAD_FIRST : 1;
        offer(d, (struct next_reading){i, gain, first * gain / minutes});
    }
}
