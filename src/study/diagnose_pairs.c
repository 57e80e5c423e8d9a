/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two faults at once, where no single one serves. What both do is first guessed: the ratios to the
 * sound set of each, multiplied. The nearest guesses are then run. */
#include <math.h>

#include "diagnose_impl.h"
#include "numbers.h"

enum { SINGLES = 10, TRIED = 6, STEP = 4 /* places apart */ };
#define NEARER 0.25 /* of a single fault's misfit: two always come somewhat nearer */

struct guessed {
    int cause[2], place[2];
    double misfit;
};

struct pairing {
    struct arena *arena;
    const struct diagnosis *d;
    int singles[SINGLES];
    int n;
};

static bool is_fault(const struct cause *c)
{
    return c->special != SPECIAL_SOUND && c->special != SPECIAL_OUTSIDE;
}

static void find_singles(struct pairing *p)
{
    const struct responses *r = &p->d->r;
    for (int i = 0; i < r->causes.n && p->n < SINGLES; i++)
        if (is_fault(&r->causes.at[p->d->order[i]])) p->singles[p->n++] = p->d->order[i];
}

/* Both faults' changes of a reading, one after the other. */
static double joined(const struct read *read, double sound, double a, double b)
{
    double least = diagnose_floor(read->unit);
    if (question_by_decades(read)) return a + b - sound;
    return fabs(sound) > least ? a * b / sound : a + b - sound;
}

static double offset(const struct pairing *p, int i, double expected)
{
    const struct diagnosis *d = p->d;
    const struct read *read = &d->r.q.reads.at[d->evidence.read[i]];
    double mean, deviation;
    if (!isfinite(expected)) return 1;
    /* what the tolerances of the sound set do to it, in proportion */
    const struct evidence none = {0, NULL, NULL, false};
    double spread = question_deviation(&d->r.q, read, expected);
    if (weigh_next(p->arena, &d->r, d->placed, &none, 0, 0, d->evidence.read[i], &mean, &deviation))
        spread = hypot(spread, fabs(mean) > 0 ? deviation * fabs(expected / mean) : deviation);
    return sq((d->evidence.value[i] - expected) / spread);
}

static double misfit_of(const struct pairing *p, const double *expected)
{
    double sum = 0;
    for (int i = 0; i < p->d->evidence.n; i++)
        sum += offset(p, i, expected[p->d->evidence.read[i]]);
    return sum;
}

/* The nearest guess of a pair. */
static struct guessed guess(struct pairing *p, int a, int b)
{
    const struct diagnosis *d = p->d;
    const int reads = d->r.q.reads.n;
    struct guessed best = {.cause = {a, b}, .misfit = HUGE_VAL};
    double *y = ARENA_ARRAY(p->arena, double, reads);
    for (int i = 0; i<d->placed[a].n; i += d->placed[a].n> STEP ? STEP : 1)
        for (int k = 0; k<d->placed[b].n; k += d->placed[b].n> STEP ? STEP : 1) {
            for (int n = 0; n < reads; n++)
                y[n] = joined(&d->r.q.reads.at[n], d->r.q.reads.at[n].sound,
                              diagnose_expected(d, a, i, n), diagnose_expected(d, b, k, n));
            double misfit = misfit_of(p, y);
            if (misfit < best.misfit) best.misfit = misfit, best.place[0] = i, best.place[1] = k;
        }
    return best;
}

/* So many of the first situations were read. */
static int read_in(const struct diagnosis *d)
{
    int n = 0;
    for (int i = 0; i < d->evidence.n; i++) {
        int situation = d->r.q.reads.at[d->evidence.read[i]].situation;
        if (situation >= n) n = situation + 1;
    }
    return n;
}

/* Runs a pair as guessed. False: the set cannot be so. */
static bool run_pair(struct pairing *p, struct arena *arena, const struct guessed *g,
                     struct diagnosed_pair *pair)
{
    const struct diagnosis *d = p->d;
    struct responses_single single = {0};
    for (int k = 0; k < 2; k++) {
        single.cause[k] = &d->r.causes.at[g->cause[k]];
        pair->cause[k] = g->cause[k];
        pair->severity[k] = single.severity[k] = d->placed[g->cause[k]].severity[g->place[k]];
    }
    pair->expected = ARENA_ARRAY(arena, double, d->r.width);
    if (!responses_single(p->arena, &d->r, &single, read_in(d), pair->expected)) return false;
    pair->misfit = misfit_of(p, pair->expected);
    return isfinite(pair->misfit);
}

static void offer(struct diagnosis *d, struct diagnosed_pair pair)
{
    int k = d->pair_count < DIAGNOSE_PAIRS ? d->pair_count++ : DIAGNOSE_PAIRS;
    for (; k > 0 && d->pairs[k - 1].misfit > pair.misfit; k--)
        if (k < DIAGNOSE_PAIRS) d->pairs[k] = d->pairs[k - 1];
    if (k < DIAGNOSE_PAIRS) d->pairs[k] = pair;
}

void diagnose_pairs(struct arena *arena, struct diagnosis *d)
{
    struct pairing p = {.arena = arena_scratch(arena), .d = d};
    struct guessed best[TRIED];
    int n = 0;
    find_singles(&p);
    for (int i = 0; i < p.n; i++)
        for (int k = i + 1; k < p.n; k++) {
            const struct cause *a = &d->r.causes.at[p.singles[i]],
                               *b = &d->r.causes.at[p.singles[k]];
            if (a->part == b->part) continue;
            struct guessed g = guess(&p, p.singles[i], p.singles[k]);
            arena_clear(p.arena);
            int at = n < TRIED ? n++ : TRIED;
            for (; at > 0 && best[at - 1].misfit > g.misfit; at--)
                if (at < TRIED) best[at] = best[at - 1];
            if (at < TRIED) best[at] = g;
        }
    const double single = d->evidence.n > 0 ? d->of[diagnose_single(d)].misfit : 0;
    for (int i = 0; i < n; i++) {
        struct diagnosed_pair pair;
        if (run_pair(&p, arena, &best[i], &pair) && pair.misfit < NEARER * single) offer(d, pair);
        arena_clear(p.arena);
    }
}
