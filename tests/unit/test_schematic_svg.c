/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The SVG file: tags that close, names with marks of XML in them, no colour in black and white, the
 * same bytes each time; and figures read back from figures.csv. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "figures_csv.h"
#include "folder.h"
#include "near.h"
#include "schematic_svg.h"
#include "shipped.h"

static struct arena *arena;

static int begin(void **state)
{
    (void)state;
    arena = arena_new();
    folder_make();
    return 0;
}

static int end(void **state)
{
    (void)state;
    arena_free(arena);
    folder_remove();
    return 0;
}

static const char *drawn(const struct setup *setup, const struct schematic_readings *readings,
                         struct schematic_options options)
{
    struct writer *w = writer_begin(arena, folder_path(""));
    writer_file(w, "s.svg");
    schematic_svg_write(w, arena, setup, readings, NULL, &options);
    assert_int_equal(writer_commit(w), STATUS_OK);
    const char *text = folder_get("s.svg");
    return arena_text(arena, text, strlen(text));
}

/* ---- XML ---- */

enum { DEPTH = 32 };

/* Every tag is closed by its own name, text holds no bare mark, attributes are in quotes. */
static void check_xml(const char *text)
{
    const char *open[DEPTH];
    size_t length[DEPTH];
    int depth = 0, elements = 0;
    if (strncmp(text, "<?xml", 5) == 0) text = strchr(text, '\n') + 1;
    for (const char *c = text; *c; c++) {
        if (*c == '&')
            assert_true(strncmp(c, "&amp;", 5) == 0 || strncmp(c, "&lt;", 4) == 0 ||
                        strncmp(c, "&gt;", 4) == 0 || strncmp(c, "&quot;", 6) == 0);
        assert_true((unsigned char)*c >= 0x20 || *c == '\n');
        if (*c != '<') continue;
        const char *name = c + 1, *close = strchr(c, '>');
        assert_non_null(close);
        size_t n = strcspn(name, " />");
        int quotes = 0;
        for (const char *q = c; q < close; q++) quotes += *q == '"';
        assert_int_equal(quotes % 2, 0);
        if (*name == '/') {
            assert_true(depth > 0);
            depth--;
            n = strcspn(name + 1, ">");
            assert_int_equal(n, length[depth]);
            assert_memory_equal(name + 1, open[depth], n);
        } else if (close[-1] != '/') {
            assert_true(depth < DEPTH && (depth > 0 || elements == 0));
            open[depth] = name;
            length[depth++] = n;
        }
        elements++;
        c = close;
    }
    assert_int_equal(depth, 0);
    assert_true(elements > 20);
}

static int count(const char *text, const char *what)
{
    int n = 0;
    for (const char *at = strstr(text, what); at; at = strstr(at + 1, what)) n++;
    return n;
}

/* No line of text ends in a number whose unit stands on the next. */
static void check_units(const char *text)
{
    for (const char *end = strstr(text, "</text>\n<text"); end;
         end = strstr(end + 1, "</text>\n<text")) {
        const char *next = strchr(end + 8, '>');
        bool small = strstr(end + 8, "class=\"text\"") && strstr(end + 8, "class=\"text\"") < next;
        if (small && end[-1] >= '0' && end[-1] <= '9')
            for (const char *const *u = (const char *const[]){"V", "W", "s", "ohm", "kohm", NULL};
                 *u; u++) {
                size_t n = strlen(*u);
                if (strncmp(next + 1, *u, n) == 0 && strchr(" ,.:)<", next[1 + n]))
                    fail_msg("a unit begins the line `%.40s`", next + 1);
            }
    }
}

static void well_formed(void **state)
{
    (void)state;
    int n;
    const char *const *names = shipped_names(arena, &n);
    for (int i = 0; i < n; i++) {
        const struct scenario *s = shipped_scenario(arena, names[i]);
        for (int k = -1; k < scenario_variants(s); k++) {
            const struct setup *setup =
                shipped_setup(arena, names[i], k < 0 ? NULL : scenario_variant(s, k));
            const char *file = drawn(setup, NULL, (struct schematic_options){.zigzag = k % 2});
            const char *part = drawn(setup, NULL, (struct schematic_options){.embedded = true});
            check_xml(file);
            check_xml(part);
            assert_int_equal(strncmp(file, "<?xml", 5), 0);
            assert_int_equal(strncmp(part, "<svg", 4), 0);
            assert_int_equal(count(file, "<title>"), 1);
            assert_int_equal(count(file, "<desc>"), 1);
            const char *narrow = drawn(setup, NULL, (struct schematic_options){.narrow = true});
            check_xml(narrow);
            check_units(file);
            check_units(narrow);
        }
    }
}

/* What feeds a battery set is no mains; a swinging choke has a line for each of its two values. */
static void what_is_printed(void **state)
{
    (void)state;
    const struct schematic_options plain = {.zigzag = false};
    const char *farm = drawn(shipped_setup(arena, "vibrator", NULL), NULL, plain);
    assert_int_equal(count(farm, ">vibrator<"), 1);
    assert_int_equal(count(farm, ">mains<"), 0);
    const char *choke =
        drawn(shipped_setup(arena, "choke-input", "swinging choke in front"), NULL, plain);
    assert_int_equal(count(choke, ">25 H at 20 mA,<"), 1);
    assert_int_equal(count(choke, ">5 H at 200 mA<"), 1);
}

static void the_same_bytes(void **state)
{
    (void)state;
    const struct schematic_options options = {.black_and_white = true};
    const char *first = drawn(shipped_setup(arena, "doubler", NULL), NULL, options);
    assert_string_equal(first, drawn(shipped_setup(arena, "doubler", NULL), NULL, options));
}

static void black_and_white(void **state)
{
    (void)state;
    const struct setup *setup = shipped_setup(arena, "ac-dc", NULL);
    const char *text = drawn(setup, NULL, (struct schematic_options){.black_and_white = true});
    for (const char *c = strchr(text, '#'); c; c = strchr(c + 1, '#'))
        assert_true(strncmp(c, "#000", 4) == 0 || strncmp(c, "#fff", 4) == 0);
    assert_int_equal(count(text, "#000") > 0, 1);
    assert_int_equal(
        count(drawn(setup, NULL, (struct schematic_options){.zigzag = false}), "#00539c"), 2);
}

static const char odd[] =
    "format: 1\ntitle: \"<A & B>\"\nmains: {voltage: 117 V, across: [a<b, chassis]}\n"
    "parts:\n  R&1: {is: resistor, across: [a<b, \"c\\\"d\"], resistance: 9 ohm}\n"
    "  C1: {is: capacitor, across: [\"c\\\"d\", chassis], value: 8 uF}\n";

static const struct setup *parsed(const char *text)
{
    struct diags *diags = diags_new(arena);
    const struct scenario *s = scenario_parse(arena, diags, NULL, "test", text);
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    return setup;
}

static void odd_names(void **state)
{
    (void)state;
    const char *text = drawn(parsed(odd), NULL, (struct schematic_options){.zigzag = false});
    check_xml(text);
    assert_true(count(text, ">R&amp;1<") == 1);
    assert_true(count(text, ">a&lt;b<") == 1);
    assert_true(count(text, ">c&quot;d<") == 1);
}

/* ---- voltages ---- */

static const struct rating rated = {.limit = 450, .source = "scenario", .system = ""};
static struct judged rows[] = {
    {"base", {"a<b", MEASURE_RIPPLE_RMS, 117, UNIT_VOLT, 0}, NULL, VERDICT_NONE, 0},
    {"base", {"a<b", MEASURE_SETTLED_VOLTAGE, 0.001, UNIT_VOLT, 0}, NULL, VERDICT_NONE, 0},
    {"base", {"R&1", MEASURE_SETTLED_VOLTAGE, -12.5, UNIT_VOLT, 0}, NULL, VERDICT_NONE, 0},
    {"other, \"odd\"", {"a<b", MEASURE_RIPPLE_RMS, 5, UNIT_VOLT, 0}, NULL, VERDICT_NONE, 0},
    {"base (hot restart)",
     {"C1", MEASURE_HIGHEST_VOLTAGE, 453.25, UNIT_VOLT, 5.5},
     &rated,
     VERDICT_OVER,
     1.007},
};

static struct judgement judgement_of_rows(void)
{
    return (struct judgement){.all = {.at = rows, .n = 5, .room = 5}, .over = 1};
}

static void marks_and_voltages(void **state)
{
    (void)state;
    struct judgement j = judgement_of_rows();
    struct schematic_readings r = schematic_readings_of(arena, &j, 30);
    const char *text = drawn(parsed(odd), &r, (struct schematic_options){.zigzag = false});
    check_xml(text);
    assert_int_equal(count(text, ">\xE2\x96\xB2 C1<"), 1);
    assert_int_equal(count(text, "\xE2\x96\xB2"), 1);
    assert_int_equal(count(text, "453 V, at most 450 V"), 1);
    assert_int_equal(count(text, "run of 30 s"), 1);
    assert_int_equal(count(text, ">0 V<"), 1);
    assert_int_equal(count(text, ">12.5 V<"), 1); /* 0.001 V and 12.5 V more */
}

static void read_back(void **state)
{
    (void)state;
    struct judgement j = judgement_of_rows();
    struct schematic_readings r;
    struct writer *w = writer_begin(arena, folder_path(""));
    figures_csv_write(w, "figures.csv", &j);
    assert_int_equal(writer_commit(w), STATUS_OK);
    const char *path = arena_printf(arena, "%s", folder_path("figures.csv"));
    assert_true(schematic_readings_read(arena, path, "base", &r));
    assert_int_equal(r.all.n, 4);
    near_abs(schematic_readings_find(&r, "a<b", MEASURE_RIPPLE_RMS), 117, 1e-9, "V");
    assert_true(r.all.at[3].over);
    near_abs(r.all.at[3].limit, 450, 1e-9, "V");
    assert_true(schematic_readings_read(arena, path, "other, \"odd\"", &r));
    assert_int_equal(r.all.n, 1);
    assert_false(schematic_readings_read(arena, path, "nothing", &r));
    assert_false(schematic_readings_read(arena, folder_path("none.csv"), "base", &r));
    folder_put("strange.csv", "a,b\n1,2\n");
    assert_false(schematic_readings_read(arena, folder_path("strange.csv"), "base", &r));
    folder_put("half.csv", "variant,subject,measure,value,unit\nbase,C1,ripple-rms\nbase,\"C1");
    assert_true(schematic_readings_read(arena, folder_path("half.csv"), "base", &r));
    assert_true(isnan(schematic_readings_find(&r, "C1", MEASURE_RIPPLE_RMS)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(well_formed, begin, end),
        cmocka_unit_test_setup_teardown(what_is_printed, begin, end),
        cmocka_unit_test_setup_teardown(the_same_bytes, begin, end),
        cmocka_unit_test_setup_teardown(black_and_white, begin, end),
        cmocka_unit_test_setup_teardown(odd_names, begin, end),
        cmocka_unit_test_setup_teardown(marks_and_voltages, begin, end),
        cmocka_unit_test_setup_teardown(read_back, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
