/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists and ranges of the command line: what they hold, what is refused and with which words. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "sweep.h"

static struct arena *arena;
static struct diags *diags;

static int open_shop(void **state)
{
    (void)state;
    arena = arena_new();
    diags = diags_new(arena);
    return 0;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static struct sweep good(const char *argument)
{
    struct sweep sweep;
    assert_true(sweep_parse(arena, diags, argument, &sweep));
    assert_int_equal(diags_errors(diags), 0);
    return sweep;
}

static void lists(void **state)
{
    (void)state;
    struct sweep s = good("C1.value=4.7uF, 10 uF,22uF");
    assert_string_equal(s.path, "C1.value");
    assert_true(s.numeric);
    assert_int_equal(s.unit, UNIT_FARAD);
    assert_int_equal(s.values.n, 3);
    assert_string_equal(s.values.at[0].text, "4.7 uF");
    assert_string_equal(s.values.at[1].text, "10 uF");
    near_rel(s.values.at[2].value, 22e-6, 1e-15, "F");

    s = good("V6.type=80,5Y3-GT");
    assert_false(s.numeric);
    assert_string_equal(s.values.at[0].text, "80");
    assert_string_equal(s.values.at[1].text, "5Y3-GT");
    s = good("V6.type=80,45");
    assert_false(s.numeric);

    s = good("T1.windings.high voltage.open circuit=[344 V, 346 V],700 V");
    assert_false(s.numeric);
    assert_int_equal(s.values.n, 2);
    assert_string_equal(s.values.at[0].text, "[344 V, 346 V]");
    s = good("tubes.draws=40 mA at 255 V,{drop: 108 V, over: L1}");
    assert_int_equal(s.values.n, 2);
    assert_false(s.numeric);
}

static void ranges(void **state)
{
    (void)state;
    struct sweep s = good("mains.voltage=105V..130V/6");
    static const char *const volts[] = {"105 V", "110 V", "115 V", "120 V", "125 V", "130 V"};
    assert_int_equal(s.values.n, 6);
    for (int i = 0; i < 6; i++) assert_string_equal(s.values.at[i].text, volts[i]);
    s = good("R9.resistance = 100ohm .. 1kohm / 4, 5 kohm");
    assert_string_equal(s.path, "R9.resistance");
    assert_int_equal(s.values.n, 5);
    assert_string_equal(s.values.at[1].text, "400 ohm");
    assert_string_equal(s.values.at[4].text, "5 kohm");
    s = good("T1.saturation=1.2..1.6/3");
    assert_string_equal(s.values.at[1].text, "1.4");
    s = good("C1.value=1uF..10000uF/10000");
    assert_int_equal(s.values.n, SWEEP_MOST);
    assert_string_equal(s.values.at[4711].text, "4712 uF");
}

static void refused(const char *argument, const char *message, const char *hint)
{
    struct sweep sweep;
    int before = diags_count(diags);
    assert_false(sweep_parse(arena, diags, argument, &sweep));
    assert_int_equal(diags_count(diags), before + 1);
    const struct diag *d = diags_at(diags, before);
    assert_string_equal(d->at.file, argument);
    assert_non_null(strstr(d->message, message));
    if (hint) assert_non_null(strstr(d->hint, hint));
}

static void mistakes(void **state)
{
    (void)state;
    refused("C1.value", "no `=`", "C1.value=4.7uF");
    refused("=4uF", "no name of a key", NULL);
    refused("C1.value=", "no values", NULL);
    refused("C1.value=1uF,,2uF", "a value is empty", NULL);
    refused("C1.value=1uF,", "a value is empty", NULL);
    refused("C1.value=5uF..1uF/3", "runs downwards", "1uF..5uF/3");
    refused("C1.value=1uF..1uF/3", "the range is empty", NULL);
    refused("C1.value=1uF..2V/3", "from farads to volts", NULL);
    refused("C1.value=1uF..2uF", "how many values", "105V..130V/6");
    refused("C1.value=1uF..2uF/1", "no number of values", NULL);
    refused("C1.value=1uF..2uF/x", "no number of values", NULL);
    refused("C1.value=1uF..2uF/10001", "no number of values", NULL);
    refused("C1.value=..2uF/3", "no range of two quantities", NULL);
    refused("C1.value=big..bigger/3", "no range of two quantities", NULL);
    refused("C1.value=1uF..2uF/3,1.5 uF", "is there twice", NULL);
    refused("C1.value=1uF..9000uF/9000,1V..2000V/2000", "more than 10000", NULL);
}

static void pieces_of_a_grid(void **state)
{
    (void)state;
    struct sweep s[2] = {good("C1.value=1uF,2uF,3uF"), good("R1.resistance=10ohm,20ohm")};
    assert_int_equal(sweep_pieces(s, 1), 3);
    assert_int_equal(sweep_pieces(s, 2), 6);
    assert_string_equal(sweep_label(arena, s, 1, 2), "C1.value=3 uF");
    assert_string_equal(sweep_label(arena, s, 2, 3), "C1.value=2 uF, R1.resistance=20 ohm");
    for (int i = 0; i < 6; i++)
        assert_int_equal(2 * sweep_index(s, 2, 0, i) + sweep_index(s, 2, 1, i), i);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(lists, open_shop, close_shop),
        cmocka_unit_test_setup_teardown(ranges, open_shop, close_shop),
        cmocka_unit_test_setup_teardown(mistakes, open_shop, close_shop),
        cmocka_unit_test_setup_teardown(pieces_of_a_grid, open_shop, close_shop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
