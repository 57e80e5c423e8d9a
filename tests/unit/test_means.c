/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The history of means against the rule of means.h: never too few periods, too many by less than a
 * block, however often blocks have been merged. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "means.h"

/* One mean `value` at period `odd` among `periods` of 10. */
static int outside(int periods, int odd, double value)
{
    struct arena *arena = arena_new();
    struct means *m = means_new(arena, 2);
    for (int k = 0; k < periods; k++) means_push(m, (const double[]){10, k == odd ? value : 10});
    assert_int_equal(means_last_outside(m, 0, 9, 11), 0);
    int after = means_last_outside(m, 1, 9, 11);
    arena_free(arena);
    return after;
}

static void last_outside_is_found_through_merged_blocks(void **state)
{
    (void)state;
    for (int size = 1; size <= 4; size *= 2) {
        const int periods = MEANS_BLOCKS * size - 7;
        for (int odd = 500; odd < 500 + 2 * size; odd++)
            for (int side = -1; side <= 1; side += 2) {
                int after = outside(periods, odd, 10 + 2 * side);
                assert_true(after >= odd + 1 && after < odd + 1 + size);
            }
        assert_int_equal(outside(periods, periods - 1, 20), periods);
        assert_int_equal(outside(periods, 500, 10.5), 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(last_outside_is_found_through_merged_blocks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
