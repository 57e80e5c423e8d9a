/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Currents beyond the limit carry a `!`; what is no more than rounding is told as none. */
#include "chassis_text.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "page.h"

enum { LABEL = 36, CELL = 10 };

#define DEAD_SHORT 5.0     /* [A]: the fuse of the house, not the set, limits it */
#define LEAST_VOLTS 0.05   /* [V] */
#define LEAST_AMPERES 1e-6 /* [A] */

static const char *plug(const struct touch_state *s)
{
    return s->reversed ? "reversed" : "as drawn";
}

static const char *state_words(struct page *page, const struct touch_state *t)
{
    if (t->on) return arena_printf(page->arena, "on, plug %s", plug(t));
    return arena_printf(page->arena, "off at `%s`, plug %s", t->opened, plug(t));
}

static const char *volts(struct page *page, double v)
{
    return page_value(page, v < LEAST_VOLTS ? 0 : v, UNIT_VOLT, false);
}

static const char *amperes(struct page *page, double a)
{
    if (a > DEAD_SHORT) return "dead short!";
    if (a < LEAST_AMPERES) return "none ";
    return arena_printf(page->arena, "%s%c", page_value(page, a, UNIT_AMPERE, false),
                        a > TOUCH_LIMIT ? '!' : ' ');
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
    static const char *const heads[TOUCH_NETWORKS] = {"open", "short", "1500 ohm", "IEC body"};
    page_heading(page, arena_printf(page->arena, "From `%s` to the earth of the wall", point));
    row(page, "", heads);
    for (int i = 0; i < c->rows.n; i++) {
        const struct touch *t = &c->rows.at[i];
        if (strcmp(t->point, point) != 0) continue;
        const char *cells[TOUCH_NETWORKS] = {
            volts(page, t->rms[TOUCH_OPEN]), amperes(page, t->rms[TOUCH_SHORT]),
            amperes(page, t->rms[TOUCH_UL]), amperes(page, t->rms[TOUCH_IEC])};
        row(page, state_words(page, &t->state), cells);
    }
}

static void tell_networks(struct page *page)
{
    page_say(
        page, "",
        "RMS. Open: a meter of 10 Mohm. Short: 1 ohm. 1500 ohm: with 0.15 uF across, the "
        "network of service leaflets and UL leakage tests, standing for a person (volts over 1500 "
        "ohm; from memory). IEC body: IEC 60990, unweighted, from memory. ! is over 0.5 "
        "mA, the customary limit for exposed metal (from memory); about 1 mA is felt "
        "(common practice, no source). Off: heaters cold, the plug in, one leg open.");
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
        if (strcmp(t->point, point) == 0 && !t->state.on && t->rms[TOUCH_UL] > TOUCH_LIMIT)
            return true;
    }
    return false;
}

static void tell_point(struct page *page, const struct chassis *c, const char *point)
{
    const struct touch *worst = worst_of(c, point, -1);
    double one = worst_of(c, point, 0)->rms[TOUCH_UL], other = worst_of(c, point, 1)->rms[TOUCH_UL];
    if (!(worst->rms[TOUCH_UL] > TOUCH_LIMIT)) {
        page_say(page, "  * ",
                 "`%s`: within 0.5 mA both ways round, as far as the scenario tells: "
                 "at most %s through a person. Old insulation and damp leak besides.",
                 point, amperes(page, worst->rms[TOUCH_UL]));
        return;
    }
    page_say(page, "  * ",
             "`%s`: LIVE. At worst (%s) %s open and %s through a person, %.0f times "
             "the limit.",
             point, state_words(page, &worst->state), volts(page, worst->rms[TOUCH_OPEN]),
             page_value(page, worst->rms[TOUCH_UL], UNIT_AMPERE, false),
             worst->rms[TOUCH_UL] / TOUCH_LIMIT);
    if (live_when_off(c, point))
        page_say(page, "    ",
                 "Also when it is switched off: only the plug out of the wall is off.");
    if (one <= TOUCH_LIMIT || other <= TOUCH_LIMIT)
        page_say(page, "    ",
                 "Not so with the plug %s; but that hangs on the outlet's wiring, and "
                 "it saves no one on the bench.",
                 one <= TOUCH_LIMIT ? "as drawn" : "reversed");
}

static void tell_bench(struct page *page)
{
    page_heading(page, "On the bench");
    page_say(page, "  * ",
             "Feed such a set through an isolating transformer. Never earth a hot "
             "chassis: no earth wire, no earthed instrument, no water pipe.");
    page_say(page, "  * ",
             "To measure it: 1500 ohm with 0.15 uF across from the metal to a sure "
             "earth, AC volts across it, both ways round of the plug, switch on and "
             "off: 0.75 V is 0.5 mA.");
    page_say(page, "  * ",
             "A capacitor from the line passes 2 pi f C V: 0.01 uF 0.44 mA, 0.1 uF "
             "4.4 mA at 117 V, 60 Hz. From line to chassis fit class Y only.");
}

void chassis_text_write(FILE *to, struct arena *arena, const struct chassis *c, const char *variant,
                        const char *file)
{
    struct page page = {to, arena};
    struct hazards h = hazards_of(arena, c->setup, NULL, OCCASION_CHASSIS | OCCASION_POWER);
    if (c->setup->title) page_say(&page, "", "%s", c->setup->title);
    if (variant) page_say(&page, "", "Variant: %s", variant);
    const char *last = "";
    for (int i = 0; i < c->rows.n; i++) {
        if (strcmp(c->rows.at[i].point, last) != 0) write_table(&page, c, c->rows.at[i].point);
        last = c->rows.at[i].point;
    }
    tell_networks(&page);
    page_heading(&page, "What that means");
    for (int i = 0; i < c->rows.n; i++) {
        if (strcmp(c->rows.at[i].point, last) != 0 || i == 0)
            tell_point(&page, c, c->rows.at[i].point);
        last = c->rows.at[i].point;
    }
    tell_bench(&page);
    cautions_text_write(&page, &h, 1);
    page_gap(&page);
    page_path(&page, "All figures:", file);
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
