/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of work are all done once and taken in order, whatever the number of threads. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stddef.h>
#include <stdint.h>
#include <time.h>

#include <cmocka.h>

#include "pool.h"

enum { PIECES = 200 };

struct shop {
    atomic_int begun[PIECES];
    atomic_int ahead, most_ahead;
    int taken, stop_at;
};

static void work(void *context, int i)
{
    struct shop *s = context;
    atomic_fetch_add(&s->begun[i], 1);
    int ahead = atomic_fetch_add(&s->ahead, 1) + 1, most = atomic_load(&s->most_ahead);
    while (ahead > most && !atomic_compare_exchange_weak(&s->most_ahead, &most, ahead)) {
    }
    struct timespec nap = {0, i % 7 == 0 ? 300000 : 1000};
    nanosleep(&nap, NULL);
}

static bool take(void *context, int i)
{
    struct shop *s = context;
    assert_int_equal(i, s->taken);
    assert_int_equal(atomic_load(&s->begun[i]), 1);
    atomic_fetch_sub(&s->ahead, 1);
    s->taken++;
    return s->taken != s->stop_at;
}

static void all_are_taken_in_order(void **state)
{
    static const int jobs[] = {1, 2, 7, 1000};
    (void)state;
    for (int k = 0; k < 4; k++) {
        struct shop s = {0};
        assert_true(pool_run(PIECES, jobs[k], 10, work, take, &s));
        assert_int_equal(s.taken, PIECES);
        if (jobs[k] <= 10) assert_true(s.most_ahead <= 10);
    }
}

static void nothing_is_begun_after_the_stop(void **state)
{
    struct shop s = {.stop_at = 30};
    (void)state;
    assert_false(pool_run(PIECES, 3, 5, work, take, &s));
    assert_int_equal(s.taken, 30);
    int begun = 0;
    for (int i = 0; i < PIECES; i++) begun += s.begun[i];
    assert_true(begun >= 30 && begun <= 35);
}

static void nothing_to_do(void **state)
{
    struct shop s = {0};
    (void)state;
    assert_true(pool_run(0, 4, 4, work, take, &s));
    assert_int_equal(s.taken, 0);
    assert_true(pool_processors() >= 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_are_taken_in_order),
        cmocka_unit_test(nothing_is_begun_after_the_stop),
        cmocka_unit_test(nothing_to_do),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
