/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Times that hang on cooling tubes get two digits; "never" is told where nothing empties a part. */
#include "discharge_text.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "summary_impl.h"

enum { LABEL = 19, CELL = 10, CELLS = 6 };

static const char *value(struct summary *s, double v, enum unit unit)
{
    return summary_value(s, v, unit, false);
}

static const char *charge(struct summary *s, double coulombs)
{
    return coulombs < 9.995e-4 ? arena_printf(s->arena, "%.3g uC", coulombs * 1e6)
                               : arena_printf(s->arena, "%.3g mC", coulombs * 1e3);
}

static const char *duration(struct summary *s, double seconds)
{
    return isinf(seconds) ? "never"
           : seconds > 0  ? summary_value(s, seconds, UNIT_SECOND, false)
                          : "at once";
}

static const char *hot_words(struct summary *s, const struct discharge *d, const struct stored *c)
{
    if (!d->has_hot) return "-";
    return isinf(c->hot.safe) ? "not yet" : duration(s, c->hot.safe);
}

/* ---- the table ---- */

static void row(struct summary *s, const char *label, const char *const cells[CELLS])
{
    const char *line = summary_cell(s, label, LABEL);
    for (int k = 0; k < CELLS; k++)
        line = arena_printf(s->arena, "%s%s", line, summary_cell(s, cells[k], -CELL));
    summary_line(s, line);
}

static void write_table(struct summary *s, const struct discharge *d)
{
    static const char *const heads[2][CELLS] = {
        {"settled", "highest", "energy", "charge", "to 30 V,", "to 30 V,"},
        {"", "", "", "", "cold", "hot"}};
    row(s, "", heads[0]);
    row(s, "", heads[1]);
    for (int i = 0; i < d->parts.n; i++) {
        const struct stored *c = &d->parts.at[i];
        const char *cells[CELLS] = {value(s, c->settled, UNIT_VOLT),
                                    value(s, c->highest, UNIT_VOLT),
                                    value(s, c->joules, UNIT_JOULE),
                                    charge(s, c->coulombs),
                                    duration(s, c->cold),
                                    hot_words(s, d, c)};
        row(s, arena_printf(s->arena, "%s %s", c->name, value(s, c->farads, UNIT_FARAD)), cells);
    }
    const char *sums[CELLS] = {"",
                               value(s, d->highest, UNIT_VOLT),
                               value(s, d->joules, UNIT_JOULE),
                               charge(s, d->coulombs),
                               "",
                               ""};
    if (d->parts.n > 1) row(s, "the whole set", sums);
    summary_say(s, "",
                "Energy and charge at the highest volts of the turn-on, each capacitor by itself. "
                "Cold: what stays connected empties it from its settled volts, while the tubes "
                "draw nothing. Hot: switched off while they play; a moment later they are cold.");
}

static void tell_left(struct summary *s, const struct discharge *d)
{
    const char *never = "", *left = "", *leaks = "";
    for (int i = 0; i < d->parts.n; i++) {
        const struct stored *c = &d->parts.at[i];
        if (isinf(c->cold))
            never = arena_printf(s->arena, "%s%s%s", never, *never ? ", " : "", c->name);
        if (c->leak_only)
            leaks = arena_printf(s->arena, "%s%s%s", leaks, *leaks ? ", " : "", c->name);
        if (d->has_hot && isinf(c->hot.safe))
            left = arena_printf(s->arena, "%s%s%s at %s", left, *left ? ", " : "", c->name,
                                value(s, fabs(c->hot.left), UNIT_VOLT));
    }
    if (*never)
        summary_say(s, "",
                    "With cold tubes nothing you typed in empties %s: switched off before the "
                    "tubes play, the charge stays for hours, or for good. Discharge it. What a "
                    "new part may leak is no bleeder.",
                    never);
    if (*leaks)
        summary_say(s, "",
                    "With cold tubes hardly anything but the leakage you typed in empties %s. "
                    "It falls while a part re-forms, and then the charge stays for hours.",
                    leaks);
    if (*left)
        summary_say(s, "", "%s after hot tubes were switched off there still stand%s: %s.",
                    value(s, d->parts.at[0].hot.end, UNIT_SECOND), strchr(left, ',') ? "" : "s",
                    left);
    summary_say(s, "",
                "These times hold only if what bleeds the set is sound. An open resistor, or "
                "a tube out of its socket, and the charge stays.");
}

/* ---- the tool ---- */

static const char *pieces(struct summary *s, const struct tool *t)
{
    const char *each = value(s, t->ohms / t->in_series, UNIT_OHM);
    double watts = t->watts;
    const char *size = isinf(watts) ? "of more watts than usual sizes have"
                                    : arena_printf(s->arena, "%s", value(s, watts, UNIT_WATT));
    if (t->in_series == 1) return arena_printf(s->arena, "%s, %s wirewound", each, size);
    return arena_printf(s->arena, "%d resistors of %s in series, each %s wirewound", t->in_series,
                        each, size);
}

static void write_tool(struct summary *s, const struct discharge *d)
{
    const struct tool *t = &d->fit;
    summary_heading(s, "To empty it");
    if (d->rule_fits)
        summary_say(s, "  ",
                    "The customary tool serves this set: 10 kohm, 5 W wirewound, rated "
                    "500 V, held on for 30 s (common practice, no source).");
    else
        summary_say(s, "  ",
                    "The customary 10 kohm, 5 W, 500 V held on for 30 s does not serve "
                    "this set (%s at the start, %s to 30 V): take %s.",
                    value(s, d->rule.peak, UNIT_WATT), duration(s, d->rule.longest), pieces(s, t));
    summary_say(s, "  ",
                "It must stand %s; it begins with %s (5 W wirewound stands ten times its "
                "watts for 5 s, from memory) and takes up %s. All capacitors joined, they "
                "are below 30 V in %s.",
                value(s, t->volts, UNIT_VOLT), value(s, t->peak, UNIT_WATT),
                value(s, t->joules, UNIT_JOULE), duration(s, t->longest));
    summary_say(s, "  ",
                "Put it on every capacitor in turn, read with the meter: under 30 V. A "
                "digital meter's own 10 Mohm empties nothing in time.");
}

static void write_creep(struct summary *s, const struct discharge *d)
{
    const struct stored *most = &d->parts.at[0];
    for (int i = 1; i < d->parts.n; i++)
        if (d->parts.at[i].creep_high > most->creep_high) most = &d->parts.at[i];
    if (most->creep_high < 1) return;
    summary_say(s, "  ",
                "Charge creeps back: minutes after a short discharge %s (%s) could stand "
                "at %s to %s again. Estimate, from memory: 5 to 15 %% of what an aluminium "
                "electrolytic was charged to, 1 to 5 %% of paper, under 1 %% of film. Wait "
                "five minutes, read again, empty again, and leave a clip lead across it.",
                most->name, most->make, value(s, most->creep_low, UNIT_VOLT),
                value(s, most->creep_high, UNIT_VOLT));
}

/* ---- limits ---- */

/* Only where a capacitor holds volts there. */
static void write_pins(struct summary *s, const struct discharge *d)
{
    const struct decay_seen *p = &d->pins;
    if (!d->has_plug || !(fabs(p->start) > 1)) return;
    summary_heading(s, "Between the prongs of the plug, pulled at the crest (tubes cold)");
    summary_say(s, "  ",
                "%s at once, %s after 1 s, %s after 2 s, %s after 5 s, with the set's switch as "
                "the scenario has it. Behind an open switch, or with a part of its way open, a "
                "line capacitor keeps its volts: do not touch the prongs.",
                value(s, fabs(p->start), UNIT_VOLT), value(s, fabs(p->at[0]), UNIT_VOLT),
                value(s, fabs(p->at[1]), UNIT_VOLT), value(s, fabs(p->at[2]), UNIT_VOLT));
    for (int i = 0; i < pin_limits_count(); i++)
        if (pin_limit_over(pin_limit_at(i), p))
            summary_say(s, "  * ", "Over: %s (%s)", pin_limit_at(i)->what, pin_limit_at(i)->source);
}

static void write_limits(struct summary *s, const struct discharge *d)
{
    bool headed = false;
    for (int k = 0; k < charge_limits_count(); k++) {
        const struct charge_limit *l = charge_limit_at(k);
        const char *names = "";
        for (int i = 0; i < d->parts.n; i++)
            if (l->over(&d->parts.at[i]))
                names = arena_printf(s->arena, "%s%s%s", names, *names ? ", " : "",
                                     d->parts.at[i].name);
        if (!*names) continue;
        if (!headed)
            summary_heading(s, "Over what is counted harmless in new equipment (tubes cold)");
        headed = true;
        summary_say(s, "  * ", "%s: %s (%s)", names, l->what, l->source);
    }
    if (!headed)
        summary_say(s, "", "No capacitor exceeds the limits for parts that may be touched.");
}

void discharge_text_write(FILE *to, struct arena *arena, const struct discharge *d,
                          const char *file)
{
    struct summary s = {.to = to,
                        .arena = arena,
                        .setup = d->setup,
                        .set = d->setup->stages.at[0].set,
                        .circuit = d->setup->stages.at[0].circuit,
                        .run = d->run};
    struct hazards h = hazards_of(arena, d->setup, d->run, OCCASION_DISCHARGE);
    if (d->setup->title) summary_say(&s, "", "%s", d->setup->title);
    if (strcmp(d->setup->variant, "base") != 0)
        summary_say(&s, "", "Variant: %s", d->setup->variant);
    if (d->parts.n == 0) {
        summary_say(&s, "", "There is no capacitor in this set.");
    } else {
        summary_heading(&s, "What the capacitors hold");
        write_table(&s, d);
        tell_left(&s, d);
        write_tool(&s, d);
        write_creep(&s, d);
        write_limits(&s, d);
        write_pins(&s, d);
    }
    summary_cautions(&s, &h, 1);
    fputc('\n', to);
    summary_path(&s, "All figures:", file);
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
