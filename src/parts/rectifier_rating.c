/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The limits of a rectifier, and the two figures of its supply that data sheets limit in place of
 * the peak current: the impedance per plate and the first capacitor. Both are told only where the
 * plate is fed by a transformer or the line through nothing but resistors. */
#include <math.h>
#include <string.h>

#include "kinds.h"
#include "numbers.h"
#include "rectifier.h"

enum { STEPS = 8 };

/* --- supply --------------------------------------------------------------------------------- */

/* Moves on from a point through the only resistor or closed switch there besides `came`; adds its
 * ohms. False when there is none or a choice. */
static bool move_on(const struct set *set, int *point, int *came, double *ohms)
{
    const struct circuit *c = set->circuit;
    int found = -1;
    for (int i = 0; i < c->elements.n; i++) {
        const struct element *e = &c->elements.at[i];
        const struct part *part = set_find(set, e->part);
        bool way = (part && part->kind == &kind_resistor) ||
                   (e->kind == ELEMENT_SWITCH && e->starts_closed);
        if (!way || i == *came || (e->from != *point && e->to != *point)) continue;
        if (found >= 0) return false;
        found = i;
    }
    if (found < 0) return false;
    const struct element *e = &c->elements.at[found];
    *point = e->from == *point ? e->to : e->from;
    *ohms += e->kind == ELEMENT_RESISTOR ? e->value : 0;
    *came = found;
    return true;
}

static bool on_line(const struct set *set, int point)
{
    const char *name = set->circuit->points.at[point];
    return (set->line[0] && strcmp(name, set->line[0]) == 0) ||
           (set->line[1] && strcmp(name, set->line[1]) == 0);
}

static bool find_supply(const struct set *set, int point, struct plate_supply *supply)
{
    int came = -1;
    double ohms = 0;
    for (int steps = 0; steps < STEPS; steps++) {
        bool line = on_line(set, point);
        if (line) *supply = (struct plate_supply){"mains", set->plug_volts, set->mains_resistance};
        if (line || transformer_plate(set, point, supply)) {
            supply->ohms += ohms;
            return true;
        }
        if (!move_on(set, &point, &came, &ohms)) return false;
    }
    return false;
}

/* Farads of the capacitor input: at the point itself, or behind a surge resistor, whose ohms are
 * added. 0: choke input. Bypass capacitors do not count. */
static double find_capacitor(const struct set *set, int point, double *ohms)
{
    const double bypass = 0.2e-6, surge = 1000; /* [F], [ohm] */
    double farads = capacitor_at(set, point), added = 0;
    int came = -1;
    if (farads > bypass) return farads;
    if (!move_on(set, &point, &came, &added) || added > surge) return 0;
    farads = capacitor_at(set, point);
    if (farads <= bypass) return 0;
    *ohms += added;
    return farads;
}

/* --- limits --------------------------------------------------------------------------------- */

/* Steps like `50 ohm at 350 V, 140 ohm at 500 V`; volts may be left out of a single one (then 0).
 * Returns how many; 0 when missing or not understood (then complained). */
static int impedance_steps(struct set *set, const struct part *view, double ohms[STEPS],
                           double volts[STEPS])
{
    const struct node *node = part_node(view, "supply impedance");
    int n = 0;
    if (!node) return 0;
    for (const char *s = node->kind == NODE_SCALAR ? node->text : ""; *s && n < STEPS; n++) {
        struct token t[QUANTITY_TOKENS];
        struct complaint why;
        size_t length = strcspn(s, ",");
        int tokens = quantity_scan(arena_text(set->arena, s, length), t, &why);
        volts[n] = 0;
        bool good = tokens > 0 && kind_token(t, tokens, UNIT_OHM, &ohms[n]);
        good = good && (kind_token(t, tokens, UNIT_VOLT, &volts[n]) || (tokens == 1 && n == 0));
        if (!good || (n > 0 && volts[n] <= volts[n - 1])) {
            n = 0;
            break;
        }
        s += length + (s[length] == ',');
    }
    if (n == 0)
        part_complain(set, view, "supply impedance",
                      "write it as in `50 ohm at 350 V, 140 ohm at 500 V`, volts rising",
                      "%s: the supply impedance is not understood", view->name);
    return n;
}

/* The least supply impedance at `at` volts per plate. Between and above the steps it grows in a
 * straight line, as it does where the peak of a hot start is what it limits. */
static double least_impedance(const double *ohms, const double *volts, int n, double at)
{
    int k = 1;
    while (k < n - 1 && at > volts[k]) k++;
    if (n == 1 || at <= volts[0]) return ohms[0];
    return ohms[k - 1] + (ohms[k] - ohms[k - 1]) * (at - volts[k - 1]) / (volts[k] - volts[k - 1]);
}

/* The highest plate volts without load. A sheet that tells the impedance for higher volts allows
 * these too. */
static void rate_plate_voltage(struct set *set, const struct part *v, const char *subject,
                               bool choke, double highest_step, int in_series)
{
    const char *key = choke ? "plate voltage choke input" : "plate voltage";
    double most = 0;
    bool given = part_value(set, v, key, UNIT_VOLT, 0, &most);
    if (!choke && highest_step > most && !node_get(v->own, "plate voltage")) {
        key = "supply impedance";
        most = highest_step;
        given = true;
    }
    if (!given) return;
    kind_rate(set, v, key,
              (struct rating){.subject = subject,
                              .measure = MEASURE_RMS_VOLTAGE,
                              .limit = most * in_series,
                              .harm = HARM_PLATE_VOLTS});
}

static void rate_first_capacitor(struct set *set, const struct part *v, const char *subject,
                                 double farads)
{
    double most;
    set_fix(set, (struct fixed_figure){subject, MEASURE_FIRST_CAPACITOR, farads});
    if (!part_value(set, v, "first capacitor", UNIT_FARAD, 0, &most)) return;
    kind_rate(set, v, "first capacitor",
              (struct rating){.subject = subject,
                              .measure = MEASURE_FIRST_CAPACITOR,
                              .limit = most,
                              .harm = HARM_FIRST_CAPACITOR});
}

static void rate_supply(struct set *set, const struct part *part, int k)
{
    const struct rectifier *r = part->data;
    const struct part *v = &r->view;
    const char *subject = rectifier_subject(set, part, k);
    double ohms[STEPS], volts[STEPS];
    struct plate_supply supply;
    int far = r->cathode[k], n = impedance_steps(set, v, ohms, volts);
    if (!find_supply(set, r->plate[k], &supply)) {
        if (!find_supply(set, r->cathode[k], &supply)) return;
        far = r->plate[k];
    }
    double farads = find_capacitor(set, far, &supply.ohms);
    rate_plate_voltage(set, v, supply.subject, farads <= 0, n > 0 ? volts[n - 1] : 0, r->in_series);
    if (farads <= 0) return;
    set_fix(set, (struct fixed_figure){subject, MEASURE_SUPPLY_IMPEDANCE, supply.ohms});
    if (n > 0)
        kind_rate(set, v, "supply impedance",
                  (struct rating){.subject = subject,
                                  .measure = MEASURE_SUPPLY_IMPEDANCE,
                                  .limit = least_impedance(ohms, volts, n, supply.volts),
                                  .at_least = true,
                                  .harm = HARM_SUPPLY_IMPEDANCE});
    if (far != r->cathode[k] || (k > 0 && !r->separate))
        return; /* many meet at a plate's far end */
    rate_first_capacitor(set, v, r->separate ? subject : part->name, farads);
}

struct limit {
    const char *key;
    enum measure measure;
    bool at_least, per_section;
    enum harm harm;
};

static const struct limit limits[] = {
    {"inverse voltage", MEASURE_INVERSE_VOLTAGE, false, true, HARM_INVERSE_VOLTS},
    {"running peak current", MEASURE_RUNNING_PEAK_CURRENT, false, true, HARM_RUNNING_PEAK},
    {"inrush peak current", MEASURE_INRUSH_PEAK_CURRENT, false, true, HARM_FIRST_PEAK},
    {"i2t", MEASURE_PEAK_I2T, false, true, HARM_FIRST_HEAT},
    {"average current per plate", MEASURE_AVERAGE_CURRENT, false, true, HARM_AVERAGE_CURRENT},
    {"average current", MEASURE_AVERAGE_CURRENT, false, false, HARM_AVERAGE_CURRENT},
    {"least current", MEASURE_AVERAGE_CURRENT, true, false, HARM_STARVED},
};

static bool surge_current(struct set *set, const struct part *view, double *amperes)
{
    struct token t[QUANTITY_TOKENS];
    int n = part_phrase(set, view, "surge current", t);
    if (n == 0) return false;
    if (kind_token(t, n, UNIT_AMPERE, amperes)) return true;
    part_complain(set, view, "surge current", "write it as in `30 A for 8.3 ms`",
                  "%s: the surge current is not understood", view->name);
    return false;
}

static void rate_surge(struct set *set, const struct part *part, const char *subject)
{
    const struct part *v = &((const struct rectifier *)part->data)->view;
    double amperes;
    if (part_node(v, "inrush peak current") || !surge_current(set, v, &amperes)) return;
    kind_rate(set, v, "surge current",
              (struct rating){.subject = subject,
                              .measure = MEASURE_INRUSH_PEAK_CURRENT,
                              .limit = amperes,
                              .harm = HARM_SURGE_CURRENT});
}

void rectifier_check(struct set *set, const struct part *part)
{
    const struct part *v = &((const struct rectifier *)part->data)->view;
    double value, ohms[STEPS], volts[STEPS];
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++)
        part_value(set, v, limits[i].key, measure_table[limits[i].measure].unit, 0, &value);
    part_value(set, v, "plate voltage", UNIT_VOLT, 0, &value);
    part_value(set, v, "plate voltage choke input", UNIT_VOLT, 0, &value);
    part_value(set, v, "first capacitor", UNIT_FARAD, 0, &value);
    impedance_steps(set, v, ohms, volts);
    surge_current(set, v, &value);
}

void rectifier_rate(struct set *set, const struct part *part)
{
    const struct rectifier *r = part->data;
    const struct part *v = &r->view;
    if (r->law == IDEAL || r->condition == RECTIFIER_OPEN) return;
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        const struct limit *l = &limits[i];
        double value;
        if (!part_value(set, v, l->key, measure_table[l->measure].unit, 0, &value)) continue;
        bool silicon =
            r->law == SILICON || r->law == SELENIUM; /* each plate is a diode of its own */
        bool inverse = strcmp(l->key, "inverse voltage") == 0, each = l->per_section || silicon;
        for (int k = 0; k < (each ? r->sections : 1); k++)
            kind_rate(
                set, v, l->key,
                (struct rating){.subject = each ? rectifier_subject(set, part, k) : part->name,
                                .measure = l->measure,
                                .limit = inverse ? value * r->in_series : value,
                                .at_least = l->at_least,
                                .harm = l->harm});
    }
    for (int k = 0; k < r->sections; k++) {
        rate_surge(set, part, rectifier_subject(set, part, k));
        rate_supply(set, part, k);
    }
    rectifier_rate_heat(set, part);
}
