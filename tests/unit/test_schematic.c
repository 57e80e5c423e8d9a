/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawing of every shipped scenario, of each of its variants, and of large sets made up at
 * random, read back from its lines: what touches is joined, and that must be what the scenario says.
 * Letters lie on nothing. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "schematic.h"
#include "shipped.h"

#define NEAR 1e-3 /* [mm] */

static struct arena *arena;
static const char *what; /* is looked at */

static int begin(void **state)
{
    (void)state;
    arena = arena_new();
    return 0;
}

static int end(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

#define CHECK(condition, ...)                                                                      \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            print_error("%s: ", what);                                                             \
            print_error(__VA_ARGS__);                                                              \
            print_error("\n");                                                                     \
            fail();                                                                                \
        }                                                                                          \
    } while (0)

/* ---- what touches ---- */

static bool on_wire(const struct schematic_wire *w, double x, double y)
{
    return x >= fmin(w->x1, w->x2) - NEAR && x <= fmax(w->x1, w->x2) + NEAR &&
           y >= fmin(w->y1, w->y2) - NEAR && y <= fmax(w->y1, w->y2) + NEAR;
}

static int root(int *leads, int i)
{
    while (leads[i] != i) i = leads[i] = leads[leads[i]];
    return i;
}

/* Wires are joined where one ends on another; where they only cross they are not. */
static int *join_wires(const struct schematic *d)
{
    int *leads = ARENA_ARRAY(arena, int, d->wires.n);
    for (int i = 0; i < d->wires.n; i++) leads[i] = i;
    for (int i = 0; i < d->wires.n; i++)
        for (int k = 0; k < d->wires.n; k++) {
            const struct schematic_wire *a = &d->wires.at[i], *b = &d->wires.at[k];
            if (on_wire(b, a->x1, a->y1) || on_wire(b, a->x2, a->y2))
                leads[root(leads, i)] = root(leads, k);
        }
    for (int i = 0; i < d->wires.n; i++) leads[i] = root(leads, i);
    return leads;
}

static int wire_at(const struct schematic *d, const int *leads, double x, double y)
{
    for (int i = 0; i < d->wires.n; i++)
        if (on_wire(&d->wires.at[i], x, y)) return leads[i];
    return -1;
}

/* Each name belongs to one joined piece, and each piece to one name. */
struct names {
    const char *name[512];
    int piece[512];
    int n;
};

static void same(struct names *names, const char *name, int piece, const char *part)
{
    CHECK(piece >= 0, "%s: no wire where it ends on %s", part, name);
    for (int i = 0; i < names->n; i++) {
        bool one = strcmp(names->name[i], name) == 0, two = names->piece[i] == piece;
        CHECK(one == two, "%s: its wire of %s is that of %s%s", part, name, names->name[i],
              one ? ", in two pieces" : "");
        if (one) return;
    }
    assert_true(names->n < 512);
    names->name[names->n] = name;
    names->piece[names->n++] = piece;
}

/* ---- symbols ---- */

/* Unit steps along the axis for each turn. */
static const int step_x[] = {0, 1, 0, -1}, step_y[] = {1, 0, -1, 0};

/* The last point in series with the plug is the plug's own line. */
static const char *point_name(const struct setup *setup, const char *name)
{
    const struct stage *stage = &setup->stages.at[0];
    const struct circuit *c = stage->circuit;
    if (stage->mains_switch >= 0) {
        const struct element *e = &c->elements.at[stage->mains_switch];
        if (strcmp(c->points.at[e->from], name) == 0) return c->points.at[e->to];
    }
    return name;
}

static void check_ends(const struct setup *setup, const struct schematic *d, const int *leads,
                       struct names *names, const struct schematic_symbol *s, int way)
{
    const struct set *set = setup->stages.at[0].set;
    struct part_way w;
    assert_true(part_way(set, s->part, way, &w));
    double half = s->length / 2;
    int dx = step_x[s->turn], dy = step_y[s->turn];
    same(names, point_name(setup, w.point[0]),
         wire_at(d, leads, s->x - dx * half, s->y - dy * half), s->part->name);
    same(names, point_name(setup, w.point[w.points - 1]),
         wire_at(d, leads, s->x + dx * half, s->y + dy * half), s->part->name);
}

static void check_two_plates(const struct setup *setup, const struct schematic *d, const int *leads,
                             struct names *names, const struct schematic_symbol *s)
{
    struct part_way a, b;
    const struct set *set = setup->stages.at[0].set;
    part_way(set, s->part, 0, &a);
    part_way(set, s->part, 1, &b);
    int upper = wire_at(d, leads, s->x - 8, s->y - 4.5),
        lower = wire_at(d, leads, s->x - 8, s->y + 4.5);
    bool swapped = false;
    for (int i = 0; i < names->n; i++)
        swapped |= names->piece[i] == upper && strcmp(names->name[i], b.point[0]) == 0;
    same(names, swapped ? b.point[0] : a.point[0], upper, s->part->name);
    same(names, swapped ? a.point[0] : b.point[0], lower, s->part->name);
    same(names, a.point[1], wire_at(d, leads, s->x + 8, s->y - 4.5), s->part->name);
}

/* A winding may stand either way up. */
static void check_winding(const struct schematic *d, const int *leads, struct names *names,
                          const struct setup *setup, const struct schematic_symbol *s,
                          const struct part_way *w)
{
    int top = wire_at(d, leads, s->x, s->y - s->length / 2),
        foot = wire_at(d, leads, s->x, s->y + s->length / 2);
    const char *a = point_name(setup, w->point[0]), *b = point_name(setup, w->point[w->points - 1]);
    bool swapped = false;
    for (int i = 0; i < names->n; i++)
        swapped |= names->piece[i] == top && strcmp(names->name[i], b) == 0;
    same(names, swapped ? b : a, top, s->part->name);
    same(names, swapped ? a : b, foot, s->part->name);
    if (w->points == 3) same(names, w->point[1], wire_at(d, leads, s->x, s->y), s->part->name);
}

/* The winding that a symbol is: the one with its volts written beside it stands at that height. */
static bool is_winding(const struct schematic *d, const struct schematic_symbol *s,
                       const char *name)
{
    for (int i = 0; i < d->labels.n; i++) {
        const struct schematic_label *l = &d->labels.at[i];
        if (l->part == s->part && strcmp(l->text, name) == 0 && fabs(l->y - s->y) < s->length / 2 &&
            l->x > s->x && l->x < s->x + 15)
            return true;
    }
    return false;
}

static void check_transformer(const struct setup *setup, const struct schematic *d,
                              const int *leads, struct names *names,
                              const struct schematic_symbol *s)
{
    const struct set *set = setup->stages.at[0].set;
    struct part_way w;
    if (s->turn == 2) {
        if (!part_primary(set, s->part, &w)) part_way(set, s->part, 0, &w);
        check_winding(d, leads, names, setup, s, &w);
        return;
    }
    for (int k = s->part->kind->line_output; part_way(set, s->part, k, &w); k++) {
        if (w.name && !is_winding(d, s, w.name)) continue;
        if (w.points) check_winding(d, leads, names, setup, s, &w);
        return;
    }
    CHECK(false, "%s: a winding without its name", s->part->name);
}

static void check_slider(const struct setup *setup, const struct schematic *d, const int *leads,
                         struct names *names, const struct schematic_symbol *s)
{
    struct part_way output;
    assert_true(part_way(setup->stages.at[0].set, s->part, 1, &output));
    same(names, point_name(setup, output.point[0]), wire_at(d, leads, s->x + s->length, s->y),
         s->part->name);
}

static const struct schematic_symbol *nth_symbol(const struct schematic *d, const struct part *part,
                                                 int n)
{
    for (int i = 0; i < d->symbols.n; i++)
        if (d->symbols.at[i].part == part && n-- == 0) return &d->symbols.at[i];
    return NULL;
}

/* The symbol of section k bears its name: `V5.2`, or that of the part. */
static int section_of(const struct schematic *d, const struct schematic_symbol *s)
{
    int section = 0;
    double least = HUGE_VAL;
    for (int i = 0; i < d->labels.n; i++) {
        const struct schematic_label *l = &d->labels.at[i];
        const char *dot =
            l->part == s->part && l->style == LABEL_NAME ? strrchr(l->text, '.') : NULL;
        double far = dot ? hypot(l->x - s->x, l->y - s->y) : HUGE_VAL;
        if (far < least) least = far, section = atoi(dot + 1) - 1;
    }
    return section;
}

static void check_joined(const struct setup *setup, const struct schematic *d)
{
    struct names names = {.n = 0};
    int *leads = join_wires(d);
    for (int i = 0; i < d->calls.n; i++) {
        const struct schematic_call *c = &d->calls.at[i];
        CHECK(c->number == i + 1, "call-out %d has number %d", i + 1, c->number);
        same(&names, d->nets.at[c->net].name, wire_at(d, leads, c->x, c->tip), "call-out");
    }
    for (int i = 0; i < d->symbols.n; i++) {
        const struct schematic_symbol *s = &d->symbols.at[i];
        if (s->shape == SHAPE_REFERENCE)
            same(&names, setup->stages.at[0].circuit->reference,
                 wire_at(d, leads, s->x, s->y - s->length / 2), "reference");
    }
    for (int i = 0; i < d->symbols.n; i++) {
        const struct schematic_symbol *s = &d->symbols.at[i];
        if (s->shape == SHAPE_SLIDER) check_slider(setup, d, leads, &names, s);
        else if (s->shape == SHAPE_WINDING) check_transformer(setup, d, leads, &names, s);
        else if (s->shape == SHAPE_TWO_PLATES) check_two_plates(setup, d, leads, &names, s);
        else if (s->shape < SHAPE_TWO_PLATES && s->part)
            check_ends(setup, d, leads, &names, s, section_of(d, s));
    }
}

/* ---- everything once ---- */

static void check_once(const struct setup *setup, const struct schematic *d)
{
    const struct set *set = setup->stages.at[0].set;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        const struct schematic_symbol *first = nth_symbol(d, part, 0);
        struct part_way way;
        int ways = 0, names = 0;
        while (part_way(set, part, ways, &way)) ways++;
        CHECK(first, "%s is not drawn", part->name);
        if (part_is(part, ROLE_TRANSFORMER) || part->kind->line_output ||
            first->shape == SHAPE_TWO_PLATES)
            ways = 1;
        for (int k = 0; k < d->labels.n; k++)
            names += d->labels.at[k].part == part && d->labels.at[k].style == LABEL_NAME;
        CHECK(names == ways, "%s: %d names for %d ways", part->name, names, ways);
    }
    int named = 0;
    for (int i = 0; i < d->nets.n; i++) {
        int calls = 0, at = circuit_find_point(set->circuit, d->nets.at[i].name);
        for (int k = 0; k < d->calls.n; k++) calls += d->calls.at[k].net == i;
        bool apart =
            strcmp(d->nets.at[i].name, set->circuit->reference) == 0 || set->circuit->inner.at[at];
        CHECK(calls == !apart, "%s: %d call-outs", d->nets.at[i].name, calls);
        named += !set->circuit->inner.at[at];
    }
    for (int i = 0; i < set->circuit->points.n; i++) named -= !set->circuit->inner.at[i];
    CHECK(named == 0, "%d points more or fewer than there are", named);
}

/* ---- nothing on anything ---- */

struct rectangle {
    double x1, y1, x2, y2;
};

static struct rectangle label_box(const struct schematic_label *l)
{
    double left = l->centred ? l->x - l->width / 2 : l->x;
    double high = l->style == LABEL_SIGN ? 2.2 : SCHEMATIC_CAPITAL;
    return (struct rectangle){left, l->y - high, left + l->width, l->y};
}

static bool overlap(struct rectangle a, struct rectangle b)
{
    return a.x1 < b.x2 - NEAR && b.x1 < a.x2 - NEAR && a.y1 < b.y2 - NEAR && b.y1 < a.y2 - NEAR;
}

static struct rectangle wire_box(const struct schematic_wire *w)
{
    return (struct rectangle){fmin(w->x1, w->x2) - 0.2, fmin(w->y1, w->y2) - 0.2,
                              fmax(w->x1, w->x2) + 0.2, fmax(w->y1, w->y2) + 0.2};
}

static struct rectangle ring_box(const struct schematic_call *c)
{
    const double r = SCHEMATIC_CALL;
    return (struct rectangle){c->x - r, c->y - r, c->x + r, c->y + r};
}

/* The middle of a symbol, where nobody else's wire may pass. */
static struct rectangle symbol_box(const struct schematic_symbol *s)
{
    double along = s->length / 2 - 0.5, aside = s->shape == SHAPE_TWO_PLATES ? 9 : 1.5;
    bool level = s->turn % 2;
    double dx = level ? along : aside, dy = level ? aside : along;
    return (struct rectangle){s->x - dx, s->y - dy, s->x + dx, s->y + dy};
}

static void check_apart(const struct schematic *d)
{
    for (int i = 0; i < d->labels.n; i++) {
        struct rectangle box = label_box(&d->labels.at[i]);
        const char *text = d->labels.at[i].text;
        for (int k = 0; k < i; k++)
            CHECK(!overlap(box, label_box(&d->labels.at[k])), "`%s` lies on `%s`", text,
                  d->labels.at[k].text);
        for (int k = 0; k < d->wires.n; k++)
            CHECK(!overlap(box, wire_box(&d->wires.at[k])), "`%s` is crossed by a wire", text);
        for (int k = 0; k < d->calls.n; k++)
            CHECK(!overlap(box, ring_box(&d->calls.at[k])), "`%s` lies on call-out %d", text,
                  k + 1);
        for (int k = 0; k < d->symbols.n; k++)
            CHECK(!overlap(box, symbol_box(&d->symbols.at[k])), "`%s` lies on a symbol", text);
    }
    for (int i = 0; i < d->calls.n; i++) {
        for (int k = 0; k < i; k++)
            CHECK(!overlap(ring_box(&d->calls.at[i]), ring_box(&d->calls.at[k])),
                  "call-outs %d and %d lie on each other", k + 1, i + 1);
        for (int k = 0; k < d->wires.n; k++)
            CHECK(!overlap(ring_box(&d->calls.at[i]), wire_box(&d->wires.at[k])),
                  "call-out %d is crossed by a wire", i + 1);
    }
    for (int i = 0; i < d->symbols.n; i++) {
        const struct schematic_symbol *s = &d->symbols.at[i];
        for (int k = 0; k < i; k++)
            CHECK(!overlap(symbol_box(s), symbol_box(&d->symbols.at[k])), "two symbols overlap");
        for (int k = 0; k < d->wires.n && s->shape < SHAPE_WINDING; k++)
            CHECK(s->heater || !overlap(symbol_box(s), wire_box(&d->wires.at[k])),
                  "a wire runs through %s", s->part ? s->part->name : "mains");
    }
}

/* ---- one setup ---- */

static void check_same(const struct schematic *a, const struct schematic *b)
{
    assert_int_equal(a->wires.n, b->wires.n);
    assert_int_equal(a->labels.n, b->labels.n);
    for (int i = 0; i < a->wires.n; i++)
        assert_memory_equal(&a->wires.at[i], &b->wires.at[i], 4 * sizeof(double));
    for (int i = 0; i < a->labels.n; i++)
        assert_memory_equal(&a->labels.at[i].x, &b->labels.at[i].x, 2 * sizeof(double));
}

static void check_setup(const struct setup *setup, const char *name)
{
    const struct part **over =
        ARENA_ARRAY(arena, const struct part *, setup->stages.at[0].set->parts.n);
    int n = setup->stages.at[0].set->parts.n;
    for (int i = 0; i < n; i++) over[i] = setup->stages.at[0].set->parts.at[i];
    what = arena_printf(arena, "%s, %s", name, setup->variant);
    const struct schematic *whole = schematic_make(arena, setup, NULL, 0, 0);
    check_once(setup, whole);
    check_joined(setup, whole);
    check_apart(whole);
    check_same(whole, schematic_make(arena, setup, NULL, 0, 0));
    what = arena_printf(arena, "%s, %s, in strips and marked", name, setup->variant);
    const struct schematic *strips = schematic_make(arena, setup, over, n, 110);
    check_once(setup, strips);
    check_apart(strips);
    CHECK(strips->width <= 125, "%.0f mm wide", strips->width);
}

static void shipped_all(void **state)
{
    (void)state;
    int n, seen = 0;
    const char *const *names = shipped_names(arena, &n);
    for (int i = 0; i < n; i++) {
        const struct scenario *s = shipped_scenario(arena, names[i]);
        for (int k = -1; k < scenario_variants(s); k++, seen++)
            check_setup(shipped_setup(arena, names[i], k < 0 ? NULL : scenario_variant(s, k)),
                        names[i]);
    }
    assert_true(seen > 60);
}

/* Drawings of shipped sets may not become worse: crossings of all bases together. The tap of a
 * winding crosses the lead of a plate in most. */
static void few_crossings(void **state)
{
    (void)state;
    int n, sum = 0;
    const char *const *names = shipped_names(arena, &n);
    for (int i = 0; i < n; i++)
        sum += schematic_make(arena, shipped_setup(arena, names[i], NULL), NULL, 0, 0)->crossings;
    assert_true(sum <= 8);
}

/* ---- made up ---- */

struct text {
    char at[60000];
    int n;
};

static void put(struct text *t, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    t->n += vsnprintf(t->at + t->n, sizeof t->at - (size_t)t->n, format, args);
    va_end(args);
    assert_true((size_t)t->n < sizeof t->at);
}

static unsigned seed;

static int any(int below)
{
    seed = seed * 1664525u + 1013904223u;
    return (int)(seed >> 8) % below;
}

static const char supply[] =
    "format: 1\ntitle: made up\nmains: {voltage: 117 V}\nparts:\n"
    "  T1:\n    is: power transformer\n"
    "    primary: {across: [line, neutral], rated: 117 V, resistance: 3 ohm}\n    windings:\n"
    "      high: {across: [plate 1, chassis, plate 2], open circuit: [350 V, 350 V], "
    "resistance: [50 ohm, 50 ohm]}\n      bias: {across: [bias AC, chassis], open circuit: 40 V, "
    "resistance: 20 ohm}\n"
    "  V1: {is: rectifier, law: gas, drop: 24 V at 75 mA, starting voltage: 30 V, "
    "plates: [plate 1, plate 2], cathode: p0}\n"
    "  D1: {is: rectifier, threshold: 0.7 V, slope: 1 ohm, plates: [bias], cathode: bias AC}\n"
    "  C1: {is: capacitor, across: [chassis, bias], value: 50 uF, rated: 63 V}\n"
    "  R1: {is: resistor, across: [chassis, bias], resistance: 10 kohm}\n"
    "  C2: {is: capacitor, across: [p0, chassis], value: 8 uF, rated: 450 V}\n";

/* A tree of filters behind a rectifier; `tangle` of a hundred parts join any two points. */
static const struct setup *made_up(int parts, int tangle)
{
    struct text *t = ARENA_NEW(arena, struct text);
    struct diags *diags = diags_new(arena);
    int points = 1;
    put(t, "%s", supply);
    for (int i = 7; i < parts;) {
        int from = any(points < 6 ? points : 6), near = points - 1 - from;
        if (points > 2 && any(100) < tangle) {
            int to = any(points);
            if (to == near) continue;
            put(t, "  X%d: {is: resistor, across: [p%d, p%d], resistance: 47 kohm}\n", i++, near,
                to);
            continue;
        }
        put(t, "  L%d: {is: %s, across: [p%d, p%d], resistance: 200 ohm}\n", i,
            any(2) ? "choke" : "resistor", near, points);
        i++;
        put(t, "  C%d: {is: capacitor, across: [p%d, chassis], value: 8 uF, rated: 450 V}\n", i++,
            points);
        if (any(3) == 0)
            put(t, "  load %d: {is: load, across: [p%d, chassis], draws: 2 mA at 200 V}\n", i++,
                points);
        points++;
    }
    const struct scenario *s = scenario_parse(arena, diags, NULL, "made up", t->at);
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    return setup;
}

static void large(void **state)
{
    (void)state;
    for (seed = 1; seed < 9; seed++) {
        unsigned first = seed;
        check_setup(made_up(60, 0), arena_printf(arena, "60 parts, seed %u", first));
        seed = first;
        check_setup(made_up(60, 25), arena_printf(arena, "60 parts tangled, seed %u", first));
        seed = first;
    }
    seed = 3;
    check_setup(made_up(200, 5), "200 parts");
}

/* A single filter chain is drawn as one: not one wire crosses another but the tap's. */
static void a_chain_is_straight(void **state)
{
    (void)state;
    struct text *t = ARENA_NEW(arena, struct text);
    struct diags *diags = diags_new(arena);
    put(t, "%s", supply);
    for (int i = 0; i < 20; i++)
        put(t,
            "  L%d: {is: choke, across: [p%d, p%d], resistance: 9 ohm}\n"
            "  K%d: {is: capacitor, across: [p%d, chassis], value: 8 uF}\n",
            i, i, i + 1, i, i + 1);
    const struct scenario *s = scenario_parse(arena, diags, NULL, "chain", t->at);
    const struct schematic *d =
        schematic_make(arena, scenario_setup(arena, diags, s, NULL), NULL, 0, 0);
    double y = 0;
    for (int i = 0; i < d->symbols.n; i++) {
        if (d->symbols.at[i].shape != SHAPE_COIL) continue;
        if (y == 0) y = d->symbols.at[i].y;
        assert_true(d->symbols.at[i].y == y && d->symbols.at[i].turn == 1);
    }
    assert_true(y > 0);
    assert_true(d->crossings <= 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(shipped_all, begin, end),
        cmocka_unit_test_setup_teardown(few_crossings, begin, end),
        cmocka_unit_test_setup_teardown(large, begin, end),
        cmocka_unit_test_setup_teardown(a_chain_is_straight, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
