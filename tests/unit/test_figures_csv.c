/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The file of figures, byte for byte. The figures are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "figures_csv.h"
#include "folder.h"

#define HEADING "variant,subject,measure,value,unit,limit,limit_source,verdict,time_s\n"

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

static const char *written(const struct judgement *judgement)
{
    struct writer *w = writer_begin(arena, folder_path(""));
    figures_csv_write(w, "figures.csv", judgement);
    assert_int_equal(writer_commit(w), STATUS_OK);
    return folder_get("figures.csv");
}

static void rows(void **state)
{
    (void)state;
    const struct rating rated = {.limit = 450, .source = "scenario", .system = ""};
    const struct rating sheet = {
        .limit = 1400, .source = "a sheet, \"5th\" page", .system = "design-centre"};
    const struct rating bare = {.limit = 0.5};
    struct judged all[] = {
        {"base",
         {"C1", MEASURE_HIGHEST_VOLTAGE, 453.25, UNIT_VOLT, 5.5},
         &rated,
         VERDICT_OVER,
         1.007},
        {"base",
         {"V6.1", MEASURE_INVERSE_VOLTAGE, 900, UNIT_VOLT, 1.0 / 3},
         &sheet,
         VERDICT_WITHIN,
         0.64},
        {"base",
         {"B+", MEASURE_SETTLED, 1, UNIT_NUMBER, (double)NAN},
         NULL,
         VERDICT_NONE,
         (double)NAN},
        {"new, bigger",
         {"C1", MEASURE_BLEED_DOWN_TIME, HUGE_VAL, UNIT_SECOND, (double)NAN},
         NULL,
         VERDICT_NONE,
         (double)NAN},
        {"base",
         {"F1", MEASURE_LINE_CURRENT, 0.46, UNIT_AMPERE, (double)NAN},
         &bare,
         VERDICT_NEAR,
         0.92},
        {"base",
         {"C1", MEASURE_TEMPERATURE, 313.15, UNIT_CELSIUS, 30},
         NULL,
         VERDICT_NONE,
         (double)NAN},
    };
    struct judgement j = {.all = {.at = all, .n = sizeof all / sizeof all[0]}};
    assert_string_equal(
        written(&j), HEADING
        "base,C1,highest-voltage,453.25,V,450,scenario,over,5.5\n"
        "base,V6.1,inverse-voltage,900,V,1400,\"a sheet, \"\"5th\"\" page (design-centre)\","
        "within,0.333333333\n"
        "base,B+,settled,1,,,,no rating,\n"
        "\"new, bigger\",C1,bleed-down-time,inf,s,,,no rating,\n"
        "base,F1,line-current,0.46,A,0.5,,near,\n"
        "base,C1,temperature,313.15,K,,,no rating,30\n");
}

static void nothing_judged(void **state)
{
    (void)state;
    struct judgement none = {.over = 0};
    assert_string_equal(written(&none), HEADING);
}

int main(void)
{
#define TEST(f) cmocka_unit_test_setup_teardown(f, open_folder, close_folder)
    const struct CMUnitTest tests[] = {TEST(rows), TEST(nothing_judged)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
