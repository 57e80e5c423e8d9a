/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The frame: guesses, what is wrong with the run, cautions, names of any kind.
 * Sentences are compared with the line breaks taken out, tables line by line. */
#include "summary_bench.h"

/* --- guesses --- */

static void no_guess_is_said(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_write(&b);
    has(&b,
        "Six-tube table set (invented) 60 s from cold; mains 117 V, 60 Hz, switched on at 90 deg.");
    has(&b, "No value is a guess.");
    has_not(&b, "Readings that would");
    has_not(&b, "about");
    has_not(&b, "!!");
    bench_free(&b);
}

static void guesses_are_counted_and_named_first(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_guess(&b, "L1", "inductance", 10, UNIT_HENRY);
    bench_guess(&b, "T1", "core loss", 5.5, UNIT_WATT);
    b.set->assumptions.at[1].known_by = KNOWN_BY_NOTHING;
    set_assume(b.set, (struct assumption){
                          .part = "mains", .key = "resistance", .value = 0.3, .unit = UNIT_OHM});
    bench_stage(&b, 20, "C1 condition: shorted"); /* assumes the same once more */
    bench_write(&b);
    has(&b, "2 values are guesses: L1 inductance (10 H), T1 core loss (5.5 W).");
    has(&b, "In use besides: 1 default value; `presolder check` lists it.");
    has(&b,
        "* L1 inductance: kitchen scales. Taken as 10 H, could be 5 H to 20 H (common practice, no "
        "source).");
    has(&b, "* Not simply measured, taken as: T1 core loss 5.5 W, could be 2.75 W to 11 W (common "
            "practice, no source).");
    has(&b, "At 20 s: C1 condition: shorted.");
    assert_true(strstr(b.plain, "guesses:") > strstr(b.plain, "Look at this first"));
    bench_free(&b);
}

static void one_reading_for_alike_guesses(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_guess(&b, "T1.tube heaters", "resistance", 0.14, UNIT_OHM);
    bench_guess(&b, "T1", "core loss", 5.5, UNIT_WATT);
    bench_guess(&b, "T1.rectifier heater", "resistance", 0.1, UNIT_OHM);
    b.set->assumptions.at[1].known_by = KNOWN_BY_LINE_WATTS_TUBES_OUT;
    bench_write(&b);
    has(&b, "* T1.tube heaters resistance, T1.rectifier heater resistance: kitchen scales. Taken "
            "as 0.14 "
            "ohm, could be 0.07 ohm to 0.28 ohm (common practice, no source); 0.1 ohm, could be "
            "0.05 ohm to 0.2 ohm.");
    has(&b,
        "* T1 core loss: line watts with all tubes out. Taken as 5.5 W, could be 2.75 W to 11 W "
        "(common practice, no source).");
    has_not(&b, "Not simply");
    bench_free(&b);
}

static void no_line_begins_with_a_percent_sign(void **state)
{
    (void)state;
    for (int i = 0; i < 80; i++) {
        struct bench b = bench_new();
        char *basis =
            arena_printf(b.arena, "%.*s 15 %% of it", i,
                         "wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww"
                         "wwwwwwwwwwwwww");
        bench_guess(&b, "T1", "core loss", 5.5, UNIT_WATT);
        b.set->assumptions.at[0].basis = basis;
        bench_write(&b);
        assert_null(strstr(b.raw, "\n    %"));
        bench_free(&b);
    }
}

static void two_digits_only_where_a_guess_weighs(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_point(&b, "B+", 251.4, 0.2);
    bench_put(&b, "mains", MEASURE_LINE_POWER, 48.36, UNIT_WATT);
    bench_put(&b, "V6.1", MEASURE_RUNNING_PEAK_CURRENT, 0.2053, UNIT_AMPERE);
    bench_guess(&b, "L1", "inductance", 10, UNIT_HENRY);
    bench_write(&b);
    has_line(&b, "  B+                          251 V     ~0.2 V");
    has_line(&b, "  line power                 48.4 W");
    has(&b, "every cycle is about 210 mA");
    bench_free(&b);

    b = bench_new();
    bench_point(&b, "B+", 251.4, 0.2);
    bench_put(&b, "mains", MEASURE_LINE_POWER, 48.36, UNIT_WATT);
    bench_guess(&b, "T1", "core loss", 5, UNIT_WATT);
    bench_write(&b);
    has_line(&b, "  B+                          251 V      0.2 V");
    has_line(&b, "  line power                  ~48 W");
    bench_free(&b);

    b = bench_new();
    bench_point(&b, "B+", 251.4, 0.2);
    bench_guess(&b, "T1.high voltage 1", "resistance", 150, UNIT_OHM);
    bench_write(&b);
    has_line(&b, "  B+                         ~250 V     ~0.2 V");
    bench_free(&b);
}

static void heater_winding_moves_heaters_only(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_point(&b, "B+", 251.4, 0.2);
    bench_put(&b, "T1.tube heaters", MEASURE_RMS_VOLTAGE, 6.234, UNIT_VOLT);
    bench_put(&b, "tubes.heaters", MEASURE_RMS_VOLTAGE, 6.231, UNIT_VOLT);
    bench_put(&b, "V6.heater", MEASURE_RMS_VOLTAGE, 6.234, UNIT_VOLT); /* that of the winding */
    bench_put(&b, "T1.high voltage 1", MEASURE_RMS_VOLTAGE, 312.4, UNIT_VOLT);
    bench_guess(&b, "T1.tube heaters", "resistance", 0.1, UNIT_OHM);
    bench_write(&b);
    has_line(&b, "  B+                          251 V      0.2 V");
    has_line(&b, "  T1.tube heaters         ~6.2 V AC");
    has_line(&b, "  tubes.heaters           ~6.2 V AC");
    has_not(&b, "V6.heater");
    has_line(&b, "  T1.high voltage 1        312 V AC");
    bench_free(&b);
}

static void narrow_guess_weighs_nothing(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_point(&b, "B+", 251.4, 0.2);
    bench_guess(&b, "T1", "open circuit", 345, UNIT_VOLT);
    b.set->assumptions.at[0].low = 344;
    b.set->assumptions.at[0].high = 346;
    bench_write(&b);
    has(&b, "1 value is a guess: T1 open circuit (345 V).");
    has_line(&b, "  B+                          251 V      0.2 V");
    bench_free(&b);
}

/* --- the run itself --- */

static void failed_audit_is_loud_and_first(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.run.statistics.audit_failed = true;
    b.run.statistics.energy_residual = 3.1e-5;
    b.run.statistics.charge_point = "first filter";
    bench_write(&b);
    has(&b, "!! THE AUDIT OF THE RUN FAILED: energy does not balance to 3.1e-05, charge to 0.0e+00 "
            "at first filter (1.0e-06 is allowed). Trust no figure below.");
    assert_true(strstr(b.raw, "!!") < strstr(b.raw, "No value is a guess"));
    bench_free(&b);
}

static void interrupted_and_failed_runs(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.run.status = STATUS_INTERRUPTED;
    b.run.trouble = (struct trouble){.cause = TROUBLE_INTERRUPTED, .time = 12, .until = 30};
    b.run.end = 12;
    bench_rate(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 450, UNIT_VOLT);
    bench_put(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 200, UNIT_VOLT);
    bench_write(&b);
    assert_ptr_equal(strstr(b.plain, "INTERRUPTED at 12 s of 30 s: figures are of that part"),
                     b.plain);
    has(&b, "exceeded up to where the run stopped");
    bench_free(&b);

    b = bench_new();
    b.run.status = STATUS_SOLUTION;
    b.run.trouble = (struct trouble){.cause = TROUBLE_SWITCHING, .names = "V6.1", .time = 0.5};
    bench_write(&b);
    has(&b, "!! THE SOLUTION FAILED: at 0.5 s: rectifiers switch without end: V6.1; look at");
    has(&b, "Nothing: the run gave no figures.");
    bench_free(&b);

    b = bench_new();
    b.restarts = true;
    b.restart.status = STATUS_SOLUTION;
    b.restart.trouble = (struct trouble){.cause = TROUBLE_TINY_STEP, .time = 0.01};
    b.restart.statistics.audit_failed = true;
    bench_write(&b);
    has(&b, "!! THE HOT RESTART FAILED: at 0.01 s: the time step became too small; look for a");
    has(&b, "!! THE AUDIT OF THE HOT RESTART FAILED");
    has_not(&b, "AUDIT OF THE RUN");
    bench_free(&b);
}

/* --- cautions and names --- */

static void cautions_come_last_with_the_energy(void **state)
{
    struct bench b = bench_new();
    (void)state;
    bench_put(&b, "set", MEASURE_STORED_ENERGY, 1.913, UNIT_JOULE);
    bench_put(&b, "C1", MEASURE_BLEED_DOWN_TIME, 84.4, UNIT_SECOND);
    bench_put(&b, "C2", MEASURE_BLEED_DOWN_TIME, 12, UNIT_SECOND);
    bench_write(&b);
    has(&b, "Cautions The capacitors hold 1.91 J. With cold tubes they take about 84 s to fall "
            "to 30 V, if the parts that discharge them are sound. * Rules: Local codes");
    has_not(&b, "Mercury");
    has_not(&b, "Re-forming");
    bench_free(&b);

    b = bench_new();
    bench_put(&b, "set", MEASURE_STORED_ENERGY, 1.913, UNIT_JOULE);
    bench_put(&b, "C1", MEASURE_BLEED_DOWN_TIME, ENDLESS, UNIT_SECOND);
    bench_put(&b, "C2", MEASURE_BLEED_DOWN_TIME, ENDLESS, UNIT_SECOND);
    bench_write(&b);
    has(&b, "The capacitors hold 1.91 J, and with cold tubes nothing you typed in discharges C1, "
            "C2: the charge stays for hours, or for good.");
    bench_free(&b);
}

static void brief_one_tells_what_hands_must_know(void **state)
{
    struct bench b = bench_new();
    (void)state;
    b.brief = true;
    bench_guess(&b, "L1", "inductance", 10, UNIT_HENRY);
    bench_guess(&b, "T1.tube heaters", "resistance", 0.1, UNIT_OHM);
    bench_guess(&b, "T1", "core loss", 5.5, UNIT_WATT);
    bench_put(&b, "set", MEASURE_STORED_ENERGY, 1.913, UNIT_JOULE);
    bench_put(&b, "C1", MEASURE_BLEED_DOWN_TIME, ENDLESS, UNIT_SECOND);
    bench_put(&b, "C1", MEASURE_HIGHEST_VOLTAGE, 400, UNIT_VOLT);
    for (int i = 0; i < 6; i++)
        bench_reading(&b, arena_printf(b.arena, "point %d", i), 250, UNIT_VOLT, false);
    for (int i = 0; i < 26; i++) {
        const char *name = arena_printf(b.arena, "part %c", 'a' + i);
        bench_rate(&b, name, MEASURE_DISSIPATION, 100, UNIT_WATT);
        bench_put(&b, name, MEASURE_DISSIPATION, 85 - i, UNIT_WATT);
    }
    bench_write(&b);
    has(&b, "3 guesses (L1, T1, marked ~), 0 defaults: `presolder check` lists them.");
    has(&b, "Cautions: Unplugged is not dead: the set keeps its 1.91 J for hours, or for good. "
            "Discharge each capacitor through 10 kohm, 5 W, for 30 s, then read under 30 V.");
    has(&b, "(All: --cautions.)");
    has_not(&b, "Rules:");
    has_not(&b, "Where the heat goes");
    has_not(&b, "Readings that would");
    int rows = bench_count(b.raw, "\n  part ") - 1; /* the heading has a `part` too */
    assert_in_range(rows, 3, 25);                   /* as many as there is room for, not all */
    int lines = bench_count(b.raw, "\n");
    assert_true(lines == 35 || (lines == 34 && rows == 12)); /* never more than twelve */
    bench_free(&b);
}

static void long_and_foreign_names_stay_in_their_lines(void **state)
{
    static const char *const names[] = {
        "the first filter capacitor beside the power transformer of the left chassis half",
        "R\xc3\xb6hre", "tab\there\x1b[31m",
        "onewordonewordonewordonewordonewordonewordonewordonewordonewordonewordonewordonewordonew"};
    (void)state;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        struct bench b = bench_new();
        b.setup.title = b.setup.variant = names[i];
        bench_rate(&b, names[i], MEASURE_DISSIPATION, 1, UNIT_WATT);
        bench_put(&b, names[i], MEASURE_DISSIPATION, 2, UNIT_WATT);
        bench_reading(&b, names[i], 250, UNIT_VOLT, false);
        bench_guess(&b, names[i], "value", 8e-6, UNIT_FARAD);
        bench_write(&b);
        if (i == 1) {
            has_line(&b, "  R\xc3\xb6hre                 not watched     250 V");
            has_line(&b, "! R\xc3\xb6hre             heat                   about 2 W        1 W  "
                         "200 %");
        }
        if (i == 2) has(&b, "tab?here?[31m");
        if (i == 0) has(&b, "! the first filte.. heat");
        bench_free(&b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_guess_is_said),
        cmocka_unit_test(guesses_are_counted_and_named_first),
        cmocka_unit_test(one_reading_for_alike_guesses),
        cmocka_unit_test(no_line_begins_with_a_percent_sign),
        cmocka_unit_test(two_digits_only_where_a_guess_weighs),
        cmocka_unit_test(heater_winding_moves_heaters_only),
        cmocka_unit_test(narrow_guess_weighs_nothing),
        cmocka_unit_test(failed_audit_is_loud_and_first),
        cmocka_unit_test(interrupted_and_failed_runs),
        cmocka_unit_test(cautions_come_last_with_the_energy),
        cmocka_unit_test(brief_one_tells_what_hands_must_know),
        cmocka_unit_test(long_and_foreign_names_stay_in_their_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
