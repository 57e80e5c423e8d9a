/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The star of one transformer: primary copper and leakage lead to one core node, where the ideal
 * windings, the core loss and the magnetising branch meet; every secondary has its copper alone. So
 * all windings share the drop of the primary. */
#include <math.h>

#include "heater.h"
#include "kinds.h"
#include "numbers.h"
#include "transformer.h"

/* --- guesses -------------------------------------------------------------------------------- */

static bool feeds_plates(const struct transformer *t, const struct winding *w)
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
        bool high = feeds_plates(t, w);
        watts += taken > 0 || high ? taken : IDLE_AMPERES * w->half[0].volts * t->rated / w->line;
        plates = plates || high;
    }
    for (int i = 0; i < set->parts.n && plates; i++) watts += 1.4 * load_watts(set->parts.at[i]);
    return watts > 0 ? watts / 0.85 : 50;
}

struct guess {
    const char *key;
    double *value;
    double taken, low, high;
    enum unit unit;
    const char *basis, *measure;
    bool weighs; /* counted as a guess */
};

static void guess_iron(struct set *set, const struct part *part, struct transformer *t)
{
    struct iron *k = &t->iron;
    double va = apparent(set, t), ohms = sq(t->rated) / va, omega = 2 * PI * t->frequency;
    const struct guess guesses[] = {
        {"magnetising current", &k->magnetising, 0.20 * va / t->rated, 0.10 * va / t->rated,
         0.30 * va / t->rated, UNIT_AMPERE,
         "20 % of the current its load asks for; common practice for small old sets, no source",
         "line amperes with all tubes out", true},
        {"core loss", &k->loss, 0.07 * va, 0.04 * va, 0.14 * va, UNIT_WATT,
         "7 % of its volt-amperes; common practice for small old sets, no source",
         "line watts with all tubes out", true},
        {"leakage inductance", &k->leakage, 0.02 * ohms / omega, 0.01 * ohms / omega,
         0.05 * ohms / omega, UNIT_HENRY,
         "2 % of its rated impedance, of the customary 1 to 5 %, from memory", NULL, true},
        {"air-core inductance", &k->air, 0.06 * ohms / omega, 0.03 * ohms / omega,
         0.12 * ohms / omega, UNIT_HENRY, "6 % of its rated impedance; common practice, no source",
         NULL, true},
        {"saturation", &k->saturation, 1.4, 1.2, 1.7, UNIT_NUMBER,
         "1.4 T of 2.0 T for silicon steel, from memory", NULL, true},
        {"remanence", &k->remanence, 0, -0.5, 0.5, UNIT_NUMBER,
         "no flux left from the last switch-off; common practice, no source", NULL, false},
    };
    for (size_t i = 0; i < sizeof guesses / sizeof guesses[0]; i++) {
        const struct guess *g = &guesses[i];
        if (!isnan(*g->value)) continue;
        *g->value = g->taken;
        set_assume(set, (struct assumption){part->name, g->key, g->taken, g->low, g->high, g->unit,
                                            g->basis, g->measure, g->weighs});
    }
}

/* A heater winding is too low for an ohmmeter: 4 % of its volts are lost at the current drawn from
 * it. */
static void guess_copper(struct set *set, const struct transformer *t, struct winding *w)
{
    double watts, volts = 0, amperes;
    for (int i = 0; i < w->halves; i++) volts += w->half[i].volts * t->rated / w->line;
    if (!isnan(w->half[0].ohms)) return;
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
                                            .measure = "its volts with tubes out and with tubes "
                                                       "in: the difference over the amperes",
                                            .guess = true});
    }
}

/* --- writing -------------------------------------------------------------------------------- */

/* Share of the line's volts that reaches the core with no load: open-circuit readings are told
 * without this small drop of magnetising and loss current in copper and leakage. */
static double idle_share(const struct transformer *t)
{
    if (t->ideal) return 1;
    double omega = 2 * PI * t->frequency, x = omega * t->iron.leakage;
    double b = x / (1 + 1e-6), a = t->ohms + x * 1e-3 / (1 + 1e-6); /* x beside 1000 x */
    double g = t->iron.loss / sq(t->rated), h = t->iron.magnetising / t->rated;
    return 1 / sqrt(sq(1 + a * g + b * h) + sq(b * g - a * h));
}

/* RMS of the magnetising current at rated line [A]: sinusoidal flux of that peak. */
static double exciting(const struct core_law *law, double peak)
{
    enum { STEPS = 64 };
    double sum = 0;
    for (int i = 0; i < STEPS; i++) {
        double c[PORT_COEFFICIENTS], g, flux = peak * sin(PI / 2 * (i + 0.5) / STEPS);
        law_core.prepare(law, &flux, NULL, c);
        sum += sq(law_core.current(law, 0, c, 0, &g));
    }
    return sqrt(sum / STEPS);
}

/* The tail of the saturation knee adds to the magnetising current below it: the inductance is made so
 * much larger that the whole is what a meter reads. At most 20 times, should the core be told to
 * saturate at its rated flux. */
static void fit_inductance(struct core_law *law, double amperes, double peak)
{
    double most = 1 / law->magnetising, least = most / 20;
    for (int i = 0; i < 50; i++) {
        double middle = (least + most) / 2;
        law->magnetising = 1 / middle;
        if (exciting(law, peak) > amperes) most = middle;
        else least = middle;
    }
}

static void stamp_core(struct set *set, const struct part *part, const struct transformer *t,
                       int core)
{
    struct circuit *c = set->circuit;
    const struct iron *k = &t->iron;
    double omega = 2 * PI * t->frequency, peak = sqrt(2) * t->rated / omega; /* flux [V s] */
    struct core_law *law = ARENA_NEW(set->arena, struct core_law);
    *law = (struct core_law){.magnetising = t->rated / (omega * k->magnetising),
                             .air = k->air,
                             .saturation = k->saturation * peak};
    fit_inductance(law, k->magnetising, peak);
    circuit_resistor(c, part->name, "core loss", core, t->to, sq(t->rated) / k->loss);
    int device = circuit_device(c, part->name, "core", &law_core, law);
    double left = k->remanence * law->saturation;
    circuit_state(c, device, "flux", (struct state){.cold = left, .hot = left, .range = peak});
    circuit_port(c, device, "magnetising", core, t->to, PORT_BASED);
}

static void stamp_primary(struct set *set, const struct part *part, const struct transformer *t,
                          int number)
{
    struct circuit *c = set->circuit;
    const char *subject = arena_printf(set->arena, "%s.primary", part->name);
    int core = circuit_inner(c, part->name, "core"),
        at = t->ideal ? core : circuit_inner(c, part->name, "primary");
    int way = circuit_resistor(c, part->name, "primary resistance", t->from, at, t->ohms);
    circuit_subject(c, way, subject);
    if (!t->ideal) {
        circuit_inductor(c, part->name, "leakage", at, core, t->iron.leakage);
        circuit_resistor(c, part->name, "leakage loss", at, core,
                         1000 * 2 * PI * t->frequency * t->iron.leakage);
        stamp_core(set, part, t, core);
    }
    circuit_winding(c, part->name, "primary", number, core, t->to, 1);
    kind_probe_volts(set, subject, t->from, t->to, PROBE_WINDING);
    kind_probe_amperes(set, subject, PROBE_WINDING, &way, 1);
}

static void stamp_half(struct set *set, const struct part *part, const struct winding *w, int i,
                       int number, double share)
{
    struct circuit *c = set->circuit;
    const struct half *h = &w->half[i];
    const char *role = arena_printf(set->arena, "%s %d", w->name, i + 1);
    const char *copper = arena_printf(set->arena, "%s copper", role);
    int from = h->from, to = h->to;
    if (h->ohms > 0) { /* at the outside end */
        int inside = circuit_inner(c, part->name, copper), outside = i ? h->to : h->from;
        int e = circuit_resistor(c, part->name, copper, i ? inside : outside, i ? outside : inside,
                                 h->ohms);
        circuit_subject(c, e, h->subject);
        if (i) to = inside;
        else from = inside;
    }
    int e = circuit_winding(c, part->name, role, number, from, to, h->volts / (w->line * share));
    circuit_subject(c, e, h->subject);
    kind_probe_volts(set, h->subject, h->from, h->to, PROBE_WINDING);
    kind_probe_amperes(set, h->subject, PROBE_WINDING, &e, 1);
    if (w->rated > 0)
        set_rate(set, (struct rating){.subject = h->subject,
                                      .measure = "rms-current",
                                      .limit = w->rated,
                                      .unit = UNIT_AMPERE,
                                      .source = "scenario",
                                      .system = "",
                                      .says = "the winding carries more than it is made for: its "
                                              "copper gets too hot"});
}

void transformer_stamp(struct set *set, struct part *part)
{
    struct transformer *t = part->data;
    int number = circuit_transformer(set->circuit);
    if (!t->ideal) guess_iron(set, part, t);
    stamp_primary(set, part, t, number);
    for (int k = 0; k < t->windings; k++) {
        guess_copper(set, t, &t->winding[k]);
        for (int i = 0; i < t->winding[k].halves; i++)
            stamp_half(set, part, &t->winding[k], i, number, idle_share(t));
    }
}
