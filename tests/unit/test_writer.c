/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All or nothing: what stands in a folder before and after a writer committed, gave up, or could
 * not write. */
#include <math.h>
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <cmocka.h>

#include "folder.h"
#include "writer.h"

static struct arena *arena;

static int open_folder(void **state)
{
    (void)state;
    arena = arena_new();
    folder_make();
    return arena ? 0 : -1;
}

static int close_folder(void **state)
{
    (void)state;
    arena_free(arena);
    folder_remove();
    return 0;
}

static void commits_all_files(void **state)
{
    (void)state;
    struct writer *w = writer_begin(arena, folder_path("a/b"));
    writer_file(w, "one.csv");
    writer_text(w, "x,");
    writer_format(w, "%d,%s\n", 7, "y");
    writer_file(w, "inner/two.txt");
    writer_bytes(w, "abcdef", 3);
    assert_false(folder_has("a/b/one.csv"));
    assert_int_equal(writer_commit(w), STATUS_OK);
    assert_null(writer_message(w));
    assert_string_equal(folder_get("a/b/one.csv"), "x,7,y\n");
    assert_string_equal(folder_get("a/b/inner/two.txt"), "abc");
    assert_int_equal(folder_count("a/b"), 2); /* nothing partial is left */
}

static void replaces_and_retires(void **state)
{
    (void)state;
    folder_put("kept.txt", "old");
    folder_put("gone.txt", "old");
    folder_put("other.txt", "old");
    struct writer *w = writer_begin(arena, folder_path(""));
    writer_retire(w, "kept.txt");
    writer_retire(w, "gone.txt");
    writer_retire(w, "never there.txt");
    writer_file(w, "kept.txt");
    writer_text(w, "new");
    assert_string_equal(folder_get("kept.txt"), "old");
    assert_int_equal(writer_commit(w), STATUS_OK);
    assert_string_equal(folder_get("kept.txt"), "new");
    assert_string_equal(folder_get("other.txt"), "old");
    assert_false(folder_has("gone.txt"));
    assert_int_equal(folder_count(""), 2);
}

static void adopts_what_others_made(void **state)
{
    (void)state;
    struct writer *w = writer_begin(arena, folder_path("out"));
    writer_file(w, "plots/script");
    writer_text(w, "make picture");
    writer_pause(w);
    char path[600];
    snprintf(path, sizeof path, "%s/plots/picture", writer_partial(w));
    FILE *picture = fopen(path, "w");
    assert_non_null(picture);
    fputs("drawn", picture);
    fclose(picture);
    writer_adopt(w, "plots/picture");
    writer_adopt(w, "plots/not there");
    assert_int_equal(writer_commit(w), STATUS_OK);
    assert_string_equal(folder_get("out/plots/picture"), "drawn");
    assert_int_equal(folder_count("out/plots"), 2);
}

static void giving_up_leaves_no_trace(void **state)
{
    (void)state;
    folder_put("old.txt", "old");
    struct writer *w = writer_begin(arena, folder_path("x/y"));
    writer_file(w, "deep/er/file");
    writer_text(w, "text");
    writer_abandon(w);
    writer_abandon(w);
    assert_false(folder_has("x"));
    w = writer_begin(arena, folder_path(""));
    writer_file(w, "old.txt");
    writer_text(w, "new");
    writer_abandon(w);
    assert_string_equal(folder_get("old.txt"), "old");
    assert_int_equal(folder_count(""), 1);
}

static void gives_up_with_its_arena(void **state)
{
    (void)state;
    struct arena *short_lived = arena_new();
    struct writer *w = writer_begin(short_lived, folder_path("x"));
    writer_file(w, "file");
    writer_text(w, "text");
    assert_true(folder_has("x"));
    arena_free(short_lived);
    assert_false(folder_has("x"));
}

static void keeps_folders_that_hold_other_things(void **state)
{
    (void)state;
    struct writer *w = writer_begin(arena, folder_path("x"));
    folder_put("x/somebody else's", "text");
    writer_abandon(w);
    assert_true(folder_has("x/somebody else's"));
}

static void first_failure_stays(void **state)
{
    (void)state;
    folder_put("file", "a file, no folder");
    struct writer *w = writer_begin(arena, folder_path("file/out"));
    assert_non_null(writer_message(w));
    assert_non_null(strstr(writer_message(w), "file"));
    assert_non_null(strstr(writer_message(w), "Not a directory"));
    const char *first = writer_message(w);
    writer_file(w, "one");
    writer_text(w, "text");
    writer_number(w, 1);
    writer_field(w, "a,b");
    writer_format(w, "%d", 1);
    writer_adopt(w, "two");
    assert_int_equal(writer_commit(w), STATUS_WRITE);
    assert_ptr_equal(writer_message(w), first);
    assert_string_equal(folder_get("file"), "a file, no folder");
}

static void failing_half_way_moves_nothing(void **state)
{
    (void)state;
    folder_put("first.txt", "old");
    assert_int_equal(mkdir(folder_path("second.txt"), 0777), 0); /* a folder in a file's place */
    struct writer *w = writer_begin(arena, folder_path(""));
    writer_file(w, "first.txt");
    writer_text(w, "new");
    writer_file(w, "second.txt");
    writer_text(w, "new");
    assert_int_equal(writer_commit(w), STATUS_WRITE);
    assert_non_null(strstr(writer_message(w), "second.txt"));
    assert_string_equal(folder_get("first.txt"), "old");
    assert_int_equal(folder_count(""), 2);
}

static void a_full_disk_is_told(void **state)
{
    (void)state;
    folder_put("figures.csv", "old");
    struct rlimit before, small;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    small = before;
    small.rlim_cur = 4096;
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    struct writer *w = writer_begin(arena, folder_path(""));
    writer_file(w, "figures.csv");
    for (int i = 0; i < 1000; i++) writer_text(w, "0123456789012345678901234567890123456789\n");
    enum status status = writer_commit(w);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    signal(SIGXFSZ, SIG_DFL);
    assert_int_equal(status, STATUS_WRITE);
    assert_non_null(strstr(writer_message(w), "figures.csv: File too large"));
    assert_string_equal(folder_get("figures.csv"), "old");
    assert_int_equal(folder_count(""), 1);
}

static void two_writers_do_not_meet(void **state)
{
    (void)state;
    struct writer *a = writer_begin(arena, folder_path("")),
                  *b = writer_begin(arena, folder_path(""));
    assert_string_not_equal(writer_partial(a), writer_partial(b));
    writer_file(a, "f");
    writer_text(a, "a");
    writer_file(b, "f");
    writer_text(b, "b");
    assert_int_equal(writer_commit(b), STATUS_OK);
    assert_int_equal(writer_commit(a), STATUS_OK);
    assert_string_equal(folder_get("f"), "a");
    assert_int_equal(folder_count(""), 1);
}

static void numbers_and_fields(void **state)
{
    (void)state;
    static const double values[] = {0, -0.0, 0.1, 1.0 / 3, -273.15, 1e300, 1e-9, 123456789.5};
    struct writer *w = writer_begin(arena, folder_path(""));
    writer_file(w, "numbers");
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        writer_number(w, values[i]);
        writer_text(w, " ");
    }
    writer_number(w, HUGE_VAL);
    writer_text(w, " ");
    writer_number(w, -HUGE_VAL);
    writer_text(w, " ");
    writer_number(w, (double)NAN);
    writer_file(w, "fields");
    static const char *const fields[] = {"plain",         "",           "a,b",
                                         "say \"volts\"", "two\nlines", " blank "};
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++) {
        writer_field(w, fields[i]);
        writer_text(w, ";");
    }
    assert_int_equal(writer_commit(w), STATUS_OK);
    assert_string_equal(folder_get("numbers"),
                        "0 -0 0.1 0.333333333 -273.15 1e+300 1e-09 123456790 "
                        "inf -inf nan");
    assert_string_equal(folder_get("fields"),
                        "plain;;\"a,b\";\"say \"\"volts\"\"\";\"two\nlines\"; blank ;");
}

static void a_new_file_is_never_written_over(void **state)
{
    (void)state;
    assert_null(writer_new_file(arena, folder_path("new.yaml"), "format: 1\n", 10));
    assert_string_equal(folder_get("new.yaml"), "format: 1\n");
    const char *why = writer_new_file(arena, folder_path("new.yaml"), "other", 5);
    assert_non_null(why);
    assert_non_null(strstr(why, "new.yaml exists already"));
    assert_string_equal(folder_get("new.yaml"), "format: 1\n");
    why = writer_new_file(arena, folder_path("no folder/new.yaml"), "other", 5);
    assert_non_null(strstr(why, "No such file or directory"));
}

int main(void)
{
#define TEST(f) cmocka_unit_test_setup_teardown(f, open_folder, close_folder)
    const struct CMUnitTest tests[] = {
        TEST(commits_all_files),       TEST(replaces_and_retires),
        TEST(adopts_what_others_made), TEST(giving_up_leaves_no_trace),
        TEST(gives_up_with_its_arena), TEST(keeps_folders_that_hold_other_things),
        TEST(first_failure_stays),     TEST(failing_half_way_moves_nothing),
        TEST(a_full_disk_is_told),     TEST(two_writers_do_not_meet),
        TEST(numbers_and_fields),      TEST(a_new_file_is_never_written_over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
