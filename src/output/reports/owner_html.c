/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "owner_html.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "keep.h"
#include "page_html.h"
#include "questions.h"
#include "readings.h"
#include "summary_impl.h"
#include "words_keep.h"
#include "words_owner.h"

enum { TEXTS_MOST = 12, ROWS_MOST = 10 };
#define COUNT(a) (int)(sizeof(a) / sizeof(a)[0])

struct owner {
    struct html *h;
    struct page page;
    struct arena *arena;
    const struct scenario *s;
    const struct report *report;
    const struct turn_on *t;
};

/* ---- texts and blanks ---- */

/* What `repair:` says, NULL: nothing. */
static const char *told(struct owner *o, const char *key)
{
    const char *texts[TEXTS_MOST], *all = NULL;
    int n = scenario_repair(o->s, key, texts, TEXTS_MOST);
    for (int i = 0; i < n; i++)
        all = all ? arena_printf(o->arena, "%s; %s", all, texts[i]) : texts[i];
    return all;
}

static void begin_pairs(struct owner *o, const char *caption, const char *left, const char *right)
{
    const struct html_column columns[] = {{left, false}, {right, false}};
    html_table(o->h, caption, columns, 2);
}

static void put_pair(struct owner *o, const char *what, const char *text)
{
    html_row(o->h, HTML_PLAIN, (const char *const[]){what, text});
}

static void write_work(struct owner *o)
{
    html_section(o->h, words_owner_work);
    begin_pairs(o, words_owner_work, NULL, NULL);
    put_pair(o, words_owner_ticket, told(o, "ticket"));
    put_pair(o, words_owner_date, o->report->date);
    put_pair(o, words_owner_complaint, told(o, "complaint"));
    put_pair(o, words_owner_found, told(o, "found"));
    put_pair(o, words_owner_done, told(o, "done"));
}

/* ---- old parts ---- */

static bool is_old(const struct keep_row *k)
{
    return k->make_given && (k->make == MAKE_WET || k->make == MAKE_DRY || k->make == MAKE_PAPER);
}

static void write_old(struct owner *o)
{
    const struct keep_list list = keep_list(o->arena, o->t->setup, o->t->judgement);
    const char *old = "", *unknown = "";
    for (int i = 0; i < list.rows.n; i++) {
        const struct keep_row *k = &list.rows.at[i];
        const char *part =
            arena_printf(o->arena, words_owner_old_part, k->name, words_keep_make[k->make]);
        if (is_old(k)) old = arena_printf(o->arena, "%s%s%s", old, *old ? ", " : "", part);
        else if (!k->make_given)
            unknown = arena_printf(o->arena, "%s%s%s", unknown, *unknown ? ", " : "", k->name);
    }
    html_section(o->h, words_owner_old);
    html_paragraph(o->h, HTML_PLAIN,
                   *old ? arena_printf(o->arena, words_owner_old_note, old) : words_owner_old_none);
    if (*unknown)
        html_paragraph(o->h, HTML_PLAIN, arena_printf(o->arena, words_owner_age_unknown, unknown));
}

/* ---- readings ---- */

static const char *value(struct owner *o, const struct meter_reading *m)
{
    return m ? page_value(&o->page, m->value, m->unit, false) : NULL;
}

static const struct meter_reading *find(struct owner *o, const struct reading_set *set,
                                        const char *label)
{
    for (int i = 0; set && i < set->readings.n; i++)
        if (strcmp(question_label(o->arena, &set->readings.at[i]), label) == 0)
            return &set->readings.at[i];
    return NULL;
}

/* What a sound set reads there, where the summary has it. */
static const char *expected(const struct summary_reading *rows, int n,
                            const struct meter_reading *m)
{
    for (int i = 0; i < n; i++) {
        if (strcmp(rows[i].subject, m->subject) != 0 || rows[i].unit != m->unit) continue;
        if (m->kind != READING_FIGURE) continue;
        if (m->alternating && !rows[i].alternating) return rows[i].ripple;
        return rows[i].expect;
    }
    return "";
}

static const char *head(struct owner *o, const char *word, const struct reading_set *set)
{
    if (!set) return word;
    const char *name = set->name ? set->name : word;
    return arena_printf(o->arena, "%s: %s", word,
                        set->date ? arena_printf(o->arena, words_owner_set_of, name, set->date)
                                  : name);
}

static void put_reading(struct owner *o, const char *label, const char *expect,
                        const struct reading_set *before, const struct reading_set *after)
{
    html_row(o->h, HTML_PLAIN,
             (const char *const[]){label, expect, value(o, find(o, before, label)),
                                   value(o, find(o, after, label))});
}

/* Points of the summary, for who has nothing typed in. */
static void put_blanks(struct owner *o, const struct summary_reading *rows, int n)
{
    for (int i = 0, told = 0; i < n && told < ROWS_MOST - 4; i++) {
        if (rows[i].alternating && rows[i].unit == UNIT_VOLT) continue;
        put_reading(o, rows[i].name, rows[i].expect, NULL, NULL);
        told++;
    }
}

static void write_readings(struct owner *o)
{
    const struct measured *m = o->t->setup->measured;
    const struct reading_set *before = m->sets.n > 0 ? &m->sets.at[0] : NULL,
                             *after = m->sets.n > 1 ? &m->sets.at[m->sets.n - 1] : NULL;
    struct summary s = summary_of(&o->page, o->t);
    struct summary_reading *rows;
    int n = summary_readings(&s, &rows), told = 0;
    const char *const *heads = words_owner_readings_heads;
    const struct html_column columns[] = {{heads[0], false},
                                          {heads[1], true},
                                          {head(o, heads[2], before), true},
                                          {head(o, heads[3], after), true}};
    html_section(o->h, words_owner_readings);
    html_table(o->h, words_owner_readings, columns, COUNT(columns));
    for (int k = 0; k < 2; k++) {
        const struct reading_set *set = k == 0 ? before : after;
        for (int i = 0; set && i < set->readings.n && told < ROWS_MOST; i++) {
            const struct meter_reading *r = &set->readings.at[i];
            const char *label = question_label(o->arena, r);
            if (k == 1 && find(o, before, label)) continue;
            put_reading(o, label, expected(rows, n, r), before, after);
            told++;
        }
    }
    if (told == 0) put_blanks(o, rows, n);
}

/* ---- the rest ---- */

static bool has_plug(const struct owner *o)
{
    const struct stage *first = &o->t->setup->stages.at[0];
    return first->mains_source >= 0 && !circuit_square(first->circuit, first->mains_source);
}

static void write_by_hand(struct owner *o)
{
    html_section(o->h, words_owner_by_hand);
    begin_pairs(o, words_owner_by_hand, words_owner_by_hand_heads_what,
                words_owner_by_hand_heads_value);
    for (int i = 0; has_plug(o) && i < COUNT(words_owner_measured_plug); i++)
        put_pair(o, tongue_says(words_owner_measured_plug[i]), NULL);
    for (int i = 0; i < COUNT(words_owner_measured); i++)
        put_pair(o, words_owner_measured[i], NULL);
    begin_pairs(o, words_owner_bill_heading, NULL, NULL);
    for (int i = 0; i < COUNT(words_owner_bill); i++) put_pair(o, words_owner_bill[i], NULL);
}

static void write_end(struct owner *o)
{
    struct hazards hazards = hazards_of(o->arena, o->t->setup, o->t->run, OCCASION_POWER);
    html_paragraph(o->h, HTML_PLAIN, words_owner_cautions);
    if (hazards.hot_chassis) html_paragraph(o->h, HTML_PLAIN, words_owner_hot_chassis);
    html_paragraph(o->h, HTML_WARN, words_owner_no_certificate);
    html_paragraph(o->h, HTML_PLAIN,
                   arena_printf(o->arena, words_owner_made, o->report->version, o->report->file));
}

void owner_html_write(struct writer *w, struct arena *arena, const char *name,
                      const struct scenario *s, const struct report *report)
{
    const struct html_options options = {
        .title = arena_printf(arena, words_owner_title, scenario_title(s)),
        .black_and_white = report->black_and_white,
        .compact = true};
    struct html *h = html_begin(w, name, &options);
    struct owner o = {h, page_html_on(h, arena, false), arena, s, report, report->turn_ons[0]};
    write_work(&o);
    write_old(&o);
    write_readings(&o);
    write_by_hand(&o);
    write_end(&o);
    html_end(h);
}
