/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a part is, and what can be wrong with it: every fault of every kind, laid over a set in
 * which each kind stands, is understood and simulates. The set is invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "capacitor.h"
#include "exercise_table.h"
#include "load.h"
#include "near.h"
#include "overrides.h"
#include "run.h"
#include "why.h"

static struct arena *arena;
static const struct catalogue *catalogue;
static const struct scenario *scenario;
static const struct setup *setup;
static const struct set *set;

static const char text[] =
    "format: 1\nmains: {voltage: 120 V, frequency: 60 Hz}\n"
    "parts:\n"
    "  T1:\n    is: power transformer\n"
    "    primary: {rated: 117 V 60 Hz, resistance: 5 ohm}\n"
    "    windings:\n"
    "      high: {across: [plate a, chassis, plate b], open circuit: 600 V, resistance: 200 ohm}\n"
    "      five: {open circuit: 5.1 V}\n"
    "      six: {across: [six, chassis], open circuit: 6.6 V}\n"
    "  V1: {is: rectifier, type: 5Y3-GT, plates: [plate a, plate b], cathode: B+,\n"
    "       heated by: five}\n"
    "  V2: {is: rectifier, type: 6X4, plates: [plate a], cathode: second B+, heated by: six}\n"
    "  D1: {is: rectifier, type: silicon, plates: [plate b], cathode: third B+}\n"
    "  D2: {is: rectifier, type: selenium 100 mA, plates: [plate b], cathode: dry B+}\n"
    "  R6: {is: resistor, across: [dry B+, chassis], resistance: 100 kohm}\n"
    "  C1: {is: capacitor, across: [B+, chassis], value: 16 uF, rated: 450 V, make: dry}\n"
    "  C2: {is: capacitor, across: [tail, chassis], value: 0.1 uF, rated: 600 V, make: paper}\n"
    "  C3: {is: capacitor, across: [tail, chassis], value: 1 uF, rated: 450 V, make: wet}\n"
    "  C4: {is: capacitor, across: [second B+, chassis], value: 8 uF}\n"
    "  C5: {is: capacitor, across: [third B+, chassis], value: 998 nF}\n"
    "  L1: {is: choke, across: [B+, middle], inductance: 10 H, resistance: 300 ohm}\n"
    "  L2: {is: field coil, across: [middle, tail], resistance: 800 ohm cold, rated: 6 W}\n"
    "  R1: {is: resistor, across: [tail, chassis], resistance: 47 kohm, rated: 5 W}\n"
    "  R2: {is: resistor, across: [second B+, chassis], resistance: 20 kohm}\n"
    "  R3: {is: resistor, across: [third B+, chassis], resistance: 20 kohm}\n"
    "  A1: {is: load, across: [tail, chassis], draws: 30 mA at 250 V, scaled by: 1.5}\n"
    "  A2: {is: load, across: [tail, chassis], tube: 6F6-G, bias resistor: 410 ohm,\n"
    "       heated by: six}\n"
    "  A3: {is: load, across: [tail, chassis], resistance: 50 kohm}\n"
    "  B1: {is: battery, across: [cell, chassis], voltage: 6.3 V}\n"
    "  S1: {is: switch, across: [cell, wire], state: closed}\n"
    "  F1: {is: fuse, across: [wire, string], rated: 1 A slow}\n"
    "  H1: {is: heater, across: [string, chassis], rated: 6.3 V 0.3 A}\n"
    "  P1: {is: lamp, across: [string, chassis], rated: 6.3 V 0.15 A}\n"
    "  N1: {is: thermistor, across: [string, far], cold resistance: 20 ohm, rated: 2 A,\n"
    "       hot resistance: 0.3 ohm}\n"
    "  R4: {is: resistor, across: [far, chassis], resistance: 100 ohm}\n"
    "  N2: {is: barretter, across: [six, wired], rated: 0.3 A, range: 3 V to 5 V}\n"
    "  R5: {is: resistor, across: [wired, chassis], resistance: 8 ohm}\n";

static int open_shop(void **state)
{
    (void)state;
    arena = arena_new();
    struct diags *diags = diags_new(arena);
    catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    scenario = scenario_parse(arena, diags, catalogue, "test.yaml", text);
    setup = scenario ? scenario_setup(arena, diags, scenario, NULL) : NULL;
    diags_print(diags, stderr);
    if (!setup) return -1;
    set = setup->stages.at[0].set;
    return 0;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static const struct part *part(const char *name)
{
    const struct part *p = set_find(set, name);
    if (!p) fail_msg("no part %s", name);
    return p;
}

/* ---- roles ---- */

static void roles_of_kinds(void **state)
{
    static const struct {
        const char *part;
        unsigned roles;
    } all[] = {{"T1", ROLE_TRANSFORMER | ROLE_PRIMARY_ON_MAINS | ROLE_CORE},
               {"V1", ROLE_RECTIFIER | ROLE_TUBE | ROLE_TWO_PLATES},
               {"V2", ROLE_RECTIFIER | ROLE_TUBE},
               {"D1", ROLE_RECTIFIER},
               {"D2", ROLE_RECTIFIER | ROLE_SELENIUM},
               {"C1", ROLE_CAPACITOR | ROLE_FILTER | ROLE_ELECTROLYTIC},
               {"C2", ROLE_CAPACITOR | ROLE_PAPER},
               {"C3", ROLE_CAPACITOR | ROLE_FILTER | ROLE_ELECTROLYTIC | ROLE_WET},
               {"C4", ROLE_CAPACITOR | ROLE_FILTER | ROLE_ELECTROLYTIC},
               {"C5", ROLE_CAPACITOR},
               {"L1", ROLE_COIL},
               {"L2", ROLE_COIL | ROLE_FIELD_COIL},
               {"R1", ROLE_RESISTOR},
               {"A1", ROLE_LOAD | ROLE_SCALES},
               {"A2", ROLE_LOAD},
               {"A3", ROLE_LOAD | ROLE_SCALES},
               {"B1", ROLE_SOURCE},
               {"S1", ROLE_SWITCH},
               {"F1", ROLE_FUSE},
               {"H1", ROLE_HEATER},
               {"P1", ROLE_LAMP},
               {"N1", ROLE_LIMITER},
               {"N2", ROLE_LIMITER}};
    (void)state;
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
        for (unsigned bit = 1; bit <= ROLE_CORE; bit <<= 1)
            if (part_is(part(all[i].part), bit) != ((all[i].roles & bit) != 0))
                fail_msg("%s: role %#x", all[i].part, bit);
    assert_ptr_equal(part_with(set, ROLE_COIL), part("L1"));
    assert_ptr_equal(part_with(set, ROLE_WET | ROLE_FUSE), part("C3"));
}

static const struct setup *with(const struct overrides *o, struct diags *diags)
{
    return overrides_setup(o, diags, scenario, NULL, "tried");
}

static void roles_follow_the_keys(void **state)
{
    static const char *const line[] = {"line", "neutral"};
    struct overrides o = overrides_new(arena), other = o;
    (void)state;
    overrides_text(&o, "T1", "ideal", "yes");
    overrides_points(&o, "T1", "primary.across", line, 2);
    overrides_text(&o, "C4", "make", "paper");
    const struct setup *s = with(&o, diags_new(arena));
    const struct part *t = set_find(s->stages.at[0].set, "T1");
    assert_false(part_is(t, ROLE_PRIMARY_ON_MAINS | ROLE_CORE));
    assert_true(part_is(set_find(s->stages.at[0].set, "C4"), ROLE_PAPER));
    assert_false(part_is(set_find(s->stages.at[0].set, "C4"), ROLE_ELECTROLYTIC));
    overrides_text(&other, "V2", "type", "silicon");
    overrides_text(&other, "C1", "condition", "open");
    s = with(&other, diags_new(arena));
    assert_false(part_is(set_find(s->stages.at[0].set, "V2"), ROLE_TUBE));
    const struct part *c = set_find(s->stages.at[0].set, "C1");
    assert_true(part_is(c, ROLE_FILTER)); /* of what is printed on it */
    assert_string_equal(part_condition(c), "open");
    assert_null(part_condition(part("C1")));
    assert_string_equal(part_type(part("V2")), "6X4");
    assert_null(part_type(part("C1")));
}

static void values_and_ways(void **state)
{
    struct part_way way;
    (void)state;
    near_rel(part_ohms(part("R1"), 0), 47e3, 1e-14, "ohm");
    near_rel(part_ohms(part("L1"), 100), 300, 1e-14, "ohm");
    near_rel(part_ohms(part("L2"), 0), 800, 1e-12, "ohm");
    assert_true(part_ohms(part("L2"), 60) > 820); /* its 4 W warm it */
    near_rel(part_ohms(part("A3"), 0), 50e3, 1e-14, "ohm");
    near_abs(part_ohms(part("A1"), 0), 0, 0, "ohm");
    near_rel(part_volts(part("B1")), 6.3, 1e-14, "V");
    near_rel(part_volts(part("T1")), 117, 1e-14, "V");
    near_rel(part_volts(part("C1")), 450, 1e-14, "V");
    near_abs(part_volts(part("C4")), 0, 0, "V");
    near_rel(load_scale(part("A1")), 1.5, 1e-14, "");
    near_rel(load_scale(part("A3")), 1, 1e-14, "");

    assert_true(part_way(set, part("C1"), 0, &way) && way.points == 2);
    assert_string_equal(way.point[0], "B+");
    assert_string_equal(way.point[1], "chassis");
    assert_false(part_way(set, part("C1"), 1, &way));
    assert_true(part_way(set, part("T1"), 0, &way) && way.points == 3);
    assert_string_equal(way.name, "high");
    assert_string_equal(way.point[1], "chassis");
    assert_true(part_way(set, part("T1"), 1, &way) && way.points == 0);
    assert_false(part_way(set, part("T1"), 3, &way));
    assert_true(part_way(set, part("V1"), 1, &way));
    assert_string_equal(way.point[0], "plate b");
    assert_string_equal(way.point[1], "B+");
    assert_true(part_ends_at(set, part("T1"), "plate b"));
    assert_false(part_ends_at(set, part("T1"), "B+"));
    assert_true(part_model_is(catalogue_find(catalogue, "5Y3-GT"), ROLE_RECTIFIER));
    assert_false(part_model_is(catalogue_find(catalogue, "6F6-G"), ROLE_RECTIFIER));
}

/* ---- faults ---- */

static void put_fault(struct overrides *o, const struct part *p, const struct part_fault *f,
                      double severity)
{
    struct fault_change changes[FAULT_CHANGES];
    int n = fault_lay(arena, set, p, f, severity, changes);
    for (int i = 0; i < n; i++) overrides_text(o, p->name, changes[i].key, changes[i].text);
}

static const struct setup *fail_part(const struct part *p, const struct part_fault *f,
                                     double severity, struct diags *diags)
{
    struct overrides o = overrides_new(arena);
    put_fault(&o, p, f, severity);
    return with(&o, diags);
}

/* Pulls what the part needs least: a small set is reduced quickly. */
static void put_small(struct overrides *o, const struct part *kept)
{
    static const char base[] = "T1 V1 C1 L1 R1", string[] = "B1 S1 F1";
    bool low = part_is(kept, ROLE_FUSE | ROLE_HEATER | ROLE_LAMP | ROLE_SOURCE | ROLE_SWITCH);
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (p != kept && !strstr(low ? string : base, p->name))
            overrides_text(o, p->name, "fitted", "no");
    }
}

static bool has_key(const struct part_kind *kind, const char *key)
{
    size_t n = strcspn(key, ".");
    for (const struct key *k = kind->keys; k->name; k++)
        if (strlen(k->name) == n && strncmp(k->name, key, n) == 0) return true;
    return false;
}

static void tables_are_whole(void **state)
{
    (void)state;
    for (int i = 0; kinds_all[i]; i++)
        for (const struct part_fault *f = kinds_all[i]->faults; f && f->name; f++) {
            const struct fault_severity *s = &f->severity;
            assert_true(f->says[0] && !strchr(f->says, '.'));
            assert_ptr_equal(fault_find(kinds_all[i], f->name), f);
            if (!f->keyed) assert_true(has_key(kinds_all[i], "condition"));
            if (f->keyed) assert_true(s->key || f->keys[0].key);
            for (int k = 0; k < FAULT_KEYS && f->keys[k].key; k++)
                assert_true(has_key(kinds_all[i], f->keys[k].key));
            if (!s->key) continue;
            assert_true(has_key(kinds_all[i], s->key));
            assert_true(s->low < s->high && s->low <= s->usual && s->usual <= s->high);
            assert_true(!s->of == !s->of_what);
        }
    assert_null(fault_find(part("C1")->kind, "good"));
}

/* At its least, usual and worst. */
static void every_fault_is_understood(void **state)
{
    (void)state;
    for (int i = 0; kinds_all[i]; i++)
        for (const struct part_fault *f = kinds_all[i]->faults; f && f->name; f++) {
            int met = 0;
            for (int k = 0; k < set->parts.n; k++) {
                const struct part *p = set->parts.at[k];
                const double severities[] = {f->severity.low, (double)NAN, f->severity.high};
                if (p->kind != kinds_all[i] || !fault_can(set, p, f)) continue;
                for (int j = 0; j < 3; j++) {
                    struct diags *diags = diags_new(arena);
                    if (fail_part(p, f, severities[j], diags)) continue;
                    diags_print(diags, stderr);
                    fail_msg("%s %s is refused", p->name, f->name);
                }
                met++;
            }
            if (met == 0) fail_msg("no %s could be `%s`", kinds_all[i]->name, f->name);
        }
}

/* Once each. */
/* How it may be shown to a class is said, and nothing dangerous is shown under power. */
static void every_fault_has_a_class(void **state)
{
    (void)state;
    for (int i = 0; kinds_all[i]; i++)
        for (const struct part_fault *f = kinds_all[i]->faults; f && f->name; f++)
            for (int k = 0; k < set->parts.n; k++) {
                const struct part *p = set->parts.at[k];
                if (p->kind != kinds_all[i]) continue;
                const struct exercise_row *row = exercise_row_of(set, p, f->name);
                if (!row) fail_msg("%s: `%s` has no class", p->name, f->name);
                assert_false(f->dangerous && row->class == EXERCISE_LIVE);
                assert_false(f->overloads && row->class != EXERCISE_PAPER);
            }
}

static void every_fault_runs(void **state)
{
    struct run_options options = run_defaults();
    (void)state;
    options.duration = 0.01;
    options.hot = 1;
    for (int i = 0; kinds_all[i]; i++)
        for (const struct part_fault *f = kinds_all[i]->faults; f && f->name; f++) {
            int k = 0;
            while (set->parts.at[k]->kind != kinds_all[i] || !fault_can(set, set->parts.at[k], f))
                k++; /* every fault has its part here, as the test before has seen */
            struct overrides o = overrides_new(arena);
            put_small(&o, set->parts.at[k]);
            put_fault(&o, set->parts.at[k], f, (double)NAN);
            const struct result *r = run_simulate(arena, with(&o, diags_new(arena)), &options);
            if (r->status != STATUS_OK)
                fail_msg("%s %s: %s", set->parts.at[k]->name, f->name, why(r));
        }
}

/* What cannot be is refused by the kind as well. */
static void what_cannot_be(void **state)
{
    static const char *const all[][2] = {{"C2", "reversed"},
                                         {"V2", "one plate dead"},
                                         {"D1", "weak"},
                                         {"D1", "aged"},
                                         {"D1", "gas"},
                                         {"D1", "one plate dead"},
                                         {"V1", "heater-cathode short"},
                                         {"A2", "too much"},
                                         {"A2", "too little"},
                                         {"A1", "leaky coupling capacitor"}};
    (void)state;
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        const struct part *p = part(all[i][0]);
        const struct part_fault *f = fault_find(p->kind, all[i][1]);
        if (fault_can(set, p, f)) fail_msg("%s can be `%s`", p->name, f->name);
        bool keyed = strcmp(f->name, "leaky coupling capacitor") == 0 || /* passed over elsewhere */
                     strcmp(f->name, "aged") == 0; /* a slope is read of every dry one */
        if (!keyed && fail_part(p, f, (double)NAN, diags_new(arena)))
            fail_msg("%s `%s` is understood", p->name, f->name);
    }
    assert_true(fault_can(set, part("V1"), fault_find(part("V1")->kind, "one plate dead")));
    assert_true(fault_can(set, part("V2"), fault_find(part("V2")->kind, "heater-cathode short")));
}

static const char *laid(const char *name, const char *fault, double severity, const char *key)
{
    struct fault_change changes[FAULT_CHANGES];
    const struct part *p = part(name);
    int n = fault_lay(arena, set, p, fault_find(p->kind, fault), severity, changes);
    for (int i = 0; i < n; i++)
        if (strcmp(changes[i].key, key) == 0) return changes[i].text;
    return "";
}

static void severities_become_values(void **state)
{
    (void)state;
    assert_string_equal(laid("C1", "dried out", (double)NAN, "condition"), "dried out");
    assert_string_equal(laid("C1", "dried out", (double)NAN, "value now"), "4 uF");
    assert_string_equal(laid("C1", "dried out", 0.1, "value now"), "1.6 uF");
    assert_string_equal(laid("C1", "breaks down", (double)NAN, "breakdown"), "360 V");
    assert_string_equal(laid("C4", "breaks down", (double)NAN, "breakdown"), "360 V");
    assert_string_equal(laid("R1", "drifted", 2, "resistance"), "94 kohm");
    assert_string_equal(laid("R1", "drifted", 2, "condition"), "");
    assert_string_equal(laid("B1", "weak", (double)NAN, "resistance"), "0.5 ohm");
    assert_string_equal(laid("D2", "aged", (double)NAN, "slope"), "160 ohm"); /* 8 times 20 ohm */
    assert_string_equal(laid("B1", "flat", 0.5, "voltage"), "3.15 V");
    assert_string_equal(laid("S1", "dirty contacts", 0.5, "contact resistance"), "0.5 ohm");
    assert_string_equal(laid("A1", "too little", 0.5, "scaled by"), "0.75");
    assert_string_equal(laid("A2", "leaky coupling capacitor", 1e6, "condition"), "");
    assert_non_null(strstr(laid("A2", "leaky coupling capacitor", 1e6, "leaky coupling capacitor"),
                           "1 Mohm from "));
    assert_string_equal(laid("H1", "heater-cathode short", (double)NAN, "cathode"), "chassis");
    assert_string_equal(laid("H1", "heater-cathode short", (double)NAN, "short to"), "string");
    assert_string_equal(laid("T1", "open primary", (double)NAN, "primary.resistance"), "10 Mohm");
    assert_string_equal(laid("C1", "shorts when hot", (double)NAN, "shorts at temperature"),
                        "60 C");
}

/* The usual severity is what a kind assumes where none is given. */
static void the_usual_is_assumed(void **state)
{
    static const struct {
        const char *part, *condition;
    } all[] = {{"L1", "shorted turns"}, {"T1", "shorted turns"}, {"V1", "gas"},
               {"A1", "shorted"},       {"C1", "shorted"},       {"C1", "dried out"},
               {"S1", "dirty contacts"}};
    (void)state;
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        const struct part *p = part(all[i].part);
        const struct fault_severity *s = &fault_find(p->kind, all[i].condition)->severity;
        struct overrides o = overrides_new(arena);
        overrides_text(&o, p->name, "condition", all[i].condition);
        const struct setup *with_one = with(&o, diags_new(arena));
        assert_non_null(with_one);
        const struct set *failed = with_one->stages.at[0].set;
        int met = 0;
        for (int k = 0; k < failed->assumptions.n; k++) {
            const struct assumption *a = &failed->assumptions.at[k];
            if (strcmp(a->part, p->name) != 0 || strcmp(a->key, s->key) != 0) continue;
            double of = s->of ? s->of(p) : 1;
            near_rel(a->value, s->usual * of, 1e-14, s->key);
            near_rel(a->low + 1, s->low * of + 1, 1e-14, s->key);
            near_rel(a->high, s->high * of, 1e-14, s->key);
            met++;
        }
        if (met != 1) fail_msg("%s %s: %d assumptions", p->name, all[i].condition, met);
    }
}

static void a_fault_is_copied(void **state)
{
    struct overrides o = overrides_new(arena);
    struct fault_change changes[FAULT_CHANGES];
    (void)state;
    overrides_text(&o, "H1", "condition", "heater-cathode short");
    overrides_text(&o, "H1", "cathode", "tail");
    overrides_text(&o, "H1", "short resistance", "33 ohm");
    const struct setup *s = with(&o, diags_new(arena));
    const struct part *p = set_find(s->stages.at[0].set, "H1");
    assert_int_equal(fault_copy(p, fault_find(p->kind, part_condition(p)), changes), 3);
    assert_string_equal(changes[0].text, "heater-cathode short");
    assert_string_equal(changes[1].key, "short resistance");
    assert_string_equal(changes[1].text, "33 ohm");
    assert_string_equal(changes[2].text, "tail");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(roles_of_kinds),
        cmocka_unit_test(roles_follow_the_keys),
        cmocka_unit_test(values_and_ways),
        cmocka_unit_test(tables_are_whole),
        cmocka_unit_test(every_fault_is_understood),
        cmocka_unit_test(every_fault_has_a_class),
        cmocka_unit_test(every_fault_runs),
        cmocka_unit_test(what_cannot_be),
        cmocka_unit_test(severities_become_values),
        cmocka_unit_test(the_usual_is_assumed),
        cmocka_unit_test(a_fault_is_copied),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
