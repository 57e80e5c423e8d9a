/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands in for what is not known of a transformer: its size from what it feeds, then iron and
 * copper from its size, and volts from what is joined to its windings. */
#include <math.h>

#include "heater.h"
#include "kinds.h"
#include "numbers.h"
#include "transformer.h"

bool transformer_feeds_plates(const struct transformer *t, const struct winding *w)
{
    return w->half[0].volts * t->rated > 50 * w->line;
}

/* Amperes of a heater winding from which no heater draws, as after a rectifier tube gave way to
 * silicon: the transformer stays the same. */
#define IDLE_AMPERES 2.0

/* Volt-amperes drawn from the primary: heater watts, and 1.4 times the watts of the loads, over an
 * efficiency of 0.85. */
static double apparent(const struct set *set, const struct transformer *t)
{
    double watts = 0, taken;
    bool plates = false;
    for (int i = 0; i < t->windings; i++) {
        const struct winding *w = &t->winding[i];
        heater_draw(set, set->circuit->points.at[w->half[0].from],
                    set->circuit->points.at[w->half[w->halves - 1].to], &taken);
        bool high = transformer_feeds_plates(t, w);
        watts += taken > 0 || high ? taken : IDLE_AMPERES * w->half[0].volts * t->rated / w->line;
        plates = plates || high;
    }
    for (int i = 0; i < set->parts.n && plates; i++) watts += 1.4 * load_watts(set->parts.at[i]);
    return watts > 0 ? watts / 0.85 : 50;
}

/* --- open-circuit volts --------------------------------------------------------------------- */

/* Heaters are rated with their tubes in: an unloaded winding stands so much above them. */
#define HEATER_UNLOADED 1.06
#define IDLE_VOLTS 6.7 /* of a winding that feeds nothing */

/* A high voltage winding by what is drawn from it (common practice, from memory): RMS volts of each
 * half. */
static const struct {
    double amperes, volts, low, high;
} customary[] = {{0.060, 260, 230, 290}, {0.100, 325, 280, 375}, {HUGE_VAL, 375, 325, 425}};

static bool meets_rectifier(const struct set *set, const char *point)
{
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_RECTIFIER) && part_ends_at(set, set->parts.at[i], point))
            return true;
    return false;
}

static void take_volts(struct set *set, const struct part *part, struct winding *w, double volts,
                       double low, double high, const char *basis)
{
    for (int i = 0; i < w->halves; i++) w->half[i].volts = volts;
    set_assume(set,
               (struct assumption){.part = arena_printf(set->arena, "%s.%s", part->name, w->name),
                                   .key = "open circuit",
                                   .value = volts * w->halves,
                                   .low = low * w->halves,
                                   .high = high * w->halves,
                                   .unit = UNIT_VOLT,
                                   .basis = basis,
                                   .known_by = KNOWN_BY_VOLTS_TUBES_OUT,
                                   .guess = high > low});
}

static void guess_volts(struct set *set, const struct part *part, struct winding *w)
{
    const char *from = set->circuit->points.at[w->half[0].from],
               *to = set->circuit->points.at[w->half[w->halves - 1].to];
    double rated = transformer_heater_volts(set, from, to), amperes = 0;
    int row = 0;
    if (rated > 0) {
        take_volts(set, part, w, HEATER_UNLOADED * rated / w->halves, rated / w->halves,
                   1.12 * rated / w->halves,
                   "6 % over the volts its heaters are rated for; common practice, no source");
        return;
    }
    if (!w->named) {
        take_volts(set, part, w, IDLE_VOLTS, IDLE_VOLTS, IDLE_VOLTS,
                   "nothing is joined to it, so its volts move nothing");
        return;
    }
    if (!meets_rectifier(set, from) && !meets_rectifier(set, to)) {
        part_complain(set, part, "windings", "give its volts, or what it heats",
                      "%s: `open circuit: unknown` of `%s`: neither a heater nor a rectifier "
                      "shows what it might be",
                      part->name, w->name);
        return;
    }
    for (int i = 0; i < set->parts.n; i++) amperes += load_amperes(set->parts.at[i]);
    while (amperes > customary[row].amperes) row++;
    take_volts(set, part, w, customary[row].volts, customary[row].low, customary[row].high,
               "customary for what its loads draw, RMS of each half; common practice, from memory");
}

/* --- copper by size ------------------------------------------------------------------------- */

/* Ohms of a primary for 120 V by volt-amperes: a practitioner's table, second hand, not verified;
 * the middle of each range. */
static const struct {
    double va, ohms;
} by_size[] = {{30, 35}, {50, 14.5}, {80, 8}, {120, 5.5}, {160, 3}, {225, 2}, {300, 1.15}};
enum { SIZES = sizeof by_size / sizeof by_size[0] };

/* Straight between the rows in logarithms, and beyond them. */
double transformer_primary_ohms(double va, double volts)
{
    int k = 1;
    while (k < SIZES - 1 && va > by_size[k].va) k++;
    double share = log(va / by_size[k - 1].va) / log(by_size[k].va / by_size[k - 1].va);
    return sq(volts / 120) * by_size[k - 1].ohms *
           pow(by_size[k].ohms / by_size[k - 1].ohms, share);
}

static void guess_primary(struct set *set, const struct part *part, struct transformer *t,
                          double va)
{
    if (!isnan(t->ohms)) return;
    t->ohms = transformer_primary_ohms(va, t->rated);
    set_assume(set, (struct assumption){
                        .part = arena_printf(set->arena, "%s.primary", part->name),
                        .key = "resistance",
                        .value = t->ohms,
                        .low = t->ohms / 1.8,
                        .high = 1.8 * t->ohms,
                        .unit = UNIT_OHM,
                        .basis = "by its size, from the watts it feeds: a practitioner's table, "
                                 "not verified",
                        .known_by = KNOWN_BY_OHMS_COLD,
                        .guess = true});
}

/* Of each half: twice the primary's ohms carried over, for the primary carries the heaters too
 * (estimate), within what the table has. */
static void guess_high_voltage(struct set *set, const struct part *part,
                               const struct transformer *t, struct winding *w)
{
    const double least = 40, most = 400;
    double sum = 0;
    for (int i = 0; i < w->halves; i++) {
        w->half[i].ohms = clamp(2 * sq(w->half[i].volts / w->line) * t->ohms, least, most);
        sum += w->half[i].ohms;
    }
    set_assume(set, (struct assumption){
                        .part = arena_printf(set->arena, "%s.%s", part->name, w->name),
                        .key = "resistance",
                        .value = sum,
                        .low = larger(sum / 2.2, w->halves * least),
                        .high = smaller(2.2 * sum, w->halves * most),
                        .unit = UNIT_OHM,
                        .basis = "twice the primary's ohms carried over, 40 to 400 ohm a half: a "
                                 "practitioner's table, not verified",
                        .known_by = KNOWN_BY_OHMS_COLD,
                        .guess = true});
}

/* Turn for turn as the primary. */
static void guess_output(struct set *set, const struct transformer *t, struct winding *w)
{
    double ohms = sq(w->half[0].volts / w->line) * t->ohms;
    w->half[0].ohms = ohms;
    set_assume(set, (struct assumption){.part = w->half[0].subject,
                                        .key = "resistance",
                                        .value = ohms,
                                        .low = ohms / 1.5,
                                        .high = 1.5 * ohms,
                                        .unit = UNIT_OHM,
                                        .basis = "as its primary, turn for turn; estimate, no "
                                                 "source",
                                        .known_by = KNOWN_BY_OHMS_COLD});
}

/* --- the rest ------------------------------------------------------------------------------- */

struct guess {
    const char *key;
    double *value;
    double taken, low, high;
    enum unit unit;
    const char *basis;
    enum known_by known_by;
    bool weighs; /* counted as a guess */
};

static void guess_iron(struct set *set, const struct part *part, struct transformer *t, double va)
{
    struct iron *k = &t->iron;
    double ohms = sq(t->rated) / va, omega = 2 * PI * t->frequency;
    const struct guess guesses[] = {
        {"magnetising current", &k->magnetising, 0.20 * va / t->rated, 0.10 * va / t->rated,
         0.30 * va / t->rated, UNIT_AMPERE,
         "20 % of the current its load asks for; common practice for small old sets, no source",
         KNOWN_BY_LINE_AMPERES_TUBES_OUT, true},
        {"core loss", &k->loss, 0.07 * va, 0.04 * va, 0.14 * va, UNIT_WATT,
         "7 % of its volt-amperes; common practice for small old sets, no source",
         KNOWN_BY_LINE_WATTS_TUBES_OUT, true},
        {"leakage inductance", &k->leakage, 0.02 * ohms / omega, 0.01 * ohms / omega,
         0.05 * ohms / omega, UNIT_HENRY,
         "2 % of its rated impedance, of the customary 1 to 5 %, from memory", KNOWN_BY_NOTHING,
         true},
        {"air-core inductance", &k->air, 0.06 * ohms / omega, 0.03 * ohms / omega,
         0.12 * ohms / omega, UNIT_HENRY, "6 % of its rated impedance; common practice, no source",
         KNOWN_BY_NOTHING, true},
        {"saturation", &k->saturation, 1.4, 1.2, 1.7, UNIT_NUMBER,
         "1.4 T of 2.0 T for silicon steel, from memory", KNOWN_BY_NOTHING, true},
        {"remanence", &k->remanence, 0, -0.5, 0.5, UNIT_NUMBER,
         "no flux left from the last switch-off; common practice, no source", KNOWN_BY_NOTHING,
         false},
    };
    for (size_t i = 0; i < sizeof guesses / sizeof guesses[0]; i++) {
        const struct guess *g = &guesses[i];
        if (!isnan(*g->value)) continue;
        *g->value = g->taken;
        set_assume(set, (struct assumption){part->name, g->key, g->taken, g->low, g->high, g->unit,
                                            g->basis, g->known_by, g->weighs});
    }
}

/* A heater winding is too low for an ohmmeter: 4 % of its volts are lost at the current drawn from
 * it. */
static void guess_copper(struct set *set, const struct transformer *t, struct winding *w)
{
    double watts, volts = 0, amperes;
    for (int i = 0; i < w->halves; i++) volts += w->half[i].volts * t->rated / w->line;
    amperes = heater_draw(set, set->circuit->points.at[w->half[0].from],
                          set->circuit->points.at[w->half[w->halves - 1].to], &watts);
    if (w->rated > 0) amperes = w->rated; /* whatever tube is in the socket */
    double ohms = 0.04 * volts / (amperes > 0 ? amperes : IDLE_AMPERES);
    for (int i = 0; i < w->halves; i++) {
        w->half[i].ohms = ohms / w->halves;
        set_assume(set, (struct assumption){.part = w->half[i].subject,
                                            .key = "resistance",
                                            .value = ohms / w->halves,
                                            .low = ohms / w->halves / 2,
                                            .high = ohms / w->halves * 2,
                                            .unit = UNIT_OHM,
                                            .basis = "4 % of its volts at the heater current drawn "
                                                     "from it (2 A when none); estimate, no source",
                                            .known_by = KNOWN_BY_VOLTS_IN_AND_OUT,
                                            .guess = true});
    }
}

double transformer_guess(struct set *set, const struct part *part, struct transformer *t)
{
    for (int k = 0; k < t->windings; k++)
        if (t->winding[k].volts_unknown) guess_volts(set, part, &t->winding[k]);
    double va = t->va > 0 ? t->va : apparent(set, t);
    guess_primary(set, part, t, va);
    if (!t->ideal) guess_iron(set, part, t, va);
    for (int k = 0; k < t->windings; k++) {
        struct winding *w = &t->winding[k];
        if (!isnan(w->half[0].ohms)) continue;
        if (w->isolates) guess_output(set, t, w);
        else if (transformer_feeds_plates(t, w)) guess_high_voltage(set, part, t, w);
        else guess_copper(set, t, w);
    }
    return va;
}
