/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables tell the sizes, sentences below them what to mind with each part. A letter behind a worst
 * value names the run it comes from. */
#include "buy_list_text.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "summary_impl.h"

#define LEAST_HEAT 0.01 /* told [W] */

struct buying {
    struct summary *s;
    const struct buy_list *list;
    const char *variant;
};

static const char *amount(struct buying *b, double value, enum unit unit)
{
    return summary_value(b->s, value, unit, false);
}

static char letter(int run)
{
    return run < 0 ? ' ' : (char)('a' + run);
}

static const char *bullet(struct buying *b, const char *name)
{
    return arena_printf(b->s->arena, "  %s: ", name);
}

/* ---- head ---- */

static void write_head(struct buying *b, const char *title)
{
    const struct buy_list *list = b->list;
    if (title) summary_say(b->s, "", "%s", title);
    const char *line = list->line > 0 ? arena_printf(b->s->arena, " (%s instead of %s)",
                                                     amount(b, list->raised, UNIT_VOLT),
                                                     amount(b, list->line, UNIT_VOLT))
                                      : "";
    summary_say(b->s, "",
                "To buy for %s. Worst cases: line at +10 %%%s, cold tubes, open loads. New "
                "parts are taken as fitted and sound, electrolytics as modern; everything "
                "else is as drawn.",
                b->variant ? arena_printf(b->s->arena, "`%s`", b->variant) : "the set as drawn",
                line);
    static const char *const what[BUY_RUNS] = {"cathodes warm, closed at the crest, until settled",
                                               "the scenario's, through the warm-up",
                                               "as a, nothing drawn, no leakage of new parts",
                                               "as a, 1N4007 fitted", "as c, 1N4007 fitted"};
    fprintf(b->s->to,
            "\nRuns, as named in figures.csv (the letter stands behind a worst value):\n");
    for (int r = 0; r < BUY_RUNS; r++)
        if (list->label[r] && list->run[r])
            summary_say(b->s, arena_printf(b->s->arena, "  %c  ", letter(r)), "%s: %s",
                        list->label[r], what[r]);
    if (list->changes)
        summary_say(b->s, "",
                    "Parts change during this scenario's run: the worst of that counts too. "
                    "A list for a repair is better made of a variant without it.");
    if (list->limited)
        summary_say(
            b->s, "",
            "WARNING: something limits the current in series with the plug. Ripple, watts and "
            "fuse are those behind it; make the list of a variant without it.");
    if (list->unsettled)
        summary_say(b->s, "",
                    "WARNING: `%s` had not settled after its time: ripple and watts are "
                    "rough. A longer `run: {for: ...}` helps.",
                    list->unsettled);
}

/* ---- capacitors ---- */

static void capacitor_row(struct buying *b, const struct buy_capacitor *k)
{
    struct summary *s = b->s;
    const char *rating = k->rating > 0 ? amount(b, k->rating, UNIT_VOLT) : "two";
    summary_line(
        s,
        arena_printf(
            s->arena, "%s%s%s%s%s %c%s%s%s%s", summary_cell(s, k->name, 15),
            summary_cell(s, amount(b, k->drawn, UNIT_FARAD), -8),
            summary_cell(s, amount(b, k->farads, UNIT_FARAD), -8), summary_cell(s, rating, -7),
            summary_cell(s, amount(b, k->volts.value, UNIT_VOLT), -8), letter(k->volts.run),
            summary_cell(s, amount(b, k->ripple.value, UNIT_AMPERE), -9),
            summary_cell(s, amount(b, k->frequency, UNIT_HERTZ), -8),
            summary_cell(s, arena_printf(s->arena, "%.0f C", k->can - 273.15), -7),
            summary_cell(s, k->celsius ? arena_printf(s->arena, "%d C", k->celsius) : "none", -7)));
}

static void write_capacitors(struct buying *b)
{
    struct summary *s = b->s;
    summary_heading(s, "Capacitors");
    summary_line(s,
                 "                                   buy   worst  ripple to            can    buy");
    summary_line(s,
                 "part              drawn     buy  volts   volts      carry      at   gets   kind");
    for (int i = 0; i < b->list->capacitors.n; i++) capacitor_row(b, &b->list->capacitors.at[i]);
    summary_say(s, "",
                "Values: series E6 at or above (IEC 60063). Volts: the rating sold at or above "
                "the highest in any run. Ripple: RMS in run a, to be held against the sheet at "
                "that frequency. Can: room (%s) and its own heat with the loss its sheet may "
                "allow; 85 C kind up to a can of 65 C, else 105 C (common practice, no source).",
                amount(b, b->list->setup[BUY_HOT]->stages.at[0].set->ambient, UNIT_CELSIUS));
}

static void tell_polarity(struct buying *b, const struct buy_capacitor *k)
{
    const char *first = bullet(b, k->name);
    const char *reference = b->list->setup[BUY_HOT]->stages.at[0].circuit->reference;
    if (k->alternating) {
        summary_say(b->s, first,
                    "no direct volts to speak of between `%s` and `%s`: a part for "
                    "alternating volts, no electrolytic.",
                    k->plus, k->minus);
        return;
    }
    const char *plus = amount(b, k->plus_volts, UNIT_VOLT);
    const char *minus = amount(b, k->minus_volts, UNIT_VOLT);
    if (k->insulated)
        summary_say(b->s, first,
                    "plus to `%s` (%s), minus to `%s` (%s), which is not `%s`: the can "
                    "must be insulated, and no other negative belongs there.",
                    k->plus, plus, k->minus, minus, reference);
    else summary_say(b->s, first, "plus to `%s` (%s), minus to `%s`.", k->plus, plus, k->minus);
    if (k->swapped && k->electrolytic)
        summary_say(b->s, "      ", "WARNING: drawn the other way round. Its plus belongs to `%s`.",
                    k->plus);
    if (k->reverse.run >= 0 && k->electrolytic)
        summary_say(b->s, "      ",
                    "WARNING: reversed by up to %s in run %c; an electrolytic stands "
                    "1 V (Vishay doc. 28329).",
                    amount(b, k->reverse.value, UNIT_VOLT), letter(k->reverse.run));
}

static void tell_pair(struct buying *b, const struct buy_capacitor *k)
{
    const struct buy_pair *p = &k->pair;
    if (p->farads == 0 && k->rating > 0) return;
    if (p->rating == 0) {
        summary_say(b->s, "      ", "Neither one part nor two in series of this list stand %s.",
                    amount(b, k->volts.value, UNIT_VOLT));
        return;
    }
    summary_say(b->s, "      ",
                "%s two of %s %s in series, %s across each (%s and %s on it: buy %s%s). "
                "Each is rated for 0.6 of the volts, the worst of +-20 %%; the "
                "resistors carry ten times the leakage of a new part.",
                k->uncommon ? "Few make such an electrolytic; instead" : "No single part is sold:",
                amount(b, p->farads, UNIT_FARAD), amount(b, p->rating, UNIT_VOLT),
                amount(b, p->ohms, UNIT_OHM), amount(b, p->volts, UNIT_VOLT),
                amount(b, p->watts, UNIT_WATT), amount(b, p->resistor_watts, UNIT_WATT),
                p->volts > 250 ? ", as two of half the ohms: one stands 250 to 350 V" : "");
}

static void tell_capacitor(struct buying *b, const struct buy_capacitor *k)
{
    tell_polarity(b, k);
    tell_pair(b, k);
    if (k->limit)
        summary_say(b->s, "      ",
                    "No larger, rather smaller: with %s the %s of %s is %s of its "
                    "rating in run a. `presolder try` finds how large it may be.",
                    amount(b, k->farads, UNIT_FARAD), measure_table[k->limit].words, k->rectifier,
                    summary_percent(b->s, k->share));
    else if (k->rectifier)
        summary_say(b->s, "      ",
                    "It is the first capacitor of %s: larger means higher peaks there; "
                    "this one keeps within the ratings known.",
                    k->rectifier);
    if (k->make == MAKE_WET)
        summary_say(b->s, "      ",
                    "The old wet one held the warm-up surge down by leaking; a modern "
                    "one does not: up to %s now reaches every part behind it (common "
                    "practice, no source).",
                    amount(b, k->volts.value, UNIT_VOLT));
    if (k->can_name)
        summary_say(b->s, "      ",
                    k->parted ? "It shares the can `%s` with sections whose negative "
                                "is another: one can with one negative does not "
                                "replace them."
                              : "It shares the can `%s`; all sections there have the "
                                "same negative.",
                    k->can_name);
    if (k->beside)
        summary_say(
            b->s, "      ",
            "It lies across the same points as `%s`. One part is bought for both, and an old "
            "one is taken out, never bridged.",
            k->beside);
    if (!k->celsius)
        summary_say(b->s, "      ",
                    "No kind lives long at such a heat: a larger part, or another "
                    "place.");
}

/* ---- resistors ---- */

static const char *heat(struct buying *b, double watts)
{
    return watts < LEAST_HEAT ? "< 0.01 W" : amount(b, watts, UNIT_WATT);
}

static void resistor_row(struct buying *b, const struct buy_resistor *r)
{
    struct summary *s = b->s;
    const char *watts = isinf(r->rating) ? "several" : amount(b, r->rating, UNIT_WATT);
    summary_line(s, arena_printf(s->arena, "%s%s%s%s %c%s%s %c", summary_cell(s, r->name, 19),
                                 summary_cell(s, amount(b, r->drawn, UNIT_OHM), -12),
                                 summary_cell(s, amount(b, r->ohms, UNIT_OHM), -12),
                                 summary_cell(s, heat(b, r->watts.value), -10),
                                 letter(r->watts.run), summary_cell(s, watts, -9),
                                 summary_cell(s, amount(b, r->volts.value, UNIT_VOLT), -10),
                                 letter(r->volts.run)));
}

static void write_resistors(struct buying *b)
{
    if (b->list->resistors.n == 0) return;
    summary_heading(b->s, "Resistors");
    summary_line(b->s,
                 "part                      drawn         buy      heat        buy   highest");
    for (int i = 0; i < b->list->resistors.n; i++) resistor_row(b, &b->list->resistors.at[i]);
    summary_say(b->s, "",
                "Ohms: nearest of E24 (IEC 60063). Watts: twice the heat (RMS), rounded up "
                "(common practice, no source). Look at the volts a resistor is made for: "
                "one of half a watt usually stands 250 to 350 V.");
}

/* ---- rectifiers ---- */

static void tell_heater(struct buying *b, const struct buy_heater *h)
{
    if (!(h->amperes > 0)) return;
    if (!h->string) {
        summary_say(b->s, "      ",
                    "Its heater's %s at %s are then no longer drawn from `%s`: other "
                    "heaters on that transformer rise a little.",
                    amount(b, h->amperes, UNIT_AMPERE), amount(b, h->volts, UNIT_VOLT), h->name);
        return;
    }
    summary_say(b->s, "      ",
                "In place of the heater `%s` (%s, %s) the string needs %s, %s of heat: "
                "buy %s.",
                h->name, amount(b, h->volts, UNIT_VOLT), amount(b, h->amperes, UNIT_AMPERE),
                amount(b, h->ohms, UNIT_OHM), amount(b, h->watts, UNIT_WATT),
                isinf(h->rating) ? "several" : amount(b, h->rating, UNIT_WATT));
}

static const char *diodes(struct buying *b, const struct buy_rectifier *v)
{
    return v->diodes == 1 ? "one 1N4007"
                          : arena_printf(b->s->arena, "%d 1N4007 in series", v->diodes);
}

static char *put_escaped(char *to, const char *text, const char *marks, char escape)
{
    for (; *text; text++) {
        if (strchr(marks, *text)) *to++ = escape;
        *to++ = *text;
    }
    return to;
}

/* A name as it is written in a scenario: in quotes where it would mean something else. */
static const char *in_file(struct arena *arena, const char *name)
{
    if (!strpbrk(name, "[]{}#:&*!|>'\"%@`,?\\") && *name != '-') return name;
    char *text = arena_alloc(arena, 2 * strlen(name) + 3), *to = text;
    *to++ = '\'';
    to = put_escaped(to, name, "'", '\'');
    *to = '\'';
    return text;
}

/* A text between the double quotes of a shell. */
static const char *in_shell(struct arena *arena, const char *name)
{
    char *text = arena_alloc(arena, 2 * strlen(name) + 1);
    put_escaped(text, name, "\"$`\\", '\\');
    return text;
}

/* How to have that resistor found: what to write and what to run. */
static void tell_resistor(struct buying *b, const struct buy_rectifier *v)
{
    struct arena *arena = b->s->arena;
    if (!*v->cathode) return;
    const char *series = v->diodes > 1 ? arena_printf(arena, ", in series: %d", v->diodes) : "";
    const char *resistor = arena_printf(arena, "%s resistor", v->name),
               *inner = in_file(arena, arena_printf(arena, "%s cathode", v->name));
    summary_say(b->s, "      ", "In a variant `with silicon`, a resistor behind the diodes:");
    summary_line(b->s, arena_printf(arena, "        %s: {type: 1N4007%s, cathode: %s}",
                                    in_file(arena, v->name), series, inner));
    summary_line(b->s, arena_printf(arena, "        %s:", in_file(arena, resistor)));
    summary_line(b->s, "          is: resistor");
    summary_line(
        b->s, arena_printf(arena, "          across: [%s, %s]", inner, in_file(arena, v->cathode)));
    summary_line(b->s, "          resistance: 100 ohm");
    summary_say(b->s, "      ",
                "Then, with the volts that the old one gave there, `presolder find-value` with:");
    summary_line(b->s, arena_printf(arena,
                                    "        --variant \"with silicon\" --change \"%s.resistance\"",
                                    in_shell(arena, resistor)));
    summary_line(b->s, arena_printf(arena, "        --so-that \"%s settled-voltage = ... V\"",
                                    in_shell(arena, v->cathode)));
}

static void tell_rectifier(struct buying *b, const struct buy_rectifier *v)
{
    const char *first = bullet(b, v->name);
    const char *type = *v->type ? v->type : v->tube ? "a tube" : "a diode";
    if (!v->replaced) {
        if (v->diodes > 0)
            summary_say(b->s, first,
                        "%s; %s for each plate does: %s the wrong way in run %c, 80 %% of "
                        "1000 V at most for each (common practice, no source).",
                        type, diodes(b, v), amount(b, v->inverse.value, UNIT_VOLT),
                        letter(v->inverse.run));
        else summary_say(b->s, first, "%s.", type);
        return;
    }
    summary_say(b->s, first,
                v->tube ? "%s: the same type, tested." : "%s: old selenium is better replaced.",
                type);
    if (v->diodes == 0) return;
    summary_say(b->s, "      ",
                "Silicon instead: %s for each plate (%s the wrong way in run %c, 80 %% "
                "of 1000 V at most for each; common practice, no source). B+ rises, at "
                "once and for good: `presolder find-value` finds the resistor that "
                "restores it, and this list of a variant with silicon the volts.",
                diodes(b, v), amount(b, v->inverse.value, UNIT_VOLT), letter(v->inverse.run));
    tell_resistor(b, v);
    for (int i = 0; i < v->heaters; i++) tell_heater(b, &v->heater[i]);
}

static void write_rectifiers(struct buying *b)
{
    if (b->list->rectifiers.n == 0) return;
    summary_heading(b->s, "Rectifiers");
    for (int i = 0; i < b->list->rectifiers.n; i++) tell_rectifier(b, &b->list->rectifiers.at[i]);
}

/* ---- the rest ---- */

static void write_fuse(struct buying *b)
{
    const struct buy_list *list = b->list;
    if (list->line_current.run < 0) return;
    summary_heading(b->s, "Fuse");
    if (list->fuse > 0)
        summary_say(b->s, bullet(b, "mains"),
                    "%s slow, in the lead that feeds the set: 1.5 to 2 "
                    "times the %s the set takes in run %c (common practice, no "
                    "source). `presolder fuse` tells which hold at switch-on and "
                    "which faults they clear.",
                    amount(b, list->fuse, UNIT_AMPERE),
                    amount(b, list->line_current.value, UNIT_AMPERE),
                    letter(list->line_current.run));
    else
        summary_say(b->s, bullet(b, "mains"),
                    "the set takes %s: more than this list has fuses for.",
                    amount(b, list->line_current.value, UNIT_AMPERE));
}

void buy_list_write(FILE *to, struct arena *arena, const char *title, const char *variant,
                    const struct buy_list *list, const char *csv)
{
    struct summary s = {.to = to, .arena = arena};
    struct buying b = {&s, list, variant};
    write_head(&b, title);
    write_capacitors(&b);
    fputc('\n', to);
    for (int i = 0; i < list->capacitors.n; i++) tell_capacitor(&b, &list->capacitors.at[i]);
    write_resistors(&b);
    write_rectifiers(&b);
    write_fuse(&b);
    fputc('\n', to);
    summary_say(&s, "",
                "Local codes decide about cord, plug, fuse and what may hang on the line; "
                "they are not looked at here. Results hold for the values typed in: a measured "
                "reading wins.");
    if (csv) summary_path(&s, "The list and all figures:", csv);
    struct hazards h = hazards_of(arena, list->setup[BUY_HOT], list->run[BUY_COLD],
                                  OCCASION_POWER | OCCASION_DISCHARGE | OCCASION_REPLACE);
    summary_cautions(&s, &h, 1);
}
