/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading files a person wrote: what is read, what is refused before a line is looked at, and trees
 * laid over one another. The sets are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

#include "arena.h"
#include "diag.h"
#include "doc.h"

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

struct bench {
    struct arena *arena;
    struct diags *diags;
    char folder[64];
};

static int set_up(void **state)
{
    struct bench *b = calloc(1, sizeof *b);
    b->arena = arena_new();
    b->diags = diags_new(b->arena);
    snprintf(b->folder, sizeof b->folder, "/tmp/presolder-doc-XXXXXX");
    *state = b;
    return mkdtemp(b->folder) ? 0 : -1;
}

static int tear_down(void **state)
{
    struct bench *b = *state;
    char path[128];
    snprintf(path, sizeof path, "%s/set.yaml", b->folder);
    unlink(path);
    rmdir(b->folder);
    arena_free(b->arena);
    free(b);
    return 0;
}

static const struct node *read_text(struct bench *b, const char *text)
{
    return doc_parse(b->arena, b->diags, "set.yaml", text, strlen(text));
}

static void assert_scalar(const struct node *node, const char *text, int line, int column)
{
    assert_non_null(node);
    assert_int_equal(node->kind, NODE_SCALAR);
    assert_string_equal(node->text, text);
    assert_string_equal(node->at.file, "set.yaml");
    assert_int_equal(node->at.line, line);
    assert_int_equal(node->at.column, column);
}

static void check_sample(const struct node *root)
{
    assert_non_null(root);
    assert_int_equal(root->kind, NODE_MAP);
    assert_int_equal(root->n, 6);
    assert_string_equal(root->pairs[5].key, "text");
    assert_scalar(node_get(root, "format"), "1", 2, 9);
    assert_scalar(node_get(root, "title"), "Five-tube set, it's invented", 3, 8);
    assert_scalar(node_get(node_get(root, "mains"), "frequency"), "60 Hz", 4, 36);
    const struct node *parts = node_get(root, "parts"),
                      *plates = node_get(node_get(parts, "V5"), "plates");
    assert_int_equal(plates->kind, NODE_LIST);
    assert_int_equal(plates->n, 2);
    assert_int_equal(plates->at.column, 31);
    assert_scalar(plates->items[1], "plate 2", 6, 41);
    const struct node *c1 = node_get(parts, "C1");
    assert_scalar(node_get(c1, "value"),
                  "8 \xC2\xB5"
                  "F",
                  10, 12);
    assert_int_equal(node_pair(c1, "value")->at.line, 10);
    assert_int_equal(node_pair(c1, "value")->at.column, 5);
    assert_scalar(node_get(c1, "notes")->items[1], "warm", 13, 9);
    assert_string_equal(node_get(root, "text")->text, "two\nlines\n");
}

static void test_reads_all_forms(void **state)
{
    struct bench *b = *state;
    check_sample(read_text(b, sample));
    assert_int_equal(diags_count(b->diags), 0);
}

static void test_windows_line_ends_and_byte_order_mark(void **state)
{
    struct bench *b = *state;
    char text[2 * sizeof sample + 3] = "\xEF\xBB\xBF";
    size_t n = 3;
    for (const char *s = sample; *s; s++) {
        if (*s == '\n') text[n++] = '\r';
        text[n++] = *s;
    }
    check_sample(doc_parse(b->arena, b->diags, "set.yaml", text, n));
    assert_int_equal(diags_count(b->diags), 0);
}

static void test_tabs_where_they_do_no_harm(void **state)
{
    struct bench *b = *state;
    const struct node *root = read_text(b, "a:\t1 V\t# one\nb: {\n\tc: 2,\n\td: [\n\t\t3]}\n");
    assert_scalar(node_get(root, "a"), "1 V", 1, 4);
    assert_scalar(node_get(node_get(root, "b"), "c"), "2", 3, 5);
}

static void test_lookup(void **state)
{
    struct bench *b = *state;
    const struct node *root = read_text(b, "a: 1\nA: 2\nempty:\nlist: [a]\n");
    assert_scalar(node_get(root, "A"), "2", 2, 4);
    assert_scalar(node_get(root, "empty"), "", 3, 7);
    assert_null(node_get(root, "b"));
    assert_null(node_pair(root, "b"));
    assert_null(node_get(NULL, "a"));
    assert_null(node_get(node_get(root, "a"), "a"));
    assert_null(node_get(node_get(root, "list"), "a"));
}

/* A tree in one line: {key:value,[item]}. */
static void outline(const struct node *node, char *out, size_t room)
{
    size_t n = strlen(out);
    if (node->kind == NODE_SCALAR) snprintf(out + n, room - n, "%s", node->text);
    if (node->kind == NODE_SCALAR) return;
    snprintf(out + n, room - n, node->kind == NODE_MAP ? "{" : "[");
    for (int i = 0; i < node->n; i++) {
        n = strlen(out);
        snprintf(out + n, room - n, "%s%s%s", i ? "," : "",
                 node->kind == NODE_MAP ? node->pairs[i].key : "",
                 node->kind == NODE_MAP ? ":" : "");
        outline(node->kind == NODE_MAP ? node->pairs[i].value : node->items[i], out, room);
    }
    n = strlen(out);
    snprintf(out + n, room - n, node->kind == NODE_MAP ? "}" : "]");
}

static void test_overlay(void **state)
{
    struct bench *b = *state;
    const struct node *base =
        read_text(b, "C1: {is: capacitor, value: 8 uF, more: {x: 1}}\nL: [1, 2]\nz: 1\n");
    const struct node *over = read_text(
        b, "\n\nnew: {a: 1}\nL: [3]\nC1: {value: 22 uF, more: {y: 2}, rated: 450 V}\nz: {q: 1}\n");
    const struct node *merged = node_overlay(b->arena, base, over);
    char out[200] = "", before[200] = "";
    outline(merged, out, sizeof out);
    assert_string_equal(
        out, "{C1:{is:capacitor,value:22 uF,more:{x:1,y:2},rated:450 V},L:[3],z:{q:1},new:{a:1}}");
    outline(base, before, sizeof before);
    assert_string_equal(before, "{C1:{is:capacitor,value:8 uF,more:{x:1}},L:[1,2],z:1}");
    const struct node *c1 = node_get(merged, "C1");
    assert_int_equal(node_pair(merged, "C1")->at.line, 1);
    assert_int_equal(node_pair(c1, "is")->at.line, 1);
    assert_int_equal(node_pair(c1, "value")->at.line, 5);
    assert_ptr_equal(node_overlay(b->arena, base, NULL), base);
    assert_ptr_equal(node_overlay(b->arena, NULL, over), over);
    assert_null(node_overlay(b->arena, NULL, NULL));
}

static void test_all_that_is_forbidden_at_once(void **state)
{
    struct bench *b = *state;
    assert_null(
        read_text(b, "a: &x 1\nb: *x\nc: !t [1]\nd: !t {e: 1, e: 2}\na: 2\na: 3\n*y : 1\n"));
    static const int lines[] = {1, 2, 3, 4, 4, 7, 5, 6};
    assert_int_equal(diags_count(b->diags), 8);
    for (int i = 0; i < 8; i++) assert_int_equal(diags_at(b->diags, i)->at.line, lines[i]);
}

static void test_zero_byte(void **state)
{
    struct bench *b = *state;
    assert_null(doc_parse(b->arena, b->diags, "set.yaml", "a: 1\0b", 6));
    assert_int_equal(diags_count(b->diags), 1);
    assert_string_equal(diags_at(b->diags, 0)->message, "this is not a text file");
}

/* `levels` openings of `open`, properly closed. */
static const struct node *nest(struct bench *b, struct diags *diags, int levels, const char *open,
                               const char *close)
{
    size_t n = strlen(open), m = strlen(close);
    char *text = arena_alloc(b->arena, (size_t)levels * (n + m) + 3);
    char *end = text;
    for (int i = 0; i < levels; i++) end += sprintf(end, "%s", open);
    *end++ = '1';
    for (int i = 0; i < levels; i++) end += sprintf(end, "%s", close);
    return doc_parse(b->arena, diags, "set.yaml", text, (size_t)(end - text));
}

static void test_nesting(void **state)
{
    struct bench *b = *state;
    static const char *const shapes[][2] = {{"[", "]"}, {"{a: ", "}"}, {"- ", ""}};
    for (int i = 0; i < 3; i++) {
        struct diags *diags = diags_new(b->arena);
        assert_non_null(nest(b, diags, 63, shapes[i][0], shapes[i][1]));
        assert_int_equal(diags_count(diags), 0);
        for (int levels = 64; levels < 300000; levels *= 70) {
            diags = diags_new(b->arena);
            assert_null(nest(b, diags, levels, shapes[i][0], shapes[i][1]));
            assert_int_equal(diags_count(diags), 1);
            assert_string_equal(diags_at(diags, 0)->message, "too many levels of nesting");
        }
    }
}

static void test_many_keys(void **state)
{
    struct bench *b = *state;
    enum { KEYS = 20000 };
    char *text = arena_alloc(b->arena, KEYS * 16), *end = text;
    for (int i = 0; i < KEYS; i++) end += sprintf(end, "k%d: %d\n", i, i);
    const struct node *root = read_text(b, text);
    assert_int_equal(root->n, KEYS);
    assert_string_equal(node_get(root, "k19999")->text, "19999");
    sprintf(end, "k12345: again\n");
    assert_null(read_text(b, text));
    assert_int_equal(diags_count(b->diags), 1);
    assert_string_equal(diags_at(b->diags, 0)->hint, "the first one is in line 12346, column 1");
}

/* ---- files ---- */

static const char *write_file(struct bench *b, const char *text, size_t bytes)
{
    char *path = arena_printf(b->arena, "%s/set.yaml", b->folder);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, bytes, file), bytes);
    fclose(file);
    return path;
}

static void assert_refused(struct bench *b, const char *path, const char *message)
{
    struct diags *diags = diags_new(b->arena);
    assert_null(doc_read(b->arena, diags, path));
    assert_int_equal(diags_count(diags), 1);
    assert_string_equal(diags_at(diags, 0)->message, message);
    assert_string_equal(diags_at(diags, 0)->at.file, path);
    assert_int_equal(diags_at(diags, 0)->at.line, 0);
}

static void test_file_is_read_and_quoted(void **state)
{
    struct bench *b = *state;
    const struct node *root =
        doc_read(b->arena, b->diags, write_file(b, sample, sizeof sample - 1));
    assert_string_equal(node_get(root, "format")->text, "1");
    const char *path = write_file(b, "a: 1\r\na: 2", 10);
    assert_null(doc_read(b->arena, b->diags, path));
    char *shown = NULL;
    size_t bytes;
    FILE *to = open_memstream(&shown, &bytes);
    diags_print(b->diags, to);
    fclose(to);
    assert_string_equal(shown,
                        arena_printf(b->arena,
                                     "%s:2:1: error: the key `a` is given twice in one map\n"
                                     "  a: 2\n  ^\n  hint: the first one is in line 1, column 1\n",
                                     path));
    free(shown);
}

static void test_files_that_cannot_be_read(void **state)
{
    struct bench *b = *state;
    assert_refused(b, arena_printf(b->arena, "%s/none.yaml", b->folder), "there is no such file");
    assert_refused(b, "", "there is no such file");
    assert_refused(b, b->folder, "this is a folder");
    assert_refused(b, "/dev/null", "this is no ordinary file");
    const char *path = write_file(b, "", 0);
    assert_refused(b, path, "the file is empty");
    assert_refused(b, arena_printf(b->arena, "%s/x", path), "there is no such file");
    assert_int_equal(chmod(path, 0), 0);
    if (geteuid() != 0) assert_refused(b, path, "this file may not be read");
    if (access("/proc/self/mem", R_OK) == 0)
        assert_refused(b, "/proc/self/mem", "this file cannot be read");
    if (access("/proc/version", R_OK) == 0)
        assert_refused(b, "/proc/version", "this file changed while it was read");
}

static void test_size(void **state)
{
    struct bench *b = *state;
    const char *path = write_file(b, "a: 1\n#", 6);
    assert_int_equal(truncate(path, DOC_MAX_BYTES + 1), 0);
    size_t used = arena_used(b->arena);
    assert_refused(b, path, "the file has 4194305 bytes; at most 4194304 are read");
    assert_true(arena_used(b->arena) - used < 10000);
    char *text = arena_alloc(b->arena, DOC_MAX_BYTES + 1);
    memset(text, '#', DOC_MAX_BYTES + 1);
    memcpy(text, "a: 1\n", 5);
    assert_non_null(doc_read(b->arena, b->diags, write_file(b, text, DOC_MAX_BYTES)));
    assert_null(doc_parse(b->arena, b->diags, "m", text, DOC_MAX_BYTES + 1));
    assert_int_equal(diags_count(b->diags), 1);
}

static void test_longest(void **state)
{
    struct bench *b = *state;
    char text[DOC_TEXT_BYTES + 20];
    memset(text, 'x', sizeof text);
    memcpy(text, "a: ", 3);
    assert_non_null(doc_parse(b->arena, b->diags, "t", text, 3 + DOC_TEXT_BYTES));
    assert_null(doc_parse(b->arena, b->diags, "t", text, 4 + DOC_TEXT_BYTES));
    assert_string_equal(diags_at(b->diags, 0)->message,
                        "this text has 4001 bytes; at most 4000 are read");
    memcpy(text + 3 + DOC_KEY_BYTES + 1, ": 1", 3);
    assert_null(doc_parse(b->arena, b->diags, "t", text + 3, DOC_KEY_BYTES + 4));
    assert_string_equal(diags_at(b->diags, 1)->message,
                        "this text has 201 bytes; at most 200 are read");
    /* the parser counts a line here that is none by \n */
    static const char lines[] = "a\xC2\x85: b: c: d\n";
    assert_null(doc_parse(b->arena, b->diags, "t", lines, sizeof lines - 1));
}

/* Memory running out at any point jumps; the leak checker finds what the parser would leave behind.
 */
static void test_memory_runs_out(void **state)
{
    (void)state;
    struct arena *whole = arena_new();
    assert_non_null(doc_parse(whole, diags_new(whole), "set.yaml", sample, sizeof sample - 1));
    size_t need = arena_used(whole);
    arena_free(whole);
    for (size_t limit = 500; limit < need; limit += 37) {
        struct arena *arena = arena_new();
        struct diags *diags = diags_new(arena);
        arena_limit(arena, limit);
        jmp_buf exhausted;
        if (setjmp(exhausted) == 0) {
            arena_on_exhausted(arena, &exhausted);
            doc_parse(arena, diags, "set.yaml", sample, sizeof sample - 1);
            fail_msg("read within %zu of %zu bytes", limit, need);
        }
        arena_free(arena);
    }
}

#define WITH_BENCH(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH_BENCH(test_reads_all_forms),
        WITH_BENCH(test_windows_line_ends_and_byte_order_mark),
        WITH_BENCH(test_tabs_where_they_do_no_harm),
        WITH_BENCH(test_lookup),
        WITH_BENCH(test_overlay),
        WITH_BENCH(test_all_that_is_forbidden_at_once),
        WITH_BENCH(test_zero_byte),
        WITH_BENCH(test_nesting),
        WITH_BENCH(test_many_keys),
        WITH_BENCH(test_file_is_read_and_quoted),
        WITH_BENCH(test_files_that_cannot_be_read),
        WITH_BENCH(test_size),
        WITH_BENCH(test_longest),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
