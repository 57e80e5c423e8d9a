/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Currents beyond the limit carry a `!`; what is no more than rounding is told as none. */
#include "chassis_text.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "summary_impl.h"

enum { LABEL = 36, CELL = 10 };

#define DEAD_SHORT 5.0     /* [A]: the fuse of the house, not the set, limits it */
#define LEAST_VOLTS 0.05   /* [V] */
#define LEAST_AMPERES 1e-6 /* [A] */

static const char *plug(const struct touch_state *s)
{
    return s->reversed ? "reversed" : "as drawn";
}

static const char *state_words(struct summary *s, const struct touch_state *t)
{
    if (t->on) return arena_printf(s->arena, "on, plug %s", plug(t));
    return arena_printf(s->arena, "off at `%s`, plug %s", t->opened, plug(t));
}

static const char *volts(struct summary *s, double v)
{
    return summary_value(s, v < LEAST_VOLTS ? 0 : v, UNIT_VOLT, false);
}

static const char *amperes(struct summary *s, double a)
{
    if (a > DEAD_SHORT) return "dead short!";
    if (a < LEAST_AMPERES) return "none ";
    return arena_printf(s->arena, "%s%c", summary_value(s, a, UNIT_AMPERE, false),
                        a > TOUCH_LIMIT ? '!' : ' ');
}

static void row(struct summary *s, const char *label, const char *const cells[TOUCH_NETWORKS])
{
    const char *line = summary_cell(s, label, LABEL);
    for (int k = 0; k < TOUCH_NETWORKS; k++)
        line =
            arena_printf(s->arena, "%s%s", line, summary_cell(s, cells[k], -(CELL + 2 * (k == 1))));
    summary_line(s, line);
}

static void write_table(struct summary *s, const struct chassis *c, const char *point)
{
    static const char *const heads[TOUCH_NETWORKS] = {"open", "short", "1500 ohm", "IEC body"};
    summary_heading(s, arena_printf(s->arena, "From `%s` to the earth of the wall", point));
    row(s, "", heads);
    for (int i = 0; i < c->rows.n; i++) {
        const struct touch *t = &c->rows.at[i];
        if (strcmp(t->point, point) != 0) continue;
        const char *cells[TOUCH_NETWORKS] = {
            volts(s, t->rms[TOUCH_OPEN]), amperes(s, t->rms[TOUCH_SHORT]),
            amperes(s, t->rms[TOUCH_UL]), amperes(s, t->rms[TOUCH_IEC])};
        row(s, state_words(s, &t->state), cells);
    }
}

static void tell_networks(struct summary *s)
{
    summary_say(
        s, "",
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

static void tell_point(struct summary *s, const struct chassis *c, const char *point)
{
    const struct touch *worst = worst_of(c, point, -1);
    double one = worst_of(c, point, 0)->rms[TOUCH_UL], other = worst_of(c, point, 1)->rms[TOUCH_UL];
    if (!(worst->rms[TOUCH_UL] > TOUCH_LIMIT)) {
        summary_say(s, "  * ",
                    "`%s`: within 0.5 mA both ways round, as far as the scenario tells: "
                    "at most %s through a person. Old insulation and damp leak besides.",
                    point, amperes(s, worst->rms[TOUCH_UL]));
        return;
    }
    summary_say(s, "  * ",
                "`%s`: LIVE. At worst (%s) %s open and %s through a person, %.0f times "
                "the limit.",
                point, state_words(s, &worst->state), volts(s, worst->rms[TOUCH_OPEN]),
                summary_value(s, worst->rms[TOUCH_UL], UNIT_AMPERE, false),
                worst->rms[TOUCH_UL] / TOUCH_LIMIT);
    if (live_when_off(c, point))
        summary_say(s, "    ",
                    "Also when it is switched off: only the plug out of the wall is off.");
    if (one <= TOUCH_LIMIT || other <= TOUCH_LIMIT)
        summary_say(s, "    ",
                    "Not so with the plug %s; but that hangs on the outlet's wiring, and "
                    "it saves no one on the bench.",
                    one <= TOUCH_LIMIT ? "as drawn" : "reversed");
}

static void tell_bench(struct summary *s)
{
    summary_heading(s, "On the bench");
    summary_say(s, "  * ",
                "Feed such a set through an isolating transformer. Never earth a hot "
                "chassis: no earth wire, no earthed instrument, no water pipe.");
    summary_say(s, "  * ",
                "To measure it: 1500 ohm with 0.15 uF across from the metal to a sure "
                "earth, AC volts across it, both ways round of the plug, switch on and "
                "off: 0.75 V is 0.5 mA.");
    summary_say(s, "  * ",
                "A capacitor from the line passes 2 pi f C V: 0.01 uF 0.44 mA, 0.1 uF "
                "4.4 mA at 117 V, 60 Hz. From line to chassis fit class Y only.");
}

void chassis_text_write(FILE *to, struct arena *arena, const struct chassis *c, const char *variant,
                        const char *file)
{
    struct summary s = {.to = to,
                        .arena = arena,
                        .setup = c->setup,
                        .set = c->setup->stages.at[0].set,
                        .circuit = c->setup->stages.at[0].circuit};
    struct hazards h = hazards_of(arena, c->setup, NULL, OCCASION_CHASSIS | OCCASION_POWER);
    if (c->setup->title) summary_say(&s, "", "%s", c->setup->title);
    if (variant) summary_say(&s, "", "Variant: %s", variant);
    const char *last = "";
    for (int i = 0; i < c->rows.n; i++) {
        if (strcmp(c->rows.at[i].point, last) != 0) write_table(&s, c, c->rows.at[i].point);
        last = c->rows.at[i].point;
    }
    tell_networks(&s);
    summary_heading(&s, "What that means");
    for (int i = 0; i < c->rows.n; i++) {
        if (strcmp(c->rows.at[i].point, last) != 0 || i == 0)
            tell_point(&s, c, c->rows.at[i].point);
        last = c->rows.at[i].point;
    }
    tell_bench(&s);
    summary_cautions(&s, &h, 1);
    fputc('\n', to);
    summary_path(&s, "All figures:", file);
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
