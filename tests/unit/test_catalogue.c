/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Models written into a folder of their own and read back; every message with its place; and the
 * catalogue the program comes with. All types and figures in the texts here are invented. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "catalogue.h"

struct bench {
    struct arena *arena;
    struct diags *diags;
    char folder[64];
    const struct catalogue *catalogue;
};

static void write_file(const char *folder, const char *name, const char *text)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

static void read_folder(struct bench *b)
{
    b->catalogue = catalogue_read(b->arena, b->diags, b->folder);
}

static struct bench bench_new(void)
{
    struct bench b = {.arena = arena_new()};
    b.diags = diags_new(b.arena);
    strcpy(b.folder, "/tmp/catalogueXXXXXX");
    assert_non_null(mkdtemp(b.folder));
    return b;
}

static void bench_free(struct bench *b)
{
    DIR *dir = opendir(b->folder);
    for (const struct dirent *d = readdir(dir); d; d = readdir(dir)) {
        char path[400];
        snprintf(path, sizeof path, "%s/%s", b->folder, d->d_name);
        unlink(path);
    }
    closedir(dir);
    rmdir(b->folder);
    arena_free(b->arena);
}

static struct bench bench_of(const char *text)
{
    struct bench b = bench_new();
    write_file(b.folder, "a.yaml", text);
    read_folder(&b);
    return b;
}

/* ---- good ones ---- */

static const char two_files_a[] = "format: 1\n"
                                  "sources:\n"
                                  "  sheet: a sheet of 1938\n"
                                  "  memory: from memory\n"
                                  "models:\n"
                                  "  9Y9-G:\n"
                                  "    is: rectifier\n"
                                  "    law: vacuum\n"
                                  "    drop: 50 V at 100 mA [sheet]\n"
                                  "    inverse voltage: 1400 V [sheet, memory]\n"
                                  "    note: nothing [here] is a tag\n";
static const char two_files_b[] = "format: 1\n"
                                  "sources: {guess: a guess}\n"
                                  "models:\n"
                                  "  9Z9-GT:\n"
                                  "    same as: 9X9\n"
                                  "    inverse voltage: 1500 V [guess]\n"
                                  "  9X9:\n"
                                  "    same as: 9Y9-G\n"
                                  "    drop: 60 V at 100 mA [guess]\n";

static const char *text_of(const struct node *map, const char *key)
{
    const struct node *node = node_get(map, key);
    return node ? node->text : "(none)";
}

static void values_lose_their_tags_and_keep_their_sources(void **state)
{
    (void)state;
    struct bench b = bench_of(two_files_a);
    assert_int_equal(diags_count(b.diags), 0);
    assert_int_equal(catalogue_count(b.catalogue), 1);
    const struct model *m = catalogue_at(b.catalogue, 0);
    assert_string_equal(m->name, "9Y9-G");
    assert_string_equal(m->kind, "rectifier");
    assert_int_equal(m->at.line, 6);
    assert_null(node_get(m->values, "is"));
    assert_string_equal(text_of(m->values, "law"), "vacuum");
    assert_string_equal(text_of(m->values, "drop"), "50 V at 100 mA");
    assert_string_equal(text_of(m->sources, "drop"), "a sheet of 1938");
    assert_string_equal(text_of(m->sources, "inverse voltage"), "a sheet of 1938; from memory");
    assert_string_equal(text_of(m->values, "note"), "nothing [here] is a tag");
    assert_int_equal(node_get(m->values, "drop")->at.line, 9);
    assert_int_equal(node_get(m->values, "drop")->at.column, 11);
    bench_free(&b);
}

static void same_as_reaches_into_other_files_and_chains(void **state)
{
    (void)state;
    struct bench b = bench_new();
    write_file(b.folder, "b.yaml",
               two_files_a); /* the entry is read after those that are the same as it */
    write_file(b.folder, "a.yaml", two_files_b);
    write_file(b.folder, "notes.txt", "not read");
    write_file(b.folder, ".hidden.yaml", "not read");
    read_folder(&b);
    assert_int_equal(diags_count(b.diags), 0);
    assert_int_equal(catalogue_count(b.catalogue), 3);
    const struct model *m = catalogue_find(b.catalogue, "9Z9-GT");
    assert_ptr_equal(m, catalogue_at(b.catalogue, 0));
    assert_string_equal(m->kind, "rectifier");
    assert_null(node_get(m->values, "same as"));
    assert_string_equal(text_of(m->values, "drop"), "60 V at 100 mA");
    assert_string_equal(text_of(m->sources, "drop"), "a guess");
    assert_string_equal(text_of(m->values, "inverse voltage"), "1500 V");
    assert_string_equal(text_of(m->values, "law"), "vacuum");
    bench_free(&b);
}

static void names_are_found_without_blanks_hyphens_and_case(void **state)
{
    (void)state;
    struct bench b = bench_of(two_files_a);
    const struct model *m = catalogue_at(b.catalogue, 0);
    static const char *const same[] = {"9Y9-G", "9Y9G", "9y9 g", "9y9g"};
    for (size_t i = 0; i < 4; i++) assert_ptr_equal(catalogue_find(b.catalogue, same[i]), m);
    assert_null(catalogue_find(b.catalogue, "9Y9"));
    assert_null(catalogue_find(b.catalogue, "9Y9-GT"));
    assert_string_equal(catalogue_nearest(b.catalogue, "9Y9-GX", "rectifier"), "9Y9-G");
    assert_string_equal(catalogue_nearest(b.catalogue, "9Y9-GX", NULL), "9Y9-G");
    assert_null(catalogue_nearest(b.catalogue, "9Y9-GX", "capacitor"));
    assert_null(catalogue_nearest(b.catalogue, "6F6", NULL));
    assert_null(catalogue_find(NULL, "9Y9-G"));
    assert_null(catalogue_nearest(NULL, "9Y9-G", NULL));
    assert_int_equal(catalogue_count(NULL), 0);
    bench_free(&b);
}

static void an_exact_name_goes_before_a_similar_one(void **state)
{
    (void)state;
    struct bench b = bench_of("format: 1\nsources: {s: a sheet}\nmodels:\n"
                              "  9Y9G: {is: rectifier, drop: '1 V at 1 A [s]'}\n"
                              "  9Y9-G: {is: rectifier, drop: '2 V at 1 A [s]'}\n");
    assert_int_equal(diags_count(b.diags), 0);
    assert_string_equal(catalogue_find(b.catalogue, "9Y9-G")->name, "9Y9-G");
    assert_string_equal(catalogue_find(b.catalogue, "9Y9G")->name, "9Y9G");
    bench_free(&b);
}

/* ---- messages ---- */

struct mistake {
    const char *text;
    int line, column;
    const char *message, *hint;
};

#define HEAD "format: 1\nsources: {s: a sheet}\nmodels:\n"
static const char needs_tag[] =
    "end the value with a tag of the list `sources:`, as in `450 V [maker-1938]`";
static const char first_line[] = "the first line is `format: 1`";

static const struct mistake mistakes[] = {
    {"- a\n", 1, 1, "this is not a list of models: no `key: value` is found", first_line},
    {"sources: {s: a}\nmodels: {}\n", 1, 1, "`format` is missing; this program reads format 1",
     first_line},
    {"format: 2\n", 1, 9, "this file is of format `2`; this program reads format 1", first_line},
    {"format: [1]\n", 1, 9, "this file is of format `not one number`; this program reads format 1",
     first_line},
    {"format: 1\nmodels: {}\n", 1, 1, "the list of sources is missing",
     "write `sources:` and below it `TAG: text`"},
    {"format: 1\nsources: {s: a}\n", 1, 1, "the models are missing",
     "write `models:` and below it `NAME:`"},
    {"format: 1\nsources: {s: a}\nmodels: x\n", 3, 9, "the models are missing",
     "write `models:` and below it `NAME:`"},
    {"format: 1\nsources: {s: a}\nmodels: {}\nmodel: {}\n", 4, 1, "unknown key `model`",
     "did you mean `models`?"},
    {"format: 1\nsources: {s: ''}\nmodels: {}\n", 2, 11, "the source `s` has no text",
     "write where the figures come from, in one text"},
    {HEAD "  X: 5\n", 4, 3, "the model `X` needs keys", "write its keys below it, one a line"},
    {HEAD "  X: {drop: 5 V at 1 A}\n", 4, 13, "the value of `drop` has no source", needs_tag},
    {HEAD "  X:\n    drop: 5 V at 1 A []\n", 5, 11, "the value of `drop` has no source", needs_tag},
    {HEAD "  X:\n    is: rectifier\n    drop: 5 V at 1 A [t]\n", 6, 11,
     "the source `t` is not in the list `sources:` of this file", "known here: s"},
    {HEAD "  X:\n    is: rectifier\n    drop: '[s]'\n", 6, 11, "`drop` has no value", NULL},
    {HEAD "  X:\n    is: rectifier\n    drop: [5 V, 6 V]\n", 6, 5,
     "`drop` of a model takes one text",
     "several values are one text: `50 ohm at 350 V, 140 ohm at 500 V [tag]`"},
    {HEAD "  X: {law: vacuum}\n", 4, 3, "the model `X` does not say what it is",
     "write `is: rectifier`, or whatever it is, or `same as: OTHER`"},
    {HEAD "  X: {is: rectifer}\n", 4, 11, "there is no kind of part called `rectifer`",
     "did you mean `rectifier`?"},
    {HEAD "  X:\n    is: tube\n    curent: 5 mA [s]\n", 6, 5, "a tube has no key `curent`",
     "did you mean `current`?"},
    {HEAD "  X: {same as: Yy}\n  Yy9: {is: tube}\n", 4, 16,
     "there is no model `Yy` to be the same as", "did you mean `Yy9`?"},
    {HEAD "  X: {same as: X}\n", 4, 16, "`X` is the same as `X`, which leads back to it",
     "one of them must have values of its own"},
    {HEAD "  X: {same as: Y}\n  Y: {same as: X}\n", 5, 16,
     "`Y` is the same as `X`, which leads back to it", "one of them must have values of its own"},
    {HEAD "  X: {is: rectifier, same as: Y}\n  Y: {is: tube}\n", 4, 31,
     "`X` is a rectifier, but `Y` is a tube", NULL},
};

static void each_message_stands_at_its_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof mistakes / sizeof mistakes[0]; i++) {
        const struct mistake *m = &mistakes[i];
        struct bench b = bench_of(m->text);
        if (diags_count(b.diags) != 1) fail_msg("%s: %d messages", m->text, diags_count(b.diags));
        const struct diag *d = diags_at(b.diags, 0);
        assert_string_equal(d->message, m->message);
        if (m->hint) assert_string_equal(d->hint, m->hint);
        if (d->at.line != m->line || d->at.column != m->column)
            fail_msg("%s: at %d:%d, not %d:%d", m->text, d->at.line, d->at.column, m->line,
                     m->column);
        assert_non_null(strstr(d->at.file, "/a.yaml"));
        bench_free(&b);
    }
}

static void one_name_in_two_files_is_refused(void **state)
{
    (void)state;
    struct bench b = bench_new();
    write_file(b.folder, "a.yaml", two_files_a);
    write_file(b.folder, "b.yaml", two_files_a);
    read_folder(&b);
    assert_int_equal(diags_count(b.diags), 1);
    const struct diag *d = diags_at(b.diags, 0);
    assert_non_null(strstr(d->at.file, "/b.yaml"));
    assert_int_equal(d->at.line, 6);
    assert_non_null(strstr(d->message, "the model `9Y9-G` is already in "));
    assert_non_null(strstr(d->message, "/a.yaml, line 6"));
    bench_free(&b);
}

static void a_wrong_entry_spoils_only_those_that_need_it(void **state)
{
    (void)state;
    struct bench b = bench_of(HEAD "  X: {is: rectifier, drop: 5 V at 1 A}\n"
                                   "  Y: {same as: X}\n"
                                   "  Z: {is: tube}\n");
    assert_int_equal(diags_count(b.diags), 1);
    assert_int_equal(catalogue_count(b.catalogue), 1);
    assert_non_null(catalogue_find(b.catalogue, "Z"));
    bench_free(&b);
}

static void folders_without_models(void **state)
{
    (void)state;
    struct bench b = bench_new();
    read_folder(&b);
    assert_non_null(b.catalogue);
    assert_string_equal(diags_at(b.diags, 0)->message, "this folder holds no models");
    assert_null(catalogue_read(b.arena, b.diags, "/no/such/folder"));
    const struct diag *d = diags_at(b.diags, 1);
    assert_string_equal(d->message, "there is no such folder of models");
    assert_string_equal(d->at.file, "/no/such/folder");
    write_file(b.folder, "file", "");
    char path[80];
    snprintf(path, sizeof path, "%s/file", b.folder);
    assert_null(catalogue_read(b.arena, b.diags, path));
    assert_string_equal(diags_at(b.diags, 2)->message, "this folder of models cannot be read");
    bench_free(&b);
}

static void a_text_cut_anywhere_only_complains(void **state)
{
    (void)state;
    for (size_t n = 0; n < sizeof two_files_a; n++) {
        char text[sizeof two_files_a];
        memcpy(text, two_files_a, n);
        text[n] = 0;
        struct bench b = bench_of(text);
        assert_true(catalogue_count(b.catalogue) == 1 || diags_errors(b.diags) > 0 || n < 110);
        bench_free(&b);
    }
}

/* ---- the catalogue of the program ---- */

static void the_catalogue_of_the_program_is_clean(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct catalogue *c = catalogue_read(arena, diags, SOURCE_DIR "/models");
    diags_print(diags, stderr);
    assert_int_equal(diags_count(diags), 0);
    assert_true(catalogue_count(c) > 200);
    for (int i = 0; i < catalogue_count(c); i++) {
        const struct model *m = catalogue_at(c, i);
        assert_ptr_equal(catalogue_find(c, m->name), m);
        for (int k = 0; k < m->values->n; k++) {
            const char *key = m->values->pairs[k].key;
            if (strcmp(key, "law") == 0 || strcmp(key, "note") == 0) continue;
            if (!node_get(m->sources, key)->text[0])
                fail_msg("%s: `%s` has no source", m->name, key);
        }
    }
    assert_string_equal(catalogue_find(c, "5Y3GT")->name, "5Y3-GT");
    assert_string_equal(text_of(catalogue_find(c, "5Y3-G")->values, "drop"), "60 V at 125 mA");
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_lose_their_tags_and_keep_their_sources),
        cmocka_unit_test(same_as_reaches_into_other_files_and_chains),
        cmocka_unit_test(names_are_found_without_blanks_hyphens_and_case),
        cmocka_unit_test(an_exact_name_goes_before_a_similar_one),
        cmocka_unit_test(each_message_stands_at_its_place),
        cmocka_unit_test(one_name_in_two_files_is_refused),
        cmocka_unit_test(a_wrong_entry_spoils_only_those_that_need_it),
        cmocka_unit_test(folders_without_models),
        cmocka_unit_test(a_text_cut_anywhere_only_complains),
        cmocka_unit_test(the_catalogue_of_the_program_is_clean),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
