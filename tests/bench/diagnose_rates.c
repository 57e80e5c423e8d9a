/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How often `diagnose` is right. Sets with a fault are made up, read and diagnosed: sound parts drawn
 * from their tolerances, readings to three digits with an error of 1 %: direct volts and ripple at
 * both ends of the filter's capacitors, and the line current. One table of responses a set serves
 * all its trials.
 *
 *     diagnose_rates [--tune] [--trials 300] [--seed 1] [--faults] [SCENARIO...]
 *
 * --tune: the sets that tables were tuned on, else those that rates are told of. --faults: a row a
 * fault. Faults are drawn by their priors; those that move no reading by two standard deviations are
 * counted apart. Then once more with truth from another model: rectifier tubes of exponent 1.4, a
 * line whose crest is 2 % low, loads that are resistances, tolerances 1.5 times as wide and normal.
 */
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuit.h"
#include "diagnose.h"
#include "laws.h"
#include "numbers.h"
#include "readings.h"

enum { MOST = 24, BINS = 5 };
#define ALIKE 0.1 /* ln of the odds */

struct tally {
    long n, first, second, group, danger, passed;
    double size;
};

struct rates {
    struct tally moved, apart, all, sound;
    double brier;
    long weighed, told[BINS];
    double right[BINS], said[BINS];
};

struct bench {
    struct arena *arena;
    const struct responses *r, *written;
    const struct placed *placed;
    gsl_rng *rng;
    bool other;
    struct tally *of; /* [causes] */
};

/* ---- the other model ---- */

#define EXPONENT 1.4
#define PIVOT 40.0     /* volts at which both laws give the same */
#define SOFT 0.1       /* volts below which the exponent is 1.5 again */
#define FLATTENED 0.02 /* of the crest */

/* Smooth down to no volts, since the integrator follows each step of it. */
static double other_scale(double v)
{
    return pow((v + SOFT) / PIVOT, EXPONENT - 1.5);
}

static double other_current(const void *par, int port, const double *c, double v, double *g)
{
    double slope, i = law_diode.current(par, port, c, v, &slope);
    double scale = other_scale(larger(v, 0));
    *g = (slope + i * (EXPONENT - 1.5) / (larger(v, 0) + SOFT)) * scale;
    return i * scale;
}

/* The slope of the current by own and foreign states goes with it. */
static void other_slopes(const void *par, const double *v, const double *s, const double *x,
                         const double *c, struct device_slopes *slopes)
{
    law_diode.slopes(par, v, s, x, c, slopes);
    double scale = other_scale(larger(v[0], 0));
    for (int k = 0; k < DEVICE_FOREIGN; k++) slopes->i_x[0][k] *= scale;
}

static void alter(const struct setup *setup, void *context)
{
    static struct device_law other;
    struct circuit *c = (struct circuit *)setup->stages.at[0].circuit;
    (void)context;
    other = law_diode;
    other.current = other_current;
    other.slopes = other_slopes;
    for (int i = 0; i < c->devices.n; i++) {
        struct device *d = &c->devices.at[i];
        if (d->law == &law_diode) d->law = &other;
        if (d->law != &law_load) continue;
        struct load_law *load = (struct load_law *)d->par;
        if (load->kind == LOAD_TUBES) load->kind = LOAD_RESISTANCE;
    }
    for (int i = 0; i < c->waveforms.n; i++)
        if (c->waveforms.at[i].kind == WAVEFORM_SINE) c->waveforms.at[i].peak *= 1 - FLATTENED;
}

/* ---- one set made up ---- */

static void draw_values(struct bench *b, double *values)
{
    const struct uncertain_list *list = &b->r->uncertain;
    double *u = ARENA_ARRAY(b->arena, double, list->groups.n + 1);
    double *z = ARENA_ARRAY(b->arena, double, list->groups.n + 1);
    for (int g = 0; g < list->groups.n; g++) {
        u[g] = gsl_rng_uniform(b->rng);
        z[g] = clamp(gsl_ran_ugaussian(b->rng), -2.5, 2.5);
    }
    uncertain_values(list, u, values);
    for (int i = 0; b->other && i < list->values.n; i++) {
        const struct uncertain *v = &list->values.at[i];
        double wide = uncertain_mean(v) + 1.5 * uncertain_deviation(v) * z[v->group];
        values[i] = v->low > 0 ? clamp(wide, 0.5 * v->low, 2 * v->high) : wide;
    }
}

static double three_digits(double x)
{
    if (x == 0 || !isfinite(x)) return x;
    double unit = pow(10, floor(log10(fabs(x))) - 2);
    return round(x / unit) * unit;
}

static int draw_cause(struct bench *b)
{
    double at = gsl_rng_uniform(b->rng), sum = 0;
    for (int i = 0; i < b->r->causes.n; i++) {
        sum += b->r->causes.at[i].prior;
        if (at < sum) return i;
    }
    return 0;
}

/* With the tolerances as they are written. */
static const struct responses *as_written(struct arena *arena, const struct responses *r)
{
    struct responses *copy = ARENA_NEW(arena, struct responses);
    *copy = *r;
    copy->tolerances.at = ARENA_ARRAY(arena, struct tolerance_moved, r->tolerances.n + 1);
    for (int t = 0; t < r->tolerances.n; t++) {
        struct tolerance_moved *m = &copy->tolerances.at[t];
        *m = r->tolerances.at[t];
        m->per_deviation /= m->width;
        m->shift *= m->width;
        m->width = 1;
    }
    return copy;
}

/* Whether the fault, all else as written, moves a reading of the sound set by two deviations. */
static bool moves(const struct bench *b, int cause, double severity)
{
    const struct responses *r = b->written;
    const struct cause *c = &r->causes.at[cause];
    int place = 0;
    for (int k = 0; k < b->placed[cause].n; k++)
        if (c->nodes > 1 && fabs(b->placed[cause].severity[k] - severity) <
                                fabs(b->placed[cause].severity[place] - severity))
            place = k;
    const struct evidence none = {0, NULL, NULL, false};
    for (int i = 0; i < r->q.reads.n; i++) {
        double mean, deviation, y = b->placed[cause].at[place * r->width + i];
        if (weigh_next(b->arena, r, b->placed, &none, 0, 0, i, &mean, &deviation) &&
            fabs(y - mean) > 2 * deviation)
            return true;
    }
    return false;
}

static void count(struct tally *t, const struct weighed *of, const int *order, int n, int cause,
                  bool dangerous, bool passed)
{
    int group = diagnose_group(of, order, n), rank = 0;
    while (order[rank] != cause) rank++;
    t->n++;
    t->first += rank == 0;
    t->second += rank < 2 || rank < group;
    t->group += rank < group;
    t->size += group;
    t->danger += dangerous;
    t->passed += dangerous && passed;
}

/* Whether some other cause lets expect what was read as much as the true one does: only how often
 * each is met tells them apart. */
static bool read_alike(const struct weighed *of, int n, int cause)
{
    bool alike = false;
    for (int i = 0; i < n; i++)
        alike |= i != cause && fabs(of[i].evidence - of[cause].evidence) < ALIKE;
    return alike;
}

static void tally_odds(struct rates *rates, const struct weighed *of, int n, int cause)
{
    rates->weighed++;
    for (int i = 0; i < n; i++) {
        rates->brier += sq(of[i].share - (i == cause));
        int bin = (int)(of[i].share * BINS * 0.9999);
        rates->told[bin]++;
        rates->said[bin] += of[i].share;
        rates->right[bin] += i == cause;
    }
}

static bool one(struct bench *b, int cause, struct rates *rates)
{
    const struct responses *r = b->r;
    const struct cause *c = &r->causes.at[cause];
    const int n = r->q.reads.n, causes = r->causes.n;
    double *values = ARENA_ARRAY(b->arena, double, r->uncertain.values.n + 1);
    double *y = ARENA_ARRAY(b->arena, double, r->width), place = gsl_rng_uniform(b->rng);
    int *read = ARENA_ARRAY(b->arena, int, n);
    double severity = c->nodes < 2  ? c->severity[0]
                      : c->discrete ? c->severity[(int)(place * c->nodes)]
                                    : cause_severity(c, place);
    draw_values(b, values);
    const struct responses_single set = {
        .cause = {c}, .severity = {severity}, .values = values, .alter = b->other ? alter : NULL};
    bool made = responses_single(b->arena, r, &set, r->q.situations.n, y);
    for (int i = 0; i < n; i++) {
        read[i] = i;
        y[i] = three_digits(y[i] * (1 + 0.01 * gsl_ran_ugaussian(b->rng)));
        made &= isfinite(y[i]);
    }
    if (!made) return false;
    const struct evidence e = {n, read, y, false};
    const struct weighed *of = weigh(b->arena, r, b->placed, &e);
    const int *order = diagnose_order(b->arena, of, causes);
    bool passed = r->causes.at[order[0]].special == SPECIAL_SOUND;
    for (int i = 0; i < causes; i++)
        passed &= !(r->causes.at[i].dangerous && of[i].share > DIAGNOSE_EXCLUDED);
    tally_odds(rates, of, causes, cause);
    if (cause == 0) count(&rates->sound, of, order, causes, cause, false, passed);
    else {
        count(&rates->all, of, order, causes, cause, c->dangerous, passed);
        if (moves(b, cause, severity)) {
            count(&rates->moved, of, order, causes, cause, c->dangerous, passed);
            if (!read_alike(of, causes, cause))
                count(&rates->apart, of, order, causes, cause, c->dangerous, passed);
            count(&b->of[cause], of, order, causes, cause, c->dangerous, passed);
        }
    }
    return true;
}

/* ---- a set ---- */

static bool yes(void *context, int cause, int node)
{
    (void)context, (void)cause, (void)node;
    return true;
}

static bool has(const char *const *points, int n, const char *point)
{
    for (int i = 0; i < n; i++)
        if (strcmp(points[i], point) == 0) return true;
    return false;
}

/* The readings taken of every set: both ends of the filter's capacitors, as far as they are no
 * reference, then the line. */
static const struct scenario *ask(struct arena *arena, struct diags *diags,
                                  const struct scenario *s)
{
    const struct setup *setup = scenario_setup(arena, diags, s, NULL);
    if (!setup) return NULL;
    const struct set *set = setup->stages.at[0].set;
    const char *point[MOST], *name[2 * MOST + 1], *value[2 * MOST + 1];
    int points = 0, n = 0;
    for (int i = 0; i < set->parts.n; i++) {
        struct part_way way;
        if (!part_is(set->parts.at[i], ROLE_FILTER) || !part_way(set, set->parts.at[i], 0, &way))
            continue;
        for (int end = 0; end < 2 && points < MOST; end++)
            if (strcmp(way.point[end], set->circuit->reference) != 0 &&
                !has(point, points, way.point[end]))
                point[points++] = way.point[end];
    }
    for (int i = 0; i < points; i++) {
        name[n] = arena_printf(arena, "%s DC", point[i]), value[n++] = "1 V";
        name[n] = arena_printf(arena, "%s AC", point[i]), value[n++] = "1 V";
    }
    name[n] = "mains current", value[n++] = "1 A";
    return readings_instead(arena, s, n, name, name, value);
}

static void print_tally(const char *what, const struct tally *t)
{
    if (t->n == 0) return;
    double n = (double)t->n;
    printf("  %-34s %5ld  first %3.0f %%  two or group %3.0f %%  group %.1f", what, t->n,
           100 * (double)t->first / n, 100 * (double)t->second / n, t->size / n);
    if (t->danger > 0) printf("  passed %ld of %ld dangerous", t->passed, t->danger);
    putchar('\n');
}

static void add(struct tally *sum, const struct tally *t)
{
    sum->n += t->n, sum->first += t->first, sum->second += t->second, sum->group += t->group;
    sum->danger += t->danger, sum->passed += t->passed, sum->size += t->size;
}

static void print_rates(const struct rates *r)
{
    print_tally("faults that move a reading", &r->moved);
    print_tally("  that none other reads like", &r->apart);
    print_tally("all faults", &r->all);
    print_tally("sound sets", &r->sound);
    printf("  Brier score %.3f; shares told and come true:", r->brier / (double)r->weighed);
    for (int i = 0; i < BINS; i++)
        if (r->told[i] > 0)
            printf("  %.2f %.2f", r->said[i] / (double)r->told[i],
                   r->right[i] / (double)r->told[i]);
    putchar('\n');
}

struct asked {
    long trials;
    unsigned long seed;
    bool faults;
};

static void try_all(struct arena *arena, const struct responses *r, const struct asked *asked,
                    bool other, struct rates *sum)
{
    struct rates rates = {0};
    struct bench b = {arena_scratch(arena),
                      r,
                      as_written(arena, r),
                      weigh_place(arena, r),
                      gsl_rng_alloc(gsl_rng_mt19937),
                      other,
                      ARENA_ARRAY(arena, struct tally, r->causes.n)};
    long failed = 0;
    gsl_rng_set(b.rng, asked->seed);
    for (long k = 0; k < asked->trials; k++) {
        int cause = 0;
        while (k % 4 != 3 && (r->causes.at[cause].special == SPECIAL_SOUND ||
                              r->causes.at[cause].special == SPECIAL_OUTSIDE))
            cause = draw_cause(&b);
        failed += !one(&b, cause, &rates);
        arena_clear(b.arena);
    }
    if (other) printf("  truth from another model\n");
    if (failed > 0) printf("  %ld sets have no steady state\n", failed);
    print_rates(&rates);
    for (int i = 0; i < r->causes.n && asked->faults; i++)
        print_tally(arena_printf(arena, "  %s %s", r->causes.at[i].part, r->causes.at[i].name),
                    &b.of[i]);
    fflush(stdout);
    add(&sum->moved, &rates.moved), add(&sum->apart, &rates.apart);
    add(&sum->all, &rates.all), add(&sum->sound, &rates.sound);
    sum->brier += rates.brier, sum->weighed += rates.weighed;
    for (int i = 0; i < BINS; i++)
        sum->told[i] += rates.told[i], sum->said[i] += rates.said[i],
            sum->right[i] += rates.right[i];
    gsl_rng_free(b.rng);
}

static bool rate(const char *path, const struct asked *asked, struct rates sum[2])
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const char *data = scenario_data_folder(arena);
    const struct catalogue *catalogue =
        catalogue_read(arena, diags, arena_printf(arena, "%s/models", data));
    const struct scenario *s = scenario_read(arena, diags, catalogue, path);
    struct responses r = {.scenario = s ? ask(arena, diags, s) : NULL};
    const struct responses_options options = {0};
    enum status status = STATUS_SCENARIO;
    if (r.scenario) {
        const struct setup *setup = scenario_setup(arena, diags, r.scenario, NULL);
        r.set = setup->stages.at[0].set;
        r.q = questions_of(arena, setup, NULL);
        r.causes = causes_of(arena, r.set);
        r.uncertain = uncertain_of(arena, r.scenario, NULL, setup);
    }
    if (!r.scenario || !responses_begin(arena, diags, &r, &options, &status)) {
        diags_print(diags, stderr);
        arena_free(arena);
        return false;
    }
    int *all = ARENA_ARRAY(arena, int, r.causes.n);
    for (int i = 0; i < r.causes.n; i++) all[i] = i;
    const struct responses_task task = {
        .cause = all, .n = r.causes.n - 1, .from = -1, .to = r.q.situations.n, .sloped = yes};
    responses_fill(arena, &r, &task, &options);
    printf("%s: %d causes, %d tolerances, %ld runs, %ld without a steady state\n", path, r.causes.n,
           r.tolerances.n, r.runs, r.failed);
    try_all(arena, &r, asked, false, &sum[0]);
    try_all(arena, &r, asked, true, &sum[1]);
    arena_free(arena);
    return true;
}

int main(int argc, char **argv)
{
    static const char *const tuned[] = {"field-coil", "ac-dc", "bridge", NULL};
    static const char *const told[] = {"back-bias", "choke-input", "amplifier", "doubler", NULL};
    const char *const *names = told;
    struct asked asked = {.trials = 300, .seed = 1};
    struct rates sum[2] = {0};
    bool good = true, named = false;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--tune") == 0) names = tuned;
        else if (strcmp(argv[i], "--faults") == 0) asked.faults = true;
        else if (strcmp(argv[i], "--trials") == 0 && i + 1 < argc) asked.trials = atol(argv[++i]);
        else if (strcmp(argv[i], "--seed") == 0 && i + 1 < argc)
            asked.seed = strtoul(argv[++i], NULL, 10);
        else named = true, good &= rate(argv[i], &asked, sum);
    }
    for (int i = 0; !named && names[i]; i++) {
        char path[256];
        snprintf(path, sizeof path, "%s/scenarios/%s.yaml", SOURCE_DIR, names[i]);
        good &= rate(path, &asked, sum);
    }
    printf("all sets, seed %lu\n", asked.seed);
    print_rates(&sum[0]);
    printf("all sets, truth from another model\n");
    print_rates(&sum[1]);
    return good ? 0 : 1;
}
