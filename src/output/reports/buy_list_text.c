/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables tell the sizes, sentences below them what to mind with each part. A letter behind a worst
 * value names the run it comes from. */
#include "buy_list_text.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "ends_text.h"
#include "keep_text.h"
#include "page.h"
#include "stock_text.h"
#include "transformer_text.h"
#include "words_buying.h"
#include "words_number.h"

#define LEAST_HEAT 0.01 /* told [W] */

struct buying {
    struct page *page;
    const struct buy_list *list;
    const char *variant;
};

static const char *amount(struct buying *b, double value, enum unit unit)
{
    return page_value(b->page, value, unit, false);
}

static char letter(int run)
{
    return run < 0 ? ' ' : (char)('a' + run);
}

static const char *bullet(struct buying *b, const char *name)
{
    return arena_printf(b->page->arena, "  %s: ", name);
}

/* A value and the letter of its run. */
static const char *worst(struct buying *b, const struct buy_worst *w, enum unit unit)
{
    return arena_printf(b->page->arena, "%s %c", amount(b, w->value, unit), letter(w->run));
}

/* Up to the width 0. */
static const char *row(struct buying *b, const char *const *cells, const int *widths)
{
    const char *line = "";
    for (int i = 0; widths[i]; i++)
        line = arena_printf(b->page->arena, "%s%s", line, page_cell(b->page, cells[i], widths[i]));
    return line;
}

/* ---- head ---- */

static void write_head(struct buying *b)
{
    const struct buy_list *list = b->list;
    const char *line = list->line > 0 ? arena_printf(b->page->arena, words_buying_line,
                                                     amount(b, list->raised, UNIT_VOLT),
                                                     amount(b, list->line, UNIT_VOLT))
                                      : "";
    page_say(b->page, "", words_buying_head,
             b->variant ? arena_printf(b->page->arena, "`%s`", b->variant) : words_buying_as_drawn,
             100 * BUY_RAISED, line);
    static const char *const what[BUY_RUNS] = {words_buying_run_hot, words_buying_run_cold,
                                               words_buying_run_idle, words_buying_run_silicon,
                                               words_buying_run_silicon_idle};
    page_heading(b->page, words_buying_runs);
    for (int r = 0; r < BUY_RUNS; r++)
        if (list->label[r] && list->run[r])
            page_say(b->page, arena_printf(b->page->arena, "  %c  ", letter(r)), "%s: %s",
                     list->called[r], what[r]);
    if (list->changes) page_say(b->page, "", words_buying_changes);
    if (list->limited) page_say(b->page, "", words_buying_limited);
    if (list->unsettled) page_say(b->page, "", words_buying_unsettled, list->unsettled);
}

/* ---- capacitors ---- */

static const int capacitor_widths[] = {15, -8, -8, -7, -10, -9, -8, -7, -7, 0};

static void capacitor_row(struct buying *b, const struct buy_capacitor *k)
{
    struct arena *arena = b->page->arena;
    const char *const cells[] = {k->name,
                                 amount(b, k->drawn, UNIT_FARAD),
                                 amount(b, k->farads, UNIT_FARAD),
                                 k->rating > 0 ? amount(b, k->rating, UNIT_VOLT) : words_buying_two,
                                 worst(b, &k->volts, UNIT_VOLT),
                                 amount(b, k->ripple.value, UNIT_AMPERE),
                                 amount(b, k->frequency, UNIT_HERTZ),
                                 arena_printf(arena, words_buying_celsius, k->can - ZERO_CELSIUS),
                                 k->celsius ? arena_printf(arena, words_buying_kind, k->celsius)
                                            : words_buying_no_kind};
    page_line(b->page, row(b, cells, capacitor_widths));
}

static void write_capacitors(struct buying *b)
{
    struct page *page = b->page;
    page_heading(page, words_buying_capacitors);
    for (int i = 0; i < 2; i++) {
        page_heads(page);
        page_line(page, row(b, words_buying_capacitor_heads[i], capacitor_widths));
    }
    for (int i = 0; i < b->list->capacitors.n; i++) capacitor_row(b, &b->list->capacitors.at[i]);
    page_say(page, "", words_buying_capacitors_note,
             amount(b, b->list->setup[BUY_HOT]->stages.at[0].set->ambient, UNIT_CELSIUS), BUY_KIND,
             BUY_COOL, BUY_HOT_KIND);
}

static void tell_polarity(struct buying *b, const struct buy_capacitor *k)
{
    const char *first = bullet(b, k->name);
    const char *reference = b->list->setup[BUY_HOT]->stages.at[0].circuit->reference;
    if (k->alternating) {
        page_say(b->page, first, words_buying_no_volts, k->plus, k->minus);
        return;
    }
    const char *plus = amount(b, k->plus_volts, UNIT_VOLT);
    const char *minus = amount(b, k->minus_volts, UNIT_VOLT);
    if (k->insulated)
        page_say(b->page, first, words_buying_insulated, k->plus, plus, k->minus, minus, reference);
    else page_say(b->page, first, words_buying_ends, k->plus, plus, k->minus);
    if (k->swapped && k->electrolytic) page_say(b->page, "      ", words_buying_turned, k->plus);
    if (k->reverse.run >= 0 && k->electrolytic)
        page_say(b->page, "      ", words_buying_reversed, amount(b, k->reverse.value, UNIT_VOLT),
                 letter(k->reverse.run), BUY_REVERSE);
}

static void tell_pair(struct buying *b, const struct buy_capacitor *k)
{
    const struct buy_pair *p = &k->pair;
    if (p->farads == 0 && k->rating > 0) return;
    if (p->rating == 0) {
        page_say(b->page, "      ", words_buying_none_stands, amount(b, k->volts.value, UNIT_VOLT));
        return;
    }
    page_say(b->page, "      ", words_buying_pair,
             k->uncommon ? words_buying_uncommon : words_buying_not_sold,
             amount(b, p->farads, UNIT_FARAD), amount(b, p->rating, UNIT_VOLT),
             amount(b, p->ohms, UNIT_OHM), amount(b, p->volts, UNIT_VOLT),
             amount(b, p->watts, UNIT_WATT), amount(b, p->resistor_watts, UNIT_WATT),
             p->volts > BUY_RESISTOR_VOLTS ? words_buying_halves : "", BUY_SHARE_WORST,
             words_number(BUY_BLEED));
}

static const struct buy_smaller *smaller_than(const struct buy_list *list,
                                              const struct buy_capacitor *k)
{
    for (int i = 0; i < list->smaller.n; i++)
        if (strcmp(list->smaller.at[i].name, k->name) == 0) return &list->smaller.at[i];
    return NULL;
}

static void tell_capacitor(struct buying *b, const struct buy_capacitor *k)
{
    tell_polarity(b, k);
    tell_pair(b, k);
    const struct buy_smaller *smaller = smaller_than(b->list, k);
    if (k->limit)
        page_say(b->page, "      ", words_buying_no_size, amount(b, k->farads, UNIT_FARAD),
                 measure_words(k->limit), k->rectifier, page_percent(b->page, k->share));
    else if (smaller)
        page_say(b->page, "      ", words_buying_smaller, amount(b, smaller->next, UNIT_FARAD),
                 measure_words(smaller->limit), smaller->rectifier,
                 page_percent(b->page, smaller->share));
    else if (k->rectifier && !k->raised)
        page_say(b->page, "      ", words_buying_first, k->rectifier);
    if (k->raised && !k->limit)
        page_say(b->page, "      ", words_buying_raised, measure_words(k->raised), k->rectifier,
                 page_percent(b->page, k->raised_share), page_percent(b->page, k->drawn_share),
                 k->derived ? words_buying_derived : words_buying_centre);
    if (k->make == MAKE_WET)
        page_say(b->page, "      ", words_buying_wet, amount(b, k->volts.value, UNIT_VOLT));
    if (k->can_name)
        page_say(b->page, "      ", k->parted ? words_buying_parted : words_buying_shares_can,
                 k->can_name);
    if (k->beside) page_say(b->page, "      ", words_buying_beside, k->beside);
    if (!k->celsius) page_say(b->page, "      ", words_buying_hot);
}

/* ---- resistors ---- */

static const int resistor_widths[] = {19, -12, -12, -12, -9, -12, 0};

static const char *heat(struct buying *b, double watts)
{
    return watts < LEAST_HEAT ? words_buying_least_heat : amount(b, watts, UNIT_WATT);
}

static void resistor_row(struct buying *b, const struct buy_resistor *r)
{
    const char *heats =
        arena_printf(b->page->arena, "%s %c", heat(b, r->watts.value), letter(r->watts.run));
    const char *const cells[] = {r->name,
                                 amount(b, r->drawn, UNIT_OHM),
                                 amount(b, r->ohms, UNIT_OHM),
                                 heats,
                                 isinf(r->rating) ? words_buying_several
                                                  : amount(b, r->rating, UNIT_WATT),
                                 worst(b, &r->volts, UNIT_VOLT)};
    page_line(b->page, row(b, cells, resistor_widths));
}

static void write_resistors(struct buying *b)
{
    if (b->list->resistors.n == 0) return;
    page_heading(b->page, words_buying_resistors);
    page_heads(b->page);
    page_line(b->page, row(b, words_buying_resistor_heads, resistor_widths));
    for (int i = 0; i < b->list->resistors.n; i++) resistor_row(b, &b->list->resistors.at[i]);
    page_say(b->page, "", words_buying_resistors_note);
}

/* ---- rectifiers ---- */

static void tell_heater(struct buying *b, const struct buy_heater *h)
{
    if (!(h->amperes > 0)) return;
    if (!h->string) {
        page_say(b->page, "      ", words_buying_heater, amount(b, h->amperes, UNIT_AMPERE),
                 amount(b, h->volts, UNIT_VOLT), h->name);
        return;
    }
    page_say(b->page, "      ", words_buying_string, h->name, amount(b, h->volts, UNIT_VOLT),
             amount(b, h->amperes, UNIT_AMPERE), amount(b, h->ohms, UNIT_OHM),
             amount(b, h->watts, UNIT_WATT),
             isinf(h->rating) ? words_buying_several : amount(b, h->rating, UNIT_WATT));
}

static const char *diodes(struct buying *b, const struct buy_rectifier *v)
{
    return v->diodes == 1 ? words_buying_one_diode
                          : arena_printf(b->page->arena, words_buying_diodes, v->diodes);
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
    struct arena *arena = b->page->arena;
    if (!*v->cathode) return;
    const char *series =
        v->diodes > 1 ? arena_printf(arena, words_buying_in_series, v->diodes) : "";
    const char *resistor = arena_printf(arena, "%s resistor", v->name),
               *inner = in_file(arena, arena_printf(arena, "%s cathode", v->name));
    page_say(b->page, "      ", words_buying_variant);
    page_line(b->page, arena_printf(arena, "        %s: {type: 1N4007%s, cathode: %s}",
                                    in_file(arena, v->name), series, inner));
    page_line(b->page, arena_printf(arena, "        %s:", in_file(arena, resistor)));
    page_line(b->page, "          is: resistor");
    page_line(b->page,
              arena_printf(arena, "          across: [%s, %s]", inner, in_file(arena, v->cathode)));
    page_line(b->page, "          resistance: 100 ohm");
    page_say(b->page, "      ", words_buying_find);
    page_line(b->page,
              arena_printf(arena, "        --variant \"with silicon\" --change \"%s.resistance\"",
                           in_shell(arena, resistor)));
    page_line(b->page, arena_printf(arena, "        --so-that \"%s settled-voltage = ... V\"",
                                    in_shell(arena, v->cathode)));
}

static void tell_rectifier(struct buying *b, const struct buy_rectifier *v)
{
    const char *first = bullet(b, v->name);
    const char *type = *v->type ? v->type : v->tube ? words_buying_tube : words_buying_diode;
    if (!v->replaced) {
        if (v->diodes > 0)
            page_say(b->page, first, words_buying_silicon, type, diodes(b, v),
                     amount(b, v->inverse.value, UNIT_VOLT), letter(v->inverse.run),
                     100 * BUY_DIODE_SHARE, BUY_DIODE_VOLTS);
        else page_say(b->page, first, "%s.", type);
        return;
    }
    page_say(b->page, first, v->tube ? words_buying_same_type : words_buying_selenium, type);
    if (v->diodes == 0) return;
    page_say(b->page, "      ", words_buying_silicon_instead, diodes(b, v),
             amount(b, v->inverse.value, UNIT_VOLT), letter(v->inverse.run), 100 * BUY_DIODE_SHARE,
             BUY_DIODE_VOLTS);
    tell_resistor(b, v);
    for (int i = 0; i < v->heaters; i++) tell_heater(b, &v->heater[i]);
}

static void write_rectifiers(struct buying *b)
{
    if (b->list->rectifiers.n == 0) return;
    page_heading(b->page, words_buying_rectifiers);
    for (int i = 0; i < b->list->rectifiers.n; i++) tell_rectifier(b, &b->list->rectifiers.at[i]);
}

/* ---- the rest ---- */

static void write_fuse(struct buying *b)
{
    const struct buy_list *list = b->list;
    if (list->line_current.run < 0) return;
    page_heading(b->page, words_buying_fuse);
    if (list->fuse > 0)
        page_say(b->page, bullet(b, words_buying_mains), words_buying_fuse_slow,
                 amount(b, list->fuse, UNIT_AMPERE), BUY_FUSE_TIMES,
                 amount(b, list->line_current.value, UNIT_AMPERE), letter(list->line_current.run));
    else
        page_say(b->page, bullet(b, words_buying_mains), words_buying_no_fuse,
                 amount(b, list->line_current.value, UNIT_AMPERE));
}

void buy_list_part(struct page *page, const char *variant, const struct buy_list *list)
{
    struct buying b = {page, list, variant};
    write_head(&b);
    keep_text_write(page, &list->keep);
    write_capacitors(&b);
    page_gap(page);
    for (int i = 0; i < list->capacitors.n; i++) tell_capacitor(&b, &list->capacitors.at[i]);
    write_resistors(&b);
    write_rectifiers(&b);
    write_fuse(&b);
    transformer_text_write(page, list);
    page_gap(page);
    ends_text_write(page, list->ends, words_buying_this);
    page_say(page, "", words_buying_codes);
}

void buy_list_write(FILE *to, struct arena *arena, const char *title, const char *variant,
                    const struct buy_list *list, const struct stock *stock, const char *csv)
{
    struct page page = page_on(to, arena);
    page_title(&page, title, NULL);
    buy_list_part(&page, variant, list);
    if (stock) stock_text_write(&page, stock);
    if (csv) page_path(&page, words_buying_file, csv);
    struct hazards h = hazards_of(arena, list->setup[BUY_HOT], list->run[BUY_COLD],
                                  OCCASION_POWER | OCCASION_DISCHARGE | OCCASION_REPLACE);
    cautions_text_write(&page, &h, 1);
}
