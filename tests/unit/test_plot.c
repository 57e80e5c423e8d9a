/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The gnuplot scripts of a full-wave supply made by hand (all values invented), and, where gnuplot
 * is installed, its pictures of them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "figures_csv.h"
#include "folder.h"
#include "gnuplot.h"
#include "near.h"
#include "numbers.h"
#include "plot.h"
#include "trace_csv.h"

enum { COLUMNS = 8 };

static struct arena *arena;
static struct diags *diags;
static struct setup setup;
static struct stage stage;
static struct set set;
static struct result run;
static struct turn_on t;
static const char *columns[COLUMNS] = {"mains [A]",   "C1 [V]",      "V6.1 [A]",         "V6.2 [A]",
                                       "plate 1 [V]", "plate 2 [V]", "first filter [V]", "B+ [V]"};

static void add_probe(enum probe_kind kind, unsigned flags, const char *subject, const char *from,
                      const char *to)
{
    struct circuit *c = set.circuit;
    struct probe p = {.kind = kind, .flags = flags, .subject = subject, .to = -1};
    if (from) p.from = circuit_point(c, from);
    if (to) p.to = circuit_point(c, to);
    circuit_probe(c, p);
}

static void add_rating(const char *subject, enum measure measure, double limit)
{
    struct rating r = {subject, measure, limit, UNIT_VOLT, false, "scenario", "", HARM_NONE};
    array_push(arena, &set.ratings, r);
}

static void add_figure(const char *subject, enum measure measure, double value, double time)
{
    struct figure f = {subject, measure, value, UNIT_VOLT, time};
    array_push(arena, &run.figures, f);
}

/* Half a second of a supply that has settled. */
static void add_trace(void)
{
    struct trace *trace = trace_new(arena, COLUMNS, 0, 0.5, 1.0 / 60, TRACE_ROWS);
    for (int i = 0; i <= 3000; i++) {
        double t1 = i / 6000.0, s = sin(2 * PI * 60 * t1);
        double pulse = 0.2 * larger(0, fabs(s) - 0.7), dc = 330 + 8 * cos(2 * PI * 120 * t1);
        double row[COLUMNS] = {0.4 * s, dc, s > 0 ? pulse : 0, s < 0 ? pulse : 0, 450 * s, -450 * s,
                               dc,      240};
        trace_row(trace, t1, row);
    }
    trace_finish(trace);
    run.trace = trace;
}

/* A leak that warms its can. */
static void add_heat(void)
{
    static const char *titles[] = {"C1 [W]", "tubes.heaters [W]", "C2 [W]", "C1 [degC]"};
    struct trace *trace = trace_new(arena, 4, 0, 0.5, 1.0 / 60, TRACE_ROWS);
    for (int i = 1; i <= 30; i++) {
        double row[] = {9.5, 12, 0.01, 25 + i};
        trace_row(trace, i / 60.0, row);
    }
    trace_finish(trace);
    run.heat = trace;
    run.heat_columns.at = titles;
    run.heat_columns.n = 4;
}

static int open_bench(void **state)
{
    (void)state;
    arena = arena_new();
    diags = diags_new(arena);
    set = (struct set){.arena = arena, .circuit = circuit_new(arena)};
    set.circuit->reference = "chassis";
    circuit_point(set.circuit, "chassis");
    add_probe(PROBE_CURRENT, PROBE_LINE | PROBE_WATCHED, "mains", NULL, NULL);
    add_probe(PROBE_VOLTAGE, PROBE_CAPACITOR | PROBE_WATCHED, "C1", "first filter", "chassis");
    add_probe(PROBE_VOLTAGE, PROBE_CAPACITOR | PROBE_WATCHED, "C2", "B+", "chassis");
    add_probe(PROBE_VOLTAGE, PROBE_RECTIFIER, "V6.1", "first filter", "plate 1");
    add_probe(PROBE_VOLTAGE, PROBE_RECTIFIER, "V6.2", "first filter", "plate 2");
    add_probe(PROBE_CURRENT, PROBE_RECTIFIER | PROBE_WATCHED, "V6.1", NULL, NULL);
    add_probe(PROBE_CURRENT, PROBE_RECTIFIER | PROBE_WATCHED, "V6.2", NULL, NULL);
    add_rating("C1", MEASURE_SETTLED_VOLTAGE, 450);
    add_rating("C1", MEASURE_HIGHEST_VOLTAGE, 495);
    add_rating("C2", MEASURE_SETTLED_VOLTAGE, 450);
    add_rating("V6.1", MEASURE_INVERSE_VOLTAGE, 1400);
    add_rating("V6.2", MEASURE_INVERSE_VOLTAGE, 1400);
    run = (struct result){.setup = &setup, .end = 0.5, .columns = {.at = columns, .n = COLUMNS}};
    add_figure("C1", MEASURE_HIGHEST_VOLTAGE, 338, 0.1);
    add_figure("C2", MEASURE_HIGHEST_VOLTAGE, 240, 0.1);
    add_figure("V6.2", MEASURE_INVERSE_VOLTAGE, 788, 0.25);
    stage = (struct stage){.set = &set, .circuit = set.circuit};
    setup = (struct setup){.title = "Invented set", .variant = "base", .frequency = 60};
    array_push(arena, &setup.stages, stage);
    t = (struct turn_on){.setup = &setup, .run = &run};
    add_trace();
    add_heat();
    folder_make();
    return 0;
}

static int close_bench(void **state)
{
    (void)state;
    arena_free(arena);
    folder_remove();
    return 0;
}

/* Everything of the run in the folder, trace.csv of `most` bytes (0: as usual); draws when
 * `gnuplot` is not NULL. */
static struct plots write_within(long most, const char *format, bool black_and_white,
                                 const char *gnuplot)
{
    struct plot_options options = {SOURCE_DIR "/plots", format, black_and_white};
    struct writer *w = writer_begin(arena, folder_path(""));
    figures_csv_begin(w, "figures.csv"); /* by which it is a new run */
    struct result record = run_heat(&run);
    const struct trace *csv = trace_csv_write(w, arena, "trace.csv", &run, most);
    trace_csv_write(w, arena, "heat.csv", &record, 0);
    const struct trace *restart =
        t.restart ? trace_csv_write(w, arena, "restart.csv", t.restart, most) : NULL;
    struct plots plots = plot_write(w, diags, arena, &t, csv, restart, &options);
    assert_int_equal(diags_errors(diags), 0);
    if (gnuplot) assert_null(plot_draw(w, arena, &plots, gnuplot));
    assert_int_equal(writer_commit(w), STATUS_OK);
    return plots;
}

static struct plots write_all(const char *format, bool black_and_white, const char *gnuplot)
{
    return write_within(0, format, black_and_white, gnuplot);
}

static void has(const char *file, const char *text)
{
    const char *script = folder_get(file);
    if (!script || !strstr(script, text)) fail_msg("%s lacks: %s", file, text);
}

static void has_not(const char *file, const char *text)
{
    const char *script = folder_get(file);
    if (!script || strstr(script, text)) fail_msg("%s is missing, or has: %s", file, text);
}

static void all_of_them(void **state)
{
    (void)state;
    struct plots plots = write_all("svg", false, NULL);
    for (int k = 0; k < PLOTS; k++) {
        assert_true(plots.written[k]);
        const char *file = arena_printf(arena, "plots/%s.gp", plot_names[k]);
        has(file, "'Invented set'");
        has(file, "format = 'svg'\nblack_and_white = 0\n");
        has(file, arena_printf(arena, "picture = '%s'\n", plot_names[k]));
        has_not(file, "\n@");
        has_not(file, "SPDX"); /* what is written belongs to the user */
    }
    assert_int_equal(folder_count("plots"), PLOTS);
}

static void overview(void **state)
{
    (void)state;
    write_all("svg", false, NULL);
    has("plots/turn-on.gp", "title 'first filter'");
    has("plots/turn-on.gp", "title 'B+'");
    has_not("plots/turn-on.gp", "plate 1");
    has("plots/turn-on.gp", "set label 'C1, C2: 450 V rated' at");
    has("plots/turn-on.gp", "set label 'C1: 495 V surge' at");
    has("plots/turn-on.gp", "set ylabel 'voltage to chassis [V]'");
    has("plots/turn-on.gp", "set xlabel 'time after switch-on [s]'");
    has("plots/turn-on.gp", "split = 0.5\nsqueeze = 1\n");
    has("plots/turn-on.gp", "set xrange [0:along(0.5)]");
    has_not("plots/turn-on.gp", "set xtics add");
}

/* Heaters and what stays cold are no news; a change and what trips stand as lines. */
static void heat(void **state)
{
    (void)state;
    struct rating limit = {"C1",     MEASURE_TEMPERATURE, 273.15 + 60, UNIT_CELSIUS, false, "", "",
                           HARM_NONE};
    array_push(arena, &set.ratings, limit);
    add_figure("C1", MEASURE_SHORTS_AT, 0.4, 0.4);
    write_all("svg", false, NULL);
    has("plots/heat.gp", "using (along($1)):(column(2)) with lines ls 1 title 'C1'");
    has("plots/heat.gp", "using (along($1)):(column(5)) with lines ls 1 title 'C1'");
    has_not("plots/heat.gp", "heaters");
    has_not("plots/heat.gp", "'C2'");
    has("plots/heat.gp", "set label 'C1: 60");
    has("plots/heat.gp", "set label 'C1 shorts' at first along(0.4)");
    has("plots/turn-on.gp",
        "set arrow from first along(0.4), graph 0 to first along(0.4), graph 1");
}

static void cycles(void **state)
{
    (void)state;
    write_all("svg", false, NULL);
    has("plots/last-cycles.gp", "trace = '../trace.csv'");
    has("plots/last-cycles.gp", "(ms($1)):(column(6)) with lines ls 1 title 'plate 1'");
    has("plots/last-cycles.gp", "(1e3*column(4)) with lines ls 1 title 'V6.1'");
    has("plots/last-cycles.gp", "(1e3*column(5)) with lines ls 2 title 'V6.2'");
    has("plots/last-cycles.gp", "(column(3)) with lines ls 3 title 'C1'");
    has("plots/last-cycles.gp", "currents [mA]");
    has("plots/last-cycles.gp", "time [ms] from 0.45 s on");
    has_not("plots/last-cycles.gp", "'mains'");
    has("plots/first-cycles.gp", "title 'mains'");
    has("plots/first-cycles.gp", "time [ms] after switch-on");
}

/* A set whose cathodes are cold shows its hot restart instead; it needs a trace of its own. */
static void first_cycles_of_a_cold_set(void **state)
{
    (void)state;
    struct result hot = run, cold = run;
    struct trace *trace = trace_new(arena, COLUMNS, 0, 0.5, 1.0 / 60, TRACE_ROWS);
    for (int i = 0; i < trace_rows(run.trace); i++) {
        double row[COLUMNS], at = trace_time(run.trace, i);
        memcpy(row, trace_values(run.trace, i), sizeof row);
        if (at < 0.2) row[2] = row[3] = 0;
        trace_row(trace, at, row);
    }
    trace_finish(trace);
    cold.trace = trace;
    t.run = &cold;
    write_all("svg", false, NULL);
    has("plots/first-cycles.gp", "trace = '../trace.csv'");
    t.restart = &hot;
    write_all("svg", false, NULL);
    has("plots/first-cycles.gp", "trace = '../restart.csv'");
    has("plots/first-cycles.gp", "hot restart");
    has("plots/last-cycles.gp", "trace = '../trace.csv'");
    t.run = &run; /* hot from the start: its own */
    write_all("svg", false, NULL);
    has("plots/first-cycles.gp", "trace = '../trace.csv'");
    t.restart = NULL;
}

/* The first half minute keeps its place beside a quarter of an hour. */
static void a_long_run_has_two_scales(void **state)
{
    (void)state;
    struct trace *trace = trace_new(arena, COLUMNS, 0, 900, 1.0 / 60, TRACE_ROWS);
    for (int i = 0; i <= 9000; i++)
        trace_row(trace, i / 10.0, (double[COLUMNS]){0, 330, 0, 0, 0, 0, 330, 240});
    trace_finish(trace);
    run.trace = trace;
    run.end = 900;
    write_all("svg", false, NULL);
    has("plots/turn-on.gp", "split = 30\n");
    has("plots/turn-on.gp", arena_printf(arena, "squeeze = %.9g\n", 45.0 / 870));
    has("plots/turn-on.gp", "set xtics add ('30 s' along(30))");
    has("plots/turn-on.gp", "set xtics add ('5 min' along(300))");
    has("plots/turn-on.gp", "set xtics add ('15 min' along(900))");
    has_not("plots/turn-on.gp", "'1 min'");
}

/* The number that stands behind `name` in a script. */
static int number(const char *script, const char *name)
{
    const char *at = strstr(script, name);
    if (!at) fail_msg("no %s", name);
    return atoi(at + strlen(name));
}

/* The time in a line of trace.csv, 0 being the heading. */
static double time_of(const char *csv, int line)
{
    for (int i = 0; i < line; i++) {
        csv = strchr(csv, '\n');
        assert_non_null(csv);
        csv++;
    }
    return atof(csv);
}

/* Also where the file was thinned and its rows are others than those of the run. */
static void only_the_rows_drawn_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *script;
        double from, to;
    } sheets[] = {{"plots/first-cycles.gp", 0, 5.0 / 60},
                  {"plots/last-cycles.gp", 0.45, 0.5},
                  {"plots/inverse-voltage.gp", 0.45, 0.5}};
    static const long bytes[] = {0, 60000};
    for (int k = 0; k < 2; k++) {
        write_within(bytes[k], "svg", false, NULL);
        const char *csv = arena_printf(arena, "%s", folder_get("trace.csv"));
        int lines = 1;
        for (const char *s = csv; (s = strchr(s, '\n')) && s[1]; s++) lines++;
        for (int i = 0; i < 3; i++) {
            const char *script = folder_get(sheets[i].script);
            int skipped = number(script, "\nrows = 'skip "),
                end = skipped + number(script, "::0::");
            double first = time_of(csv, skipped), last = time_of(csv, end);
            assert_true(skipped == 1 || first < sheets[i].from);
            assert_true(end == lines - 1 || last > sheets[i].to);
            near_abs(first, sheets[i].from, 0.01, sheets[i].script);
            near_abs(last, sheets[i].to, 0.01, sheets[i].script);
        }
    }
}

static void inverse_voltage(void **state)
{
    (void)state;
    write_all("svg", false, NULL);
    has("plots/inverse-voltage.gp", "((column(8)-column(6))) with lines ls 1 title 'V6.1'");
    has("plots/inverse-voltage.gp", "set label 'V6.1, V6.2: 1400 V rated' at");
    has("plots/inverse-voltage.gp", "set label 'highest: 788 V at 0.25 s' at");
    has("plots/inverse-voltage.gp", "set label '2.8 x 318 V RMS at the plate: 891 V' at");
}

static void a_far_rating_does_not_flatten_the_curves(void **state)
{
    (void)state;
    set.ratings.at[0].limit = 1000;
    write_all("svg", false, NULL);
    has_not("plots/turn-on.gp", "1000 V");
}

static void texts_of_the_user_are_only_data(void **state)
{
    (void)state;
    setup.title = "'It''s `touch pwned` \"${HOME}\" \\";
    setup.variant = "50 % more\n!touch pwned";
    write_all("svg", false, NULL);
    has("plots/turn-on.gp", "title = \"'It''s \\140touch pwned\\140 \\042${HOME}\\042 "
                            "\\134\"\nsecond = '50 % more !touch pwned'\n");
    const char *gnuplot = gnuplot_find(arena);
    if (!gnuplot) skip();
    write_all("svg", false, gnuplot);
    has("plots/turn-on.svg", "'It''s `touch pwned` ");
    assert_false(folder_has("plots/pwned"));
    assert_false(folder_has("pwned"));
}

static void long_titles_are_cut_between_characters(void **state)
{
    (void)state;
    char title[400] = "";
    for (int i = 0; i < 100; i++) strcat(title, "\xC3\xA9");
    setup.title = title;
    write_all("svg", false, NULL);
    has("plots/turn-on.gp", "\xC3\xA9...'\n");
    has_not("plots/turn-on.gp", title);
}

static void without_rectifier_only_the_overview(void **state)
{
    (void)state;
    set.circuit->probes.n = 3;
    run.heat = NULL;
    struct plots plots = write_all("svg", false, NULL);
    assert_true(plots.written[0]);
    assert_int_equal(folder_count("plots"), 1);
}

static void without_trace_nothing(void **state)
{
    (void)state;
    run.trace = NULL;
    write_all("svg", false, NULL);
    assert_int_equal(folder_count("plots"), -1);
}

static void gnuplot_draws_them(void **state)
{
    (void)state;
    const char *gnuplot = gnuplot_find(arena);
    if (!gnuplot) skip();
    write_all("svg", true, gnuplot);
    for (int k = 0; k < PLOTS; k++) {
        const char *file = arena_printf(arena, "plots/%s.svg", plot_names[k]);
        has(file, "</svg>");
        has(file, "Invented set");
    }
    has("plots/turn-on.svg", "C1, C2: 450 V rated");
    has("plots/last-cycles.svg", "V6.2");
    write_all("png", false, gnuplot);
    const char *png = folder_get("plots/turn-on.png");
    assert_non_null(png);
    assert_memory_equal(png, "\x89PNG", 4);
}

int main(void)
{
#define TEST(f) cmocka_unit_test_setup_teardown(f, open_bench, close_bench)
    const struct CMUnitTest tests[] = {
        TEST(all_of_them),
        TEST(overview),
        TEST(heat),
        TEST(cycles),
        TEST(first_cycles_of_a_cold_set),
        TEST(a_long_run_has_two_scales),
        TEST(only_the_rows_drawn_are_read),
        TEST(inverse_voltage),
        TEST(a_far_rating_does_not_flatten_the_curves),
        TEST(texts_of_the_user_are_only_data),
        TEST(long_titles_are_cut_between_characters),
        TEST(without_rectifier_only_the_overview),
        TEST(without_trace_nothing),
        TEST(gnuplot_draws_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
