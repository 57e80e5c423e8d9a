/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The buy list against runs made again by other means: random supplies are written out with the new
 * values and the raised line in their text, run through run.h, and no recommendation may lie below
 * what they show. All sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_rng.h>

#include "buy_list.h"
#include "near.h"
#include "numbers.h"
#include "shop.h"
#include "steady.h"
#include "why.h"

/* ---- random supplies ---- */

enum { SUPPLIES = 200 };

/* Length of cold runs: a rectifier tube has warmed, the load has not; where nothing warms, the
 * capacitors have been charged [s]. */
#define COLD 2.5
#define COLD_SILICON 0.3

enum kind { CENTRE_TAP, HALF_WAVE, DOUBLER, KINDS };

/* One supply; what varies between its runs stands apart. */
struct supply {
    enum kind kind;
    bool choke, tube, warm; /* choke between the filters; rectifier tube; cold tubes in the load */
    double volts, ohms, second, draw, at;
    double farads[3];
};

static double between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

static struct supply make(gsl_rng *rng)
{
    static const double old[] = {4, 8, 10, 16, 20, 30, 40, 50};
    struct supply y = {.kind = (enum kind)gsl_rng_uniform_int(rng, KINDS)};
    bool tap = y.kind == CENTRE_TAP;
    y.choke = gsl_rng_uniform_int(rng, 2);
    y.tube = tap && gsl_rng_uniform_int(rng, 6) == 0; /* 30 times as dear as silicon */
    y.warm = tap && gsl_rng_uniform_int(rng, 8) == 0;
    y.volts = tap ? between(rng, 180, 430) : 117; /* of half the winding */
    y.ohms = tap ? between(rng, 80, 250) : between(rng, 20, 60);
    y.second = y.choke ? between(rng, 150, 600) : between(rng, 600, 2200);
    y.draw = tap ? between(rng, 0.03, 0.08) : between(rng, 0.01, 0.03);
    y.at = tap ? 0.9 * y.volts : y.kind == DOUBLER ? 220 : 100;
    for (int i = 0; i < 3; i++) y.farads[i] = old[gsl_rng_uniform_int(rng, 8)] * 1e-6;
    return y;
}

static const char *filter(const struct supply *y, const double *farads, bool open)
{
    struct arena *a = shop_arena();
    const char *between_filters =
        y->choke
            ? arena_printf(
                  a, "  L1: {is: choke, across: [F, B+], inductance: 8 H, resistance: %.9g ohm}\n",
                  y->second)
            : arena_printf(a, "  R1: {is: resistor, across: [F, B+], resistance: %.9g ohm}\n",
                           y->second);
    const char *heated =
        y->warm ? "lineup: [6K7-G, 6F6-G], heated by: heaters" : "heated by: always hot";
    return arena_printf(
        a,
        "%s"
        "  C2: {is: capacitor, across: [B+, chassis], value: %.12g F, make: modern}\n"
        "  R9: {is: resistor, across: [B+, chassis], resistance: 47 kohm}\n"
        "  tubes: {is: load, across: [B+, chassis], draws: %.9g A at %.9g V, like: tubes, %s%s}\n",
        between_filters, farads[1], y->draw, y->at, heated, open ? ", condition: open" : "");
}

static const char *centre_tap(const struct supply *y, const double *farads, bool silicon)
{
    return arena_printf(shop_arena(),
                        "  T1: {is: power transformer, primary: {across: [line, neutral], rated: "
                        "117 V, resistance: 8 "
                        "ohm}, windings: {high: {across: [P1, tap, P2], open circuit: [%.9g V, "
                        "%.9g V], resistance: "
                        "[%.9g ohm, %.9g ohm]}, rectifier heater: {open circuit: 5.2 V}, heaters: "
                        "{open circuit: 6.6 V}}}\n"
                        "  V1: {is: rectifier, type: %s, plates: [P1, P2], cathode: F%s}\n"
                        "  C1: {is: capacitor, across: [F, tap], value: %.12g F, make: modern}\n"
                        "  R2: {is: resistor, across: [chassis, tap], resistance: 150 ohm}\n",
                        y->volts, y->volts, y->ohms, y->ohms * 1.05,
                        silicon || !y->tube ? "1N4007" : "5Y3-GT",
                        y->tube && !silicon ? ", heated by: rectifier heater" : "", farads[0]);
}

static const char *from_line(const struct supply *y, const double *farads)
{
    if (y->kind == HALF_WAVE)
        return arena_printf(
            shop_arena(),
            "  R0: {is: resistor, across: [line, AC], resistance: %.9g ohm}\n"
            "  V1: {is: rectifier, type: 1N4007, plates: [AC], cathode: F}\n"
            "  C1: {is: capacitor, across: [F, chassis], value: %.12g F, make: modern}\n",
            y->ohms, farads[0]);
    return arena_printf(
        shop_arena(),
        "  R0: {is: resistor, across: [line, AC], resistance: %.9g ohm}\n"
        "  V1: {is: rectifier, type: 1N4007, plates: [AC, chassis], cathodes: [F, AC]}\n"
        "  C1: {is: capacitor, across: [F, middle], value: %.12g F, make: modern}\n"
        "  C3: {is: capacitor, across: [middle, chassis], value: %.12g F, make: modern}\n",
        y->ohms, farads[0], farads[2]);
}

/* The scenario's text with the line at so many volts. */
static const char *text_of(const struct supply *y, const double *farads, double line, bool open,
                           bool silicon)
{
    const char *across = y->kind == CENTRE_TAP  ? "[line, neutral]"
                         : y->kind == HALF_WAVE ? "[line, chassis]"
                                                : "[line, middle]";
    return arena_printf(
        shop_arena(),
        "format: 1\nmains: {voltage: %.12g V, frequency: 60 Hz, resistance: 0.3 ohm, "
        "across: %s, closes at: crest}\nrun: {for: 1 s}\nparts:\n%s%s",
        line, across, y->kind == CENTRE_TAP ? centre_tap(y, farads, silicon) : from_line(y, farads),
        filter(y, farads, open));
}

static const struct buy_list *list_of(const char *text, const char *variant, double seconds,
                                      int jobs)
{
    struct diags *diags = diags_new(shop_arena());
    const struct scenario *s =
        scenario_parse(shop_arena(), diags, shop_catalogue(), "t.yaml", text);
    struct buy_options o = {.duration = seconds, .jobs = jobs};
    const struct buy_list *list = s ? buy_list(shop_arena(), diags, s, variant, &o) : NULL;
    if (!list || list->status != STATUS_OK) diags_print(diags, stderr);
    assert_non_null(list);
    return list;
}

/* The set of a run, from its text. */
static const struct setup *set_of(const struct supply *y, const double *farads, enum buy_run run)
{
    bool open = run == BUY_OPEN || run == BUY_SILICON_OPEN;
    bool silicon = run == BUY_SILICON || run == BUY_SILICON_OPEN;
    return shop_setup(text_of(y, farads, 117 * 1.1, open, silicon), NULL);
}

static const struct result *again(const struct setup *setup, enum buy_run run, double seconds)
{
    struct run_options o = run_defaults();
    o.hot = run != BUY_COLD;
    o.angle = PI / 2;
    o.duration = seconds;
    const struct result *r = run_simulate(shop_arena(), setup, &o);
    if (r->status != STATUS_OK) fail_msg("%s", why(r));
    return r;
}

/* What these seconds do not warm, transformers and their copper above all, is warm here. */
static const struct result *warm(const struct setup *setup)
{
    const struct steady *w = steady_solve(shop_arena(), setup, &(struct steady_options){0});
    assert_int_equal(w->status, STATUS_OK);
    return w->result;
}

#define WARM 5       /* [s], until heaters stand at their line */
#define CALM 1.2     /* [s], until filters have */
#define CLOSING 0.02 /* a cold run that has not settled still knows where it was closed */
#define SETTLED 2e-3 /* two runs of other lengths agree as near as `settled` promises */

static void at_least(double have, double need, const char *what, int i)
{
    if (!(have >= need * (1 - SETTLED)))
        fail_msg("supply %d: %s %.9g is below %.9g", i, what, have, need);
}

static double highest(const struct result *r, const char *subject)
{
    return larger(shop_figure(r, subject, MEASURE_HIGHEST_VOLTAGE),
                  -shop_figure(r, subject, MEASURE_LOWEST_VOLTAGE));
}

/* A rating bought (inf: none sold, nothing promised) against a run, and what heats against `lasts`.
 */
static void check_run(const struct buy_list *list, const struct result *r,
                      const struct result *lasts, enum buy_run run, int i)
{
    bool silicon = run == BUY_SILICON || run == BUY_SILICON_OPEN;
    for (int k = 0; k < list->capacitors.n && !silicon; k++) {
        const struct buy_capacitor *c = &list->capacitors.at[k];
        double volts = highest(r, c->name);
        at_least(c->volts.value, volts, "highest volts", i);
        if (c->rating > 0) at_least(c->rating, volts, "working voltage", i);
        if (c->pair.rating > 0) at_least(c->pair.rating, 0.6 * volts, "half of a pair", i);
        if (run == BUY_HOT || run == BUY_COLD)
            at_least((run == BUY_HOT ? 1 : 1 + CLOSING) * c->ripple.value,
                     shop_figure(lasts, c->name, MEASURE_RMS_CURRENT), "ripple", i);
        bool reversed = -shop_figure(r, c->name, MEASURE_LOWEST_VOLTAGE) > 1.02;
        if (reversed && c->reverse.run < 0)
            fail_msg("supply %d: %s is reversed, not told", i, c->name);
    }
    for (int k = 0; k < list->resistors.n && !silicon; k++) {
        const struct buy_resistor *b = &list->resistors.at[k];
        at_least(b->rating, 2 * shop_figure(lasts, b->name, MEASURE_DISSIPATION), "watts", i);
        at_least(b->volts.value, highest(r, b->name), "resistor's volts", i);
    }
    const struct buy_rectifier *v = &list->rectifiers.at[0];
    if (v->replaced != silicon) return;
    const char *const plates[] = {"V1", "V1.1", "V1.2"};
    for (int k = 0; k < 3; k++) {
        const struct figure *f = run_figure(r, plates[k], MEASURE_INVERSE_VOLTAGE);
        if (f) at_least(0.8 * 1000 * v->diodes, f->value, "inverse volts", i);
    }
}

static void random_supplies(void **state)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    int seen[KINDS] = {0}, pairs = 0, warmed = 0, tubes = 0;
    gsl_rng_set(rng, 20491);
    for (int i = 0; i < SUPPLIES; i++) {
        if (i % 10 == 0) shop_close(state), shop_open(state); /* gives the memory back */
        struct supply y = make(rng);
        const struct buy_list *list = list_of(text_of(&y, y.farads, 117, false, false), NULL,
                                              y.tube || y.warm ? COLD : COLD_SILICON, 2);
        double bought[3];
        assert_int_equal(list->status, STATUS_OK);
        assert_int_equal(list->capacitors.n, y.kind == DOUBLER ? 3 : 2);
        for (int k = 0; k < 3; k++) bought[k] = buy_farads(y.farads[k]);
        for (int k = 0; k < list->capacitors.n; k++) { /* C1, C2, C3; maybe a size smaller */
            const struct buy_capacitor *c = &list->capacitors.at[k];
            assert_true(c->farads <= bought[c->name[1] - '1'] * (1 + 1e-9));
            bought[c->name[1] - '1'] = c->farads;
        }
        for (int r = 0; r < BUY_RUNS; r++) {
            assert_true(!list->run[r] == ((r == BUY_SILICON || r == BUY_SILICON_OPEN) && !y.tube));
            if (!list->run[r]) continue;
            /* the list's hot runs went to their steady state at once; these wait for it */
            double seconds = r == BUY_COLD ? list->run[r]->end : y.tube || y.warm ? WARM : CALM;
            const enum buy_run run = (enum buy_run)r;
            const struct setup *setup = set_of(&y, bought, run);
            const struct result *seen_run = again(setup, run, seconds);
            check_run(list, seen_run, run == BUY_COLD ? seen_run : warm(setup), run, i);
        }
        at_least(list->fuse, 1.5 * list->line_current.value, "fuse", i);
        assert_true(list->fuse < 2 * list->line_current.value);
        for (int k = 0; k < list->capacitors.n; k++)
            pairs += list->capacitors.at[k].pair.rating > 0;
        seen[y.kind]++;
        warmed += y.warm;
        tubes += y.tube;
        if (y.kind == CENTRE_TAP) {
            /* the first capacitor hangs on the tap, below chassis by the drop over R2 */
            assert_string_equal(list->capacitors.at[0].minus, "tap");
            assert_true(list->capacitors.at[0].insulated &&
                        list->capacitors.at[0].minus_volts < -1);
            assert_false(list->capacitors.at[1].insulated);
        }
    }
    gsl_rng_free(rng);
    for (int k = 0; k < KINDS; k++) assert_true(seen[k] >= 40);
    assert_true(pairs > 0 && warmed > 0 && tubes >= 8);
}

/* ---- single rules ---- */

static const char bench[] =
    "format: 1\nreference: B-\nmains: {voltage: 100 V, frequency: 50 Hz, resistance: 0 ohm, "
    "across: "
    "[line, B-]}\nrun: {for: 0.5 s}\nparts:\n"
    "  D1: {is: rectifier, type: ideal, plates: [line], cathode: B+}\n"
    "  R0: {is: resistor, across: [B+, F], resistance: 1 ohm}\n"
    "  C1: {is: capacitor, across: [F, B-], value: 50 uF, make: wet, forming: 120 V, can: twin}\n"
    "  C2: {is: capacitor, across: [B-, F], value: 1 uF, make: dry, can: twin}\n"
    "  C4: {is: capacitor, across: [F, B-], value: 0.1 uF, make: paper}\n"
    "  R1: {is: resistor, across: [F, B-], resistance: 3 kohm}\n"
    "variants:\n  dried out:\n    C1: {condition: dried out, value now: 3 uF}\n";

/* The crest of 110 V is 155.6 V: not the 120 V that the old wet one would have let through; the
 * rectifier sees that and, half a period later, what R1 has left on C1, C2 and C4. */
static void crest(void **state)
{
    (void)state;
    const struct buy_list *list = list_of(bench, NULL, 0, 1),
                          *dry = list_of(bench, "dried out", 0, 2);
    assert_int_equal(list->capacitors.n, 2); /* C4 is no filter capacitor */
    const struct buy_capacitor *c = &list->capacitors.at[0], *back = &list->capacitors.at[1];
    near_rel(c->volts.value, 110 * sqrt(2), 2e-3, "V");
    near_abs(c->rating, 160, 0, "V");
    near_rel(c->farads, 68e-6, 1e-9, "F");
    assert_int_equal(c->make, MAKE_WET);
    near_rel(list->rectifiers.at[0].inverse.value,
             110 * sqrt(2) * (1 + exp(-0.01 / (3000 * 69.1e-6))), 3e-3, "V");
    assert_int_equal(list->rectifiers.at[0].diodes, 1);
    /* drawn with its plus at B-, and sharing a can with another negative */
    assert_true(back->swapped && !back->insulated);
    assert_string_equal(back->plus, "F");
    assert_true(back->reverse.run < 0);
    assert_string_equal(c->can_name, "twin");
    assert_true(c->parted);
    assert_null(c->beside); /* C4 across the same points is no filter capacitor */
    assert_false(list->limited);
    /* a dried-out one is bought new: the same list */
    near_rel(dry->capacitors.at[0].volts.value, c->volts.value, 1e-9, "V");
    near_rel(dry->capacitors.at[0].ripple.value, c->ripple.value, 1e-9, "A");
}

/* The same digits whatever the number of threads. */
static void jobs(void **state)
{
    (void)state;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct supply y = make(rng);
    gsl_rng_free(rng);
    const char *text = text_of(&y, y.farads, 117, false, false);
    const struct buy_list *a = list_of(text, NULL, COLD, 1), *b = list_of(text, NULL, COLD, 3);
    for (int i = 0; i < a->capacitors.n; i++) {
        assert_true(a->capacitors.at[i].volts.value == b->capacitors.at[i].volts.value);
        assert_true(a->capacitors.at[i].ripple.value == b->capacitors.at[i].ripple.value);
        assert_int_equal(a->capacitors.at[i].volts.run, b->capacitors.at[i].volts.run);
    }
    assert_true(a->line_current.value == b->line_current.value);
}

/* Without a filter capacitor there is nothing to list, told in a sentence. */
static void nothing(void **state)
{
    (void)state;
    static const char text[] =
        "format: 1\nmains: {voltage: 117 V, frequency: 60 Hz, across: [line, chassis]}\n"
        "run: {for: 0.1 s}\nparts:\n  R1: {is: resistor, across: [line, chassis], resistance: 1 "
        "kohm}\n";
    struct diags *diags = diags_new(shop_arena());
    const struct scenario *s =
        scenario_parse(shop_arena(), diags, shop_catalogue(), "t.yaml", text);
    struct buy_options o = {.jobs = 1};
    assert_non_null(s);
    const struct buy_list *list = buy_list(shop_arena(), diags, s, NULL, &o);
    assert_int_equal(list->status, STATUS_SCENARIO);
    assert_int_equal(list->failure.cause, FAILURE_NO_FILTER);
    assert_string_equal(list->failure.name, "base");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(crest),
        cmocka_unit_test(jobs),
        cmocka_unit_test(nothing),
        cmocka_unit_test(random_supplies),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
