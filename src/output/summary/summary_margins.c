/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rated figures in one table, the worst first. The plates of one rectifier differ by a per cent
 * or two and would fill the table twice, so of twins only the worse one is told. */
#include <math.h>
#include <string.h>

#include "summary_impl.h"

enum { LINES_MOST = 12, LINES_LEAST = 5 };

#define WORTH_A_LINE 0.1 /* of a rating; what is used less stands in the file */

bool summary_of_restart(const struct summary *s, const struct judged *row)
{
    return strcmp(row->variant, s->setup->variant) != 0;
}

static bool is_rectifier(const struct summary *s, const char *subject)
{
    const struct part *part = set_find(s->set, subject);
    return part && strcmp(part->kind->name, "rectifier") == 0;
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
    const char *text = summary_value(s, f->value, f->unit, rough);
    if (rough && strlen(text) > VALUE)
        text = arena_printf(s->arena, "~%s", text + strlen("about "));
    return summary_cell(s, text, -VALUE);
}

static const char *limit_cell(struct summary *s, const struct rating *r)
{
    const char *text = summary_value(s, r->limit, r->unit, false);
    return summary_cell(s, r->at_least ? arena_printf(s->arena, ">=%s", text) : text, -LIMIT);
}

static const char *when(struct summary *s, const struct judged *row)
{
    if (isnan(row->figure.time)) return "";
    return summary_time(s, row->figure.time);
}

static void write_line(struct summary *s, char mark, const char *subject, const char *what,
                       const char *value, const char *limit, const char *used, const char *time)
{
    summary_line(s, arena_printf(s->arena, "%c %s %s %s %s %s  %s", mark,
                                 summary_cell(s, subject, SUBJECT), summary_cell(s, what, WHAT),
                                 value, limit, summary_cell(s, used, -USED), time));
}

static void write_row(struct summary *s, const struct judged *row)
{
    const struct figure *f = &row->figure;
    const char *what = arena_printf(s->arena, "%s%s", measure_table[f->measure].words,
                                    summary_of_restart(s, row) ? "*" : "");
    write_line(s, row->verdict == VERDICT_OVER ? '!' : ' ', f->subject, what, value_cell(s, f),
               limit_cell(s, row->rating), summary_percent(s, row->share), when(s, row));
}

/* How many lines the table has. */
static int lines(const struct summary *s)
{
    int n = 0;
    while (n < s->count && n < LINES_MOST &&
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
    if (s->count == told && s->figures) summary_path(s, "  All figures:", s->figures);
    if (s->count == told) return;
    const struct judged *next = s->worst[told];
    for (int i = told; i < s->count; i++) over += s->worst[i]->verdict == VERDICT_OVER;
    const char *most = arena_printf(s->arena, "inside %s", summary_percent(s, next->share));
    if (over > 0) most = arena_printf(s->arena, "%d of them over", over);
    else if (next->share < 0.01) most = "under 1\x1f%";
    const char *rest = arena_printf(s->arena, "  and %d more, %s", s->count - told, most);
    if (s->figures) summary_path(s, arena_printf(s->arena, "%s:", rest), s->figures);
    else summary_line(s, rest);
}

static void write_notes(struct summary *s)
{
    if (shown(s, summary_of_restart))
        summary_say(s, "  ", "* at a hot restart: the mains come back while the cathodes are hot");
    if (shown(s, is_warmth))
        summary_say(s, "  ", "Per cent of a temperature: of the rise over the room.");
    if (shown(s, is_stand_in))
        summary_say(s, "  ",
                    "Supply impedance and first capacitor are the data sheet's stand-ins for peak "
                    "current: the peaks themselves decide, running and at a hot restart.");
}

void summary_margins(struct summary *s)
{
    summary_heading(s, "Margins, nearest to or over its limit first");
    if (s->count == 0) summary_say(s, "  ", "No rating is known, so nothing could be judged.");
    else
        write_line(s, ' ', "part", "what", summary_cell(s, "value", -VALUE),
                   summary_cell(s, "limit", -LIMIT), "used", "when");
    for (int i = 0; i < lines(s); i++) write_row(s, s->worst[i]);
    write_rest(s);
    write_notes(s);
    summary_peaks(s);
    summary_say(s, "  ",
                "Inside its rating is not safe: what is rotten, cracked or damp in old insulation "
                "no calculation sees.");
}
