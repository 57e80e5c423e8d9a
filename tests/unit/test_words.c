/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every fact that has words of its own in a table has them, in plain ASCII, and no two the same; in
 * those of the US and of the UK. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "fault.h"
#include "measure.h"
#include "tongue.h"
#include "words_cautions.h"
#include "words_failure.h"
#include "words_harm.h"
#include "words_known_by.h"
#include "words_limits.h"
#include "words_number.h"
#include "words_status.h"
#include "words_trouble.h"

static void is_plain(const char *text)
{
    assert_non_null(text);
    assert_true(strlen(text) > 3);
    for (; *text; text++) assert_true(*text >= ' ' && *text <= '~');
}

static void every_harm_is_a_sentence(void **state)
{
    (void)state;
    assert_string_equal(words_harm(HARM_NONE), "");
    for (enum harm h = HARM_NONE + 1; h < HARMS; h++) {
        const char *text = words_harm(h);
        is_plain(text);
        assert_true(text[0] >= 'A' && text[0] <= 'Z' && text[strlen(text) - 1] == '.');
    }
}

static void every_reading_has_words_of_its_own(void **state)
{
    (void)state;
    assert_null(words_known_by(KNOWN_BY_NOTHING));
    for (enum known_by k = KNOWN_BY_NOTHING + 1; k < KNOWN_BYS; k++) {
        is_plain(words_known_by(k));
        for (enum known_by j = KNOWN_BY_NOTHING + 1; j < k; j++)
            assert_string_not_equal(words_known_by(j), words_known_by(k));
    }
}

static void every_status_failure_and_limit_has_words(void **state)
{
    struct arena *arena = arena_new();
    (void)state;
    for (enum status s = 0; s < STATUS_COUNT; s++) is_plain(words_status(s));
    for (int c = FAILURE_NONE + 1; c < FAILURE_CAUSES; c++)
        is_plain(words_failure((enum failure_cause)c));
    for (int r = FAILURE_NAMED; r < FAILURE_RUNS; r++) {
        const struct failure f = {.run = (enum failure_run)r, .name = "base"};
        is_plain(words_failure_which(arena, &f));
    }
    for (int c = TROUBLE_INTERRUPTED; c < TROUBLE_CAUSES; c++)
        for (int f = NETWORK_SOUND + 1; f < NETWORK_FAULTS; f++) {
            const struct trouble t = {.cause = (enum trouble_cause)c,
                                      .fault = (enum network_fault)f,
                                      .names = c % 2 ? "V6" : NULL};
            is_plain(words_trouble(arena, STATUS_SOLUTION, &t));
        }
    for (enum charge_limit l = 0; l < CHARGE_LIMITS; l++) is_plain(words_limits_charge(arena, l));
    for (int i = 0; i < charge_pin_limits_count(); i++)
        is_plain(words_limits_pins(arena, charge_pin_limit_at(i)));
    arena_free(arena);
}

/* What, where and when a run ended. */
static void a_trouble_is_told_with_its_place(void **state)
{
    struct arena *arena = arena_new();
    struct trouble t = {.cause = TROUBLE_TINY_STEP, .names = "V6", .time = 0.5};
    (void)state;
    assert_string_equal(words_trouble(arena, STATUS_SOLUTION, &t),
                        "at 0.5 s: the time step became too small near V6: look at the values of "
                        "this part, and at those of what it is joined to");
    t = (struct trouble){
        .cause = TROUBLE_NETWORK, .fault = NETWORK_SOURCES, .names = "V0, V1", .time = 2};
    assert_string_equal(words_trouble(arena, STATUS_SOLUTION, &t),
                        "at 2 s: contradictory sources: V0, V1; give one of them some resistance");
    t = (struct trouble){.cause = TROUBLE_LEAP, .time = 70};
    const char *leap = words_trouble(arena, STATUS_SOLUTION, &t);
    assert_ptr_equal(strstr(leap, "at 70 s: a leap over many cycles went wrong; "), leap);
    t.cause = TROUBLE_NONE;
    assert_string_equal(words_trouble(arena, STATUS_SCENARIO, &t), words_status(STATUS_SCENARIO));
    arena_free(arena);
}

/* The figures come from the code that judges by them. */
static void figures_are_printed_into_the_words(void **state)
{
    struct arena *arena = arena_new();
    (void)state;
    assert_string_equal(words_limits_charge(arena, CHARGE_LIMIT_CHARGE), "charge at most 45 uC");
    assert_string_equal(words_limits_charge(arena, CHARGE_LIMIT_CAPACITANCE),
                        "capacitance at most 0.1 uF from 42.4 V to 450 V");
    assert_string_equal(words_limits_pins(arena, charge_pin_limit_at(0)),
                        "below 37 % of the crest 1 s after the plug is pulled");
    assert_non_null(strstr(words_cautions_text(arena, CAUTION_DISCHARGE),
                           "10 kohm, wirewound, 5 W, rated for the voltage (500 V), held on for "
                           "30 s. Read with the meter: under 30 V."));
    arena_free(arena);
}

static void small_numbers_and_parts_are_words(void **state)
{
    (void)state;
    assert_string_equal(words_number(1), "one");
    assert_string_equal(words_number(10), "ten");
    assert_string_equal(words_number_part(0.5), "half");
    assert_string_equal(words_number_part(1 - 0.9), "a tenth");
}

/* Where they differ, and where not. */
static void words_are_those_that_are_wanted(void **state)
{
    static const struct part_fault fault = {.says = "its plates touch"};
    const char *const mains = tongue_uk() ? "mains power" : "line power";
    const char *const plates = tongue_uk() ? "Anode to anode" : "Plate to plate";
    (void)state;
    assert_string_equal(measure_words(MEASURE_LINE_POWER), mains);
    assert_string_equal(measure_words(MEASURE_ENERGY), "energy");
    assert_string_equal(words_cautions_name(CAUTION_PLATE_TO_PLATE), plates);
    assert_string_equal(words_cautions_name(CAUTION_SELENIUM), "Selenium");
    assert_string_equal(fault_says(&fault), "its plates touch");
    assert_string_equal(US_UK("a plate", "an anode"), tongue_uk() ? "an anode" : "a plate");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_harm_is_a_sentence),
        cmocka_unit_test(every_reading_has_words_of_its_own),
        cmocka_unit_test(every_status_failure_and_limit_has_words),
        cmocka_unit_test(a_trouble_is_told_with_its_place),
        cmocka_unit_test(figures_are_printed_into_the_words),
        cmocka_unit_test(small_numbers_and_parts_are_words),
        cmocka_unit_test(words_are_those_that_are_wanted),
    };
    int failed = cmocka_run_group_tests_name("US", tests, NULL, NULL);
    tongue_set(true);
    return failed + cmocka_run_group_tests_name("UK", tests, NULL, NULL);
}
