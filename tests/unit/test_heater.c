/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Warming in time: the heat balances of a tube at rated volts, stepped by a plain method of its
 * own, must give the published warm-up times and the customary ones; and what heaters write into
 * the circuit. */
#include "emission.h"
#include "heater.h"
#include "kinds_fixture.h"

struct warming {
    double begins, most, settles,
        glows; /* seconds to 10 %, 95 %, 98 % of the current; wire at 950 K */
};

static double emitter(const struct heater_law *law, const double *s)
{
    return s[law->sections - 1 + law->has_cathode];
}

/* Euler steps, a 400th of the quickest thing there is. */
static struct warming warm(const struct heater_body *body, double share_of_volts)
{
    struct heater_law law = heater_law_of(body, 298.15);
    double s[DEVICE_STATES], v[DEVICE_PORTS] = {0}, ds[DEVICE_STATES];
    double c[DEVICE_PORTS * PORT_COEFFICIENTS], step = 2e-5 * body->warm_up;
    struct warming w = {0};
    for (int k = 0; k < DEVICE_STATES; k++) s[k] = 298.15;
    for (int k = 0; k < law.sections; k++) v[k] = share_of_volts * body->volts[k];
    for (double t = step; w.settles <= 0 && t < 20 * body->warm_up; t += step) {
        law_heater.prepare(&law, s, NULL, c);
        law_heater.rates(&law, v, s, c, ds);
        for (int k = 0; k < law.sections + law.has_cathode; k++) s[k] += step * ds[k];
        double share = emission_share(emitter(&law, s), NULL);
        if (w.glows <= 0 && s[0] > 950) w.glows = t;
        if (w.begins <= 0 && share > 0.10) w.begins = t;
        if (w.most <= 0 && share > 0.95) w.most = t;
        if (w.settles <= 0 && share > 0.98) w.settles = t;
    }
    return w;
}

static struct heater_body body_of(bool indirect, double volts, double amperes, double seconds)
{
    struct heater_body body = {.indirect = indirect,
                               .warm_up = seconds,
                               .parallel = 1,
                               .sections = 1,
                               .volts = {volts},
                               .amperes = {amperes}};
    if (seconds <= 0) body.warm_up = heater_warm_up(indirect, volts, amperes);
    return body;
}

/* EZ40 35 s, EZ41 22 s: Philips, by a hobby summary. */
static void published_times_are_kept(void **state)
{
    struct heater_body ez40 = body_of(true, 6.3, 0.6, 35), ez41 = body_of(true, 6.3, 0.4, 22);
    (void)state;
    near_rel(warm(&ez40, 1).most, 35, 0.005, "s");
    near_rel(warm(&ez41, 1).most, 22, 0.005, "s");
}

/* 8-11 s to the first current and 18-25 s to the last for 6.3 V heaters in parallel, 20-35 s in
 * series: common practice, no source. */
static void indirect_heaters_take_their_time(void **state)
{
    struct heater_body parallel = body_of(true, 6.3, 0.3, 0), series = body_of(true, 12.6, 0.15, 0);
    struct warming p = warm(&parallel, 1), s = warm(&series, 1);
    (void)state;
    assert_true(p.begins >= 8 && p.begins <= 11);
    assert_true(p.settles >= 18 && p.settles <= 25);
    assert_true(p.glows >= 0.5 && p.glows <= 2);
    assert_true(s.settles >= 20 && s.settles <= 35);
}

/* 5U4-G class: 2 s to the first current, 7 s to full (maker's data sheet EML5U4G, Emission Labs).
 */
static void direct_heaters_are_quick(void **state)
{
    struct heater_body big = body_of(false, 5, 3, 0), small = body_of(false, 5, 2, 0);
    struct warming w = warm(&big, 1);
    (void)state;
    near_abs(w.begins, 2, 0.3, "s");
    near_abs(w.settles, 7, 0.5, "s");
    assert_true(warm(&small, 1).settles < 4.5);
}

static void low_volts_make_it_later(void **state)
{
    struct heater_body body = body_of(true, 6.3, 0.3, 0);
    (void)state;
    assert_true(warm(&body, 0.95).begins > 1.05 * warm(&body, 1).begins);
}

static void two_sections_heat_one_cathode(void **state)
{
    struct heater_body body = {.indirect = true,
                               .warm_up = 28,
                               .parallel = 1,
                               .sections = 2,
                               .volts = {27.5, 7.5},
                               .amperes = {0.15, 0.15}};
    (void)state;
    near_rel(warm(&body, 1).most, 28, 0.005, "s");
}

/* --- in the circuit ------------------------------------------------------------------------- */

static void string_of_heaters(void **state)
{
    struct set *set =
        good("V1: {is: rectifier, type: 35Z4-GT, plates: [line], cathode: B+}\n"
             "H1: {is: heater, across: [line, a], tube: 35Z4-GT, of: V1}\n"
             "H2: {is: heater, across: [a, neutral], rated: 12.6 V 0.15 A, of: tubes}\n"
             "tubes: {is: load, across: [B+, neutral], draws: 50 mA at 100 V}\n");
    (void)state;
    near_rel(value_of(set, "H1", "heater base"), 35 / 0.15, 1e-14, "ohm");
    near_rel(value_of(set, "H2", "heater base"), 12.6 / 0.15, 1e-14, "ohm");
    assert_int_equal(elements_of(set, "H1"), 2);
    assert_int_equal(elements_of(set, "V1"), 1);
    near_rel(limit_of(set, "H1", MEASURE_RMS_VOLTAGE), 1.1 * 35, 1e-14, "V");
    near_rel(rating(set, "H1", MEASURE_RMS_VOLTAGE, true)->limit, 0.9 * 35, 1e-14, "V");
    assert_int_equal(probe_of(set, "H1", PROBE_CURRENT)->count, 2);
    /* V1 looks at the cathode of H1, the load at that of H2 */
    for (int i = 0; i < set->circuit->devices.n; i++) {
        const struct device *d = &set->circuit->devices.at[i];
        if (d->law == &law_heater) continue;
        assert_int_equal(d->foreign, 1);
        const struct state *st = &set->circuit->states.at[d->foreign_state[0]];
        assert_string_equal(st->part, d->law == &law_diode ? "H1" : "H2");
        assert_string_equal(st->role, "heater cathode");
        near_abs(st->cold, 298.15, 0, "K");
        near_abs(st->hot, EMISSION_RATED_KELVIN, 0, "K");
    }
}

static void tapped_heater(void **state)
{
    struct set *set = good("V1: {is: rectifier, type: 35Z5-GT, plates: [tap], cathode: B+}\n"
                           "H1: {is: heater, across: [line, tap], rated: 7.5 V 0.15 A, of: V1}\n"
                           "H2: {is: heater, across: [tap, a], rated: 27.5 V 0.15 A, of: V1}\n"
                           "lamp: {is: lamp, across: [line, tap], type: pilot 47}\n");
    int heaters = 0;
    (void)state;
    for (int i = 0; i < set->circuit->devices.n; i++) {
        const struct device *d = &set->circuit->devices.at[i];
        if (d->law != &law_heater) continue;
        heaters++;
        assert_int_equal(d->ports, 2);
        assert_int_equal(d->states, 3);
    }
    assert_int_equal(heaters, 1);
    near_rel(value_of(set, "H2", "heater base 2"), 27.5 / 0.15, 1e-14, "ohm");
    assert_null(rating(set, "H1", MEASURE_RMS_VOLTAGE, true));
    assert_non_null(rating(set, "H1", MEASURE_RMS_VOLTAGE, false));
}

/* One heater in one bulb for a rectifier and an output tube. */
static void one_heater_for_two(void **state)
{
    struct set *set =
        good("V1: {is: rectifier, type: 35Z4-GT, plates: [line], cathode: B+}\n"
             "H1: {is: heater, across: [line, neutral], rated: 70 V 0.15 A, of: [V1, tubes]}\n"
             "tubes: {is: load, across: [B+, neutral], draws: 50 mA at 100 V}\n");
    int heaters = 0, foreign[2] = {-1, -2}, n = 0;
    (void)state;
    for (int i = 0; i < set->circuit->devices.n; i++) {
        const struct device *d = &set->circuit->devices.at[i];
        if (d->law == &law_heater) heaters++;
        else foreign[n++] = d->foreign_state[0];
    }
    assert_int_equal(heaters, 1);
    assert_int_equal(foreign[0], foreign[1]);
}

static void lone_heater(void **state)
{
    struct set *set = good("H1: {is: heater, across: [a, b], rated: 6.3 V 0.3 A}\n");
    (void)state;
    near_rel(value_of(set, "H1", "heater base"), 21, 1e-14, "ohm");
    assert_non_null(assumed(set, "H1", "warm-up"));
    assert_int_equal(set->circuit->states.n, 2);
}

static void mistakes_are_told(void **state)
{
    (void)state;
    bad("H1: {is: heater, across: [a, b], rated: 6.3 V}\n", "`rated` is not understood");
    bad("H1: {is: heater, across: [a, b]}\n", "volts and amperes are missing");
    bad("H1: {is: heater, across: [a, b], tube: 1N4007}\n", "no tube `1N4007` with a heater");
    bad("H1: {is: heater, across: [a, b], tube: 6K77-G}\n", "no tube `6K77-G`");
    bad("H1: {is: heater, across: [a, b], rated: 6.3 V 0.3 A, of: V9}\n", "no part `V9`");
    bad("R1: {is: resistor, across: [a, b], resistance: 1 ohm}\n"
        "H1: {is: heater, across: [a, b], rated: 6.3 V 0.3 A, of: R1}\n",
        "no part `R1` that a heater could heat");
}

#define H1 "H1: {is: heater, across: [a, b], rated: 6.3 V 0.3 A, "

static void faults_are_understood(void **state)
{
    (void)state;
    struct set *set = good(H1 "condition: heater-cathode short, cathode: c}\n");
    const struct element *e = element(set, "H1", "heater-cathode short");
    near_abs(e->value, 10, 0, "ohm");
    assert_string_equal(set->circuit->points.at[e->from], "a");
    assert_string_equal(set->circuit->points.at[e->to], "c");
    assert_string_equal(e->subject, "H1.short");
    assert_non_null(assumed(set, "H1", "short resistance"));
    set = good(H1 "condition: heater-cathode short, cathode: c, short to: b, short resistance: 1 "
                  "kohm}\n");
    e = element(set, "H1", "heater-cathode short");
    near_abs(e->value, 1000, 0, "ohm");
    assert_string_equal(set->circuit->points.at[e->from], "b");
    set = good(H1 "condition: burnt out}\n");
    assert_null(rating(set, "H1", MEASURE_RMS_VOLTAGE, false));
    bad("H1: {is: heater, rated: 6.3 V 0.3 A, condition: heater-cathode short, cathode: c}\n",
        "`across` of H1 is missing");
    bad(H1 "cathode: c}\n", "no condition is given");
    bad(H1 "condition: heater-cathode short}\n", "what does its heater touch?");
    bad(H1 "condition: heater-cathode short, cathode: c, short to: d}\n", "no pin of its heater");
    bad(H1 "condition: heater-cathode short, cathode: a}\n", "nothing is shorted");
    bad(H1 "heating: direct, condition: heater-cathode short, cathode: c}\n",
        "filament is its cathode");
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(published_times_are_kept),
        TEST(indirect_heaters_take_their_time),
        TEST(direct_heaters_are_quick),
        TEST(low_volts_make_it_later),
        TEST(two_sections_heat_one_cathode),
        TEST(string_of_heaters),
        TEST(tapped_heater),
        TEST(one_heater_for_two),
        TEST(lone_heater),
        TEST(mistakes_are_told),
        TEST(faults_are_understood),
    };
    return cmocka_run_group_tests(tests, read_catalogue, drop_catalogue);
}
