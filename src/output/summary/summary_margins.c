/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rated figures in one table, the worst first. The plates of one rectifier differ by a per cent
 * or two and would fill the table twice, so of twins only the worse one is told. */
#include <math.h>
#include <string.h>

#include "summary_impl.h"
#include "words_common.h"
#include "words_margins.h"

enum { LINES_LEAST = 5 };

#define WORTH_A_LINE 0.1 /* of a rating; what is used less stands in the file */

bool summary_of_restart(const struct summary *s, const struct judged *row)
{
    return s->t->restart && strcmp(row->variant, s->t->restart_name) == 0;
}

bool summary_of_warm(const struct summary *s, const struct judged *row)
{
    return s->t->warm && strcmp(row->variant, s->t->warm_name) == 0;
}

static bool is_rectifier(const struct summary *s, const char *subject)
{
    const struct part *part = set_find(s->set, subject);
    return part && part_is(part, ROLE_RECTIFIER);
}

/* Equal, or different in a last digit only: V6.1 and V6.2, `high voltage 1` and `high voltage 2`,
 * D1 and D2 of a bridge. */
static bool siblings(const struct summary *s, const char *a, const char *b)
{
    size_t n = strlen(a);
    if (strcmp(a, b) == 0) return true;
    if (n < 2 || strlen(b) != n || strncmp(a, b, n - 1) != 0) return false;
    if (!strchr("123456789", a[n - 1]) || !strchr("123456789", b[n - 1])) return false;
    return a[n - 2] == '.' || a[n - 2] == ' ' || (is_rectifier(s, a) && is_rectifier(s, b));
}

static bool same_limit(const struct judged *a, const struct judged *b)
{
    return a->figure.measure == b->figure.measure && a->rating->limit == b->rating->limit &&
           a->rating->at_least == b->rating->at_least;
}

/* `row` adds nothing to `worse`, which stands before it: the same of a twin, or of a restart that
 * the run itself surpasses. */
static bool twin(const struct summary *s, const struct judged *worse, const struct judged *row)
{
    if (!same_limit(worse, row) || !siblings(s, worse->figure.subject, row->figure.subject))
        return false;
    return summary_of_restart(s, row) || !summary_of_restart(s, worse);
}

void summary_gather(struct summary *s)
{
    int n;
    struct judged **all = judge_worst_first(s->arena, s->t->judgement, &n);
    s->worst = ARENA_ARRAY(s->arena, const struct judged *, n);
    for (int i = 0; i < n; i++) {
        bool told = false;
        for (int k = 0; k < s->count && !told; k++) told = twin(s, s->worst[k], all[i]);
        if (!told) s->worst[s->count++] = all[i];
    }
}

enum { SUBJECT = 17, WHAT = 17, VALUE = 14, LIMIT = 10, USED = 6 }; /* columns */

/* `about` where there is room for it, else `~`. */
static const char *value_cell(struct summary *s, const struct figure *f)
{
    bool rough = summary_rough(s, f->subject, f->measure);
    const char *text = page_value(s->page, f->value, f->unit, rough);
    if (strlen(text) > VALUE) text = page_value_tight(s->page, f->value, f->unit, rough);
    return page_cell(s->page, text, -VALUE);
}

static const char *limit_cell(struct summary *s, const struct rating *r)
{
    const char *text = page_value(s->page, r->limit, r->unit, false);
    return page_cell(s->page, r->at_least ? arena_printf(s->arena, ">=%s", text) : text, -LIMIT);
}

static const char *when(struct summary *s, const struct judged *row)
{
    if (summary_of_warm(s, row)) return words_margins_warm;
    if (summary_of_restart(s, row)) return words_margins_restart;
    if (isnan(row->figure.time)) return "";
    return summary_time(s, row->figure.time);
}

static void write_line(struct summary *s, char mark, const char *subject, const char *what,
                       const char *value, const char *limit, const char *used, const char *time)
{
    page_line(s->page,
              arena_printf(s->arena, "%c %s %s %s %s %s  %s", mark,
                           page_cell(s->page, subject, SUBJECT), page_cell(s->page, what, WHAT),
                           value, limit, page_cell(s->page, used, -USED), time));
}

static void write_row(struct summary *s, const struct judged *row)
{
    const struct figure *f = &row->figure;
    const char *what = measure_words(f->measure);
    write_line(s, row->verdict == VERDICT_OVER ? '!' : ' ', f->subject, what, value_cell(s, f),
               limit_cell(s, row->rating), page_percent(s->page, row->share), when(s, row));
}

/* How many lines the table has. */
static int lines(const struct summary *s)
{
    int n = 0;
    while (n < s->count && n < s->rows_most &&
           (n < LINES_LEAST || s->worst[n]->share >= WORTH_A_LINE))
        n++;
    return n;
}

static bool shown(const struct summary *s,
                  bool (*is)(const struct summary *, const struct judged *))
{
    for (int i = 0; i < lines(s); i++)
        if (is(s, s->worst[i])) return true;
    return false;
}

static bool is_warmth(const struct summary *s, const struct judged *row)
{
    (void)s;
    return row->figure.unit == UNIT_CELSIUS;
}

static bool is_stand_in(const struct summary *s, const struct judged *row)
{
    (void)s;
    return measure_table[row->figure.measure].stand_in;
}

static void write_rest(struct summary *s)
{
    int told = lines(s), over = 0;
    if (s->count == told && s->figures) page_path(s->page, words_margins_all_figures, s->figures);
    if (s->count == told) return;
    const struct judged *next = s->worst[told];
    for (int i = told; i < s->count; i++) over += s->worst[i]->verdict == VERDICT_OVER;
    const char *most =
        arena_printf(s->arena, words_margins_inside, page_percent(s->page, next->share));
    if (over > 0) most = arena_printf(s->arena, words_margins_over, over);
    else if (next->share < 0.01) most = words_margins_least;
    const char *rest = arena_printf(s->arena, words_margins_more, s->count - told, most);
    if (s->figures) page_path(s->page, arena_printf(s->arena, "%s:", rest), s->figures);
    else page_line(s->page, rest);
}

static void write_notes(struct summary *s)
{
    if (s->brief) return;
    if (shown(s, summary_of_restart)) page_say(s->page, "  ", words_margins_restart_note);
    if (shown(s, summary_of_warm)) page_say(s->page, "  ", words_margins_warm_note);
    if (shown(s, is_warmth)) page_say(s->page, "  ", words_margins_temperature);
    if (shown(s, is_stand_in)) page_say(s->page, "  ", words_margins_stand_ins);
}

void summary_margins(struct summary *s)
{
    page_heading(s->page, words_margins_heading);
    if (s->count == 0) page_say(s->page, "  ", words_margins_no_rating);
    else page_heads(s->page);
    if (s->count > 0)
        write_line(s, ' ', words_margins_part, words_margins_what,
                   page_cell(s->page, words_margins_value, -VALUE),
                   page_cell(s->page, words_margins_limit, -LIMIT), words_margins_used,
                   words_margins_when);
    for (int i = 0; i < lines(s); i++) write_row(s, s->worst[i]);
    write_rest(s);
    write_notes(s);
    summary_peaks(s);
    if (!s->brief) page_say(s->page, "  ", words_common_not_safe);
}
