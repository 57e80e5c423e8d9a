/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Faults are looked at where the set was run with them anyway, at the nodes of their severities; of those
 * that serve the seed chooses, and a severity near that node. */
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "diagnose_impl.h"
#include "exercise_impl.h"
#include "hint.h"
#include "numbers.h"
#include "pool.h"

enum {
    TRIES = 400,     /* pairs looked at for one sheet */
    GROUP = 3,       /* so many causes may be left that the cards cannot tell apart */
    NAMES_MOST = 200 /* faults offered as hints */
};
#define DIGITS 1         /* behind the first, of a severity that is drawn */
#define STREAM 1000003UL /* between the seeds of two sheets */

struct candidate {
    int cause, n, node[CAUSE_NODES];
};

typedef ARRAY(struct candidate) candidate_list;

struct drawing {
    struct arena *arena;
    struct exercise *e;
    const struct exercise_options *options;
    candidate_list first, second; /* second: the other of two */
    int *order;                   /* [first.n] as shuffled */
    struct piece {
        struct arena *arena; /* NULL: given back */
        struct exercise_sheet sheet;
        bool done, found;
    } * pieces;
    bool ended; /* a piece was not done */
};

/* ---- chance ---- */

static void give_back(void *random)
{
    gsl_rng_free(random);
}

/* MT19937 of GSL: the same numbers on every machine. Stream 0 is that of the seed, 1 on of sheets. */
static gsl_rng *stream(struct arena *arena, unsigned long seed, int number)
{
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    if (!random) arena_exhausted(arena);
    arena_at_free(arena, give_back, random);
    gsl_rng_set(random, seed + STREAM * (unsigned long)number);
    return random;
}

static int pick(gsl_rng *random, int n)
{
    return (int)gsl_rng_uniform_int(random, (unsigned long)n);
}

/* ---- does it serve ---- */

/* All cards that can be read. */
static struct evidence cards_of(struct arena *arena, const struct responses *r, const double *y)
{
    int *read = ARENA_ARRAY(arena, int, r->q.reads.n + 1), n = 0;
    double *value = ARENA_ARRAY(arena, double, r->q.reads.n + 1);
    for (int i = 0; i < r->q.reads.n; i++)
        if (isfinite(y[i]) && isfinite(r->q.reads.at[i].sound)) read[n] = i, value[n++] = y[i];
    return (struct evidence){n, read, value, false};
}

/* What complaint and volts of B+ point at. */
static void look_first(struct arena *arena, struct exercise *e, const double *y, int cause,
                       struct exercise_sheet *sheet)
{
    struct responses *r = &e->r;
    const int all = r->q.signs.n;
    r->q.signs.n = SIGNS; /* nobody reads the others */
    for (int i = 0; i < SIGNS; i++) {
        int word = exercise_noticed(e, i, y);
        r->q.signs.at[i].what.word = word < 0 ? 0 : word;
    }
    const struct evidence evidence = {isfinite(y[e->first_look]), &e->first_look, &y[e->first_look],
                                      true};
    const struct weighed *of = weigh(arena, r, e->placed, &evidence);
    const int *order = diagnose_order(arena, of, r->causes.n);
    int i = 0;
    r->q.signs.n = all;
    while (!r->causes.at[order[i]].fault) i++;
    sheet->first = order[i];
    sheet->first_share = of[order[i]].share;
    sheet->own_share = of[cause].share;
}

static bool misleads(const struct exercise *e, int cause, const struct exercise_sheet *sheet)
{
    const struct cause *own = &e->r.causes.at[cause], *first = &e->r.causes.at[sheet->first];
    return strcmp(own->part, first->part) != 0 &&
           sheet->first_share >= DIAGNOSE_APART * sheet->own_share;
}

/* Whether all cards together lead to the cause. */
static bool found_by_cards(struct arena *arena, const struct exercise *e, const double *y,
                           int cause, int *rank)
{
    const struct evidence cards = cards_of(arena, &e->r, y);
    const struct weighed *of = weigh(arena, &e->r, e->placed, &cards);
    const int *order = diagnose_order(arena, of, e->r.causes.n);
    int group = diagnose_group(of, order, e->r.causes.n);
    *rank = 0;
    while (order[*rank] != cause) ++*rank;
    return *rank < group && group <= GROUP;
}

static bool serves_alone(struct arena *arena, struct exercise *e, int cause, const double *y,
                         struct exercise_sheet *sheet)
{
    sheet->complaint = exercise_complains(e, y);
    if (e->level < 3) {
        if (exercise_complains_of_nothing(&sheet->complaint)) return false;
        look_first(arena, e, y, cause, sheet);
        if (misleads(e, cause, sheet) != (e->level == 2)) return false;
    }
    return found_by_cards(arena, e, y, cause, &sheet->rank);
}

/* ---- which there are ---- */

/* `leaky`, `C1 leaky` or `C1: leaky`. */
static bool is_called(struct arena *arena, const struct cause *c, const char *word)
{
    return strcmp(word, "any") == 0 || strcmp(word, c->name) == 0 ||
           strcmp(word, arena_printf(arena, "%s %s", c->part, c->name)) == 0 ||
           strcmp(word, arena_printf(arena, "%s: %s", c->part, c->name)) == 0;
}

static const struct exercise_row *row_of(const struct exercise *e, const struct cause *c)
{
    return exercise_row_of(e->r.set, set_find(e->r.set, c->part), c->name);
}

static candidate_list candidates(struct drawing *d, const char *word)
{
    const struct responses *r = &d->e->r;
    struct arena *scratch = arena_scratch(d->arena);
    candidate_list list = {0};
    for (int c = 0; c < r->causes.n; c++) {
        const struct cause *cause = &r->causes.at[c];
        struct candidate new = {.cause = c};
        if (!cause->fault || !row_of(d->e, cause) || !is_called(scratch, cause, word)) continue;
        for (int node = 0; node < cause->nodes; node++) {
            struct exercise_sheet sheet;
            const double *y = r->of[c].at + node * r->width;
            if (r->of[c].made[node] == ANSWER_MADE && serves_alone(scratch, d->e, c, y, &sheet))
                new.node[new.n++] = node;
            arena_clear(scratch);
        }
        if (new.n > 0) array_push(d->arena, &list, new);
    }
    return list;
}

/* The error of a word that names no fault of the set: with the nearest one. */
static bool check_word(struct arena *arena, struct diags *diags, const struct exercise *e,
                       const char *word)
{
    const char *names[NAMES_MOST];
    int n = 0;
    for (int i = 0; i < e->r.causes.n; i++) {
        const struct cause *c = &e->r.causes.at[i];
        if (!c->fault) continue;
        if (is_called(arena, c, word)) return true;
        if (n + 2 <= NAMES_MOST) names[n++] = c->name;
        if (n + 1 <= NAMES_MOST) names[n++] = arena_printf(arena, "%s %s", c->part, c->name);
    }
    const char *near = hint_nearest(word, names, n);
    diags_add(diags, DIAG_ERROR, (struct place){NULL, 0, 0},
              near ? arena_printf(arena, "did you mean `%s`?", near)
                   : "`presolder parts KIND` lists the faults of a kind of part",
              "no part of this set can have the fault `%s`", word);
    return false;
}

static bool none_found(struct diags *diags, const struct exercise *e, const char *word)
{
    static const char *const hints[] = {
        "try --level 2: there what is seen first points elsewhere",
        "try --level 1, or a set with more parts",
        "try --level 1 or 2, or another --seed",
    };
    bool any = strcmp(word, "any") == 0;
    diags_add(
        diags, DIAG_ERROR, (struct place){NULL, 0, 0}, hints[e->level - 1],
        "no fault%s%s%s of this set makes an exercise of level %d that its readings can solve",
        any ? "" : " `", any ? "" : word, any ? "" : "`", e->level);
    return false;
}

/* ---- one fault ---- */

/* A severity near a node, in two digits of what is told. */
static double near_node(gsl_rng *random, const struct cause *c, int node)
{
    double u = gsl_rng_uniform(random);
    if (c->nodes < 2 || c->discrete) return c->severity[node];
    double place = clamp((node + u - 0.5) / (c->nodes - 1), 0, 1);
    double told = cause_severity(c, place) * c->times;
    double step = pow(10, floor(log10(told)) - DIGITS);
    double severity = round(told / step) * step / c->times;
    return clamp(severity, c->severity[0], c->severity[c->nodes - 1]);
}

static bool run_single(struct arena *arena, const struct exercise *e,
                       const struct exercise_sheet *sheet, double *y)
{
    struct responses_single single = {0};
    for (int i = 0; i < sheet->faults; i++) {
        single.cause[i] = &e->r.causes.at[sheet->fault[i].cause];
        single.severity[i] = sheet->fault[i].severity;
    }
    return responses_single(arena, &e->r, &single, e->r.q.situations.n, y);
}

static void draw_one(struct drawing *d, struct exercise_sheet *sheet)
{
    struct exercise *e = d->e;
    const struct candidate *c = &d->first.at[d->order[(sheet->number - 1) % d->first.n]];
    const struct cause *cause = &e->r.causes.at[c->cause];
    struct arena *scratch = arena_scratch(d->arena);
    gsl_rng *random = stream(scratch, e->seed, sheet->number);
    int node = c->node[pick(random, c->n)];
    sheet->faults = 1;
    sheet->fault[0] =
        (struct exercise_fault){c->cause, near_node(random, cause, node), row_of(e, cause)};
    sheet->read = ARENA_ARRAY(d->arena, double, e->r.width);
    if (!run_single(scratch, e, sheet, sheet->read) ||
        !serves_alone(scratch, e, c->cause, sheet->read, sheet)) {
        sheet->fault[0].severity = cause->severity[node];
        memcpy(sheet->read, e->r.of[c->cause].at + node * e->r.width,
               (size_t)e->r.width * sizeof *sheet->read);
        serves_alone(scratch, e, c->cause, sheet->read, sheet);
    }
    arena_clear(scratch);
}

/* ---- two faults ---- */

/* Whether no single fault explains the cards, and of the pairs that are tried this one lies nearest. */
static bool found_as_pair(struct arena *arena, const struct exercise *e,
                          struct exercise_sheet *sheet)
{
    struct diagnosis d = {.setup = e->setup, .r = e->r, .placed = e->placed};
    d.evidence = cards_of(arena, &e->r, sheet->read);
    d.of = weigh(arena, &e->r, e->placed, &d.evidence);
    d.order = diagnose_order(arena, d.of, e->r.causes.n);
    if (gsl_cdf_chisq_Q(d.of[diagnose_single(&d)].misfit, d.evidence.n) >= DIAGNOSE_SERVES)
        return false;
    diagnose_pairs(arena, &d);
    if (d.pair_count == 0) return false;
    const int *pair = d.pairs[0].cause, one = sheet->fault[0].cause, other = sheet->fault[1].cause;
    return (pair[0] == one && pair[1] == other) || (pair[0] == other && pair[1] == one);
}

static bool draw_pair(struct drawing *d, struct arena *arena, struct exercise_sheet *sheet)
{
    struct exercise *e = d->e;
    struct arena *scratch = arena_scratch(arena);
    gsl_rng *random = stream(arena, e->seed, sheet->number);
    sheet->faults = 2;
    sheet->first = -1;
    for (int try = 0; try < TRIES; try++) {
        int at = (sheet->number - 1 + try / 4) % d->first.n;
        const struct candidate *c[2] = {&d->first.at[d->order[at]],
                                        &d->second.at[pick(random, d->second.n)]};
        for (int k = 0; k < 2; k++) {
            const struct cause *cause = &e->r.causes.at[c[k]->cause];
            int node = c[k]->node[pick(random, c[k]->n)];
            sheet->fault[k] = (struct exercise_fault){c[k]->cause, near_node(random, cause, node),
                                                      row_of(e, cause)};
        }
        if (strcmp(exercise_cause(e, sheet, 0)->part, exercise_cause(e, sheet, 1)->part) == 0)
            continue;
        bool good = run_single(scratch, e, sheet, sheet->read);
        if (good) sheet->complaint = exercise_complains(e, sheet->read);
        good = good && !exercise_complains_of_nothing(&sheet->complaint) &&
               found_as_pair(scratch, e, sheet);
        arena_clear(scratch);
        if (good) return true;
        if (d->options->common.progress && d->options->common.progress(NULL, 0)) return false;
    }
    return false;
}

static void draw_piece(void *context, int i)
{
    struct drawing *d = context;
    struct piece *p = &d->pieces[i];
    p->sheet.number = i + 1;
    p->sheet.read = ARENA_ARRAY(p->arena, double, d->e->r.width);
    p->found = draw_pair(d, p->arena, &p->sheet);
    p->done = true;
}

static void work(void *context, int i)
{
    struct drawing *d = context;
    d->pieces[i].arena = arena_new();
    pool_within(d->pieces[i].arena, draw_piece, context, i);
}

static bool take(void *context, int i)
{
    struct drawing *d = context;
    struct piece *p = &d->pieces[i];
    const size_t bytes = (size_t)d->e->r.width * sizeof *p->sheet.read;
    if (p->done && p->found) {
        d->e->sheets[i] = p->sheet;
        d->e->sheets[i].read = ARENA_ARRAY(d->arena, double, d->e->r.width);
        memcpy(d->e->sheets[i].read, p->sheet.read, bytes);
    }
    if (p->arena) arena_free(p->arena);
    p->arena = NULL;
    d->ended |= !p->done;
    return p->done && p->found;
}

/* ---- all sheets ---- */

static void shuffle(struct drawing *d)
{
    struct arena *scratch = arena_scratch(d->arena);
    d->order = ARENA_ARRAY(d->arena, int, d->first.n);
    for (int i = 0; i < d->first.n; i++) d->order[i] = i;
    gsl_ran_shuffle(stream(scratch, d->e->seed, 0), d->order, (size_t)d->first.n, sizeof *d->order);
    arena_clear(scratch);
}

static bool draw_pairs(struct drawing *d)
{
    const struct responses_options *common = &d->options->common;
    const int n = d->e->pupils;
    int jobs = common->jobs > 0 ? common->jobs : pool_processors();
    d->pieces = ARENA_ARRAY(d->arena, struct piece, n);
    bool good = pool_run_in(d->arena, n, jobs < POOL_JOBS ? jobs : POOL_JOBS, n, work, take, d);
    for (int i = 0; i < n; i++)
        if (d->pieces[i].arena) arena_free(d->pieces[i].arena);
    return good;
}

static bool stopped(const struct drawing *d)
{
    const struct responses_options *common = &d->options->common;
    return common->progress && common->progress(NULL, 0);
}

bool exercise_draw(struct arena *arena, struct diags *diags, struct exercise *e,
                   const struct exercise_options *options)
{
    struct drawing d = {.arena = arena, .e = e, .options = options};
    if (!check_word(arena, diags, e, options->fault)) return false;
    d.first = candidates(&d, options->fault);
    d.second = e->level < 3 || strcmp(options->fault, "any") == 0 ? d.first : candidates(&d, "any");
    if (stopped(&d)) return exercise_ended(e, options);
    if (d.first.n == 0 || (e->level == 3 && d.second.n < 2))
        return none_found(diags, e, options->fault);
    shuffle(&d);
    if (e->level == 3) {
        if (draw_pairs(&d)) return true;
        return d.ended || stopped(&d) ? exercise_ended(e, options)
                                      : none_found(diags, e, options->fault);
    }
    for (int i = 0; i < e->pupils; i++) {
        if (stopped(&d)) return exercise_ended(e, options);
        e->sheets[i].number = i + 1;
        draw_one(&d, &e->sheets[i]);
    }
    return true;
}
