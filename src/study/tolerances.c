/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points are drawn a block at a time, so that threads may take them in any order and memory stays
 * bounded; each sample lives in an arena of its own, and is taken in its turn. */
#include "tolerances.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "pool.h"
#include "tolerances_points.h"
#include "tolerances_sample.h"

enum { BLOCK = 256, AHEAD = 64 };
enum {
    FAILED_EARLY = 3
}; /* samples: where more than these and most have no steady state, few of
                              the others will */

struct slot {
    struct arena *arena;
    const struct tolerances_sample *sample;
};

struct making {
    struct arena *arena, *scratch;
    struct tolerances *t;
    struct tolerances_common common;
    struct tolerances_points *points;
    struct tolerances_sums *sums;
    double *u;    /* [BLOCK][groups] */
    long first;   /* sample at which the block begins */
    double *race; /* [rows] what volts before the tubes draw are taken times; NaN: not at all */
    long *over;   /* [rows] samples */
    int room;     /* of both */
    struct slot slots[AHEAD];
};

/* ---- rows ---- */

/* Of a run's books, or of the data sheet: its first capacitor is of what is printed on the part. */
static bool is_bookkeeping(enum measure m)
{
    return measure_table[m].stand_in || m == MEASURE_AUDIT_ENERGY || m == MEASURE_AUDIT_CHARGE ||
           m == MEASURE_LEAPS || m == MEASURE_CYCLES_LEAPT || m == MEASURE_INTERRUPTED_AT ||
           m == MEASURE_SETTLED;
}

static bool is_capacitor(const struct setup *setup, const char *subject)
{
    const struct part *p = set_find(setup->stages.at[0].set, subject);
    return p && part_is(p, ROLE_CAPACITOR);
}

static bool is_wanted(const struct making *m, const struct judged *j, enum tolerances_of of)
{
    if (of == TOLERANCES_BEFORE)
        return j->figure.measure == MEASURE_HIGHEST_VOLTAGE &&
               is_capacitor(m->t->setup, j->figure.subject);
    return !is_bookkeeping(j->figure.measure);
}

/* Where a run has waited for the steady state, its extremes and temperatures are of another kind
 * than those of the others. */
static bool is_left_out(const struct tolerances_sample *sample, const struct judged *j,
                        enum tolerances_of of)
{
    const struct measure_row *row = &measure_table[j->figure.measure];
    return sample->waited[of] && !row->at_end && row->moved_by != EFFECT_RIPPLE;
}

static bool is_watched(const struct making *m, const struct judged *j, enum tolerances_of of)
{
    const struct measure_row *row = &measure_table[j->figure.measure];
    if (of == TOLERANCES_BEFORE || j->rating) return true;
    return row->compared != 0 && !is_capacitor(m->t->setup, j->figure.subject);
}

static bool is_of(const struct tolerances_row *row, const struct judged *j, enum tolerances_of of)
{
    return row->of == of && row->measure == j->figure.measure &&
           strcmp(row->subject, j->figure.subject) == 0;
}

/* The nth row of the figure, from 0; `from` is where it is likely. -1: there is none. */
static int find_row(const struct tolerances *t, const struct judged *j, enum tolerances_of of,
                    int nth, int from)
{
    if (nth == 0 && from < t->rows.n && is_of(&t->rows.at[from], j, of)) return from;
    for (int i = 0; i < t->rows.n; i++)
        if (is_of(&t->rows.at[i], j, of) && nth-- == 0) return i;
    return -1;
}

static const char *copied(struct arena *arena, const char *text)
{
    return text ? arena_text(arena, text, strlen(text)) : NULL;
}

static struct failure copied_failure(struct arena *arena, const struct failure *why)
{
    struct failure copy = *why;
    copy.message = copied(arena, why->message);
    copy.trouble = trouble_copy(arena, &why->trouble);
    return copy;
}

static const struct rating *copied_rating(struct arena *arena, const struct rating *rating)
{
    if (!rating) return NULL;
    struct rating *copy = ARENA_NEW(arena, struct rating);
    *copy = *rating;
    copy->subject = copied(arena, rating->subject);
    copy->source = copied(arena, rating->source);
    copy->system = copied(arena, rating->system);
    return copy;
}

static int add_row(struct making *m, const struct judged *j, enum tolerances_of of)
{
    struct arena *a = m->arena;
    struct tolerances_row row = {.of = of,
                                 .variant = m->common.names[of],
                                 .subject = copied(a, j->figure.subject),
                                 .measure = j->figure.measure,
                                 .unit = j->figure.unit,
                                 .rating = copied_rating(a, j->rating),
                                 .nominal = (double)NAN,
                                 .watched = is_watched(m, j, of)};
    array_push(a, &m->t->rows, row);
    if (m->t->rows.n > m->room) {
        int room = 2 * m->t->rows.n;
        double *race = ARENA_ARRAY(a, double, room);
        long *over = ARENA_ARRAY(a, long, room);
        for (int i = 0; i < m->room; i++) race[i] = m->race[i], over[i] = m->over[i];
        m->race = race;
        m->over = over;
        m->room = room;
    }
    m->race[m->t->rows.n - 1] = 1;
    return m->t->rows.n - 1;
}

/* Calls `on` for every figure that is wanted, with its row. */
typedef void on_figure(struct making *m, int row, const struct judged *j, void *context);

static void each_figure(struct making *m, const struct tolerances_sample *sample, on_figure *on,
                        void *context)
{
    int at = 0, nth = 0;
    for (int of = 0; of < 3; of++) {
        const struct judgement *all = sample->judgement[of];
        const struct judged *last = NULL;
        for (int i = 0; all && i < all->all.n; i++) {
            const struct judged *j = &all->all.at[i];
            if (!is_wanted(m, j, (enum tolerances_of)of) ||
                is_left_out(sample, j, (enum tolerances_of)of))
                continue;
            nth = last && last->figure.measure == j->figure.measure &&
                          strcmp(last->figure.subject, j->figure.subject) == 0
                      ? nth + 1
                      : 0;
            int row = find_row(m->t, j, (enum tolerances_of)of, nth, at);
            if (row < 0) row = add_row(m, j, (enum tolerances_of)of);
            on(m, row, j, context);
            last = j;
            at = row + 1;
        }
    }
}

/* ---- one sample ---- */

/* Of volts before the tubes draw the verdict is that of what they are taken to be. */
static bool is_over(const struct making *m, int row, const struct judged *j)
{
    if (m->t->rows.at[row].of != TOLERANCES_BEFORE || !j->rating) return j->verdict == VERDICT_OVER;
    return j->figure.value * m->race[row] > j->rating->limit;
}

static void take_nominal(struct making *m, int row, const struct judged *j, void *context)
{
    struct tolerances_row *r = &m->t->rows.at[row];
    (void)context;
    r->nominal = j->figure.value * m->race[row];
    r->nominal_over = is_over(m, row, j);
}

static void take_figure(struct making *m, int row, const struct judged *j, void *context)
{
    bool *any = context, over = is_over(m, row, j);
    tolerances_sums_add(m->sums, row, j->figure.value * m->race[row]);
    m->over[row] += over;
    *any |= over;
}

static bool wants_on(const struct making *m)
{
    const struct tolerances_options *o = &m->t->options;
    return m->t->status == STATUS_OK && !(o->interrupted && o->interrupted());
}

static void make(void *context, int i)
{
    struct making *m = context;
    struct slot *slot = &m->slots[i % AHEAD];
    int groups = m->t->list.groups.n;
    double *values = ARENA_ARRAY(slot->arena, double, m->t->list.values.n);
    uncertain_values(&m->t->list, m->u + (size_t)i * (size_t)groups, values);
    slot->sample = tolerances_sample_make(slot->arena, &m->common, values);
}

static void work(void *context, int i)
{
    struct making *m = context;
    struct slot *slot = &m->slots[i % AHEAD];
    *slot = (struct slot){arena_new(), NULL};
    pool_within(slot->arena, make, context, i);
}

static void keep(struct making *m, int i, const struct tolerances_sample *sample)
{
    struct tolerances *t = m->t;
    bool any = false;
    unsigned long before = (unsigned long)tolerances_sums_samples(m->sums);
    tolerances_sums_begin(m->sums, m->u + (size_t)i * (size_t)t->list.groups.n,
                          tolerances_points_pick(m->points, before + 1));
    each_figure(m, sample, take_figure, &any);
    t->restless += sample->waited[TOLERANCES_RUN];
    t->over += any;
    t->done++;
}

static bool take(void *context, int i)
{
    struct making *m = context;
    struct tolerances *t = m->t;
    struct slot *slot = &m->slots[i % AHEAD];
    const struct tolerances_sample *sample = slot->sample;
    if (!sample) arena_exhausted(m->arena);
    else if (sample->status == STATUS_INTERRUPTED) t->status = STATUS_INTERRUPTED;
    else if (sample->status == STATUS_OK) keep(m, i, sample);
    else if (t->failed++ == 0) t->first = copied_failure(m->arena, &sample->why);
    if (slot->arena) arena_free(slot->arena);
    slot->arena = NULL;
    if (t->options.done)
        t->options.done(t->options.done_context, (int)(m->first + i + 1), (int)t->asked);
    if (!wants_on(m)) t->status = STATUS_INTERRUPTED;
    if (t->options.only_steady && t->failed > FAILED_EARLY && t->failed > t->done)
        t->status = STATUS_SOLUTION, t->why = t->first;
    return t->status == STATUS_OK;
}

/* ---- all of them ---- */

static void give_back_slots(void *making)
{
    struct making *m = making;
    for (int i = 0; i < AHEAD; i++)
        if (m->slots[i].arena) arena_free(m->slots[i].arena), m->slots[i].arena = NULL;
}

static bool run_block(struct making *m, int n)
{
    int jobs = m->t->options.jobs > 0 ? m->t->options.jobs : pool_processors();
    if (jobs > AHEAD) jobs = AHEAD;
    for (int i = 0; i < n; i++)
        tolerances_points_next(m->points, m->u + (size_t)i * (size_t)m->t->list.groups.n);
    bool good = pool_run_in(m->arena, n, jobs, AHEAD, work, take, m);
    give_back_slots(m);
    if (!good && m->t->status == STATUS_OK)
        m->t->status = STATUS_SOLUTION, m->t->why.cause = FAILURE_THREADS;
    return good;
}

static void run_samples(struct making *m)
{
    struct tolerances *t = m->t;
    int groups = t->list.groups.n;
    m->points = tolerances_points_new(m->arena, groups, t->options.seed);
    m->sums = tolerances_sums_new(m->arena, groups);
    m->u = ARENA_ARRAY(m->arena, double, (size_t)BLOCK *(size_t)groups);
    arena_at_free(m->arena, give_back_slots, m);
    for (m->first = 0; m->first < t->asked; m->first += BLOCK) {
        long left = t->asked - m->first;
        if (!run_block(m, left < BLOCK ? (int)left : BLOCK)) return;
    }
    if (t->done > 0) return;
    t->status = STATUS_SOLUTION;
    t->why = t->first;
}

/* Beyond these the highest volts of a turn-on are not those before the tubes draw: a capacitor that
 * holds bias, say. */
#define RACE_LEAST 0.5
#define RACE_MOST 1.1

/* A rectifier that is hot long before the tubes comes as near to the volts without load. */
#define RACE_WON 0.01

/* A turn-on of the scenario as it is, for its highest volts before the tubes draw. */
static void find_race(struct making *m)
{
    struct run_options o = run_defaults();
    o.duration = m->t->options.duration;
    o.no_bleed = true;
    o.progress = tolerances_sample_asks;
    o.progress_context = &m->common;
    if (m->t->setup->stages.at[0].mains_source >= 0) o.angle = PI / 2;
    const struct result *r = run_simulate(m->scratch, m->t->setup, &o);
    for (int i = 0; r->status == STATUS_OK && i < m->t->rows.n; i++) {
        struct tolerances_row *row = &m->t->rows.at[i];
        if (row->of != TOLERANCES_BEFORE) continue;
        const struct figure *f = run_figure(r, row->subject, row->measure);
        double ratio = f ? f->value / row->nominal : 0;
        m->race[i] = ratio >= RACE_LEAST && ratio <= RACE_MOST ? ratio : (double)NAN;
        m->t->race |= fabs(m->race[i] - 1) > RACE_WON; /* false of NaN */
        row->nominal *= m->race[i];
        row->nominal_over = row->rating && row->nominal > row->rating->limit;
    }
    arena_clear(m->scratch);
}

static bool run_nominal(struct making *m)
{
    struct tolerances *t = m->t;
    const struct tolerances_sample *sample = tolerances_sample_make(m->scratch, &m->common, NULL);
    t->status = sample->status;
    t->why = copied_failure(m->arena, &sample->why);
    if (t->status == STATUS_OK) each_figure(m, sample, take_nominal, NULL);
    m->common.angle = sample->closing_angle;
    arena_clear(m->scratch);
    if (t->status == STATUS_OK && m->common.before) find_race(m);
    return t->status == STATUS_OK;
}

static void finish_row(struct making *m, int i)
{
    struct tolerances *t = m->t;
    struct tolerances_row *row = &t->rows.at[i];
    int groups = t->list.groups.n;
    row->spread = tolerances_sums_spread(m->sums, i);
    row->share_over =
        row->rating && row->spread.n > 0 ? (double)m->over[i] / (double)row->spread.n : (double)NAN;
    if (!row->watched) return;
    row->share = ARENA_ARRAY(m->arena, double, groups);
    row->error = ARENA_ARRAY(m->arena, double, groups);
    row->has_shares = tolerances_sums_shares(m->sums, i, row->share, row->error, &row->explained);
}

struct tolerances *tolerances_make(struct arena *arena, struct diags *diags,
                                   const struct scenario *s, const char *variant,
                                   const struct tolerances_options *options)
{
    struct making *m = ARENA_NEW(arena, struct making);
    struct tolerances *t = ARENA_NEW(arena, struct tolerances);
    m->arena = arena;
    m->scratch = arena_scratch(arena);
    m->t = t;
    t->scenario = s;
    t->options = *options;
    t->asked = options->samples;
    t->setup = scenario_setup(arena, diags, s, variant);
    if (!t->setup) {
        t->status = STATUS_SCENARIO;
        return t;
    }
    if (options->untimed) t->setup = tolerances_sample_untimed(arena, t->setup);
    t->variant = t->setup->variant;
    t->list = uncertain_of(arena, s, variant, t->setup);
    m->common = (struct tolerances_common){
        .scenario = s, .variant = variant, .list = &t->list, .options = &t->options};
    tolerances_sample_prepare(arena, t->setup, &m->common);
    if (!run_nominal(m) || t->list.groups.n == 0) return t;
    run_samples(m);
    for (int i = 0; t->done > 0 && i < t->rows.n; i++) finish_row(m, i);
    return t;
}

const struct tolerances *tolerances_bands(struct arena *arena, const struct scenario *s,
                                          const char *variant,
                                          const struct tolerances_options *options)
{
    struct tolerances_options o = *options;
    o.samples = TOLERANCES_BANDS;
    o.seed = 1;
    const struct tolerances *t = tolerances_make(arena, diags_new(arena), s, variant, &o);
    return t->status == STATUS_OK && 4 * t->done >= 3 * t->asked ? t : NULL;
}

const struct tolerances_row *tolerances_find(const struct tolerances *t, const char *subject,
                                             enum measure measure)
{
    for (int i = 0; i < t->rows.n; i++) {
        const struct tolerances_row *row = &t->rows.at[i];
        if (row->of == TOLERANCES_RUN && row->measure == measure &&
            strcmp(row->subject, subject) == 0)
            return row;
    }
    return NULL;
}

int tolerances_foremost(const struct tolerances *t, const struct tolerances_row *row, int nth)
{
    double below = HUGE_VAL;
    int found = -1, last = -1;
    if (!row->has_shares) return -1;
    for (; nth >= 0; nth--) {
        found = -1;
        for (int g = 0; g < t->list.groups.n; g++) {
            bool after = row->share[g] < below || (row->share[g] == below && g > last);
            if (after && (found < 0 || row->share[g] > row->share[found])) found = g;
        }
        if (found < 0) return -1;
        below = row->share[found];
        last = found;
    }
    return found;
}
