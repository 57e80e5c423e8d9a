/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings of the shipped sets whose cause anybody at a bench would name. They are invented; what is
 * expected follows from the circuit. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "diagnose.h"
#include "near.h"
#include "numbers.h"
#include "shipped.h"
#include "shop.h"

enum { MOST = 6 };

/* Names and values one after the other, NULL at the end. */
static const struct diagnosis *diagnosed(const char *set, const char *const *readings)
{
    const struct responses_options options = {.jobs = 2};
    const char *name[MOST], *value[MOST];
    int n = 0;
    for (; readings[2 * n]; n++) name[n] = readings[2 * n], value[n] = readings[2 * n + 1];
    const struct scenario *s =
        readings_instead(shop_arena(), shipped_scenario(shop_arena(), set), n, name, name, value);
    const struct diagnosis *d =
        diagnose(shop_arena(), diags_new(shop_arena()), s, NULL, NULL, &options);
    assert_int_equal(d->status, STATUS_OK);
    return d;
}

static int cause_of(const struct responses *r, const char *part, const char *name)
{
    for (int i = 0; i < r->causes.n; i++)
        if (strcmp(r->causes.at[i].part, part) == 0 && strcmp(r->causes.at[i].name, name) == 0)
            return i;
    fail_msg("no cause `%s: %s`", part, name);
    return -1;
}

static void first_is(const struct diagnosis *d, const char *part, const char *name)
{
    assert_int_equal(d->order[0], cause_of(&d->r, part, name));
}

/* A tester shows twelve times the leakage that is written: nothing but that capacitor does it. */
static void a_tester_counts(void **state)
{
    static const char *const read[] = {
        "first filter DC", "325 V", "first filter AC", "8.6 V", "C1 old leakage",
        "25 mA at 350 V",  NULL};
    (void)state;
    const struct diagnosis *d = diagnosed("bridged-capacitor", read);
    first_is(d, "C1 old", "leaky");
    assert_true(d->of[cause_of(&d->r, "V5", "one plate dead")].share < 0.01);
}

/* 0.9 V of ripple where the sound set has some millivolts is no pick-up, though a meter may make a
 * tenth of a volt of nothing. */
static void ripple_of_next_to_nothing(void **state)
{
    static const char *const read[] = {"driver B+ AC", "0.9 V", "B+ DC", "402 V",
                                       "driver B+ DC", "352 V", NULL};
    (void)state;
    const struct diagnosis *d = diagnosed("amplifier", read);
    first_is(d, "C3", "open");
    assert_true(d->of[0].share < 1e-3);
}

/* Another tube brings a drop of its own: the spread of the one that is out is not laid over it. */
static void another_tube_has_its_own_drop(void **state)
{
    static const char *const read[] = {"B+ DC", "380 V", NULL};
    (void)state;
    const struct diagnosis *d = diagnosed("amplifier", read);
    const struct responses *r = &d->r;
    const struct cause *other = &r->causes.at[cause_of(r, "V7", "another type")];
    double *values = ARENA_ARRAY(shop_arena(), double, r->uncertain.values.n);
    double *own = ARENA_ARRAY(shop_arena(), double, r->width),
           *laid = ARENA_ARRAY(shop_arena(), double, r->width);
    for (int i = 0; i < r->uncertain.values.n; i++) values[i] = r->uncertain.values.at[i].value;
    double most = 0;
    for (int k = 0; k < other->nodes; k++) {
        struct responses_single single = {.cause = {other}, .severity = {other->severity[k]}};
        assert_true(responses_single(shop_arena(), r, &single, 1, own));
        single.values = values;
        assert_true(responses_single(shop_arena(), r, &single, 1, laid));
        most = larger(most, fabs(own[0] - r->q.reads.at[0].sound));
        near_rel(laid[0], own[0], 1e-3, "V");
    }
    assert_true(most > 20);
}

static void selenium_ages(void **state)
{
    static const char *const read[] = {"first filter DC", "105 V", "string DC", "5.6 V", NULL};
    (void)state;
    const struct diagnosis *d = diagnosed("selenium-portable", read);
    first_is(d, "D1", "aged");
}

/* The point in the wrong place: what the others let expect is ten times that. */
static void a_slip_of_the_pen(void **state)
{
    static const char *const read[] = {"first filter DC", "341 V",         "B+ DC",
                                       "23.1 V",          "mains current", "0.52 A",
                                       "first filter AC", "11.9 V",        NULL};
    (void)state;
    const struct diagnosis *d = diagnosed("field-coil", read);
    assert_false(d->serves);
    assert_int_equal(d->odd, 1);
    assert_int_equal(d->pair_count, 0);
    near_rel(diagnose_expected(d, d->odd_cause, d->odd_place, 1), 231, 0.03, "V");
}

/* Any of four diodes may be shorted, none of them likely by itself. */
static void one_of_four_is_dangerous(void **state)
{
    static const char *const read[] = {"first filter DC", "262 V",  "first filter AC",
                                       "6.3 V",           "B+ DC",  "228 V",
                                       "B+ AC",           "0.35 V", NULL};
    (void)state;
    const struct diagnosis *d = diagnosed("bridge", read);
    assert_true(d->of[cause_of(&d->r, "D1", "shorted")].share < 0.05);
    assert_int_equal(d->limit, NEXT_NO_FULL_LINE);
    for (int i = 0; i < d->nexts; i++)
        assert_int_not_equal(d->r.q.reads.at[d->next[i].read].class, CLASS_LINE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tester_counts),
        cmocka_unit_test(ripple_of_next_to_nothing),
        cmocka_unit_test(another_tube_has_its_own_drop),
        cmocka_unit_test(selenium_ages),
        cmocka_unit_test(a_slip_of_the_pen),
        cmocka_unit_test(one_of_four_is_dangerous),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
