/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Warming in whole circuits: the heat balance at 80 % line against roots of its own, a heater that
 * opens, heaters of unlike warm-up in series, the string of an AC/DC set with its dial lamp. The
 * sets are invented.
 *
 * The balances: a wire takes V^2/R(T), R = R0 (T/T0)^1.2 (tungsten: Jones and Langmuir, General
 * Electric Review 30, 1927), and sheds heat as the difference of fourth powers (Stefan and
 * Boltzmann). 1400 K for a heater wire, 1050 K for a cathode: common practice, no source. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "near.h"
#include "numbers.h"
#include "run.h"
#include "why.h"

enum { WATCHED = 8 };

static struct arena *arena;
static const struct catalogue *catalogue;

static int open_shop(void **state)
{
    (void)state;
    gsl_set_error_handler_off();
    arena = arena_new();
    catalogue = catalogue_read(arena, diags_new(arena), SOURCE_DIR "/models");
    return catalogue ? 0 : -1;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static const struct result *simulate(const char *text, const char *variant, double every,
                                     run_observer *observe, void *context)
{
    struct diags *diags = diags_new(arena);
    const struct scenario *s = scenario_parse(arena, diags, catalogue, "warm-up", text);
    const struct setup *setup = s ? scenario_setup(arena, diags, s, variant) : NULL;
    struct run_options o = run_defaults();
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    o.angle = PI / 2;
    o.observe = observe;
    o.observe_context = context;
    o.observe_every = every;
    const struct result *r = run_simulate(arena, setup, &o);
    if (r->status != STATUS_OK) fail_msg("%s", why(r));
    assert_false(r->statistics.audit_failed);
    return r;
}

static double figure(const struct result *r, const char *subject, enum measure measure)
{
    const struct figure *f = run_figure(r, subject, measure);
    if (!f) fail_msg("no %s of %s", measure_table[measure].name, subject);
    return f->value;
}

/* --- temperatures at 80 % line -------------------------------------------------------------- */

/* Means of temperatures from `from` on, at every observed instant. */
struct thermometer {
    double from; /* [s] */
    struct {
        const char *part, *role;
        double sum;
    } at[WATCHED];
    int watched, n;
};

static double temperature(const struct equations *eq, const double *y, const char *part,
                          const char *role)
{
    for (int k = 0; k < eq->ns; k++) {
        const struct state *st = &eq->circuit->states.at[k];
        if (strcmp(st->part, part) == 0 && strcmp(st->role, role) == 0) return y[eq->r->nw + k];
    }
    return (double)NAN;
}

static void read_thermometer(void *context, double t, const struct equations *eq, const double *y)
{
    struct thermometer *m = context;
    if (t < m->from) return;
    m->n++;
    for (int k = 0; k < m->watched; k++)
        m->at[k].sum += temperature(eq, y, m->at[k].part, m->at[k].role);
}

static double fourth(double t)
{
    return sq(sq(t));
}

/* All watts relative to the rated ones. */
struct balance {
    double share;                 /* of rated volts */
    double wire, cathode, around; /* rated [K]; cathode 0: a bare wire */
};

static double taken(const struct balance *b, double wire)
{
    return sq(b->share) / pow(wire / b->wire, 1.2);
}

/* The cathode sheds what the wire takes. */
static double cathode_at(const struct balance *b, double wire)
{
    return pow(fourth(b->around) + taken(b, wire) * (fourth(b->cathode) - fourth(b->around)), 0.25);
}

static double wire_residual(double wire, void *context)
{
    const struct balance *b = context;
    double other = b->cathode > 0 ? cathode_at(b, wire) : b->around;
    double rated = b->cathode > 0 ? b->cathode : b->around;
    return taken(b, wire) - (fourth(wire) - fourth(other)) / (fourth(b->wire) - fourth(rated));
}

static double wire_at(struct balance *b)
{
    gsl_function f = {wire_residual, b};
    gsl_root_fsolver *s = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    assert_int_equal(gsl_root_fsolver_set(s, &f, 400, 3000), GSL_SUCCESS);
    for (int k = 0; k < 100; k++) gsl_root_fsolver_iterate(s);
    double wire = gsl_root_fsolver_root(s);
    gsl_root_fsolver_free(s);
    assert_true(fabs(wire_residual(wire, b)) < 1e-9);
    return wire;
}

/* 93.6 V on heaters for 117 V: one with a cathode, one of two sections in one cathode, a filament
 * that emits itself. */
static void settled_temperatures_meet_the_balance(void **state)
{
    static const char text[] =
        "format: 1\nreference: B-\n"
        "mains: {voltage: 93.6 V, frequency: 60 Hz, across: [line, B-], resistance: 0 ohm}\n"
        "run: {for: 90 s, ambient: 30 C}\nparts:\n"
        "  H1: {is: heater, across: [line, B-], rated: 117 V 0.04 A, heating: indirect, warm-up: "
        "8 s}\n"
        "  H2: {is: heater, across: [line, B-], rated: 117 V 0.05 A, heating: direct, warm-up: 3 "
        "s}\n"
        "  V1: {is: rectifier, plates: [line], cathode: out, drop: 15 V at 90 mA, warm-up: 8 s}\n"
        "  R1: {is: resistor, across: [out, B-], resistance: 100 kohm}\n"
        "  A: {is: heater, across: [line, tap], rated: 7.5 V 0.15 A, of: V1}\n"
        "  B: {is: heater, across: [tap, B-], rated: 109.5 V 0.15 A, of: V1}\n";
    struct thermometer m = {.from = 85,
                            .watched = 6,
                            .at = {{.part = "H1", .role = "heater wire"},
                                   {.part = "H1", .role = "heater cathode"},
                                   {.part = "A", .role = NULL},
                                   {.part = "A", .role = NULL},
                                   {.part = "A", .role = NULL},
                                   {.part = "H2", .role = "heater wire"}}};
    static const char *const roles[] = {"heater wire", "heater wire 2", "heater cathode"};
    struct balance tube = {0.8, 1400, 1050, 303.15}, bare = {0.8, 1050, 0, 303.15};
    double wire = wire_at(&tube), cathode = cathode_at(&tube, wire);
    double wanted[] = {wire, cathode, wire, wire, cathode, wire_at(&bare)};
    (void)state;
    for (int k = 0; k < 3; k++) m.at[2 + k].role = roles[k];
    simulate(text, NULL, 1 / (60.0 * 16), read_thermometer, &m);
    assert_true(m.n > 1000);
    for (int k = 0; k < m.watched; k++) {
        printf("%s %s: %.2f K, balance %.2f K\n", m.at[k].part, m.at[k].role, m.at[k].sum / m.n,
               wanted[k]);
        near_rel(m.at[k].sum / m.n, wanted[k], 1e-3, "K");
    }
    /* cooler than rated, but by far less than the volts: fourth powers */
    assert_true(cathode < 0.95 * 1050 && cathode > 0.85 * 1050);
}

/* --- a heater that opens -------------------------------------------------------------------- */

struct history {
    double before, at[4]; /* temperature [K]; just before, and at the instants */
};

static const double instants[] = {11, 13, 17, 30};

static void keep_history(void *context, double t, const struct equations *eq, const double *y)
{
    struct history *h = context;
    double kelvin = temperature(eq, y, "heater", "heater wire");
    if (t < 9.999) h->before = kelvin;
    for (int k = 0; k < 4; k++)
        if (fabs(t - instants[k]) < 1e-6) h->at[k] = kelvin;
}

/* dT/dt = -a (T^4 - Ta^4) gives a t = this, up to a constant. */
static double cooling(double t)
{
    const double ta = 298.15;
    return (log((t + ta) / (t - ta)) / 2 + atan(t / ta)) / (2 * ta * sq(ta));
}

static void open_heater_stops_the_rectifier(void **state)
{
    static const char text[] =
        "format: 1\n"
        "mains: {voltage: 100 V, frequency: 60 Hz, resistance: 0 ohm}\n"
        "run: {for: 40 s, start: hot}\nparts:\n"
        "  T1:\n    is: power transformer\n    ideal: yes\n"
        "    primary: {across: [line, neutral], rated: 100 V, resistance: 0 ohm}\n"
        "    windings:\n"
        "      high voltage: {across: [plate 1, chassis, plate 2], open circuit: [300 V, 300 V], "
        "resistance: [100 ohm, 100 ohm]}\n"
        "      rectifier heater: {across: [pin 1, pin 2], open circuit: 5 V, resistance: 0 ohm}\n"
        "  S1: {is: switch, across: [pin 1, pin 3], state: closed}\n"
        "  heater: {is: heater, across: [pin 3, pin 2], rated: 5 V 2 A, of: V6, heating: direct, "
        "warm-up: 3 s}\n"
        "  V6: {is: rectifier, type: 5Y3-GT, plates: [plate 1, plate 2], cathode: first filter}\n"
        "  C1: {is: capacitor, across: [first filter, chassis], value: 8 uF, rated: 450 V}\n"
        "  R1: {is: resistor, across: [first filter, chassis], resistance: 6 kohm}\n"
        "variants:\n"
        "  opened:\n    at 10 s: {S1: {state: open}}\n";
    struct history whole = {0}, open = {0};
    (void)state;
    const struct result *a = simulate(text, NULL, 0.25, keep_history, &whole);
    const struct result *b = simulate(text, "opened", 0.25, keep_history, &open);
    printf("heater opens at 10 s: %.0f K, then %.0f %.0f %.0f %.0f K at 11, 13, 17, 30 s; "
           "%.1f mA become %.2g A\n",
           open.before, open.at[0], open.at[1], open.at[2], open.at[3],
           1e3 * figure(a, "V6", MEASURE_AVERAGE_CURRENT),
           figure(b, "V6", MEASURE_AVERAGE_CURRENT));
    /* nothing happens without the switch, and nothing before it */
    near_rel(whole.before, 1050, 2e-3, "K");
    near_rel(whole.at[3], 1050, 2e-3, "K");
    near_rel(open.before, whole.before, 1e-9, "K");
    near_abs(figure(a, "V6", MEASURE_AVERAGE_CURRENT), 0.055, 0.010, "A");
    /* it radiates on, and no watts come in: time differences as of the closed form */
    double per_second = (cooling(open.at[1]) - cooling(open.at[0])) / (instants[1] - instants[0]);
    for (int k = 2; k < 4; k++)
        near_rel((cooling(open.at[k]) - cooling(open.at[0])) / per_second,
                 instants[k] - instants[0], 1e-4, "s");
    assert_true(open.at[0] < open.before && open.at[1] < open.at[0]);
    assert_true(open.at[3] < 700);
    /* no emission, no current, no volts */
    assert_true(figure(b, "V6", MEASURE_AVERAGE_CURRENT) <
                1e-3 * figure(a, "V6", MEASURE_AVERAGE_CURRENT));
    assert_true(figure(b, "first filter", MEASURE_SETTLED_VOLTAGE) <
                1e-2 * figure(a, "first filter", MEASURE_SETTLED_VOLTAGE));
}

/* --- heaters in series ---------------------------------------------------------------------- */

static const char *const string_names[] = {"slow", "quick", "lamp-like"};
static const double string_rated[] = {70, 31.5, 15.5}; /* [V], all 0.3 A */

struct heater_string {
    double off;        /* worst sum of heater volts beside the line's [V] */
    double square[3];  /* of volts in the running window [V^2] */
    double late[3];    /* RMS volts of the last window */
    double highest[3]; /* of the RMS volts of all windows */
    int n;
    long instants;
};

static double heater_volts(const struct equations *eq, const char *part)
{
    for (int i = 0; i < eq->circuit->elements.n; i++)
        if (strcmp(eq->circuit->elements.at[i].part, part) == 0)
            return equations_output(eq, OUTPUT_VOLTS, i);
    return (double)NAN;
}

static double point_volts(const struct equations *eq, const char *point)
{
    return equations_output(eq, OUTPUT_POTENTIAL, circuit_find_point(eq->circuit, point));
}

/* A window is 6 cycles of 16 instants. */
static void watch_string(void *context, double t, const struct equations *eq, const double *y)
{
    struct heater_string *s = context;
    double sum = 0;
    (void)t, (void)y;
    for (int k = 0; k < 3; k++) {
        double v = heater_volts(eq, string_names[k]);
        sum += v;
        s->square[k] += sq(v);
    }
    double off = fabs(sum - (point_volts(eq, "line") - point_volts(eq, "B-")));
    if (!(off <= s->off)) s->off = off;
    s->instants++;
    if (++s->n < 96) return;
    for (int k = 0; k < 3; k++) {
        s->late[k] = sqrt(s->square[k] / s->n);
        s->highest[k] = larger(s->highest[k], s->late[k]);
        s->square[k] = 0;
    }
    s->n = 0;
}

/* Heaters of unlike warm-up in one string: while they warm, the quick ones take more than their
 * share; settled, each has its rated volts. Common practice, no source. */
static void unlike_heaters_share_unequally_while_cold(void **state)
{
    static const char text[] =
        "format: 1\nreference: B-\n"
        "mains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-], resistance: 0 ohm}\n"
        "run: {for: 100 s}\nparts:\n"
        "  slow: {is: heater, across: [line, a], rated: 70 V 0.3 A, heating: indirect, warm-up: 28 "
        "s}\n"
        "  quick: {is: heater, across: [a, b], rated: 31.5 V 0.3 A, heating: indirect, warm-up: 11 "
        "s}\n"
        "  lamp-like: {is: heater, across: [b, B-], rated: 15.5 V 0.3 A, heating: direct, "
        "warm-up: 1 s}\n";
    struct heater_string s = {0};
    (void)state;
    simulate(text, NULL, 1 / (60.0 * 16), watch_string, &s);
    printf("heater string: sum off by %.1e V at worst of %ld instants\n", s.off, s.instants);
    assert_true(s.instants > 90000);
    near_abs(s.off, 0, 1e-9 * sqrt(2) * 117, "V");
    for (int k = 0; k < 3; k++) {
        printf("%-9s rated %.1f V: highest %.2f V, settled %.2f V\n", string_names[k],
               string_rated[k], s.highest[k], s.late[k]);
        near_rel(s.late[k], string_rated[k], 2e-3, "V");
    }
    assert_true(s.highest[2] > 1.5 * s.late[2]);
    assert_true(s.highest[1] > 1.2 * s.late[1]);
    assert_true(s.highest[0] < 1.1 * s.late[0]);
}

/* --- AC/DC set ------------------------------------------------------------------------------ */

static const char acdc[] =
    "format: 1\nreference: B-\n"
    "mains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-]}\n"
    "run: {for: 40 s, start: hot}\nparts:\n"
    "  V5: {is: rectifier, type: 35Z5-GT, plates: [tap], cathode: first filter}\n"
    "  V5 tap: {is: heater, across: [line, tap], rated: 7.5 V 0.15 A, of: V5}\n"
    "  V5 rest: {is: heater, across: [tap, s1], rated: 27.5 V 0.15 A, of: V5}\n"
    "  V4 heater: {is: heater, across: [s1, s2], tube: 50L6-GT, of: tubes}\n"
    "  V1 heater: {is: heater, across: [s2, s3], tube: 12SK7, of: tubes}\n"
    "  V2 heater: {is: heater, across: [s3, s4], tube: 12SA7, of: tubes}\n"
    "  V3 heater: {is: heater, across: [s4, B-], tube: 12SQ7, of: tubes}\n"
    "  dial: {is: lamp, across: [line, tap], type: pilot 47}\n"
    "  C1: {is: capacitor, across: [first filter, B-], value: 40 uF, rated: 160 V}\n"
    "  tubes: {is: load, across: [first filter, B-], draws: 55 mA at 120 V, like: tubes}\n"
    "variants:\n"
    "  burnt out: {dial: {condition: burnt out}}\n"
    "  shunted: {R2: {is: resistor, across: [line, tap], resistance: 100 ohm}}\n";

/* The lamp section carries the plate current too, and the lamp beside it is what keeps its volts
 * down: burnt out, the section sees 7.5 V and more (7.5 V for that section: trade article on the
 * 35Z5-GT, 1939). What it takes the rest of the string must do without, and no more than that; the
 * other section, in the same cathode, feels it least. */
static void burnt_out_lamp_strains_its_section(void **state)
{
    static const char *const others[] = {"V5 rest", "V4 heater", "V1 heater", "V2 heater",
                                         "V3 heater"};
    const struct result *good = simulate(acdc, NULL, 0, NULL, NULL);
    const struct result *out = simulate(acdc, "burnt out", 0, NULL, NULL);
    double with = figure(good, "V5 tap", MEASURE_RMS_VOLTAGE),
           without = figure(out, "V5 tap", MEASURE_RMS_VOLTAGE), lost = 0, least = 1;
    (void)state;
    printf("lamp section: %.2f V with the lamp, %.2f V without\n", with, without);
    assert_true(with > 4 && with < 7);
    assert_true(without >= 7.5);
    assert_true(without > 1.3 * with);
    for (int k = 0; k < 5; k++) {
        double before = figure(good, others[k], MEASURE_RMS_VOLTAGE),
               after = figure(out, others[k], MEASURE_RMS_VOLTAGE);
        lost += before - after;
        printf("%s: %.2f V, %.2f V\n", others[k], before, after);
        assert_true(after < before && after > 0.88 * before);
        assert_true(k == 0 || after / before < least);
        if (k == 0) least = after / before;
    }
    printf("the others lose %.2f V, the section gains %.2f V; B+ %.1f V, %.1f V\n", lost,
           without - with, figure(good, "first filter", MEASURE_SETTLED_VOLTAGE),
           figure(out, "first filter", MEASURE_SETTLED_VOLTAGE));
    near_rel(lost, without - with, 0.15, "V");
    near_rel(figure(out, "first filter", MEASURE_SETTLED_VOLTAGE),
             figure(good, "first filter", MEASURE_SETTLED_VOLTAGE), 0.12, "V");
    assert_null(run_figure(out, "dial", MEASURE_RMS_CURRENT));
}

static void shunt_spares_the_lamp(void **state)
{
    const struct result *good = simulate(acdc, NULL, 0, NULL, NULL);
    const struct result *shunted = simulate(acdc, "shunted", 0, NULL, NULL);
    double plain = figure(good, "dial", MEASURE_RMS_CURRENT),
           less = figure(shunted, "dial", MEASURE_RMS_CURRENT);
    (void)state;
    printf("dial lamp: %.1f mA, %.1f mA with a shunt of 100 ohm\n", plain * 1e3, less * 1e3);
    assert_true(less < 0.95 * plain && less > 0.4 * plain);
    assert_true(figure(shunted, "dial", MEASURE_DISSIPATION) <
                0.85 * figure(good, "dial", MEASURE_DISSIPATION));
    near_rel(figure(shunted, "R2", MEASURE_RMS_CURRENT) * 100,
             figure(shunted, "V5 tap", MEASURE_RMS_VOLTAGE), 1e-6, "V");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(settled_temperatures_meet_the_balance),
        cmocka_unit_test(open_heater_stops_the_rectifier),
        cmocka_unit_test(unlike_heaters_share_unequally_while_cold),
        cmocka_unit_test(burnt_out_lamp_strains_its_section),
        cmocka_unit_test(shunt_spares_the_lamp),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
