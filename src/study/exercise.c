/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The set is run with every fault as a diagnosis does it, and all that may be read next becomes the
 * cards. What is switched on at the end serves the key and the demonstration. */
#include "exercise_impl.h"

#include <math.h>
#include <string.h>

#include "bench_parts.h"
#include "capacitor.h"
#include "numbers.h"
#include "several.h"
#include "tongue.h"

/* What the owner notices, as shares of what the sound set gives; common practice, no source. */
#define SILENT 0.3
#define WEAK 0.85
#define STRAINED 1.1
#define IDLE 0.3 /* what a load takes that plays no more */

#define SURE 2.0 /* deviations from what the sound set reads */
#define SILICON "1N4007"

/* An old capacitor as it is met; common practice, no source. */
#define OLD_LEAKS "5 mA"
#define OLD_LEFT 0.25

/* ---- the owner ---- */

int exercise_noticed(const struct exercise *e, int sign, const double *y)
{
    static const int words[SIGNS] = {3, 3, 2};
    const int at = e->r.q.reads.n + sign;
    int best = 0;
    double most = 0;
    if (isnan(y[at])) return -1;
    for (int word = 0; word < words[sign]; word++) {
        struct sign s = e->r.q.signs.at[sign];
        s.what.word = word;
        double p = question_sign_likelihood(&s, y[at], e->r.of[0].at[at], false);
        if (p > most) most = p, best = word;
    }
    return best;
}

bool exercise_idles(const struct exercise *e, const double *y, int sign)
{
    const int at = e->r.q.reads.n + sign;
    return y[at] < IDLE * e->r.of[0].at[at];
}

static bool any_idles(const struct exercise *e, const double *y)
{
    for (int i = SIGNS; i < e->r.q.signs.n; i++)
        if (exercise_idles(e, y, i)) return true;
    return false;
}

struct exercise_complaint exercise_complains(const struct exercise *e, const double *y)
{
    struct exercise_complaint c = {0};
    double share = y[e->first_look] / e->r.q.reads.at[e->first_look].sound;
    int fuse = exercise_noticed(e, SIGN_FUSE, y), hum = exercise_noticed(e, SIGN_HUM, y);
    c.blows = fuse == 2;
    c.burns = fuse == 1;
    int heaters = exercise_noticed(e, SIGN_HEATERS, y);
    c.dark = heaters == 1;
    c.lit = heaters == 0;
    c.dead = share < SILENT;
    c.weak = !c.dead && share < WEAK;
    const int line = e->r.q.reads.n + SIGN_FUSE;
    c.faint =
        (share > STRAINED && y[line] < e->r.of[0].at[line]) || (share > WEAK && any_idles(e, y));
    c.strained = share > STRAINED && !c.faint;
    c.hum_low = hum == 1 && !c.dead && !c.dark;
    c.hum_raspy = hum == 2 && !c.dead && !c.dark;
    return c;
}

bool exercise_complains_of_nothing(const struct exercise_complaint *c)
{
    return !(c->blows || c->burns || c->dark || c->dead || c->weak || c->faint || c->strained ||
             c->hum_low || c->hum_raspy);
}

/* ---- what is read ---- */

static bool feeds_load(const struct set *set, const char *point)
{
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_LOAD) && part_ends_at(set, set->parts.at[i], point))
            return true;
    return false;
}

static void find_reads(struct exercise *e)
{
    const struct questions *q = &e->r.q;
    e->first_look = e->line = -1;
    for (int i = 0; i < EXERCISE_MARKED; i++) e->marked[i] = -1;
    for (int i = 0; i < q->reads.n; i++) {
        const struct read *read = &q->reads.at[i];
        bool volts = read->what.measure == MEASURE_SETTLED_VOLTAGE;
        if (read->class != CLASS_LINE) continue;
        e->line = read->situation;
        bool fed =
            e->first_look >= 0 && feeds_load(e->r.set, q->reads.at[e->first_look].what.subject);
        if (volts && (!fed || feeds_load(e->r.set, read->what.subject))) e->first_look = i;
        if (read->what.alternating && e->marked[1] < 0) e->marked[1] = i;
        if (read->unit == UNIT_WATT) e->marked[2] = i;
    }
    e->marked[0] = e->first_look;
}

static void add_signs(struct arena *arena, struct exercise *e)
{
    static const enum noticed_kind kinds[SIGNS] = {NOTICED_HUM, NOTICED_FUSE, NOTICED_HEATERS};
    for (int i = 0; i < SIGNS; i++)
        array_push(arena, &e->r.q.signs, (struct sign){{.kind = kinds[i]}, e->line});
    for (int i = 0; i < e->r.set->parts.n; i++)
        if (part_is(e->r.set->parts.at[i], ROLE_LOAD | ROLE_FIELD_COIL))
            array_push(
                arena, &e->r.q.signs,
                (struct sign){{NOTICED_WARMTH, .part = e->r.set->parts.at[i]->name}, e->line});
}

static bool is_sound(struct diags *diags, const struct set *set)
{
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        const char *condition = part_condition(part);
        if (!condition || strcmp(condition, "good") == 0) continue;
        diags_add(diags, DIAG_ERROR, part->at, "an exercise begins with a sound set",
                  "%s is `%s` already", part->name, condition);
        return false;
    }
    return true;
}

static bool nothing_to_read(struct diags *diags, const struct scenario *s)
{
    diags_add(diags, DIAG_ERROR, (struct place){scenario_path(s), 0, 0},
              US_UK("an exercise needs a rectifier, filter capacitors and a load",
                    "an exercise needs a rectifier, smoothing capacitors and a load"),
              "nothing of this set can be read under power");
    return false;
}

static bool begin(struct arena *arena, struct diags *diags, const struct scenario *s,
                  struct exercise *e, const struct exercise_options *options)
{
    struct responses *r = &e->r;
    e->status = STATUS_SCENARIO;
    e->setup = scenario_setup(arena, diags, s, NULL);
    if (!e->setup) return false;
    r->scenario = s;
    r->set = e->setup->stages.at[0].set;
    if (!is_sound(diags, r->set)) return false;
    r->q = (struct questions){.lamp = -1, .meter = &e->setup->measured->meter};
    questions_add_next(arena, &r->q, e->setup);
    find_reads(e);
    if (e->first_look < 0) return nothing_to_read(diags, s);
    add_signs(arena, e);
    r->causes = causes_of(arena, r->set);
    r->uncertain = uncertain_of(arena, s, NULL, e->setup);
    return responses_begin(arena, diags, r, &options->common, &e->status);
}

bool exercise_ended(struct exercise *e, const struct exercise_options *options)
{
    const struct responses_options *common = &options->common;
    bool asked = common->progress && common->progress(NULL, 0);
    e->status = asked ? STATUS_INTERRUPTED : STATUS_SOLUTION;
    if (!asked) e->failure.cause = FAILURE_MEMORY;
    return false;
}

static bool run_faults(struct arena *arena, struct exercise *e,
                       const struct exercise_options *options)
{
    struct responses *r = &e->r;
    int *cause = ARENA_ARRAY(arena, int, r->causes.n);
    for (int i = 0; i < r->causes.n; i++) cause[i] = i;
    const struct responses_task task = {
        .cause = cause + 1, .n = r->causes.n - 2, .from = -1, .to = r->q.situations.n};
    if (!responses_fill(arena, r, &task, &options->common)) return exercise_ended(e, options);
    e->placed = weigh_place(arena, r);
    return true;
}

/* ---- switched on ---- */

struct starting {
    struct arena *arena;
    const struct scenario *s;
    const struct setup *setups[EXERCISE_PUPILS + EXERCISE_SHOWS];
    const struct turn_on **to[EXERCISE_PUPILS + EXERCISE_SHOWS]; /* where each goes */
    int n;
};

/* Before its first timed change; nothing where the set cannot be so. */
static const struct setup *add_start(struct starting *st, const struct overrides *o,
                                     const char *name, const struct turn_on **to)
{
    const struct setup *setup = overrides_setup(o, diags_new(st->arena), st->s, NULL, name);
    if (!setup) return NULL;
    struct setup *first = ARENA_NEW(st->arena, struct setup);
    *first = *setup;
    first->stages.n = 1;
    st->setups[st->n] = first;
    st->to[st->n++] = to;
    return first;
}

static void add_sheets(struct starting *st, struct exercise *e)
{
    for (int i = 0; i < e->pupils; i++) {
        struct exercise_sheet *sheet = &e->sheets[i];
        struct overrides o = overrides_new(st->arena);
        for (int k = 0; k < sheet->faults; k++)
            cause_lay(&o, e->r.set, exercise_cause(e, sheet, k), sheet->fault[k].severity);
        sheet->setup =
            add_start(st, &o, arena_printf(st->arena, "sheet %d", sheet->number), &sheet->run);
    }
}

static void add_silicon(struct starting *st, struct exercise *e)
{
    const struct part *tube = part_with(e->r.set, ROLE_TUBE);
    struct overrides o = overrides_new(st->arena);
    if (!tube) return;
    e->show[SHOW_SILICON].part = tube->name;
    overrides_text(&o, tube->name, "type", SILICON);
    add_start(st, &o, "silicon", &e->show[SHOW_SILICON].run);
}

/* A capacitor that has dried out and leaks, and a new one of its size across it. */
static void add_old(struct starting *st, struct exercise *e)
{
    const char *first = bench_parts_find(st->arena, e->r.set).first;
    const struct part *old = first ? set_find(e->r.set, first) : NULL;
    struct part_way way;
    if (!old || !part_way(e->r.set, old, 0, &way) || !(part_volts(old) > 0)) return;
    struct overrides o = overrides_new(st->arena);
    char volts[32];
    quantity_text(part_volts(old), UNIT_VOLT, OVERRIDES_DIGITS, volts, sizeof volts);
    overrides_text(&o, first, "condition", "leaky");
    overrides_text(&o, first, "leakage", arena_printf(st->arena, OLD_LEAKS " at %s", volts));
    overrides_value(&o, first, "value now", OLD_LEFT * capacitor_farads(old), UNIT_FARAD);
    e->show[SHOW_OLD].part = e->show[SHOW_BRIDGED].part = first;
    add_start(st, &o, "old", &e->show[SHOW_OLD].run);
    e->show_new = overrides_free_name(st->arena, st->s, arena_printf(st->arena, "%s new", first));
    overrides_part(&o, e->show_new, "capacitor", way.point[0], way.point[1]);
    overrides_value(&o, e->show_new, "value", capacitor_farads(old), UNIT_FARAD);
    overrides_value(&o, e->show_new, "rated", part_volts(old), UNIT_VOLT);
    overrides_text(&o, e->show_new, "make", "modern");
    add_start(st, &o, "bridged", &e->show[SHOW_BRIDGED].run);
}

static void fail_run(struct exercise *e, const struct starting *st, int i)
{
    const struct turn_on *t = *st->to[i];
    const struct result *bad = t && t->run->status == STATUS_OK && t->restart ? t->restart
                               : t                                            ? t->run
                                                                              : NULL;
    e->failure = failure_of_run(st->arena, bad, FAILURE_NAMED, st->setups[i]->variant);
}

enum status exercise_switch_on(struct arena *arena, struct exercise *e,
                               const struct exercise_options *options)
{
    struct starting *st = ARENA_NEW(arena, struct starting);
    struct overrides none = overrides_new(arena);
    *st = (struct starting){.arena = arena, .s = e->r.scenario};
    add_start(st, &none, "sound", &e->sound);
    add_sheets(st, e);
    add_silicon(st, e);
    add_old(st, e);
    const struct turn_on **turn_ons = ARENA_ARRAY(arena, const struct turn_on *, st->n);
    struct several_options so = {.run = run_defaults(),
                                 .jobs = options->common.jobs,
                                 .done = options->common.done,
                                 .done_context = options->common.done_context};
    so.run.trace = true;
    so.run.progress = options->common.progress;
    e->status = several_turn_on(arena, st->setups, st->n, &so, turn_ons);
    for (int i = 0; i < st->n; i++) {
        *st->to[i] = turn_ons[i];
        if (!turn_ons[i] || turn_ons[i]->status != STATUS_OK) {
            fail_run(e, st, i);
            return e->status;
        }
        e->unbalanced += turn_ons[i]->run->statistics.audit_failed;
    }
    e->show[SHOW_SOUND].run = e->sound;
    return e->status;
}

struct exercise *exercise_make(struct arena *arena, struct diags *diags, const struct scenario *s,
                               const struct exercise_options *options)
{
    struct exercise *e = ARENA_NEW(arena, struct exercise);
    e->level = options->level;
    e->seed = options->seed;
    e->pupils = options->pupils;
    e->sheets = ARENA_ARRAY(arena, struct exercise_sheet, e->pupils);
    if (!begin(arena, diags, s, e, options)) {
        if (e->status == STATUS_INTERRUPTED) exercise_ended(e, options);
        else if (e->status == STATUS_SOLUTION)
            e->failure = (struct failure){.cause = FAILURE_SOUND};
        return e;
    }
    if (!run_faults(arena, e, options)) return e;
    e->status = STATUS_SCENARIO;
    if (exercise_draw(arena, diags, e, options)) e->status = STATUS_OK;
    return e;
}

/* ---- what the trainer asks ---- */

const struct cause *exercise_cause(const struct exercise *e, const struct exercise_sheet *sheet,
                                   int fault)
{
    return &e->r.causes.at[sheet->fault[fault].cause];
}

bool exercise_moved(const struct exercise *e, const struct exercise_sheet *sheet, int i)
{
    const struct read *read = &e->r.q.reads.at[i];
    double now = sheet->read[i];
    if (isnan(now) != isnan(read->sound)) return true;
    if (isnan(now)) return false;
    /* of a leakage so small that no meter shows it nothing is sure; of the greater one it is */
    double sure = smaller(question_deviation(&e->r.q, read, read->sound),
                          question_deviation(&e->r.q, read, now));
    return fabs(now - read->sound) > SURE * sure;
}

int exercise_mover(const struct exercise *e, const struct exercise_sheet *sheet, int read)
{
    double by[EXERCISE_FAULTS] = {0};
    for (int k = 0; k < sheet->faults; k++) {
        const struct cause *c = exercise_cause(e, sheet, k);
        int node = c->nodes < 2 || c->discrete
                       ? (c->nodes < 2 ? 0 : (int)lround(sheet->fault[k].severity))
                       : (int)lround(cause_place(c, sheet->fault[k].severity) * (c->nodes - 1));
        double y = e->r.of[sheet->fault[k].cause].at[node * e->r.width + read];
        by[k] = isnan(y) ? 0 : fabs(y - e->r.q.reads.at[read].sound);
    }
    return by[1] > by[0];
}

int exercise_read_at(const struct exercise *e, int of, bool alternating)
{
    const struct questions *q = &e->r.q;
    for (int i = 0; i < q->reads.n; i++) {
        const struct read *read = &q->reads.at[i];
        bool kind =
            alternating ? read->what.alternating : read->what.measure == MEASURE_SETTLED_VOLTAGE;
        if (read->class == CLASS_LINE && kind &&
            strcmp(read->what.subject, q->reads.at[of].what.subject) == 0)
            return i;
    }
    return -1;
}

int exercise_best_seen(const struct exercise *e, const struct exercise_sheet *sheet)
{
    int best = e->first_look;
    double most = 0;
    for (int i = 0; i < e->r.q.reads.n; i++) {
        const struct read *read = &e->r.q.reads.at[i];
        if (exercise_read_at(e, i, false) != i) continue;
        int ripple = exercise_read_at(e, i, true);
        double moved = fabs(sheet->read[i] - read->sound);
        if (ripple >= 0) moved += fabs(sheet->read[ripple] - e->r.q.reads.at[ripple].sound);
        if (moved / fabs(read->sound) > most) most = moved / fabs(read->sound), best = i;
    }
    return best;
}

int exercise_show_seen(const struct exercise *e, enum exercise_show show)
{
    int ripple = show == SHOW_SILICON ? -1 : e->marked[1];
    int read = ripple < 0 ? -1 : exercise_read_at(e, ripple, false);
    return read < 0 ? e->first_look : read;
}

void exercise_band(double value, double *low, double *high)
{
    double by = EXERCISE_MARKING * fabs(value);
    *low = value - by;
    *high = value + by;
}

bool exercise_right(double answer, double value)
{
    double low, high;
    exercise_band(value, &low, &high);
    return answer >= low && answer <= high;
}
