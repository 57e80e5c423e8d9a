/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each end is a trial of its own, compared row by row with the one in which nothing is changed. */
#include "ends.h"

#include <math.h>
#include <string.h>

#include "pool.h"

#define OHMS_MOST 1e12 /* a value can be written up to here */
#define LABEL "end of a range"

enum { SIDES = 2 };

#define MANY 40 /* capacitors, coils and plates of rectifiers: shipped sets have twenty at most */

bool ends_take_long(const struct setup *setup)
{
    const struct circuit *c = setup->stages.at[0].circuit;
    int n = c->gates;
    for (int k = 0; k < c->elements.n; k++)
        n += c->elements.at[k].kind == ELEMENT_CAPACITOR ||
             c->elements.at[k].kind == ELEMENT_INDUCTOR;
    return n > MANY;
}

/* ---- laying ---- */

/* How long it takes is no matter of a set that has been on for hours. */
static bool only_times(const char *key)
{
    static const char *const keys[] = {"warm-up", "heated by", "heat capacity", "mass"};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
        if (strcmp(key, keys[i]) == 0) return true;
    return false;
}

/* `T1.high voltage 2` -> `windings.high voltage.KEY`, both halves alike. */
static void lay_winding(struct overrides *o, const struct assumption *a, const char *dot,
                        const char *text)
{
    const char *part = arena_text(o->arena, a->part, (size_t)(dot - a->part));
    size_t n = strlen(dot + 1);
    bool half = n > 2 && dot[n - 1] == ' ' && strchr("12", dot[n]);
    const char *winding = arena_text(o->arena, dot + 1, half ? n - 2 : n);
    const char *key = strcmp(winding, "primary") == 0
                          ? arena_printf(o->arena, "primary.%s", a->key)
                          : arena_printf(o->arena, "windings.%s.%s", winding, a->key);
    const char *const both[2] = {text, text};
    if (half) overrides_points(o, part, key, both, 2);
    else overrides_text(o, part, key, text);
}

/* Of a coil known at one current the other point: `15 H at 0 A, 10 H at 60 mA`. NULL: the scenario
 * does not say it so. */
static const char *unloaded_coil(struct arena *arena, const struct scenario *s, const char *variant,
                                 const struct assumption *a, const char *text)
{
    const char *path = arena_printf(arena, "%s.inductance", a->part),
               *given = scenario_value(arena, s, variant, path);
    return given && strstr(given, " at ") ? arena_printf(arena, "%s at 0 A, %s", text, given)
                                          : NULL;
}

bool ends_lay(struct overrides *o, const struct scenario *s, const char *variant,
              const struct assumption *a, double value)
{
    char out[64];
    const char *dot = strchr(a->part, '.');
    if (only_times(a->key) || strcmp(a->key, "insulation class") == 0) return false;
    if (a->unit == UNIT_OHM && value > OHMS_MOST) value = OHMS_MOST;
    quantity_text(value, a->unit, OVERRIDES_DIGITS, out, sizeof out);
    const char *text = arena_text(o->arena, out, strlen(out));
    if (strcmp(a->key, "leakage grows") == 0)
        text = arena_printf(o->arena, "%.6g times by 60 C", value);
    if (strcmp(a->key, "inductance without current") == 0) {
        text = unloaded_coil(o->arena, s, variant, a, text);
        if (text) overrides_text(o, a->part, "inductance", text);
        return text != NULL;
    }
    if (dot) lay_winding(o, a, dot, text);
    else overrides_text(o, a->part, a->key, text);
    return true;
}

/* ---- the runs ---- */

struct piece {
    const struct assumption *a; /* NULL: nothing is changed */
    double value;
    struct arena *arena;
    const struct trial *trial; /* NULL: it cannot be set up */
};

struct looking {
    struct arena *arena;
    const struct scenario *s;
    const char *variant;
    const struct trial_options *trial;
    ARRAY(struct piece) pieces;
    struct ends *ends;
};

static void add_pieces(struct looking *l, const struct set *set)
{
    array_push(l->arena, &l->pieces, (struct piece){.a = NULL});
    for (int i = 0; i < set->assumptions.n; i++) {
        const struct assumption *a = &set->assumptions.at[i];
        const double ends[SIDES] = {a->low, a->high};
        struct overrides scratch = overrides_new(l->arena);
        if (!(a->low < a->high)) continue;
        if (!ends_lay(&scratch, l->s, l->variant, a, a->low)) {
            if (!only_times(a->key)) array_push(l->arena, &l->ends->not_laid, a);
            continue;
        }
        for (int k = 0; k < SIDES; k++)
            if (isfinite(ends[k]) && ends[k] != a->value)
                array_push(l->arena, &l->pieces, (struct piece){.a = a, .value = ends[k]});
    }
}

static void make(void *context, int i)
{
    struct looking *l = context;
    struct piece *p = &l->pieces.at[i];
    struct overrides o = overrides_new(p->arena);
    if (p->a) ends_lay(&o, l->s, l->variant, p->a, p->value);
    p->trial = trial_with(p->arena, diags_new(p->arena), l->s, l->variant, LABEL, &o, l->trial);
}

static void work(void *context, int i)
{
    struct looking *l = context;
    l->pieces.at[i].arena = arena_new();
    pool_within(l->pieces.at[i].arena, make, context, i);
}

/* ---- what turns over ---- */

static const struct judged *same_row(const struct judgement *j, const struct judged *row)
{
    for (int i = 0; i < j->all.n; i++) {
        const struct judged *other = &j->all.at[i];
        if (other->figure.measure == row->figure.measure && other->rating &&
            other->rating->at_least == row->rating->at_least &&
            strcmp(other->figure.subject, row->figure.subject) == 0 &&
            strcmp(other->variant, row->variant) == 0)
            return other;
    }
    return NULL;
}

/* Once for each assumption and figure, of alike halves and plates as well. */
static struct end_turn *kept(struct ends *e, const struct end_turn *turn)
{
    size_t n = strcspn(turn->subject, ".");
    for (int i = 0; i < e->turns.n; i++) {
        struct end_turn *t = &e->turns.at[i];
        if (t->assumption == turn->assumption && t->measure == turn->measure &&
            strncmp(t->subject, turn->subject, n) == 0)
            return t;
    }
    return NULL;
}

static void note(struct looking *l, const struct piece *p, const struct judged *row)
{
    const struct figure *f = &row->figure;
    struct end_turn turn = {.assumption = p->a,
                            .value = p->value,
                            .subject = arena_text(l->arena, f->subject, strlen(f->subject)),
                            .measure = f->measure,
                            .figure = f->value,
                            .limit = row->rating->limit,
                            .at_least = row->rating->at_least,
                            .restart = strcmp(row->variant, LABEL) != 0,
                            .share = row->share};
    struct end_turn *old = kept(l->ends, &turn);
    if (!old) array_push(l->arena, &l->ends->turns, turn);
    else if (turn.share > old->share) *old = turn;
}

static void look(struct looking *l, const struct piece *p)
{
    const struct judgement *taken = l->pieces.at[0].trial->judgement, *now = p->trial->judgement;
    for (int i = 0; i < now->all.n; i++) {
        const struct judged *row = &now->all.at[i];
        if (row->verdict != VERDICT_OVER || isnan(row->share)) continue;
        const struct judged *before = same_row(taken, row);
        if (before && before->verdict != VERDICT_OVER) note(l, p, row);
    }
}

static bool take(void *context, int i)
{
    struct looking *l = context;
    struct piece *p = &l->pieces.at[i];
    bool good = p->trial && p->trial->status == STATUS_OK;
    l->ends->interrupted |= p->trial && p->trial->status == STATUS_INTERRUPTED;
    if (i == 0) return good; /* its arena stays to the end */
    if (good) {
        look(l, p);
        l->ends->looked_at++;
    } else if (p->trial) array_push(l->arena, &l->ends->not_settled, p->a);
    else array_push(l->arena, &l->ends->not_laid, p->a);
    if (p->arena) arena_free(p->arena);
    p->arena = NULL;
    return !l->ends->interrupted;
}

static void sort(struct ends *e)
{
    for (int i = 1; i < e->turns.n; i++) { /* by share, those of one share as they came */
        struct end_turn turn = e->turns.at[i];
        int k = i;
        for (; k > 0 && e->turns.at[k - 1].share < turn.share; k--)
            e->turns.at[k] = e->turns.at[k - 1];
        e->turns.at[k] = turn;
    }
}

const struct ends *ends_study(struct arena *arena, const struct scenario *s, const char *variant,
                              const struct setup *setup, const struct ends_options *options)
{
    const struct trial_options trial = {.cold = options->cold,
                                        .progress = options->progress,
                                        .progress_context = options->progress_context};
    struct looking l = {.arena = arena,
                        .s = s,
                        .variant = variant,
                        .trial = &trial,
                        .ends = ARENA_NEW(arena, struct ends)};
    int jobs = options->jobs > 0 ? options->jobs : pool_processors();
    add_pieces(&l, setup->stages.at[0].set);
    pool_run(l.pieces.n, jobs, jobs, work, take, &l);
    for (int i = 0; i < l.pieces.n; i++)
        if (l.pieces.at[i].arena) arena_free(l.pieces.at[i].arena);
    sort(l.ends);
    return l.ends;
}
