/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Currents beyond the limit carry a `!`; what is no more than rounding is told as none. */
#include "chassis_text.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "page.h"
#include "words_chassis.h"
#include "words_common.h"

enum { LABEL = 36, CELL = 10 };

#define DEAD_SHORT 5.0     /* [A]: the fuse of the house, not the set, limits it */
#define LEAST_VOLTS 0.05   /* [V] */
#define LEAST_AMPERES 1e-6 /* [A] */

static const char *plug(const struct touch_state *s)
{
    return s->reversed ? words_chassis_reversed : words_chassis_as_drawn;
}

static const char *state_words(struct page *page, const struct touch_state *t)
{
    if (t->on) return arena_printf(page->arena, words_chassis_on, plug(t));
    return arena_printf(page->arena, words_chassis_off, t->opened, plug(t));
}

static const char *volts(struct page *page, double v)
{
    return page_value(page, v < LEAST_VOLTS ? 0 : v, UNIT_VOLT, false);
}

static const char *amperes(struct page *page, double a, bool over)
{
    if (a > DEAD_SHORT) return words_chassis_dead_short;
    if (a < LEAST_AMPERES) return words_chassis_no_current;
    return arena_printf(page->arena, "%s%c", page_value(page, a, UNIT_AMPERE, false),
                        over ? '!' : ' ');
}

static void row(struct page *page, const char *label, const char *const cells[TOUCH_NETWORKS])
{
    const char *line = page_cell(page, label, LABEL);
    for (int k = 0; k < TOUCH_NETWORKS; k++)
        line = arena_printf(page->arena, "%s%s", line,
                            page_cell(page, cells[k], -(CELL + 2 * (k == 1))));
    page_line(page, line);
}

static void write_table(struct page *page, const struct chassis *c, const char *point)
{
    static const char *const heads[TOUCH_NETWORKS] = {words_chassis_open, words_chassis_short,
                                                      words_chassis_ul, words_chassis_iec};
    page_heading(page, arena_printf(page->arena, words_chassis_heading, point));
    page_heads(page);
    row(page, "", heads);
    for (int i = 0; i < c->rows.n; i++) {
        const struct touch *t = &c->rows.at[i];
        if (strcmp(t->point, point) != 0) continue;
        const char *cells[TOUCH_NETWORKS] = {
            volts(page, t->rms[TOUCH_OPEN]),
            amperes(page, t->rms[TOUCH_SHORT], t->rms[TOUCH_SHORT] > TOUCH_LIMIT),
            amperes(page, t->rms[TOUCH_UL], t->rms[TOUCH_UL] > TOUCH_LIMIT),
            amperes(page, t->rms[TOUCH_IEC], chassis_body_over(t))};
        row(page, state_words(page, &t->state), cells);
    }
}

static void tell_networks(struct page *page)
{
    page_say(page, "", words_chassis_networks, 1e3 * TOUCH_LIMIT, 1e3 * TOUCH_PEAK,
             1e3 * TOUCH_DIRECT, 1e3 * TOUCH_FELT);
}

/* ---- what it means ---- */

static const struct touch *worst_of(const struct chassis *c, const char *point, int reversed)
{
    const struct touch *worst = NULL;
    for (int i = 0; i < c->rows.n; i++) {
        const struct touch *t = &c->rows.at[i];
        if (strcmp(t->point, point) != 0 || (reversed >= 0 && t->state.reversed != reversed))
            continue;
        if (!worst || t->rms[TOUCH_UL] > worst->rms[TOUCH_UL]) worst = t;
    }
    return worst;
}

static bool live_when_off(const struct chassis *c, const char *point)
{
    for (int i = 0; i < c->rows.n; i++) {
        const struct touch *t = &c->rows.at[i];
        if (strcmp(t->point, point) == 0 && !t->state.on && chassis_over(t)) return true;
    }
    return false;
}

static void tell_point(struct page *page, const struct chassis *c, const char *point)
{
    const struct touch *worst = worst_of(c, point, -1);
    bool one = chassis_over(worst_of(c, point, 0)), other = chassis_over(worst_of(c, point, 1));
    if (!one && !other) {
        double most = worst->rms[TOUCH_UL];
        bool any = most >= LEAST_AMPERES;
        page_say(page, "  * ", words_chassis_within, point, 1e3 * TOUCH_LIMIT,
                 any ? words_chassis_at_most : "",
                 any ? page_value(page, most, UNIT_AMPERE, false) : words_chassis_nothing);
        return;
    }
    page_say(page, "  * ", words_chassis_live, point, state_words(page, &worst->state),
             volts(page, worst->rms[TOUCH_OPEN]),
             page_value(page, worst->rms[TOUCH_UL], UNIT_AMPERE, false),
             worst->rms[TOUCH_UL] / TOUCH_LIMIT);
    if (live_when_off(c, point)) page_say(page, "    ", words_chassis_off_too);
    if (!one || !other)
        page_say(page, "    ", words_chassis_one_way,
                 one ? words_chassis_reversed : words_chassis_as_drawn);
}

static void tell_bench(struct page *page)
{
    page_heading(page, words_chassis_bench);
    page_say(page, "  * ", words_chassis_feed);
    page_say(page, "  * ", words_chassis_how, TOUCH_OHMS, 1e6 * TOUCH_FARADS,
             TOUCH_OHMS * TOUCH_LIMIT, 1e3 * TOUCH_LIMIT);
    page_say(page, "  * ", words_chassis_line_capacitor);
}

void chassis_text_write(FILE *to, struct arena *arena, const struct chassis *c, const char *variant,
                        const char *file)
{
    struct page page = page_on(to, arena);
    struct hazards h = hazards_of(arena, c->setup, NULL, OCCASION_CHASSIS | OCCASION_POWER);
    page_title(&page, c->setup->title, variant);
    const char *last = "";
    for (int i = 0; i < c->rows.n; i++) {
        if (strcmp(c->rows.at[i].point, last) != 0) write_table(&page, c, c->rows.at[i].point);
        last = c->rows.at[i].point;
    }
    tell_networks(&page);
    page_heading(&page, words_chassis_meaning);
    for (int i = 0; i < c->rows.n; i++) {
        if (strcmp(c->rows.at[i].point, last) != 0 || i == 0)
            tell_point(&page, c, c->rows.at[i].point);
        last = c->rows.at[i].point;
    }
    tell_bench(&page);
    cautions_text_write(&page, &h, 1);
    page_gap(&page);
    page_path(&page, words_common_figures, file);
}

void chassis_csv_write(struct writer *w, const char *name, const struct chassis *c)
{
    writer_file(w, name);
    writer_text(w, "point,plug,switch,opened,open_V,open_mean_V,short_A,person_1500_ohm_A,"
                   "iec_60990_A\n");
    for (int i = 0; i < c->rows.n; i++) {
        const struct touch *t = &c->rows.at[i];
        const double values[] = {t->rms[TOUCH_OPEN], t->direct, t->rms[TOUCH_SHORT],
                                 t->rms[TOUCH_UL], t->rms[TOUCH_IEC]};
        const char *words[] = {t->point, plug(&t->state), t->state.on ? "on" : "off",
                               t->state.opened ? t->state.opened : ""};
        for (int k = 0; k < 4; k++) {
            writer_field(w, words[k]);
            writer_text(w, ",");
        }
        for (int k = 0; k < 5; k++) {
            if (k > 0) writer_text(w, ",");
            writer_number(w, values[k]);
        }
        writer_text(w, "\n");
    }
}
