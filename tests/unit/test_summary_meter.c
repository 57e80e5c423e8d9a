/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of what the meter should read.
 * Sentences are compared with the line breaks taken out, tables line by line. */
#include "summary_bench.h"

static void meter_beside_chart_and_readings(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_point(&b, "first filter", 359.2, 12);
    bench_point(&b, "B+", 251.4, 0.2);
    bench_point(&b, "chassis", 0, 0);
    bench_put(&b, "mains", MEASURE_LINE_CURRENT, 0.4951, UNIT_AMPERE);
    bench_put(&b, "mains", MEASURE_LINE_POWER, 48.36, UNIT_WATT);
    bench_reading(&b, "B+", 255, UNIT_VOLT, false);
    bench_reading(&b, "B+", 195, UNIT_VOLT, true);
    bench_reading(&b, "mains", 0.5, UNIT_AMPERE, true);
    bench_write(&b);
    has_line(&b, "  point                     at 60 s     chart  diff.  measured  diff.");
    has_line(&b, "  B+                          251 V     255 V   -1 %     195 V  +29 %");
    has_line(&b, "  line current            495 mA AC                     500 mA   -1 %");
    has_line(&b, "  first filter                359 V");
    has_line(&b, "  line power                 48.4 W");
    has(&b, "Trust the meter.");
    has(&b, "Look at this first * YOUR READINGS DISAGREE with the set as typed in: B+ reads 195 V "
            "where 251 V "
            "is calculated (+29 %).");
    has_not(&b, " chassis 0");
    assert_true(strstr(b.raw, "  B+  ") < strstr(b.raw, "  first filter  "));
    has(&b, "Floating: nothing here joins line, neutral to chassis, so the voltage between them is "
            "undefined. That does not make them safe to touch.");
    bench_free(&b);
}

static void ac_points_parts_and_unknown_subjects(void **state)
{
    struct bench b = bench_new();
    int plate = circuit_point(b.c, "plate 1");
    (void)state;
    circuit_resistor(b.c, "T1", "R", plate, circuit_point(b.c, "chassis"), 100);
    bench_point(&b, "plate 1", -0.2, 344.1);
    bench_point(&b, "line", 5, 60);
    bench_put(&b, "L1", MEASURE_SETTLED_VOLTAGE, 108.2, UNIT_VOLT);
    bench_put(&b, "L1", MEASURE_RMS_VOLTAGE, 108.9, UNIT_VOLT);
    bench_put(&b, "L1", MEASURE_AVERAGE_CURRENT, 0.0601, UNIT_AMPERE);
    bench_put(&b, "L1", MEASURE_RMS_CURRENT, 0.0603, UNIT_AMPERE);
    bench_put(&b, "lamp", MEASURE_AVERAGE_CURRENT, 1e-9, UNIT_AMPERE);
    bench_put(&b, "lamp", MEASURE_RMS_CURRENT, 0.15, UNIT_AMPERE);
    bench_reading(&b, "plate 1", 340, UNIT_VOLT, false);
    bench_reading(&b, "L1", 108, UNIT_VOLT, true);
    bench_reading(&b, "L1", 0.055, UNIT_AMPERE, true);
    bench_reading(&b, "lamp", 0.15, UNIT_AMPERE, true);
    bench_reading(&b, "screen", 90, UNIT_VOLT, false);
    bench_reading(&b, "line", 60, UNIT_VOLT, true);
    bench_reading(&b, "B+", 0, UNIT_VOLT, true);
    bench_write(&b);
    has_line(&b, "  plate 1                  344 V AC     340 V   +1 %");
    has_line(&b, "  L1                          108 V                      108 V    0 %");
    has_line(&b, "  L1                        60.1 mA                      55 mA   +9 %");
    has_line(&b, "  lamp                    150 mA AC                     150 mA    0 %");
    has_line(&b, "  screen                not watched      90 V");
    has_line(&b, "  line                     floating                       60 V");
    has_line(&b, "  B+                    not watched                        0 V");
    bench_free(&b);
}

static void ripple_where_there_is_room(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_point(&b, "first filter", 359.2, 12.34);
    bench_point(&b, "B+", -11.2, 13.1); /* direct volts still, though the ripple is larger */
    bench_reading(&b, "B+", -10.6, UNIT_VOLT, false);
    bench_reading(&b, "first filter", -359, UNIT_VOLT, false);
    bench_guess(&b, "L1", "inductance", 10, UNIT_HENRY);
    bench_write(&b);
    has_line(&b, "  point                     at 60 s     chart  diff.     ripple");
    has_line(&b, "  B+                        -11.2 V   -10.6 V   +6 %      ~13 V");
    has_line(&b, "  first filter                359 V    -359 V turned      ~12 V");
    has(&b, "ripple: what the meter reads on AC");
    bench_free(&b);

    b = bench_new();
    bench_point(&b, "B+", 5, 13.1);
    bench_write(&b);
    has_not(&b, "B+"); /* mostly alternating, and nobody asked */
    bench_free(&b);
}

static void unsettled_run_is_told(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.run.end = 40;
    b.run.settled = false;
    bench_point(&b, "B+", 251, 0.2);
    b.run.figures.at[1].value = 0;
    bench_point(&b, "first filter", 359, 12);
    bench_write(&b);
    has_line(&b, "  B+                        251 V *      0.2 V");
    has_line(&b, "  first filter                359 V       12 V");
    has(&b, "Not settled after 40 s: B+ still moved (*).");
    has(&b, "(--for 80s)");
    bench_free(&b);

    b = bench_new();
    b.run.settled = false; /* though every point has: a current */
    bench_point(&b, "B+", 251, 0.2);
    bench_write(&b);
    has(&b, "After 60 s the voltages had settled but some currents had not.");
    has(&b, "(--for 120s)");
    has_not(&b, "(*)");
    bench_free(&b);
}

static void cold_tubes_are_told(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.run.end = 5;
    b.set->parts.at[1]->heater_count = 1;
    bench_point(&b, "B+", 493, 0);
    bench_write(&b);
    has(&b, "After 5 s the set is still warming up");
    bench_free(&b);

    b = bench_new();
    b.run.end = 5;
    b.setup.hot = true;
    b.set->parts.at[1]->heater_count = 1;
    bench_point(&b, "B+", 250, 0);
    bench_write(&b);
    has(&b, "5 s from hot");
    has_not(&b, "still warming");
    bench_free(&b);
}

static void instants_of_warming_have_two_digits(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.set->parts.at[1]->heater_count = 1;
    bench_rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_at(&b, &b.run, "C1", MEASURE_HIGHEST_VOLTAGE, 430, UNIT_VOLT, 8.342);
    bench_write(&b);
    has_line(&b, "  C1                highest voltage            430 V      450 V   96 %  8.3 s");
    bench_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(meter_beside_chart_and_readings),
        cmocka_unit_test(ac_points_parts_and_unknown_subjects),
        cmocka_unit_test(ripple_where_there_is_room),
        cmocka_unit_test(unsettled_run_is_told),
        cmocka_unit_test(cold_tubes_are_told),
        cmocka_unit_test(instants_of_warming_have_two_digits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
