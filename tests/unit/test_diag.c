/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a person reads on the terminal, character by character; and the list of statuses. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "diag.h"
#include "status.h"
#include "words_status.h"

struct bench {
    struct arena *arena;
    struct diags *diags;
    char *printed;
    size_t bytes;
};

static int set_up(void **state)
{
    struct bench *b = calloc(1, sizeof *b);
    b->arena = arena_new();
    b->diags = diags_new(b->arena);
    *state = b;
    return 0;
}

static int tear_down(void **state)
{
    struct bench *b = *state;
    free(b->printed);
    arena_free(b->arena);
    free(b);
    return 0;
}

static const char *print(struct bench *b)
{
    free(b->printed);
    FILE *to = open_memstream(&b->printed, &b->bytes);
    assert_non_null(to);
    diags_print(b->diags, to);
    fclose(to);
    return b->printed;
}

static void add(struct bench *b, const char *file, int line, int column, const char *message)
{
    diags_add(b->diags, DIAG_ERROR, (struct place){file, line, column}, NULL, "%s", message);
}

static void test_whole_message(void **state)
{
    struct bench *b = *state;
    diags_source(b->diags, "set.yaml", "format: 1\n  value: 8 MF\nrun: 1\n");
    diags_add(b->diags, DIAG_ERROR, (struct place){"set.yaml", 2, 10}, "write 8 uF",
              "`%s` can be read in %d ways", "8 MF", 2);
    assert_string_equal(print(b), "set.yaml:2:10: error: `8 MF` can be read in 2 ways\n"
                                  "    value: 8 MF\n"
                                  "           ^\n"
                                  "  hint: write 8 uF\n");
}

static void test_counts_and_order_found(void **state)
{
    struct bench *b = *state;
    assert_string_equal(print(b), "");
    assert_int_equal(diags_count(b->diags), 0);
    add(b, "b", 9, 1, "late");
    diags_add(b->diags, DIAG_WARNING, (struct place){"b", 1, 1}, NULL, "guessed");
    diags_add(b->diags, DIAG_NOTE, (struct place){"b", 1, 1}, NULL, "seen");
    assert_int_equal(diags_errors(b->diags), 1);
    assert_int_equal(diags_count(b->diags), 3);
    assert_string_equal(diags_at(b->diags, 0)->message, "late");
    assert_int_equal(diags_at(b->diags, 0)->at.line, 9);
    assert_int_equal(diags_at(b->diags, 1)->severity, DIAG_WARNING);
    assert_null(diags_at(b->diags, 2)->hint);
    assert_string_equal(print(b),
                        "b:1:1: warning: guessed\nb:1:1: note: seen\nb:9:1: error: late\n");
}

static void test_hint_is_copied(void **state)
{
    struct bench *b = *state;
    char hint[] = "write 8 uF";
    diags_add(b->diags, DIAG_ERROR, (struct place){NULL, 0, 0}, hint, "wrong");
    hint[0] = 'X';
    assert_string_equal(diags_at(b->diags, 0)->hint, "write 8 uF");
    assert_string_equal(print(b), "error: wrong\n  hint: write 8 uF\n");
}

static void test_sorted_by_place(void **state)
{
    struct bench *b = *state;
    add(b, "b.yaml", 1, 1, "5");
    add(b, "a.yaml", 10, 2, "4");
    add(b, "a.yaml", 2, 7, "2");
    add(b, "a.yaml", 2, 7, "3");
    add(b, "a.yaml", 2, 1, "1");
    add(b, "a.yaml", 0, 0, "0");
    assert_string_equal(print(b), "a.yaml: error: 0\na.yaml:2:1: error: 1\na.yaml:2:7: error: 2\n"
                                  "a.yaml:2:7: error: 3\na.yaml:10:2: error: 4\n"
                                  "b.yaml:1:1: error: 5\n");
}

static void test_same_message_once(void **state)
{
    struct bench *b = *state;
    add(b, "a", 1, 1, "x");
    add(b, "a", 1, 1, "y");
    add(b, "a", 1, 1, "x");
    add(b, "a", 1, 2, "x");
    diags_add(b->diags, DIAG_NOTE, (struct place){"a", 1, 1}, NULL, "x");
    assert_string_equal(print(b), "a:1:1: error: x\na:1:1: error: y\na:1:1: note: x\n"
                                  "a:1:2: error: x\n");
}

static void test_caret_below_tabs_and_letters_of_many_bytes(void **state)
{
    struct bench *b = *state;
    diags_source(b->diags, "f", "\ta\tb\nk\xCE\xA9: \xC2\xB5!\n");
    add(b, "f", 1, 4, "t");
    add(b, "f", 2, 6, "u");
    assert_string_equal(print(b), "f:1:4: error: t\n  \ta\tb\n  \t \t^\n"
                                  "f:2:6: error: u\n  k\xCE\xA9: \xC2\xB5!\n       ^\n");
}

static void test_ends_of_lines(void **state)
{
    struct bench *b = *state;
    diags_source(b->diags, "f",
                 "1\n2\r\n3\r4\xC2\x85"
                 "5\xE2\x80\xA8"
                 "6\xE2\x80\xA9"
                 "7");
    for (int line = 1; line <= 7; line++) add(b, "f", line, 1, "m");
    add(b, "f", 8, 1, "behind the end");
    char wanted[400] = "";
    for (int line = 1; line <= 7; line++)
        snprintf(wanted + strlen(wanted), sizeof wanted - strlen(wanted),
                 "f:%d:1: error: m\n  %d\n  ^\n", line, line);
    strcat(wanted, "f:8:1: error: behind the end\n");
    assert_string_equal(print(b), wanted);
}

static void test_line_without_column_and_column_behind_the_line(void **state)
{
    struct bench *b = *state;
    diags_source(b->diags, "f", "abc\n");
    add(b, "f", 1, 0, "whole line");
    add(b, "f", 1, 6, "behind");
    assert_string_equal(print(b), "f:1: error: whole line\n  abc\n"
                                  "f:1:6: error: behind\n  abc\n       ^\n");
}

static void test_files_unknown_or_given_again(void **state)
{
    struct bench *b = *state;
    diags_source(b->diags, "f", "old\n");
    diags_source(b->diags, "f", "new\n");
    add(b, "f", 1, 1, "m");
    add(b, "g", 1, 1, "m");
    assert_string_equal(print(b), "f:1:1: error: m\n  new\n  ^\ng:1:1: error: m\n");
}

/* Of a line of 300 letters 120 are shown, and the caret stands below the right one. */
static void test_long_line(void **state)
{
    struct bench *b = *state;
    char text[301], line[160];
    for (int i = 0; i < 300; i++) text[i] = (char)('a' + i % 26);
    text[300] = 0;
    diags_source(b->diags, "f", text);
    add(b, "f", 1, 5, "early");
    add(b, "f", 1, 200, "late");
    const char *shown = print(b);
    snprintf(line, sizeof line, "  %.120s...\n", text);
    assert_non_null(strstr(shown, line));
    assert_non_null(strstr(shown, "...\n      ^\n"));
    snprintf(line, sizeof line, "  ...%.120s...\n", text + 119);
    assert_non_null(strstr(shown, line));
    const char *quoted = strstr(shown, line), *caret = strrchr(shown, '^');
    const char *caret_line = strchr(quoted, '\n') + 1;
    assert_int_equal(quoted[caret - caret_line], text[199]);
}

static void test_nothing_harmful_reaches_the_terminal(void **state)
{
    struct bench *b = *state;
    diags_source(b->diags, "f\x1B", "a\x1B[31m\x7F\xC2\x9B\xE2\x80\xAE\xEF\xBB\xBF\xB5\xE2\x82\n");
    diags_add(b->diags, DIAG_ERROR, (struct place){"f\x1B", 1, 7}, "h\x1B\n",
              "m\r\xE2\x81\xA6\xC2");
    assert_string_equal(print(b),
                        "f?:1:7: error: m???\n  a?[31m??\?????\n        ^\n  hint: h??\n");
}

static void test_statuses(void **state)
{
    (void)state;
    static const enum status all[] = {STATUS_OK,         STATUS_OVER_RATING, STATUS_USAGE,
                                      STATUS_SCENARIO,   STATUS_SOLUTION,    STATUS_WRITE,
                                      STATUS_INTERRUPTED};
    assert_int_equal(STATUS_COUNT, sizeof all / sizeof all[0]);
    for (int i = 0; i < STATUS_COUNT; i++) {
        assert_int_equal(status_exit_code(all[i]), i);
        for (int j = 0; j < i; j++)
            assert_string_not_equal(words_status(all[i]), words_status(all[j]));
    }
    assert_string_equal(words_status(STATUS_WRITE), "cannot write");
}

#define WITH_BENCH(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH_BENCH(test_whole_message),
        WITH_BENCH(test_counts_and_order_found),
        WITH_BENCH(test_hint_is_copied),
        WITH_BENCH(test_sorted_by_place),
        WITH_BENCH(test_same_message_once),
        WITH_BENCH(test_caret_below_tabs_and_letters_of_many_bytes),
        WITH_BENCH(test_ends_of_lines),
        WITH_BENCH(test_line_without_column_and_column_behind_the_line),
        WITH_BENCH(test_files_unknown_or_given_again),
        WITH_BENCH(test_long_line),
        WITH_BENCH(test_nothing_harmful_reaches_the_terminal),
        cmocka_unit_test(test_statuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
