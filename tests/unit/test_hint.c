/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nearest words. Edits are counted as in F. J. Damerau, Comm. ACM 7 (1964) p. 171: a letter wrong,
 * missing, too many, or two neighbours exchanged are one edit each. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "hint.h"

static const char *const keys[] = {"is",         "across",           NULL,           "value",
                                   "rated",      "plates",           "cathode",      "heated by",
                                   "resistance", "inductance",       "open circuit", "rectifier",
                                   "capacitor",  "power transformer"};
enum { KEYS = sizeof keys / sizeof keys[0] };

static const char *nearest(const char *word)
{
    const char *found = hint_nearest(word, keys, KEYS);
    return found ? found : "none";
}

static void test_each_kind_of_edit(void **state)
{
    (void)state;
    assert_string_equal(nearest("vakue"), "value");
    assert_string_equal(nearest("valu"), "value");
    assert_string_equal(nearest("vallue"), "value");
    assert_string_equal(nearest("vlaue"), "value");
    assert_string_equal(nearest("aluev"), "none");
}

static void test_case_blanks_and_hyphens_count_nothing(void **state)
{
    (void)state;
    assert_string_equal(nearest("Heated-By"), "heated by");
    assert_string_equal(nearest("heated_by"), "heated by");
    assert_string_equal(nearest("POWERTRANSFORMER"), "power transformer");
    assert_string_equal(nearest("open-circiut"), "open circuit");
}

static void test_how_far_is_near(void **state)
{
    (void)state;
    static const char *const ohm[] = {"ohm"}, *const nine[] = {"rectifier"}, *const one[] = {"V"};
    assert_string_equal(hint_nearest("omh", ohm, 1), "ohm"); /* one exchange: one edit, not two */
    assert_null(hint_nearest("mho", ohm, 1));
    assert_string_equal(hint_nearest("recktifyer", nine, 1), "rectifier");
    assert_string_equal(hint_nearest("rektyfyer", nine, 1), "rectifier");
    assert_null(hint_nearest("rektyfyar", nine, 1));
    assert_string_equal(hint_nearest("xyzpower transformer", keys, KEYS), "power transformer");
    assert_null(hint_nearest("wxyzpower transformer", keys, KEYS));
    assert_null(hint_nearest("W", one, 1));
    assert_string_equal(hint_nearest("v", one, 1), "V");
}

static void test_the_nearest_wins_and_of_equals_the_first(void **state)
{
    (void)state;
    static const char *const words[] = {"plate", "plates", "places"};
    assert_string_equal(hint_nearest("plates", words, 3), "plates");
    assert_string_equal(hint_nearest("platex", words, 3), "plate");
    assert_string_equal(hint_nearest("resistence", keys, KEYS), "resistance");
    assert_string_equal(hint_nearest("inducttance", keys, KEYS), "inductance");
}

/* A tube's number without the letters of its bulb is not another number. */
static void test_what_goes_on_behind_a_hyphen_is_the_word(void **state)
{
    (void)state;
    static const char *const tubes[] = {"6AV6", "6V6", "6V6-GT", "6V6-G"};
    assert_string_equal(hint_nearest("6v6", tubes + 2, 2), "6V6-GT");
    assert_string_equal(hint_nearest("6v6", tubes, 4), "6V6");
    static const char *const others[] = {"6AV6", "6V-6", "6V6-GT"};
    assert_string_equal(hint_nearest("6V", others, 3), "6V-6");
    static const char *const bulbs[] = {"6AV6", "6V6-GT"};
    assert_string_equal(hint_nearest("6V6", bulbs, 2), "6V6-GT");
}

static void test_nothing_to_compare(void **state)
{
    (void)state;
    static const char *const empty[] = {NULL, ""};
    static char long_word[2000];
    for (int i = 0; i < 1999; i++) long_word[i] = 'a';
    assert_null(hint_nearest("", keys, KEYS));
    assert_null(hint_nearest(" - ", keys, KEYS));
    assert_null(hint_nearest("value", keys, 0));
    assert_null(hint_nearest("value", empty, 2));
    assert_null(hint_nearest(long_word, keys, KEYS));
    const char *const words[] = {long_word, "value"};
    assert_string_equal(hint_nearest("valve", words, 2), "value");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_kind_of_edit),
        cmocka_unit_test(test_case_blanks_and_hyphens_count_nothing),
        cmocka_unit_test(test_how_far_is_near),
        cmocka_unit_test(test_the_nearest_wins_and_of_equals_the_first),
        cmocka_unit_test(test_what_goes_on_behind_a_hyphen_is_the_word),
        cmocka_unit_test(test_nothing_to_compare),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
