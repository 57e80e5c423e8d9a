/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every message about a scenario once, with its place and hint. All sets are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "scenario.h"

struct mistake {
    const char *text;
    int line, column;
    const char *message, *hint;
};

/* Four lines of a sound scenario; what follows begins in line 5. */
#define HEAD                                                                                       \
    "format: 1\nmains: {voltage: 117 V}\nparts:\n"                                                 \
    "  R1: {is: resistor, across: [line, neutral], resistance: 100 ohm}\n"
/* The same with other mains; what is wrong stands in line 2. */
#define MAINS(keys)                                                                                \
    "format: 1\nmains: {" keys "}\nparts:\n"                                                       \
    "  R1: {is: resistor, across: [line, neutral], resistance: 100 ohm}\n"

static const char first_line[] = "the first line is `format: 1`";
static const char other_name[] = "choose another name";
static const char no_such_letters[] = "names may not hold . , = or line ends";
static const char lines_below[] = "write `key: value` lines below it, further in";
static const char two_points[] = "a part lies between two different points";
static const char go_on[] =
    "current needs a return path: join another part to it, or correct the name";
static const char at_form[] = "write it as in `at 20 s: {C1: {condition: shorted}}`";
static const struct mistake form[] = {
    {"- a\n", 1, 1, "this is not a scenario: no `key: value` is found", first_line},
    {"title: x\n", 1, 1, "`format` is missing; this program reads format 1", first_line},
    {"format: 7\n", 1, 9, "this file is of format `7`; this program reads format 1", first_line},
    {"format: 1\n", 1, 1, "`parts` is missing",
     "write `parts:` and below it `C1: {is: capacitor, ...}`"},
    {"format: 1\nparts:\n", 2, 1, "`parts` has nothing in it", lines_below},
    {"format: 1\nparts: [a]\n", 2, 1, "`parts` takes keys with values", lines_below},
    {HEAD "titel: x\n", 5, 1, "unknown key `titel`", "did you mean `title`?"},
    {HEAD "whatever: x\n", 5, 1, "unknown key `whatever`",
     "known here: format, title, reference, mains, parts, chart, measured, meter, noticed, "
     "words, repair, run ..."},
    {HEAD "repair: x\n", 5, 1, "`repair` takes keys with values", lines_below},
    {HEAD "repair: {doen: x}\n", 5, 10, "unknown key `doen`", "did you mean `done`?"},
    {HEAD "repair: {done: {a: b}}\n", 5, 10, "`done` takes a text, or a list of texts",
     "write for instance `done: [C1 replaced]`"},
    {HEAD "title: [a]\n", 5, 1, "`title` takes one line of text", NULL},
    {HEAD "reference:\n", 5, 1, "`reference` takes one line of text", NULL},
    {HEAD "run: 3 s\n", 5, 1, "`run` takes keys with values", lines_below},
    {HEAD "chart: 3 V\n", 5, 1, "`chart` takes keys with values", lines_below},
    {HEAD "  C1:\n", 5, 3, "`C1` has nothing in it", lines_below},
    {HEAD "  V6.1: {is: resistor, across: [line, neutral], resistance: 1 ohm}\n", 5, 3,
     "the name of the part `V6.1` holds a point", no_such_letters},
    {HEAD "  set: {is: resistor, across: [line, neutral], resistance: 1 ohm}\n", 5, 3,
     "no part can be called `set`", other_name},
    {HEAD "  at 5 s: {is: resistor, across: [line, neutral], resistance: 1 ohm}\n", 5, 3,
     "no part can be called `at 5 s`", other_name},
};

static const struct mistake variants[] = {
    {HEAD "variants: x\n", 5, 1, "`variants` takes keys with values", lines_below},
    {HEAD "variants: {a: }\n", 5, 12, "`a` has nothing in it", lines_below},
    {HEAD "variants: {base: {R1: {resistance: 1 ohm}}}\n", 5, 12,
     "no variant can be called `base`: that is the scenario itself", other_name},
    {HEAD "variants: {\"a\\nb\": {R1: {resistance: 1 ohm}}}\n", 5, 12,
     "the name of a variant may not hold line ends", other_name},
    {HEAD "variants: {a: {R1: 5}}\n", 5, 16, "`R1` takes keys with values", lines_below},
    {HEAD "variants: {a: {parts: {R1: {resistance: 1 ohm}}}}\n", 5, 16,
     "`parts` does not belong in a variant",
     "a variant holds names of parts, `mains`, `run`, `reference`, `based on` and `at TIME`"},
    {HEAD "variants: {a: {reference: [line]}}\n", 5, 16, "`reference` takes one line of text",
     NULL},
    {HEAD "variants: {a: {mains: 5}}\n", 5, 16, "`mains` takes keys with values", lines_below},
    {HEAD "variants: {a: {R2: {resistance: 1 ohm}}}\n", 5, 16, "there is no part `R2` to change",
     "did you mean `R1`?"},
    {HEAD "variants: {a: {coil: {resistance: 1 ohm}}}\n", 5, 16,
     "there is no part `coil` to change", "a new part says what it is, as in `is: capacitor`"},
    {HEAD "variants: {a: {R1=: {is: resistor, across: [line, neutral], resistance: 1 ohm}}}\n", 5,
     16, "the name of the part `R1=` holds an equals sign", no_such_letters},
    {HEAD "variants: {old one: {based on: old two}, old too: {}}\n", 5, 32,
     "there is no variant `old two`", "did you mean `old too`?"},
    {HEAD "variants: {a: {based on: [b]}}\n", 5, 26, "there is no variant `(not one name)`",
     "known here: a"},
    {HEAD "variants: {a: {based on: a}}\n", 5, 26, "`a` is based on itself, by way of `a`",
     "a variant is based on another, and in the end on the scenario"},
    {HEAD "variants: {a: {R1: {resistance: 5 V}}}\n", 5, 33, "`5 V` is in volts where ohms belong",
     NULL},
    {HEAD "variants: {a: {R1: {resistanc: 5 ohm}}}\n", 5, 21, "a resistor has no key `resistanc`",
     "did you mean `resistance`?"},
    {HEAD "variants: {a: {run: {for: 5}}}\n", 5, 27, "`5` has no unit: seconds belong here", NULL},
    {HEAD "variants: {a: {reference: chasis}}\n", 5, 27, "no part ends on the point `chasis`",
     "known here: line, neutral"},
};

static const struct mistake timed[] = {
    {HEAD "at: {R1: {resistance: 5 ohm}}\n", 5, 1, "no time in `at`: the value is missing",
     at_form},
    {HEAD "at noon: {R1: {resistance: 5 ohm}}\n", 5, 1, "no time in `at noon`: `noon` is no value",
     at_form},
    {HEAD "at 5: {R1: {resistance: 5 ohm}}\n", 5, 1,
     "no time in `at 5`: `5` has no unit: seconds belong here", at_form},
    {HEAD "at 0 s: {R1: {resistance: 5 ohm}}\n", 5, 1,
     "a timed change comes after the start, not at 0 s",
     "what holds from the start belongs in the part itself"},
    {HEAD "at -2 s: {R1: {resistance: 5 ohm}}\n", 5, 1,
     "a timed change comes after the start, not at -2 s",
     "what holds from the start belongs in the part itself"},
    {HEAD "at 1 s:\n", 5, 1, "`at 1 s` has nothing in it", lines_below},
    {HEAD "at 1 s: {R1: 5 ohm}\n", 5, 10, "`R1` takes keys with values", lines_below},
    {HEAD "at 1 s: {run: {for: 5 s}}\n", 5, 10, "`run` cannot change during the run",
     "a timed change holds names of parts, and `mains`"},
    {HEAD "at 1 s: {R2: {resistance: 5 ohm}}\n", 5, 10, "there is no part `R2` to change",
     "did you mean `R1`?"},
    {HEAD "at 1 s: {R1: {resistance: 5 V}}\n", 5, 27, "`5 V` is in volts where ohms belong", NULL},
    {HEAD "at 1 s: {mains: {frequency: 50 Hz}}\n", 5, 18,
     "the frequency of the mains cannot change during the run", "make it a variant"},
    {HEAD "at 1 s: {mains: {state: open}}\n", 5, 25, "`open` is no word for `state`",
     "known here: off, on"},
    {HEAD "variants: {a: {at 1 h: {R1: {resistance: x}}}}\n", 5, 42, "`x` is no value", NULL},
};

static const struct mistake mains[] = {
    {MAINS("frequency: 60 Hz"), 2, 8, "`voltage` of mains is missing",
     "`voltage` takes volts RMS, e.g. 117 V; 1 V to 10 kV"},
    {MAINS("voltage: unknown"), 2, 18, "mains: `voltage` must be known",
     "measure it or take it from the part's marking"},
    {MAINS("voltage: 0 V"), 2, 18, "`voltage`: 0 V is not between 1 V and 10 kV", NULL},
    {MAINS("voltage: 117 V, frequency: 1 Hz"), 2, 36,
     "`frequency`: 1 Hz is not between 5 Hz and 1 kHz", NULL},
    {MAINS("voltage: 117 V, resistance: -1 ohm"), 2, 37, "`resistance` may not be negative", NULL},
    {MAINS("voltage: 117 V, volts: 5"), 2, 25, "`mains` has no key `volts`", NULL},
    {MAINS("voltage: 117 V, dwell: 0.9"), 2, 32, "only a square wave has a dwell",
     "write `shape: square` too"},
    {MAINS("voltage: 6 V, shape: square, dwell: 1.1"), 2, 45,
     "`dwell` is a part of each half period: at most 1", "write it as in `dwell: 0.9`"},
    {MAINS("voltage: 117 V, shape: sinus"), 2, 32, "`sinus` is no word for `shape`",
     "known here: sine, square"},
    {MAINS("voltage: 117 V, closes at: top"), 2, 36, "`closes at` takes a word or an angle",
     "write zero, crest, worst, or an angle such as 30 deg"},
    {MAINS("voltage: 117 V, closes at: 3 s"), 2, 36, "`closes at` takes a word or an angle", NULL},
    {MAINS("voltage: 117 V, closes at: 360 deg"), 2, 36,
     "the angle at which the mains close lies from 0 up to 360 deg",
     "write it as in `closes at: 30 deg`"},
    {MAINS("voltage: 117 V, through: 25 ohm"), 2, 34, "`through` takes parts with their values",
     "write it as in `through: {lamp: 60 W 120 V}`, or `through: none`"},
    {MAINS("voltage: 117 V, through: {}"), 2, 25, "`through` takes parts with their values", NULL},
    {MAINS("voltage: 117 V, through: {resistr: 5 ohm, resistor: 5 ohm}"), 2, 35,
     "`through` has no key `resistr`", "did you mean `resistor`?"},
    {MAINS("voltage: 117 V, through: {lamp: [60 W, 120 V]}"), 2, 41, "`lamp` takes one value",
     NULL},
    {MAINS("voltage: 117 V, through: {lamp: -60 W 120 V}"), 2, 41,
     "mains lamp: `rated` is not understood", NULL},
    {MAINS("voltage: 117 V, through: {lamp: pilot 48}"), 2, 41,
     "there is no `pilot 48` in the catalogue", "did you mean `pilot 40`?"},
    {MAINS("voltage: 117 V, through: {lamp: 1 A slow}"), 2, 41,
     "`1 A slow` is a fuse, and mains lamp is a lamp", NULL},
    {MAINS("voltage: 117 V, through: {lamp: 60 W}"), 2, 41, "mains lamp: `rated` is not understood",
     "write volts and amperes, or volts and watts: `6.3 V 0.3 A`"},
    {MAINS("voltage: 117 V, through: {fuse: 1 A}"), 2, 41, "mains fuse: fast or slow?",
     "write `rated: 1 A slow` or `rated: 1 A fast`"},
    {MAINS("voltage: 117 V, through: {fuse: 1 A quick}"), 2, 41,
     "mains fuse: `rated` is not understood", "write it as in `rated: 1 A slow`"},
    {MAINS("voltage: 117 V, through: {fuse: {rated: 1 A slow, across: [a, b]}}"), 2, 59,
     "what is in series with the plug needs no `across`", "leave it out"},
    {MAINS("voltage: 117 V, through: {thermistor: NTC}"), 2, 47,
     "there is no `NTC` in the catalogue", NULL},
    {MAINS("voltage: 117 V, through: {resistor: 5 W}"), 2, 45,
     "`5 W` is in watts where ohms belong", NULL},
    {MAINS("voltage: 117 V, plugged: backwards"), 2, 34, "`backwards` is no word for `plugged`",
     "known here: as drawn, reversed"},
    {MAINS("voltage: 117 V, across: [line, neutral, x]"), 2, 33, "`across` takes two names, not 3",
     NULL},
    {"format: 1\nparts:\n  R1: {is: resistor, across: [a, b], resistance: 1 ohm}\n"
     "  R2: {is: resistor, across: [a, b], resistance: 1 ohm}\n",
     3, 3, "nothing feeds the set: `mains` is missing, and there is no battery",
     "write `mains: {voltage: 117 V}`, or put a battery in"},
};

static const struct mistake run[] = {
    {HEAD "run: {for: 0 s}\n", 5, 12, "`for` must be at least 1 ms", NULL},
    {HEAD "run: {start: warm}\n", 5, 14, "`warm` is no word for `start`", "known here: cold, hot"},
    {HEAD "run: {ambient: 25}\n", 5, 16, "`25` has no unit: degrees Celsius belong here", NULL},
    {HEAD "run: {ambient: 200 C}\n", 5, 16, "no room is hotter than 100 C",
     "write it as in `ambient: 25 C`"},
    {HEAD "run: {until: 5 s}\n", 5, 7, "`run` has no key `until`", NULL},
    {HEAD "chart: {lin: 100 V}\n", 5, 9, "no point or part is called `lin`",
     "did you mean `line`?"},
    {HEAD "measured: {R2: 100 mA}\n", 5, 12, "no point or part is called `R2`",
     "did you mean `R1`?"},
    {HEAD "chart: {R1: 100 V}\n", 5, 13, "`100 V` is in volts where amperes belong",
     "a part is read in amperes, a point in volts"},
    {HEAD "chart: {line: 1 A}\n", 5, 15, "`1 A` is in amperes where volts belong", NULL},
    {HEAD "chart: {line: [1 V]}\n", 5, 9, "`line` takes one value", "write it as in `B+: 250 V`"},
};

static const struct mistake parts[] = {
    {HEAD "  R2: {across: [line, neutral], resistance: 1 ohm}\n", 5, 3,
     "R2 does not say what it is: `is:` is missing", NULL},
    {HEAD "  R2: {is: resister, across: [line, neutral]}\n", 5, 12,
     "there is no kind of part called `resister`", "did you mean `resistor`?"},
    {HEAD "  R2: {is: resistor, fitted: maybe, across: [line, neutral], resistance: 1 ohm}\n", 5,
     30, "`maybe` is no word for `fitted`", "known here: no, yes"},
    {HEAD "  C2: {is: capacitor, type: dry 9 uF 475 V, across: [line, neutral]}\n", 5, 29,
     "there is no `dry 9 uF 475 V` in the catalogue", "did you mean `dry 8 uF 475 V`?"},
    {HEAD "  C2: {is: capacitor, type: Q, across: [line, neutral]}\n", 5, 29,
     "there is no `Q` in the catalogue", "`presolder parts` lists all that are known"},
    {HEAD "  C2: {is: capacitor, type: 6F6-G, across: [line, neutral]}\n", 5, 29,
     "`6F6-G` is a tube, and C2 is a capacitor", NULL},
    {HEAD "  R2: {is: resistor, across: [line, neutral]}\n", 5, 3, "`resistance` of R2 is missing",
     NULL},
    {HEAD "  R2: {is: resistor, across: [line, line], resistance: 1 ohm}\n", 5, 37,
     "both ends of R2 are on the point `line`", two_points},
    {HEAD "  R2: {is: resistor, across: [line, R1], resistance: 1 ohm}\n"
          "  R3: {is: resistor, across: [line, R1], resistance: 1 ohm}\n",
     5, 37, "`R1` is a part, so no point can have this name", "give the point another name"},
    {HEAD "  R2: {is: resistor, across: [line, a=b], resistance: 1 ohm}\n"
          "  R3: {is: resistor, across: [line, a=b], resistance: 1 ohm}\n",
     5, 37, "the name of the point `a=b` holds an equals sign", no_such_letters},
    {HEAD "  R2: {is: resistor, across: [line, mains], resistance: 1 ohm}\n"
          "  R3: {is: resistor, across: [line, mains], resistance: 1 ohm}\n",
     5, 37, "no point can be called `mains`", other_name},
    {HEAD "  R2: {is: resistor, across: [line, neutrl], resistance: 1 ohm}\n", 5, 37,
     "the point `neutrl` is used only once, by R2", "did you mean `neutral`?"},
    {HEAD "  R2: {is: resistor, across: [line, B+], resistance: 1 ohm}\n", 5, 37,
     "the point `B+` is used only once, by R2", go_on},
    {HEAD "  R2: {is: resistor, across: [p, q], resistance: 1 ohm}\n"
          "  C2: {is: capacitor, across: [p, q], value: 1 uF}\n",
     5, 31, "R2, C2 are joined to nothing that feeds them: no mains, winding or battery",
     "join them to the rest of the set by a point they share with it"},
    {HEAD "  T1: {is: power transformer, primary: {rated: 117 V, resistance: 8 ohm}, windings: {h: "
          "{across: [p, p], open circuit: 6 V}}}\n",
     5, 102, "both ends of the winding `h` are on the point `p`", two_points},
    {HEAD "  V1: {is: rectifier, type: ideal, plates: [line], cathode: line}\n", 5, 61,
     "plate and cathode of V1 are both on the point `line`", two_points},
    {HEAD
     "  R2: {is: resistor, across: [p, q], resistance: 1 ohm}\n"
     "  T1: {is: power transformer, primary: {across: [p, q], rated: 117 V, resistance: 8 ohm}, "
     "windings: {h: {open circuit: 6 V}}}\n",
     5, 31, "R2, T1 are joined to nothing that feeds them: no mains, winding or battery", NULL},
    {HEAD "reference: chasis\n", 5, 12, "no part ends on the point `chasis`",
     "known here: line, neutral"},
};

/* ---- holding the messages against the tables ---- */

static const struct catalogue *catalogue;

struct reading_back {
    struct arena *arena;
    struct diags *diags;
};

static struct reading_back read_all(const char *text)
{
    struct reading_back r = {.arena = arena_new()};
    r.diags = diags_new(r.arena);
    const struct scenario *s = scenario_parse(r.arena, r.diags, catalogue, "t.yaml", text);
    bool good = s && scenario_check(r.arena, r.diags, s);
    assert_int_equal(good, diags_errors(r.diags) == 0);
    return r;
}

/* The only message that is no note: these sets have no chassis, which is noted. */
static const struct diag *only_one(const struct diags *diags)
{
    const struct diag *found = NULL;
    for (int i = 0; i < diags_count(diags); i++) {
        if (diags_at(diags, i)->severity == DIAG_NOTE) continue;
        assert_null(found);
        found = diags_at(diags, i);
    }
    assert_non_null(found);
    return found;
}

static void hold(const struct mistake *m)
{
    struct reading_back r = read_all(m->text);
    if (diags_errors(r.diags) == 0) fail_msg("%s\nno message", m->text);
    for (int i = 0; i < diags_count(r.diags); i++) {
        const struct diag *d = diags_at(r.diags, i);
        if (d->severity == DIAG_NOTE) continue;
        bool place = d->at.line == m->line && d->at.column == m->column;
        if (!place || strcmp(d->message, m->message) != 0) {
            diags_print(r.diags, stderr);
            fail_msg("%s\nwanted at %d:%d: %s", m->text, m->line, m->column, m->message);
        }
        assert_string_equal(d->at.file, "t.yaml");
        assert_int_equal(d->severity, DIAG_ERROR);
        if (m->hint) assert_string_equal(d->hint ? d->hint : "(none)", m->hint);
    }
    arena_free(r.arena);
}

#define HOLD_ALL(table)                                                                            \
    (void)state;                                                                                   \
    for (size_t i = 0; i < sizeof(table) / sizeof *(table); i++) hold(&(table)[i])

static void the_form_of_the_file(void **state)
{
    HOLD_ALL(form);
}
static void variants_of_it(void **state)
{
    HOLD_ALL(variants);
}
static void timed_changes(void **state)
{
    HOLD_ALL(timed);
}
static void the_mains(void **state)
{
    HOLD_ALL(mains);
}
static void run_and_readings(void **state)
{
    HOLD_ALL(run);
}
static void parts_and_points(void **state)
{
    HOLD_ALL(parts);
}

/* ---- several at once ---- */

static void all_errors_come_in_one_go(void **state)
{
    (void)state;
    static const char text[] =
        "format: 1\ntitle: Invented\nmain: {voltage: 117 V}\nmains: {voltage: 117}\n"
        "parts:\n"
        "  R1: {is: resistor, across: [line, neutral], resistance: 5 V}\n"
        "  C1: {is: capacitor, across: [line, neutrl], value: 8 mF}\n"
        "  L1: {is: coil, across: [line, neutral]}\n"
        "chart: {lime: 5 V}\n"
        "variants: {x: {R9: {resistance: 5 ohm}}, y: {R1: {resistance: 6}}}\n"
        "at 1 s: {R1: {resistance: 7}}\n";
    static const int lines[] = {3, 4, 6, 7, 7, 8, 9, 10, 10, 11};
    struct reading_back r = read_all(text);
    char *printed = NULL;
    size_t n = 0;
    FILE *to = open_memstream(&printed, &n);
    diags_print(r.diags, to);
    fclose(to);
    const char *at = printed;
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        char head[32];
        snprintf(head, sizeof head, "t.yaml:%d:", lines[i]);
        at = strstr(at, head);
        if (!at) fail_msg("message %zu, line %d, is missing in\n%s", i + 1, lines[i], printed);
        at++;
    }
    if (strstr(at, "t.yaml:")) fail_msg("more than was expected:\n%s", at);
    free(printed);
    arena_free(r.arena);
}

static void a_change_after_the_end_is_a_warning(void **state)
{
    (void)state;
    struct reading_back r = read_all(HEAD "run: {for: 5 s}\nat 6 s: {R1: {resistance: 1 ohm}}\n");
    assert_int_equal(diags_errors(r.diags), 0);
    const struct diag *d = only_one(r.diags);
    assert_int_equal(d->severity, DIAG_WARNING);
    assert_string_equal(d->message, "this change never comes: the run ends at 5 s");
    assert_string_equal(d->hint, "lengthen the run with `run: {for: ...}`");
    assert_int_equal(d->at.line, 6);
    assert_int_equal(d->at.column, 1);
    arena_free(r.arena);
}

static void a_variant_that_is_not_there(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct scenario *s = scenario_parse(
        arena, diags, catalogue, "t.yaml", HEAD "variants: {silicon: {R1: {resistance: 1 ohm}}}\n");
    assert_non_null(scenario_setup(arena, diags, s, "silicon"));
    assert_null(scenario_setup(arena, diags, s, "silcon"));
    assert_string_equal(only_one(diags)->message, "there is no variant `silcon`");
    assert_string_equal(only_one(diags)->hint, "did you mean `silicon`?");
    assert_string_equal(only_one(diags)->at.file, "t.yaml");
    arena_free(arena);
}

static void too_many_rectifiers_and_switches(void **state)
{
    (void)state;
    char text[8000];
    int n = snprintf(text, sizeof text, HEAD);
    for (int i = 0; i < 64; i++)
        n += snprintf(text + n, sizeof text - (size_t)n,
                      "  S%d: {is: switch, across: [line, neutral], state: open}\n", i);
    struct reading_back r = read_all(text); /* and the one of the mains */
    assert_int_equal(diags_errors(r.diags), 1);
    assert_string_equal(
        only_one(r.diags)->message,
        "the set has 65 rectifier sections and switches; at most 64 can be followed");
    arena_free(r.arena);
}

static int read_catalogue(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    *state = arena;
    return diags_errors(diags);
}

static int free_catalogue(void **state)
{
    arena_free(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_form_of_the_file),
        cmocka_unit_test(variants_of_it),
        cmocka_unit_test(timed_changes),
        cmocka_unit_test(the_mains),
        cmocka_unit_test(run_and_readings),
        cmocka_unit_test(parts_and_points),
        cmocka_unit_test(all_errors_come_in_one_go),
        cmocka_unit_test(a_change_after_the_end_is_a_warning),
        cmocka_unit_test(a_variant_that_is_not_there),
        cmocka_unit_test(too_many_rectifiers_and_switches),
    };
    return cmocka_run_group_tests(tests, read_catalogue, free_catalogue);
}
