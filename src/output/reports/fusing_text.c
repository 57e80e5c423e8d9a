/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Opening times are a law's, fitted to the gates of a standard that lie a factor apart, so two
 * digits are told. */
#include "fusing_text.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "page.h"
#include "words_common.h"
#include "words_fusing.h"

#define MINUTE 60.0 /* [s] */

enum { CLASSES = 6, NAME = 24, AMOUNT = 8, LETTER = 8, WIDTH = 80 };

struct telling {
    struct page page;
    const struct fusing *f;
    const struct fusing_fuse *class[CLASSES]; /* the smallest that hold */
    int classes;
};

static const char *amount(struct telling *t, double v, enum unit unit, int digits)
{
    char out[64];
    return arena_printf(t->page.arena, "%s", quantity_text(v, unit, digits, out, sizeof out));
}

static const char *duration(struct telling *t, double seconds)
{
    return isinf(seconds) ? words_fusing_never : amount(t, seconds, UNIT_SECOND, 2);
}

static const char *surge_words(const struct surge *s)
{
    static const char *const words[2][2] = {{words_fusing_cold_zero, words_fusing_cold_crest},
                                            {words_fusing_hot_zero, words_fusing_hot_crest}};
    return words[s->hot][s->crest];
}

/* ---- the line ---- */

static void surge_row(struct telling *t, const char *name, const char *peak, const char *clamp,
                      const char *half, const char *ten)
{
    const struct page *p = &t->page;
    page_line(p, arena_printf(p->arena, "%s%s%s%s%s", page_cell(p, name, NAME),
                              page_cell(p, peak, -10), page_cell(p, clamp, -14),
                              page_cell(p, half, -14), page_cell(p, ten, -14)));
}

static void write_line(struct telling *t)
{
    const struct fusing *f = t->f;
    page_say(&t->page, "", words_fusing_running, amount(t, f->running, UNIT_AMPERE, 3),
             amount(t, f->watts, UNIT_WATT, 3));
    if (f->standing) page_say(&t->page, "", words_fusing_bridged, f->standing);
    page_heading(&t->page, words_fusing_surges);
    page_heads(&t->page);
    surge_row(t, "", words_fusing_peak, words_fusing_clamp, words_fusing_half_cycle,
              words_fusing_ten_cycles);
    for (int i = 0; i < f->surge_count; i++) {
        const struct surge *s = &f->surges[i];
        surge_row(t, surge_words(s), amount(t, s->peak, UNIT_AMPERE, 3),
                  amount(t, s->clamp, UNIT_AMPERE, 3), amount(t, s->half, UNIT_I2T, 3),
                  amount(t, s->ten, UNIT_I2T, 3));
    }
    page_say(&t->page, "", words_fusing_surges_note);
}

/* ---- the fuses ---- */

static const char *kind_words(struct telling *t, const struct fusing_fuse *x)
{
    return arena_printf(t->page.arena, "%s, %s", x->told.standard,
                        x->told.slow ? words_fusing_slow : words_fusing_fast);
}

static const char *carried(struct telling *t, double times)
{
    return arena_printf(t->page.arena,
                        times > 1 ? words_fusing_carries : words_fusing_carries_rated, times);
}

/* Why the next smaller of its class does not do. */
static const char *below(struct telling *t, const struct fusing_fuse *x)
{
    const struct fusing *f = t->f;
    for (int i = f->fuses.n - 1; i >= 0; i--) {
        const struct fusing_fuse *y = &f->fuses.at[i];
        if (strcmp(y->told.standard, x->told.standard) != 0 || y->told.slow != x->told.slow ||
            y->told.rating.amperes >= x->told.rating.amperes)
            continue;
        return arena_printf(
            t->page.arena, "%s %s", amount(t, y->told.rating.amperes, UNIT_AMPERE, 3),
            y->verdict == FUSING_TOO_SMALL ? words_fusing_too_small : words_fusing_melts);
    }
    return words_fusing_no_smaller;
}

static void write_fuses(struct telling *t)
{
    page_heading(&t->page, words_fusing_smallest);
    for (int i = 0; i < t->classes; i++) {
        const struct fusing_fuse *x = t->class[i];
        page_say(&t->page, arena_printf(t->page.arena, "  %c  ", 'A' + i), words_fusing_class,
                 x->name, kind_words(t, x), carried(t, x->told.carries),
                 page_percent(&t->page, t->f->running / fusing_most(&x->told)),
                 page_percent(&t->page, x->share), below(t, x));
    }
    if (t->classes == 0)
        page_say(&t->page, "  ", words_fusing_none_holds, FUSING_LEAST, FUSING_MOST);
    page_say(&t->page, "", words_fusing_shares_note, 100 * FUSING_UL_SHARE, FUSING_CYCLES,
             FUSING_PULSE);
}

/* ---- the faults ---- */

static const char *limit_words(struct telling *t, const struct fusing_fault *fault)
{
    return isnan(fault->limit) ? "-" : duration(t, fault->limit);
}

/* What the other columns leave. */
static int name_width(const struct telling *t)
{
    int left = WIDTH - 2 * AMOUNT - t->classes * LETTER;
    return left < NAME ? left : NAME;
}

/* A long name takes a line of its own. */
static const char *name_cell(struct telling *t, const char *name)
{
    int width = name_width(t);
    if ((int)strlen(name) < width || t->page.html) return page_cell(&t->page, name, width);
    page_line(&t->page, name);
    return page_cell(&t->page, "", width);
}

static void write_heads(struct telling *t)
{
    const char *line = arena_printf(t->page.arena, "%s%s%s", page_cell(&t->page, "", name_width(t)),
                                    page_cell(&t->page, words_fusing_line, -AMOUNT),
                                    page_cell(&t->page, words_fusing_winding, -AMOUNT));
    for (int i = 0; i < t->classes; i++)
        line =
            arena_printf(t->page.arena, "%s%s", line,
                         page_cell(&t->page, arena_printf(t->page.arena, "%c", 'A' + i), -LETTER));
    page_heads(&t->page);
    page_line(&t->page, line);
}

static void write_faults(struct telling *t)
{
    const struct fusing *f = t->f;
    page_heading(&t->page, words_fusing_faults);
    if (f->faults.n == 0) {
        page_say(&t->page, "  ", words_fusing_no_fault);
        return;
    }
    write_heads(t);
    for (int k = 0; k < f->faults.n; k++) {
        const struct fusing_fault *fault = &f->faults.at[k];
        const char *line =
            arena_printf(t->page.arena, "%s%s%s", name_cell(t, fault->name),
                         page_cell(&t->page, amount(t, fault->amperes, UNIT_AMPERE, 3), -AMOUNT),
                         page_cell(&t->page, limit_words(t, fault), -AMOUNT));
        for (int i = 0; i < t->classes; i++) {
            double opens = t->class[i]->opens[k];
            bool late = isfinite(fault->limit) && !(opens < fault->limit);
            line = arena_printf(
                t->page.arena, "%s%s", line,
                page_cell(&t->page,
                          arena_printf(t->page.arena, "%s%s", duration(t, opens), late ? "!" : ""),
                          -LETTER));
        }
        page_line(&t->page, line);
    }
    page_say(&t->page, "", words_fusing_faults_note);
}

/* ---- what to take ---- */

static const struct fusing_fuse *best_of(const struct telling *t)
{
    const struct fusing_fuse *best = NULL;
    for (int i = 0; i < t->classes; i++) {
        const struct fusing_fuse *x = t->class[i];
        bool more = !best || x->cleared > best->cleared;
        bool equal = best && x->cleared == best->cleared &&
                     x->told.rating.amperes < best->told.rating.amperes * (1 - 1e-9);
        if (more || equal) best = x;
    }
    return best;
}

enum outcome { CLEARED, LATE, UNSEEN, HARMLESS };

/* Without a transformer nothing tells how soon is soon enough: a minute. */
static enum outcome outcome_of(const struct fusing_fault *fault, double opens)
{
    if (fault->usual && !isfinite(fault->limit)) return UNSEEN;
    if (isinf(fault->limit)) return HARMLESS;
    return opens < (isnan(fault->limit) ? MINUTE : fault->limit) ? CLEARED : LATE;
}

/* The names of the faults that end so with this fuse; empty: none. */
static const char *faults_that(struct telling *t, const struct fusing_fuse *x, enum outcome outcome)
{
    const char *list = "";
    for (int k = 0; x && k < t->f->faults.n; k++) {
        const struct fusing_fault *fault = &t->f->faults.at[k];
        if (outcome_of(fault, x->opens[k]) == outcome)
            list = arena_printf(t->page.arena, "%s%s%s", list, *list ? ", " : "", fault->name);
    }
    return list;
}

static void tell_best(struct telling *t)
{
    const struct fusing *f = t->f;
    const struct fusing_fuse *best = best_of(t);
    bool bare = best && f->faults.n > 0 && isnan(f->faults.at[0].limit);
    const char *clears = faults_that(t, best, CLEARED), *late = faults_that(t, best, LATE),
               *unseen = faults_that(t, best, UNSEEN);
    page_heading(&t->page, words_fusing_take);
    if (bare) {
        page_say(&t->page, "  * ", words_fusing_no_transformer, best->name,
                 *clears ? clears : words_fusing_none_of_these, *late ? words_fusing_not_at : "",
                 late);
        clears = late = "";
    }
    if (best)
        page_say(&t->page, "  * ", words_fusing_best, best->name, kind_words(t, best),
                 *clears ? words_fusing_clears : "", clears,
                 *clears || !f->harmful ? "" : words_fusing_clears_none);
    if (best && *late) page_say(&t->page, "  * ", words_fusing_not_saved, late);
    if (*unseen) page_say(&t->page, "  * ", words_fusing_no_more, unseen);
    page_say(&t->page, "  * ", words_fusing_protects);
    page_say(&t->page, "  * ", words_fusing_taken);
}

void fusing_text_write(FILE *to, struct arena *arena, const struct fusing *f, const char *file)
{
    struct telling t = {.page = page_on(to, arena), .f = f};
    struct hazards h = hazards_of(arena, f->setup, NULL, OCCASION_REPLACE | OCCASION_POWER);
    bool more = true;
    for (int k = 0; more && t.classes < CLASSES; k++) {
        const struct fusing_fuse *x = fusing_smallest(f, k, &more);
        if (x) t.class[t.classes++] = x;
    }
    page_title(&t.page, f->setup->title, f->setup->variant);
    write_line(&t);
    write_fuses(&t);
    write_faults(&t);
    tell_best(&t);
    cautions_text_write(&t.page, &h, 1);
    page_gap(&t.page);
    page_path(&t.page, words_common_figures, file);
}

/* ---- the file ---- */

static void write_row(struct writer *w, const struct fusing *f, const struct fusing_fuse *x, int k)
{
    static const char *const verdicts[] = {"holds", "too small", "melts at switch-on"};
    const struct fusing_fault *fault = k < f->faults.n ? &f->faults.at[k] : NULL;
    const double numbers[] = {x->told.rating.amperes, f->running / fusing_most(&x->told), x->share};
    writer_field(w, x->name);
    writer_text(w, ",");
    writer_field(w, x->told.standard);
    writer_text(w, x->told.slow ? ",slow," : ",fast,");
    for (int i = 0; i < 3; i++) {
        writer_number(w, numbers[i]);
        writer_text(w, ",");
    }
    writer_text(w, verdicts[x->verdict]);
    writer_text(w, ",");
    if (fault) writer_field(w, fault->name);
    writer_text(w, ",");
    if (fault) writer_number(w, fault->amperes);
    writer_text(w, ",");
    if (fault && !isnan(fault->limit)) writer_number(w, fault->limit);
    writer_text(w, ",");
    if (fault) writer_number(w, x->opens[k]);
    writer_text(w, "\n");
}

void fusing_csv_write(struct writer *w, const char *name, const struct fusing *f)
{
    writer_file(w, name);
    writer_text(w, "fuse,standard,speed,rated_A,running_share,switch_on_share,verdict,fault,"
                   "fault_A,winding_limit_s,opens_s\n");
    for (int i = 0; i < f->fuses.n; i++)
        for (int k = 0; k < f->faults.n || k == 0; k++) write_row(w, f, &f->fuses.at[i], k);
}
