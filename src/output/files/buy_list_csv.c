/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Long form, so that a further kind of recommendation is a further row. */
#include <math.h>

#include "buy_list_text.h"
#include "words_buying.h"
#include "words_number.h"

struct row {
    const char *part, *quantity;
    double buy, needed;
    enum unit unit;
    int run; /* -1: it rests on none */
    const char *rule;
};

static void number(struct writer *w, double value)
{
    if (!isnan(value)) writer_number(w, value);
    writer_text(w, ",");
}

static void put(struct writer *w, const struct buy_list *list, struct row row)
{
    writer_field(w, row.part);
    writer_text(w, ",");
    writer_field(w, row.quantity);
    writer_text(w, ",");
    number(w, row.buy);
    number(w, row.needed);
    writer_field(w, quantity_symbol(row.unit));
    writer_text(w, ",");
    writer_field(w, row.run >= 0 ? list->label[row.run] : "");
    writer_text(w, ",");
    writer_field(w, row.rule);
    writer_text(w, "\n");
}

static void put_capacitor(struct writer *w, struct arena *arena, const struct buy_list *list,
                          const struct buy_capacitor *k)
{
    const struct buy_pair *p = &k->pair;
    double single = k->rating > 0 ? k->rating : HUGE_VAL;
    const char *share = arena_printf(arena, words_buying_rule_share, BUY_SHARE_WORST);
    put(w, list,
        (struct row){k->name, "capacitance", k->farads, k->drawn, UNIT_FARAD, -1,
                     words_buying_rule_e6});
    put(w, list,
        (struct row){k->name, "working-voltage", single, k->volts.value, UNIT_VOLT, k->volts.run,
                     words_buying_rule_volts});
    put(w, list,
        (struct row){k->name, "ripple-current", k->ripple.value, k->ripple.value, UNIT_AMPERE,
                     k->ripple.run, words_buying_rule_ripple});
    put(w, list,
        (struct row){k->name, "ripple-frequency", k->frequency, k->frequency, UNIT_HERTZ, BUY_HOT,
                     ""});
    put(w, list,
        (struct row){k->name, "temperature-kind",
                     k->celsius > 0 ? k->celsius + ZERO_CELSIUS : HUGE_VAL, k->can, UNIT_CELSIUS,
                     BUY_HOT,
                     arena_printf(arena, words_buying_rule_kind, BUY_KIND, BUY_COOL, BUY_HOT_KIND,
                                  BUY_KIND)});
    if (k->reverse.run >= 0)
        put(w, list,
            (struct row){k->name, "reverse-voltage", (double)NAN, k->reverse.value, UNIT_VOLT,
                         k->reverse.run,
                         arena_printf(arena, words_buying_rule_reverse, BUY_REVERSE)});
    put(w, list,
        (struct row){k->name, "plus-to-reference", (double)NAN, k->plus_volts, UNIT_VOLT, BUY_HOT,
                     k->plus});
    put(w, list,
        (struct row){k->name, "minus-to-reference", (double)NAN, k->minus_volts, UNIT_VOLT, BUY_HOT,
                     k->minus});
    if (p->farads == 0 || p->rating == 0) return;
    put(w, list,
        (struct row){k->name, "two-in-series-capacitance", p->farads, 2 * k->farads, UNIT_FARAD, -1,
                     words_buying_rule_e6_each});
    put(w, list,
        (struct row){k->name, "two-in-series-working-voltage", p->rating,
                     BUY_SHARE_WORST * k->volts.value, UNIT_VOLT, k->volts.run, share});
    put(w, list,
        (struct row){k->name, "equaliser-resistance", p->ohms, (double)NAN, UNIT_OHM, -1,
                     arena_printf(arena, words_buying_rule_bleed, words_number(BUY_BLEED))});
    put(w, list,
        (struct row){k->name, "equaliser-dissipation", p->resistor_watts, p->watts, UNIT_WATT,
                     k->volts.run, words_buying_rule_watts});
    put(w, list,
        (struct row){k->name, "equaliser-voltage", (double)NAN, p->volts, UNIT_VOLT, k->volts.run,
                     words_buying_rule_each});
}

static void put_resistor(struct writer *w, const struct buy_list *list,
                         const struct buy_resistor *r)
{
    put(w, list,
        (struct row){r->name, "resistance", r->ohms, r->drawn, UNIT_OHM, -1,
                     words_buying_rule_e24});
    put(w, list,
        (struct row){r->name, "dissipation", r->rating, r->watts.value, UNIT_WATT, r->watts.run,
                     words_buying_rule_watts});
    put(w, list,
        (struct row){r->name, "voltage", r->volts.value, r->volts.value, UNIT_VOLT, r->volts.run,
                     words_buying_rule_highest});
}

static void put_rectifier(struct writer *w, struct arena *arena, const struct buy_list *list,
                          const struct buy_rectifier *v)
{
    if (v->diodes > 0)
        put(w, list,
            (struct row){v->name, "diodes-in-series", v->diodes,
                         v->inverse.value / (BUY_DIODE_SHARE * BUY_DIODE_VOLTS), UNIT_NUMBER,
                         v->inverse.run,
                         arena_printf(arena, words_buying_rule_diodes, 100 * BUY_DIODE_SHARE,
                                      BUY_DIODE_VOLTS)});
    if (v->diodes > 0)
        put(w, list,
            (struct row){v->name, "inverse-voltage", BUY_DIODE_VOLTS * v->diodes, v->inverse.value,
                         UNIT_VOLT, v->inverse.run, words_buying_rule_in_series});
    for (int i = 0; i < v->heaters; i++) {
        const struct buy_heater *h = &v->heater[i];
        if (!h->string) continue;
        put(w, list,
            (struct row){h->name, "resistance-for-heater", h->ohms, h->volts / h->amperes, UNIT_OHM,
                         -1, words_buying_rule_e24_above});
        put(w, list,
            (struct row){h->name, "dissipation-for-heater", h->rating, h->watts, UNIT_WATT, -1,
                         arena_printf(arena, words_buying_rule_heater_watts, 100 * BUY_RAISED)});
    }
}

void buy_list_csv(struct writer *w, struct arena *arena, const char *name,
                  const struct buy_list *list)
{
    writer_file(w, name);
    writer_text(w, "part,quantity,buy,needed,unit,run,rule\n");
    for (int i = 0; i < list->capacitors.n; i++)
        put_capacitor(w, arena, list, &list->capacitors.at[i]);
    for (int i = 0; i < list->resistors.n; i++) put_resistor(w, list, &list->resistors.at[i]);
    for (int i = 0; i < list->rectifiers.n; i++)
        put_rectifier(w, arena, list, &list->rectifiers.at[i]);
    if (list->line_current.run >= 0)
        put(w, list,
            (struct row){"mains", "fuse", list->fuse > 0 ? list->fuse : HUGE_VAL,
                         list->line_current.value, UNIT_AMPERE, list->line_current.run,
                         arena_printf(arena, words_buying_rule_fuse, BUY_FUSE_TIMES)});
}
