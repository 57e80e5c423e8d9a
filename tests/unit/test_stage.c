/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a run works with when a stage begins, and that a state kept is taken back whole. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "handmade.h"
#include "near.h"
#include "numbers.h"
#include "session.h"

/* 10 V crest behind 100 ohm into 2 H beside 1 uF that holds 3 V. */
static struct handmade coil_and_capacitor(void)
{
    struct handmade h = handmade_new(60);
    hand_sine(&h, "S", "a", "0", 10, 0);
    hand_r(&h, "R", "a", "b", 100);
    hand_l(&h, "L", "b", "0", 2, 0);
    hand_c(&h, "C", "b", "0", 1e-6, 3);
    return h;
}

static struct session *begun(struct handmade *h)
{
    struct run_options o = run_defaults();
    o.angle = 0;
    o.duration = 1;
    struct session *s = session_new(h->arena, hand_setup(h), &o);
    assert_true(session_stage(s, 0));
    return s;
}

/* Errors are held against a hundredth of the source's volts, or against the current these drive
 * through a coil: V / (2 pi f L). */
static void ranges_begin_at_a_floor(void **state)
{
    struct handmade h = coil_and_capacitor();
    const struct session *s = begun(&h);
    (void)state;
    assert_int_equal(s->network->capacitors, 1);
    assert_int_equal(s->network->inductors, 1);
    near_rel(s->range[0], 3, 1e-12, "V"); /* what it holds is more */
    near_rel(s->range[1], 0.01 * 10 / (2 * PI * 60 * 2), 1e-12, "A");
    handmade_free(&h);
}

static void a_state_is_taken_back_whole(void **state)
{
    struct handmade h = coil_and_capacitor();
    struct session *s = begun(&h);
    double z[2], back[2];
    (void)state;
    session_read(s, z);
    near_rel(z[0], 3, 1e-12, "V");
    struct moving *was = session_moving_new(s);
    session_keep(s, was);
    const struct moving then = s->now;
    double *rows = ARENA_ARRAY(h.arena, double, s->room);
    memcpy(rows, s->now.rows, s->room * sizeof *rows);
    near_abs(session_row(s, was, s->range)[1], s->range[1], 0, "A");

    for (size_t k = 0; k < s->room; k++) s->now.rows[k] += 1;
    s->now.t = 7;
    s->now.opening = s->now.impulsive = 1;
    s->now.arc_end = 8;
    s->now.status = STATUS_SOLUTION;
    s->now.trouble.cause = TROUBLE_LEAP;
    s->eq->between = 9;
    array_push(h.arena, &s->now.tripped, (struct tripped){"F1", "", 6});

    session_take_back(s, was);
    assert_memory_equal(s->now.rows, rows, s->room * sizeof *rows);
    assert_ptr_equal(s->now.rows, then.rows);
    near_abs(s->now.t, then.t, 0, "s");
    assert_true(s->now.opening == then.opening && s->now.impulsive == then.impulsive);
    assert_true(isinf(s->now.arc_end));
    assert_int_equal(s->now.status, STATUS_OK);
    assert_int_equal(s->now.trouble.cause, TROUBLE_NONE);
    assert_int_equal(s->now.tripped.n, 0);
    near_abs(s->eq->between, was->between, 0, "s");
    session_read(s, back);
    assert_memory_equal(back, z, sizeof z);
    handmade_free(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ranges_begin_at_a_floor),
        cmocka_unit_test(a_state_is_taken_back_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
