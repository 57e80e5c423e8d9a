/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the pages of an exercise have in common. */
#include "exercise_pages.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "diagnose_text.h"
#include "file.h"
#include "page.h"
#include "sort.h"
#include "words_exercise.h"
#include "words_harm.h"
#include "words_order.h"

#define TESTER 0.1 /* what a capacitor tester gives at most [A]; common practice, no source */

#define USUAL 1.5 /* times what the sound set does is no news; common practice, no source */

enum { HARMS_MOST = 400, PICTURE_BYTES = 2 * 1024 * 1024 };

/* Tells sheets of another seed apart without saying it. FNV-1a (Fowler, Noll, Vo;
 * draft-eastlake-fnv), folded to 16 bits. */
static const char *series_of(struct arena *arena, const struct exercise *e, const char *fault)
{
    const char *text =
        arena_printf(arena, "%s|%s|%d|%lu", e->setup->title, fault, e->level, e->seed);
    uint32_t hash = 2166136261u;
    for (; *text; text++) hash = (hash ^ (unsigned char)*text) * 16777619u;
    return arena_printf(arena, "%04X", (unsigned)((hash >> 16 ^ hash) & 0xFFFF));
}

struct exercise_pages exercise_pages_of(struct writer *w, struct arena *arena,
                                        const struct exercise *e, const char *fault)
{
    const struct part *fuse = part_with(e->r.set, ROLE_FUSE);
    return (struct exercise_pages){.w = w,
                                   .arena = arena,
                                   .e = e,
                                   .series = series_of(arena, e, fault),
                                   .fuse = fuse ? fuse->name : NULL};
}

/* ---- texts ---- */

const char *exercise_pages_severity(const struct exercise_pages *p, const struct exercise_fault *f)
{
    const struct cause *c = &p->e->r.causes.at[f->cause];
    const char *text = cause_severity_text(p->arena, c, f->severity);
    return *text && c->fault->severity.key
               ? arena_printf(p->arena, "%s %s", c->fault->severity.key, text)
               : text;
}

const char *exercise_pages_fault(const struct exercise_pages *p, const struct exercise_sheet *sheet)
{
    const char *all = NULL;
    for (int k = 0; k < sheet->faults; k++) {
        const char *severity = exercise_pages_severity(p, &sheet->fault[k]);
        const char *one = arena_printf(
            p->arena, "%s%s", diagnose_text_cause(p->arena, exercise_cause(p->e, sheet, k)),
            *severity ? arena_printf(p->arena, words_exercise_in_brackets, severity) : "");
        all = all ? arena_printf(p->arena, "%s; %s", all, one) : one;
    }
    return all;
}

const char *exercise_pages_value(const struct exercise_pages *p, int i, double compared)
{
    const struct read *read = &p->e->r.q.reads.at[i];
    if (isnan(compared)) return words_exercise_cannot;
    if (read->what.kind == READING_LEAKAGE && question_shown(read, compared) > TESTER)
        return words_exercise_off_scale;
    return diagnose_text_value(p->arena, read, compared);
}

const char *exercise_pages_owner(const struct exercise_pages *p, const struct exercise_sheet *sheet)
{
    const struct exercise_complaint *c = &sheet->complaint;
    const struct {
        bool said;
        const char *words;
    } all[] = {
        {c->dark, words_exercise_dark},
        {c->dead && c->lit, words_exercise_dead},
        {c->dead && !c->lit && !c->dark, words_exercise_silent},
        {c->weak && !c->dark, words_exercise_weak},
        {c->faint && !c->dark, words_exercise_faint},
        {c->strained && !c->dark, words_exercise_strained},
        {c->hum_low, words_exercise_hum_low},
        {c->hum_raspy, words_exercise_hum_raspy},
        {c->blows && p->fuse, words_exercise_fuse_blows},
        {c->burns && p->fuse, words_exercise_fuse_burns},
        {c->blows && !p->fuse, words_exercise_no_fuse_blows},
        {c->burns && !p->fuse, words_exercise_no_fuse_burns},
    };
    const char *text = NULL;
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
        if (all[i].said)
            text = text ? arena_printf(p->arena, "%s %s", text, all[i].words) : all[i].words;
    return text ? text : "";
}

const char *exercise_pages_picture(const struct exercise_pages *p, const char *name, size_t *bytes)
{
    const char *path = arena_printf(p->arena, "%s/plots/%s.svg", writer_partial(p->w), name);
    char *text = ARENA_ARRAY(p->arena, char, PICTURE_BYTES);
    return file_read(path, text, PICTURE_BYTES, bytes) == 0 && *bytes > 0 ? text : NULL;
}

/* ---- harm ---- */

struct harming {
    const struct exercise_pages *p;
    const struct page page;
    const struct result *run, *sound;
    struct exercise_harm *rows;
    int n;
};

static void add(struct harming *h, double time, const char *what)
{
    if (h->n < HARMS_MOST) h->rows[h->n++] = (struct exercise_harm){time, what};
}

/* V6 of V6.1: halves and plates of a part go over together. */
static bool same_part(const char *a, const char *b)
{
    size_t n = strcspn(a, ".");
    return n == strcspn(b, ".") && strncmp(a, b, n) == 0;
}

static bool alike(const struct excess *a, const struct excess *b)
{
    return a->rating->measure == b->rating->measure &&
           same_part(a->rating->subject, b->rating->subject);
}

/* The sound set goes over it too, as far and as long: in warming up, as a rule. */
static bool usual(const struct harming *h, const struct excess *e)
{
    for (int k = 0; k < h->sound->excesses.n; k++) {
        const struct excess *o = &h->sound->excesses.at[k];
        if (alike(e, o) && e->seconds < USUAL * o->seconds + 1 &&
            fabs(e->worst - e->rating->limit) < USUAL * fabs(o->worst - o->rating->limit))
            return true;
    }
    return false;
}

/* Too short to matter, or so in the sound set as well. */
static bool harmless(const struct harming *h, const struct excess *e)
{
    double least = measure_table[e->rating->measure].least_seconds;
    if (e->last > h->run->end - 0.1) least = fmin(least, MEASURE_SHORTEST);
    return e->seconds < least || usual(h, e);
}

static bool told(const struct harming *h, int i)
{
    const struct excess *e = &h->run->excesses.at[i];
    for (int k = 0; k < i; k++)
        if (alike(e, &h->run->excesses.at[k]) && !harmless(h, &h->run->excesses.at[k])) return true;
    return harmless(h, e);
}

static void add_excesses(struct harming *h)
{
    for (int i = 0; i < h->run->excesses.n; i++) {
        const struct excess *e = &h->run->excesses.at[i];
        const struct rating *r = e->rating;
        if (told(h, i)) continue;
        const char *what =
            arena_printf(h->p->arena, words_order_passes, r->subject, measure_words(r->measure),
                         r->at_least ? words_order_down : words_order_up,
                         page_number(&h->page, e->worst, r->unit, 3),
                         page_value(&h->page, r->limit, r->unit, false), "");
        add(h, e->first, arena_printf(h->p->arena, "%s. %s", what, words_harm(r->harm)));
    }
}

static void add_events(struct harming *h)
{
    for (int i = 0; i < h->run->figures.n; i++) {
        const struct figure *f = &h->run->figures.at[i];
        bool opens = f->measure == MEASURE_OPENS_AT, shorts = f->measure == MEASURE_SHORTS_AT;
        bool heats = f->measure == MEASURE_TIME_TO_LIMIT;
        if (!isfinite(f->value) || !(opens || shorts || heats)) continue;
        const struct figure *before = run_figure(h->sound, f->subject, f->measure);
        if (before && isfinite(before->value)) continue;
        if (!heats)
            add(h, f->value,
                arena_printf(h->p->arena, words_order_could, f->subject,
                             opens ? words_order_open : words_order_short));
        const struct set *set = h->run->setup->stages.at[0].set;
        for (int k = 0; heats && f->value > h->run->end && k < set->ratings.n; k++) {
            const struct rating *r = &set->ratings.at[k];
            if (r->measure == MEASURE_TEMPERATURE && strcmp(r->subject, f->subject) == 0)
                add(h, f->value,
                    arena_printf(h->p->arena, words_order_forecast, f->subject,
                                 page_value(&h->page, r->limit, UNIT_CELSIUS, false)));
        }
    }
}

static int earlier(const void *a, const void *b)
{
    const struct exercise_harm *x = a, *y = b;
    return (x->time > y->time) - (x->time < y->time);
}

int exercise_pages_harm(const struct exercise_pages *p, const struct exercise_sheet *sheet,
                        struct exercise_harm *rows, int most)
{
    struct harming h = {.p = p,
                        .page = {.arena = p->arena},
                        .run = sheet->run->run,
                        .sound = p->e->sound->run,
                        .rows = ARENA_ARRAY(p->arena, struct exercise_harm, HARMS_MOST)};
    add_excesses(&h);
    add_events(&h);
    sort_stable(h.rows, h.n, sizeof *h.rows, earlier);
    for (int i = 0; i < h.n && i < most; i++) rows[i] = h.rows[i];
    return h.n;
}
