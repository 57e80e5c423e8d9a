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
    double wlr, wcr, rc;    /* rc: resistance of the choke over R */
    double coil, capacitor; /* at the start [A], [V] */
    double degrees;         /* of the source at the start */
};

static struct handmade choke_input(const struct filter *f)
{
    const struct supply s = {.kind = SUPPLY_CENTRE_TAP,
                             .frequency = hertz,
                             .peak = volts,
                             .degrees = f->degrees,
                             .ohms = ohms,
                             .load = "B+"};
    struct handmade h = supply_new(&s);
    const double henries = f->wlr * ohms / (2 * PI * hertz);
    hand_l(&h, "L", "+", f->rc > 0 ? "x" : "B+", henries, f->coil);
    if (f->rc > 0) hand_r(&h, "Rc", "x", "B+", f->rc * ohms);
    hand_c(&h, "C", "B+", "0", supply_farads(f->wcr, hertz, ohms), f->capacitor);
    hand_watch(&h, "B+");
    hand_watch_current(&h, "L");
    return h;
}

/* Goes on, from the end of a run of `cycles` from crest to crest, with a run of its own: no turn-on
 * in it. */
static struct handmade settled_choke_input(struct filter f, int cycles)
{
    const double seconds = cycles / hertz;
    double coil[2], capacitor[2];
    f.degrees = 90;
    struct handmade h = choke_input(&f);
    hand_sample_current(&h, "L", seconds, coil, 2);
    hand_sample(&h, "B+", seconds, capacitor, 2);
    hand_run(&h, seconds);
    handmade_free(&h);
    f.coil = coil[1];
    f.capacitor = capacitor[1];
    return choke_input(&f);
}

/* The coil's current backwards: its highest is the lowest. */
static void watch_backwards(struct handmade *h)
{
    for (int k = 0; k < h->c->elements.n; k++)
        if (h->c->elements.at[k].kind == ELEMENT_INDUCTOR)
            circuit_probe(h->c, (struct probe){.kind = PROBE_CURRENT,
                                               .flags = PROBE_OTHER,
                                               .subject = "L backwards",
                                               .elements = {k},
                                               .signs = {-1},
                                               .count = 1});
}

static const struct {
    struct filter f;
    double mean, lowest, highest, ripple_pp, ripple_rms_over_mean, textbook;
} continuous[] = {
    {{0.5, 20, 0, 0, 0, 0},
     0.6366197724,
     0.204794960,
     1.06834753,
     0.0219971320,
     0.0120984478,
     0.0117851130},
    {{1, 10, 0, 0, 0, 0},
     0.6366197724,
     0.420693588,
     0.852449098,
     0.0219739356,
     0.0120865646,
     0.0117851130},
    {{2, 20, 0.05, 0, 0, 0},
     0.6063045451,
     0.500205343,
     0.712021661,
     0.00539600332,
     0.00311582114,
     0.00294627825},
    {{5, 20, 0, 0, 0, 0},
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
        struct handmade h = settled_choke_input(*f, 360);
        watch_backwards(&h);
        const struct result *r = hand_run_settled(&h, 0.5);
        double unit = volts / ohms, mean = hand_figure(r, "B+", "settled-voltage");
        double ripple = hand_figure(r, "B+", "ripple-rms") / mean;
        table_row(&t, "wL/R %g wCR %g Rc/R %g", f->wlr, f->wcr, f->rc);
        table_level(&t, "mean", mean / volts, continuous[k].mean);
        table_level(&t, "lowest current", -hand_figure(r, "L backwards", "highest-current") / unit,
                    continuous[k].lowest);
        table_level(&t, "highest current", hand_figure(r, "L", "highest-current") / unit,
                    continuous[k].highest);
        table_peak(&t, "ripple", hand_figure(r, "B+", "ripple-pp") / volts,
                   continuous[k].ripple_pp);
        table_peak(&t, "ripple rms", ripple, continuous[k].ripple_rms_over_mean);
        near_rel(continuous[k].textbook, sqrt(2) / (12 * f->wlr * f->wcr), 1e-8, "1");
        near_rel(ripple, continuous[k].textbook * (1 + f->rc) * 1.015, 0.013, "1");
        near_abs(hand_figure(r, "B+", "ripple-frequency"), 2 * hertz, 1e-9, "Hz");
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
    const struct figure *top = result_find(r, "B+", "highest-voltage");
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
        struct handmade h = choke_input(&f);
        const struct result *r = hand_run_settled(&h, 4);
        table_row(&t, "wL/R %g", f.wlr);
        table_level(&t, "mean", hand_figure(r, "B+", "settled-voltage") / volts, light[k].mean);
        table_peak(&t, "ripple", hand_figure(r, "B+", "ripple-pp") / volts, light[k].ripple_pp);
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
        struct filter f = {.wlr = light[k].wlr, .wcr = wcr[k], .degrees = 90};
        f.capacitor = 0.998 * volts * light[k].mean_endless;
        f.coil = volts / ohms;
        struct handmade h = choke_input(&f);
        const struct result *r = hand_run(&h, 24);
        table_row(&t, "wL/R %g", f.wlr);
        table_level(&t, "mean", hand_settled(r, "B+", "settled-voltage") / volts,
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
        f.capacitor = 2 / PI * volts;
        f.coil = 2 / PI * unit;
        struct handmade h = settled_choke_input(f, 720);
        watch_backwards(&h);
        const struct result *r = hand_run(&h, 0.5);
        double over = hand_settled(r, "B+", "settled-voltage") / volts * PI / 2 - 1;
        double lowest = -hand_figure(r, "L backwards", "highest-current") / unit;
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
    struct filter f = {.wlr = 2, .wcr = 100, .coil = 2 / PI * volts / ohms};
    f.capacitor = 2 / PI * volts;
    struct handmade h = choke_input(&f);
    const struct result *r = hand_run(&h, 0.25);
    near_abs(r->statistics.energy_booked, 0, 1e-9, "J");
    near_rel(hand_settled(r, "B+", "settled-voltage"), 2 / PI * volts, 2e-4, "V");
    handmade_free(&h);
}

static const struct {
    struct filter f;
    double highest, at, current, mean; /* at [rad] */
} turn_on[] = {
    {{1.5, 20, 0.1, 0, 0, 0}, 0.789715800, 16.335609, 2.02249725, 0.578745248},
    {{1, 100, 0.05, 0, 0, 0}, 0.839213570, 31.607565, 4.78947873, 0.606304545},
    {{0.5, 20, 0.02, 0, 0, 0}, 1.039033020, 9.6300474, 4.21801011, 0.624136},
};

static void test_turn_on(void **state)
{
    (void)state;
    struct table t = table_new("choke input, turn-on");
    for (int k = 0; k < LENGTH(turn_on); k++) {
        const struct filter *f = &turn_on[k].f;
        struct handmade h = choke_input(f);
        const struct result *r = hand_run_settled(&h, 4);
        table_row(&t, "wL/R %g wCR %g Rc/R %g", f->wlr, f->wcr, f->rc);
        check_highest(&t, r, turn_on[k].highest, turn_on[k].at);
        table_peak(&t, "highest current", hand_figure(r, "L", "highest-current") * ohms / volts,
                   turn_on[k].current);
        table_level(&t, "mean", hand_figure(r, "B+", "settled-voltage") / volts, turn_on[k].mean);
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

/* While all four rectifiers conduct, ideal ones could share the current in any way: 0.1 milliohm
 * each makes it the even one. */
static struct handmade commutating_bridge(int row)
{
    struct handmade h = handmade_new(60);
    double i = leakage[row].amperes, same = 1e-4;
    hand_sine(&h, "S", "a", "b", 230 * sqrt(2), -90);
    hand_l(&h, "Ls", "a", "p", leakage[row].henries, -i);
    hand_diode(&h, "D1", "p", "+", 0, same);
    hand_diode(&h, "D2", "b", "+", 0, same);
    hand_diode(&h, "D3", "0", "b", 0, same);
    hand_diode(&h, "D4", "0", "p", 0, same);
    return h;
}

static void check_overlap(struct table *t, int row, struct handmade *h)
{
    hand_l(h, "L", "+", "x", 1e5, leakage[row].amperes);
    hand_r(h, "R", "x", "0", 5.6);
    hand_watch(h, "+");
    const struct result *r = hand_run_settled(h, 0.5);
    table_row(t, "Ls %g H", leakage[row].henries);
    table_level(t, "mean", hand_figure(r, "+", "settled-voltage"), leakage[row].volts);
    table_peak(t, "overlap", hand_figure(r, "D2", "peak-duration") - 0.25 / 60,
               leakage[row].overlap);
    table_peak(t, "overlap at the other end", hand_figure(r, "D1", "peak-duration") - 0.5 / 60,
               leakage[row].overlap);
    table_peak(t, "highest current", hand_figure(r, "D1", "highest-current"), leakage[row].amperes);
    handmade_free(h);
}

static void test_leakage_centre_tap(void **state)
{
    (void)state;
    struct table t = table_new("commutating inductance, centre tap");
    for (int k = 0; k < LENGTH(leakage); k++) {
        struct handmade h = commutating_tap(k);
        check_overlap(&t, k, &h);
    }
    table_end(&t);
}

static void test_leakage_bridge(void **state)
{
    (void)state;
    struct table t = table_new("commutating inductance, bridge");
    for (int k = 0; k < LENGTH(leakage); k++) {
        struct handmade h = commutating_bridge(k);
        check_overlap(&t, k, &h);
    }
    table_end(&t);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_continuous),         cmocka_unit_test(test_below_critical),
        cmocka_unit_test(test_endless_capacitor),  cmocka_unit_test(test_critical_inductance),
        cmocka_unit_test(test_coil_with_current),  cmocka_unit_test(test_turn_on),
        cmocka_unit_test(test_leakage_centre_tap), cmocka_unit_test(test_leakage_bridge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
