/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to stop for, and capacitors above their working voltage for a time.
 * Sentences are compared with the line breaks taken out, tables line by line. */
#include "summary_bench.h"

/* --- stop for --- */

static void over_is_told_in_full(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "R1", MEASURE_DISSIPATION, 2, UNIT_WATT);
    bench_put(&b, "R1", MEASURE_DISSIPATION, 9.5, UNIT_WATT);
    bench_put(&b, "R1", MEASURE_ENERGY, 570, UNIT_JOULE);
    bench_write(&b);
    has(&b, "Look at this first * R1: heat 9.5 W, 475 % of its 2 W (your scenario). The lamp's "
            "voltage is too high: it will not last. R1 dissipates "
            "9.5 W, 570 J in the 60 s of the run.");
    has_line(&b, "! R1                heat                       9.5 W        2 W  475 %");
    has_not(&b, "No rating exceeded");
    bench_free(&b);
}

static void watts_of_a_part_are_told_once(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "V6", MEASURE_AVERAGE_CURRENT, 0.125, UNIT_AMPERE);
    bench_rate(&b, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 0.4, UNIT_AMPERE);
    bench_put(&b, "V6", MEASURE_AVERAGE_CURRENT, 0.78, UNIT_AMPERE);
    bench_put(&b, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 1.32, UNIT_AMPERE);
    bench_put(&b, "V6", MEASURE_DISSIPATION, 162, UNIT_WATT);
    bench_write(&b);
    assert_int_equal(bench_count(b.plain, "V6 dissipates 162 W."), 1);
    has(&b, "V6: average current 780 mA, 624 % of its 125 mA");
    has(&b, "V6.1: running peak 1.32 A, 330 % of its 400 mA");
    bench_free(&b);
}

static void unsettled_mean_says_so(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.run.settled = false;
    bench_rate(&b, "C1", MEASURE_SETTLED_VOLTAGE, 450, UNIT_VOLT);
    bench_put(&b, "C1", MEASURE_SETTLED_VOLTAGE, 461, UNIT_VOLT);
    bench_write(&b);
    has(&b, "The run had not settled: run longer to see which of these stay.");
    bench_free(&b);
}

static void nothing_over_and_near_ones(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_rate(&b, "C2", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_at(&b, &b.run, "C1", MEASURE_HIGHEST_VOLTAGE, 430, UNIT_VOLT, 8.342);
    bench_at(&b, &b.run, "C2", MEASURE_HIGHEST_VOLTAGE, 300, UNIT_VOLT, 8.342);
    bench_write(&b);
    has(&b, "Nothing: no voltage or current was watched.");
    has(&b, "Look at this first No known rating is exceeded. Not known, so not judged: V6 (inverse "
            "voltage, average current, first peak, heat); C1 (voltage). 1 "
            "figure is within a tenth of its rating: see Margins.");
    has_line(&b, "  C1                highest voltage            430 V      450 V   96 %  8.34 s");
    assert_int_equal(bench_count(b.plain, "Within rating does not mean safe"), 1);
    bench_free(&b);
}

static void nothing_rated_is_not_called_good(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_point(&b, "B+", 250, 0.2);
    bench_write(&b);
    has(&b, "Look at this first Nothing could be judged.");
    has(&b, "No rating is known, so nothing could be judged.");
    bench_free(&b);
}

static void at_least_limit_reads_as_one(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "V6.1", MEASURE_SUPPLY_IMPEDANCE, 50, UNIT_OHM);
    bench_last_rating(&b)->at_least = true;
    bench_last_rating(&b)->source = "a data sheet";
    bench_last_rating(&b)->system = "design-centre";
    set_fix(b.set, (struct fixed_figure){"V6.1", MEASURE_SUPPLY_IMPEDANCE, 40});
    bench_write(&b);
    has(&b, "V6.1: supply impedance 40 ohm, where it must not fall below 50 ohm (a data sheet; "
            "design-centre).");
    has_line(&b, "! V6.1              supply impedance          40 ohm   >=50 ohm  125 %");
    assert_int_equal(bench_count(b.plain, "in place of a peak-current rating"), 1);
    bench_free(&b);
}

static void unlimited_peak_is_worst(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "D1", MEASURE_INRUSH_PEAK_CURRENT, 30, UNIT_AMPERE);
    bench_at(&b, &b.run, "D1", MEASURE_INRUSH_PEAK_CURRENT, ENDLESS, UNIT_AMPERE, 0.004);
    bench_write(&b);
    has(&b,
        "D1: first peak at 4 ms without any limit in the circuit, where 30 A are allowed (your");
    has_line(&b, "! D1                first peak             unlimited       30 A >999 %  4 ms");
    bench_free(&b);
}

static void design_centre_allows_for_the_line(void **state)
{
    static const struct {
        double line, volts;
        const char *system;
        bool said;
    } rows[] = {{125, 1450, "design-centre", true},
                {125, 1570, "design-centre", false}, /* over by more than a tenth */
                {117, 1450, "design-centre", false}, /* the line is not raised */
                {125, 1450, "design-maximum", false},
                {125, 1450, "", false}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct bench b = bench_new();
        b.set->line_volts = b.set->plug_volts = rows[i].line;
        bench_rate(&b, "V6.1", MEASURE_INVERSE_VOLTAGE, 1400, UNIT_VOLT);
        bench_last_rating(&b)->system = rows[i].system;
        bench_at(&b, &b.run, "V6.1", MEASURE_INVERSE_VOLTAGE, rows[i].volts, UNIT_VOLT, 8);
        bench_write(&b);
        if (rows[i].said) has(&b, "already allows for +-10 % line: with 125 V on a 117 V primary");
        else has_not(&b, "already allows");
        bench_free(&b);
    }
}

static void percent_keeps_to_its_side_of_the_border(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_rate(&b, "C2", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_rate(&b, "C3", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_rate(&b, "C4", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_put(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450.1, UNIT_VOLT);
    bench_put(&b, "C2", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_put(&b, "C3", MEASURE_HIGHEST_VOLTAGE, 449.9, UNIT_VOLT);
    bench_put(&b, "C4", MEASURE_HIGHEST_VOLTAGE, 2, UNIT_VOLT);
    bench_write(&b);
    has_line(&b, "! C1                highest voltage            450 V      450 V >100 %");
    has_line(&b, "  C2                highest voltage            450 V      450 V  100 %");
    has_line(&b, "  C3                highest voltage            450 V      450 V <100 %");
    has_line(&b, "  C4                highest voltage              2 V      450 V   <1 %");
    bench_free(&b);
}

static void what_could_not_be_judged_is_told(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_rate(&b, "C9", MEASURE_RMS_CURRENT, 0.1, UNIT_AMPERE);
    bench_put(&b, "C1", MEASURE_HIGHEST_VOLTAGE, NEVER, UNIT_VOLT);
    bench_write(&b);
    has(&b, "C1: highest voltage could not be judged, the figure is unknown.");
    has(&b, "C9: RMS current could not be judged: the run did not give it.");
    bench_free(&b);
}

static void wet_electrolytic_clamps(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_part(&b, "capacitor", "C2", "across: [B+, chassis]\nvalue: 8 uF\nmake: wet\n");
    bench_part(&b, "capacitor", "C3", "across: [B+, chassis]\nvalue: 8 uF\nmake: dry\n");
    bench_write(&b);
    assert_int_equal(bench_count(b.plain, "is a wet electrolytic"), 1);
    has(&b, "C2 is a wet electrolytic");
    bench_free(&b);
}

/* --- a capacitor before the tubes draw --- */

/* The run has judged the `n`th rating passed from `first` on [s]. */
static void give_excess(struct bench *b, int n, double first, double seconds)
{
    struct excess e = {.rating = &b->set->ratings.at[n],
                       .first = first,
                       .seconds = seconds,
                       .last = first + seconds};
    array_push(b->arena, &b->run.excesses, e);
}

static struct bench surge_bench(double surge)
{
    struct bench b = bench_new();
    bench_rate(&b, "C1", MEASURE_SETTLED_VOLTAGE, 450, UNIT_VOLT);
    bench_rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, surge, UNIT_VOLT);
    bench_put(&b, "C1", MEASURE_SETTLED_VOLTAGE, 400, UNIT_VOLT);
    bench_at(&b, &b.run, "C1", MEASURE_HIGHEST_VOLTAGE, 500, UNIT_VOLT, 4);
    return b;
}

static void surge_before_the_tubes_draw(void **state)
{
    struct bench b = surge_bench(525);
    (void)state;
    give_excess(&b, 0, 3.6, 3.4);
    bench_write(&b);
    has(&b, "* C1 exceeds its 450 V working voltage before the tubes draw: up to 500 V at 4 s, for "
            "about 3.4 s in all, inside the 525 V it may see for a short time. At the end: 400 V.");
    has_not(&b, "surge test");
    has_not(&b, "No rating exceeded");
    bench_free(&b);

    b = surge_bench(525);
    give_excess(&b, 0, 3.6, 48.1);
    bench_write(&b);
    has(&b, "for about 48 s in all");
    has(&b, "the surge test of such capacitors lasts 30 s");
    bench_free(&b);

    b = surge_bench(495);
    give_excess(&b, 0, 3.6, 3.4);
    bench_write(&b);
    has(&b, "* C1: highest voltage 500 V at 4 s, 101 % of its 495 V (your scenario). The lamp's "
            "voltage is too high: it will not last. "
            "It exceeds its working 450 V only before the tubes draw, for about 3.4 s");
    assert_int_equal(bench_count(b.plain, "exceeds its working"), 1);
    bench_free(&b);
}

static void two_capacitors_share_the_sentence(void **state)
{
    struct bench b = surge_bench(525);
    (void)state;
    bench_part(&b, "capacitor", "C2", "across: [B+, chassis]\nvalue: 8 uF\n");
    bench_part(&b, "capacitor", "C3", "across: [B+, chassis]\nvalue: 8 uF\n");
    for (int i = 2; i <= 3; i++) {
        const char *name = i == 2 ? "C2" : "C3";
        bench_rate(&b, name, MEASURE_SETTLED_VOLTAGE, i == 2 ? 450 : 350, UNIT_VOLT);
        bench_rate(&b, name, MEASURE_HIGHEST_VOLTAGE, 525, UNIT_VOLT);
        bench_put(&b, name, MEASURE_SETTLED_VOLTAGE, 300, UNIT_VOLT);
        bench_at(&b, &b.run, name, MEASURE_HIGHEST_VOLTAGE, i == 2 ? 510 : 400, UNIT_VOLT, 5);
    }
    bench_write(&b);
    has(&b,
        "* C1, C2 exceed their 450 V working voltage before the tubes draw: up to 510 V at 5 s, "
        "inside the 525 V they may see for a short time. At the end: 400 V, 300 V.");
    has(&b, "* C3 exceeds its 350 V working voltage before the tubes draw: up to 400 V at 5 s");
    bench_free(&b);
}

static void reversed_for_a_moment_says_how_long(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_rate(&b, "C1", MEASURE_LOWEST_VOLTAGE, -1, UNIT_VOLT);
    bench_last_rating(&b)->at_least = true;
    bench_put(&b, "C1", MEASURE_SETTLED_VOLTAGE, 300, UNIT_VOLT);
    bench_at(&b, &b.run, "C1", MEASURE_LOWEST_VOLTAGE, -3, UNIT_VOLT, 1);
    give_excess(&b, 0, 0.33, 0.68);
    bench_write(&b);
    has(&b,
        "C1: lowest voltage -3 V at 1 s, where it must not fall below -1 V (your scenario). The "
        "lamp's voltage is too high: it will not last. This lasts about 0.68 s in all; the final "
        "value is 300 V.");
    bench_free(&b);

    b = bench_new(); /* for good: no sentence */
    bench_rate(&b, "C1", MEASURE_LOWEST_VOLTAGE, -1, UNIT_VOLT);
    bench_last_rating(&b)->at_least = true;
    bench_put(&b, "C1", MEASURE_SETTLED_VOLTAGE, -3, UNIT_VOLT);
    bench_at(&b, &b.run, "C1", MEASURE_LOWEST_VOLTAGE, -3, UNIT_VOLT, 1);
    give_excess(&b, 0, 0.33, 59.67);
    bench_write(&b);
    has_not(&b, "It is so for");
    bench_free(&b);
}

static void far_off_the_chart_is_told(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_point(&b, "first filter", 350, 12);
    bench_point(&b, "B+", 0, 0);
    bench_reading(&b, "first filter", 325, UNIT_VOLT, false);
    bench_reading(&b, "B+", 240, UNIT_VOLT, false);
    bench_write(&b);
    has(&b, "More than 10 % off the service chart: B+ -100 %.");
    bench_free(&b);

    b = bench_new();
    bench_point(&b, "first filter", 350, 12);
    bench_point(&b, "B+", 12, 0);
    bench_reading(&b, "first filter", 325, UNIT_VOLT, true); /* the meter is told in its column */
    bench_reading(&b, "B+", -12, UNIT_VOLT, false);
    bench_write(&b);
    has(&b, "off the service chart: B+ turned.");
    bench_free(&b);

    b = bench_new();
    bench_point(&b, "first filter", 385, 12); /* 10 % over */
    bench_point(&b, "B+", 213, 0);            /* 11 % under */
    bench_reading(&b, "first filter", 351, UNIT_VOLT, false);
    bench_reading(&b, "B+", 240, UNIT_VOLT, false);
    bench_write(&b);
    has(&b, "off the service chart: B+ -11 %.");
    bench_free(&b);

    b = bench_new();
    b.run.end = 5;
    b.set->parts.at[1]->heater_count = 1; /* still warming */
    bench_point(&b, "B+", 400, 0);
    bench_reading(&b, "B+", 240, UNIT_VOLT, false);
    bench_write(&b);
    has_not(&b, "off the service chart");
    bench_free(&b);
}

static void peaks_inside_are_told_beside_their_stand_in(void **state)
{
    for (int over = 0; over < 2; over++) {
        struct bench b = bench_new();
        bench_rate(&b, "V6.1", MEASURE_SUPPLY_IMPEDANCE, 50, UNIT_OHM);
        bench_last_rating(&b)->at_least = true;
        set_fix(b.set, (struct fixed_figure){"V6.1", MEASURE_SUPPLY_IMPEDANCE, 40});
        bench_rate(&b, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 0.4, UNIT_AMPERE);
        bench_rate(&b, "V6.2", MEASURE_INRUSH_PEAK_CURRENT, 2.5, UNIT_AMPERE);
        bench_put(&b, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 0.2, UNIT_AMPERE);
        bench_put(&b, "V6.2", MEASURE_INRUSH_PEAK_CURRENT, over ? 2.6 : 1.5, UNIT_AMPERE);
        bench_write(&b);
        if (over) has_not(&b, "themselves stay inside");
        else has(&b, "The peaks themselves stay within rating, at most 60 % of it.");
        bench_free(&b);
    }
    (void)state;
}

static void surge_too_short_for_a_mean_tells_when(void **state)
{
    struct bench b = surge_bench(525);
    (void)state;
    bench_write(&b);
    has(&b, "before the tubes draw: up to 500 V at 4 s, inside the 525 V it may see for a short "
            "time. At the end: 400 V.");
    has_not(&b, "figure is within a tenth"); /* told already */
    bench_free(&b);
}

static void surge_after_a_change_is_not_laid_to_the_tubes(void **state)
{
    struct bench b = surge_bench(525);
    (void)state;
    bench_stage(&b, 3, "tubes fitted: no");
    bench_write(&b);
    has(&b, "C1 exceeds its 450 V working voltage for a time: up to 500 V at 4 s");
    has_not(&b, "before the tubes draw");
    bench_free(&b);
}

static void no_surge_no_sentence(void **state)
{
    struct bench b = surge_bench(525);
    (void)state;
    b.run.figures.at[1].value = 450;
    bench_write(&b);
    has_not(&b, "above its working");
    bench_free(&b);

    b = surge_bench(525);
    b.run.figures.at[0].value = 470; /* not only for a time: the plain verdict says it */
    bench_write(&b);
    has_not(&b, "above its working");
    has(&b, "C1: voltage 470 V, 104 % of its 450 V");
    bench_free(&b);
}

/* --- in order of time --- */

static void pass(struct bench *b, const char *subject, enum measure measure, enum unit unit,
                 double limit, double first, double seconds)
{
    bench_rate(b, subject, measure, limit, unit);
    struct excess e = {.rating = bench_last_rating(b),
                       .first = first,
                       .seconds = seconds,
                       .last = first + seconds,
                       .worst = 2 * limit};
    array_push(b->arena, &b->run.excesses, e);
}

/* A run of 60 s: what is normal while a set warms up is not told, the same for long or to the end
 * is. */
static void passing_excesses_are_not_told(void **state)
{
    struct bench b = bench_new();
    (void)state;
    pass(&b, "T1.heaters", MEASURE_RMS_CURRENT, UNIT_AMPERE, 2, 0, 1.1);
    pass(&b, "V5 heater", MEASURE_RMS_VOLTAGE, UNIT_VOLT, 6.9, 0.1, 20);
    pass(&b, "V6", MEASURE_AVERAGE_CURRENT, UNIT_AMPERE, 0.1, 1, 0.5);
    pass(&b, "C1", MEASURE_SETTLED_VOLTAGE, UNIT_VOLT, 450, 2, 8);
    bench_write(&b);
    has_not(&b, "What gives way first");
    pass(&b, "T1.high voltage", MEASURE_RMS_CURRENT, UNIT_AMPERE, 0.1, 20, 40);
    pass(&b, "V4 heater", MEASURE_RMS_VOLTAGE, UNIT_VOLT, 6.9, 25, 35);
    pass(&b, "V7", MEASURE_AVERAGE_CURRENT, UNIT_AMPERE, 0.1, 30, 6);
    pass(&b, "C2", MEASURE_HIGHEST_VOLTAGE, UNIT_VOLT, 495, 31, 0.1);
    bench_write(&b);
    has(&b, "20 s T1.high voltage RMS current: up to 200 mA where 100 mA is allowed, to the end");
    has(&b, "25 s V4 heater RMS voltage: up to 13.8 V where 6.9 V is allowed, to the end");
    has(&b, "30 s V7 average current: up to 200 mA where 100 mA is allowed, for about 6 s");
    has(&b, "31 s C2 highest voltage: up to 990 V where 495 V is allowed, for about 0.1 s");
    has_not(&b, "T1.heaters RMS current: up to");
    has_not(&b, "V5 heater RMS voltage: up to");
    has_not(&b, "V6 average current: up to");
    has_not(&b, "C1 voltage: up to");
    bench_free(&b);
}

/* A fuse that opens leaves no verdict of red plates; what a resistor takes at the start is no news. */
static void red_plates_and_a_dark_rectifier_stand_first(void **state)
{
    struct bench b = bench_new();
    (void)state;
    pass(&b, "R1", MEASURE_DISSIPATION, UNIT_WATT, 5, 0, 6);
    bench_last_rating(&b)->harm = HARM_RESISTOR_WATTS;
    pass(&b, "V6", MEASURE_DISSIPATION, UNIT_WATT, 13.7, 20, 27);
    bench_last_rating(&b)->harm = HARM_RECTIFIER_HEAT;
    bench_write(&b);
    has(&b, "* V6 heat: up to 27.4 W where 13.7 W is allowed, for about 27 s, and no longer at the "
            "end. Its plates get more heat than they can shed");
    has_not(&b, "* R1 heat: up to");
    bench_rate(&b, "V7", MEASURE_AVERAGE_CURRENT, 0.03, UNIT_AMPERE);
    bench_last_rating(&b)->harm = HARM_STARVED;
    bench_put(&b, "V7", MEASURE_AVERAGE_CURRENT, 0, UNIT_AMPERE);
    bench_last_rating(&b)->at_least = true;
    bench_write(&b);
    has(&b, "It does not strike: nothing flows through it, and there is no B+.");
    bench_free(&b);
}

/* Where a guess weighs, two digits; but close above the limit three, or 104 of 100 V would read as
 * 100. */
static void close_excesses_keep_their_digits(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_guess(&b, "V6", "emission", 1.2, UNIT_AMPERE);
    pass(&b, "V6", MEASURE_RUNNING_PEAK_CURRENT, UNIT_AMPERE, 0.4, 1, 10);
    pass(&b, "V6", MEASURE_AVERAGE_CURRENT, UNIT_AMPERE, 0.1, 2, 10);
    b.run.excesses.at[0].worst = 0.777;
    b.run.excesses.at[1].worst = 0.1046;
    bench_write(&b);
    has(&b, "running peak: up to about 780 mA where 400 mA is allowed");
    has(&b, "average current: up to 105 mA where 100 mA is allowed");
    /* a temperature counts from the room: 92 K where 75 K are allowed */
    bench_guess(&b, "C1", "thermal resistance", 20, UNIT_KELVIN_PER_WATT);
    pass(&b, "C1", MEASURE_TEMPERATURE, UNIT_CELSIUS, 373.15, 3, 10);
    b.run.excesses.at[2].worst = 390.15;
    bench_write(&b);
    has(&b, "C1 temperature: up to about 120 C where 100 C is allowed");
    bench_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(over_is_told_in_full),
        cmocka_unit_test(watts_of_a_part_are_told_once),
        cmocka_unit_test(unsettled_mean_says_so),
        cmocka_unit_test(nothing_over_and_near_ones),
        cmocka_unit_test(nothing_rated_is_not_called_good),
        cmocka_unit_test(at_least_limit_reads_as_one),
        cmocka_unit_test(unlimited_peak_is_worst),
        cmocka_unit_test(design_centre_allows_for_the_line),
        cmocka_unit_test(percent_keeps_to_its_side_of_the_border),
        cmocka_unit_test(passing_excesses_are_not_told),
        cmocka_unit_test(close_excesses_keep_their_digits),
        cmocka_unit_test(red_plates_and_a_dark_rectifier_stand_first),
        cmocka_unit_test(what_could_not_be_judged_is_told),
        cmocka_unit_test(wet_electrolytic_clamps),
        cmocka_unit_test(surge_before_the_tubes_draw),
        cmocka_unit_test(two_capacitors_share_the_sentence),
        cmocka_unit_test(reversed_for_a_moment_says_how_long),
        cmocka_unit_test(far_off_the_chart_is_told),
        cmocka_unit_test(peaks_inside_are_told_beside_their_stand_in),
        cmocka_unit_test(surge_too_short_for_a_mean_tells_when),
        cmocka_unit_test(surge_after_a_change_is_not_laid_to_the_tubes),
        cmocka_unit_test(no_surge_no_sentence),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
