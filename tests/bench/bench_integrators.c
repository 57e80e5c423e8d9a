/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a simulated second of the field-coil set costs: the program, GSL's msbdf on the same reduced
 * equations, SUNDIALS IDA on the unreduced ones, each over a sweep of tolerances, and the ratios at
 * an equal error of volts, and of peak current, each by itself. All start hot and are looked at
 * once a cycle, each time 1/64 of a cycle later, so that the last 64 looks make up one settled
 * cycle. Errors are those of the first filter capacitor's mean volts (settled voltage) and of the
 * highest plate current (running peak), against the program at a tight tolerance with nothing held,
 * which IDA at a tight tolerance confirms. Seconds are processor time, the shortest of some rounds;
 * the program's hold all its measuring and auditing, the others' nothing but the solution. That is
 * a second of which every cycle is simulated; the same is then asked of the whole scenario from cold,
 * as a user runs it, with leaps over cycles. Nothing about speed is asserted, but a ratio that cannot
 * be found is a failure. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include <gsl/gsl_errno.h>

#include "independent.h"
#include "numbers.h"
#include "run.h"
#include "shipped.h"

enum { LOOKS = 64, CYCLES = 128, ROUNDS = 3, POINTS_MOST = 10 };
enum { VOLTS, PEAK, ERRORS };
#define HARDLY 1e-3 /* of what is held by default */

static const double hertz = 60, tight = 1e-11, tight_other = 1e-9;
static const double every = (1 + 1.0 / LOOKS) / 60; /* [s] */

/* What is run: so many seconds from hot or from cold; the others are looked at from `from` on. */
struct course {
    bool hot;
    double seconds, from;
};
static struct course course;

/* The last LOOKS values of the capacitor and of both plates. */
struct looks {
    const struct circuit *circuit;
    int n;
    double volts[LOOKS], amperes[LOOKS];
};

static void look(struct looks *l, double volts, double amperes)
{
    l->volts[l->n % LOOKS] = volts;
    l->amperes[l->n % LOOKS] = amperes;
    l->n++;
}

static double settled(const struct looks *l)
{
    double sum = 0;
    for (int k = 0; k < LOOKS; k++) sum += l->volts[k] / LOOKS;
    return sum;
}

static double peak(const struct looks *l)
{
    double highest = 0;
    for (int k = 0; k < LOOKS; k++) highest = larger(highest, l->amperes[k]);
    return highest;
}

static int number_of(const struct circuit *c, const char *part)
{
    int n = 0;
    for (int k = 0; k < c->elements.n; k++) {
        if (c->elements.at[k].kind != ELEMENT_CAPACITOR) continue;
        if (strcmp(c->elements.at[k].part, part) == 0) return n;
        n++;
    }
    return 0;
}

static bool is_tube(const struct element *e)
{
    return e->kind == ELEMENT_PORT && e->gate >= 0;
}

static void look_own(void *context, double t, const struct equations *eq, const double *y)
{
    struct looks *l = context;
    const struct circuit *c = l->circuit;
    double highest = 0;
    int first = eq->network->y_element[number_of(c, "C1")];
    (void)t, (void)y;
    for (int k = 0; k < c->elements.n; k++)
        if (is_tube(&c->elements.at[k]))
            highest = larger(highest, equations_output(eq, OUTPUT_CURRENT, k));
    look(l, equations_output(eq, OUTPUT_VOLTS, first), highest);
}

static void look_other(void *context, double t, const double *values)
{
    struct looks *l = context;
    const struct circuit *c = l->circuit;
    double highest = 0;
    int n = independent_count(c);
    (void)t;
    for (int k = c->elements.n - 1; k >= 0; k--)
        if (is_tube(&c->elements.at[k])) highest = larger(highest, values[--n]);
    look(l, values[number_of(c, "C1")], highest);
}

/* One method at one tolerance. */
struct point {
    double tolerance, seconds; /* processor time */
    double is[ERRORS];         /* settled voltage [V], running peak [A] */
    double error[ERRORS];      /* relative */
    long steps, calls, rejected;
    int patterns;
    bool good;
};

typedef struct point method(const struct setup *setup, double tolerance);

/* Settled voltage of the first filter capacitor and running peak of the plates, of a result. */
static void read_figures(const struct result *r, struct point *p)
{
    for (int i = 0; i < r->figures.n; i++) {
        const struct figure *f = &r->figures.at[i];
        if (f->measure == MEASURE_SETTLED_VOLTAGE && strcmp(f->subject, "C1") == 0)
            p->is[VOLTS] = f->value;
        if (f->measure == MEASURE_RUNNING_PEAK_CURRENT) p->is[PEAK] = larger(p->is[PEAK], f->value);
    }
}

static struct point point_of(const struct result *r, double tolerance, clock_t begun)
{
    return (struct point){.tolerance = tolerance,
                          .seconds = (double)(clock() - begun) / CLOCKS_PER_SEC,
                          .steps = r->statistics.steps,
                          .calls = r->statistics.derivatives,
                          .rejected = r->statistics.rejected,
                          .patterns = r->statistics.patterns,
                          .good = r->status == STATUS_OK};
}

/* The program by what is looked at; `told` (may be NULL): by its own figures. */
static struct point run_looked(const struct setup *setup, double tolerance, double hold,
                               struct point *told)
{
    struct arena *arena = arena_new();
    struct looks looks = {.circuit = setup->stages.at[0].circuit};
    struct run_options o = run_defaults();
    o.angle = 0;
    o.hot = course.hot;
    o.tolerance = tolerance;
    o.hold = hold;
    o.every_cycle = o.no_bleed = true;
    o.duration = course.seconds;
    o.observe = look_own;
    o.observe_context = &looks;
    o.observe_every = every;
    clock_t begun = clock();
    const struct result *r = run_simulate(arena, setup, &o);
    struct point p = point_of(r, tolerance, begun);
    p.is[VOLTS] = settled(&looks);
    p.is[PEAK] = peak(&looks);
    if (told) read_figures(r, told);
    arena_free(arena);
    return p;
}

static struct point run_default(const struct setup *setup, double tolerance)
{
    return run_looked(setup, tolerance, 0, NULL);
}

/* What holding does to the volts has nothing to do with the tolerance: 2e-6 here. */
static struct point run_hardly_held(const struct setup *setup, double tolerance)
{
    return run_looked(setup, tolerance, HARDLY, NULL);
}

static struct point run_other(const struct setup *setup, double tolerance, const char *stepper)
{
    struct looks looks = {.circuit = setup->stages.at[0].circuit};
    struct independent job = {.circuit = looks.circuit,
                              .hot = course.hot,
                              .stop = course.seconds,
                              .from = course.from,
                              .every = every,
                              .tolerance = tolerance,
                              .observe = look_other,
                              .context = &looks};
    bool good = stepper ? independent_odeiv2(&job, stepper) : independent_ida(&job);
    return (struct point){.tolerance = tolerance,
                          .seconds = job.seconds,
                          .is = {settled(&looks), peak(&looks)},
                          .steps = job.steps,
                          .calls = job.calls,
                          .good = good};
}

static struct point run_msbdf(const struct setup *setup, double tolerance)
{
    return run_other(setup, tolerance, "msbdf");
}

static struct point run_ida(const struct setup *setup, double tolerance)
{
    return run_other(setup, tolerance, NULL);
}

/* Points from loose to tight; only those that succeeded. */
struct sweep {
    const char *name;
    int n;
    struct point at[POINTS_MOST];
};

static void judge_point(struct point *p, const struct point *right)
{
    for (int e = 0; e < ERRORS; e++) p->error[e] = fabs(p->is[e] / right->is[e] - 1);
}

static void show(const struct point *p)
{
    printf("  %8.0e %10.1f %9ld %9ld   %.1e  %.1e", p->tolerance, 1e3 * p->seconds / course.seconds,
           p->steps, p->calls, p->error[VOLTS], p->error[PEAK]);
    if (p->patterns) printf("   %ld rejected, %d patterns", p->rejected, p->patterns);
    printf("%s\n", p->good ? "" : "   gave up");
    fflush(stdout);
}

/* Tolerances first, first/10, ... ; the shortest time of some rounds counts. */
static struct sweep sweep(const char *name, method *run, const struct setup *setup, double first,
                          int n, int rounds, const struct point *right)
{
    struct sweep s = {.name = name};
    printf("%s\n  tolerance  ms per s     steps     calls   error of volts, peak\n", name);
    for (int k = 0; k < n; k++) {
        struct point best = run(setup, first * pow(10, -k));
        for (int round = 1; round < rounds && best.good; round++)
            best.seconds = smaller(best.seconds, run(setup, best.tolerance).seconds);
        judge_point(&best, right);
        show(&best);
        if (best.good && s.n < POINTS_MOST) s.at[s.n++] = best;
    }
    /* of two points the looser one never counts as the better one */
    for (int k = s.n - 2; k >= 0; k--)
        for (int e = 0; e < ERRORS; e++)
            s.at[k].error[e] = larger(s.at[k].error[e], s.at[k + 1].error[e]);
    return s;
}

/* Milliseconds per simulated second at an error: between two points by logarithms, or what a point
 * costs that is as good or better, if that is less. Where already the loosest point is better, `loose`
 * says what it means: NaN, or that such a point costs no less than what was asked for. NaN: no point
 * is so good. */
static double cost_at(const struct sweep *s, int e, double error, bool loose)
{
    double least = (double)NAN;
    if (s->n && s->at[0].error[e] < error && !loose) return (double)NAN;
    for (int k = 0; k < s->n; k++) {
        const struct point *a = &s->at[k], *b = a + 1;
        if (a->error[e] <= error) least = fmin(least, a->seconds);
        if (k + 1 == s->n || !(a->error[e] > error && b->error[e] <= error)) continue;
        double share = log(a->error[e] / error) / log(a->error[e] / b->error[e]);
        least = fmin(least, a->seconds * pow(b->seconds / a->seconds, share));
    }
    return 1e3 * least / course.seconds;
}

/* False when a cost could not be found: tolerances of its sweep do not enclose the error. The
 * program may be too good at its loosest; then it costs at most what it costs there. Of its two
 * sweeps the cheaper one counts. */
static bool ratios(const struct sweep own[2], const struct sweep *msbdf, const struct sweep *ida)
{
    static const struct {
        int of;
        double error;
        const char *name;
    } asked[] = {{VOLTS, 1e-5, "volts"}, {VOLTS, 1e-7, "volts"}, {PEAK, 1e-4, "peak current"}};
    bool found = true;
    printf("at equal error, ms per simulated second and times the program's\n"
           "     error                 program     msbdf       IDA   msbdf/program  IDA/program\n");
    for (size_t k = 0; k < sizeof asked / sizeof asked[0]; k++) {
        double mine = fmin(cost_at(&own[0], asked[k].of, asked[k].error, true),
                           cost_at(&own[1], asked[k].of, asked[k].error, true));
        double theirs = cost_at(msbdf, asked[k].of, asked[k].error, false);
        double other = cost_at(ida, asked[k].of, asked[k].error, false);
        printf("  %8.0e of %-12s %9.1f %9.1f %9.1f %15.2f %12.2f\n", asked[k].error, asked[k].name,
               mine, theirs, other, theirs / mine, other / mine);
        found &= isfinite(theirs / mine) && isfinite(other / mine);
    }
    if (!found) printf("not every ratio was found\n");
    return found;
}

static long resident(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss; /* kB on Linux */
}

/* The whole scenario from cold, as a user runs it. */
static void whole_run(const struct setup *setup)
{
    struct arena *arena = arena_new();
    struct run_options o = run_defaults();
    o.angle = 0;
    o.trace = true;
    long before = resident();
    clock_t begun = clock();
    const struct result *r = run_simulate(arena, setup, &o);
    double seconds = (double)(clock() - begun) / CLOCKS_PER_SEC;
    const struct statistics *st = &r->statistics;
    int rows = trace_rows(r->trace), columns = r->columns.n;
    printf("%g s from cold: %.2f s, %.0f ms per simulated second\n", r->end, seconds,
           1e3 * seconds / r->end);
    printf("  %ld steps, %ld rejected, %ld events, %d patterns; audit %.1e of energy, %.1e of "
           "charge\n",
           st->steps, st->rejected, st->events, st->patterns, st->energy_residual,
           st->charge_residual);
    printf("  memory: %ld kB before, %ld kB after; trace: %d rows of %d columns, %zu kB\n", before,
           resident(), rows, columns, (size_t)rows * (size_t)(columns + 1) * sizeof(double) / 1024);
    arena_free(arena);
}

/* The program with its leaps, by its own figures, since looks would forbid them. */
static struct point run_leaps(const struct setup *setup, double tolerance, double hold)
{
    struct arena *arena = arena_new();
    struct run_options o = run_defaults();
    o.angle = 0;
    o.duration = course.seconds;
    o.tolerance = tolerance;
    o.hold = hold;
    o.no_bleed = true;
    clock_t begun = clock();
    const struct result *r = run_simulate(arena, setup, &o);
    struct point p = point_of(r, tolerance, begun);
    read_figures(r, &p);
    arena_free(arena);
    return p;
}

static struct point run_leaping(const struct setup *setup, double tolerance)
{
    return run_leaps(setup, tolerance, 0);
}

static struct point run_leaping_hardly_held(const struct setup *setup, double tolerance)
{
    return run_leaps(setup, tolerance, HARDLY);
}

static bool whole_ratios(const struct setup *setup)
{
    const double looks = floor(setup->duration / every);
    struct point told = {0};
    course = (struct course){.seconds = looks * every, .from = (looks - LOOKS + 1) * every};
    whole_run(setup);
    const struct point looked = run_looked(setup, tight_other, -1, &told);
    printf("%g s from cold\n", course.seconds);
    const struct sweep own[] = {sweep("program", run_leaping, setup, 1e-2, 5, ROUNDS, &told),
                                sweep("program, hardly anything held", run_leaping_hardly_held,
                                      setup, 1e-5, 4, ROUNDS, &told)};
    struct sweep msbdf = sweep("msbdf", run_msbdf, setup, 1e-3, 6, 1, &looked);
    struct sweep ida = sweep("IDA", run_ida, setup, 1e-4, 5, 1, &looked);
    return ratios(own, &msbdf, &ida);
}

static bool second_ratios(const struct setup *setup)
{
    course = (struct course){true, CYCLES * every, every};
    struct point right = run_looked(setup, tight, -1, NULL), second = run_ida(setup, tight_other);
    printf("settled %.9f V, peak %.9f A at %.0e; IDA at %.0e%s: off by %.1e and %.1e\n",
           right.is[VOLTS], right.is[PEAK], tight, tight_other, second.good ? "" : " gave up",
           second.is[VOLTS] / right.is[VOLTS] - 1, second.is[PEAK] / right.is[PEAK] - 1);
    printf("%g s from hot, %g Hz\n", course.seconds, hertz);
    const struct sweep own[] = {
        sweep("program", run_default, setup, 1e-2, 7, ROUNDS, &right),
        sweep("program, hardly anything held", run_hardly_held, setup, 1e-2, 7, ROUNDS, &right)};
    struct sweep msbdf = sweep("msbdf", run_msbdf, setup, 1e-2, 8, ROUNDS, &right);
    struct sweep ida = sweep("IDA", run_ida, setup, 1e-2, 7, ROUNDS, &right);
    return ratios(own, &msbdf, &ida);
}

int main(int argc, char **argv)
{
    const bool only_whole = argc > 1 && strcmp(argv[1], "--whole") == 0;
    gsl_set_error_handler_off();
    struct arena *arena = arena_new();
    const struct setup *setup = shipped_setup(arena, "field-coil", NULL);
    if (!setup) return 1;
    bool found = only_whole || second_ratios(setup);
    found &= whole_ratios(setup);
    arena_free(arena);
    return found ? 0 : 1;
}
