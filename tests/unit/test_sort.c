/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Against qsort by key and former place, which has one answer only. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "sort.h"

enum { ITEMS = 200 };

struct item {
    char key; /* few of them, so that many are equal */
    int place;
    char tail[5]; /* an odd size */
};

static int by_key(const void *a, const void *b)
{
    return ((const struct item *)a)->key - ((const struct item *)b)->key;
}

static int by_key_and_place(const void *a, const void *b)
{
    int keys = by_key(a, b);
    return keys ? keys : ((const struct item *)a)->place - ((const struct item *)b)->place;
}

static void equal_items_keep_their_order(void **state)
{
    static struct item sorted[ITEMS], wanted[ITEMS];
    unsigned random = 1;
    (void)state;
    for (int n = 0; n <= ITEMS; n++) {
        for (int i = 0; i < n; i++) {
            random = random * 1103515245u + 12345u;
            sorted[i] = (struct item){(char)(random >> 16 & 7), i, {(char)i}};
        }
        memcpy(wanted, sorted, sizeof wanted);
        sort_stable(sorted, n, sizeof *sorted, by_key);
        qsort(wanted, (size_t)n, sizeof *wanted, by_key_and_place);
        for (int i = 0; i < n; i++) {
            assert_int_equal(sorted[i].key, wanted[i].key);
            assert_int_equal(sorted[i].place, wanted[i].place);
            assert_int_equal(sorted[i].tail[0], wanted[i].tail[0]);
        }
    }
    sort_stable(NULL, 0, sizeof *sorted, by_key);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(equal_items_keep_their_order)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
