/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plot_cycles.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "utf8.h"
#include "words_pictures.h"

enum { NAME_MOST = 36 };                    /* letters of a curve's */
enum { FIRST_CYCLES = 5, LAST_CYCLES = 3 }; /* both are in the trace at full resolution */

#define COLD_CATHODE 0.01 /* of the highest peak: less is no picture */

static int style_of(struct sheet *s, const struct curve *c)
{
    return sheet_style(s, c->part ? c->part : c->name);
}

void plot_curves(struct sheet *s, const char *list, const curves *all)
{
    template_list(s->fill, list);
    for (int i = 0; i < all->n; i++) {
        const struct curve *c = &all->at[i];
        struct fill *row = template_row(s->fill, list);
        const char *plus = arena_printf(s->arena, "column(%d)", c->plus + 2);
        const char *both = arena_printf(s->arena, "(%s-column(%d))", plus, c->minus + 2);
        template_text(row, "VALUE", c->minus >= 0 ? both : plus);
        const char *name = sheet_shortened(s->arena, c->name, NAME_MOST);
        template_quoted(row, "NAME", name);
        int letters = utf8_count(name, strlen(name));
        if (letters > s->longest) s->longest = letters;
        template_text(row, "STYLE", arena_printf(s->arena, "%d", style_of(s, c)));
    }
}

/* The smallest step of 1, 2 or 5 that makes five steps to a panel at most. */
static double tic_step(double range)
{
    double decade = pow(10, floor(log10(range / 5)));
    for (int i = 0; i < 3; i++) {
        static const double steps[] = {1, 2, 5};
        if (range <= 5 * steps[i] * decade) return steps[i] * decade;
    }
    return 10 * decade;
}

/* One panel: its curves, and the range and steps of its upright axis in the curves' unit times
 * `scale`. A quiet curve is not blown up to fill the panel. */
static void add_panel(struct sheet *s, const char *list, const curves *all, double from, double to,
                      double scale)
{
    double low = HUGE_VAL, high = -HUGE_VAL, a = 0, z = 0;
    for (int i = 0; i < all->n; i++) {
        if (!curve_range(s->run, &all->at[i], from, to, &a, &z)) continue;
        low = smaller(low, a * scale);
        high = larger(high, z * scale);
    }
    if (low > high) low = high = 0;
    double least = larger(1, 1e-3 * larger(fabs(low), fabs(high)));
    if (larger(fabs(low), fabs(high)) > 10) least *= 0.01;
    s->low = low;
    s->high = larger(high, low + least);
    plot_curves(s, list, all);
    sheet_range(s, arena_printf(s->arena, "%s_LOW", list), arena_printf(s->arena, "%s_HIGH", list));
    template_number(s->fill, arena_printf(s->arena, "%s_STEP", list), tic_step(s->high - s->low));
}

static double highest_current(const struct sheet *s, const curves *all, double from, double to)
{
    double most = 0, low = 0, high = 0;
    for (int i = 0; i < all->n; i++)
        if (curve_range(s->run, &all->at[i], from, to, &low, &high))
            most = larger(most, larger(fabs(low), fabs(high)));
    return most;
}

void plot_csv_rows(struct sheet *s, double from, double to)
{
    int first = 0, last = trace_rows(s->csv) - 1;
    double beyond = 0.01 * (to - from); /* times are rounded in the file and in the script */
    while (first < last && trace_time(s->csv, first + 1) < from - beyond) first++;
    while (last > first && trace_time(s->csv, last - 1) > to + beyond) last--;
    template_number(s->fill, "SKIP", first + 1); /* and the heading */
    template_number(s->fill, "LAST", last - first);
}

/* Every part looks the same in first and last cycles, whether the line is shown or not. */
static void choose_styles(struct sheet *s, const curves *plates, const curves *capacitor,
                          double from, double to)
{
    curves sections = curves_currents(s->arena, s->run, false);
    sections = curves_apart(s->arena, s->run, &sections, from, to);
    const curves *const order[] = {plates, &sections, capacitor};
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < order[k]->n; i++) style_of(s, &order[k]->at[i]);
}

static const char *cycles_sheet(struct sheet *s, double from, double to, const char *heading,
                                bool line)
{
    curves plates = curves_plates(s->arena, s->run);
    const struct setup *setup = s->t->setup;
    /* amperes of a vibrator would hide the milliamperes of the rectifier */
    line &= !circuit_square(setup->stages.at[0].circuit, setup->stages.at[0].mains_source);
    curves currents = curves_currents(s->arena, s->run, line);
    currents = curves_apart(s->arena, s->run, &currents, from, to);
    curves capacitor = curves_first_capacitor(s->arena, s->run);
    if (plates.n == 0 || currents.n == 0 || capacitor.n == 0 || !(to > from)) return NULL;
    choose_styles(s, &plates, &capacitor, from, to);
    bool small = highest_current(s, &currents, from, to) < 1;
    template_number(s->fill, "FROM", from);
    template_number(s->fill, "SPAN", 1e3 * (to - from));
    template_quoted(s->fill, "FILE", s->file);
    plot_csv_rows(s, from, to);
    template_text(s->fill, "AMPERES", small ? "1e3" : "1");
    template_quoted(s->fill, "AMPERES_TITLE",
                    small ? words_pictures_milliamperes : words_pictures_amperes);
    const char *start =
        from > 0 ? arena_printf(s->arena, words_pictures_from, from) : words_pictures_after;
    template_quoted(s->fill, "ALONG", arena_printf(s->arena, words_pictures_time, heading, start));
    template_quoted(s->fill, "PLATES", words_pictures_plates);
    add_panel(s, "VOLTS", &plates, from, to, 1);
    add_panel(s, "CURRENTS", &currents, from, to, small ? 1e3 : 1);
    add_panel(s, "CAPACITOR", &capacitor, from, to, 1);
    sheet_beside(s, 0.79);
    return "cycles.gp";
}

/* Whether next to nothing flows through the rectifiers yet: their cathodes are cold. */
static bool asleep(const struct sheet *s, double to)
{
    curves sections = curves_currents(s->arena, s->run, false);
    return highest_current(s, &sections, 0, to) <
           COLD_CATHODE * highest_current(s, &sections, 0, s->run->end);
}

const char *plot_first_cycles(struct sheet *s)
{
    const struct turn_on *t = s->t;
    double to = smaller(s->run->end, FIRST_CYCLES / t->setup->frequency);
    if (!s->restart_csv || !asleep(s, to))
        return cycles_sheet(s, 0, to, words_pictures_first_cycles, true);
    struct sheet hot = *s;
    hot.run = t->restart;
    hot.csv = s->restart_csv;
    hot.file = "../restart.csv";
    to = smaller(t->restart->end, FIRST_CYCLES / t->setup->frequency);
    return cycles_sheet(&hot, 0, to, words_pictures_hot_restart, true);
}

double plot_last_from(const struct sheet *s)
{
    return larger(0, s->run->end - LAST_CYCLES / s->t->setup->frequency);
}

const char *plot_last_cycles(struct sheet *s)
{
    return cycles_sheet(s, plot_last_from(s), s->run->end, words_pictures_last_cycles, false);
}
