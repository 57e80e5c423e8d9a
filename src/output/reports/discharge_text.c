/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Times that hang on cooling tubes get two digits; "never" is told where nothing empties a part. */
#include "discharge_text.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "page.h"
#include "words_common.h"
#include "words_discharge.h"
#include "words_limits.h"
#include "words_number.h"

enum { LABEL = 19, CELL = 10, CELLS = 6 };

static const char *value(struct page *page, double v, enum unit unit)
{
    return page_value(page, v, unit, false);
}

static const char *charge(struct page *page, double coulombs)
{
    return coulombs < 9.995e-4
               ? arena_printf(page->arena, words_discharge_microcoulombs, coulombs * 1e6)
               : arena_printf(page->arena, words_discharge_millicoulombs, coulombs * 1e3);
}

static const char *duration(struct page *page, double seconds)
{
    return isinf(seconds) ? words_discharge_never
           : seconds > 0  ? page_value(page, seconds, UNIT_SECOND, false)
                          : words_discharge_at_once;
}

static const char *hot_words(struct page *page, const struct discharge *d, const struct stored *c)
{
    if (!d->has_hot) return "-";
    return isinf(c->hot.safe) ? words_discharge_not_yet : duration(page, c->hot.safe);
}

/* ---- the table ---- */

static void row(struct page *page, const char *label, const char *const cells[CELLS])
{
    const char *line = page_cell(page, label, LABEL);
    for (int k = 0; k < CELLS; k++)
        line = arena_printf(page->arena, "%s%s", line, page_cell(page, cells[k], -CELL));
    page_line(page, line);
}

static void write_table(struct page *page, const struct discharge *d)
{
    const char *safe = arena_printf(page->arena, words_discharge_to_safe, DISCHARGE_SAFE);
    const char *const heads[2][CELLS] = {
        {words_discharge_settled, words_discharge_highest, words_discharge_energy,
         words_discharge_charge, safe, safe},
        {"", "", "", "", words_discharge_cold, words_discharge_hot}};
    for (int k = 0; k < 2; k++) {
        page_heads(page);
        row(page, "", heads[k]);
    }
    for (int i = 0; i < d->parts.n; i++) {
        const struct stored *c = &d->parts.at[i];
        const char *cells[CELLS] = {value(page, c->settled, UNIT_VOLT),
                                    value(page, c->highest, UNIT_VOLT),
                                    value(page, c->joules, UNIT_JOULE),
                                    charge(page, c->coulombs),
                                    duration(page, c->cold),
                                    hot_words(page, d, c)};
        row(page, arena_printf(page->arena, "%s %s", c->name, value(page, c->farads, UNIT_FARAD)),
            cells);
    }
    const char *sums[CELLS] = {"",
                               value(page, d->highest, UNIT_VOLT),
                               value(page, d->joules, UNIT_JOULE),
                               charge(page, d->coulombs),
                               "",
                               ""};
    if (d->parts.n > 1) row(page, words_discharge_set, sums);
    page_say(page, "", words_discharge_table);
}

static void tell_left(struct page *page, const struct discharge *d)
{
    const char *never = "", *left = "", *leaks = "";
    for (int i = 0; i < d->parts.n; i++) {
        const struct stored *c = &d->parts.at[i];
        if (isinf(c->cold))
            never = arena_printf(page->arena, "%s%s%s", never, *never ? ", " : "", c->name);
        if (c->leak_only)
            leaks = arena_printf(page->arena, "%s%s%s", leaks, *leaks ? ", " : "", c->name);
        if (d->has_hot && isinf(c->hot.safe))
            left = arena_printf(page->arena, words_discharge_left_at, left, *left ? ", " : "",
                                c->name, value(page, fabs(c->hot.left), UNIT_VOLT));
    }
    if (*never) page_say(page, "", words_discharge_nothing_empties, never);
    if (*leaks) page_say(page, "", words_discharge_leak_only, leaks);
    if (*left)
        page_say(page, "", words_discharge_still, value(page, d->parts.at[0].hot.end, UNIT_SECOND),
                 strchr(left, ',') ? "" : words_discharge_still_one, left);
    page_say(page, "", words_discharge_if_sound);
}

/* ---- the tool ---- */

static const char *pieces(struct page *page, const struct tool *t)
{
    const char *each = value(page, t->ohms / t->in_series, UNIT_OHM);
    double watts = t->watts;
    const char *size = isinf(watts)
                           ? words_discharge_no_watts
                           : arena_printf(page->arena, "%s", value(page, watts, UNIT_WATT));
    if (t->in_series == 1) return arena_printf(page->arena, words_discharge_wirewound, each, size);
    return arena_printf(page->arena, words_discharge_in_series, t->in_series, each, size);
}

static void write_tool(struct page *page, const struct discharge *d)
{
    const struct tool *t = &d->fit;
    page_heading(page, words_discharge_tool);
    if (d->rule_fits)
        page_say(page, "  ", words_discharge_rule_serves, DISCHARGE_RULE / 1e3, DISCHARGE_WATTS,
                 DISCHARGE_VOLTS, DISCHARGE_HOLD);
    else
        page_say(page, "  ", words_discharge_rule_fails, DISCHARGE_RULE / 1e3, DISCHARGE_WATTS,
                 DISCHARGE_VOLTS, DISCHARGE_HOLD, value(page, d->rule.peak, UNIT_WATT),
                 duration(page, d->rule.longest), DISCHARGE_SAFE, pieces(page, t));
    page_say(page, "  ", words_discharge_must_stand, value(page, t->volts, UNIT_VOLT),
             value(page, t->peak, UNIT_WATT), DISCHARGE_WATTS, words_number(DISCHARGE_OVERLOAD),
             value(page, t->joules, UNIT_JOULE), DISCHARGE_SAFE, duration(page, t->longest));
    page_say(page, "  ", words_discharge_each_in_turn, DISCHARGE_SAFE);
}

static void write_creep(struct page *page, const struct discharge *d)
{
    const struct stored *most = &d->parts.at[0];
    for (int i = 1; i < d->parts.n; i++)
        if (d->parts.at[i].creep_high > most->creep_high) most = &d->parts.at[i];
    if (most->creep_high < 1) return;
    page_say(page, "  ", words_discharge_creeps, most->name, most->make,
             value(page, most->creep_low, UNIT_VOLT), value(page, most->creep_high, UNIT_VOLT),
             100 * discharge_creep[MAKE_MODERN].least, 100 * discharge_creep[MAKE_MODERN].most,
             100 * discharge_creep[MAKE_PAPER].least, 100 * discharge_creep[MAKE_PAPER].most,
             100 * discharge_creep[MAKE_FILM].most);
}

/* ---- limits ---- */

/* Only where a capacitor holds volts there. */
static void write_pins(struct page *page, const struct discharge *d)
{
    const struct decay_seen *p = &d->pins;
    if (!d->has_plug || !(fabs(p->start) > 1)) return;
    page_heading(page, words_discharge_prongs);
    page_say(page, "  ", words_discharge_prongs_volts, value(page, fabs(p->start), UNIT_VOLT),
             value(page, fabs(p->at[0]), UNIT_VOLT), discharge_marks[0],
             value(page, fabs(p->at[1]), UNIT_VOLT), discharge_marks[1],
             value(page, fabs(p->at[2]), UNIT_VOLT), discharge_marks[2]);
    for (int i = 0; i < charge_pin_limits_count(); i++)
        if (charge_pin_limit_over(charge_pin_limit_at(i), p))
            page_say(page, "  * ", words_discharge_over,
                     words_limits_pins(page->arena, charge_pin_limit_at(i)),
                     charge_pin_limit_at(i)->source);
}

static void write_limits(struct page *page, const struct discharge *d)
{
    bool headed = false;
    for (enum charge_limit k = 0; k < CHARGE_LIMITS; k++) {
        const char *names = "";
        for (int i = 0; i < d->parts.n; i++)
            if (charge_limit_over(k, &d->parts.at[i]))
                names = arena_printf(page->arena, "%s%s%s", names, *names ? ", " : "",
                                     d->parts.at[i].name);
        if (!*names) continue;
        if (!headed) page_heading(page, words_discharge_limits);
        headed = true;
        page_say(page, "  * ", "%s: %s (%s)", names, words_limits_charge(page->arena, k),
                 charge_limit_source(k));
    }
    if (!headed) page_say(page, "", words_discharge_no_limit);
}

void discharge_text_write(FILE *to, struct arena *arena, const struct discharge *d,
                          const char *file)
{
    struct page page = page_on(to, arena);
    struct hazards h = hazards_of(arena, d->setup, d->run, OCCASION_DISCHARGE);
    page_title(&page, d->setup->title, d->setup->variant);
    if (d->parts.n == 0) {
        page_say(&page, "", words_discharge_none);
    } else {
        page_heading(&page, words_discharge_heading);
        write_table(&page, d);
        tell_left(&page, d);
        write_tool(&page, d);
        write_creep(&page, d);
        write_limits(&page, d);
        write_pins(&page, d);
    }
    cautions_text_write(&page, &h, 1);
    page_gap(&page);
    page_path(&page, words_common_figures, file);
}

/* Cells of one row; NaN is an empty one. */
static void csv_row(struct writer *w, const char *part, const char *make, const double *values,
                    int n)
{
    writer_field(w, part);
    writer_text(w, ",");
    writer_field(w, make);
    for (int k = 0; k < n; k++) {
        writer_text(w, ",");
        if (!isnan(values[k])) writer_number(w, values[k]);
    }
    writer_text(w, "\n");
}

enum { CSV_NUMBERS = 13 };

void discharge_csv_write(struct writer *w, const char *name, const struct discharge *d)
{
    const double nothing = (double)NAN;
    writer_file(w, name);
    writer_text(w, "part,make,capacitance_F,settled_V,highest_V,energy_J,charge_C,"
                   "to_30V_cold_s,after_2s_cold_V,after_5s_cold_V,to_30V_hot_s,left_hot_V,"
                   "creeps_back_least_V,creeps_back_most_V,to_50V_cold_s\n");
    for (int i = 0; i < d->parts.n; i++) {
        const struct stored *c = &d->parts.at[i];
        const double values[CSV_NUMBERS] = {c->farads,
                                            c->settled,
                                            c->highest,
                                            c->joules,
                                            c->coulombs,
                                            c->cold,
                                            c->cold_marks.at[1],
                                            c->cold_marks.at[2],
                                            d->has_hot ? c->hot.safe : nothing,
                                            d->has_hot ? c->hot.left : nothing,
                                            c->creep_low,
                                            c->creep_high,
                                            c->to_50};
        csv_row(w, c->name, c->make, values, CSV_NUMBERS);
    }
    if (!d->has_plug) return;
    double plug[CSV_NUMBERS];
    for (int k = 0; k < CSV_NUMBERS; k++) plug[k] = nothing;
    plug[1] = d->pins.start, plug[6] = d->pins.at[1], plug[7] = d->pins.at[2];
    csv_row(w, "the plug's prongs", "", plug, CSV_NUMBERS);
}
