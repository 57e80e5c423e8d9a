/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a program called gnuplot is found and started; here it is a script of the test's own that
 * writes down what it was given. */
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#include "folder.h"
#include "gnuplot.h"

static struct arena *arena;

static int open_folder(void **state)
{
    (void)state;
    arena = arena_new();
    folder_make();
    return 0;
}

static int close_folder(void **state)
{
    (void)state;
    arena_free(arena);
    folder_remove();
    return 0;
}

/* A program of that name in the test's folder. */
static const char *program(const char *name, const char *commands)
{
    folder_put(name, arena_printf(arena, "#!/bin/sh\n%s\n", commands));
    assert_int_equal(chmod(folder_path(name), 0755), 0);
    return arena_printf(arena, "%s", folder_path(name));
}

static void finds_the_first_on_the_path(void **state)
{
    (void)state;
    assert_int_equal(mkdir(folder_path("a"), 0777), 0);
    assert_int_equal(mkdir(folder_path("b"), 0777), 0);
    assert_int_equal(mkdir(folder_path("c"), 0777), 0);
    assert_int_equal(mkdir(folder_path("a/gnuplot"), 0777), 0); /* a folder is no program */
    const char *first = program("b/gnuplot", "exit 0");
    program("c/gnuplot", "exit 0");
    const char *folder = arena_printf(arena, "%s", folder_path(""));
    setenv("PATH", arena_printf(arena, "/nowhere:%s/a:%s/b:%s/c", folder, folder, folder), 1);
    assert_string_equal(gnuplot_find(arena), first);
    chmod(first, 0644); /* nor is what may not be run; root may run what anybody may */
    assert_string_equal(gnuplot_find(arena), arena_printf(arena, "%s/c/gnuplot", folder));
}

static void looks_in_no_relative_folder(void **state)
{
    (void)state;
    program("gnuplot", "exit 0");
    assert_int_equal(chdir(folder_path("")), 0);
    static const char *const paths[] = {"", ".", ":", "./", "::.:"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        setenv("PATH", paths[i], 1);
        assert_null(gnuplot_find(arena));
    }
    assert_int_equal(chdir("/"), 0);
}

static void runs_in_the_scripts_folder(void **state)
{
    (void)state;
    const char *fake = program("gnuplot", "{ pwd; echo \"$#:$1:$2\"; wc -c; } > said; echo noise; "
                                          "echo noise >&2; exit 7");
    const char *name = "it's $(touch x); \"&.gp";
    char before[512], after[512];
    assert_int_equal(mkdir(folder_path("out put"), 0777), 0);
    setenv("PATH", "/usr/bin:/bin", 1);
    assert_non_null(getcwd(before, sizeof before));
    const char *folder = arena_printf(arena, "%s", folder_path("out put"));
    assert_int_equal(gnuplot_run(fake, folder, name, 60, NULL), 7);
    assert_non_null(getcwd(after, sizeof after));
    assert_string_equal(before, after);
    assert_string_equal(folder_get("out put/said"),
                        arena_printf(arena, "%s\n2:-d:%s\n0\n", folder, name));
    assert_int_equal(folder_count("out put"), 1);
}

static void tells_how_it_ended(void **state)
{
    (void)state;
    const char *folder = arena_printf(arena, "%s", folder_path(""));
    assert_int_equal(gnuplot_run(program("good", "exit 0"), folder, "s", 60, NULL), 0);
    assert_int_equal(gnuplot_run(program("killed", "kill -TERM $$"), folder, "s", 60, NULL),
                     128 + SIGTERM);
    assert_int_equal(gnuplot_run("/no/such/program", folder, "s", 60, NULL), -1);
    assert_int_equal(gnuplot_run(program("good", "exit 0"), "/no/such/folder", "s", 60, NULL), -1);
}

/* One that hangs is ended with what it started, and no other picture is waited for. */
static void has_no_more_than_its_time(void **state)
{
    (void)state;
    const char *folder = arena_printf(arena, "%s", folder_path(""));
    setenv("PATH", "/usr/bin:/bin", 1);
    const struct timespec enough = {1, 500000000};
    const char *hangs = program("hangs", "(sleep 1; echo > late) & sleep 100");
    assert_int_equal(gnuplot_run(hangs, folder, "s", 0.3, NULL), GNUPLOT_ENDED);
    nanosleep(&enough, NULL);
    assert_int_equal(access(folder_path("late"), F_OK), -1);
}

int main(void)
{
#define TEST(f) cmocka_unit_test_setup_teardown(f, open_folder, close_folder)
    const struct CMUnitTest tests[] = {
        TEST(finds_the_first_on_the_path), TEST(looks_in_no_relative_folder),
        TEST(runs_in_the_scripts_folder),  TEST(tells_how_it_ended),
        TEST(has_no_more_than_its_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
