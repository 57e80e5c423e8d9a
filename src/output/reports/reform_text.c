/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything hangs on one specimen's curve, so two digits are told. */
#include "reform_text.h"

#include <math.h>

#include "cautions_text.h"
#include "page.h"
#include "sheet.h"
#include "words_common.h"
#include "words_reform.h"

enum { LABEL = 20, CELL = 10 };

#define RESISTOR_WATTS 2.0 /* of a resistor at hand, common practice, no source */
#define HAND_WARM                                                                                  \
    15.0 /* over the room [K]: felt by the back of a hand; common practice, no source */

struct telling {
    struct page page;
    const struct reform_task *task;
    const struct reform_course *courses;
};

static const char *amount(struct telling *t, double v, enum unit unit, int digits)
{
    char out[64];
    return arena_printf(t->page.arena, "%s", quantity_text(v, unit, digits, out, sizeof out));
}

static const char *milliamperes(struct telling *t, double amperes)
{
    return arena_printf(t->page.arena, "%.2g", amperes * 1e3);
}

/* ---- tables ---- */

typedef const char *cell_text(struct telling *t, const struct reform_course *c, int k);

static void row(struct telling *t, const char *label, cell_text *cell, int k)
{
    const char *line = page_cell(&t->page, label, LABEL);
    for (int i = 0; i < REFORM_RESISTORS; i++)
        line = arena_printf(t->page.arena, "%s%s", line,
                            page_cell(&t->page, cell(t, &t->courses[i], k), -CELL));
    page_line(&t->page, line);
}

static const char *ohms(struct telling *t, const struct reform_course *c, int k)
{
    (void)k;
    return amount(t, c->ohms, UNIT_OHM, 3);
}

static const char *amperes(struct telling *t, const struct reform_course *c, int k)
{
    return milliamperes(t, c->at[k].amperes);
}

static const char *volts(struct telling *t, const struct reform_course *c, int k)
{
    return arena_printf(t->page.arena, "%.0f", c->at[k].volts);
}

static const char *resistor_watts(struct telling *t, const struct reform_course *c, int k)
{
    (void)k;
    return amount(t, c->resistor_most, UNIT_WATT, 2);
}

static const char *part_watts(struct telling *t, const struct reform_course *c, int k)
{
    (void)k;
    return amount(t, c->part_most, UNIT_WATT, 2);
}

static const char *hottest(struct telling *t, const struct reform_course *c, int k)
{
    (void)k;
    return arena_printf(t->page.arena, words_reform_celsius, c->hottest - ZERO_CELSIUS);
}

static const char *accepted(struct telling *t, const struct reform_course *c, int k)
{
    (void)k;
    return isinf(c->accepted) ? words_reform_over_a_day
           : c->accepted > 0  ? amount(t, c->accepted, UNIT_SECOND, 2)
                              : words_reform_at_once;
}

static void write_times(struct telling *t, const char *heading, cell_text *cell)
{
    page_heading(&t->page, heading);
    row(t, words_reform_resistor, ohms, 0);
    for (int k = 0; k < REFORM_TIMES; k++)
        row(t, amount(t, reform_times[k], UNIT_SECOND, 3), cell, k);
}

/* ---- sentences ---- */

static void tell_law(struct telling *t)
{
    page_say(&t->page, "", words_reform_law);
}

static void tell_limit(struct telling *t)
{
    const struct reform_task *k = t->task;
    double shed = (k->warmest - k->ambient) / k->thermal_resistance;
    page_heading(&t->page, words_reform_done);
    page_say(&t->page, "  * ", words_reform_good, amount(t, k->limit, UNIT_AMPERE, 2),
             amount(t, k->at, UNIT_VOLT, 3));
    page_say(&t->page, "  * ", words_reform_stop,
             amount(t, HAND_WARM / k->thermal_resistance, UNIT_WATT, 2), HAND_WARM,
             amount(t, shed, UNIT_WATT, 2), k->warmest - ZERO_CELSIUS, k->warmest_basis);
    page_say(&t->page, "  * ", words_reform_below);
    page_say(&t->page, "  * ", words_reform_trust);
}

static void tell_resistor(struct telling *t)
{
    const struct reform_course *best = NULL;
    for (int i = 0; i < REFORM_RESISTORS; i++)
        if (!best && t->courses[i].resistor_most <= RESISTOR_WATTS &&
            t->courses[i].hottest - t->task->ambient < HAND_WARM)
            best = &t->courses[i];
    if (!best) return;
    page_say(&t->page, "", words_reform_quickest, HAND_WARM, RESISTOR_WATTS, ohms(t, best, 0),
             amount(t, t->task->at, UNIT_VOLT, 3));
}

void reform_text_write(FILE *to, struct arena *arena, const struct reform_task *task,
                       const struct reform_course courses[REFORM_RESISTORS], const char *file)
{
    struct telling t = {.page = page_on(to, arena), .task = task, .courses = courses};
    struct hazards h = {
        .occasion = OCCASION_REFORM, .lethal = true, .mains = true, .keeps_charge = true};
    page_say(&t.page, "", words_reform_head, task->name, amount(&t, task->farads, UNIT_FARAD, 3),
             amount(&t, task->rated, UNIT_VOLT, 3), task->make, amount(&t, task->at, UNIT_VOLT, 3));
    tell_law(&t);
    write_times(&t, words_reform_amperes_table, amperes);
    write_times(&t, words_reform_volts_table, volts);
    page_heading(&t.page, words_reform_means);
    row(&t, words_reform_resistor, ohms, 0);
    row(&t, words_reform_its_watts, resistor_watts, 0);
    row(&t, words_reform_most_in, part_watts, 0);
    row(&t, words_reform_hottest, hottest, 0);
    row(&t, words_reform_within, accepted, 0);
    page_say(&t.page, "", words_reform_within_note, amount(&t, task->limit, UNIT_AMPERE, 2),
             amount(&t, task->at, UNIT_VOLT, 3));
    tell_resistor(&t);
    tell_limit(&t);
    cautions_text_write(&t.page, &h, 1);
    page_gap(&t.page);
    page_path(&t.page, words_common_figures, file);
}

void reform_csv_write(struct writer *w, const char *name, const struct reform_task *task,
                      const struct reform_course courses[REFORM_RESISTORS])
{
    (void)task;
    writer_file(w, name);
    writer_text(w, "resistance_ohm,time_s,current_A,voltage_V,resistor_W,part_W,can_C\n");
    for (int i = 0; i < REFORM_RESISTORS; i++)
        for (int k = 0; k < REFORM_TIMES; k++) {
            const struct reform_point *p = &courses[i].at[k];
            const double values[] = {
                courses[i].ohms, reform_times[k],         p->amperes, p->volts, p->resistor_watts,
                p->part_watts,   p->kelvin - ZERO_CELSIUS};
            for (size_t j = 0; j < sizeof values / sizeof values[0]; j++) {
                if (j > 0) writer_text(w, ",");
                writer_number(w, values[j]);
            }
            writer_text(w, "\n");
        }
}

/* ---- the picture ---- */

static void add_rows(struct fill *fill, struct arena *arena, const struct reform_course *courses)
{
    for (int k = 0; k < REFORM_TIMES; k++) {
        const char *text = arena_printf(arena, "%.9g", reform_times[k] / 60);
        for (int i = 0; i < REFORM_RESISTORS; i++)
            text = arena_printf(arena, "%s %.9g %.9g", text, courses[i].at[k].amperes * 1e3,
                                courses[i].at[k].volts);
        template_text(template_row(fill, "ROWS"), "ROW", text);
    }
}

void reform_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                       const struct reform_task *task,
                       const struct reform_course courses[REFORM_RESISTORS],
                       const struct plot_options *options)
{
    struct telling t = {.page = {.arena = arena}, .task = task};
    struct sheet sheet = {.arena = arena, .options = options};
    sheet_begin(&sheet,
                arena_printf(arena, words_reform_picture, task->name,
                             amount(&t, task->farads, UNIT_FARAD, 3),
                             amount(&t, task->rated, UNIT_VOLT, 3),
                             amount(&t, task->at, UNIT_VOLT, 3)),
                NULL, "reform");
    template_number(sheet.fill, "LIMIT", task->limit * 1e3);
    template_number(sheet.fill, "SUPPLY", task->at);
    template_list(sheet.fill, "ROWS");
    template_list(sheet.fill, "COLUMNS");
    add_rows(sheet.fill, arena, courses);
    for (int i = 0; i < REFORM_RESISTORS; i++) {
        struct fill *column = template_row(sheet.fill, "COLUMNS");
        template_quoted(column, "NAME", ohms(&t, &courses[i], 0));
        template_text(column, "AMPERES", arena_printf(arena, "%d", 2 * i + 2));
        template_text(column, "VOLTS", arena_printf(arena, "%d", 2 * i + 3));
        template_text(column, "STYLE", arena_printf(arena, "%d", i + 1));
    }
    writer_file(w, "plots/reform.gp");
    template_write(w, diags, options->templates, "reform.gp", sheet.fill);
    writer_pause(w);
}
