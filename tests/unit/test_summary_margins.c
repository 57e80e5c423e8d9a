/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Margins, and the sentence of each rectifier.
 * Sentences are compared with the line breaks taken out, tables line by line. */
#include "summary_bench.h"

/* --- margins --- */

static void twelve_lines_and_the_rest_by_its_worst(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.figures = "out/figures.csv";
    for (int i = 0; i < 20; i++) {
        const char *name = arena_printf(b.arena, "part %c", 'a' + i);
        bench_rate(&b, name, MEASURE_DISSIPATION, 100, UNIT_WATT);
        bench_put(&b, name, MEASURE_DISSIPATION, 85 - i, UNIT_WATT);
    }
    bench_write(&b);
    has(&b, "and 8 more, at most 73 %: out/figures.csv");
    *strstr(b.raw, "Where the heat goes") = 0;
    assert_int_equal(bench_count(b.raw, "\n  part "), 12 + 1); /* the heading has a `part` too */
    has_line(&b, "  part l            heat                        74 W      100 W   74 %");
    assert_null(strstr(b.raw, "part m"));
    bench_free(&b);

    b = bench_new();
    for (int i = 0; i < 20; i++) {
        const char *name = arena_printf(b.arena, "part %c", 'a' + i);
        bench_rate(&b, name, MEASURE_DISSIPATION, 100, UNIT_WATT);
        bench_put(&b, name, MEASURE_DISSIPATION, 115 - i, UNIT_WATT);
    }
    bench_write(&b);
    has(&b, "and 8 more, 3 of them over");
    has(&b, "* 7 more ratings are exceeded: see Margins.");
    assert_int_equal(bench_count(b.plain, " dissipates "), 8);
    bench_free(&b);
}

static void little_used_stands_in_the_file(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.figures = "a folder with a long name/another folder with a long name/out/figures.csv";
    for (int i = 0; i < 8; i++) {
        const char *name = arena_printf(b.arena, "part %c", 'a' + i);
        bench_rate(&b, name, MEASURE_DISSIPATION, 100, UNIT_WATT);
        bench_put(&b, name, MEASURE_DISSIPATION, i < 6 ? 80 - i : i < 7 ? 10.5 : 9.4, UNIT_WATT);
    }
    bench_write(&b);
    *strstr(b.raw, "Where the heat goes") = 0;
    assert_int_equal(bench_count(b.raw, "\n  part "), 7 + 1);
    has_line(&b, "  and 1 more, at most 9 %:");
    has_line(&b, "    a folder with a long name/another folder with a long name/out/figures.csv");
    bench_free(&b);
}

static void of_two_plates_the_worse_one(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "V6.1", MEASURE_INVERSE_VOLTAGE, 1400, UNIT_VOLT);
    bench_rate(&b, "V6.2", MEASURE_INVERSE_VOLTAGE, 1400, UNIT_VOLT);
    bench_rate(&b, "T1.high voltage 1", MEASURE_RMS_CURRENT, 0.1, UNIT_AMPERE);
    bench_rate(&b, "T1.high voltage 2", MEASURE_RMS_CURRENT, 0.1, UNIT_AMPERE);
    bench_rate(&b, "C1", MEASURE_RMS_CURRENT, 0.1, UNIT_AMPERE);
    bench_rate(&b, "C2", MEASURE_RMS_CURRENT, 0.1, UNIT_AMPERE);
    bench_put(&b, "V6.1", MEASURE_INVERSE_VOLTAGE, 911, UNIT_VOLT);
    bench_put(&b, "V6.2", MEASURE_INVERSE_VOLTAGE, 920, UNIT_VOLT);
    bench_put(&b, "T1.high voltage 1", MEASURE_RMS_CURRENT, 0.072, UNIT_AMPERE);
    bench_put(&b, "T1.high voltage 2", MEASURE_RMS_CURRENT, 0.069, UNIT_AMPERE);
    bench_put(&b, "C1", MEASURE_RMS_CURRENT, 0.08, UNIT_AMPERE);
    bench_put(&b, "C2", MEASURE_RMS_CURRENT, 0.03, UNIT_AMPERE);
    bench_write(&b);
    has(&b, " V6.2 inverse voltage 920 V");
    has_not(&b, " V6.1 inverse");
    has(&b, " T1.high voltage 1 RMS current");
    has_not(&b, " T1.high voltage 2 RMS current");
    has(&b, " C1 RMS current");
    has(&b, " C2 RMS current");
    bench_free(&b);
}

static void restart_is_told_apart(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.restarts = true;
    bench_rate(&b, "V6.1", MEASURE_INRUSH_PEAK_CURRENT, 2.5, UNIT_AMPERE);
    bench_rate(&b, "V6.1", MEASURE_INVERSE_VOLTAGE, 1400, UNIT_VOLT);
    bench_rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_at(&b, &b.run, "V6.1", MEASURE_INRUSH_PEAK_CURRENT, 0.3, UNIT_AMPERE, 2.1);
    bench_at(&b, &b.run, "V6.1", MEASURE_INVERSE_VOLTAGE, 988, UNIT_VOLT, 9);
    bench_at(&b, &b.run, "C1", MEASURE_HIGHEST_VOLTAGE, 400, UNIT_VOLT, 9);
    bench_at(&b, &b.restart, "V6.1", MEASURE_INRUSH_PEAK_CURRENT, 2.6, UNIT_AMPERE, 0.001);
    bench_at(&b, &b.restart, "V6.1", MEASURE_INVERSE_VOLTAGE, 870, UNIT_VOLT, 0.09);
    bench_at(&b, &b.restart, "C1", MEASURE_HIGHEST_VOLTAGE, 420, UNIT_VOLT, 0.06);
    bench_write(&b);
    has(&b, "* V6.1 at a hot restart: first peak 2.6 A at 1 ms, 104 % of its 2.5 A");
    has_line(&b, "! V6.1              first peak                 2.6 A      2.5 A  104 %  restart");
    has_line(&b, "  V6.1              first peak                300 mA      2.5 A   12 %  2.1 s");
    has_line(&b, "  C1                highest voltage            420 V      450 V   93 %  restart");
    has_line(&b, "  C1                highest voltage            400 V      450 V   89 %  9 s");
    has_line(&b, "  V6.1              inverse voltage            988 V     1400 V   71 %  9 s");
    has_not(&b, "870 V"); /* the run itself is worse */
    has(&b, "restart: a hot restart, when the mains come back");
    bench_free(&b);
}

static void temperature_says_how_it_counts(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "T1", MEASURE_TEMPERATURE, 273.15 + 105, UNIT_CELSIUS);
    bench_at(&b, &b.run, "T1", MEASURE_TEMPERATURE, 273.15 + 65, UNIT_CELSIUS, 60);
    bench_write(&b);
    has_line(&b, "  T1                temperature                 65 C      105 C   50 %  60 s");
    has(&b, "Per cent of a temperature means per cent of the allowed rise over the room.");
    bench_free(&b);
}

static void rough_value_that_is_too_wide_keeps_its_mark(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_guess(&b, "L1", "inductance", 10, UNIT_HENRY);
    bench_rate(&b, "V6.1", MEASURE_PEAK_I2T, 3.7, UNIT_I2T);
    bench_put(&b, "V6.1", MEASURE_PEAK_I2T, 0.00362, UNIT_I2T);
    bench_write(&b);
    has_line(&b, "  V6.1              first peak's I2t     ~0.0036 A2s    3.7 A2s   <1 %");
    bench_free(&b);
}

/* --- peaks --- */

static void one_sentence_a_rectifier(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.restarts = true;
    bench_rate(&b, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 0.4, UNIT_AMPERE);
    bench_rate(&b, "V6.2", MEASURE_RUNNING_PEAK_CURRENT, 0.4, UNIT_AMPERE);
    bench_rate(&b, "V6.1", MEASURE_INRUSH_PEAK_CURRENT, 2.5, UNIT_AMPERE);
    bench_put(&b, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 0.2049, UNIT_AMPERE);
    bench_put(&b, "D7", MEASURE_RUNNING_PEAK_CURRENT, 0.05, UNIT_AMPERE);
    bench_put(&b, "V6.2", MEASURE_RUNNING_PEAK_CURRENT, 0.2031, UNIT_AMPERE);
    bench_at(&b, &b.restart, "V6.1", MEASURE_INRUSH_PEAK_CURRENT, 1.013, UNIT_AMPERE, 0.001);
    bench_at(&b, &b.restart, "V6.1", MEASURE_PEAK_DURATION, 0.00512, UNIT_SECOND, 0);
    bench_at(&b, &b.restart, "V6.1", MEASURE_PEAK_I2T, 0.00263, UNIT_I2T, 0);
    bench_at(&b, &b.restart, "V6.2", MEASURE_INRUSH_PEAK_CURRENT, 0.8, UNIT_AMPERE, 0.009);
    bench_at(&b, &b.restart, "V6.2", MEASURE_PEAK_DURATION, 0.0061, UNIT_SECOND, 0.008);
    bench_write(&b);
    has(&b,
        "V6: the peak of every cycle is 205 mA of 400 mA; at a hot restart (closed at 90 deg) it "
        "could be 1.01 A of 2.5 A for 5.12 ms, 0.00263 A2s of I2t.");
    has(&b, "D7: the peak of every cycle is 50 mA (no rating known).");
    assert_int_equal(bench_count(b.plain, "the peak of every cycle"), 2);
    bench_free(&b);
}

static void mains_that_come_back_are_told(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.restarts = true;
    bench_stage(&b, 30, "mains state: off");
    bench_stage(&b, 32, "mains state: on");
    bench_stage(&b, 35, "R1 resistance: 10 ohm");
    b.setup.stages.at[1].mains_on = false;
    bench_put(&b, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 0.2, UNIT_AMPERE);
    bench_at(&b, &b.run, "V6.1", MEASURE_INRUSH_PEAK_CURRENT, 0.3, UNIT_AMPERE, 2);
    bench_at(&b, &b.run, "V6.1", MEASURE_INRUSH_PEAK_CURRENT, 0.8, UNIT_AMPERE, 32.001);
    bench_at(&b, &b.run, "V6.2", MEASURE_INRUSH_PEAK_CURRENT, 0.9, UNIT_AMPERE, 32.009);
    bench_at(&b, &b.restart, "V6.1", MEASURE_INRUSH_PEAK_CURRENT, 1.5, UNIT_AMPERE, 0.001);
    bench_write(&b);
    has(&b,
        "at a hot restart (closed at 90 deg) it could be 1.5 A (no rating known); when the mains "
        "come back at 32 s it is 900 mA.");
    assert_int_equal(bench_count(b.plain, "come back at"), 1);
    bench_free(&b);
}

static void arms_of_a_bridge_share_a_line_and_a_sentence(void **state)
{
    struct bench b = bench_new();
    (void)state;
    for (int i = 1; i <= 4; i++) {
        const char *name = arena_printf(b.arena, "D%d", i);
        bench_part(&b, "rectifier", name, "law: selenium\n");
        bench_rate(&b, name, MEASURE_INVERSE_VOLTAGE, 500, UNIT_VOLT);
        bench_put(&b, name, MEASURE_INVERSE_VOLTAGE, 359 + 0.1 * i, UNIT_VOLT);
        bench_put(&b, name, MEASURE_RUNNING_PEAK_CURRENT, i == 3 ? 0.28 : 0.29, UNIT_AMPERE);
    }
    bench_write(&b);
    has_line(&b, "  D4                inverse voltage            359 V      500 V   72 %");
    assert_int_equal(bench_count(b.plain, "inverse voltage 359"), 1);
    has(&b, "D1, D2, D4: the peak of every cycle is 290 mA (no rating known).");
    has(&b, "D3: the peak of every cycle is 280 mA (no rating known).");
    bench_free(&b);
}

static void without_a_restart_the_run_tells_its_own(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "D1", MEASURE_INRUSH_PEAK_CURRENT, 30, UNIT_AMPERE);
    bench_put(&b, "D1", MEASURE_RUNNING_PEAK_CURRENT, 0.33, UNIT_AMPERE);
    bench_at(&b, &b.run, "D1", MEASURE_INRUSH_PEAK_CURRENT, ENDLESS, UNIT_AMPERE, 0);
    bench_at(&b, &b.run, "D1", MEASURE_PEAK_DURATION, 0.004, UNIT_SECOND, 0);
    bench_at(&b, &b.run, "D1", MEASURE_PEAK_I2T, ENDLESS, UNIT_I2T, 0);
    bench_write(&b);
    has(&b, "at switch-on (closed at 90 deg) nothing in the circuit limits it.");
    bench_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(twelve_lines_and_the_rest_by_its_worst),
        cmocka_unit_test(little_used_stands_in_the_file),
        cmocka_unit_test(of_two_plates_the_worse_one),
        cmocka_unit_test(restart_is_told_apart),
        cmocka_unit_test(temperature_says_how_it_counts),
        cmocka_unit_test(rough_value_that_is_too_wide_keeps_its_mark),
        cmocka_unit_test(one_sentence_a_rectifier),
        cmocka_unit_test(mains_that_come_back_are_told),
        cmocka_unit_test(arms_of_a_bridge_share_a_line_and_a_sentence),
        cmocka_unit_test(without_a_restart_the_run_tells_its_own),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
