/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What happens to the parts in the order of time: ratings passed, switches that tripped, the user's
 * own changes. A single rating passed is told under `Stop for` alone. */
#include <math.h>
#include <string.h>

#include "sort.h"
#include "summary_impl.h"
#include "words_harm.h"
#include "words_order.h"

enum { ROWS_MOST = 14, PASSED_MOST = 3 };

#define PASSED_LEAST 0.5 /* what is over for less is a pulse, and judged as one [s] */

struct row {
    double time;
    int order; /* of rows at one time: changes, trips, then ratings */
    const char *text;
};

typedef ARRAY(struct row) row_list;

static void add_changes(struct summary *s, row_list *rows)
{
    for (int i = 1; i < s->setup->stages.n; i++) {
        const struct stage *stage = &s->setup->stages.at[i];
        if (stage->time >= s->run->end || !stage->change) continue;
        const char *text = arena_printf(s->arena, words_order_change, stage->change);
        array_push(s->arena, rows, (struct row){stage->time, 0, text});
    }
}

static void add_trips(struct summary *s, row_list *rows)
{
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *f = &s->run->figures.at[i];
        bool opens = f->measure == MEASURE_OPENS_AT;
        if ((!opens && f->measure != MEASURE_SHORTS_AT) || !isfinite(f->value)) continue;
        const char *text = arena_printf(s->arena, words_order_could, f->subject,
                                        opens ? words_order_open : words_order_short);
        array_push(s->arena, rows, (struct row){f->value, 1, text});
    }
}

static bool passing(const struct summary *s, const struct excess *e)
{
    double least = measure_table[e->rating->measure].least_seconds;
    if (e->last > s->run->end - 0.1) least = fmin(least, MEASURE_SHORTEST);
    return e->seconds < least;
}

static bool of_volts(const struct rating *r)
{
    return r->unit == UNIT_VOLT;
}

/* `for 5.3 s`, or nothing where it is so to the end. */
static const char *how_long(struct summary *s, const struct excess *e)
{
    if (e->last > s->run->end - 0.1) return words_order_to_the_end;
    return arena_printf(s->arena, words_order_for,
                        page_value(s->page, e->seconds, UNIT_SECOND, true));
}

static double share(const struct summary *s, const struct excess *e)
{
    double limit = e->rating->limit, room = s->set->ambient;
    if (e->rating->unit == UNIT_CELSIUS) return (e->worst - room) / (limit - room);
    return limit != 0 ? fabs(e->worst / limit) : HUGE_VAL;
}

/* One of several alike at one instant (both plates, both halves, working and surge voltage of one
 * part) says enough. */
static bool told(const struct summary *s, int n)
{
    const struct excess *all = s->run->excesses.at, *e = &all[n];
    const char *part = summary_part((struct summary *)s, e->rating->subject);
    for (int i = 0; i < s->run->excesses.n; i++) {
        const struct excess *o = &all[i];
        bool alike = o->rating->measure == e->rating->measure ||
                     (of_volts(o->rating) && of_volts(e->rating));
        if (i == n || !alike || fabs(o->first - e->first) > 0.1) continue;
        if (strcmp(summary_part((struct summary *)s, o->rating->subject), part) != 0) continue;
        if (share(s, o) > share(s, e) || (share(s, o) == share(s, e) && i < n)) return true;
    }
    return false;
}

/* `V5 heat: up to 117 W where 13.7 W is allowed, for about 27 s` */
static const char *in_words(struct summary *s, const struct excess *e)
{
    const struct rating *r = e->rating;
    bool rough = summary_rough(s, r->subject, r->measure);
    const char *value = page_value(s->page, e->worst, r->unit, rough && share(s, e) > 1.1);
    const char *limit = page_value(s->page, r->limit, r->unit, false);
    return arena_printf(s->arena, words_order_passes, r->subject, measure_words(r->measure),
                        r->at_least ? words_order_down : words_order_up, value, limit,
                        how_long(s, e));
}

/* Whether a bullet of what is over has it: its figure at the end, or its extreme. */
static bool in_verdict(const struct summary *s, const struct excess *e)
{
    const struct judgement *j = s->t->judgement;
    for (int i = 0; i < j->all.n; i++)
        if (j->all.at[i].verdict == VERDICT_OVER &&
            j->all.at[i].figure.measure == e->rating->measure &&
            strcmp(j->all.at[i].figure.subject, e->rating->subject) == 0)
            return true;
    return false;
}

/* What some seconds of it do: red plates, hot cans, copper. Resistors, fuses and limiters stand a
 * start. */
static bool lasting_harm(enum harm harm)
{
    static const enum harm known[] = {HARM_RECTIFIER_HEAT,  HARM_PLATE_HEAT, HARM_SCREEN_HEAT,
                                      HARM_AVERAGE_CURRENT, HARM_CAN_HOT,    HARM_CAN_RUNAWAY,
                                      HARM_INSULATION,      HARM_COIL_WATTS};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
        if (known[i] == harm) return true;
    return false;
}

/* The excess by the greatest share of a part that is none of the n; NULL: none. Volts have their own
 * bullets. */
static const struct excess *worst_passed(struct summary *s, const char *const *parts, int n)
{
    const struct excess *all = s->run->excesses.at, *worst = NULL;
    for (int i = 0; i < s->run->excesses.n; i++) {
        const struct excess *e = &all[i];
        bool had = false;
        if (!lasting_harm(e->rating->harm) || e->seconds < PASSED_LEAST || passing(s, e)) continue;
        if (e->last > s->run->end - 0.1 || in_verdict(s, e)) continue;
        for (int k = 0; k < n; k++)
            had |= strcmp(parts[k], summary_part(s, e->rating->subject)) == 0;
        if (!had && (!worst || share(s, e) > share(s, worst))) worst = e;
    }
    return worst;
}

/* Some seconds of red plates are over when the run ends, and no verdict of its end says them. */
int summary_passed(struct summary *s, const char *first)
{
    const char *parts[PASSED_MOST];
    int n = 0;
    for (const struct excess *e; n < PASSED_MOST && (e = worst_passed(s, parts, n));) {
        parts[n++] = summary_part(s, e->rating->subject);
        page_say(s->page, first, words_order_passed, in_words(s, e), words_harm(e->rating->harm));
    }
    return n;
}

static void add_excesses(struct summary *s, row_list *rows)
{
    for (int i = 0; i < s->run->excesses.n; i++) {
        const struct excess *e = &s->run->excesses.at[i];
        if (passing(s, e) || told(s, i)) continue;
        array_push(s->arena, rows, (struct row){e->first, 2, in_words(s, e)});
    }
}

/* What the run was too short to see, should all go on as at its end. */
static void add_forecasts(struct summary *s, row_list *rows)
{
    for (int i = 0; i < s->run->figures.n; i++) {
        const struct figure *f = &s->run->figures.at[i];
        if (f->measure != MEASURE_TIME_TO_LIMIT || !(f->value > s->run->end)) continue;
        if (!isfinite(f->value)) continue;
        for (int k = 0; k < s->set->ratings.n; k++) {
            const struct rating *r = &s->set->ratings.at[k];
            if (r->measure != MEASURE_TEMPERATURE || strcmp(r->subject, f->subject) != 0) continue;
            const char *text = arena_printf(s->arena, words_order_forecast, f->subject,
                                            page_value(s->page, r->limit, UNIT_CELSIUS, false));
            array_push(s->arena, rows, (struct row){f->value, 3, text});
        }
    }
}

static int earlier(const void *a, const void *b)
{
    const struct row *x = a, *y = b;
    if (x->time != y->time) return x->time < y->time ? -1 : 1;
    return x->order - y->order;
}

void summary_order(struct summary *s)
{
    row_list rows = {0};
    add_changes(s, &rows);
    int changes = rows.n;
    add_trips(s, &rows);
    add_excesses(s, &rows);
    int known = rows.n;
    add_forecasts(s, &rows);
    bool forecast = rows.n > known;
    if (rows.n == changes || (rows.n < 2 && !forecast)) return;
    sort_stable(rows.at, rows.n, sizeof *rows.at, earlier);
    page_heading(s->page, words_order_heading);
    for (int i = 0; i < rows.n && i < ROWS_MOST; i++) {
        const char *time = page_cell(s->page, summary_time(s, rows.at[i].time), -8);
        page_say(s->page, arena_printf(s->arena, "  %s  ", time), "%s", rows.at[i].text);
    }
    if (rows.n > ROWS_MOST) page_say(s->page, "  ", words_order_more, rows.n - ROWS_MOST);
    page_say(s->page, "  ", words_order_nobody);
}
