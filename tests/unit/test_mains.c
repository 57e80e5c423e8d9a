/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The outlet as elements of the circuit: what each key does to them. The sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "scenario.h"

#define PART "parts:\n  R1: {is: resistor, across: [line, neutral], resistance: 100 ohm}\n"
#define WITH(keys) "format: 1\nmains: {" keys "}\n" PART

struct bench {
    struct arena *arena;
    const struct setup *setup;
    const struct stage *first;
    const struct circuit *c;
};

static struct bench bench_of(const char *text)
{
    struct bench b = {.arena = arena_new()};
    struct diags *diags = diags_new(b.arena);
    const struct scenario *s = scenario_parse(b.arena, diags, NULL, "t.yaml", text);
    if (s) b.setup = scenario_setup(b.arena, diags, s, NULL);
    if (diags_errors(diags) > 0) diags_print(diags, stderr);
    assert_int_equal(diags_errors(diags), 0);
    assert_non_null(b.setup);
    b.first = &b.setup->stages.at[0];
    b.c = b.first->circuit;
    return b;
}

static const struct element *element_of(const struct bench *b, const char *role)
{
    for (int i = 0; i < b->c->elements.n; i++)
        if (strcmp(b->c->elements.at[i].part, "mains") == 0 &&
            strcmp(b->c->elements.at[i].role, role) == 0)
            return &b->c->elements.at[i];
    return NULL;
}

static const char *point_of(const struct bench *b, int point)
{
    return b->c->points.at[point];
}

static const struct assumption *assumption_of(const struct bench *b, const char *key)
{
    for (int i = 0; i < b->first->set->assumptions.n; i++)
        if (strcmp(b->first->set->assumptions.at[i].key, key) == 0)
            return &b->first->set->assumptions.at[i];
    return NULL;
}

static void a_sine_behind_a_resistance_and_a_switch(void **state)
{
    (void)state;
    struct bench b = bench_of(WITH("voltage: 121 V"));
    const struct element *source = element_of(&b, "source"), *wire = element_of(&b, "resistance");
    const struct element *breaker = element_of(&b, "switch");
    assert_ptr_equal(source, &b.c->elements.at[b.first->mains_source]);
    assert_ptr_equal(breaker, &b.c->elements.at[b.first->mains_switch]);
    assert_int_equal(source->kind, ELEMENT_SOURCE);
    assert_string_equal(point_of(&b, source->to), "neutral");
    assert_int_equal(source->from, wire->from);
    near_rel(wire->value, 0.3, 1e-15, "ohm");
    assert_int_equal(wire->to, breaker->from);
    assert_string_equal(point_of(&b, breaker->to), "line");
    assert_int_equal(breaker->kind, ELEMENT_SWITCH);
    assert_true(breaker->starts_closed && b.first->mains_on);
    const struct waveform *w = &b.c->waveforms.at[source->group];
    assert_int_equal(w->kind, WAVEFORM_SINE);
    near_rel(w->peak, 121 * sqrt(2), 1e-15, "V");
    near_abs(w->phase, 0, 0, "rad");
    near_rel(w->frequency, 60, 1e-15, "Hz");
    near_rel(b.setup->frequency, 60, 1e-15, "Hz");
    near_rel(b.first->set->line_volts, 121, 1e-15, "V");
    near_rel(b.first->set->mains_resistance, 0.3, 1e-15, "ohm");
    assert_string_equal(b.first->set->line[0], "line");
    assert_string_equal(b.first->set->line[1], "neutral");
    assert_null(set_find(b.first->set, "mains resistor"));
    assert_null(element_of(&b, "earth"));
    arena_free(b.arena);
}

static void what_was_not_given_is_stated(void **state)
{
    (void)state;
    struct bench b = bench_of(WITH("voltage: 117 V"));
    near_rel(assumption_of(&b, "frequency")->value, 60, 1e-15, "Hz");
    near_rel(assumption_of(&b, "resistance")->value, 0.3, 1e-15, "ohm");
    assert_false(assumption_of(&b, "resistance")->guess);
    assert_string_equal(assumption_of(&b, "resistance")->part, "mains");
    near_rel(assumption_of(&b, "ambient")->value, 298.15, 1e-15, "K");
    near_rel(b.first->set->ambient, 298.15, 1e-15, "K");
    near_rel(assumption_of(&b, "for")->value, 2, 1e-15, "s");
    near_rel(b.setup->duration, 2, 1e-15, "s");
    assert_false(b.setup->hot);
    arena_free(b.arena);
    b = bench_of(
        WITH("voltage: 230 V, frequency: 50 cps, resistance: 0 ohm") "run: {for: 5 s, ambient: 30 "
                                                                     "C, start: hot}\n");
    assert_int_equal(b.first->set->assumptions.n, 0);
    near_rel(b.setup->frequency, 50, 1e-15, "Hz");
    near_abs(element_of(&b, "resistance")->value, 0, 0, "ohm");
    near_rel(b.first->set->ambient, 303.15, 1e-15, "K");
    near_rel(b.setup->duration, 5, 1e-15, "s");
    assert_true(b.setup->hot);
    arena_free(b.arena);
}

static void probes_of_the_line(void **state)
{
    (void)state;
    struct bench b = bench_of(WITH("voltage: 117 V"));
    const struct probe *amperes = NULL, *volts = NULL;
    for (int i = 0; i < b.c->probes.n; i++) {
        const struct probe *p = &b.c->probes.at[i];
        if (strcmp(p->subject, "mains") != 0) continue;
        *(p->kind == PROBE_CURRENT ? &amperes : &volts) = p;
    }
    assert_int_equal(amperes->flags, PROBE_LINE | PROBE_WATCHED);
    assert_int_equal(amperes->count, 1);
    assert_int_equal(amperes->elements[0], b.first->mains_source);
    assert_int_equal(amperes->signs[0],
                     -1); /* a source that delivers passes current from `to` to `from` inside */
    assert_int_equal(volts->flags, PROBE_LINE);
    assert_string_equal(point_of(&b, volts->from), "line");
    assert_string_equal(point_of(&b, volts->to), "neutral");
    arena_free(b.arena);
}

static void reversed_swaps_the_points(void **state)
{
    (void)state;
    struct bench b = bench_of(WITH("voltage: 117 V, plugged: reversed"));
    assert_string_equal(point_of(&b, element_of(&b, "switch")->to), "neutral");
    assert_string_equal(point_of(&b, element_of(&b, "source")->to), "line");
    assert_string_equal(b.first->set->line[0], "neutral");
    arena_free(b.arena);
    b = bench_of(WITH("voltage: 117 V, plugged: as drawn, across: [neutral, line]"));
    assert_string_equal(point_of(&b, element_of(&b, "switch")->to), "neutral");
    arena_free(b.arena);
}

static const struct element *element_of_part(const struct bench *b, const char *part,
                                             const char *role)
{
    for (int i = 0; i < b->c->elements.n; i++)
        if (strcmp(b->c->elements.at[i].part, part) == 0 &&
            strcmp(b->c->elements.at[i].role, role) == 0)
            return &b->c->elements.at[i];
    fail_msg("no element %s %s", part, role);
    return NULL;
}

static void a_resistor_in_series_with_the_plug(void **state)
{
    (void)state;
    struct bench b = bench_of(WITH("voltage: 117 V, through: {resistor: 25 ohm}"));
    const struct element *through = element_of_part(&b, "mains resistor", "resistance");
    near_rel(through->value, 25, 1e-15, "ohm");
    assert_int_equal(through->from, element_of(&b, "resistance")->to);
    assert_int_equal(through->to, element_of(&b, "switch")->from);
    near_rel(b.first->set->mains_resistance, 25.3, 1e-15, "ohm");
    arena_free(b.arena);
    for (int k = 0; k < 2; k++) {
        b = bench_of(k ? WITH("voltage: 117 V, through: none")
                       : WITH("voltage: 117 V, through: {resistor: none}"));
        assert_null(set_find(b.first->set, "mains resistor"));
        assert_int_equal(element_of(&b, "resistance")->to, element_of(&b, "switch")->from);
        arena_free(b.arena);
    }
}

/* One after the other, in the order in which they are written. */
static void several_parts_in_series_with_the_plug(void **state)
{
    (void)state;
    struct bench b =
        bench_of(WITH("voltage: 117 V, through: {lamp: 60 W 117 V, fuse: {rated: 1.5 A "
                      "slow, condition: blown}, resistor: {resistance: 5 ohm, rated: "
                      "10 W}}"));
    const struct element *lamp = element_of_part(&b, "mains lamp", "base"),
                         *fuse = element_of_part(&b, "mains fuse", "base"),
                         *opening = element_of_part(&b, "mains fuse", "opening"),
                         *resistor = element_of_part(&b, "mains resistor", "resistance");
    near_rel(lamp->value, 117 * 117 / 60.0, 1e-14, "ohm");
    near_rel(resistor->value, 5, 1e-15, "ohm");
    assert_int_equal(opening->kind, ELEMENT_SWITCH);
    assert_false(opening->starts_closed || opening->trips);
    assert_int_equal(lamp->from, element_of(&b, "resistance")->to);
    assert_int_equal(fuse->from, lamp->to);
    assert_int_equal(opening->from, fuse->to);
    assert_int_equal(resistor->from, opening->to);
    assert_int_equal(element_of(&b, "switch")->from, resistor->to);
    for (int i = 0; i < b.c->points.n; i++)
        assert_true(b.c->inner.at[i] == (strncmp(b.c->points.at[i], "mains", 5) == 0));
    near_rel(b.first->set->mains_resistance, 5.3, 1e-15, "ohm");
    arena_free(b.arena);
}

/* A timed change takes the lamp out and puts another in. */
static void what_is_in_series_comes_and_goes(void **state)
{
    (void)state;
    struct bench b = bench_of(
        WITH("voltage: 117 V, through: {lamp: 60 W 117 V}") "run: {for: 9 s}\n"
                                                            "at 1 s: {mains: {through: none}}\n"
                                                            "at 2 s: {mains: {through: {lamp: 100 "
                                                            "W 117 V}}}\n"
                                                            "at 3 s: {mains: {through: {fuse: 2 A "
                                                            "fast}}}\n");
    static const double ohms[] = {117 * 117 / 60.0, 0, 117 * 117 / 100.0, 117 * 117 / 100.0};
    assert_int_equal(b.setup->stages.n, 4);
    for (int i = 0; i < 4; i++) {
        const struct stage *s = &b.setup->stages.at[i];
        b.c = s->circuit;
        assert_int_equal(set_find(s->set, "mains lamp") != NULL, i != 1);
        assert_int_equal(set_find(s->set, "mains fuse") != NULL, i == 3);
        if (i != 1)
            near_rel(element_of_part(&b, "mains lamp", "base")->value, ohms[i], 1e-14, "ohm");
    }
    arena_free(b.arena);
}

static void earth_is_joined_to_neutral(void **state)
{
    (void)state;
    static const char earthed[] =
        WITH("voltage: 117 V, plugged: reversed") "  R2: {is: resistor, across: [line, earth], "
                                                  "resistance: 1500 ohm}\n";
    struct bench b = bench_of(earthed);
    const struct element *earth = element_of(&b, "earth");
    assert_int_equal(earth->kind, ELEMENT_RESISTOR);
    near_abs(earth->value, 0, 0, "ohm");
    assert_int_equal(
        earth->from,
        element_of(&b, "source")->to); /* neutral of the outlet: the set's point `line` */
    assert_string_equal(point_of(&b, earth->from), "line");
    assert_string_equal(point_of(&b, earth->to), "earth");
    arena_free(b.arena);
}

static void a_square_wave(void **state)
{
    (void)state;
    struct bench b = bench_of(WITH("voltage: 6 V, frequency: 115 Hz, shape: square, dwell: 0.81"));
    const struct waveform *w = &b.c->waveforms.at[element_of(&b, "source")->group];
    assert_int_equal(w->kind, WAVEFORM_SQUARE);
    near_rel(w->peak, 6, 1e-15, "V");
    near_rel(w->dwell, 0.81, 1e-15, "");
    near_rel(b.first->set->line_volts, 6 * 0.9, 1e-12, "V");
    assert_false(b.first->gap_open);
    arena_free(b.arena);
    b = bench_of(WITH("voltage: 6 V, frequency: 115 Hz, shape: square, gap: open"));
    assert_true(b.first->gap_open);
    arena_free(b.arena);
    b = bench_of(WITH("voltage: 6 V, frequency: 115 Hz, shape: square"));
    near_rel(assumption_of(&b, "dwell")->value, 0.9, 1e-15, "");
    near_rel(b.c->waveforms.at[0].dwell, 0.9, 1e-15, "");
    arena_free(b.arena);
}

static void the_angle_at_which_it_closes(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool given, worst;
        double degrees;
    } rows[] = {
        {WITH("voltage: 117 V"), false, true, 0},
        {WITH("voltage: 117 V, closes at: unknown"), false, true, 0},
        {WITH("voltage: 117 V, closes at: worst"), true, true, 0},
        {WITH("voltage: 117 V, closes at: zero"), true, false, 0},
        {WITH("voltage: 117 V, closes at: crest"), true, false, 90},
        {WITH("voltage: 117 V, closes at: 30 deg"), true, false, 30},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct bench b = bench_of(rows[i].text);
        assert_int_equal(b.first->closes_given, rows[i].given);
        assert_int_equal(b.first->closes_worst, rows[i].worst);
        near_abs(b.first->closes_at, rows[i].degrees * acos(-1) / 180, 1e-15, "rad");
        arena_free(b.arena);
    }
}

static void off_at_the_start_and_on_later(void **state)
{
    (void)state;
    struct bench b = bench_of(
        WITH("voltage: 117 V, state: off, closes at: crest") "run: {for: 9 s}\n"
                                                             "at 1 s: {mains: {state: on}}\n"
                                                             "at 2 s: {mains: {state: off}}\n"
                                                             "at 3 s: {mains: {state: on, closes "
                                                             "at: zero}}\n"
                                                             "at 4 s: {mains: {voltage: 130 V, "
                                                             "through: {resistor: 5 ohm}}}\n");
    static const bool on[] = {false, true, false, true, true},
                      given[] = {true, false, false, true, false};
    assert_int_equal(b.setup->stages.n, 5);
    for (int i = 0; i < 5; i++) {
        const struct stage *s = &b.setup->stages.at[i];
        near_abs(s->time, i, 0, "s");
        assert_int_equal(s->mains_on, on[i]);
        assert_int_equal(s->circuit->elements.at[s->mains_switch].starts_closed, on[i]);
        assert_int_equal(s->closes_given, given[i]);
        near_abs(s->closes_at, i < 3 ? acos(-1) / 2 : 0, 1e-15, "rad");
        near_rel(s->set->line_volts, i < 4 ? 117 : 130, 1e-15, "V");
    }
    assert_string_equal(b.setup->stages.at[3].change, "mains state: on, mains closes at: zero");
    assert_string_equal(b.setup->stages.at[4].change,
                        "mains voltage: 130 V, mains through: resistor 5 ohm");
    near_rel(b.setup->stages.at[4].set->mains_resistance, 5.3, 1e-15, "ohm");
    arena_free(b.arena);
}

static void a_battery_needs_no_mains(void **state)
{
    (void)state;
    struct bench b =
        bench_of("format: 1\nparts:\n  B1: {is: battery, across: [A+, A-], voltage: 6.3 V}\n"
                 "  R1: {is: resistor, across: [A+, A-], resistance: 10 ohm}\n");
    assert_int_equal(b.first->mains_switch, -1);
    assert_int_equal(b.first->mains_source, -1);
    assert_false(b.first->mains_on);
    assert_false(b.first->closes_worst);
    near_rel(b.setup->frequency, 60, 1e-15, "Hz");
    assert_null(element_of(&b, "source"));
    assert_string_equal(b.c->reference, "A-");
    arena_free(b.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sine_behind_a_resistance_and_a_switch),
        cmocka_unit_test(what_was_not_given_is_stated),
        cmocka_unit_test(probes_of_the_line),
        cmocka_unit_test(reversed_swaps_the_points),
        cmocka_unit_test(a_resistor_in_series_with_the_plug),
        cmocka_unit_test(several_parts_in_series_with_the_plug),
        cmocka_unit_test(what_is_in_series_comes_and_goes),
        cmocka_unit_test(earth_is_joined_to_neutral),
        cmocka_unit_test(a_square_wave),
        cmocka_unit_test(the_angle_at_which_it_closes),
        cmocka_unit_test(off_at_the_start_and_on_later),
        cmocka_unit_test(a_battery_needs_no_mains),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
