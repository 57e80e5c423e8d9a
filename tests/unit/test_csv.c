/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Records by the rules of RFC 4180, section 2, with its own examples. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "csv.h"

enum { FIELDS = 4 };

static char *field[FIELDS];
static int column[FIELDS];
static struct csv_record record;

static bool next(struct csv *csv)
{
    return csv_next(csv, field, column, FIELDS, &record);
}

static void reads_what_the_rules_say(void **state)
{
    (void)state;
    char text[] = "aaa,bbb,ccc\r\n\"aaa\",\"b CRLF\r\nbb\",\"ccc\"\nzzz,\"b\"\"bb\",";
    struct csv csv = {text, ',', 1};
    assert_true(next(&csv));
    assert_int_equal(record.n, 3);
    assert_string_equal(field[2], "ccc");
    assert_int_equal(column[2], 9);
    assert_true(next(&csv));
    assert_int_equal(record.line, 2);
    assert_string_equal(field[1], "b CRLF\r\nbb");
    assert_true(next(&csv));
    assert_int_equal(record.line, 4);
    assert_string_equal(field[0], "zzz");
    assert_string_equal(field[1], "b\"bb");
    assert_string_equal(field[2], "");
    assert_int_equal(record.n, 3);
    assert_false(record.open);
    assert_false(next(&csv));
}

static void counts_what_it_does_not_keep(void **state)
{
    (void)state;
    char text[] = "1,2,3,4,5,6\n\n7";
    struct csv csv = {text, ',', 1};
    assert_true(next(&csv));
    assert_int_equal(record.n, 6);
    assert_string_equal(field[3], "4");
    assert_true(next(&csv));
    assert_int_equal(record.n, 1);
    assert_string_equal(field[0], "");
    assert_true(next(&csv));
    assert_string_equal(field[0], "7");
    assert_string_equal(field[3], "");
    assert_int_equal(record.line, 3);
}

static void says_where_a_quote_is_left_open(void **state)
{
    (void)state;
    char text[] = "a,b\n\"c\nd";
    struct csv csv = {text, ',', 1};
    assert_true(next(&csv));
    assert_true(next(&csv));
    assert_true(record.open);
    assert_int_equal(record.line, 2);
    assert_false(next(&csv));
}

static void finds_the_separator(void **state)
{
    (void)state;
    assert_int_equal(csv_separator("a;b,c\n"), ';');
    assert_int_equal(csv_separator("\"a;b\"\tc;d"), '\t');
    assert_int_equal(csv_separator("a\n;"), ',');
    char text[] = "\"4,7\";x";
    struct csv csv = {text, ';', 1};
    assert_true(next(&csv));
    assert_string_equal(field[0], "4,7");
    assert_string_equal(field[1], "x");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_what_the_rules_say),
        cmocka_unit_test(counts_what_it_does_not_keep),
        cmocka_unit_test(says_where_a_quote_is_left_open),
        cmocka_unit_test(finds_the_separator),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
