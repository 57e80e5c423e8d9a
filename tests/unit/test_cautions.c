/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every caution has its rule; the hazards are read from small scenarios, all invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "cautions.h"
#include "islands.h"

/* --- the list --- */

static bool is_ascii(const char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text < ' ' || (unsigned char)*text > '~') return false;
    return true;
}

static void every_caution_is_whole(void **state)
{
    (void)state;
    assert_true(cautions_count() > 10);
    for (int i = 0; i < cautions_count(); i++) {
        const struct caution *c = caution_at(i);
        assert_true(c->name && c->text && c->source && c->applies);
        assert_true(is_ascii(c->name) && is_ascii(c->text) && is_ascii(c->source));
        assert_true(strlen(c->name) > 2 && strlen(c->source) > 10);
        assert_int_equal(c->text[strlen(c->text) - 1], '.');
        for (int k = 0; k < i; k++) assert_string_not_equal(caution_at(k)->name, c->name);
    }
}

static bool told(const struct hazards *h, const char *name)
{
    bool known = false;
    for (int i = 0; i < cautions_count(); i++) known |= strcmp(caution_at(i)->name, name) == 0;
    assert_true(known);
    for (int i = caution_next(h, -1); i >= 0; i = caution_next(h, i))
        if (strcmp(caution_at(i)->name, name) == 0) return true;
    return false;
}

static int how_many(struct hazards h)
{
    int n = 0;
    for (int i = caution_next(&h, -1); i >= 0; i = caution_next(&h, i)) n++;
    return n;
}

static void nothing_is_told_without_a_hazard(void **state)
{
    (void)state;
    assert_int_equal(how_many((struct hazards){0}), 0);
    assert_int_equal(how_many((struct hazards){.occasion = OCCASION_POWER}), 0);
}

/* `all`: with what any set on the line (Rules, No isolation) or any lethal one (Rules, Unplugged)
 * gets. */
static void each_rule_shows_its_own_caution(void **state)
{
    static const struct {
        const char *name;
        int all;
        struct hazards h;
    } rows[] = {
        {"Rules", 2, {.mains = true}},
        {"Rules", 2, {.lethal = true}},
        {"Unplugged is not dead", 2, {.lethal = true}},
        {"Discharge", 3, {.lethal = true, .keeps_charge = true}},
        {"First power", 4, {.lethal = true, .occasion = OCCASION_POWER}},
        {"First power", 4, {.mains = true, .occasion = OCCASION_POWER}},
        {"Fire", 4, {.mains = true, .occasion = OCCASION_POWER}},
        {"No isolation", 2, {.mains = true}},
        {"Live chassis", 1, {.hot_chassis = true}},
        {"Rectifier socket", 3, {.tube_rectifier = true, .lethal = true}},
        {"Plate to plate", 3, {.two_plates = true, .lethal = true}},
        {"Speaker plug", 3, {.field_coil = true, .lethal = true}},
        {"Insulated cans", 1, {.insulated_can = true}},
        {"Selenium", 1, {.selenium = true}},
        {"Mercury", 1, {.mercury = true}},
        {"Oil capacitors", 1, {.oil_capacitor = true}},
        {"Resistance cord", 1, {.line_cord = true}},
        {"Line capacitors", 3, {.line_capacitor = true, .mains = true}},
        {"Capacitors in series", 1, {.bare_series = true}},
        {"Vibrator", 1, {.vibrator = true}},
        {"Re-forming", 1, {.occasion = OCCASION_REFORM}},
        {"Chassis test", 3, {.occasion = OCCASION_CHASSIS, .mains = true}},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_true(told(&rows[i].h, rows[i].name));
        assert_int_equal(how_many(rows[i].h), rows[i].all);
    }
}

static void half_a_reason_is_none(void **state)
{
    struct hazards h = {.keeps_charge = true,
                        .tube_rectifier = true,
                        .two_plates = true,
                        .field_coil = true,
                        .line_capacitor = true,
                        .occasion = OCCASION_CHASSIS | OCCASION_POWER};
    (void)state;
    assert_int_equal(how_many(h), 0);
}

/* --- what a set holds --- */

struct shop {
    struct arena *arena;
    struct diags *diags;
    const struct catalogue *catalogue;
};

static struct shop shop;

static int open_shop(void **state)
{
    (void)state;
    shop.arena = arena_new();
    shop.diags = diags_new(shop.arena);
    shop.catalogue = catalogue_read(shop.arena, shop.diags, SOURCE_DIR "/models");
    return shop.catalogue ? 0 : -1;
}

static int close_shop(void **state)
{
    (void)state;
    arena_free(shop.arena);
    return 0;
}

static struct hazards read_set(const char *text, const struct result *result)
{
    const struct scenario *s =
        scenario_parse(shop.arena, shop.diags, shop.catalogue, "test.yaml", text);
    const struct setup *setup = s ? scenario_setup(shop.arena, shop.diags, s, NULL) : NULL;
    if (!setup) diags_print(shop.diags, stderr);
    assert_non_null(setup);
    return hazards_of(shop.arena, setup, result, OCCASION_POWER);
}

#define MAINS                                                                                      \
    "format: 1\nmains:\n  voltage: 117 V\n  frequency: 60 Hz\n  closes at: crest\nrun:\n"          \
    "  for: 1 s\nparts:\n"
#define TRANSFORMER                                                                                \
    "  T1:\n    is: power transformer\n    primary:\n      across: [line, neutral]\n"              \
    "      rated: 117 V\n      resistance: 8 ohm\n    windings:\n      high voltage:\n"            \
    "        across: [plate 1, chassis, plate 2]\n        open circuit: [344 V, 346 V]\n"          \
    "        resistance: [112 ohm, 121 ohm]\n      rectifier heater:\n"                            \
    "        open circuit: 5.3 V\n"
#define TUBE(type)                                                                                 \
    "  V6:\n    is: rectifier\n    type: " type "\n    plates: [plate 1, plate 2]\n"               \
    "    cathode: first filter\n    heated by: rectifier heater\n"
#define FILTER                                                                                     \
    "  C1:\n    is: capacitor\n    across: [first filter, chassis]\n    value: 8 uF\n"             \
    "    rated: 450 V\n"
#define BLEEDER                                                                                    \
    "  R1:\n    is: resistor\n    across: [first filter, chassis]\n    resistance: 20 kohm\n"

static void transformer_set(void **state)
{
    struct hazards h = read_set(MAINS TRANSFORMER TUBE("5Y3-GT") FILTER BLEEDER, NULL);
    (void)state;
    assert_true(h.mains && h.lethal && h.keeps_charge && h.tube_rectifier && h.two_plates);
    assert_false(h.hot_chassis || h.field_coil || h.insulated_can || h.selenium || h.mercury ||
                 h.oil_capacitor || h.line_cord || h.line_capacitor || h.bare_series || h.vibrator);
    assert_true(told(&h, "First power") && told(&h, "Discharge") && told(&h, "Rectifier socket"));
    assert_false(told(&h, "Live chassis") || told(&h, "Re-forming"));
}

static void silicon_has_no_tube_socket_at_b_plus(void **state)
{
    struct hazards h =
        read_set(MAINS TRANSFORMER
                 "  V6:\n    is: rectifier\n    type: 1N4007\n"
                 "    plates: [plate 1, plate 2]\n    cathode: first filter\n" FILTER BLEEDER,
                 NULL);
    (void)state;
    assert_false(h.tube_rectifier);
    assert_true(h.two_plates);
}

static void mercury_by_its_law(void **state)
{
    struct hazards h = read_set(MAINS TRANSFORMER TUBE("83") FILTER BLEEDER, NULL);
    (void)state;
    assert_true(h.mercury && h.tube_rectifier);
    assert_true(told(&h, "Mercury"));
}

static void field_coil_oil_cord_and_insulated_can(void **state)
{
    struct hazards h = read_set(
        MAINS TRANSFORMER TUBE("5Y3-GT") FILTER
        "  L1:\n    is: field coil\n    across: [first filter, B+]\n    inductance: 10 H\n"
        "    resistance: 1500 ohm\n"
        "  C2:\n    is: capacitor\n    across: [B+, negative]\n    value: 8 uF\n    rated: 450 V\n"
        "  R2:\n    is: resistor\n    across: [negative, chassis]\n    resistance: 200 ohm\n"
        "  R3:\n    is: resistor\n    across: [B+, negative]\n    resistance: 20 kohm\n"
        "  ballast:\n    is: resistor\n    across: [B+, chassis]\n    resistance: 90 kohm\n"
        "  Oil block:\n    is: capacitor\n    across: [B+, chassis]\n    value: 2 uF\n"
        "    rated: 600 V\n    make: paper\n",
        NULL);
    (void)state;
    assert_true(h.field_coil && h.insulated_can && h.line_cord && h.oil_capacitor);
    assert_false(h.hot_chassis || h.line_capacitor || h.bare_series);
}

static void a_foil_holds_no_oil(void **state)
{
    struct hazards h = read_set(MAINS TRANSFORMER TUBE("5Y3-GT") BLEEDER
                                "  foil for coil:\n    is: capacitor\n"
                                "    across: [first filter, chassis]\n    value: 0.1 uF\n"
                                "    rated: 600 V\n    make: film\n",
                                NULL);
    (void)state;
    assert_false(h.oil_capacitor || h.keeps_charge || h.insulated_can);
}

#define DIRECT                                                                                     \
    "format: 1\nreference: B-\nmains:\n  voltage: 117 V\n  frequency: 60 Hz\n"                     \
    "  closes at: crest\n  across: [line, B-]\nrun:\n  for: 1 s\nparts:\n"                         \
    "  C1:\n    is: capacitor\n    across: [first filter, B-]\n    value: 40 uF\n"                 \
    "    rated: 160 V\n"                                                                           \
    "  R1:\n    is: resistor\n    across: [first filter, B-]\n    resistance: 2 kohm\n"            \
    "  D1:\n    is: rectifier\n    type: selenium 100 mA\n    plates: [line]\n"                    \
    "    cathode: first filter\n"

static void set_on_the_line_without_transformer(void **state)
{
    struct hazards h = read_set(DIRECT, NULL);
    (void)state;
    assert_true(h.hot_chassis && h.selenium && h.keeps_charge);
    assert_false(h.line_capacitor || h.insulated_can || h.tube_rectifier || h.two_plates);
    assert_true(told(&h, "Live chassis") && told(&h, "Selenium"));
}

static void capacitor_across_the_line(void **state)
{
    struct hazards h = read_set(DIRECT "  C9:\n    is: capacitor\n    across: [B-, line]\n"
                                       "    value: 0.05 uF\n    rated: 400 V\n    make: paper\n",
                                NULL);
    (void)state;
    assert_true(h.line_capacitor);
    assert_false(h.oil_capacitor); /* too small for an oil block */
}

/* The lower one lies between a side of the line and B-, and is a filter capacitor all the same. */
static void filter_capacitor_of_a_doubler_is_none_of_the_line(void **state)
{
    struct hazards h = read_set(
        "format: 1\nreference: B-\nmains:\n  voltage: 117 V\n  frequency: 60 Hz\n"
        "  closes at: crest\n  across: [line, middle]\nrun:\n  for: 1 s\nparts:\n"
        "  D1:\n    is: rectifier\n    type: selenium 100 mA\n    plates: [line]\n"
        "    cathode: first filter\n"
        "  D2:\n    is: rectifier\n    type: selenium 100 mA\n    plates: [B-]\n"
        "    cathode: line\n"
        "  C1:\n    is: capacitor\n    across: [first filter, middle]\n    value: 40 uF\n"
        "    rated: 160 V\n"
        "  C2:\n    is: capacitor\n    across: [middle, B-]\n    value: 40 uF\n"
        "    rated: 160 V\n"
        "  R1:\n    is: resistor\n    across: [first filter, B-]\n    resistance: 4 kohm\n",
        NULL);
    (void)state;
    assert_true(h.hot_chassis && h.insulated_can);
    assert_false(h.line_capacitor);
}

static void a_resistor_from_line_to_chassis_makes_it_live(void **state)
{
    struct hazards h = read_set(MAINS TRANSFORMER TUBE("5Y3-GT") FILTER BLEEDER
                                "  R9:\n    is: resistor\n    across: [neutral, chassis]\n"
                                "    resistance: 150 kohm\n",
                                NULL);
    (void)state;
    assert_true(h.hot_chassis);
}

static void capacitors_in_series_need_equalisers(void **state)
{
    const char *pair = MAINS TRANSFORMER TUBE("5Y3-GT") BLEEDER
        "  Ca:\n    is: capacitor\n    across: [first filter, middle]\n    value: 16 uF\n"
        "    rated: 350 V\n    leakage: none\n"
        "  Cb:\n    is: capacitor\n    across: [middle, chassis]\n    value: 16 uF\n"
        "    rated: 350 V\n    leakage: none\n";
    const char *equaliser = "  Rb:\n    is: resistor\n    across: [middle, chassis]\n"
                            "    resistance: 220 kohm\n";
    (void)state;
    assert_true(read_set(pair, NULL).bare_series);
    assert_false(read_set(arena_printf(shop.arena, "%s%s", pair, equaliser), NULL).bare_series);
}

static void volts_decide_what_is_lethal(void **state)
{
    struct result r = {0};
    (void)state;
    array_push(shop.arena, &r.figures,
               (struct figure){"B+", MEASURE_HIGHEST_VOLTAGE, 50, UNIT_VOLT, 1});
    array_push(shop.arena, &r.figures, (struct figure){"T1", MEASURE_ENERGY, 900, UNIT_JOULE, 1});
    assert_false(read_set(DIRECT, &r).lethal);
    r.figures.at[0].value = 50.1;
    assert_true(read_set(DIRECT, &r).lethal);
    r.figures.at[0].value = -51;
    assert_true(read_set(DIRECT, &r).lethal);
    r.figures.at[0].value = (double)NAN;
    assert_true(read_set(DIRECT, &r).lethal);
    r.figures.n = 0; /* a run that gave nothing clears nothing */
    assert_true(read_set(DIRECT, &r).lethal);
}

static void square_source_is_a_vibrator(void **state)
{
    struct hazards h = read_set("format: 1\nmains:\n  voltage: 6.3 V\n  frequency: 115 Hz\n"
                                "  shape: square\n  dwell: 0.9\n  closes at: zero\nrun:\n"
                                "  for: 1 s\nparts:\n"
                                "  R1:\n    is: resistor\n    across: [line, neutral]\n"
                                "    resistance: 100 ohm\n",
                                NULL);
    (void)state;
    assert_true(h.vibrator);
    assert_false(h.mains || h.hot_chassis); /* it hangs on a battery */
}

/* --- islands --- */

static void windings_part_islands_and_capacitors_join_on_demand(void **state)
{
    struct circuit *c = circuit_new(shop.arena);
    int a = circuit_point(c, "a"), b = circuit_point(c, "b"), d = circuit_point(c, "d");
    int e = circuit_point(c, "e"), f = circuit_point(c, "f"), g = circuit_point(c, "g");
    int core = circuit_transformer(c);
    (void)state;
    circuit_winding(c, "T1", "primary", core, a, b, 1);
    circuit_winding(c, "T1", "high", core, e, d, 3);
    circuit_capacitor(c, "C1", "C", f, d, 8e-6);
    circuit_rectifier(c, "D1", "D", f, g, 0, 0, 0);
    const int *apart = islands_of(shop.arena, c, false);
    assert_int_equal(apart[a], a);
    assert_int_equal(apart[b], a);
    assert_int_equal(apart[d], d);
    assert_int_equal(apart[e], d);
    assert_int_equal(apart[f], f);
    assert_int_equal(apart[g], f);
    const int *joined = islands_of(shop.arena, c, true);
    assert_int_equal(joined[b], a);
    assert_int_equal(joined[f], d);
    assert_int_equal(joined[g], d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_caution_is_whole),
        cmocka_unit_test(nothing_is_told_without_a_hazard),
        cmocka_unit_test(each_rule_shows_its_own_caution),
        cmocka_unit_test(half_a_reason_is_none),
        cmocka_unit_test(transformer_set),
        cmocka_unit_test(silicon_has_no_tube_socket_at_b_plus),
        cmocka_unit_test(mercury_by_its_law),
        cmocka_unit_test(field_coil_oil_cord_and_insulated_can),
        cmocka_unit_test(a_foil_holds_no_oil),
        cmocka_unit_test(set_on_the_line_without_transformer),
        cmocka_unit_test(capacitor_across_the_line),
        cmocka_unit_test(filter_capacitor_of_a_doubler_is_none_of_the_line),
        cmocka_unit_test(a_resistor_from_line_to_chassis_makes_it_live),
        cmocka_unit_test(capacitors_in_series_need_equalisers),
        cmocka_unit_test(volts_decide_what_is_lethal),
        cmocka_unit_test(square_source_is_a_vibrator),
        cmocka_unit_test(windings_part_islands_and_capacitors_join_on_demand),
    };
    return cmocka_run_group_tests(tests, open_shop, close_shop);
}
