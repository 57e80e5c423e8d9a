/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far the figures of every shipped scenario and variant, at default settings, are from those of
 * two references: figures stored in reference/ (an older commit at a tolerance of 1e-10), and a run
 * of this program at that tolerance in which nothing is held and no cycle leapt over. Prints the
 * worst first and how many are beyond the limits; asserts nothing. Sets with a choke whose inductance
 * falls with current, and selenium-portable, whose filaments are a heater since, have no stored
 * figures: the older commit knew no such model.
 *
 *   accuracy [--stored] [--rows N] [--jobs N] [SCENARIO [VARIANT]]
 *
 * --stored leaves out the second reference, which takes a hundred times as long as the rest. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#include "numbers.h"
#include "pool.h"
#include "shipped.h"
#include "turn_on.h"

#define TIGHT 1e-10
#define NEAR_ZERO 1e-2 /* of the largest volts or amperes of its subject */
#define NOTHING 1e-6   /* of the largest of all: a smaller figure counts as one of this size */
#define SETTLED 1e-5
#define EXTREME 1e-4

/* Allowed deviation; 0: the measure is not compared. */
static const double limits[MEASURES] = {
    /* of the last cycles, and warmth */
    [MEASURE_SETTLED_VOLTAGE] = SETTLED,
    [MEASURE_RMS_VOLTAGE] = SETTLED,
    [MEASURE_RMS_CURRENT] = SETTLED,
    [MEASURE_AVERAGE_CURRENT] = SETTLED,
    [MEASURE_DISSIPATION] = SETTLED,
    [MEASURE_TEMPERATURE] = SETTLED, /* of kelvins */
    [MEASURE_LINE_CURRENT] = SETTLED,
    [MEASURE_LINE_POWER] = SETTLED,
    [MEASURE_ENERGY] = EXTREME, /* of the whole run, warming up and all */
    [MEASURE_RIPPLE_RMS] = EXTREME,
    [MEASURE_RIPPLE_PP] = EXTREME,
    [MEASURE_HIGHEST_VOLTAGE] = EXTREME,
    [MEASURE_LOWEST_VOLTAGE] = EXTREME,
    [MEASURE_INVERSE_VOLTAGE] = EXTREME,
    [MEASURE_HIGHEST_CURRENT] = EXTREME,
    [MEASURE_RUNNING_PEAK_CURRENT] = EXTREME,
    [MEASURE_INRUSH_PEAK_CURRENT] = EXTREME,
    [MEASURE_PEAK_I2T] = EXTREME,
    [MEASURE_STORED_ENERGY] = EXTREME, /* of the highest volts */
    [MEASURE_FLAT_TOP_VOLTAGE] = EXTREME,
    [MEASURE_OVERSHOOT_VOLTAGE] = EXTREME,
    [MEASURE_CONTACT_PEAK_CURRENT] = EXTREME,
    [MEASURE_MAKE_CURRENT] = EXTREME,
    [MEASURE_BREAK_CURRENT] = EXTREME,
};

struct value {
    const char *variant, *subject;
    enum measure measure;
    double value;
};

struct values {
    ARRAY(struct value) list;
    bool there; /* the reference holds this variant */
};

enum { STORED, TIGHTER, REFERENCES };

struct deviation {
    const struct value *is;
    const char *scenario;
    double wanted;
    double relative; /* to the value wanted */
    double counted;  /* the same, or to the largest of its subject */
    double share;    /* of the limit */
};

struct tally {
    ARRAY(struct deviation) all;
    ARRAY(const char *) without; /* figures on one side only, variants without a reference */
    int beyond;
};

/* One variant of one scenario. */
struct piece {
    struct arena *arena;
    const char *scenario, *variant;
    const char *trouble;
    struct values now, reference[REFERENCES];
};

struct job {
    struct arena *arena;
    bool stored_only;
    const char *keep; /* a folder for the figures of tight runs, which are made once */
    ARRAY(struct piece) pieces;
    struct tally tally[REFERENCES];
};

/* ---- figures ---- */

static void add(struct arena *arena, struct values *v, struct value one)
{
    if (limits[one.measure] > 0) array_push(arena, &v->list, one);
    v->there = true;
}

static void add_run(struct arena *arena, struct values *v, const struct result *r,
                    const char *variant)
{
    for (int i = 0; r && i < r->figures.n; i++) {
        const struct figure *f = &r->figures.at[i];
        add(arena, v, (struct value){variant, f->subject, f->measure, f->value});
    }
}

static const char *simulate(struct piece *p, const struct run_options *o, struct values *v)
{
    const struct setup *setup = shipped_setup(p->arena, p->scenario, p->variant);
    if (!setup) return "is not set up";
    const struct turn_on *t = turn_on(p->arena, setup, o);
    if (t->status != STATUS_OK) return "is not solved";
    add_run(p->arena, v, t->run, setup->variant);
    add_run(p->arena, v, t->restart, arena_printf(p->arena, "%s (hot restart)", setup->variant));
    return NULL;
}

/* Rows `variant,subject,measure,value` of the variant and its hot restart, no field quoted. */
static void read_rows(struct piece *p, const char *path, int comma, struct values *v)
{
    char line[512], *field[4];
    const char *restart = arena_printf(p->arena, "%s (hot restart)", p->variant);
    FILE *file = fopen(path, "r");
    while (file && fgets(line, sizeof line, file)) {
        int n = 0;
        for (char *at = line; at && n < 4; n++) {
            field[n] = at;
            at = strchr(at, comma);
            if (at) *at++ = '\0';
        }
        if (n < 4 || (strcmp(field[0], p->variant) != 0 && strcmp(field[0], restart) != 0))
            continue;
        add(p->arena, v,
            (struct value){arena_printf(p->arena, "%s", field[0]),
                           arena_printf(p->arena, "%s", field[1]), measure_find(field[2]),
                           strtod(field[3], NULL)});
    }
    if (file) fclose(file);
}

/* The tight run, or what was kept of it. Names may have commas. */
static const char *look_up(struct piece *p, const char *folder, const struct run_options *o,
                           struct values *v)
{
    if (!folder) return simulate(p, o, v);
    char *name = arena_printf(p->arena, "%s, %s.csv", p->scenario, p->variant);
    for (char *c = name; *c; c++)
        if (*c == '/') *c = '-';
    const char *path = arena_printf(p->arena, "%s/%s", folder, name);
    read_rows(p, path, ';', v);
    if (v->there) return NULL;
    const char *trouble = simulate(p, o, v);
    FILE *file = trouble ? NULL : fopen(path, "w");
    for (int i = 0; file && i < v->list.n; i++) {
        const struct value *x = &v->list.at[i];
        fprintf(file, "%s;%s;%s;%.17g\n", x->variant, x->subject, measure_table[x->measure].name,
                x->value);
    }
    if (file) fclose(file);
    return trouble;
}

static void work(void *context, int i)
{
    struct job *job = context;
    struct piece *p = &job->pieces.at[i];
    struct run_options o = run_defaults(), tight = run_defaults();
    p->arena = arena_new();
    o.no_bleed = tight.no_bleed = true;
    tight.tolerance = TIGHT;
    tight.hold = -1;
    tight.every_cycle = true;
    read_rows(p, arena_printf(p->arena, "%s/bench/reference/%s.csv", TESTS_DIR, p->scenario), ',',
              &p->reference[STORED]);
    p->trouble = simulate(p, &o, &p->now);
    if (!p->trouble && !job->stored_only)
        p->trouble = look_up(p, job->keep, &tight, &p->reference[TIGHTER]);
}

/* ---- comparison ---- */

static bool same_name(const struct value *a, const struct value *b)
{
    return a->measure == b->measure && strcmp(a->subject, b->subject) == 0 &&
           strcmp(a->variant, b->variant) == 0;
}

/* The figure of that name which comes as often before it: peaks of several closings have one. */
static const struct value *partner(const struct values *in, const struct values *of, int k)
{
    const struct value *one = &of->list.at[k];
    int skip = 0;
    for (int i = 0; i < k; i++) skip += same_name(&of->list.at[i], one);
    for (int i = 0; i < in->list.n; i++)
        if (same_name(&in->list.at[i], one) && skip-- == 0) return &in->list.at[i];
    return NULL;
}

/* The largest finite magnitude in that unit, of the same subject or of all. */
static double largest(const struct values *v, const struct value *like, bool all)
{
    double most = 0;
    for (int i = 0; i < v->list.n; i++) {
        const struct value *x = &v->list.at[i];
        if (measure_table[x->measure].unit == measure_table[like->measure].unit &&
            (all || strcmp(x->subject, like->subject) == 0) &&
            strcmp(x->variant, like->variant) == 0 && isfinite(x->value))
            most = larger(most, fabs(x->value));
    }
    return most;
}

static double against(double is, double wanted, double scale)
{
    if (is == wanted || (isnan(is) && isnan(wanted))) return 0;
    if (!isfinite(is) || !isfinite(wanted)) return HUGE_VAL;
    return fabs(is - wanted) / scale;
}

static void compare(struct job *job, const struct piece *p, int which)
{
    struct tally *t = &job->tally[which];
    const struct values *ref = &p->reference[which];
    if (!ref->there) {
        array_push(job->arena, &t->without,
                   arena_printf(job->arena, "%s, %s", p->scenario, p->variant));
        return;
    }
    for (int k = 0; k < p->now.list.n; k++) {
        const struct value *is = &p->now.list.at[k], *wanted = partner(ref, &p->now, k);
        if (which == STORED && is->measure == MEASURE_HIGHEST_CURRENT) continue; /* it had a sign */
        if (!wanted) {
            array_push(job->arena, &t->without,
                       arena_printf(job->arena, "%s, %s: %s %s", p->scenario, is->variant,
                                    is->subject, measure_table[is->measure].name));
            continue;
        }
        const double limit = limits[is->measure], size = fabs(wanted->value);
        const double most = largest(ref, wanted, false);
        const double scale =
            larger(size < NEAR_ZERO * most ? most : size, NOTHING * largest(ref, wanted, true));
        struct deviation d = {.is = is, .scenario = p->scenario, .wanted = wanted->value};
        d.relative = against(is->value, wanted->value, size);
        d.counted = against(is->value, wanted->value, scale);
        d.share = d.counted / limit;
        t->beyond += !(d.share <= 1);
        array_push(job->arena, &t->all, d);
    }
    for (int k = 0; k < ref->list.n; k++) {
        const struct value *lost = &ref->list.at[k];
        if (partner(&p->now, ref, k)) continue;
        array_push(job->arena, &t->without,
                   arena_printf(job->arena, "%s, %s: %s %s is in the reference only", p->scenario,
                                lost->variant, lost->subject, measure_table[lost->measure].name));
    }
}

static bool take(void *context, int i)
{
    struct job *job = context;
    const struct piece *p = &job->pieces.at[i];
    fprintf(stderr, "%s, %s%s%s\n", p->scenario, p->variant, p->trouble ? " " : "",
            p->trouble ? p->trouble : "");
    for (int k = 0; k < (job->stored_only ? TIGHTER : REFERENCES) && !p->trouble; k++)
        compare(job, p, k);
    return true;
}

/* ---- report ---- */

static int worst_first(const void *a, const void *b)
{
    double x = ((const struct deviation *)a)->share, y = ((const struct deviation *)b)->share;
    return (x < y) - (x > y);
}

static bool same_run(const struct deviation *a, const struct deviation *b)
{
    return strcmp(a->scenario, b->scenario) == 0 && strcmp(a->is->variant, b->is->variant) == 0;
}

/* A row a run that has figures beyond their limits, the worst run first. */
static void report_runs(const struct tally *t)
{
    if (t->beyond) printf(" of limit   beyond of\n");
    for (int k = 0; k < t->beyond; k++) {
        const struct deviation *worst = &t->all.at[k];
        int n = 0, beyond = 0, earlier = 0;
        for (int j = 0; j < k; j++) earlier += same_run(&t->all.at[j], worst);
        if (earlier) continue;
        for (int j = 0; j < t->all.n; j++) {
            if (!same_run(&t->all.at[j], worst)) continue;
            n++;
            beyond += j < t->beyond;
        }
        printf("%9.2f %6d %5d  %s, %s\n", worst->share, beyond, n, worst->scenario,
               worst->is->variant);
    }
}

static void report(struct tally *t, const char *title, int rows)
{
    qsort(t->all.at, (size_t)t->all.n, sizeof *t->all.at, worst_first);
    printf("\n%s: %d figures, %d beyond their limit, worst first\n"
           " of limit  counted relative         value          wanted\n",
           title, t->all.n, t->beyond);
    for (int k = 0; k < rows && k < t->all.n; k++) {
        const struct deviation *d = &t->all.at[k];
        printf("%9.2f  %.1e  %.1e %15.9g %15.9g  %s, %s: %s %s\n", d->share, d->counted,
               d->relative, d->is->value, d->wanted, d->scenario, d->is->variant, d->is->subject,
               measure_table[d->is->measure].name);
    }
    report_runs(t);
    if (t->without.n) printf("not compared:\n");
    for (int k = 0; k < t->without.n; k++) printf("  %s\n", t->without.at[k]);
}

/* Pieces of what was asked for; NULL: all. */
static void collect(struct job *job, const char *scenario, const char *variant)
{
    int n;
    const char *const *names = shipped_names(job->arena, &n);
    for (int i = 0; i < n; i++) {
        if (scenario && strcmp(scenario, names[i]) != 0) continue;
        const struct scenario *s = shipped_scenario(job->arena, names[i]);
        for (int k = -1; s && k < scenario_variants(s); k++) {
            const char *name = k < 0 ? "base" : scenario_variant(s, k);
            if (variant && strcmp(variant, name) != 0) continue;
            array_push(job->arena, &job->pieces,
                       (struct piece){.scenario = names[i], .variant = name});
        }
    }
}

int main(int argc, char **argv)
{
    struct job job = {.arena = arena_new()};
    int jobs = 1, rows = 40, named = 0;
    const char *names[2] = {NULL, NULL};
    gsl_set_error_handler_off();
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--stored") == 0) job.stored_only = true;
        else if (strcmp(argv[i], "--rows") == 0 && i + 1 < argc) rows = atoi(argv[++i]);
        else if (strcmp(argv[i], "--jobs") == 0 && i + 1 < argc) jobs = atoi(argv[++i]);
        else if (strcmp(argv[i], "--keep") == 0 && i + 1 < argc) job.keep = argv[++i];
        else if (argv[i][0] != '-' && named < 2) names[named++] = argv[i];
        else {
            fprintf(stderr, "accuracy [--stored] [--keep FOLDER] [--rows N] [--jobs N] "
                            "[SCENARIO [VARIANT]]\n");
            return 2;
        }
    }
    collect(&job, names[0], names[1]);
    if (job.pieces.n == 0) {
        fprintf(stderr, "accuracy: there is no such scenario or variant\n");
        return 2;
    }
    pool_run(job.pieces.n, jobs < 1 ? 1 : jobs, job.pieces.n, work, take, &job);
    report(&job.tally[STORED], "against the stored figures", rows);
    if (!job.stored_only) report(&job.tally[TIGHTER], "against nothing held at 1e-10", rows);
    for (int i = 0; i < job.pieces.n; i++) {
        const struct piece *p = &job.pieces.at[i];
        if (p->trouble) printf("%s, %s %s\n", p->scenario, p->variant, p->trouble);
        arena_free(job.pieces.at[i].arena);
    }
    arena_free(job.arena);
    return 0;
}
