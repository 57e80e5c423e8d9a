/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What templates become, and where their mistakes are told. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "folder.h"
#include "template.h"

static struct arena *arena;
static struct diags *diags;
static struct fill *fill;

static int open_folder(void **state)
{
    (void)state;
    arena = arena_new();
    diags = diags_new(arena);
    fill = template_new(arena);
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

/* Fills in the template `text`; NULL when it is refused. */
static const char *filled(const char *text)
{
    folder_put("t.gp", text);
    struct writer *w = writer_begin(arena, folder_path("out"));
    writer_file(w, "result");
    const char *folder = arena_printf(arena, "%s", folder_path(""));
    bool good = template_write(w, diags, folder, "t.gp", fill);
    assert_int_equal(writer_commit(w), STATUS_OK);
    assert_int_equal(good, diags_errors(diags) == 0);
    return good ? folder_get("out/result") : NULL;
}

static void values(void **state)
{
    (void)state;
    template_text(fill, "A", "one @B@");
    template_text(fill, "B", "old");
    template_text(fill, "B", "two");
    template_number(fill, "C", 1.0 / 3);
    assert_string_equal(filled("@A@/@B@ @@ @C@\n@B@@B@\nlast"),
                        "one @B@/two @ 0.333333333\ntwotwo\nlast\n");
}

static void quoted_texts_are_only_data(void **state)
{
    (void)state;
    template_quoted(fill, "T", "\"5\" \\ `date` $HOME\n{x}_^\x01");
    assert_string_equal(filled("set title @T@\n"), "set title '\"5\" \\ `date` $HOME {x}_^ '\n");
    template_quoted(fill, "T", "'36 it''s \"5\" \\7 `date` $HOME\n{x}_^\x01'");
    assert_string_equal(
        filled("set title @T@\n"),
        "set title \"'36 it''s \\0425\\042 \\1347 \\140date\\140 $HOME {x}_^ '\"\n");
}

static void lists(void **state)
{
    (void)state;
    template_text(fill, "UNIT", "V");
    template_list(fill, "NONE");
    for (int i = 1; i <= 2; i++) {
        struct fill *row = template_row(fill, "ROWS");
        template_text(row, "N", i == 1 ? "first" : "second");
        for (int k = 0; k < i; k++) template_text(template_row(row, "INNER"), "K", k ? "b" : "a");
    }
    assert_string_equal(filled("@# a remark\n"
                               "@for ROWS@\n"
                               "row @N@ [@UNIT@]\n"
                               "  @for INNER@\n"
                               "  @K@ of @N@\n"
                               "  @end@\n"
                               "@end@\n"
                               "@for NONE@\n"
                               "never @NOT KNOWN@\n"
                               "@for ROWS@\n"
                               "@end@\n"
                               "@end@\n"
                               "end\n"),
                        "row first [V]\n  a of first\nrow second [V]\n  a of second\n"
                        "  b of second\nend\n");
}

static void other_files(void **state)
{
    (void)state;
    folder_put("style.gp", "style of @A@\n");
    template_text(fill, "A", "value");
    assert_string_equal(filled("one\n@include style.gp@\ntwo\n"), "one\nstyle of value\ntwo\n");
}

static void is_refused(const char *text, int line, int column, const char *message)
{
    int before = diags_errors(diags);
    assert_null(filled(text));
    assert_int_equal(diags_errors(diags), before + 1);
    const struct diag *d = diags_at(diags, diags_count(diags) - 1);
    assert_non_null(strstr(d->message, message));
    assert_int_equal(d->at.line, line);
    assert_int_equal(d->at.column, column);
    diags = diags_new(arena);
}

static void mistakes(void **state)
{
    (void)state;
    template_row(fill, "ROWS");
    is_refused("one\nset @NAME@\n", 2, 5, "no value is called `NAME`");
    is_refused("50 @ 60\n", 1, 4, "not closed");
    is_refused("a\n@for LINES@\n@end@\n", 2, 6, "no list is called `LINES`");
    is_refused("a\n@for ROWS@\nb\n", 2, 1, "has no `@end@`");
    is_refused("a\n@end@\n", 2, 1, "nothing to end");
    is_refused("@include t.gp@\n", 1, 10, "too deep");
    is_refused("@include none.gp@\n", 0, 0, "cannot read this template: No such file");
}

int main(void)
{
#define TEST(f) cmocka_unit_test_setup_teardown(f, open_folder, close_folder)
    const struct CMUnitTest tests[] = {
        TEST(values),   TEST(quoted_texts_are_only_data), TEST(lists), TEST(other_files),
        TEST(mistakes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
