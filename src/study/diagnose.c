/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All causes are run as the set was read, and weighed with the tolerances of the sound set; those
 * that lead once more, with the tolerances at their own state, and as it may be read next. */
#include "diagnose.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

#include "diagnose_impl.h"
#include "numbers.h"
#include "suggest.h"

enum { LEADERS = 16 }; /* looked at more closely */
#define LEADS 5e-4     /* least share of such a one */
#define FOUND 0.02     /* a node's share of its cause from which it is run as it may be read next */
#define ODD 3.5        /* deviations from what all other readings let expect */

/* ---- ranks ---- */

int *diagnose_order(struct arena *arena, const struct weighed *of, int n)
{
    int *order = ARENA_ARRAY(arena, int, n);
    for (int i = 0; i < n; i++) {
        int k = i;
        for (; k > 0 && of[order[k - 1]].share < of[i].share; k--) order[k] = order[k - 1];
        order[k] = i;
    }
    return order;
}

int diagnose_group(const struct weighed *of, const int *order, int n)
{
    int group = 1;
    while (group < n && group < DIAGNOSE_GROUP &&
           of[order[0]].share < DIAGNOSE_APART * of[order[group]].share)
        group++;
    return group;
}

double diagnose_expected(const struct diagnosis *d, int cause, int place, int read)
{
    return d->placed[cause].at[place * d->r.width + read];
}

/* ---- the rounds ---- */

static void weigh_all(struct arena *arena, struct diagnosis *d)
{
    d->placed = weigh_place(arena, &d->r);
    d->of = weigh(arena, &d->r, d->placed, &d->evidence);
    d->order = diagnose_order(arena, d->of, d->r.causes.n);
}

static int leaders_of(const struct diagnosis *d)
{
    int n = 0;
    while (n < d->r.causes.n && n < LEADERS && d->of[d->order[n]].share >= LEADS) n++;
    return n;
}

/* The node nearest to a place. */
static int node_at(const struct diagnosis *d, int cause, int place)
{
    const struct placed *p = &d->placed[cause];
    int nodes = d->r.causes.at[cause].nodes;
    return p->n == nodes ? place : (int)lround((double)place * (nodes - 1) / (p->n - 1));
}

static bool is_best(void *context, int cause, int node)
{
    const struct diagnosis *d = context;
    return node == node_at(d, cause, d->of[cause].best);
}

/* Whether a node's neighbourhood holds some of the cause's share. */
static bool holds_share(void *context, int cause, int node)
{
    const struct diagnosis *d = context;
    double sum = 0;
    for (int k = 0; k < d->placed[cause].n; k++)
        if (abs(node_at(d, cause, k) - node) <= 1) sum += d->of[cause].weight[k];
    return sum >= FOUND * d->of[cause].share;
}

/* The leaders once more in the situations from..to-1, their slopes at their best severities. */
static bool look_closer(struct arena *arena, struct diagnosis *d, int from, int to,
                        bool (*wanted)(void *context, int cause, int node),
                        const struct responses_options *options)
{
    int n = 0, leaders = leaders_of(d), *cause = ARENA_ARRAY(arena, int, leaders + 1);
    for (int i = 0; i < leaders; i++)
        if (d->r.causes.at[d->order[i]].special != SPECIAL_OUTSIDE) cause[n++] = d->order[i];
    const struct responses_task task = {.cause = cause,
                                        .n = n,
                                        .from = from,
                                        .to = to,
                                        .wanted = wanted,
                                        .sloped = is_best,
                                        .context = d};
    return responses_fill(arena, &d->r, &task, options);
}

static bool rounds(struct arena *arena, struct diagnosis *d,
                   const struct responses_options *options)
{
    const int sets = d->r.q.sets, situations = d->r.q.situations.n;
    int *all = ARENA_ARRAY(arena, int, d->r.causes.n);
    for (int i = 0; i < d->r.causes.n; i++) all[i] = i;
    const struct responses_task task = {
        .cause = all + 1, .n = d->r.causes.n - 2, .from = -1, .to = sets};
    if (!responses_fill(arena, &d->r, &task, options)) return false;
    weigh_all(arena, d);
    if (!look_closer(arena, d, -1, sets, is_best, options)) return false;
    weigh_all(arena, d);
    if (sets == situations) return true;
    if (!look_closer(arena, d, sets, situations, holds_share, options)) return false;
    weigh_all(arena, d);
    return true;
}

/* ---- what follows ---- */

/* Whether the readings lie about what the cause gives. */
static bool serves(const struct diagnosis *d, int cause)
{
    return d->evidence.n == 0 ||
           gsl_cdf_chisq_Q(d->of[cause].misfit, d->evidence.n) >= DIAGNOSE_SERVES;
}

int diagnose_single(const struct diagnosis *d)
{
    int i = 0;
    while (d->r.causes.at[d->order[i]].special == SPECIAL_OUTSIDE) i++;
    return d->order[i];
}

/* The reading without which some cause serves, farthest off what the others let expect. Two faults
 * at once are thought of before a slip of the pen. */
static void find_odd(struct arena *arena, struct diagnosis *d)
{
    const int n = d->evidence.n;
    int *read = ARENA_ARRAY(arena, int, n + 1);
    double *value = ARENA_ARRAY(arena, double, n + 1), most = 0;
    double *z = ARENA_ARRAY(arena, double, n + 1);
    for (int i = 0; i < n && n >= 3; i++) {
        for (int j = 0, k = 0; j < n; j++)
            if (j != i) read[k] = d->evidence.read[j], value[k++] = d->evidence.value[j];
        const struct evidence others = {n - 1, read, value, d->evidence.signs};
        const struct weighed *of = weigh(arena, &d->r, d->placed, &others);
        int best = diagnose_order(arena, of, d->r.causes.n)[0];
        if (d->r.causes.at[best].special == SPECIAL_OUTSIDE ||
            gsl_cdf_chisq_Q(of[best].misfit, n - 1) < 0.05)
            continue;
        weigh_residuals(arena, &d->r, d->placed, &d->evidence, best, of[best].best, z);
        if (fabs(z[i]) <= larger(ODD, most)) continue;
        most = fabs(z[i]);
        d->odd = i;
        d->odd_cause = best;
        d->odd_place = of[best].best;
    }
    if (d->odd >= 0) d->pair_count = 0; /* none that serves */
}

static void conclude(struct arena *arena, struct diagnosis *d)
{
    d->group = diagnose_group(d->of, d->order, d->r.causes.n);
    d->serves = serves(d, diagnose_single(d));
    d->danger = d->odd = -1;
    for (int i = d->r.causes.n - 1; i >= 0; i--)
        if (d->r.causes.at[d->order[i]].dangerous && d->of[d->order[i]].share > DIAGNOSE_EXCLUDED)
            d->danger = d->order[i];
    if (!d->serves) {
        diagnose_pairs(arena, d);
        bool paired = d->pair_count > 0 &&
                      gsl_cdf_chisq_Q(d->pairs[0].misfit, d->evidence.n) >= DIAGNOSE_SERVES;
        if (!paired) find_odd(arena, d);
    }
    diagnose_next(arena, d);
}

static bool nothing_read(struct diags *diags, const struct scenario *s)
{
    diags_add(
        diags, DIAG_ERROR, (struct place){scenario_path(s), 0, 0},
        "write `measured: {B+: 181 V}` into it, or say --reading \"B+ settled-voltage = 181 V\"",
        "nothing was read, so there is nothing to diagnose");
    return false;
}

static bool no_such_set(struct arena *arena, struct diags *diags, const struct diagnosis *d,
                        const char *name)
{
    suggest_words names = {0};
    for (int i = 0; i < d->setup->measured->sets.n; i++)
        array_push(arena, &names, d->setup->measured->sets.at[i].name);
    diags_add(diags, DIAG_ERROR, (struct place){scenario_path(d->r.scenario), 0, 0},
              suggest(arena, name, &names), "no set of readings is called `%s`", name);
    return false;
}

static bool begin(struct arena *arena, struct diags *diags, const struct scenario *s,
                  const char *variant, const char *set, struct diagnosis *d,
                  const struct responses_options *options)
{
    struct responses *r = &d->r;
    d->status = STATUS_SCENARIO;
    d->setup = scenario_setup(arena, diags, s, variant);
    if (!d->setup) return false;
    r->scenario = s;
    r->variant = variant;
    r->set = d->setup->stages.at[0].set;
    r->q = questions_of(arena, d->setup, set);
    if (set && r->q.sets == 0) return no_such_set(arena, diags, d, set);
    if (r->q.read + r->q.signs.n == 0) return nothing_read(diags, s);
    questions_add_next(arena, &r->q, d->setup);
    r->causes = causes_of(arena, r->set);
    r->uncertain = uncertain_of(arena, s, variant, d->setup);
    return responses_begin(arena, diags, r, options, &d->status);
}

struct diagnosis *diagnose(struct arena *arena, struct diags *diags, const struct scenario *s,
                           const char *variant, const char *set,
                           const struct responses_options *options)
{
    struct diagnosis *d = ARENA_NEW(arena, struct diagnosis);
    if (!begin(arena, diags, s, variant, set, d, options)) {
        return d;
    }
    int *read = ARENA_ARRAY(arena, int, d->r.q.read + 1);
    double *value = ARENA_ARRAY(arena, double, d->r.q.read + 1);
    for (int i = 0; i < d->r.q.read; i++) {
        read[i] = i;
        value[i] = question_compared(&d->r.q.reads.at[i], d->r.q.reads.at[i].what.value);
    }
    d->evidence = (struct evidence){d->r.q.read, read, value, true};
    d->status = rounds(arena, d, options) ? STATUS_OK : STATUS_INTERRUPTED;
    if (d->status == STATUS_OK) conclude(arena, d);
    return d;
}
