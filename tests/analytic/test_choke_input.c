/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Choke input from a centre tap without any resistance and ideal rectifiers, that is a drive of
 * |sin|: commutation is a simultaneous swap at the zero of the source, and below the critical
 * inductance both rectifiers are open for a while. Above it the numbers are the exact solution of
 * the stated circuit (closed form, 40 digits), below it quadrature (C without limit) and a
 * fixed-step fourth-order integration. wL/R and wCR with w = 2 pi f of the mains; volts in the peak
 * Vm of one half, amperes in Vm/R. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "numbers.h"
#include "supply.h"
#include "table.h"

#define LENGTH(a) ((int)(sizeof(a) / sizeof(a)[0]))

static const double volts = 300, ohms = 1000, hertz = 60;

struct filter {
    double wlr, wcr, rc; /* rc: resistance of the choke over R */
};

static struct supply choke_input(struct filter f, double degrees)
{
    return (struct supply){.kind = SUPPLY_CENTRE_TAP,
                           .frequency = hertz,
                           .peak = volts,
                           .degrees = degrees,
                           .henries = f.wlr * ohms / (2 * PI * hertz),
                           .choke = f.rc * ohms,
                           .farads2 = supply_farads(f.wcr, hertz, ohms),
                           .ohms = ohms};
}

static const struct {
    struct filter f;
    double mean, lowest, highest, ripple_pp, ripple_rms_over_mean, textbook;
} continuous[] = {
    {{0.5, 20, 0}, 0.6366197724, 0.204794960, 1.06834753, 0.0219971320, 0.0120984478, 0.0117851130},
    {{1, 10, 0}, 0.6366197724, 0.420693588, 0.852449098, 0.0219739356, 0.0120865646, 0.0117851130},
    {{2, 20, 0.05},
     0.6063045451,
     0.500205343,
     0.712021661,
     0.00539600332,
     0.00311582114,
     0.00294627825},
    {{5, 20, 0},
     0.6366197724,
     0.594411517,
     0.678827084,
     0.00215061690,
     0.00118262434,
     0.00117851130},
};

/* Also the textbook rule sqrt 2 / (12 w^2 L C), times 1 + Rc/R: 0.3 to 2.7 % low here. */
static void test_continuous(void **state)
{
    (void)state;
    struct table t = table_new("choke input, continuous current");
    for (int k = 0; k < LENGTH(continuous); k++) {
        const struct filter *f = &continuous[k].f;
        struct handmade h;
        const struct result *r = supply_run_settled(choke_input(*f, 90), 6, 30, &h);
        double unit = volts / ohms, mean = hand_settled(r, "B+", MEASURE_SETTLED_VOLTAGE);
        double ripple = hand_figure(r, "B+", MEASURE_RIPPLE_RMS) / mean;
        table_row(&t, "wL/R %g wCR %g Rc/R %g", f->wlr, f->wcr, f->rc);
        table_level(&t, "mean", mean / volts, continuous[k].mean);
        table_level(&t, "lowest current",
                    -hand_figure(r, "L backwards", MEASURE_RUNNING_PEAK_CURRENT) / unit,
                    continuous[k].lowest);
        table_level(&t, "highest current", hand_figure(r, "L", MEASURE_HIGHEST_CURRENT) / unit,
                    continuous[k].highest);
        table_peak(&t, "ripple", hand_figure(r, "B+", MEASURE_RIPPLE_PP) / volts,
                   continuous[k].ripple_pp);
        table_peak(&t, "ripple rms", ripple, continuous[k].ripple_rms_over_mean);
        near_rel(continuous[k].textbook, sqrt(2) / (12 * f->wlr * f->wcr), 1e-8, "1");
        near_rel(ripple, continuous[k].textbook * (1 + f->rc) * 1.015, 0.013, "1");
        near_abs(hand_figure(r, "B+", MEASURE_RIPPLE_FREQUENCY), 2 * hertz, 1e-9, "Hz");
        handmade_free(&h);
    }
    table_end(&t);
}

static const struct {
    double wlr, mean_endless, mean, ripple_pp, highest, at; /* at [rad] */
} light[] = {
    {0.05, 0.832500573, 0.8395582994, 0.0285661751, 1.256495427, 5.2649},
    {0.2, 0.698045728, 0.7013923288, 0.0176020166, 1.231261508, 9.6960},
    {0.33, 0.636848981, 0.6386288701, 0.0131693587, 1.209599494, 12.6629},
    {0.4, 0.636619772, 0.6366197724, 0.0108639489, 1.189675698, 13.9289},
};

static void check_highest(struct table *t, const struct result *r, double wanted, double radians)
{
    const struct figure *top = run_figure(r, "B+", MEASURE_HIGHEST_VOLTAGE);
    assert_non_null(top);
    table_level(t, "highest at turn-on", top->value / volts, wanted);
    table_peak(t, "its angle", top->time * 2 * PI * hertz, radians);
}

static void test_below_critical(void **state)
{
    (void)state;
    struct table t = table_new("choke input about the critical inductance");
    for (int k = 0; k < LENGTH(light); k++) {
        struct filter f = {.wlr = light[k].wlr, .wcr = 50};
        struct supply s = choke_input(f, 0);
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run_settled(&h, 4);
        table_row(&t, "wL/R %g", f.wlr);
        table_level(&t, "mean", hand_figure(r, "B+", MEASURE_SETTLED_VOLTAGE) / volts,
                    light[k].mean);
        table_peak(&t, "ripple", hand_figure(r, "B+", MEASURE_RIPPLE_PP) / volts,
                   light[k].ripple_pp);
        check_highest(&t, r, light[k].highest, light[k].at);
        handmade_free(&h);
    }
    table_end(&t);
}

/* C without limit: one so large that what is left of the difference, which falls as 1/C, is well
 * inside the limit. */
static void test_endless_capacitor(void **state)
{
    (void)state;
    static const double wcr[LENGTH(light)] = {5000, 4000, 2000, 1000};
    struct table t = table_new("the same, very large C");
    for (int k = 0; k < LENGTH(light); k++) {
        struct filter f = {.wlr = light[k].wlr, .wcr = wcr[k]};
        struct supply s = choke_input(f, 90);
        s.initial2 = 0.998 * volts * light[k].mean_endless;
        s.amperes = volts / ohms;
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run(&h, 24);
        table_row(&t, "wL/R %g", f.wlr);
        table_level(&t, "mean", hand_settled(r, "B+", MEASURE_SETTLED_VOLTAGE) / volts,
                    light[k].mean_endless);
        handmade_free(&h);
    }
    table_end(&t);
}

/* The critical inductance, C without limit. With L di/dt = |sin| - 2/pi the current is lowest at
 * sin th = 2/pi and touches zero there when w L / R = (pi/2) (cos th + (2/pi) th - 1), 0.3306741.
 * Just above it the coil always carries current and the mean is 2/pi, just below it is higher. */
static void test_critical_inductance(void **state)
{
    (void)state;
    const double th = asin(2 / PI), critical = PI / 2 * (cos(th) + 2 / PI * th - 1);
    near_rel(critical, 0.330674087564262863, 1e-14, "1");
    for (int above = 0; above < 2; above++) {
        const double unit = volts / ohms;
        struct filter f = {.wlr = critical * (above ? 1.004 : 0.996), .wcr = 1000};
        struct supply s = choke_input(f, 90);
        struct handmade h;
        s.initial2 = 2 / PI * volts;
        s.amperes = 2 / PI * unit;
        const struct result *r = supply_run_settled(s, 12, 30, &h);
        double over = hand_settled(r, "B+", MEASURE_SETTLED_VOLTAGE) / volts * PI / 2 - 1;
        double lowest = -hand_figure(r, "L backwards", MEASURE_RUNNING_PEAK_CURRENT) / unit;
        if (above) {
            near_abs(over, 0, 1e-5, "1");
            near_rel(lowest, 2 / PI * (1 - 1 / 1.004), 0.3, "1");
        } else {
            assert_true(over > 5e-4 && over < 2e-3);
            near_abs(lowest, 0, 1e-9, "1");
        }
        handmade_free(&h);
    }
}

/* A coil that carries current at the start keeps it: its rectifier has to conduct, also at the
 * source's zero with the capacitor charged. Nothing is lost and the mean stays 2/pi. */
static void test_coil_with_current(void **state)
{
    (void)state;
    struct supply s = choke_input((struct filter){.wlr = 2, .wcr = 100}, 0);
    s.initial2 = 2 / PI * volts;
    s.amperes = 2 / PI * volts / ohms;
    struct handmade h = supply_new(&s);
    const struct result *r = hand_run(&h, 3);
    near_abs(r->statistics.energy_booked, 0, 1e-9, "J");
    near_rel(hand_settled(r, "B+", MEASURE_SETTLED_VOLTAGE), 2 / PI * volts, 2e-4, "V");
    handmade_free(&h);
}

static const struct {
    struct filter f;
    double highest, at, current, mean; /* at [rad] */
} turn_on[] = {
    {{1.5, 20, 0.1}, 0.789715800, 16.335609, 2.02249725, 0.578745248},
    {{1, 100, 0.05}, 0.839213570, 31.607565, 4.78947873, 0.606304545},
    {{0.5, 20, 0.02}, 1.039033020, 9.6300474, 4.21801011, 0.624136},
};

static void test_turn_on(void **state)
{
    (void)state;
    struct table t = table_new("choke input, turn-on");
    for (int k = 0; k < LENGTH(turn_on); k++) {
        const struct filter *f = &turn_on[k].f;
        struct supply s = choke_input(*f, 0);
        struct handmade h = supply_new(&s);
        const struct result *r = hand_run_settled(&h, 4);
        table_row(&t, "wL/R %g wCR %g Rc/R %g", f->wlr, f->wcr, f->rc);
        check_highest(&t, r, turn_on[k].highest, turn_on[k].at);
        table_peak(&t, "highest current",
                   hand_figure(r, "L", MEASURE_HIGHEST_CURRENT) * ohms / volts, turn_on[k].current);
        table_level(&t, "mean", hand_figure(r, "B+", MEASURE_SETTLED_VOLTAGE) / volts,
                    turn_on[k].mean);
        handmade_free(&h);
    }
    table_end(&t);
}

/* A large choke that keeps Idc, and inductance Ls before the rectifiers: while one takes over from
 * the other both conduct and the output is zero. Idc = 2 Vo / (pi R + 2 w Ls), overlap
 * acos(1 - 2 Idc w Ls / Vo) / w: Fitzgerald, Kingsley & Umans, Electric Machinery, Ex. 10.6 p. 522
 * (230 V, 60 Hz, 5.6 ohm). His bridge has Ls in its one lead; in each half of a centre tap 2 Ls
 * does the same, as a swap of a bridge moves the current of one lead by 2 Idc. */
static const struct {
    double henries, amperes, volts, overlap; /* of Ls; [s] */
} leakage[] = {
    {1e-3, 35.4576631, 198.562914, 1.08297532e-3},
    {50e-3, 11.7654973, 65.8867850, 5.15387436e-3},
    {100e-3, 6.99570111, 39.1759262, 5.94604865e-3},
};

/* At t = 0 the second half carries the whole current and stands at its crest. */
static struct handmade commutating_tap(int row)
{
    struct handmade h = handmade_new(60);
    double peak = 230 * sqrt(2), twice = 2 * leakage[row].henries, i = leakage[row].amperes;
    hand_sine(&h, "S", "a", "0", peak, -90);
    hand_sine(&h, "S2", "b", "0", -peak, -90);
    hand_l(&h, "Ls", "a", "p", twice, 0);
    hand_l(&h, "Ls2", "b", "q", twice, i);
    hand_diode(&h, "D1", "p", "+", 0, 0);
    hand_diode(&h, "D2", "q", "+", 0, 0);
    return h;
}

static struct handmade commutating_bridge(int row, double slope)
{
    struct handmade h = handmade_new(60);
    hand_sine(&h, "S", "a", "b", 230 * sqrt(2), -90);
    hand_l(&h, "Ls", "a", "p", leakage[row].henries, -leakage[row].amperes);
    hand_diode(&h, "D1", "p", "+", 0, slope);
    hand_diode(&h, "D2", "b", "+", 0, slope);
    hand_diode(&h, "D3", "0", "b", 0, slope);
    hand_diode(&h, "D4", "0", "p", 0, slope);
    return h;
}

static const struct result *run_with_choke(struct handmade *h, int row)
{
    hand_l(h, "L", "+", "x", 1e5, leakage[row].amperes);
    hand_r(h, "R", "x", "0", 5.6);
    hand_watch(h, "+");
    return hand_run_settled(h, 0.5);
}

static void check_overlap(struct table *t, const struct result *r, int row)
{
    table_peak(t, "overlap", hand_figure(r, "D2", MEASURE_PEAK_DURATION) - 0.25 / 60,
               leakage[row].overlap);
    table_peak(t, "overlap at the other end",
               hand_figure(r, "D1", MEASURE_PEAK_DURATION) - 0.5 / 60, leakage[row].overlap);
    table_peak(t, "highest current", hand_figure(r, "D1", MEASURE_HIGHEST_CURRENT),
               leakage[row].amperes);
}

static void test_leakage_centre_tap(void **state)
{
    (void)state;
    struct table t = table_new("commutating inductance, centre tap");
    for (int k = 0; k < LENGTH(leakage); k++) {
        struct handmade h = commutating_tap(k);
        const struct result *r = run_with_choke(&h, k);
        table_row(&t, "Ls %g H", leakage[k].henries);
        table_level(&t, "mean", hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), leakage[k].volts);
        check_overlap(&t, r, k);
        handmade_free(&h);
    }
    table_end(&t);
}

/* While four ideal rectifiers conduct, how they share the current is not determined. */
static void test_leakage_bridge(void **state)
{
    (void)state;
    struct table t = table_new("commutating inductance, bridge");
    for (int k = 0; k < LENGTH(leakage); k++) {
        struct handmade h = commutating_bridge(k, 0);
        const struct result *r = run_with_choke(&h, k);
        table_row(&t, "Ls %g H", leakage[k].henries);
        table_level(&t, "mean", hand_figure(r, "+", MEASURE_SETTLED_VOLTAGE), leakage[k].volts);
        handmade_free(&h);
    }
    table_end(&t);
}

/* With equal slopes it is: D1 and D3 carry half of Idc and half of the lead's current from the
 * beginning of the overlap on, D2 and D4 until its end. */
static void test_leakage_bridge_with_slope(void **state)
{
    (void)state;
    static const double slope[] = {1e-4, 1e-3}; /* 1e-2 ohm delays by 2 us more: 0.2 % */
    struct table t = table_new("commutating inductance, bridge with slopes");
    for (int k = 0; k < LENGTH(leakage); k++)
        for (int j = 0; j < LENGTH(slope); j++) {
            struct handmade h = commutating_bridge(k, slope[j]);
            const struct result *r = run_with_choke(&h, k);
            table_row(&t, "Ls %g H, %g ohm", leakage[k].henries, slope[j]);
            check_overlap(&t, r, k);
            handmade_free(&h);
        }
    table_end(&t);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_continuous),
        cmocka_unit_test(test_below_critical),
        cmocka_unit_test(test_endless_capacitor),
        cmocka_unit_test(test_critical_inductance),
        cmocka_unit_test(test_coil_with_current),
        cmocka_unit_test(test_turn_on),
        cmocka_unit_test(test_leakage_centre_tap),
        cmocka_unit_test(test_leakage_bridge),
        cmocka_unit_test(test_leakage_bridge_with_slope),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
