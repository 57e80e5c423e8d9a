/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every message about the form of a file once, and damage of all kinds. The sets are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "arena.h"
#include "diag.h"
#include "doc.h"

struct mistake {
    const char *text;
    int line, column;
    const char *message, *hint;
};

static const char in_quotes[] = "put the text in quotes";
static const char key_value[] = "write `key: value` with a blank behind the colon";
static const char same_column[] =
    "lines of one map begin in the same column, and so do the items of one list";
static const char pairs[] = "quotes, braces and brackets come in pairs; an apostrophe inside "
                            "single quotes is written twice";
static const char start_new[] = "`presolder new KIND` writes a commented scenario to fill in";
static const char blanks[] = "indent with blanks, two for each level";

static const struct mistake mistakes[] = {
    {"", 0, 0, "the file is empty", start_new},
    {"\xEF\xBB\xBF", 0, 0, "the file is empty", start_new},
    {"# only this\n\n", 0, 0, "the file holds nothing but comments or blanks", start_new},
    {"---\n", 0, 0, "the file holds nothing but comments or blanks", start_new},
    {"a: 1\nb: 5 \xB5"
     "F\n",
     2, 6, "this is not a text file in UTF-8", "save it as plain text in UTF-8"},
    {"a: \xC0\xAF\n", 1, 4, "this is not a text file in UTF-8", "save it as plain text in UTF-8"},
    {"a: \xED\xA0\x80\n", 1, 4, "this is not a text file in UTF-8",
     "save it as plain text in UTF-8"},
    {"a: \x1B[31m\n", 1, 4, "there is a control character (U+001B) here", "take it out"},
    {"a: 1\n\xEF\xBB\xBF"
     "b: 2\n",
     2, 1, "there is a control character (U+FEFF) here", "take it out"},
    {"a: \"\\0\"\n", 1, 4, "this text holds a control character", "take it out"},
    {"a:\n\tb: 1\n", 2, 1, "a tab is used for indenting", blanks},
    {"a:\n  b: 1\n  \tc: 2\n", 3, 3, "a tab is used for indenting", blanks},
    {"b: 1\n \tc: 2\n", 2, 2, "a tab is used for indenting", blanks},
    {"t: |\n\tx\n", 2, 1, "a tab is used for indenting", blanks},
    {"a: 1\nb: 2\na: 3\n", 3, 1, "the key `a` is given twice in one map",
     "the first one is in line 1, column 1"},
    {"a: {x: 1, x: 2}\n", 1, 11, "the key `x` is given twice in one map",
     "the first one is in line 1, column 5"},
    {"a: &x 1\n", 1, 4, "anchors (`&`) are not used here", in_quotes},
    {"a: & x\n", 1, 5, "anchors (`&`) are not used here", in_quotes},
    {"a: *x\n", 1, 4, "aliases (`*`) are not used here", in_quotes},
    {"a: *\n", 1, 5, "aliases (`*`) are not used here", in_quotes},
    {"a: !!str 1\n", 1, 4, "tags (`!`) are not used here", in_quotes},
    {"a: ! 1\n", 1, 4, "tags (`!`) are not used here", in_quotes},
    {"a: !<x 1\n", 1, 7, "tags (`!`) are not used here", in_quotes},
    {"a: !x!y 1\n", 1, 4, "tags (`!`) are not used here", in_quotes},
    {"%FOO\n---\na: 1\n", 1, 5, "directives (`%`) are not used here", "take the line out"},
    {"%YAML 3.0\n---\na: 1\n", 1, 1, "directives (`%`) are not used here", "take the line out"},
    {"a: 1\n---\nb: 2\n", 2, 1, "a second document begins here",
     "one file holds one document: take the line out or make two files"},
    {"? [a]\n: 1\n", 1, 3, "a key must be a plain text", "write `key: value`"},
    {"{a: b}: 1\n", 1, 1, "a key must be a plain text", "write `key: value`"},
    {": 1\n", 1, 1, "the key before the `:` is missing", key_value},
    {"{: 1}\n", 1, 2, "the key before the `:` is missing", key_value},
    {"\"\": 1\n", 1, 1, "the key before the `:` is missing", key_value},
    {"a: {value:8 uF, b: 2}\n", 1, 5, "a blank is missing behind the colon of `value:8 uF`",
     "write `value: 8 uF`"},
    {"a:\n  value:8 uF\n\n  # so\n  b: 2\n", 2, 3, "this line has no `key: value`", key_value},
    {"a: 1\nvalue\n", 2, 1, "this line has no `key: value`", key_value},
    {"a: b: c\n", 1, 5, "this line holds a second `: `",
     "put a text that holds `: ` in quotes, or inner keys in braces or on lines of their own"},
    {"a: 1\n  b: 2\n", 2, 4, "no key can begin here",
     "keys of one map begin in the same column, those inside a map further right"},
    {"a: @x\n", 1, 4, "no text can begin with `@`", in_quotes},
    {"a: `x`\n", 1, 4, "no text can begin with a backtick", in_quotes},
    {"a: {b: 1\n", 1, 4, "the `{` that begins here is never closed", "add the closing `}`"},
    {"a: [1,\n  2\n", 1, 4, "the `[` that begins here is never closed", "add the closing `]`"},
    {"a: {b: 1\nc: 2}\n", 2, 2, "a `,` or the closing `}` is missing before this",
     "the `{` is in line 1, column 4"},
    {"a: [1}\n", 1, 6, "a `,` or the closing `]` is missing before this",
     "the `[` is in line 1, column 4"},
    {"a: [1, , 2]\n", 1, 8, "a value is missing here", "fill it in or take the sign out"},
    {"a: \"x\nb: 2\n", 1, 4, "the quote that begins here is never closed",
     "add the closing quote; an apostrophe inside single quotes is written twice"},
    {"a: \"\\q\"\n", 1, 5, "this sign behind `\\` means nothing",
     "use single quotes to keep a backslash as it is"},
    {"a: 'it's'\n", 1, 8, "something is left over in this line", pairs},
    {"a: {b: 1}}\n", 1, 10, "something is left over in this line", pairs},
    {"a:\n    b: 1\n  c: 2\n", 3, 3, "this line does not fit the map it is in", same_column},
    {"- a\nb: 1\n", 2, 1, "this line does not fit the list it is in",
     "each item of a list begins with `- ` in the same column"},
    {"  a: 1\nb: 2\n", 2, 1, "this line does not belong to what is above it",
     "the keys of one map begin in the same column; one file holds one document"},
    {"a: - 1\n", 1, 4, "a list cannot begin here",
     "begin it on a new line below its key, or write it in brackets: [a, b]"},
    {"a: ? b\n", 1, 4, "no key can begin with `? `", in_quotes},
    {"a: | x\n", 1, 6, "only a comment may follow `|` or `>`", "begin the text on the next line"},
};

/* Each mistake gives this one message and no node. */
static void test_every_message(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    for (size_t i = 0; i < sizeof mistakes / sizeof mistakes[0]; i++) {
        const struct mistake *m = &mistakes[i];
        struct diags *diags = diags_new(arena);
        const struct node *node = doc_parse(arena, diags, "set.yaml", m->text, strlen(m->text));
        if (node || diags_count(diags) != 1)
            fail_msg("%d messages for: %s", diags_count(diags), m->text);
        const struct diag *d = diags_at(diags, 0);
        assert_string_equal(d->message, m->message);
        assert_string_equal(d->hint, m->hint);
        if (d->at.line != m->line || d->at.column != m->column)
            fail_msg("%d:%d for: %s", d->at.line, d->at.column, m->text);
        assert_string_equal(d->at.file, "set.yaml");
        assert_int_equal(d->severity, DIAG_ERROR);
    }
    arena_free(arena);
}

static const char sample[] =
    "# an invented set\n"
    "format: 1\n"
    "title: 'Five-tube set, it''s invented'\n"
    "mains: {voltage: 117 V, frequency: 60 Hz}\n"
    "parts:\n"
    "  V5: {is: rectifier, plates: [plate 1, plate 2], cathode: B+}   # a comment\n"
    "  C1:\n"
    "    is: capacitor\n"
    "    across: [B+, chassis]\n"
    "    value: \"8 \\u00B5F\"\n"
    "    notes:\n"
    "      - bulging\n"
    "      - warm\n"
    "run: {for: 30 s}\n"
    "text: |\n"
    "  two\n"
    "  lines\n";

/* Read or refused in words of ours; whatever it says can be printed. */
static void read_damaged(const char *text, size_t bytes, int *good, int *bad)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct node *node = doc_parse(arena, diags, "set.yaml", text, bytes);
    assert_true((node == NULL) == (diags_errors(diags) > 0));
    for (int i = 0; i < diags_count(diags); i++) {
        const struct diag *d = diags_at(diags, i);
        if (strstr(d->message, "cannot be read"))
            fail_msg("no words of ours: %s in:\n%.*s", d->message, (int)bytes, text);
        assert_non_null(d->hint);
    }
    char *shown = NULL;
    size_t n;
    FILE *to = open_memstream(&shown, &n);
    diags_print(diags, to);
    fclose(to);
    assert_true(node || n > 0);
    free(shown);
    arena_free(arena);
    *(node ? good : bad) += 1;
}

static void test_cut_off_at_every_byte(void **state)
{
    (void)state;
    int good = 0, bad = 0;
    for (size_t bytes = 0; bytes < sizeof sample; bytes++) read_damaged(sample, bytes, &good, &bad);
    assert_true(good > 100 && bad > 50);
}

static void test_every_byte_replaced(void **state)
{
    (void)state;
    static const char signs[] = ":{}[],'\"#-?|>&*!%@`\\\t\n \r\x1B\xC3~=<0";
    char text[sizeof sample];
    int good = 0, bad = 0;
    for (size_t i = 0; i + 1 < sizeof sample; i++)
        for (size_t k = 0; k < sizeof signs; k++) { /* the final 0 as well */
            memcpy(text, sample, sizeof sample);
            text[i] = signs[k];
            read_damaged(text, sizeof sample - 1, &good, &bad);
        }
    assert_true(good > 1000 && bad > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_message),
        cmocka_unit_test(test_cut_off_at_every_byte),
        cmocka_unit_test(test_every_byte_replaced),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
