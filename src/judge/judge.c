/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures meet ratings by the pair (subject, measure). A limit holds for both signs of a figure.
 * How much of a limit is used is a plain quotient, so the borders at 90, 100 and 110 % are exact;
 * only a temperature is counted by its rise over the room, because a quotient of kelvins says
 * nothing. */
#include "judge.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NEAR_AT_LEAST 1.1 /* of an at-least limit */
#define ROUNDING 1e-6     /* shares nearer to each other are equal */

typedef ARRAY(const struct rating *) rating_list;

bool judge_derived(const struct rating *rating)
{
    return strstr(rating->source, "derived") != NULL;
}

const char *judge_verdict_text(enum verdict verdict)
{
    static const char *const text[] = {[VERDICT_NONE] = "no rating",
                                       [VERDICT_WITHIN] = "within",
                                       [VERDICT_NEAR] = "near",
                                       [VERDICT_OVER] = "over"};
    assert((size_t)verdict < sizeof text / sizeof text[0]);
    return text[verdict];
}

/* --- how much of a limit is used --- */

static double part_of(double value, double limit)
{
    if (isinf(limit)) return 0;
    if (limit > 0) return value / limit;
    return value > 0 ? (double)INFINITY : 0;
}

static double share_of(const struct rating *r, double value, double ambient)
{
    if (isnan(value) || isnan(r->limit)) return (double)NAN;
    if (r->at_least && r->limit > 0) return value > 0 ? r->limit / value : (double)INFINITY;
    if (r->at_least) return part_of(value < 0 ? -value : 0, -r->limit);
    if (r->unit != UNIT_CELSIUS) return part_of(fabs(value), r->limit);
    return part_of(value > ambient ? value - ambient : 0, r->limit - ambient);
}

static enum verdict verdict_of(const struct rating *r, double value, double share)
{
    if (isnan(share)) return VERDICT_NONE;
    if (r->at_least && r->limit > 0) {
        if (value < r->limit) return VERDICT_OVER;
        return value / r->limit < NEAR_AT_LEAST ? VERDICT_NEAR : VERDICT_WITHIN;
    }
    if (share > 1) return VERDICT_OVER;
    return share > JUDGE_NEAR ? VERDICT_NEAR : VERDICT_WITHIN;
}

/* --- matching --- */

static bool same(const char *a, const char *b)
{
    return strcmp(a, b) == 0;
}

static bool meant(const struct rating *r, const struct figure *f)
{
    return same(r->subject, f->subject) && r->measure == f->measure;
}

static bool known(const rating_list *list, const struct rating *r)
{
    for (int i = 0; i < list->n; i++) {
        const struct rating *o = list->at[i];
        if (same(o->subject, r->subject) && o->measure == r->measure && o->limit == r->limit &&
            o->at_least == r->at_least)
            return true;
    }
    return false;
}

static void gather(struct arena *arena, rating_list *list, const struct set *set)
{
    for (int i = 0; i < set->ratings.n; i++) {
        const struct rating *r = &set->ratings.at[i];
        if (!known(list, r)) array_push(arena, list, r);
    }
}

struct bench {
    struct arena *arena;
    struct judgement *judgement;
    double ambient; /* [K] */
};

static void take(struct bench *b, const char *variant, const struct figure *f,
                 const struct rating *r)
{
    struct judged one = {.variant = variant, .figure = *f, .rating = r, .share = (double)NAN};
    if (r) {
        one.share = share_of(r, f->value, b->ambient);
        one.verdict = verdict_of(r, f->value, one.share);
    }
    b->judgement->over += one.verdict == VERDICT_OVER;
    b->judgement->near += one.verdict == VERDICT_NEAR;
    array_push(b->arena, &b->judgement->all, one);
}

/* The least limit that makes a band with an upper one (heater volts); NULL: none. */
static const struct rating *least_of(const rating_list *ratings, const struct figure *f)
{
    for (int i = 0; i < ratings->n; i++)
        if (ratings->at[i]->at_least && ratings->at[i]->limit > 0 && meant(ratings->at[i], f))
            return ratings->at[i];
    return NULL;
}

/* Within a band the share is the distance from its middle over its half width, told against the
 * side the figure lies on: a healthy heater would otherwise stand near both its limits. Both ways
 * to count give 1 at the limits. */
static void take_band(struct bench *b, const char *variant, const struct figure *f,
                      const struct rating *least, const struct rating *most)
{
    double middle = (least->limit + most->limit) / 2, half = (most->limit - least->limit) / 2;
    struct judged one = {.variant = variant, .figure = *f};
    one.rating = f->value < middle ? least : most;
    one.share = fabs(f->value - middle) / half;
    if (one.share > 1) one.share = share_of(one.rating, f->value, b->ambient);
    one.verdict = isnan(one.share)         ? VERDICT_NONE
                  : one.share > 1          ? VERDICT_OVER
                  : one.share > JUDGE_NEAR ? VERDICT_NEAR
                                           : VERDICT_WITHIN;
    b->judgement->over += one.verdict == VERDICT_OVER;
    b->judgement->near += one.verdict == VERDICT_NEAR;
    array_push(b->arena, &b->judgement->all, one);
}

/* How well a run balances is no matter of a part: such a row has a verdict, but no share, and
 * counts neither as over nor among the worst. False when the figure is another. */
static bool take_audit(struct bench *b, const char *variant, const struct figure *f)
{
    static const struct rating audits[] = {
        {"set", MEASURE_AUDIT_ENERGY, RUN_AUDITED, UNIT_NUMBER, false,
         "audit: energy drawn = heat + stored + booked", "", HARM_NONE},
        {"set", MEASURE_AUDIT_CHARGE, RUN_AUDITED, UNIT_NUMBER, false,
         "audit: charge of each capacitor = what came in", "", HARM_NONE}};
    for (int i = 0; i < 2; i++) {
        if (!meant(&audits[i], f)) continue;
        struct judged one = {
            .variant = variant, .figure = *f, .rating = &audits[i], .share = (double)NAN};
        one.verdict = f->value <= audits[i].limit ? VERDICT_WITHIN : VERDICT_OVER;
        array_push(b->arena, &b->judgement->all, one);
        return true;
    }
    return false;
}

static void weigh(struct bench *b, const char *variant, const struct figure *f,
                  const rating_list *ratings)
{
    if (take_audit(b, variant, f)) return;
    const struct rating *least = least_of(ratings, f);
    bool rated = false, band = false;
    for (int i = 0; i < ratings->n && least; i++) {
        const struct rating *r = ratings->at[i];
        if (r->at_least || !meant(r, f) || !(r->limit > least->limit)) continue;
        take_band(b, variant, f, least, r);
        band = rated = true;
    }
    for (int i = 0; i < ratings->n && !band; i++) {
        if (!meant(ratings->at[i], f)) continue;
        take(b, variant, f, ratings->at[i]);
        rated = true;
    }
    if (!rated) take(b, variant, f, NULL);
}

static void weigh_fixed(struct bench *b, const char *variant, const struct set *set)
{
    rating_list ratings = {0};
    gather(b->arena, &ratings, set);
    for (int i = 0; i < set->fixed.n; i++) {
        const struct fixed_figure *x = &set->fixed.at[i];
        struct figure f = {x->subject, x->measure, x->value, measure_table[x->measure].unit,
                           (double)NAN};
        weigh(b, variant, &f, &ratings);
    }
}

/* The stage in which a run ends. */
static const struct set *last_of(const struct setup *setup, const struct result *run)
{
    int k = setup->stages.n - 1;
    while (k > 0 && !(setup->stages.at[k].time < run->end)) k--;
    return setup->stages.at[k].set;
}

/* Nothing comes in at the end: no heater then gets too few volts. */
static void forget_least(rating_list *ratings, const struct result *run)
{
    const struct figure *watts = run_figure(run, "mains", MEASURE_LINE_POWER);
    int kept = 0;
    if (!watts || watts->value != 0) return;
    for (int i = 0; i < ratings->n; i++)
        if (!ratings->at[i]->at_least) ratings->at[kept++] = ratings->at[i];
    ratings->n = kept;
}

static void note_unmet(struct bench *b, const rating_list *ratings)
{
    const struct judgement *j = b->judgement;
    for (int i = 0; i < ratings->n; i++) {
        bool met = false;
        for (int k = 0; k < j->all.n && !met; k++)
            met = meant(ratings->at[i], &j->all.at[k].figure);
        if (!met) array_push(b->arena, &b->judgement->unmet, ratings->at[i]);
    }
}

struct judgement *judge(struct arena *arena, const struct setup *setup,
                        const struct result *const *runs, const char *const *variants, int n)
{
    const struct set *first = setup->stages.at[0].set;
    struct bench b = {arena, ARENA_NEW(arena, struct judgement), first->ambient};
    rating_list ratings = {0};
    for (int i = 0; i < setup->stages.n; i++) gather(arena, &ratings, setup->stages.at[i].set);
    for (int i = 0; i < n; i++) {
        rating_list last = {0};
        gather(arena, &last, last_of(setup, runs[i]));
        forget_least(&last, runs[i]);
        for (int k = 0; k < runs[i]->figures.n; k++) {
            const struct figure *f = &runs[i]->figures.at[k];
            weigh(&b, variants[i], f, measure_table[f->measure].at_end ? &last : &ratings);
        }
        if (i == 0) weigh_fixed(&b, variants[0], first);
    }
    note_unmet(&b, &ratings);
    return b.judgement;
}

/* --- worst first --- */

static int worse(const void *a, const void *b)
{
    const struct judged *x = *(struct judged *const *)a, *y = *(struct judged *const *)b;
    if (x->share != y->share) return x->share > y->share ? -1 : 1;
    int order = strcmp(x->figure.subject, y->figure.subject);
    if (!order)
        order =
            strcmp(measure_table[x->figure.measure].name, measure_table[y->figure.measure].name);
    return order ? order : (x > y) - (x < y);
}

struct judged **judge_worst_first(struct arena *arena, const struct judgement *judgement, int *n)
{
    struct judged **list = ARENA_ARRAY(arena, struct judged *, judgement->all.n);
    *n = 0;
    for (int i = 0; i < judgement->all.n; i++)
        if (!isnan(judgement->all.at[i].share)) list[(*n)++] = &judgement->all.at[i];
    qsort(list, (size_t)*n, sizeof *list, worse);
    return list;
}

/* --- one figure of a part --- */

static bool is_of(const char *subject, const char *part)
{
    size_t n = strlen(part);
    if (strncmp(subject, part, n) != 0) return false;
    if (!subject[n]) return true;
    return (subject[n] == '.' || subject[n] == ' ') && strchr("12", subject[n + 1]) &&
           subject[n + 1] && !subject[n + 2];
}

bool judge_counts_more(const struct judged *a, const struct judged *b)
{
    if (isnan(a->share) != isnan(b->share)) return !isnan(a->share);
    if (!isnan(a->share)) return a->share > (1 + ROUNDING) * b->share;
    return fabs(a->figure.value) > (1 + ROUNDING) * fabs(b->figure.value);
}

const struct judged *judge_worst(const struct judgement *judgement, const char *variant,
                                 const char *subject, enum measure measure)
{
    const struct judged *worst = NULL;
    for (int i = 0; i < judgement->all.n; i++) {
        const struct judged *j = &judgement->all.at[i];
        if (j->figure.measure != measure || !same(j->variant, variant)) continue;
        if (is_of(j->figure.subject, subject) && (!worst || judge_counts_more(j, worst))) worst = j;
    }
    return worst;
}
